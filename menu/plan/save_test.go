package plan

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// TestLoadWhatWasSaved plays a kept plan: it sells, buys and leaves what the plan did.
func TestLoadWhatWasSaved(t *testing.T) {
	for _, name := range examples {
		t.Run(name, func(t *testing.T) {
			p := planOf(t, name)
			text, err := json.Marshal(p.Save())
			require.NoError(t, err)
			again, err := Load("plan.json", text, p.m.Kitchen, week.Fair)
			require.NoError(t, err)
			o := again.Case.Flow.Walk(again.Case.Schedule, flow.Fair, nil)
			require.Equal(t, p.Outcome.Served, o.Served)
			require.InDeltaSlice(t, p.Outcome.Left, o.Left, 1e-3)
			require.Len(t, o.Deliveries, len(p.Outcome.Deliveries))
			for k, d := range p.Outcome.Deliveries {
				require.Equal(t, d.Item, o.Deliveries[k].Item)
				require.InEpsilon(t, d.Amount, o.Deliveries[k].Amount, 1e-9)
			}
		})
	}
}

// FuzzLoad reads anything: an error, or a week that can be played.
func FuzzLoad(f *testing.F) {
	src, err := os.ReadFile("../../examples/first-pot/kitchen.yaml")
	require.NoError(f, err)
	k, faults := kitchen.Read("kitchen.yaml", src)
	require.NotNil(f, k, "%v", faults)
	p, err := Make(f.Context(), example(f, "first-pot"), Options{})
	require.NoError(f, err)
	text, err := json.MarshalIndent(p.Save(), "", " ")
	require.NoError(f, err)
	f.Add(text)
	f.Fuzz(func(t *testing.T, text []byte) {
		w, err := Load("plan.json", text, k, week.Fair)
		if err != nil {
			require.Nil(t, w)
			return
		}
		w.Case.Flow.Walk(w.Case.Schedule, flow.Fair, nil)
	})
}
