package main

// on-hand: what there is, by the log book, and lists to count by.

import (
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/logbook"
)

func onHandCommand() *cli.Command {
	when := slices.DeleteFunc(framing(), func(f cli.Flag) bool { return f.Names()[0] != "from" })
	when[0].(*cli.StringFlag).Usage = option("DATE", "as of the beginning of a day, such as 2026-11-24 (default: now)")
	return &cli.Command{
		Name: "on-hand", Usage: "what is on hand now, lot by lot, by the log book; a list to count by",
		Flags: slices.Concat([]cli.Flag{
			&cli.BoolFlag{Name: "sheet", Usage: option("", "a list to count by, place by place: as CSV, which log import takes back")},
			&cli.StringFlag{Name: "html", Usage: option("FILE", "write the list to count by as a page to print")},
		}, output(), when),
		Action: onHand,
	}
}

func onHand(c *cli.Context) error {
	o, err := options(c, c.Args().Slice())
	if err != nil {
		return err
	}
	a, err := held(c, o)
	if err != nil {
		return err
	}
	if file := c.String("html"); file != "" {
		page, err := show.CountPage(a)
		if err != nil {
			return err
		}
		if err := save(file, page); err != nil {
			return err
		}
	}
	if c.Bool("sheet") && !c.Bool("json") {
		text, err := show.CountSheet(a).CSV()
		if err != nil {
			return err
		}
		return put(c, []byte(text))
	}
	return give(c, a, show.OnHand, show.OnHandSheet)
}

// held is what is on hand. What was found in the files is said.
func held(c *cli.Context, o menu.Options) (*logbook.OnHand, error) {
	a, faults, err := menu.OnHand(c.Context, o)
	if err != nil {
		return nil, told(err)
	}
	k := &opened{file: o.Kitchen.Name, faults: faults}
	if a == nil {
		k.tell(c.App.ErrWriter)
		return nil, errTold
	}
	for _, line := range a.Notes {
		behind(c, line)
	}
	k.tellAfter(c)
	return a, nil
}
