package main

// The journal of a kitchen, for commands that ask nothing else.

import (
	"fmt"
	"path/filepath"
	"time"

	"github.com/urfave/cli/v2"

	"kettletree/menu"
	"kettletree/menu/ledger"
)

// written is the kitchen that the arguments name, with its journal, which the caller closes, and the time that it is.
// What was found in the kitchen file is told.
func written(c *cli.Context) (*menu.Kitchen, *ledger.Journal, time.Time, error) {
	fail := func(err error) (*menu.Kitchen, *ledger.Journal, time.Time, error) { return nil, nil, time.Time{}, err }
	today, err := now()
	if err != nil {
		return fail(err)
	}
	args := c.Args().Slice()
	switch {
	case len(args) > 1:
		return fail(&usageError{fmt.Sprintf("%q stands after the kitchen file", args[1]),
			"give one kitchen file, or none for kitchen.yaml here"})
	case c.Bool("json") && c.Bool("csv"):
		return fail(&usageError{"--json and --csv are both asked for", "choose one"})
	case kitchenFile(args) == "-":
		return fail(&usageError{"a kitchen from standard input has no journal", "name the kitchen file"})
	}
	k, kitchen, err := readKitchen(c, args)
	if err != nil {
		return fail(err)
	}
	k.tell(c.App.ErrWriter)
	if kitchen == nil {
		return fail(errTold)
	}
	file := ledger.Path(k.file)
	if !ledger.Exists(file) {
		return fail(&hinted{fmt.Errorf("there is no journal %s: nothing was written down yet", filepath.ToSlash(file)),
			"\"kettletree log\" writes down what comes in, is cooked and is sold; \"kettletree log --help\" says how"})
	}
	j, err := ledger.Open(c.Context, file)
	if err != nil {
		return fail(told(err))
	}
	return kitchen, j, today, nil
}
