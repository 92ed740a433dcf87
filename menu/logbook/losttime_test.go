package logbook

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

// A batch that is lost at five loses what was still to come: what was out at two came whole, and what was ordered at midnight was ordered
// by who did not know yet.
func TestALossBeginsWhenItHappened(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`kitchen: Night Pot
money: USD
services: {lunch: 12:00-14:00}
bought:
  hens: {price: 9/each, each: 2 kg, keeps: 2 days}
  cabbage: {price: 1/kg, keeps: 1 day}
  water: {price: 0/L, density: 1 kg/L}
steps:
  night pot:
    starts: "22:00"
    takes: [4 each hens, 30 L water]
    gives: ["3 kg hen meat, out at 4 h", "25 L stock, out at 10 h"]
    batches: {daily: 1}
made:
  hen meat: {keeps: 3 days}
  stock: {keeps: 3 days, density: 1 kg/L}
dishes:
  soup: {price: 9, takes: [500 mL stock, 40 g cabbage], sells: 20}
  roll: {price: 6, takes: [60 g hen meat], sells: 5}
`))
	require.NoError(t, faults.Err())
	at := func(day, hour, minute int) time.Time {
		return tuesday.AddDate(0, 0, day).Add(time.Duration(hour*60+minute) * time.Minute)
	}
	item := func(name string) int { i, _, _ := k.ItemNamed(name, nil); return i }
	held := func(j *Book, when time.Time, name string) (sum float64) {
		p, err := j.Present(t.Context(), k, asInFile(k), midnight(when), when)
		require.NoError(t, err)
		for _, l := range p.Stock.Lots {
			if l.Item == item(name) {
				sum += l.Amount
			}
		}
		return sum
	}
	begun := func() *Book {
		j := newLogBook(t)
		_, err := j.Append(t.Context(), entry(t, k, at(-1, 12, 0), Counted, "0 L stock"))
		require.NoError(t, err)
		return j
	}
	for share, stock := range map[string]float64{"": 0, "40% of ": 15_000} {
		for _, lit := range []bool{true, false} { // written or not, it is the same pot
			j := begun()
			var entries []Entry
			if lit {
				entries = append(entries, entry(t, k, at(0, 22, 0), Lit, "night pot of tue"))
			}
			entries = append(entries, entry(t, k, at(1, 5, 0), Lost, share+"night pot of tue"))
			settled, err := j.Settle(t.Context(), k, asInFile(k), entries...)
			require.NoError(t, err)
			before := held(j, at(1, 4, 0), "hen meat")
			assert.GreaterOrEqual(t, before, 3000.0)
			_, err = j.Append(t.Context(), settled...)
			require.NoError(t, err)
			assert.InDelta(t, before, held(j, at(1, 5, 30), "hen meat"), 1e-6, "out at two: %q, lit %v", share, lit)
			withOut := held(begun(), at(1, 9, 0), "stock")
			assert.InDelta(t, withOut-25_000+stock, held(j, at(1, 9, 0), "stock"), 1e-6, "what was still to come: %q, lit %v", share, lit)
		}
	}
}
