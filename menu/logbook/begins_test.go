package logbook

// The beginning of a log book: what was due before its first entry is neither there nor overdue.

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/lawtest"
	"kettletree/menu/kitchen"
	"kettletree/menu/week/weektest"
)

// presentAt is what a log book of some entries has on hand at a moment, by item, and what stands in pots.
func presentAt(t present, k *kitchen.Kitchen, j *Book, asOf time.Time) (p *Present, has map[string]float64) {
	t.Helper()
	p, err := j.Present(t.Context(), k, asInFile(k), k.DayAt(asOf), asOf)
	require.NoError(t, err)
	has = map[string]float64{}
	for _, l := range p.Stock.Lots {
		has[k.Graph.Items[l.Item].Name] += l.Amount
	}
	return p, has
}

func TestALogBookBeginsAtItsFirstEntry(t *testing.T) {
	k := readKitchen(t, nightShop)
	for name, c := range map[string]struct {
		entries string
		asOf    time.Time
		stock   float64 // L
		pots    int
		overdue int
		told    []string
	}{
		// Monday's pot was out at 7:30 on Tuesday, Tuesday's at 7:30 on Wednesday.
		"nothing written": {"", at(1, 9), 0, 0, 0, nil},
		"nothing written, and a pot in": {"", at(1, 3), 0, 1, 0,
			[]string{"taken to have been in the pot when the log book began: night pot of Tue 24 Nov; if it was not, log it as skipped"}},
		"after the pot was out": {"1/09 counted 1 L stock", at(1, 9), 1, 0, 0, nil},
		"before it was out": {"1/06 counted 1 L stock", at(1, 7), 1, 1, 0,
			[]string{"taken to have been in the pot when the log book began: night pot of Tue 24 Nov; if it was not, log it as skipped"}},
		"and it came out":                 {"1/06 counted 1 L stock", at(1, 8), 17, 0, 1, []string{"nobody logged what came out of night pot of Tue 24 Nov: counted as planned; log out, done or lost"}},
		"and it was not in":               {"1/06 counted 1 L stock\n1/07 skipped night pot of tue", at(1, 8), 1, 0, 0, nil},
		"before it was lit, long ago":     {"-1/06 counted 1 L stock", at(0, 9), 16.2, 0, 2, nil},
		"an entry about the pot is of it": {"1/07 out 15 L stock", at(1, 8), 15, 0, 0, nil},
	} {
		t.Run(name, func(t *testing.T) {
			j := newLogBook(t)
			if c.entries != "" {
				entries, err := j.Settle(t.Context(), k, asInFile(k), typed(t, k, c.entries)...)
				require.NoError(t, err)
				_, err = j.Append(t.Context(), entries...)
				require.NoError(t, err)
			}
			p, has := presentAt(t, k, j, c.asOf)
			assert.InDelta(t, c.stock*1000, has["stock"], 1e-6)
			assert.Len(t, p.pots, c.pots)
			assert.Len(t, p.Overdue, c.overdue)
			if c.told != nil {
				assert.Equal(t, c.told, p.Told())
			}
		})
	}
}

// Whatever the kitchen and the minute: when all is counted as the log book begins, that is on hand then, nothing else, and nothing
// is overdue; later nothing is overdue that was due before.
func TestNothingIsOverdueFromBeforeTheLogBook(t *testing.T) {
	lawtest.Few(t, 25)
	folder, n := t.TempDir(), 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		text, _ := weektest.AnyKitchen(t)
		k, faults := kitchen.Read("kitchen.yaml", []byte(text))
		require.NotNil(t, k, "%v\n%s", faults, text)
		j, err := Open(t.Context(), fmt.Sprintf("%s/%d.logbook", folder, n))
		require.NoError(t, err)
		defer func() { _ = j.Close() }()
		began := weektest.Monday.AddDate(0, 0, 1).Add(time.Duration(rapid.IntRange(0, 1439).Draw(t, "began")) * time.Minute)
		counted := map[string]float64{}
		for i, it := range k.Graph.Items {
			if it.Role == graph.Sold || !rapid.Bool().Draw(t, fmt.Sprint("count ", i)) {
				continue
			}
			amount := float64(1000 * rapid.IntRange(1, 9).Draw(t, fmt.Sprint("counted ", i)))
			counted[it.Name] = amount
			_, err = j.Append(t.Context(), Entry{Kind: Counted, At: began, Written: began, Text: "x",
				Gives: []Amount{{Item: it.Name, Base: amount, Kind: it.Unit.Kind, Typed: "x"}}})
			require.NoError(t, err)
		}
		if len(counted) == 0 {
			return
		}
		p, has := presentAt(t, k, j, began)
		assert.Equal(t, counted, has, "%s\n%s", began.Format(Minutes), text)
		assert.Empty(t, p.Overdue, text)
		assert.Empty(t, p.Unwritten, text)
		later := began.Add(time.Duration(rapid.IntRange(1, int(weektest.Monday.AddDate(0, 0, 3).Sub(began).Minutes())-1).Draw(t, "later")) * time.Minute)
		p, _ = presentAt(t, k, j, later)
		assert.Empty(t, p.Dropped, "nothing of before is no longer counted, for it never was\n%s", text)
		for _, h := range p.Overdue {
			assert.False(t, h.By.Before(began), "%s of %s, began %s\n%s", k.Graph.Steps[h.Step].Name, h.At.Format(Minutes), began.Format(Minutes), text)
		}
	})
}
