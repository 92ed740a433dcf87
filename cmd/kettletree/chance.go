package main

// What whatif and plan share when they are asked for chance: the options, and what they may not stand with.

import (
	"fmt"
	"strconv"

	"github.com/urfave/cli/v2"

	"kettletree/menu/ask"
	"kettletree/menu/week"
)

// chanceFlags are the options that ask for chance.
func chanceFlags() []cli.Flag {
	return []cli.Flag{
		&cli.BoolFlag{Name: "chance", Usage: option("",
			"also say how likely it is: each yield and forecast with a spread (± 4 L) is drawn at random, many times")},
		&cli.StringFlag{Name: "draws", Usage: option("N",
			fmt.Sprintf("with --chance, how many times (default: %d, or fewer over many days and dishes)", ask.UsualDraws))},
		&cli.StringFlag{Name: "seed", Usage: option("N",
			fmt.Sprintf("with --chance, the seed of the draws: the same seed draws the same (default: %d)", ask.UsualSeed))},
	}
}

// wager reads the options that ask for chance; nil when it is not asked for.
func wager(c *cli.Context, w *week.Week) (*ask.Wager, error) {
	how := &ask.Wager{Seed: ask.UsualSeed}
	var err error
	if text := c.String("draws"); c.IsSet("draws") {
		if how.Draws, err = strconv.Atoi(text); err != nil || how.Draws < 1 || how.Draws > ask.MostDraws {
			return nil, &usageError{fmt.Sprintf("--draws %q is not a number of draws", text),
				fmt.Sprintf("write a whole number from 1 to %d", ask.MostDraws)}
		}
	}
	if text := c.String("seed"); c.IsSet("seed") {
		if how.Seed, err = strconv.ParseUint(text, 10, 64); err != nil {
			return nil, &usageError{fmt.Sprintf("--seed %q is not a seed", text), "write a whole number from 0, such as 7"}
		}
	}
	if !c.Bool("chance") {
		for _, name := range []string{"draws", "seed"} {
			if c.IsSet(name) {
				return nil, &usageError{"--" + name + " only works with --chance",
					"add --chance, or leave --" + name + " out"}
			}
		}
		return nil, nil
	}
	if c.Bool("rescue") {
		return nil, &usageError{"--chance and --rescue can't be used together", "ask them one at a time"}
	}
	return how, w.Quick("chance plays the days draw by draw")
}

// drawn plays a week draw by draw; nil where nobody asked for that.
func drawn(c *cli.Context, w *week.Week, changes []week.Shock, how *ask.Wager) (*ask.Chances, error) {
	if how == nil {
		return nil, nil
	}
	bar := newProgress(c.App.ErrWriter)
	defer bar.clear()
	return ask.Chance(c.Context, w, changes, *how, bar.trying("every draw"))
}
