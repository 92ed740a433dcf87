package ask

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/draw"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Of a week that goes on from a minute, a batch under way is among what can be lost and derived; losing it is drawn on its step.
func TestPotsCanBeLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		losses, err := Losses(t.Context(), w)
		require.NoError(t, err, text)
		for _, pot := range w.Case.Schedule.Pots {
			if len(pot.Gives) == 0 {
				continue
			}
			name := w.Graph.Steps[pot.Step].Name
			require.True(t, slices.ContainsFunc(losses, func(l Loss) bool { return l.Of == name && l.Day == pot.Day }), "%s\n%s", name, text)
			lost, err := w.Shock("lose", name+"@"+w.Date(pot.Day).Format("2006-01-02"))
			require.NoError(t, err, text)
			why, err := Why(t.Context(), w, name+"@"+w.Date(pot.Day).Format("2006-01-02"), nil)
			require.NoError(t, err, text)
			require.GreaterOrEqual(t, why[0].Value, pot.Batches, text)
			for _, by := range Bys {
				picture, err := Map(t.Context(), w, []week.Shock{lost}, "", by)
				require.NoError(t, err, text)
				hit := slices.ContainsFunc(picture.Nodes, func(n draw.Node) bool { return n.Origin && n.State != draw.Untouched })
				require.True(t, hit, "%s\n%s", name, text)
			}
		}
	})
}
