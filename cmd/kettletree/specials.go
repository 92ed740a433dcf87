package main

// specials: what would be left or binned, and which dishes use it up.

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/specials"
	"kettletree/menu/week"
)

func specialsCommand() *cli.Command {
	return &cli.Command{
		Name: "specials", Usage: "what would be left over or binned, and which dishes use it up",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringSliceFlag{Name: "without", Usage: option("DISH", "do not propose a dish or special")},
		}, output(), framing()),
		Action: func(c *cli.Context) error {
			week, err := weekOf(c, c.Args().Slice())
			if err != nil {
				return err
			}
			without, err := leftOut(c, week)
			if err != nil {
				return err
			}
			bar := newProgress(c.App.ErrWriter)
			a, err := specials.Specials(c.Context, week, without, bar.trying("every dish"))
			bar.clear()
			if err != nil {
				return err
			}
			return give(c, a, show.Specials, show.SpecialsSheet)
		},
	}
}

// leftOut are the dishes that --without names.
func leftOut(c *cli.Context, w *week.Week) (dishes []int, err error) {
	for _, name := range c.StringSlice("without") {
		d, err := w.FindDish(name)
		if err != nil {
			return nil, &usageError{msg: fmt.Sprintf("--without %q: %v", name, err)}
		}
		dishes = append(dishes, d)
	}
	return dishes, nil
}
