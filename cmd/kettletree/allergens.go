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
		Flags: slices.Concat([]cli.Flag{
			&cli.BoolFlag{Name: "grid", Usage: option("", "dish by allergen, as a notice")},
			&cli.BoolFlag{Name: "ways", Usage: option("", "with --grid: by which way each allergen comes")},
			&cli.StringFlag{Name: "html", Usage: option("FILE", "write the grid as one page to print")},
			langFlag(),
		}, output(), framing()),
		Action: allergens,
	}
}

func allergens(c *cli.Context) error {
	if c.Bool("ways") && !c.Bool("grid") && !c.IsSet("html") {
		return &usageError{"--ways stands with --grid", "add --grid; without it every way is shown"}
	}
	week, err := weekOf(c, c.Args().Slice())
	if err != nil {
		return err
	}
	voice, week, err := toldIn(c, week)
	if err != nil {
		return err
	}
	if !c.Bool("grid") && !c.IsSet("html") {
		sheet := ask.Allergens(week.Kitchen)
		if c.Bool("json") {
			sheet.Caution = voice.Word(sheet.Caution)
		}
		return give(c, sheet, show.Allergens, show.AllergenSheet)
	}
	grid := ask.Grid(week.Kitchen)
	if file := c.String("html"); file != "" {
		page, err := show.GridPage(show.Page{Voice: voice}, grid, c.Bool("ways"))
		if err != nil {
			return err
		}
		if err := save(file, page); err != nil {
			return err
		}
	}
	if c.Bool("json") {
		grid.Caution = voice.Word(grid.Caution)
	}
	return give(c, grid, show.Grid(c.Bool("ways")), show.GridSheet)
}
