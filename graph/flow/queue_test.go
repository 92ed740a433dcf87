package flow

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestQueue holds a queue against the sums: what was put is drawn or is there, and it is drawn in the order in which it was
// put.
func TestQueue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var q Queue[Part, *Part]
		put, drawn, there, last := 0.0, 0.0, 0.0, -1
		for n := range rapid.IntRange(1, 60).Draw(t, "movements") {
			amount := float64(rapid.IntRange(1, 9).Draw(t, "amount"))
			if rapid.Bool().Draw(t, "put") {
				q.Put(Part{n, amount})
				put, there = put+amount, there+amount
				continue
			}
			got := 0.0
			missing := q.Draw(amount, func(of *Part, part float64) {
				require.GreaterOrEqual(t, of.Lot, last)
				require.LessOrEqual(t, part, of.Amount)
				last, got = of.Lot, got+part
			})
			require.Equal(t, amount, got+missing)
			require.Equal(t, min(amount, there), got)
			drawn, there = drawn+got, there-got
		}
		left := 0.0
		for _, l := range q.Lots() {
			require.GreaterOrEqual(t, l.Lot, last)
			left += l.Amount
		}
		require.Equal(t, put-drawn, left)
	})
}
