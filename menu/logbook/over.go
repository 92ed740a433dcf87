package logbook

// Batches that are over: what they gave was counted since, so a loss of them takes nothing away.

import (
	"context"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/menu/week"
)

// counts is when what the kitchen makes was last counted, by item.
type counts map[string]time.Time

// countedBy is when what the kitchen makes was counted from a moment up to another.
func (j *Book) countedBy(ctx context.Context, from, until time.Time) (counts, error) {
	list, err := j.standing(ctx, byMoment, between(from, until, Counted))
	c := counts{}
	for n := range list {
		c.note(&list[n])
	}
	return c, err
}

// note notes what an entry counted.
func (c counts) note(e *Entry) {
	if e.Kind != Counted {
		return
	}
	for _, a := range e.Gives {
		c[a.Item] = e.At
	}
}

// over tells whether a batch is over at a moment: all of it was to be out, and some of what it gives was counted after that. Bones that
// nobody counts keep no batch open.
func (c counts) over(w *week.Week, l *Life, at time.Time) bool {
	out := l.Out
	for _, g := range l.Lit {
		for _, d := range g.Gives {
			if due := minutesAfter(g.At, d.After); due.After(out) { // it was lit late
				out = due
			}
		}
	}
	return l.Step >= 0 && !out.After(at) && slices.ContainsFunc(w.Graph.Steps[l.Step].Gives, func(o graph.Output) bool {
		counted, ok := c[w.Graph.Items[o.Item].Name]
		return ok && !counted.Before(out)
	})
}
