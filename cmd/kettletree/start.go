package main

// start: the first kitchen file, from a few questions or from an example.

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/examples"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/rescue"
	"kettletree/menu/week"
)

func startCommand() *cli.Command {
	return &cli.Command{
		Name: "start", Usage: "make a kitchen file from a few questions, or from an example",
		Flags: []cli.Flag{&cli.StringFlag{Name: "from", Usage: option(strings.Join(exampleNames(), "|"), "write this example, and ask nothing")}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return &usageError{fmt.Sprintf("%q is one argument too many", c.Args().Get(1)), "name one folder or file, or none for kitchen.yaml here"}
			}
			file := kitchenFile(c.Args().Slice())
			if file == "-" {
				return &usageError{"a kitchen that is begun needs a file", "name it, or none for kitchen.yaml here"}
			}
			if _, err := os.Lstat(file); err == nil {
				return &hinted{fmt.Errorf("%s is there already", file), "start only begins a new one: name another folder or file"}
			}
			if c.IsSet("from") {
				return startFrom(c, c.String("from"), file)
			}
			return startAsking(c, file)
		},
	}
}

// exampleNames are the example kitchens that the program carries.
func exampleNames() (names []string) {
	folders, err := fs.ReadDir(examples.Files, ".")
	if err != nil {
		panic("mistake: the examples can't be read: " + err.Error())
	}
	for _, f := range folders {
		names = append(names, f.Name())
	}
	return names
}

// startFrom writes an example, with what lies beside it.
func startFrom(c *cli.Context, name, file string) error {
	if _, err := fs.ReadDir(examples.Files, name); err != nil || name == "." {
		return &usageError{fmt.Sprintf("there is no example %q", name), meant(name, exampleNames(), "write one of: "+strings.Join(exampleNames(), ", "))}
	}
	var made []string
	next := "kettletree serve"
	err := fs.WalkDir(examples.Files, name, func(from string, f fs.DirEntry, err error) error {
		if err != nil || f.IsDir() {
			return err
		}
		to := filepath.Join(filepath.Dir(file), filepath.FromSlash(strings.TrimPrefix(from, name+"/")))
		if f.Name() == kitchenName {
			to = file
		} else if _, err := os.Lstat(to); err == nil {
			return nil // somebody's own
		}
		text, err := fs.ReadFile(examples.Files, from)
		if err != nil {
			return err
		}
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return at("write", to, err)
		}
		if err := save(to, text); err != nil {
			return err
		}
		if f.Name() == "on-hand.csv" { // no answer looks for it by itself
			next += " --on-hand " + f.Name()
		}
		made = append(made, to)
		return nil
	})
	if err != nil {
		return err
	}
	return put(c, fmt.Appendf(nil, "Written: %s. All in it is invented: change it as you like.\nNext: %s, or kettletree help tour\n", measure.FormatList(made), next))
}

// startAsking asks, writes the file, and answers the first question on it.
func startAsking(c *cli.Context, file string) error {
	a := &asker{c: c, lines: bufio.NewReader(c.App.Reader)}
	a.say("A few things about your pot. Enter skips a question; what is skipped stays an open question, to answer later. \"" + backWord +
		"\" goes to the question before.\n")
	s := &kitchen.Starter{}
	err := a.questions(s)
	for errors.Is(err, errBack) {
		if len(a.given) == 0 {
			a.say("  This is the first question.")
		}
		a.given, a.at = a.given[:max(0, len(a.given)-1)], 0
		s = &kitchen.Starter{}
		err = a.questions(s)
	}
	if c.Context.Err() != nil {
		a.at = len(a.given)
		a.say(fmt.Sprintf("\n%s is not written. What you answered stands above, and is kept nowhere.", file))
	}
	if err != nil {
		return err
	}
	moment, err := now()
	if err != nil {
		return err
	}
	text, err := s.Text(measure.FormatDayOfYear(moment))
	if err != nil {
		return err
	}
	if err := writeNew(file, text); err != nil {
		return err
	}
	done(c, "kettletree check "+file+" reads it", "%s is written", file)
	return firstAnswer(c, file, text, s)
}

