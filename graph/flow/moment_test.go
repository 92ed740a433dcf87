package flow

// Directed work: what it must have in common with work by the rule.

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestDirectedAsByTheRule directs every line to its first choice in kitchens without substitutes and optional lines: where
// all that is asked for can be done, that is what the rule does too.
func TestDirectedAsByTheRule(t *testing.T) {
	plain := anyKitchen{batches: true, carried: true, manyMakers: true}
	rapid.Check(t, func(t *rapid.T) {
		c := plain.draw(t).compile(t)
		by := c.Flow.Walk(c.Schedule, Fair, nil)
		s := *c.Schedule
		s.Wants = nil
		for k, want := range c.Schedule.Wants { // ask for what was served, so that it can be done
			want.Forecast = make([]float64, len(s.Slots))
			for slot := range s.Slots {
				want.Forecast[slot] = by.Served[slot*len(c.Schedule.Wants)+k]
			}
			s.Wants = append(s.Wants, want)
		}
		asked := c.Flow.Walk(&s, Fair, nil)
		mix := make([]float64, c.Flow.Choices())
		for k := range mix {
			mix[k] = 1
		}
		all := func(n int) (mixes [][]float64) {
			for range n {
				mixes = append(mixes, mix)
			}
			return mixes
		}
		s.Directions = &Directions{Serve: all(len(s.Slots)), Run: all(len(s.Batches)), All: all(len(s.Slots))}
		directed := c.Flow.Walk(&s, Fair, nil)
		require.Equal(t, asked.Served, directed.Served)
		require.InDeltaSlice(t, asked.Left, directed.Left, 1e-4)
		require.InDeltaSlice(t, asked.Batches, directed.Batches, 1e-4)
	})
}

// TestMomentsAreTheWalks lists the events in the order of time, each run working once, each service that is not over once.
func TestMomentsAreTheWalks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := everything.draw(t).compile(t)
		row := c.Flow.Moments(c.Schedule)
		serves, runs := 0, 0
		for k, m := range row {
			if k > 0 {
				require.LessOrEqual(t, row[k-1].At, m.At)
			}
			switch {
			case m.Kind == Serves:
				require.Equal(t, max(c.Schedule.Slots[m.Slot].Start, c.Schedule.From), m.At)
				serves++
			case m.Kind == Works && m.Run >= 0:
				require.Equal(t, c.Schedule.Batches[m.Run].Step, m.Step)
				runs++
			}
		}
		due := 0
		for _, r := range c.Schedule.Batches {
			if r.Day < c.Schedule.Days {
				due++
			}
		}
		left := 0
		for _, s := range c.Schedule.Slots {
			if s.End > c.Schedule.From {
				left++
			}
		}
		require.Equal(t, left, serves)
		require.Equal(t, due, runs)
	})
}
