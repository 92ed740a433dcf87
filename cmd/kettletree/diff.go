package main

// diff: what changed from one kitchen file to another, or since it was changed from here, and what follows from that.

import (
	"fmt"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

func diffCommand() *cli.Command {
	return &cli.Command{
		Name: "diff", Usage: "what changed from one kitchen file to another, and what that does to costs and shortages",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "since", Usage: option("DATE", "of one kitchen file: what was changed from here from this day on (default: the last change)")},
		}, output(), framing()),
		Action: diff,
	}
}

func diff(c *cli.Context) error {
	args := c.Args().Slice()
	if len(args) > 2 {
		return &usageError{fmt.Sprintf("%q is one kitchen file too many", args[2]), "name the earlier one and the later one"}
	}
	if len(args) == 2 && c.IsSet("since") {
		return &usageError{"--since is for one kitchen file", "name one, and see what was changed in it from here"}
	}
	later := args[:min(len(args), 1)]
	if len(args) == 2 {
		later = args[1:]
	}
	o, err := options(c, later)
	if err != nil {
		return err
	}
	o.LogBook, o.Plan = "", menu.Source{} // both by the file alone, which is all that differs
	before := o
	if len(args) == 2 {
		earlier, err := options(c, args[:1])
		if err != nil {
			return err
		}
		before.Kitchen = earlier.Kitchen
	} else if before.Kitchen, err = asItWasBefore(c, o.Kitchen); err != nil {
		return err
	}
	a, err := differ(c, before, o)
	if err != nil {
		return err
	}
	a.Before, a.After = before.Kitchen.Name, o.Kitchen.Name
	return give(c, a, show.Difference, show.DifferenceSheet)
}

// asItWasBefore is a kitchen file as it was before the changes that are asked about.
func asItWasBefore(c *cli.Context, now menu.Source) (was menu.Source, err error) {
	since := c.String("since")
	if since != "" {
		if _, err := time.Parse(time.DateOnly, since); err != nil {
			return was, &usageError{fmt.Sprintf("--since %q is not a date", since), "write it as 2026-11-23"}
		}
	}
	text, first, err := kitchen.Earlier(now.Name, now.Text, since)
	if err != nil {
		return was, unamended(c, &kitchen.Kitchen{File: now.Name}, err)
	}
	if first == nil {
		when := "yet"
		if since != "" {
			when = "since " + since
		}
		return was, &hinted{fmt.Errorf("nothing was changed from here in %s %s", now.Name, when), "name an earlier file and a later one to compare the two"}
	}
	return menu.Source{Name: now.Name + " before " + first.When, Text: text}, nil
}

// differ compares two kitchens over the same days.
func differ(c *cli.Context, before, after menu.Options) (*ask.Difference, error) {
	changes, err := kitchen.Alterations(before.Kitchen.Name, before.Kitchen.Text, after.Kitchen.Name, after.Kitchen.Text)
	if err != nil {
		return nil, unamended(c, &kitchen.Kitchen{File: after.Kitchen.Name}, err)
	}
	var weeks [2]*week.Week
	for n, o := range []menu.Options{before, after} {
		k, err := open(c, o)
		if err != nil {
			return nil, err
		}
		if k.week == nil {
			k.tell(c.App.ErrWriter)
			return nil, errTold
		}
		weeks[n] = k.week
	}
	if rests := weeks[1].RestsOn(true); rests != "" {
		behind(c, rests+listsThem)
	}
	return ask.Differ(c.Context, weeks[0], weeks[1], changes)
}
