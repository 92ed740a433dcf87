package main

// specials: what would be left or binned, and which dishes use it up.

import (
	"fmt"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/specials"
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
			var without []int
			for _, name := range c.StringSlice("without") {
				d, err := week.FindDish(name)
				if err != nil {
					return &usageError{msg: fmt.Sprintf("--without %q: %v", name, err)}
				}
				without = append(without, d)
			}
			bar := newProgress(c.App.ErrWriter)
			a, err := specials.Specials(c.Context, week, without, bar.dishes)
			bar.clear()
			if err != nil {
				return err
			}
			return give(c, a, show.Specials, show.SpecialsSheet)
		},
	}
}

// dishes tells which part of the dishes has been tried.
func (p *progress) dishes(done float64) {
	now := time.Now()
	if p.w == nil || now.Sub(p.began) < patience || now.Sub(p.told) < patience {
		return
	}
	p.told = now
	fmt.Fprintf(p.w, "\rtrying every dish: %.0f%%", 100*done)
}
