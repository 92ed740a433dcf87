package main

// weigh: a whole piece is broken down, each part as it comes off the knife; kept as a batch, as the step's yield or as a new step.

import (
	"bufio"
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

func weighCommand() *cli.Command {
	return &cli.Command{Name: "weigh", Usage: "break down a whole piece: what each part weighs and costs, kept as a batch or a yield",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "whole", Usage: option("AMOUNT", "the whole piece, such as \"6 kg whole cod\" (default: asked)")},
			&cli.StringFlag{Name: "price", Usage: option("PRICE", "what it cost today, such as 9.50/kg (default: as the kitchen file has it)")},
			&cli.StringSliceFlag{Name: "part", Usage: option("AMOUNT", "a part, such as \"2.5 kg cod fillet\" (default: asked, one after another)")},
			&cli.BoolFlag{Name: "new", Usage: option("", "it is a new step: what the kitchen file does not have is new, too")},
			&cli.BoolFlag{Name: "log", Usage: option("", "keep it as a batch in the log book: \"kettletree yields\" learns from ten of them")},
			&cli.BoolFlag{Name: "into-file", Usage: option("", "write what it gives into the kitchen file, if you say yes")},
			&cli.BoolFlag{Name: "yes", Usage: option("", "with --into-file or --log: write without asking")},
			outFlag(),
		}, Action: weigh}
}

func weigh(c *cli.Context) error {
	args := c.Args().Slice()
	if len(args) == 0 || len(args) > 2 {
		return &usageError{"weigh takes the step that breaks a piece down", "such as: kettletree weigh \"fillet cod\""}
	}
	if c.Bool("new") && c.Bool("log") {
		return &usageError{"--new and --log can't be used together", "write the new step into the file first, then log its batches"}
	}
	if args[len(args)-1] == "-" {
		return &usageError{"standard input is for answers here", "name the kitchen file"}
	}
	o, err := options(c, args[1:])
	if err != nil {
		return err
	}
	cut := menu.Cut{Step: args[0], New: c.Bool("new"), Whole: c.String("whole"), Price: c.String("price"), Parts: c.StringSlice("part")}
	a := &asker{c: c, lines: bufio.NewReader(c.App.Reader), typed: true}
	whole, parts := cutExamples(o, cut)
	if !c.IsSet("whole") {
		try := cut
		if try.Price == "" && cut.New { // it is asked for next
			try.Price = "1"
		}
		if cut.Whole, err = a.until("The whole piece: ("+whole+")", func(text string) error {
			try.Whole = text
			return try.Begins(c.Context, o)
		}); err != nil {
			return err
		}
		if !c.IsSet("price") && cut.Whole != "" {
			takes := func(text string) error {
				try.Price = text
				return try.Begins(c.Context, o)
			}
			unit, files := cut.PricedBy(o), "; Enter for the file's"
			if takes("") != nil { // it has none
				files = ""
			}
			for cut.Price == "" && !a.ended {
				if cut.Price, err = a.until("  What does one "+unit+" of it cost? (9.50"+files+")", takes); err != nil {
					return err
				}
				if wrong := takes(cut.Price); wrong == nil {
					break
				} else {
					a.say("  " + printing(wrongWith(wrong)))
				}
			}
		}
	}
	if strings.TrimSpace(cut.Whole) == "" {
		return &usageError{"what was weighed as a whole?", "write --whole \"" + whole + "\""}
	}
	if !c.IsSet("part") {
		if err := askParts(a, c, o, &cut, parts); err != nil {
			return err
		}
	}
	broken, text, err := menu.BreakDown(c.Context, o, cut)
	if err != nil {
		return uncut(c, o.Kitchen.Name, err)
	}
	switch {
	case c.Bool("log"):
		if err := logCut(c, args[1:], broken); err != nil {
			return err
		}
	case c.Bool("into-file"):
		return intoFile(c, o.Kitchen.Name, "weigh --into-file", o.Kitchen.Text, text, broken, new(bool), func(p show.Page, b *menu.BrokenDown) string { return show.BrokenDown(p, b) },
			func(*menu.BrokenDown) bool { return string(text) != string(o.Kitchen.Text) })
	}
	return put(c, []byte(show.BrokenDown(page(c), broken)))
}

