package main

// taste: how batches came out, and why.

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/taste"
)

func tasteCommand() *cli.Command {
	return &cli.Command{
		Name: "taste", Usage: "how batches came out, what puts the last one right, and what goes with what",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringSliceFlag{Name: "vary", Usage: option("THING", "lay out a trial of eight batches that vary this; give two to four")},
			&cli.BoolFlag{Name: "begin", Usage: option("", "with --vary: begin the trial, which stays until --give-up")},
			&cli.BoolFlag{Name: "give-up", Usage: option("", "end the trial that was begun")},
			&cli.StringFlag{Name: "svg", Usage: option("FILE", "also draw each measure over the batches, as SVG")},
		}, output()),
		Action: tasted,
	}
}

func tasted(c *cli.Context) error {
	if c.IsSet("json") && c.IsSet("csv") {
		return &usageError{"--json and --csv can't be used together", "choose one"}
	}
	kitchenArg, subject, err := yieldArguments(c)
	if err != nil {
		return err
	}
	o, k, err := readKitchen(c, kitchenArg)
	if err != nil {
		return err
	}
	if k == nil {
		o.tell(c.App.ErrWriter)
		return errTold
	}
	of, err := tasteOf(k, subject)
	if err != nil {
		return err
	}
	j, err := openLogBook(c.Context, logbook.Path(k.File))
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }()
	j.Know(k)
	now, err := now()
	if err != nil {
		return err
	}
	file := taste.Path(k.File)
	if c.Bool("give-up") {
		return giveUp(c, file)
	}
	kept, err := taste.Read(file)
	if err != nil {
		return trialFault(err)
	}
	a, err := taste.Of(c.Context, k, j, of, now, taste.Ask{Vary: c.StringSlice("vary"), Kept: kept, Folder: taste.PhotoFolder(logbook.Path(k.File))})
	if vary, ok := errors.AsType[*taste.VaryError](err); ok {
		return &usageError{vary.Msg, vary.Hint}
	} else if err != nil {
		return told(trialFault(err))
	}
	if c.Bool("begin") {
		if err := beginTrial(c, a, of, kept, now, file); err != nil {
			return err
		}
	}
	a.LogBook = logbook.Path(k.File)
	if name := c.String("svg"); name != "" {
		drawn := show.TasteCharts(show.Teller{}, a)
		if drawn == nil {
			return &hinted{fmt.Errorf("nothing was measured of %s twice, so there is nothing to draw", a.Of), "measure the next batch, and ask again"}
		}
		if err := save(name, drawn); err != nil {
			return err
		}
	}
	return give(c, a, show.Taste, show.TasteSheet)
}

// tasteOf finds what is asked about: a step or an item of which something is measured; the first of them where none is named.
func tasteOf(k *kitchen.Kitchen, subject string) (of taste.Subject, err error) {
	var names []string
	found := false
	consider := func(name string, s taste.Subject) {
		if names = append(names, name); !found && (subject == "" || strings.EqualFold(name, subject)) {
			of, found = s, true
		}
	}
	for s := range k.Steps {
		if k.Steps[s].Measures != nil {
			consider(k.Graph.Steps[s].Name, taste.Subject{Step: s, Item: -1})
		}
	}
	for _, i := range k.MeasuredItems() {
		consider(k.Graph.Items[i].Name, taste.Subject{Step: -1, Item: i})
	}
	switch {
	case found:
		return of, nil
	case len(names) == 0:
		return of, &hinted{errors.New("the kitchen file does not say what is measured of anything"),
			fmt.Sprintf("write it under a step: %s: measures: {colour: 1-5, salt: 0.9-1.1%%}", k.Example().Step)}
	}
	return of, &usageError{fmt.Sprintf("nothing is measured of %q", subject), meant(subject, names, "these are: "+strings.Join(names, ", "))}
}

// beginTrial keeps the trial that the answer lays out, and has the answer tell its first batch.
func beginTrial(c *cli.Context, a *taste.Answer, of taste.Subject, kept *taste.Kept, now time.Time, file string) error {
	switch {
	case of.Step < 0:
		return &usageError{"a trial is of a step's batches, and " + a.Of + " is an item", "name the step that makes it"}
	case kept != nil:
		return &usageError{"a trial of " + kept.Of + " is under way, begun " + kept.Begun, "end it first: kettletree taste --give-up"}
	case a.Trial == nil:
		return &usageError{"nothing is known yet that could be varied", "measure a batch first, and log what goes into it and when"}
	}
	kept = a.Trial.Begin(a.Of, now)
	text, err := kept.Text()
	if err != nil {
		return err
	}
	if err := save(file, text); err != nil {
		return err
	}
	fmt.Fprintf(c.App.ErrWriter, "kettletree: the trial is kept in %s; kettletree taste --give-up ends it\n", file)
	return nil
}

// giveUp ends the trial that is kept.
func giveUp(c *cli.Context, file string) error {
	err := os.Remove(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &hinted{errors.New("no trial is under way"), "kettletree taste --vary A --vary B --begin begins one"}
	case err != nil:
		return at("remove", file, err)
	}
	fmt.Fprintln(c.App.Writer, "The trial is ended. What was measured stays in the log book.")
	return nil
}

// trialFault leads on from a trial that can't be read.
func trialFault(err error) error {
	if fault, ok := errors.AsType[*taste.FileError](err); ok {
		return &hinted{fault, "kettletree taste --give-up ends the trial"}
	}
	return err
}

// atTheStove is what the rows of a timetable are to say of trials and of what is measured.
func atTheStove(c *cli.Context, k *kitchen.Kitchen) (*taste.Told, error) {
	return ofTaste(c, k, taste.Tell)
}

// ofTaste asks something of the log book and the trial under way. A trial that can't be read holds up nobody: it is said, and the rest goes on without it.
func ofTaste[T any](c *cli.Context, k *kitchen.Kitchen, ask func(context.Context, *kitchen.Kitchen, *logbook.Book, *taste.Kept, time.Time) (T, error)) (answer T, err error) {
	now, err := now()
	if err != nil {
		return answer, err
	}
	kept, err := taste.Read(taste.Path(k.File))
	if err != nil {
		withoutTrial(c, err)
	}
	if k.File == "-" || !logbook.Exists(logbook.Path(k.File)) {
		return ask(c.Context, k, nil, nil, now)
	}
	j, err := logbook.Open(c.Context, logbook.Path(k.File))
	if err != nil {
		return answer, told(err)
	}
	defer func() { _ = j.Close() }() // it is only read
	j.Know(k)
	answer, err = ask(c.Context, k, j, kept, now)
	if fault, ok := errors.AsType[*taste.FileError](err); ok {
		withoutTrial(c, fault)
		return ask(c.Context, k, j, nil, now)
	}
	return answer, err
}

// withoutTrial warns that a trial can't be read.
func withoutTrial(c *cli.Context, fault error) {
	fmt.Fprintf(c.App.ErrWriter, "kettletree: warning: the trial is left out: %v\nkettletree: hint: kettletree taste --give-up ends it\n", fault)
}
