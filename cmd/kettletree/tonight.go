package main

// tonight: what to sell at one service from what is on hand.

import (
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/plan"
)

func tonightCommand() *cli.Command {
	one := slices.DeleteFunc(framing(), func(f cli.Flag) bool { return !slices.Contains([]string{"from", "on-hand"}, f.Names()[0]) })
	one[0].(*cli.StringFlag).Usage = option("DATE", "the day, such as 2026-11-24 (default: today)")
	return &cli.Command{
		Name: "tonight", Usage: "what to sell at one service from what is on hand, to earn most",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "at", Usage: option("SERVICE", "the service (default: the last of the day)")},
		}, output(), one),
		Action: func(c *cli.Context) error {
			now := 0
			week, err := weekOf(c, c.Args().Slice(), func(o *menu.Options) {
				if o.Days = 1; o.From.IsZero() {
					o.From = o.Now.Truncate(24 * time.Hour)
					now = int(o.Now.Sub(o.From).Minutes())
				}
			})
			if err != nil {
				return err
			}
			if week.OnHand == nil {
				return &usageError{"what is on hand?",
					"name a CSV file of item,quantity,made with --on-hand, or keep a log book with kettletree log"}
			}
			if c.IsSet("on-hand") {
				week = week.AsCounted(now)
			}
			a, err := plan.ForTonight(c.Context, week, c.String("at"))
			if err != nil {
				return err
			}
			return give(c, a, show.Tonight, show.TonightSheet)
		},
	}
}
