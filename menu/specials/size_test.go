package specials

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// Target: two seconds at 96 dishes.
func BenchmarkSpecials(b *testing.B) {
	for _, dishes := range []int{12, 48, 96} {
		b.Run(fmt.Sprintf("%d dishes", dishes), func(b *testing.B) {
			w := weektest.SmallWeek(b, weektest.Copies(b, dishes/12))
			for b.Loop() {
				_, err := Specials(b.Context(), w, nil, nil)
				require.NoError(b, err)
			}
		})
	}
}

// A year is too long: the first days are looked at, and that is said.
func TestFirstDaysOfAYear(t *testing.T) {
	w := weektest.SmallDays(t, stewAllYear, 300)
	a, err := Specials(t.Context(), w, nil, nil)
	require.NoError(t, err)
	require.Less(t, a.Days, 300)
	require.Contains(t, a.Notes, fmt.Sprintf("these are the first %d days of 300: the others take too long, ask about them with --from", a.Days))
	week, err := Specials(t.Context(), weektest.SmallDays(t, stewAllYear, a.Days), nil, nil)
	require.NoError(t, err)
	require.Equal(t, week.Surplus, a.Surplus)
	require.Equal(t, week.Proposals, a.Proposals)
}

const stewAllYear = `
open: mon-sun
services: {lunch: 11:30-14:30}
bought: {meat: {price: 2/kg, allergens: []}, roll: {price: 0.50/each, allergens: [wheat]}}
steps: {cook: {takes: [1 kg meat], gives: [1 kg stew], batches: {mon: 2}}}
made: {stew: {keeps: 2 days, worth: 1.50/kg}}
dishes: {bowl: {price: 4, takes: [100 g stew], sells: {lunch: 5}}}
specials: {stew roll: {price: 5, takes: [100 g stew, 1 each roll], at most: 9}}
`
