package week_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// What is lost of a pot that stands overnight costs the same, asked before it is lit, while it is on, and on the next morning:
// the sales that it would have made, and what is paid to have it taken away.
func TestLosingAPotUnderWay(t *testing.T) {
	w := weektest.SmallDays(t, `
kitchen: Night Pot
disposal: 0.10/kg
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 2/kg}
  water: {price: 0/L}
steps:
  night pot: {starts: "22:00", takes: ["6 kg bones", "14 L water"], gives: ["10 L stock, out at 9 h", "2 kg meat, out at 10 h"], costs: 5, batches: {daily: 1}}
made:
  stock: {keeps: 2 days, density: 1 kg/L}
  meat:  {keeps: 2 days}
dishes:
  soup: {price: 6, takes: ["400 mL stock"], sells: 25}
  hash: {price: 8, takes: ["200 g meat"], sells: 10}
`, 5)
	costs := func(w *week.Week) float64 {
		before, after, err := w.Compare(t.Context(), weektest.Shocks(t, w, "lose night pot@mon=20%")...)
		require.NoError(t, err)
		for _, st := range after.Record.Stops {
			if w.SittingName(st.Slot) != "Tue 24 Nov lunch" {
				continue
			}
			links := after.Case.Because(after.Outcome, st)
			last := links[len(links)-1]
			assert.Equal(t, flow.BatchLost, last.Kind)
			assert.Equal(t, "Mon 23 Nov", w.DayName(last.Day))
		}
		return before.Books.Contribution - after.Books.Contribution
	}
	// Of 10 L and 2 kg a fifth is lost: 5 soups and 2 plates of hash; 2.4 kg are taken away.
	lost := 5*6 + 2*8 + 0.10*2.4
	assert.InDelta(t, lost, costs(w), 1e-6)
	assert.InDelta(t, lost, costs(w.At(23*60)), 1e-6, "while it is on")

	p := w.Period
	p.Days = 1
	monday, err := week.Over(w.Kitchen, p)
	require.NoError(t, err)
	lots, pots := monday.Case.Flow.Walk(monday.Case.Schedule, flow.Fair, nil).Ahead(1)
	p.From, p.Days = p.From.AddDate(0, 0, 1), w.Days-1
	tuesday, err := week.Over(w.Kitchen, p)
	require.NoError(t, err)
	tuesday = tuesday.Continued(nil, func(s *flow.Schedule) { s.OnHand, s.Pots = lots, pots })
	assert.InDelta(t, lost, costs(tuesday), 1e-6, "on the next day")
	assert.InDelta(t, 2*8+0.10*0.4, costs(tuesday.At(7*60+30)), 1e-6, "when the stock is out")
}

// What waits for a batch that nobody lights goes on waiting until it would have been out, before its hour and after it.
func TestWaitsForAPotThatNobodyLights(t *testing.T) {
	w := weektest.SmallDays(t, `
kitchen: Cold Pot
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 2/kg}
  water: {price: 0/L}
steps:
  pot:  {starts: "01:00", takes: ["6 kg bones", "14 L water"], gives: ["10 L stock, out at 9 h"], batches: {daily: 1}}
  base: {takes: ["2 L stock", "1 kg bones"], gives: ["3 kg base"], batches: {daily: 1}}
made:
  stock: {keeps: 2 days, density: 1 kg/L}
  base:  {keeps: 2 days}
dishes:
  soup: {price: 6, takes: ["300 g base"], sells: 5}
`, 1)
	w = w.Continued(nil, func(s *flow.Schedule) {
		for r := range s.Batches {
			if b := &s.Batches[r]; w.Graph.Steps[b.Step].Name == "pot" && b.Day == 0 {
				b.Lost, b.Unlit = 1, true
			}
		}
	})
	base := func(w *week.Week) int {
		p, err := w.Play(t.Context())
		require.NoError(t, err)
		for r, b := range p.Schedule.Batches {
			if w.Graph.Steps[b.Step].Name == "base" && b.Day == 0 {
				return p.Outcome.Ran[r].Start
			}
		}
		return -1
	}
	assert.Equal(t, 10*60, base(w))
	assert.Equal(t, 10*60, base(w.At(2*60)))
}
