package main

// The log book of a kitchen, for commands that ask nothing else.

import (
	"fmt"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// written is the kitchen that the arguments name, with its log book, which the caller closes, and the time that it is.
// What was found in the kitchen file is said.
func written(c *cli.Context) (*kitchen.Kitchen, *logbook.Book, time.Time, error) {
	fail := func(err error) (*kitchen.Kitchen, *logbook.Book, time.Time, error) { return nil, nil, time.Time{}, err }
	today, err := now()
	if err != nil {
		return fail(err)
	}
	args := c.Args().Slice()
	switch {
	case len(args) > 1:
		return fail(&usageError{fmt.Sprintf("%q comes after the kitchen file", args[1]),
			"give one kitchen file, or none for kitchen.yaml here"})
	case c.Bool("json") && c.Bool("csv"):
		return fail(&usageError{"--json and --csv can't be used together", "choose one"})
	case kitchenFile(args) == "-":
		return fail(&usageError{"a kitchen from standard input has no log book", "name the kitchen file"})
	}
	k, kitchen, err := readKitchen(c, args)
	if err != nil {
		return fail(err)
	}
	if kitchen == nil {
		k.tell(c.App.ErrWriter)
		return fail(errTold)
	}
	k.tellAfter(c)
	j, err := openLogBook(c.Context, logbook.Path(k.file))
	if err != nil {
		return fail(err)
	}
	j.Know(kitchen)
	return kitchen, j, today, nil
}
