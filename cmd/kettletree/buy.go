package main

// buy: the shopping list of an arrival day, what a banquet takes beyond the standing week, and what to buy at a counter.

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/shop"
	"kettletree/menu/week"
)

func buyCommand() *cli.Command {
	return &cli.Command{
		Name: "buy", Usage: "the shopping list for a delivery day, what a banquet takes, what to buy at a counter",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "on", Usage: option("DAY",
				"a weekday or a date (default: the first day with anything to buy)")},
			&cli.BoolFlag{Name: "all", Usage: option("", "every day with anything to buy")},
			&cli.StringSliceFlag{Name: "need", Usage: option("DISH=PORTIONS|ITEM=AMOUNT",
				"a banquet, beyond the standing week")},
			&cli.StringFlag{Name: "at", Usage: option("DAY [SERVICE]",
				"when the banquet is (default: the first service that it can all be ready for)")},
			langFlag(),
		}, counterFlags(), output(), framing()),
		Action: func(c *cli.Context) error {
			counter, err := atCounter(c)
			if err != nil {
				return err
			}
			week, err := weekOf(c, c.Args().Slice())
			if err != nil {
				return err
			}
			if counter {
				return buyAtCounter(c, week)
			}
			if c.IsSet("lang") && c.IsSet("need") {
				return &usageError{"--lang goes with the shopping list, and a banquet comes in English only", "leave one of them out"}
			}
			_, week, err = toldIn(c, week)
			if err != nil {
				return err
			}
			o, err := buyOptions(c, week)
			if err != nil {
				return err
			}
			bar := newProgress(c.App.ErrWriter)
			o.Trying = bar.trying("ways to cook the banquet")
			list, err := shop.ToBuy(c.Context, week, o)
			bar.clear()
			if err != nil {
				return err
			}
			return give(c, list, show.BuyIn(week.Kitchen), show.BuySheet)
		},
	}
}

// buyOptions reads which days are asked for, and the banquet.
func buyOptions(c *cli.Context, week *week.Week) (o shop.BuyOptions, err error) {
	o.All = c.Bool("all")
	if text := c.String("on"); c.IsSet("on") {
		if o.All {
			return o, &usageError{"--on and --all can't be used together", "choose one"}
		}
		if o.Days, err = week.DaysNamed(text); err != nil {
			return o, &usageError{msg: fmt.Sprintf("--on %q: %v", text, err)}
		}
	}
	for _, text := range c.StringSlice("need") {
		n, err := shop.ReadNeed(week, text)
		if err != nil {
			return o, &usageError{msg: err.Error()}
		}
		o.Need = append(o.Need, n)
	}
	if text := c.String("at"); c.IsSet("at") {
		if o.Need == nil {
			return o, &usageError{"--at says when a banquet is, but there is no --need",
				fmt.Sprintf("say what, as in --need \"%s=200\"", week.Example().Dish)}
		}
		if o.At, err = week.SlotsNamed(text); err != nil {
			return o, &usageError{msg: fmt.Sprintf("--at %q: %v", text, err)}
		}
	}
	return o, nil
}
