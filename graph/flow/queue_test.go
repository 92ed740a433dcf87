package flow

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestQueue holds a queue against the sums: what was put is drawn, is there, or has paid for what was drawn too early; and
// what is drawn comes in the order in which it was put.
func TestQueue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var q Queue[int]
		put, drawn, missed, last := 0.0, 0.0, 0.0, -1
		for n := range rapid.IntRange(1, 30).Draw(t, "movements") {
			amount := float64(rapid.IntRange(1, 9).Draw(t, "amount"))
			if rapid.Bool().Draw(t, "put") {
				q.Put(n, amount)
				put += amount
				continue
			}
			parts, missing := q.Draw(amount)
			got := 0.0
			for _, p := range parts {
				require.GreaterOrEqual(t, p.Lot, last)
				last, got = p.Lot, got+p.Amount
			}
			require.InDelta(t, amount, got+missing, 1e-9)
			drawn, missed = drawn+got, missed+missing
		}
		there := 0.0
		for _, p := range q.Parts {
			there += p.Amount
		}
		require.InDelta(t, put-drawn-there, missed-q.owed, 1e-9)
	})
}
