package main

// cost: the menu table and the tables behind it.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
)

// costTables are the tables that cost can show, in their order; the first is shown when none is asked for.
var costTables = []struct {
	option string
	means  string
	text   func(show.Page, *ask.CostSheet) string
	sheet  func(*ask.CostSheet) show.Sheet
}{
	{"menu", "the menu table: what each portion costs and leaves (the default)", show.Menu, show.MenuSheet},
	{"steps", "what a batch of each step costs, and how that is shared", show.Bills, show.BillSheet},
	{"items", "what one unit of each item costs", show.UnitCosts, show.UnitCostSheet},
	{"sway", "for each dish, which 10% price rise costs it most", show.Sways, show.SwaySheet},
}

func costCommand() *cli.Command {
	cmd := &cli.Command{Name: "cost", Usage: "what a portion costs when the pot's bill is shared fairly", Action: cost}
	for _, t := range costTables {
		cmd.Flags = append(cmd.Flags, &cli.BoolFlag{Name: t.option, Usage: option("", t.means)})
	}
	kilos := &cli.BoolFlag{Name: "kilos", Usage: option("", "where each bought kilo goes: on which dish, or lost")}
	was := &cli.BoolFlag{Name: asItWas, Usage: option("",
		"what was sold and what is left over cost by the log book, and how that differs from the\n"+
			"        file (default: the seven days up to today)")}
	closes := &cli.BoolFlag{Name: "close", Usage: option("", "with --as-it-was: close the period: opening, purchases, closing and what was used, by group")}
	cmd.Flags = slices.Concat(cmd.Flags, []cli.Flag{kilos, was, closes}, output(), framing())
	return cmd
}

// asItWas is the option that asks the log book what things cost.
const asItWas = "as-it-was"

func cost(c *cli.Context) error {
	chosen := costTables[:0:0]
	for _, t := range costTables {
		if c.Bool(t.option) {
			chosen = append(chosen, t)
		}
	}
	if c.Bool("close") && !c.Bool(asItWas) {
		return &usageError{"--close needs --" + asItWas, "it closes a period by the log book"}
	}
	if c.Bool(asItWas) {
		return costAsItWas(c, len(chosen) > 0 || c.Bool("kilos"))
	}
	if kilos := c.Bool("kilos"); kilos && len(chosen) > 0 || c.Bool("csv") && len(chosen) > 1 {
		return &usageError{"these tables can't be shown together",
			"ask for --kilos by itself, and for one table with --csv"}
	} else if len(chosen) == 0 {
		chosen = costTables[:1]
	}
	week, err := weekOf(c, c.Args().Slice())
	if err != nil {
		return err
	}
	if c.Bool("kilos") {
		a, err := ask.Kilos(c.Context, week)
		if err != nil {
			return err
		}
		return give(c, a, show.Kilos, show.KiloSheet)
	}
	a, err := ask.Cost(c.Context, week)
	if err != nil {
		return err
	}
	all := func(p show.Page, a *ask.CostSheet) string {
		var texts []string
		for _, t := range chosen {
			texts = append(texts, t.text(p, a))
		}
		return strings.Join(texts, "\n")
	}
	return give(c, a, all, chosen[0].sheet)
}

// costAsItWas is what things cost by the log book, over the days that were asked about.
func costAsItWas(c *cli.Context, others bool) error {
	if others {
		return &usageError{"these tables can't be shown together", "ask for --as-it-was by itself"}
	}
	for _, plans := range []string{"on-hand", "plan", "rule"} {
		if c.IsSet(plans) {
			return &usageError{"--as-it-was and --" + plans + " can't be used together",
				"that comes from the log book alone: leave --" + plans + " out"}
		}
	}
	o, err := framed(c)
	if err != nil {
		return err
	}
	from, days := o.From, cmp.Or(o.Days, 7)
	kitchen, j, today, err := written(c)
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }() // it is only read
	if !c.IsSet("from") {
		from = kitchen.DayAt(today).AddDate(0, 0, 1-days)
	}
	if from.After(today) {
		return &usageError{fmt.Sprintf("%s is in the future", from.Format(time.DateOnly)),
			"--as-it-was is about days up to today"}
	}
	a, err := j.AsItWas(c.Context, kitchen, today, from, from.AddDate(0, 0, days))
	if err != nil {
		return told(err)
	}
	if len(a.Items) == 0 {
		return &hinted{fmt.Errorf("nothing was logged from %s to %s, and nothing was on hand", a.From, a.To),
			"--from and --days name other days; \"kettletree log show\" lists what was logged"}
	}
	if c.Bool("close") {
		return give(c, a, show.Close, show.CloseSheet)
	}
	return give(c, a, show.AsItWas, show.AsItWasSheet)
}
