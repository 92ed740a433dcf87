package flow

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestVaryingByNothing plays a case that could vary and does not, after it has: it is the case.
func TestVaryingByNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := everything.draw(t).compile(t)
		want := c.Flow.Walk(c.Schedule, Fair, nil)
		v := c.Varying()
		w := NewWalker(v.Flow)
		vary := func(factor float64) {
			for r, run := range v.Schedule.Runs {
				for o := range v.Schedule.Runs[r].Yields {
					v.Run(r, o, factor)
				}
				for o := range v.Flow.net.g.Steps[run.Step].Gives {
					v.Step(run.Step, o, factor)
				}
			}
			for k, x := range c.Schedule.Wants {
				for slot, portions := range x.Forecast {
					v.Ask(k, slot, portions*factor)
				}
			}
		}
		vary(0.5)
		w.Walk(v.Schedule, Fair, nil)
		vary(1)
		got := w.Walk(v.Schedule, Fair, nil)
		require.Equal(t, want.Served, got.Served)
		require.Equal(t, want.Left, got.Left)
		require.Equal(t, want.Batches, got.Batches)
	})
}
