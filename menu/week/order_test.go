package week_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// pieShop has 2 kg of lard on Monday, which is a batch of the cases or a batch of the dumplings, each written with what else goes in.
const pieShop = `
kitchen: Pie Shop
open: mon
services: {lunch: 11:30-14:30}
bought:
  lard:  {price: 6/kg, arrives: tue, keeps: 20 days}
  flour: {price: 1/kg, keeps: 30 days}
  salt:  {price: 0/kg, keeps: 300 days}
steps:
  raised crust: {takes: [2 kg lard, 3 kg flour CASES], gives: [40 each pie case], batches: {mon: 1}}
  dumplings:    {takes: [2 kg lard, 3 kg flour BOWLS], gives: [10 each dumpling], batches: {mon: 1}}
made: {pie case: {keeps: 2 days}, dumpling: {keeps: 2 days}}
dishes:
  pork pie:      {price: 9, takes: [1 each pie case], sells: 40}
  dumpling bowl: {price: 8, takes: [1 each dumpling], sells: 10}
`

// TestAPinchOfSaltChangesNothing: the cases stand first in the file and have the lard, 40 pies at 9.00 less 3 kg of flour and
// the lard; however many lines of something free the one step or the other has.
func TestAPinchOfSaltChangesNothing(t *testing.T) {
	for _, cases := range []string{"", ", 1 g salt", ", 1 g salt, 2 g salt"} {
		for _, bowls := range []string{"", ", 1 g salt"} {
			w := weektest.Stocked(t, strings.NewReplacer("CASES", cases, "BOWLS", bowls).Replace(pieShop), "item,quantity,made\nlard,2 kg,2026-11-22\n",
				week.Period{From: weektest.Monday, Days: 1})
			p, err := w.Play(t.Context())
			require.NoError(t, err)
			assert.Equal(t, []float64{40, 0}, p.Outcome.Served, "%q, %q", cases, bowls)
			assert.InDelta(t, 40*9-2*6-3*1, p.Books.Contribution, 1e-9, "%q, %q", cases, bowls)
		}
	}
}
