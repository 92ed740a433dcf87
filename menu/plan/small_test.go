package plan

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// TestSmallKitchensAreSearchedToTheEnd plans small kitchens that were drawn at random, on which the search once came to no end
// within ten times the work that it is given here: batches that cost nothing were split in all ways, and no cut saw that portions
// of some days together are whole. The file's name ends with the days.
func TestSmallKitchensAreSearchedToTheEnd(t *testing.T) {
	files, err := filepath.Glob("testdata/small/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := strings.TrimSuffix(file, ".yaml")
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		onHand, err := os.ReadFile(name + ".csv")
		require.NoError(t, err)
		days, err := strconv.Atoi(name[strings.LastIndex(name, "-")+1:])
		require.NoError(t, err)
		p, err := Make(t.Context(), weektest.Stocked(t, string(src), string(onHand), week.Period{From: weektest.Monday, Days: days}), Options{iterations: 12000})
		require.NoError(t, err)
		require.Equal(t, solve.Optimal, p.Ended, file)
		require.Empty(t, p.Parted, file)
	}
}

// TestTotalsChangeNoBestPlan solves the programs of small kitchens to the end with the totals that a search splits on, and without: the
// best comes to the same, and its totals are what they are the totals of.
func TestTotalsChangeNoBestPlan(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		m, err := newModel(w, limits{without: make([]bool, len(w.Kitchen.Dishes))})
		require.NoError(t, err, text)
		p, hints, sums := m.totalled()
		for _, parts := range sums {
			for _, c := range parts { // what is bought by the gram comes to no whole total
				require.True(t, p.Columns[c].Integer, "%s\n%s", p.Columns[c].Name, text)
			}
		}
		with, err := solve.Solve(t.Context(), p, solve.Options{Hints: hints, Iterations: 2 * enough})
		require.NoError(t, err, text)
		without, err := solve.Solve(t.Context(), m.p, solve.Options{Hints: m.hints, Iterations: 2 * enough})
		require.NoError(t, err, text)
		if with.Status == solve.Limit || without.Status == solve.Limit {
			return // the one or the other was not searched to the end
		}
		require.Equal(t, without.Status, with.Status, text)
		require.InDelta(t, without.Objective, with.Objective, 1e-5*(1+math.Abs(without.Objective)), text)
		if with.X != nil {
			require.InDeltaSlice(t, with.X, withTotals(with.X[:len(m.p.Columns)], sums), 1e-6, text)
		}
	})
}
