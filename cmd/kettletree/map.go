package main

// map: the flow as a picture.

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/draw"
	"kettletree/menu/ask"
	"kettletree/menu/week"
)

func mapCommand() *cli.Command {
	var bys []string
	for _, by := range ask.Bys {
		bys = append(bys, string(by))
	}
	flags := []cli.Flag{
		&cli.StringFlag{Name: "around", Usage: option("ITEM",
			"only what an item, step or dish comes from, and what is made of it")},
		&cli.StringFlag{Name: "by", Usage: option(strings.Join(bys, "|"),
			"what thick lines and dark boxes mean (default: weight; shortage where there are changes)")},
		&cli.BoolFlag{Name: "dot", Usage: option("", "answer in Graphviz DOT, not as SVG")},
		&cli.BoolFlag{Name: "json", Usage: option("",
			"answer as JSON: boxes and lines; \"kettletree help json\" documents it")},
		outFlag(),
	}
	return &cli.Command{
		Name: "map", Usage: "draw the flow, from what you buy to what you sell, as SVG",
		Flags:  slices.Concat(flags, shockFlags(), framing()),
		Action: drawMap,
	}
}

func drawMap(c *cli.Context) error {
	by := ask.By(c.String("by"))
	if c.IsSet("by") && !slices.Contains(ask.Bys, by) {
		return &usageError{fmt.Sprintf("a map can't be drawn by %q", by), fmt.Sprintf("write one of: %s, %s, %s",
			ask.ByWeight, ask.ByCost, ask.ByShortage)}
	}
	if c.Bool("dot") && c.Bool("json") {
		return &usageError{"--dot and --json can't be used together", "choose one"}
	}
	week, err := weekOf(c, c.Args().Slice())
	if err != nil {
		return err
	}
	changes, err := shocks(c, week)
	if err != nil {
		return err
	}
	if by == "" {
		by = usualBy(changes)
	}
	picture, err := ask.Map(c.Context, week, changes, c.String("around"), by)
	if err != nil {
		return &usageError{msg: err.Error()}
	}
	var drawn []byte
	switch {
	case c.Bool("json"):
		var text string
		text, err = show.JSON(picture)
		drawn = []byte(text)
	case c.Bool("dot"):
		var b bytes.Buffer
		err = draw.WriteDOT(&b, picture)
		drawn = b.Bytes()
	default:
		drawn, err = draw.Render(c.Context, picture)
	}
	if err != nil {
		return err
	}
	return put(c, drawn)
}

// usualBy is what a map tells when nobody says otherwise.
func usualBy(changes []week.Shock) ask.By {
	if len(changes) > 0 {
		return ask.ByShortage
	}
	return ask.ByWeight
}
