package main

// weak: every loss tried, with word of how far it is for those who wait at a terminal.

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"time"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
)

// mostLosses is how many losses are shown when nothing else is asked for.
const mostLosses = 15

func weakCommand() *cli.Command {
	return &cli.Command{
		Name: "weak", Usage: "what hurts most if it fails: every single loss is tried, and the pairs",
		Flags: slices.Concat([]cli.Flag{&cli.StringFlag{Name: "most", Usage: option("N",
			fmt.Sprintf("rows to show of each kind (default: %d)", mostLosses))}}, output(), framing()),
		Action: weak,
	}
}

func weak(c *cli.Context) error {
	most := mostLosses
	if text := c.String("most"); c.IsSet("most") {
		var err error
		if most, err = strconv.Atoi(text); err != nil || most < 1 {
			return &usageError{fmt.Sprintf("--most %q is not a number of rows", text), "write a whole number from 1"}
		}
	}
	week, err := weekOf(c, c.Args().Slice())
	if err != nil {
		return err
	}
	bar := newProgress(c.App.ErrWriter)
	a, err := ask.Weak(c.Context, week, bar.trying("every loss"))
	bar.clear()
	if a == nil {
		return err
	}
	text := func(p show.Page, a *ask.WeakPoints) string { return show.Weak(p, a, most) }
	return cmp.Or(give(c, a, text, show.WeakSheet), err) // what was tried before it was stopped is shown
}

// progress tells on a terminal how far a long answer is.
type progress struct {
	w     io.Writer // nil when nobody looks
	began time.Time
	told  time.Time
}

// patience is how long an answer may take before anything is said, and how often it is then said.
const patience = 500 * time.Millisecond

func newProgress(w io.Writer) *progress {
	p := &progress{began: time.Now()}
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		p.w = w
	}
	return p
}

// trying tells that a part of the work, up to 1, is done.
func (p *progress) trying(what string) func(done float64) {
	return func(done float64) {
		now := time.Now()
		if p.w == nil || now.Sub(p.began) < patience || now.Sub(p.told) < patience {
			return
		}
		p.told = now
		fmt.Fprintf(p.w, "\rtrying %s: %.0f%%", what, 100*done)
	}
}

// clear takes the line away.
func (p *progress) clear() {
	if !p.told.IsZero() {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}
