package main

// forecast: what sells at each service of the week by the log book, and how much to prepare.

import (
	"fmt"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/logbook"
)

func forecastCommand() *cli.Command {
	return &cli.Command{
		Name: "forecast", Usage: "how much of each dish to prepare, by what was sold",
		Flags: slices.Concat([]cli.Flag{&cli.StringFlag{Name: "from", Usage: option("DATE",
			"first day whose sales count, such as 2026-09-01 (default: all that was logged)")}}, output()),
		Action: forecast,
	}
}

func forecast(c *cli.Context) error {
	var from time.Time
	if text := c.String("from"); c.IsSet("from") {
		var err error
		if from, err = time.Parse(time.DateOnly, text); err != nil {
			return &usageError{fmt.Sprintf("--from %q is not a date", text), "write it as 2026-11-23"}
		}
	}
	kitchen, j, today, err := written(c)
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }() // it is only read
	a, err := j.Forecast(c.Context, kitchen, today, from)
	if err != nil {
		return told(err)
	}
	if a.Services == 0 {
		return &hinted{fmt.Errorf("no sale was logged at a service that has ended"),
			"log it: kettletree log sold " + logbook.Form(kitchen, logbook.Sold) + "; or use \"kettletree log import\""}
	}
	return give(c, a, show.Forecast, show.ForecastSheet)
}
