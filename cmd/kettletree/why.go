package main

// why: the derivation of a figure.

import (
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
)

func whyCommand() *cli.Command {
	return &cli.Command{
		Name: "why", Usage: "how any one figure was derived",
		Flags: slices.Concat(output(), shockFlags(), framing()),
		Action: func(c *cli.Context) error {
			figure, kitchen, err := apart(c, "figure")
			if err != nil {
				return err
			}
			week, err := weekOf(c, kitchen)
			if err != nil {
				return err
			}
			changes, err := shocks(c, week)
			if err != nil {
				return err
			}
			a, err := ask.Why(c.Context, week, figure, changes)
			if err != nil {
				return &usageError{msg: err.Error()}
			}
			return give(c, a, show.Why, show.WhySheet)
		},
	}
}
