package main

// allergens: what allergens each dish has, and by which way each comes.

import (
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
)

func allergensCommand() *cli.Command {
	return &cli.Command{
		Name: "allergens", Usage: "the allergens of each dish, and what brings each of them",
		Flags: slices.Concat(output(), framing()),
		Action: func(c *cli.Context) error {
			week, err := weekOf(c, c.Args().Slice())
			if err != nil {
				return err
			}
			a := ask.Allergens(week.Kitchen)
			return give(c, a, show.Allergens, show.AllergenSheet)
		},
	}
}
