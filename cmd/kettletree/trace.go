package main

// trace: the two trees of an item.

import (
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
)

func traceCommand() *cli.Command {
	return &cli.Command{
		Name: "trace", Usage: "what an item or dish comes from, and what comes of it",
		Flags: slices.Concat(output(), framing()),
		Action: func(c *cli.Context) error {
			item, kitchen, err := apart(c, "item")
			if err != nil {
				return err
			}
			week, err := ask(c, kitchen)
			if err != nil {
				return err
			}
			a, err := week.Trace(item)
			if err != nil {
				return &usageError{msg: err.Error()}
			}
			return give(c, answer{
				data:  a,
				sheet: func() show.Sheet { return show.TraceSheet(a) },
				text:  func(p show.Page) string { return show.Trace(p, a) },
			})
		},
	}
}
