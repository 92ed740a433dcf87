package menu_test

// Specials that went by: how they sold, and when they rest.

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
	"kettletree/menu/logbook"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

const broths = `
kitchen: Broth Bar
services: {lunch: 11:30-14:00}
bought: {bones: {price: 1/kg}, water: {price: 0/L}}
steps: {boil: {takes: [5 kg bones, 10 L water], gives: [10 L broth], batches: {daily: 1}}}
made: {broth: {keeps: 2 days, density: 1 kg/L}}
dishes: {bowl: {price: 5, takes: [1 L broth], sells: {lunch: 4}}}
specials:
  cup: {price: 3, takes: [500 mL broth], at most: 10, in place of: [bowl 25%]}
  mug: {price: 3, takes: [500 mL broth], sells: {lunch: 3}}
`

// Of 18 cups that were on the board at services of which sales were written down, 2 and 10 went, for what was sold beyond that counts for
// nothing: so the next are expected to sell. What was on the board yesterday rests today.
func TestWhatSpecialsSold(t *testing.T) {
	monday := weektest.Monday
	o := menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: []byte(broths)}, From: monday.AddDate(0, 0, 3), Days: 2, Now: monday.AddDate(0, 0, 3),
		LogBook: filepath.Join(t.TempDir(), "kitchen.logbook"), Plan: menu.Source{Name: "kitchen.plan",
			Text: []byte("days: {2026-11-23: {kept: 2026-11-22 20:00, specials: {lunch: {cup: 8}}}, 2026-11-28: {kept: 2026-11-22 20:00, specials: {lunch: {mug: 3}}}}")}}
	book, err := logbook.Open(t.Context(), o.LogBook)
	require.NoError(t, err)
	defer func() { _ = book.Close() }()
	write := func(at time.Time, kind logbook.Kind, text string) {
		e, err := logbook.Parse(weektest.Read(t, broths), kind, text)
		require.NoError(t, err)
		e.At, e.Written = at, at
		_, err = book.Append(t.Context(), e)
		require.NoError(t, err)
	}
	expected := func() week.Expectation { return openWith(t, o).Expected(1, 0) }
	assert.Equal(t, week.Expectation{Portions: 5, By: week.Assumed, Share: 0.5}, expected(), "nobody wrote what was sold")
	write(monday.Add(12*time.Hour), logbook.Sold, "2 bowl at lunch")
	write(monday.Add(13*time.Hour), logbook.Sold, "2 cup at lunch")
	assert.Equal(t, week.Expectation{Portions: 3, By: week.BySeen, Share: 0.25}, expected(), "2 of the plan's 8")
	write(monday.Add(34*time.Hour), logbook.Offered, "10 cup at lunch") // Tuesday, 10:00
	write(monday.Add(36*time.Hour), logbook.Sold, "14 cup at lunch")
	assert.Equal(t, week.Expectation{Portions: 7, By: week.BySeen, Share: 12.0 / 18}, expected(), "no more than what was offered")
	assert.Equal(t, week.Expectation{Portions: 3, By: week.ByFile}, openWith(t, o).Expected(2, 0), "as the file says")

	w := openWith(t, o) // Thursday and Friday
	assert.False(t, w.Rests(1, 0) || w.Rests(1, 1), "it rested on Wednesday")
	assert.False(t, w.Rests(2, 0))
	assert.True(t, w.Rests(2, 1), "it is on the board on Saturday")
	write(monday.Add(60*time.Hour), logbook.Sold, "1 cup at lunch") // Wednesday
	w = openWith(t, o)
	assert.True(t, w.Rests(1, 0), "it was on the board yesterday")
	assert.False(t, w.Rests(1, 1))
}
