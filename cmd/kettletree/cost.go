package main

// cost: the menu table and the tables behind it.

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
)

// costTables are the tables that cost can show, in their order; the first is shown when none is asked for.
var costTables = []struct {
	option string
	means  string
	text   func(show.Page, *menu.CostSheet) string
	sheet  func(*menu.CostSheet) show.Sheet
}{
	{"menu", "the menu table: what each portion costs and leaves (the default)", show.Menu, show.MenuSheet},
	{"steps", "each step's bill for a batch, and who bears how much of it", show.Bills, show.BillSheet},
	{"items", "what one unit of each item costs", show.UnitCosts, show.UnitCostSheet},
	{"sway", "for each dish, what moves its cost most when it is 10 % dearer", show.Sways, show.SwaySheet},
}

func costCommand() *cli.Command {
	cmd := &cli.Command{Name: "cost", Usage: "what a portion costs when the pot's bill is shared fairly", Action: cost}
	for _, t := range costTables {
		cmd.Flags = append(cmd.Flags, &cli.BoolFlag{Name: t.option, Usage: option("", t.means)})
	}
	kilos := &cli.BoolFlag{Name: "kilos", Usage: option("", "where each bought kilo goes: on which dish, or lost")}
	cmd.Flags = slices.Concat(cmd.Flags, []cli.Flag{kilos}, output(), framing())
	return cmd
}

func cost(c *cli.Context) error {
	chosen := costTables[:0:0]
	for _, t := range costTables {
		if c.Bool(t.option) {
			chosen = append(chosen, t)
		}
	}
	if kilos := c.Bool("kilos"); kilos && len(chosen) > 0 || c.Bool("csv") && len(chosen) > 1 {
		return &usageError{"these tables can't stand in one answer",
			"ask for --kilos by itself, and for one table with --csv"}
	} else if len(chosen) == 0 {
		chosen = costTables[:1]
	}
	week, err := ask(c, c.Args().Slice())
	if err != nil {
		return err
	}
	if c.Bool("kilos") {
		a, err := week.Kilos()
		if err != nil {
			return err
		}
		return give(c, answer{
			data:  a,
			sheet: func() show.Sheet { return show.KiloSheet(a) },
			text:  func(p show.Page) string { return show.Kilos(p, a) },
		})
	}
	a, err := week.Cost()
	if err != nil {
		return err
	}
	return give(c, answer{
		data:  a,
		sheet: func() show.Sheet { return chosen[0].sheet(a) },
		text: func(p show.Page) string {
			var texts []string
			for _, t := range chosen {
				texts = append(texts, t.text(p, a))
			}
			return strings.Join(texts, "\n")
		},
	})
}
