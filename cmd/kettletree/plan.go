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
			&cli.BoolFlag{Name: "keep", Usage: option("", "keep the plan: every command goes by it on its days from now on")},
			&cli.BoolFlag{Name: "drop", Usage: option("", "take back the plan that was kept last; the one before it is kept again")},
			&cli.StringFlag{Name: "save", Usage: option("FILE", "write the plan to another file, for --plan of the other commands")},
			&cli.BoolFlag{Name: "into-file", Usage: option("", "propose the plan's batches as the standing week of the kitchen file")},
			&cli.BoolFlag{Name: "yes", Usage: option("", "with --into-file: write without asking")},
			&cli.BoolFlag{Name: "repeat", Usage: option("", "find a week that feeds itself: its end leaves what its beginning needs")},
			&cli.StringSliceFlag{Name: "without", Usage: option("DISH", "leave a dish or special out")},
		}, chanceFlags(), output(), framing()),
		Action: planned,
	}
}

func planned(c *cli.Context) error {
	if c.IsSet("plan") {
		return &usageError{"--plan is for the other commands", "plan makes a new plan; keep it with --keep"}
	}
	if c.Bool("drop") {
		return dropPlan(c)
	}
	file := kitchenFile(c.Args().Slice())
	if err := planUsage(c, file); err != nil {
		return err
	}
	o, err := options(c, c.Args().Slice())
	if err != nil {
		return err
	}
	o.Afresh = true
	k, err := open(c, o)
	if err != nil {
		return err
	}
	week, err := k.sound(c)
	if err != nil {
		return err
	}
	how, err := wager(c, week)
	if err != nil {
		return err
	}
	wishes, err := planWishes(c, week)
	if err != nil {
		return err
	}
	bar := newProgress(c.App.ErrWriter)
	wishes.Progress = bar.search
	find := plan.Make
	if c.Bool("repeat") {
		if why := plan.CanRepeat(week); why != "" {
			return &usageError{"--repeat: " + why, "name a plain week, with --from and --days 7"}
		}
		find = plan.Repeat
		delete(c.App.Metadata, presumed) // it feeds itself from nothing on hand
	}
	p, err := find(c.Context, week, wishes)
	bar.clear()
	if clash, ok := errors.AsType[*plan.Clash](err); ok {
		return &hinted{clash, "drop one of them, in the file or in --batches"}
	}
	if err != nil {
		return err
	}
	a := p.Answer()
	if a.Chance, err = drawn(c, p.Week(), nil, how); err != nil {
		return err
	}
	if name := c.String("save"); name != "" {
		text, err := p.Kept().Over(nil, o.Now).Text()
		if err != nil {
			return err
		}
		if err := save(name, text); err != nil {
			return err
		}
		done(c, "the other commands go by it with --plan "+name, "the plan is written to %s", name)
	}
	if c.Bool("keep") {
		if err := p.Kept().Keep(plan.Path(file), o.Now, save); err != nil {
			return err
		}
		done(c, planHint, "the plan is kept in %s", plan.Path(file))
		fmt.Fprintf(c.App.ErrWriter, "kettletree: kept for %s, in %s; kettletree plan --drop takes it back\n", p.Kept().Span(), plan.Path(file))
	}
	if c.Bool("into-file") {
		change, text, err := p.Kept().IntoFile(week.Kitchen, o.Kitchen.Text)
		if err != nil {
			return unamended(c, week.Kitchen, err)
		}
		return intoFile(c, file, "plan --into-file", o.Kitchen.Text, text, change, &change.Written, show.PlanProposal, func(p *plan.Proposal) bool { return p.Diff != "" })
	}
	return give(c, a, show.Plan, show.PlanSheet)
}

// planHint says what to do when a plan that was written can't be shown.
const planHint = "the other commands go by it; \"kettletree clock\" shows its days"

// planUsage says what does not go together.
func planUsage(c *cli.Context, file string) error {
	switch {
	case c.Bool("yes") && !c.Bool("into-file"):
		return &usageError{"--yes only works with --into-file", "only a change to the kitchen file needs a yes"}
	case c.Bool("into-file") && c.Bool("csv"):
		return &usageError{"--into-file and --csv can't be used together", "choose one"}
	case c.Bool("into-file") && c.Bool("chance"):
		return &usageError{"--into-file and --chance can't be used together", "ask how sure the plan is without --into-file"}
	case file == "-" && c.Bool("keep"):
		return &usageError{"a plan is kept beside the kitchen file, and standard input has no place", "name the file, or use --save FILE"}
	case file == "-" && c.Bool("into-file"):
		return &usageError{"a kitchen from standard input can't be changed", "name the kitchen file"}
	}
	return nil
}

// dropPlan takes back the plan that was kept last.
func dropPlan(c *cli.Context) error {
	for _, other := range []string{"keep", "save", "into-file", "batches", "repeat", "without"} {
		if c.IsSet(other) {
			return &usageError{fmt.Sprintf("--drop and --%s can't be used together", other), "drop the plan first, then plan again"}
		}
	}
	file := kitchenFile(c.Args().Slice())
	if file == "-" {
		return &usageError{"a plan is kept beside the kitchen file, and standard input has no place", "name the file"}
	}
	is, dropped, err := plan.Drop(plan.Path(file))
	if dropped {
		done(c, "do not drop it again: that would take back the one before it", "the plan is dropped")
	}
	switch {
	case err != nil:
		return told(err)
	case !dropped:
		return &hinted{fmt.Errorf("no plan is kept beside %s", file), "kettletree plan --keep keeps one"}
	case is == nil:
		return put(c, []byte("The plan is dropped. The kitchen goes by its standing week.\n"))
	}
	return put(c, fmt.Appendf(nil, "The plan is dropped. The one before it is kept again, for %s.\n", is.Span()))
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
