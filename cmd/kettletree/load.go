package main

// What all commands share: the options that frame a question, the kitchen file, and the checks that come first.

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/menu"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// option words the help of an option: what it takes, "" for nothing, and what it means.
func option(takes, means string) string { return takes + "\n        " + means }

// framing are the options that frame a question about a kitchen.
func framing() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "from", Usage: option("DATE",
			"first day, such as 2026-11-23 (default: Monday of this week; today where there is a log book)")},
		&cli.StringFlag{Name: "days", Usage: option("N", "number of days (default: 7)")},
		&cli.StringFlag{Name: "on-hand", Usage: option("FILE",
			"what is on hand on the first morning: CSV with item,quantity,made (default: from the log book)")},
		&cli.StringFlag{Name: "plan", Usage: option("FILE|none",
			"go by the plan in this file, or by none, not by the one that \"plan --keep\" kept")},
		&cli.StringFlag{Name: "rule", Usage: option(ruleNames("|"),
			"who goes short: all dishes alike, the last rank first, or what earns least (default: fair)")},
		&cli.BoolFlag{Name: "keep-to-the-card", Usage: option("",
			"nothing takes the place of anything and nothing is left out: see \"kettletree help kitchen\"")},
		&cli.StringSliceFlag{Name: "to-the-card", Usage: option("DISH", "the same for one dish, with all that goes into it")},
	}
}

// ruleNames are the names of the rules for what is scarce.
func ruleNames(between string) string {
	var names []string
	for _, r := range menu.Rules {
		names = append(names, r.String())
	}
	return strings.Join(names, between)
}

// output are the options that say how an answer is given.
func output() []cli.Flag {
	return []cli.Flag{
		&cli.BoolFlag{Name: "json", Usage: option("", "answer as JSON; \"kettletree help json\" documents it")},
		&cli.BoolFlag{Name: "csv", Usage: option("", "answer as CSV, with a header row")},
		outFlag(),
	}
}

func outFlag() cli.Flag {
	return &cli.StringFlag{Name: "out", Aliases: []string{"o"}, Usage: option("FILE",
		"write the answer to a file, not to standard output")}
}

// shockFlags are the options that ask about changes, one for each kind.
func shockFlags() (flags []cli.Flag) {
	for _, k := range week.ShockKinds {
		flags = append(flags, &cli.StringSliceFlag{Name: k.Name, Usage: option(k.Takes, k.Means)})
	}
	return flags
}

// options reads what frames a question about the kitchen that the arguments name.
func options(c *cli.Context, args []string) (o menu.Options, err error) {
	if len(args) > 1 {
		return o, &usageError{fmt.Sprintf("%q comes after the kitchen file", args[1]),
			"give one kitchen file, or none for kitchen.yaml here"}
	}
	if o, err = framed(c); err != nil {
		return o, err
	}
	if c.Bool("json") && c.Bool("csv") {
		return o, &usageError{"--json and --csv can't be used together", "choose one"}
	}
	file := kitchenFile(args)
	if file == "-" && c.String("on-hand") == "-" {
		return o, &usageError{msg: "the kitchen and what is on hand can't both come from standard input"}
	}
	if file != "-" {
		o.LogBook = logbook.Path(file)
	}
	byPlan := c.String("plan")
	switch {
	case byPlan == noPlan:
		byPlan = ""
	case byPlan == "" && file != "-":
		o.Plan = menu.File(plan.Path(file))
	}
	for _, of := range []struct {
		name   string
		source *menu.Source
	}{{file, &o.Kitchen}, {c.String("on-hand"), &o.OnHand}, {byPlan, &o.Plan}} {
		if of.name == "" {
			continue
		}
		*of.source = menu.File(of.name)
		if of.source.Text, err = read(c.Context, c.App.Reader, of.name); err != nil {
			if of.source == &o.Kitchen && errors.Is(err, fs.ErrNotExist) {
				err = &hinted{err, whichKitchen(args)}
			}
			return o, err
		}
	}
	return o, nil
}

