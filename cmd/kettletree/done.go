package main

// What was written: it is said whatever becomes of the answer, so that nobody writes it twice.

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"kettletree/menu/logbook"
)

// doneKey and doneHint are under what the program keeps in mind what was written, and what to do where that can't be shown.
const (
	doneKey  = "done"
	doneHint = "what to do"
)

// done keeps in mind that something was written, as a sentence would begin with it: "this is logged, as entry 7".
func done(c *cli.Context, hint, format string, args ...any) {
	list, _ := c.App.Metadata[doneKey].([]string)
	c.App.Metadata[doneKey] = append(list, fmt.Sprintf(format, args...))
	c.App.Metadata[doneHint] = hint
}

// allDone is what was written; "" when nothing was.
func allDone(app *cli.App) (what, hint string) {
	list, _ := app.Metadata[doneKey].([]string)
	hint, _ = app.Metadata[doneHint].(string)
	return strings.Join(list, "; "), hint
}

// logged keeps in mind entries that were written.
func logged(c *cli.Context, what string, entries []logbook.Entry) {
	if len(entries) == 0 {
		return
	}
	first, last := entries[0].ID, entries[len(entries)-1].ID
	as := fmt.Sprintf("as entry %d", first)
	if first != last {
		as = fmt.Sprintf("as entries %d to %d", first, last)
	}
	done(c, "do not log it again; \"kettletree log show\" shows it", "%s is logged, %s", what, as)
}