// cutExamples are amounts as they are typed: those of the step's own card, or of a ham for a new step.
func cutExamples(o menu.Options, cut menu.Cut) (whole string, parts []string) {
	whole, parts = "8 kg ham", []string{"6 kg ham meat", "1.5 kg ham bone"}
	k, _ := kitchen.Read(o.Kitchen.Name, o.Kitchen.Text)
	if k == nil || cut.New {
		return whole, parts
	}
	step, err := k.FindStep(cut.Step)
	if err != nil {
		return whole, parts
	}
	said := func(item int, base float64) string {
		return k.QuantityOn(step, item, base).String() + " " + k.Graph.Items[item].Name
	}
	line := k.Graph.Steps[step].Takes[0].Choices[0]
	parts = nil
	for _, out := range k.Graph.Steps[step].Gives {
		parts = append(parts, said(out.Item, out.Amount))
	}
	return said(line.Item, line.Amount), parts
}

// askParts asks for one part after another, and tells after each what is still on the board. A new step is tried once it has a part.
func askParts(a *asker, c *cli.Context, o menu.Options, cut *menu.Cut, examples []string) error {
	if err := cut.Begins(c.Context, o); err != nil { // what is wrong with the whole is said before anything is cut
		return uncut(c, o.Kitchen.Name, err)
	}
	for !a.ended && len(cut.Parts) < mostRows {
		example := ""
		if n := len(cut.Parts); n < len(examples) {
			example = examples[n] + "; "
		}
		part, err := a.line("Part: (" + example + "Enter when that is all)")
		if err != nil || part == "" {
			return err
		}
		cut.Parts = append(cut.Parts, part)
		b, _, err := menu.BreakDown(c.Context, o, *cut)
		if err != nil {
			a.say("  " + printing(wrongWith(err)))
			cut.Parts = cut.Parts[:len(cut.Parts)-1]
			continue
		}
		a.say(strings.TrimRight(show.CutSoFar(page(c), b), "\n"))
	}
	return nil
}

// until asks for something until it can be taken; "" skips it. It ends with what is wrong where nothing more is typed.
func (a *asker) until(prompt string, take func(text string) error) (string, error) {
	for {
		text, err := a.line(prompt)
		if err != nil || text == "" {
			return "", err
		}
		wrong := take(text)
		if wrong == nil {
			return text, nil
		}
		a.say("  " + printing(wrongWith(wrong)))
		if a.ended {
			return "", errTold
		}
	}
}

// wrongWith says in a line what is wrong with what was typed, and what would be right.
func wrongWith(err error) string {
	msg, hint := err.Error(), ""
	if e, ok := errors.AsType[*measure.Error](err); ok {
		msg, hint = e.Msg, e.Hint
	}
	found, _ := errors.AsType[kitchen.Diagnostics](err)
	if e, ok := errors.AsType[*kitchen.AmendError](err); ok {
		msg, hint, found = e.Msg, e.Hint, e.Faults
	}
	if len(found) > 0 {
		msg, hint = found[0].Msg, found[0].Hint
	}
	if hint == "" {
		return msg
	}
	return msg + ": " + hint
}

// uncut tells what is wrong with what was typed.
func uncut(c *cli.Context, file string, err error) error {
	if e, ok := errors.AsType[*measure.Error](err); ok {
		return &hinted{errors.New(e.Msg), e.Hint}
	}
	if found, ok := errors.AsType[kitchen.Diagnostics](err); ok {
		(&opened{file: file, faults: found}).tell(c.App.ErrWriter)
		return errTold
	}
	return unamended(c, &kitchen.Kitchen{File: file}, err)
}

// logCut keeps a piece as a batch.
func logCut(c *cli.Context, kitchenArg []string, b *menu.BrokenDown) error {
	l := &logging{c: c, kitchen: kitchenArg, file: logbook.Path(kitchenFile(kitchenArg)), word: string(logbook.Cooked), args: []string{b.Entry}}
	var err error
	if l.now, l.zone, err = zonedNow(); err != nil {
		return err
	}
	l.at = l.now
	if err := l.entry(); err != nil {
		return err
	}
	fmt.Fprintln(c.App.Writer)
	return nil
}
