package plan

import (
	"context"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu"
)

// example is the week of an example kitchen that begins on Monday 23 November 2026, with what is on hand where a file
// says so.
func example(t testing.TB, name string) *menu.Week {
	t.Helper()
	folder := "../../examples/" + name
	src, err := os.ReadFile(folder + "/kitchen.yaml")
	require.NoError(t, err)
	k, faults := menu.Read("kitchen.yaml", src)
	require.NotNil(t, k, "%v", faults)
	p := menu.Period{From: time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), Days: 7, Rule: flow.Fair}
	if src, err := os.ReadFile(folder + "/on-hand.csv"); err == nil {
		p.OnHand, faults = menu.ReadOnHand("on-hand.csv", src, k, p.From)
		require.NoError(t, faults.Err())
	}
	w, err := k.Over(p)
	require.NoError(t, err)
	return w
}

var examples = []string{"first-pot", "three-kettles", "fish-house", "evergreen-braise"}

// TestExamples plans each example kitchen: better than its standing week, and, as on every run, agreeing with the walk.
func TestExamples(t *testing.T) {
	for _, name := range examples {
		t.Run(name, func(t *testing.T) {
			w := example(t, name)
			p, err := Make(t.Context(), w, Options{})
			require.NoError(t, err)
			a := p.Answer()
			require.GreaterOrEqual(t, a.Contribution, a.Standing)
			require.LessOrEqual(t, a.Gap, 0.005, "proven within 0.5 %")
			require.InDelta(t, a.Contribution, a.Sales-a.Bought-a.Labour+a.Stock, 1e-6)
			again, err := Make(t.Context(), w, Options{})
			require.NoError(t, err)
			require.Equal(t, a, again.Answer(), "the same input gives the same plan")
		})
	}
}

// TestWithout leaves a special out.
func TestWithout(t *testing.T) {
	w := example(t, "evergreen-braise")
	d, err := w.FindDish("scallion fat rice")
	require.NoError(t, err)
	p, err := Make(t.Context(), w, Options{Without: []int{d}})
	require.NoError(t, err)
	for _, s := range p.Answer().Sell {
		require.NotEqual(t, "scallion fat rice", s.Dish)
	}
}

// TestInterrupted gives an error, not a plan, when there was no time to find one.
func TestInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := Make(ctx, example(t, "three-kettles"), Options{})
	require.ErrorIs(t, err, context.Canceled)
}
