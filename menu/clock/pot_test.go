package clock

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

// Whatever is under way, the timetable says when what comes of it is to be taken out, at once when it is overdue, and a label is
// written for it.
func TestPotsUnderWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		table, err := Of(t.Context(), w, nil)
		require.NoError(t, err, text)
		all := make([]int, w.Days)
		for d := range all {
			all[d] = d
		}
		labels, err := LabelsOn(t.Context(), w, all, tongue.Voice{})
		require.NoError(t, err, text)
		for _, pot := range w.Case.Schedule.Pots {
			for _, g := range pot.Gives {
				item, at := w.Graph.Items[g.Item], max(g.Minute, w.Now)
				if at >= w.Days*1440 {
					continue
				}
				found := false
				for _, r := range table.Rows {
					for _, p := range r.Out {
						found = found || r.Do == TakeOut && r.Minute() == at && p.Item == item.Name && r.Step == w.Graph.Steps[pot.Step].Name
					}
				}
				require.True(t, found, "%s at %s\n%s", item.Name, w.Moment(at), text)
				found = false
				for _, l := range labels.Labels {
					found = found || l.Item == item.Name && l.Made == w.Date(at/1440).Format("2006-01-02")
				}
				require.True(t, found, "a label for %s of %s\n%s", item.Name, w.Moment(at), text)
			}
		}
	})
}
