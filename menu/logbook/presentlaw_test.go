package logbook

// The law of the present: where nothing unplanned happened, a week asked from a moment on serves what it serves asked from its
// beginning, whatever was written down of it.

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/lawtest"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// still are the portions of each dish at the services of days from one on that begin at a moment or after it, until another.
func still(w *week.Week, day, from, until time.Time) map[string]float64 {
	o := w.By(week.Fair).Player().Play(w.Case, nil)
	served := map[string]float64{}
	for slot, sit := range w.Sittings {
		if sit.Service < 0 {
			continue
		}
		begins := minutesAfter(w.Date(sit.Day), w.HoursOn(w.Date(sit.Day), sit.Service).From)
		for d, dish := range w.Dishes {
			if !w.Date(sit.Day).Before(day) && !begins.Before(from) && begins.Before(until) {
				served[fmt.Sprintf("%s at %s %s", dish.Name, w.DayName(sit.Day), w.Services[sit.Service].Name)] = o.Served[slot*len(w.Dishes)+d]
			}
		}
	}
	return served
}

func TestAWeekFromAMomentServesWhatItServesFromItsBeginning(t *testing.T) {
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
		// All is counted before the day begins.
		for i, it := range k.Graph.Items {
			if it.Role == graph.Sold {
				continue
			}
			_, err = j.Append(t.Context(), Entry{Kind: Counted, At: weektest.Monday, Written: weektest.Monday, Text: "x",
				Gives: []Amount{{Item: it.Name, Base: float64(1000 * rapid.IntRange(0, 9).Draw(t, fmt.Sprint("count ", i))), Kind: it.Unit.Kind, Typed: "x"}}})
			require.NoError(t, err)
		}
		tuesday := weektest.Monday.AddDate(0, 0, 1)
		moment := tuesday.Add(time.Duration(rapid.IntRange(0, 1440-1).Draw(t, "minute")) * time.Minute)
		begins := tuesday
		for _, day := range []time.Time{weektest.Monday, tuesday} {
			for _, m := range k.MealsOn(day) { // of a service that goes on, what comes meanwhile can be sold too
				for _, at := range []*time.Time{&begins, &moment} {
					if ends := minutesAfter(day, m.To); at.After(minutesAfter(day, m.From)) && at.Before(ends) {
						*at = ends
					}
				}
			}
		}
		until := weektest.Monday.AddDate(0, 0, 3)
		perpetual := strings.Contains(text, "from yesterday") // what it is begun again with may be ordered otherwise a day ahead
		if k.DayAt(moment).After(tuesday) {                   // the law is of one day: what is ordered on it for the next may differ
			return
		}
		want := still(goingOn(t, j, k, begins), weektest.Monday, moment, until)
		got := still(goingOn(t, j, k, moment), weektest.Monday, moment, until)
		assert.Equal(t, want, got, "asked at %s\n%s", moment.Format(Minutes), text)
		if perpetual {
			return
		}
		wednesday := tuesday.AddDate(0, 0, 1)
		want = still(goingOn(t, j, k, moment), wednesday, moment, until)
		got = still(goingOnFrom(t, j, k, wednesday, moment), wednesday, moment, until)
		assert.Equal(t, want, got, "asked at %s of Wednesday\n%s", moment.Format(Minutes), text)
	})
}