// questions asks all of them.
func (a *asker) questions(s *kitchen.Starter) error {
	return a.each(
		func() error { return a.ask("What is the kitchen called?", &s.Name, s) },
		func() error { return a.ask("Open on which days? (tue-sat; Enter for every day)", &s.Open, s) },
		func() error {
			return a.ask("Lunch from when to when? (such as 11:30-14:30; Enter for no lunch)", &s.Lunch, s)
		},
		func() error {
			return a.ask("Dinner from when to when? (such as 17:30-22:00; Enter for no dinner)", &s.Dinner, s)
		},
		func() error {
			a.say("\nThe pot. What goes in, one a line; Enter when that is all.")
			return nil
		},
		func() error {
			return a.rows("In: (20 kg beef shank)", mostRows, s, func(text string) (func(), error) {
				s.In = append(s.In, kitchen.StartIn{What: text})
				in := &s.In[len(s.In)-1]
				if _, err := s.Text(""); err == nil && !strings.HasSuffix(strings.ToLower(text), " water") {
					if err := a.howMuch(in, s); err != nil {
						return nil, err
					}
					if _, price := in.Apart(); price == "" {
						if err := a.ask("  What does a kg, a litre or a piece of it cost? (9.50)", &in.Price, s); err != nil {
							return nil, err
						}
					}
					said, err := a.whether("  Is it raw meat, fish or egg? y or n")
					if err != nil {
						return nil, err
					}
					in.Raw = said == "yes"
				}
				return func() { s.In = s.In[:len(s.In)-1] }, nil
			})
		},
		func() error { return a.ask("What do you call the pot? (night kettle)", &s.Pot, s) },
		func() error { return a.ask("Lit on which days? (tue fri)", &s.Days, s) },
		func() error { return a.ask("Lit when? (22:00)", &s.Lit, s) },
		func() error {
			a.say("What comes out, one a line; without an amount if nobody has measured it.")
			return a.rows("Out: (30 L stock)", mostRows, s, func(text string) (func(), error) {
				s.Out = append(s.Out, kitchen.StartOut{What: text})
				out := &s.Out[len(s.Out)-1]
				undo := func() { s.Out = s.Out[:len(s.Out)-1] }
				if _, err := s.Text(""); err != nil {
					return undo, nil
				}
				if _, at := out.Apart(); at == "" {
					if err := a.ask("  After how many hours? (8)", &out.At, s); err != nil {
						return nil, err
					}
				}
				return undo, nil
			})
		},
		func() (err error) {
			if slices.ContainsFunc(s.In, func(in kitchen.StartIn) bool { return in.Raw }) && len(s.Out) > 0 {
				s.Cooks, err = a.whether("Does the pot cook through what goes in raw, by the limits of your local code? y or n")
			}
			return err
		},
		func() error { return a.ask("How big is your biggest pot? (60 L)", &s.Holds, s) },
		func() error { return a.ask("How many of that size are there? (1)", &s.Pots, s) },
		func() error { a.say("\n" + flowOf(s)); return nil },
		func() error {
			a.say("What is sold of it, one dish a line; Enter when that is all.")
			return a.rows("Dish: (red pozole)", mostRows, s, func(name string) (func(), error) {
				s.Sold = append(s.Sold, kitchen.StartDish{Name: name})
				d := &s.Sold[len(s.Sold)-1]
				undo := func() { s.Sold = s.Sold[:len(s.Sold)-1] }
				if err := a.ask("  What does one portion take? (400 mL stock, 120 g meat)", &d.Takes, s); err != nil || d.Takes == "" {
					return undo, err
				}
				if err := a.ask("  What does it sell for? (14.00)", &d.Price, s); err != nil {
					return undo, err
				}
				return undo, a.ask("  How many does a service sell? (20)", &d.Sells, s)
			})
		},
	)
}

