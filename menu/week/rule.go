package week

// Who goes short when something is scarce.

import (
	"context"
	"fmt"

	"kettletree/graph/flow"
)

// A Rule says who goes short when something is scarce.
type Rule interface {
	// String is the name by which the rule is asked for: "fair".
	String() string
	// Ration is how the walk shares out what is scarce at a service.
	Ration() flow.Ration
	// Direct gives the schedule by which a case of a week is played, and what the asker should know of it; it is the
	// case's own where the walk can decide alone.
	Direct(ctx context.Context, w *Week, c flow.Case) (s *flow.Schedule, notes []string, err error)
	// Plans tells that Direct searches for the best way to serve, which takes long.
	Plans() bool
}

// The rules that the walk follows by itself.
var (
	Fair  Rule = byWalk{"fair", flow.Fair}   // every dish's share of its forecast rises together
	First Rule = byWalk{"first", flow.First} // one rank of dishes after another
)

type byWalk struct {
	name   string
	ration flow.Ration
}

func (r byWalk) String() string      { return r.name }
func (r byWalk) Ration() flow.Ration { return r.ration }
func (r byWalk) Plans() bool         { return false }
func (r byWalk) Direct(_ context.Context, _ *Week, c flow.Case) (*flow.Schedule, []string, error) {
	return c.Schedule, nil, nil
}

// SlowRuleError refuses a study that would plan each of the many cases that it plays.
type SlowRuleError struct {
	Study string // "weak plays thousands of weeks"
	Rule  Rule
}

func (e *SlowRuleError) Error() string {
	return fmt.Sprintf("%s, and the rule %q would plan each of them", e.Study, e.Rule)
}

// Quick is an error where a study plays many cases and the week's rule would plan each.
func (w *Week) Quick(study string) error {
	if w.Rule.Plans() {
		return &SlowRuleError{study, w.Rule}
	}
	return nil
}
