package main

// buy: the shopping list of an arrival day, what a banquet takes beyond the standing week, and what to buy at a counter.

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
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
			week, err := weekOf(c, c.Args().Slice(), func(o *menu.Options) { o.FromNow = counter })
			if err != nil {
				return err
			}
			if counter {
				return buyAtCounter(c, week)
			}
			own := week
			_, week, err = toldIn(c, week)
			if err != nil {
				return err
			}
			o, err := buyOptions(c, own, week)
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
			phrases(c, week.Kitchen, list.Notes)
			return give(c, list, show.BuyIn(week.Kitchen), show.BuySheet)
		},
	}
}

// buyOptions reads which days are asked for, and the banquet.
func buyOptions(c *cli.Context, own, told *week.Week) (o shop.BuyOptions, err error) {
	o.All = c.Bool("all")
	if text := c.String("on"); c.IsSet("on") {
		if o.All {
			return o, &usageError{"--on and --all can't be used together", "choose one"}
		}
		if o.Days, err = inEither(own, told, func(w *week.Week) ([]int, error) { return w.DaysNamed(text) }); err != nil {
			return o, &usageError{msg: fmt.Sprintf("--on %q: %v", text, err)}
		}
	}
	for _, text := range c.StringSlice("need") {
		n, err := inEither(own, told, func(w *week.Week) (shop.Need, error) { return shop.ReadNeed(w, text) })
		if err != nil {
			return o, &usageError{msg: err.Error()}
		}
		o.Need = append(o.Need, n)
	}
	if text := c.String("at"); c.IsSet("at") {
		if o.Need == nil {
			return o, &usageError{"--at says when a banquet is, but there is no --need",
				fmt.Sprintf("say what, as in --need \"%s=200\"", own.Example().Dish)}
		}
		if o.At, err = inEither(own, told, func(w *week.Week) ([]int, error) { return w.SlotsNamed(text) }); err != nil {
			return o, &usageError{msg: fmt.Sprintf("--at %q: %v", text, err)}
		}
	}
	return o, nil
}
