package plan

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Worked by hand: a day takes 6 L of base. Monday makes 10 and leaves 4; Tuesday lacks 2, makes 5 and leaves 3; Wednesday lacks 3.
func TestAPlanTellsWhatIsMadeAsNeeded(t *testing.T) {
	w := weektest.Stocked(t, `
kitchen: Bases
open: mon-wed
services: {lunch: 12:00-14:00}
bought: {chile: {price: 2/kg}, water: {price: 0/L, density: 1 kg/L}}
steps: {red base: {takes: [1 kg chile, 10 L water], gives: [10 L base], batches: as needed, halves: yes}}
made: {base: {keeps: 2 days, density: 1 kg/L}}
dishes: {soup: {price: 5, takes: [300 mL base], sells: 20}}
`, "item,quantity,made\n", week.Period{From: weektest.Monday, Days: 3})
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	a := p.Answer()
	require.Equal(t, []Needed{{"2026-11-23", "red base", 1}, {"2026-11-24", "red base", 0.5}, {"2026-11-25", "red base", 0.5}}, a.Needed)
	require.Empty(t, a.Cook)
}
