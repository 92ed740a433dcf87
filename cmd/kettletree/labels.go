package main

// labels: labels for what is made on a day, as a sheet to print or as a table.

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/clock"
)

func labelsCommand() *cli.Command {
	return &cli.Command{
		Name: "labels", Usage: "labels for what is made on a day: made, use by, allergens, lot",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "on", Usage: option("DAY",
				"a weekday or a date (default: today, or the next day with anything made)")},
			&cli.BoolFlag{Name: "all", Usage: option("", "every day of the period")},
			&cli.StringFlag{Name: "html", Usage: option("FILE", "write the labels as one page to print")},
			langFlag(),
		}, output(), framing()),
		Action: labels,
	}
}

func labels(c *cli.Context) error {
	week, err := weekOf(c, c.Args().Slice())
	if err != nil {
		return err
	}
	if c.IsSet("on") && c.Bool("all") {
		return &usageError{"--on and --all can't be used together", "choose one"}
	}
	var days []int
	if text := c.String("on"); c.IsSet("on") {
		if days, err = week.DaysNamed(text); err != nil {
			return &usageError{msg: fmt.Sprintf("--on %q: %v", text, err)}
		}
	} else if c.Bool("all") {
		days, err = clock.MadeDays(c.Context, week)
	} else {
		var today int
		if today, err = todayOf(week); err == nil {
			days, err = clock.LabelDays(c.Context, week, today)
		}
	}
	if err != nil {
		return err
	}
	voice, week, err := toldIn(c, week)
	if err != nil {
		return err
	}
	a, err := clock.LabelsOn(c.Context, week, days, voice)
	if err != nil {
		return err
	}
	if file := c.String("html"); file != "" {
		page, err := show.LabelPage(show.Page{Voice: voice}, a)
		if err != nil {
			return err
		}
		if err := save(file, page); err != nil {
			return err
		}
	}
	return give(c, a, show.Labels, show.LabelSheet)
}
