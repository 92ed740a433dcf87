package main

// whatif: what follows from changes, and on request the map of it.

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/draw"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/rescue"
	"kettletree/menu/week"
)

func whatifCommand() *cli.Command {
	return &cli.Command{
		Name: "whatif", Usage: "what runs out, when and why, if something goes wrong",
		Flags: slices.Concat(
			[]cli.Flag{&cli.StringFlag{Name: "map", Usage: option("FILE",
				"also draw what runs out and short, as SVG, to a file")},
				&cli.BoolFlag{Name: "rescue", Usage: option("",
					"also say what can still be done, what that saves, and by when to decide")}},
			chanceFlags(), output(), shockFlags(), framing()),
		Action: func(c *cli.Context) error {
			week, err := weekOf(c, c.Args().Slice())
			if err != nil {
				return err
			}
			changes, err := shocks(c, week)
			if err != nil {
				return err
			}
			if c.Bool("rescue") && len(changes) == 0 {
				return &usageError{"--rescue needs a mishap: nothing has gone wrong",
					fmt.Sprintf("say what has, as in kettletree whatif --lose \"%s@%s\" --rescue", week.Example().Step, week.Example().Day)}
			}
			how, err := wager(c, week)
			if err != nil {
				return err
			}
			if week, changes, err = beforeLosses(c, week, changes); err != nil {
				return err
			}
			what, err := ask.WhatIf(c.Context, week, changes)
			if err != nil {
				return err
			}
			if err := what.Refuse(c.Context, week); err != nil {
				return err
			}
			a := rescue.WhatIf{Consequences: what}
			if c.Bool("rescue") {
				bar := newProgress(c.App.ErrWriter)
				a.Rescue, err = rescue.Find(c.Context, week, changes, bar.trying("every move"))
				bar.clear()
				if err != nil {
					return err
				}
			}
			var stopped error
			if a.Chance, stopped = drawn(c, week, changes, how); stopped != nil && a.Chance == nil {
				return stopped
			}
			if file := c.String("map"); file != "" {
				if err := mapTo(c, file, week, changes); err != nil {
					return err
				}
			}
			return cmp.Or(give(c, a, show.WhatIf, show.WhatIfSheet), stopped) // what was drawn before it was stopped is shown
		},
	}
}

// beforeLosses is the week in which losses that are asked about, and stand in the log book, are not known.
func beforeLosses(c *cli.Context, w *week.Week, changes []week.Shock) (*week.Week, []week.Shock, error) {
	o, err := options(c, c.Args().Slice())
	if err != nil {
		return nil, nil, err
	}
	return menu.BeforeLosses(w, changes, o.Now, func(at time.Time) (*week.Week, error) {
		o.Now = at
		before, _, err := menu.Open(c.Context, o)
		return before, err
	})
}

// mapTo draws the week with changes to a file.
func mapTo(c *cli.Context, file string, week *week.Week, changes []week.Shock) error {
	picture, err := ask.Map(c.Context, week, changes, "", usualBy(changes))
	if err != nil {
		return err
	}
	svg, err := draw.Render(c.Context, picture)
	if err != nil {
		return err
	}
	return save(file, svg)
}
