package main

// trace: the two trees of an item, or of a lot.

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
)

func traceCommand() *cli.Command {
	return &cli.Command{
		Name: "trace", Usage: "what an item, dish or lot comes from, and what is made of it",
		Flags: slices.Concat([]cli.Flag{&cli.StringFlag{Name: "lot", Usage: option("LOT",
			"a lot's mark, or the number of an entry, in place of an item: where it went and what it came from, by the "+
				"log book")}}, output(), framing()),
		Action: func(c *cli.Context) error {
			if c.IsSet("lot") {
				return traceLot(c)
			}
			item, kitchen, err := apart(c, "item")
			if err != nil {
				return err
			}
			week, err := weekOf(c, kitchen)
			if err != nil {
				return err
			}
			a, err := ask.Trace(c.Context, week, item)
			if err != nil {
				return &usageError{msg: err.Error()}
			}
			return give(c, a, show.Trace, show.TraceSheet)
		},
	}
}

// traceLot traces a lot by the log book, up to now.
func traceLot(c *cli.Context) error {
	args := c.Args().Slice()
	if len(args) > 1 || len(args) == 1 && !looksLikeKitchen(args[0]) {
		return &usageError{fmt.Sprintf("%q can't be used with --lot", args[len(args)-1]),
			"ask about a lot or about an item; the only argument with --lot is a kitchen file"}
	}
	for _, f := range framing() {
		if name := f.Names()[0]; c.IsSet(name) {
			return &usageError{fmt.Sprintf("--lot and --%s can't be used together", name),
				"a lot is traced through the whole log book, up to now: leave --" + name + " out"}
		}
	}
	name := c.String("lot")
	if name == "" {
		return &usageError{"trace which lot?",
			"write its mark, --lot A17, or the number of the entry that brought it"}
	}
	kitchen, j, today, err := written(c)
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }()
	a, err := j.TraceLot(c.Context, kitchen, name, today)
	if err != nil {
		return told(err)
	}
	return give(c, a, show.Lot, show.LotSheet)
}
