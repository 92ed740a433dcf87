package rescue

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// What can be saved of a week that goes on from a minute is nothing of before it: no batch begins and nothing is bought in
// earlier.
func TestRescueOfAPresent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		var shocks []week.Shock
		for step := range w.Steps {
			for _, day := range []string{"mon", "sun", "tue"} {
				if s, err := w.Shock("lose", w.Graph.Steps[step].Name+"@"+day); err == nil && rapid.Bool().Draw(t, "lost") {
					shocks = append(shocks, s)
				}
			}
		}
		if len(shocks) == 0 {
			t.Skip("nothing is cooked")
		}
		a, err := Find(t.Context(), w, shocks, nil)
		require.NoError(t, err, text)
		require.GreaterOrEqual(t, a.Known, w.Stamp(w.Now), text)
		for _, m := range a.Moves {
			for _, o := range m.Buy {
				require.GreaterOrEqual(t, (o.Day+1)*1440, w.Now, text)
			}
			require.Positive(t, m.Gained, text)
		}
	})
}
