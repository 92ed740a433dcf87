package plan

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Stock of Monday 1 June keeps until the 7th, and what is made of it too (FDA Food Code 2022, 3-501.17(A) and (C)). A stew of the Thursday
// would sell on the Tuesday after, five days old and eight by its date mark.
const dated = `
services: {lunch: 12:00-14:00}
bought: {chicken: {price: 4/kg, raw: yes, allergens: [], keeps: 3 days, arrives: mon}, beans: {price: 2/kg, allergens: []}}
steps:
  boil: {takes: [10 kg chicken], gives: [9 kg stock], cooks through: yes, starts: "06:00", batches: {mon: 1}}
  stew: {takes: [3 kg stock, 1 kg beans], gives: [4 kg stew], reheats: yes, starts: "08:00", batches: {thu: 1}}
dishes:
  bowl: {price: 9, takes: [500 g stew], sells: {SELLS}}
`

func TestPlanKeepsItsDates(t *testing.T) {
	from := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for sells, name := range map[string]string{"fri lunch: 4, tue lunch: 4": "sold on two days", "tue lunch: 4": "sold on the second Tuesday"} {
		w := weektest.Stocked(t, strings.Replace(dated, "SELLS", sells, 1), "", week.Period{From: from, Days: 9})
		played, err := w.Play(t.Context())
		require.NoError(t, err)
		require.NotEmpty(t, w.CantBe(played), "the week as it stands serves past the date: %s", name)
		p, err := Make(t.Context(), w, Options{})
		require.NoError(t, err)
		planned, err := w.PlayCase(t.Context(), p.Case, nil)
		require.NoError(t, err)
		assert.Empty(t, w.CantBe(planned), name)
		assert.InDelta(t, 4, p.Outcome.Served[len(p.Outcome.Served)-1], 1e-6, "stock is boiled again on the second Monday: %s", name)
		assert.Contains(t, p.Notes[0], "so that nothing is used after its last day", name)
	}
}
