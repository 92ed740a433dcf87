package main

// tonight: what to sell at one service from what is on hand.

import (
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/plan"
)

func tonightCommand() *cli.Command {
	one := slices.DeleteFunc(framing(), func(f cli.Flag) bool {
		return !slices.Contains([]string{"from", "on-hand", "keep-to-the-card", "to-the-card"}, f.Names()[0])
	})
	one[0].(*cli.StringFlag).Usage = option("DATE", "the day, such as 2026-11-24 (default: today)")
	return &cli.Command{
		Name: "tonight", Usage: "what to sell at one service from what is on hand, to earn most",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "at", Usage: option("SERVICE", "the service (default: the last of the day)")},
		}, output(), one),
		Action: func(c *cli.Context) error {
			week, err := weekOf(c, c.Args().Slice(), func(o *menu.Options) {
				o.Days, o.Today = 1, true
			})
			if err != nil {
				return err
			}
			if week.OnHand == nil {
				return &usageError{"what is on hand?",
					"name a CSV file of item,quantity,made with --on-hand, or keep a log book with kettletree log"}
			}
			if c.IsSet("on-hand") {
				minute := 0
				if !c.IsSet("from") {
					asked, err := now()
					if err != nil {
						return err
					}
					minute = int(asked.Sub(week.From).Minutes())
				}
				week = week.AsCounted(minute)
			}
			a, err := plan.ForTonight(c.Context, week, c.String("at"))
			if err != nil {
				return err
			}
			return give(c, a, show.Tonight, show.TonightSheet)
		},
	}
}
