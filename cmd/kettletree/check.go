package main

// check: the faults of a kitchen, and of what is on hand.

import (
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
)

func checkCommand() *cli.Command {
	return &cli.Command{
		Name: "check", Usage: "say what is wrong with a kitchen file; silent when nothing is",
		Flags: slices.Concat([]cli.Flag{
			&cli.BoolFlag{Name: "open", Usage: option("", "list what the file leaves open, and what in it is a guess")},
			&cli.BoolFlag{Name: "into-file", Usage: option("", "with --open: take all that is proposed, written as guesses, if you say yes")},
			&cli.BoolFlag{Name: "yes", Usage: option("", "with --into-file: write without asking")},
		}, output(), framing()),
		Action: func(c *cli.Context) error {
			if c.Bool("into-file") && !c.Bool("open") || c.Bool("yes") && !c.Bool("into-file") {
				return &usageError{"--into-file goes with --open, and --yes with both", "kettletree check --open --into-file takes what is proposed"}
			}
			o, err := options(c, c.Args().Slice())
			if err != nil {
				return err
			}
			k, err := open(c, o)
			if err != nil {
				return err
			}
			if k.week != nil {
				if _, err := ask.Cost(c.Context, k.week); err != nil {
					return err
				}
				_, photos, err := photosOf(k.week.Kitchen)
				if err != nil {
					return err
				}
				k.faults = k.faults.With(k.week.Kitchen.Advice).With(photos)
			}
			if c.Bool("open") {
				if k.week == nil {
					k.tell(c.App.ErrWriter)
					return errTold
				}
				a, err := ask.Open(c.Context, k.week)
				if err != nil {
					return err
				}
				if c.Bool("into-file") {
					return takeProposals(c, o, k.week, a)
				}
				k.tellAfter(c)
				return give(c, a, show.Open, show.OpenSheet)
			}
			switch {
			case c.Bool("json") || c.Bool("csv"):
				err = give(c, show.FaultsOf(k.file, k.faults), nil, show.FaultSheet)
			case c.String("out") != "":
				err = &usageError{"--out has nothing to write",
					"add --json or --csv: faults in words go to standard error"}
			default:
				k.tell(c.App.ErrWriter)
			}
			if err == nil && k.week == nil {
				err = errTold
			}
			return err
		},
	}
}