// noPlan stands for the plan of those who ask without any.
const noPlan = "none"

// framed reads the options that frame a question.
func framed(c *cli.Context) (o menu.Options, err error) {
	if o.Now, err = now(); err != nil {
		return o, err
	}
	o.Card = week.Card{All: c.Bool("keep-to-the-card"), Dishes: c.StringSlice("to-the-card")}
	return o, o.Frame(c.String)
}

// opened is a kitchen with all that was found in it and in what is on hand. The week is nil when any of it is an error.
type opened struct {
	file   string
	week   *week.Week
	faults kitchen.Diagnostics
}

// open opens what options say.
func open(c *cli.Context, o menu.Options) (*opened, error) {
	w, faults, err := menu.Open(c.Context, o)
	return &opened{o.Kitchen.Name, w, faults}, told(err)
}

// readKitchen reads and checks the kitchen that the arguments name, without days; it is nil when a fault is an error.
func readKitchen(c *cli.Context, args []string) (*opened, *kitchen.Kitchen, error) {
	o, err := options(c, args)
	if err != nil {
		return nil, nil, err
	}
	k := &opened{file: o.Kitchen.Name}
	var read *kitchen.Kitchen
	read, k.faults = kitchen.Read(o.Kitchen.Name, o.Kitchen.Text)
	return k, read, nil
}

// weekOf opens the kitchen that the arguments name for commands that go on only with a sound one. What was found is said.
// The options can be changed before.
func weekOf(c *cli.Context, args []string, change ...func(*menu.Options)) (*week.Week, error) {
	o, err := options(c, args)
	if err != nil {
		return nil, err
	}
	for _, how := range change {
		how(&o)
	}
	k, err := open(c, o)
	if err != nil {
		return nil, err
	}
	return k.sound(c)
}

// sound tells what was found, and gives the week when it is sound.
func (k *opened) sound(c *cli.Context) (*week.Week, error) {
	if k.week == nil {
		k.tell(c.App.ErrWriter)
		return nil, errTold
	}
	notes := slices.Clone(k.week.Notes)
	phrases(c, k.week.Kitchen, notes)
	for _, line := range notes {
		behind(c, line)
	}
	k.tellGuesses(c)
	k.tellAfter(c)
	return k.week, nil
}

// Commands whose answers have no money in them, those that have no amounts either, and those that go by what is on hand.
var (
	moneyless  = []string{"clock", "cooling", "forecast"}
	stocked    = []string{"whatif", "why", "weak", "plan", "buy", "tonight", "specials"} // what is on hand decides their figures
	amountless = []string{"allergens", "labels", "trace", "guide", "map"}
)

// listsThem is where the guesses are listed that an answer rests on.
const listsThem = "; kettletree check --open lists them"

// tellGuesses says behind an answer what it presumes, and which guesses it rests on.
func (k *opened) tellGuesses(c *cli.Context) {
	if slices.Contains(amountless, c.Command.Name) {
		return
	}
	if slices.Contains(stocked, c.Command.Name) {
		presumes := slices.Clone(k.week.Presumes)
		phrases(c, k.week.Kitchen, presumes)
		c.App.Metadata[presumed] = presumes
	}
	if rests := k.week.RestsOn(!slices.Contains(moneyless, c.Command.Name)); rests != "" {
		behind(c, rests+listsThem)
	}
}

// tell prints all faults, and how many there are.
func (k *opened) tell(w io.Writer) {
	if len(k.faults) > 0 {
		fmt.Fprintf(w, "%s\nkettletree: %s\n", printing(k.faults.Error()), k.counted())
	}
}

// unusedID is the fault of what comes out of a pot and nobody takes: an idea for the menu, which check tells, and nothing that an answer suffers by.
const unusedID = "unused-item"

