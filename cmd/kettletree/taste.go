package main

// taste: how batches came out, and why.

import (
	"errors"
	"fmt"
	"slices"
	"strings"

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
	now, err := now()
	if err != nil {
		return err
	}
	a, err := taste.Of(c.Context, k, j, of, now, c.StringSlice("vary"))
	if vary, ok := errors.AsType[*taste.VaryError](err); ok {
		return &usageError{vary.Msg, vary.Hint}
	} else if err != nil {
		return told(err)
	}
	a.LogBook = logbook.Path(k.File)
	if name := c.String("svg"); name != "" {
		drawn := show.TasteCharts(a)
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