// each does one thing after another.
func (a *asker) each(do ...func() error) error {
	for _, step := range do {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// writeNew writes a file that must not be there yet.
func writeNew(file string, text []byte) error {
	if _, err := os.Lstat(file); err == nil {
		return &hinted{fmt.Errorf("%s has been made in the meantime", file), "nothing was written over it"}
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return at("write", file, err)
	}
	return save(file, text)
}

// flowOf draws the pot in a few lines.
func flowOf(s *kitchen.Starter) string {
	var in, out []string
	for _, i := range s.In {
		what, _ := i.Apart()
		in = append(in, what)
	}
	for _, o := range s.Out {
		what, _ := o.Apart()
		out = append(out, what)
	}
	if in == nil || out == nil {
		return ""
	}
	width := 0
	for _, i := range in {
		width = max(width, len([]rune(i)))
	}
	var b strings.Builder
	middle := (max(len(in), len(out)) - 1) / 2
	for n := range max(len(in), len(out)) {
		left, right, pot := "", "", strings.Repeat(" ", len([]rune(s.PotName()))+4)
		if n < len(in) {
			left = in[n]
		}
		if n < len(out) {
			right = out[n]
		}
		if n == middle {
			pot = "[ " + s.PotName() + " ]"
		}
		mark := func(there bool) string {
			if there {
				return " -> "
			}
			return "    "
		}
		b.WriteString(strings.TrimRight("  "+left+strings.Repeat(" ", width-len([]rune(left)))+mark(n < len(in))+pot+mark(n < len(out))+right, " ") + "\n")
	}
	return b.String()
}

// firstAnswer says what follows when the pot is lost, on the kitchen that was just written.
func firstAnswer(c *cli.Context, file string, text []byte, s *kitchen.Starter) error {
	moment, err := now()
	if err != nil {
		return err
	}
	said := "Written: " + file + "\n"
	w, _, err := menu.Open(c.Context, menu.Options{Kitchen: menu.Source{Name: file, Text: text}, Now: moment})
	if err != nil {
		return err
	}
	next := "Next: kettletree check --open lists what is not known yet; kettletree serve opens the board.\n"
	lost, err := lostPot(w, s)
	if err != nil || lost == "" {
		if w.Waits(s.PotName()) != "" {
			said += fmt.Sprintf("\n%q is left out until its card is finished: it is not said yet what all goes in and comes out.\n\n", s.PotName())
		}
		return put(c, []byte(said+next))
	}
	shock, err := w.Shock("lose", lost)
	if err != nil {
		return err
	}
	what, err := ask.WhatIf(c.Context, w, []week.Shock{shock})
	if err != nil {
		return err
	}
	if notes, more := w.Guesses(true); len(notes) > 0 {
		said := "this rests on a guess"
		if n := len(notes) + more; n > 1 {
			said = fmt.Sprintf("this rests on %d guesses", n)
		}
		behind(c, said+listsThem)
	}
	story := show.WhatIf(page(c), rescue.WhatIf{Consequences: what})
	head, _, _ := strings.Cut(story, "\n\n")
	return put(c, fmt.Appendf(nil, "%s\nAnd if the pot is lost? kettletree whatif --lose %q says:\n%s\n\n%s", said, lost, head, next))
}

// lostPot is how the first batch of the pot in the week is named; "" where none is made.
func lostPot(w *week.Week, s *kitchen.Starter) (string, error) {
	step, err := w.FindStep(s.PotName())
	if err != nil || len(w.Dishes) == 0 {
		return "", nil // no pot was told, or nothing is sold
	}
	for n := range 7 {
		if day := (n + 1) % 7; w.Steps[step].Batches[day] > 0 {
			return s.PotName() + "@" + kitchen.Weekdays[day], nil
		}
	}
	return "", nil
}
