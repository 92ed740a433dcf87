package plan

// Batches that are cut, and what no bound may be under: the standing week, and any other schedule that is played.

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/week/weektest"
)

// TestNoScheduleAboveTheBound plans any kitchen, then plays its standing week and batches made up at random, with what comes in
// packs bought whole: what meets all that is asked of a plan never earns more than the bound, with the days behind it and less what
// it counts off the cards.
func TestNoScheduleAboveTheBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		if strings.Contains(text, "from yesterday") {
			return // the model does not know all that can become of a perpetual stock: see the package's doc
		}
		p, err := Make(t.Context(), w, Options{iterations: enough})
		if _, clash := errors.AsType[*Clash](err); clash {
			return
		}
		require.NoError(t, err, text)
		if len(p.Parted) > 0 || p.limit == 0 && p.x == nil && p.Instead != "" { // no plan of the model to speak of
			return
		}
		below := func(other *Plan, what string) {
			if len(p.m.unmet(other, nil)) == 0 && len(p.m.Calendar(other.Case.Schedule, nil, nil).Clashes()) == 0 {
				require.LessOrEqual(t, other.counts(), p.most+agree*(1+other.Onward.Sales+other.Onward.Bought), "%s\n%s", what, text)
			}
		}
		below(p.m.played(p.m.Case.Schedule, p.m.base), "the standing week")
		for range 3 {
			s := *p.m.sched
			s.Batches = slices.Clone(s.Batches)
			for r, run := range s.Batches {
				if run.Day < w.Days && p.m.due[r] >= 0 {
					s.Batches[r].Size = float64(rapid.IntRange(0, p.m.most[r]).Draw(t, "batches"))
				}
			}
			below(p.m.played(&s, p.m.Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: &s}, nil)), "batches made up")
		}
	})
}
