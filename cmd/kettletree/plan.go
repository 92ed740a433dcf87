package main

// plan: what to cook, buy and sell, with word of how good the best found is for those who wait at a terminal.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/plan"
	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
)

func planCommand() *cli.Command {
	return &cli.Command{
		Name: "plan", Usage: "what to cook, buy and sell, day by day, to earn most",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringSliceFlag{Name: "batches", Usage: option("STEP[@DAY]=BATCHES", "set the batches of a step, on a day, or on all of its standing week (0: on every day)")},
			&cli.StringFlag{Name: "save", Usage: option("FILE", "keep the plan, for --plan of the other commands")},
			&cli.StringSliceFlag{Name: "without", Usage: option("DISH", "leave a dish or special out")},
		}, chanceFlags(), output(), framing()),
		Action: func(c *cli.Context) error {
			if c.IsSet("plan") {
				return &usageError{"--plan is for the other commands", "plan makes a new plan; keep it with --save"}
			}
			week, err := weekOf(c, c.Args().Slice())
			if err != nil {
				return err
			}
			how, err := wager(c, week)
			if err != nil {
				return err
			}
			o, err := planWishes(c, week)
			if err != nil {
				return err
			}
			bar := newProgress(c.App.ErrWriter)
			o.Progress = bar.search
			p, err := plan.Make(c.Context, week, o)
			bar.clear()
			if clash, ok := errors.AsType[*plan.Clash](err); ok {
				return &hinted{clash, "drop one of them, in the file or in --batches"}
			}
			if err != nil {
				return err
			}
			if file := c.String("save"); file != "" {
				text, err := show.JSON(p.Save())
				if err != nil {
					return err
				}
				if err := save(file, []byte(text)); err != nil {
					return err
				}
			}
			a := p.Answer()
			if a.Chance, err = drawn(c, p.Week(), nil, how); err != nil {
				return err
			}
			return give(c, a, show.Plan, show.PlanSheet)
		},
	}
}

// planWishes reads what is fixed and left out.
func planWishes(c *cli.Context, week *week.Week) (o plan.Options, err error) {
	for _, text := range c.StringSlice("batches") {
		f, err := plan.ReadFix(week, text)
		if err != nil {
			return o, &usageError{msg: err.Error()}
		}
		o.Fix = append(o.Fix, f)
	}
	o.Without, err = leftOut(c, week)
	return o, err
}

// search tells how good the best plan is that has been found, and how good one could be.
func (p *progress) search(s solve.Progress) {
	now := time.Now()
	if p.w == nil || now.Sub(p.began) < 2*patience || now.Sub(p.told) < patience {
		return
	}
	p.told = now
	if s.Objective != s.Objective {
		fmt.Fprintf(p.w, "\r\x1b[Klooking for a plan: none can beat %.0f", s.Bound)
		return
	}
	gap := ""
	if math.Abs(s.Objective) >= 1 { // of nothing there is no share
		gap = fmt.Sprintf(" (gap %.2f%%)", 100*s.Gap)
	}
	fmt.Fprintf(p.w, "\r\x1b[Kbest plan so far %.0f, none can beat %.0f%s; Ctrl-C prints it", s.Objective, s.Bound, gap)
}
