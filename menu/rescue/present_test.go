package rescue

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// What can be saved of a week that goes on from a minute is nothing of before it: no batch begins and nothing is bought in
// earlier, and no decision lies behind the moment at which it is asked about.
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
		now := w.Now
		if rapid.Bool().Draw(t, "asked later") { // be it days later, up to the day behind the last
			now = rapid.IntRange(w.Now, (w.Days+1)*1440).Draw(t, "now")
			asked := *w
			asked.Asked = w.From.Add(time.Duration(now) * time.Minute)
			if w = &asked; w.Today(w.Asked) >= w.Days {
				now = w.Now
			}
		}
		a, err := Find(t.Context(), w, shocks, nil)
		require.NoError(t, err, text)
		require.GreaterOrEqual(t, a.Known, w.Stamp(now), text)
		for _, m := range a.Moves {
			for _, o := range m.Buy {
				require.GreaterOrEqual(t, (o.Day+1)*1440, now, text)
			}
			require.GreaterOrEqual(t, m.By, w.Stamp(now), text)
			require.Positive(t, m.Gained, text)
		}
	})
}
