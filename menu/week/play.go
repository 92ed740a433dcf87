package week

import (
	"fmt"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// RuleNames are the names of the rules for what is scarce, by [flow.Ration], and the one that takes a planner: [Best].
var RuleNames = []string{"fair", "first", "best"}

// Best is the rule by which what is scarce goes where it earns most. [Week.Settle] says who gets what.
const Best = flow.First + 1

// Played is a case with what it came to.
type Played struct {
	Case     flow.Case
	Schedule *flow.Schedule // as it was played: the case's, or what [Week.Settle] made of it
	Outcome  *flow.Outcome
	Costing  *flow.Costing
	Record   *flow.Record
	Books    flow.Books
}

// Play walks a case and costs it by the amounts of base; nil for its own.
func (w *Week) Play(c flow.Case, base *flow.Outcome, rec *flow.Record) (*Played, error) {
	p := &Played{Case: c, Record: rec}
	s, err := c.Schedule, error(nil)
	if w.Settle != nil {
		if s, err = w.Settle(c); err != nil {
			return nil, err
		}
	}
	p.Schedule, p.Outcome = s, c.Flow.Walk(s, w.Rule, p.Record)
	if base == nil {
		base = p.Outcome
	}
	if p.Costing, err = c.Flow.Cost(base); err != nil {
		return nil, Explain(w.Kitchen, err)
	}
	p.Books = c.Books(p.Outcome, p.Costing)
	return p, nil
}

// With plays the week with shocks. What can be foreseen changes what is ordered; a mishap finds it ordered, and what was
// ordered comes. The record is filled with the reasons of the week after.
func (w *Week) With(shocks []Shock, rec *flow.Record) (before, after *Played, err error) {
	if before, err = w.Play(w.Case, nil, nil); err != nil {
		return nil, nil, err
	}
	var foreseen, mishaps []flow.Shock
	for _, s := range shocks {
		if s.foreseen {
			foreseen = append(foreseen, s.Changes...)
		} else {
			mishaps = append(mishaps, s.Changes...)
		}
	}
	c, ordered := w.Case, before.Outcome
	if len(foreseen) > 0 {
		c = c.With(foreseen...)
		ordered = c.Flow.Walk(c.Schedule, w.Rule, nil)
	}
	after, err = w.Play(c.Ordering(ordered).With(mishaps...), before.Outcome, rec)
	return before, after, err
}

// Know makes changes that are known part of the week itself.
func (w *Week) Know(shocks []Shock) {
	w.Change(func(w *Week) {
		for _, s := range shocks {
			w.Case = w.Case.With(s.Changes...)
		}
	})
}

// Explain puts names into an error of the flow.
func Explain(k *kitchen.Kitchen, err error) error {
	if u, ok := err.(*flow.UnproductiveError); ok {
		return fmt.Errorf("%q takes at least as much from yesterday as its batches give: its cost has no end; let a batch give more than it takes of it",
			k.Graph.Items[u.Item].Name)
	}
	return err
}
