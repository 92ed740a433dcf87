package plan

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
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
	k := weektest.Read(f, string(src))
	p, err := Make(f.Context(), weektest.ExampleWeek(f, "first-pot"), Options{})
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

// TestKeptPlanWaitsAsPlanned has a batch without a clock that waits for a step of which that day has none: it begins on Tuesday
// at 10:00, when that step would be out, so that its terrine sets in the first hour of Wednesday and is good on Thursday.
func TestKeptPlanWaitsAsPlanned(t *testing.T) {
	w := weektest.SmallDays(t, `
kitchen: Cold Counter
open: thu
services: {dinner: 17:30-22:00}
bought:
  trotters: {price: 2/kg, arrives: mon, keeps: 1 day}
steps:
  boil: {starts: "06:00", takes: [10 kg trotters], gives: ["8 kg jelly, out at 4 h"], batches: {mon: 1}}
  set:  {takes: [4 kg jelly], gives: ["4 kg terrine, out at 15 h"], batches: {tue: 1}}
made:
  jelly:   {keeps: 2 days}
  terrine: {keeps: 2 days}
dishes:
  cold plate: {price: 9, takes: [200 g terrine], sells: 12}
`, 4)
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	require.Empty(t, p.Instead)
	require.InDelta(t, 12*9, p.Sales, 1e-6)
	keeps(t, p, "")

	// So is what comes tomorrow of a batch that was lit yesterday.
	w.OnHand = []flow.Lot{{Item: w.Graph.Steps[1].Gives[0].Item, Amount: 2000, Made: 1}}
	w, err = week.Over(w.Kitchen, w.Period)
	require.NoError(t, err)
	p, err = Make(t.Context(), w, Options{})
	require.NoError(t, err)
	keeps(t, p, "")
}
