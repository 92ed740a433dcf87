package plan

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/week/weektest"
)

// TestKeptPlanIsWhatWasTold keeps the plans of the examples: laid over the week again they sell and earn what was told.
func TestKeptPlanIsWhatWasTold(t *testing.T) {
	for _, name := range examples {
		t.Run(name, func(t *testing.T) {
			keeps(t, weektest.ExampleWeek(t, name), planOf(t, name), "")
		})
	}
}

// FuzzRead reads anything: an error, or a plan that is written as it was read and can be laid over a week.
func FuzzRead(f *testing.F) {
	src, err := os.ReadFile("../../examples/first-pot/kitchen.yaml")
	require.NoError(f, err)
	w := weektest.SmallWeek(f, string(src))
	p, err := Make(f.Context(), weektest.ExampleWeek(f, "first-pot"), Options{})
	require.NoError(f, err)
	text, err := p.Kept().Over(nil, weektest.Monday).Text()
	require.NoError(f, err)
	f.Add(text)
	f.Add([]byte("days: {2026-11-23: {kept: 2026-11-22 09:00, batches: {poach chickens: 0.5}, orders: {chicken: 12 each}}}"))
	f.Fuzz(func(t *testing.T, text []byte) {
		k, err := Read("kitchen.plan", text)
		if err != nil {
			require.Nil(t, k)
			require.IsType(t, &FileError{}, err)
			return
		}
		written, err := k.Text()
		require.NoError(t, err)
		again, err := Read("kitchen.plan", written)
		require.NoError(t, err, "%s", written)
		twice, err := again.Text()
		require.NoError(t, err)
		require.Equal(t, string(written), string(twice))
		laid, _ := Lay(k, w)
		laid.Case.Flow.Walk(laid.Case.Schedule, flow.Fair, nil)
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
	keeps(t, w, p, "")

	// So is what comes of a batch that was lit yesterday.
	out := w.Graph.Steps[1].Gives[0]
	w = w.Continued(nil, func(s *flow.Schedule) {
		s.Pots = []flow.Pot{{Step: 1, Day: -1, Start: -60, Batches: 0.5, Gives: []flow.PotLine{{Item: out.Item, Amount: 2000, Minute: 840}}}}
	})
	p, err = Make(t.Context(), w, Options{})
	require.NoError(t, err)
	keeps(t, w, p, "")
}
