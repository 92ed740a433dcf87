package main

// guide: the kitchen explained to a new cook, as one page or as Markdown.

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/guide"
)

func guideCommand() *cli.Command {
	return &cli.Command{
		Name: "guide", Usage: "the kitchen explained to a new cook, as a page to read and print",
		Flags: slices.Concat([]cli.Flag{
			langFlag(),
			&cli.BoolFlag{Name: "markdown", Usage: option("", "answer as Markdown, not as HTML")},
			&cli.BoolFlag{Name: "json", Usage: option("", "answer as JSON; \"kettletree help json\" documents it")},
			outFlag(),
		}, framing()),
		Action: explain,
	}
}

func explain(c *cli.Context) error {
	if c.Bool("markdown") && c.Bool("json") {
		return &usageError{"--markdown and --json can't be used together", "choose one"}
	}
	tag, err := languageOf(c)
	if err != nil {
		return err
	}
	week, err := weekOf(c, c.Args().Slice(), func(o *menu.Options) { o.LogBook, o.Usual = "", true }) // a new cook learns about any week
	if err != nil {
		return err
	}
	g, err := guide.Of(c.Context, week, tag)
	if err != nil {
		return err
	}
	var text []byte
	switch {
	case c.Bool("json"):
		var said string
		said, err = show.JSON(g)
		text = []byte(said)
	case c.Bool("markdown"):
		text = g.Markdown()
	default:
		photos, faults, failed := photosOf(week.Kitchen)
		if failed != nil {
			return failed
		}
		g.Faults = g.Faults.With(faults)
		text, err = g.Page(c.Context, guide.Embedded(photos))
	}
	if err != nil {
		return err
	}
	if len(g.Faults) > 0 {
		fmt.Fprintln(c.App.ErrWriter, g.Faults)
	}
	return put(c, text)
}