// tellAfter tells warnings beside an answer: those of the kitchen file in a line behind it, for they stand until the file is mended
// and check shows them; those of what is on hand at once, for they say what the answer does not count.
func (k *opened) tellAfter(c *cli.Context) {
	of := func(d kitchen.Diagnostic) bool { return d.Pos.File == k.file }
	(&opened{faults: slices.DeleteFunc(slices.Clone(k.faults), of)}).tell(c.App.ErrWriter)
	known := &opened{faults: slices.DeleteFunc(slices.Clone(k.faults), func(d kitchen.Diagnostic) bool { return !of(d) || d.ID == unusedID })}
	if len(known.faults) > 0 {
		them := "them"
		if len(known.faults) == 1 {
			them = "it"
		}
		line := []string{fmt.Sprintf("%s in %s; kettletree check shows %s", known.counted(), k.file, them)}
		if k.week != nil {
			phrases(c, k.week.Kitchen, line)
		}
		behind(c, line[0])
	}
}

// presumed is under what the program keeps what an answer in words presumes, until there is one.
const presumed = "presumed"

// afterAnswer is under what the program keeps the lines that go behind the answer.
const afterAnswer = "after the answer"

// behind says something behind the answer, which goes first.
func behind(c *cli.Context, line string) {
	lines, _ := c.App.Metadata[afterAnswer].([]string)
	c.App.Metadata[afterAnswer] = append(lines, "kettletree: "+printing(line))
}

// counted is "2 errors, 1 warning".
func (k *opened) counted() string {
	var parts []string
	for _, s := range []kitchen.Severity{kitchen.Error, kitchen.Warning} {
		n := 0
		for _, d := range k.faults {
			if d.Severity == s {
				n++
			}
		}
		switch {
		case n == 1:
			parts = append(parts, "1 "+s.String())
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", n, s))
		}
	}
	return strings.Join(parts, ", ")
}

// apart takes a kitchen file away from the arguments of a command that also wants a name, on either side of it.
func apart(c *cli.Context, what string) (name string, kitchen []string, err error) {
	args := c.Args().Slice()
	switch len(args) {
	case 0:
		return "", nil, &usageError{"of which " + what + "?", "kettletree " + c.Command.Name + " --help has an example"}
	case 1:
		return args[0], nil, nil
	case 2:
		if looksLikeKitchen(args[0]) && !looksLikeKitchen(args[1]) {
			return args[1], args[:1], nil
		}
		return args[0], args[1:], nil
	}
	return "", nil, &usageError{fmt.Sprintf("%q is one argument too many", args[2]),
		fmt.Sprintf("give one %s and one kitchen file; put a name of several words in quotes", what)}
}

func looksLikeKitchen(arg string) bool {
	ext := strings.ToLower(filepath.Ext(arg))
	return arg == "-" || ext == ".yaml" || ext == ".yml" || isFolder(arg)
}

// read reads a file, "-" for standard input. It stops where a file is too large for the reader to take it, which then
// says so, and when ctx ends.
func read(ctx context.Context, stdin io.Reader, name string) ([]byte, error) {
	type text struct {
		src []byte
		err error
	}
	done := make(chan text, 1)
	go func() { // a terminal or a pipe may let us wait
		from := stdin
		if name != "-" {
			f, err := os.Open(name)
			if err != nil {
				done <- text{nil, err}
				return
			}
			defer func() { _ = f.Close() }() // what was read is read
			from = f
		}
		src, err := io.ReadAll(io.LimitReader(from, kitchen.MostBytes+1))
		done <- text{src, err}
	}()
	select {
	case t := <-done:
		if t.err != nil {
			return nil, at("read", name, t.err)
		}
		return t.src, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// shocks reads the changes that are asked about, kind by kind.
func shocks(c *cli.Context, w *week.Week) (list []week.Shock, err error) {
	for _, k := range week.ShockKinds {
		for _, text := range c.StringSlice(k.Name) {
			s, err := w.Shock(k.Name, text)
			if err != nil {
				return nil, &usageError{msg: err.Error()}
			}
			list = append(list, s)
		}
	}
	return list, nil
}
