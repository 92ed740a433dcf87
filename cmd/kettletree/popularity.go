package main

// popularity: how well each dish sells against what it brings.

import (
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

func popularityCommand() *cli.Command {
	return &cli.Command{
		Name: "popularity", Usage: "how well each dish sells against what it earns",
		Flags: slices.Concat([]cli.Flag{&cli.StringFlag{Name: "sold", Usage: option("FILE",
			"portions that were sold, in place of the forecast: CSV with dish,sold")}}, output(), framing()),
		Action: popularity,
	}
}

func popularity(c *cli.Context) error {
	week, err := weekOf(c, c.Args().Slice())
	if err != nil {
		return err
	}
	var sold []int
	if name := c.String("sold"); name != "" {
		src, err := read(c.Context, c.App.Reader, name)
		if err != nil {
			return err
		}
		found := &opened{file: name}
		if sold, found.faults = kitchen.ReadSold(name, src, week.Kitchen); sold == nil {
			found.tell(c.App.ErrWriter)
			return errTold
		}
	}
	a, err := ask.Popularity(c.Context, week, sold)
	if err != nil {
		return err
	}
	return give(c, a, show.Popularity, show.PopularitySheet)
}
