package week_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

const suppliedPot = `
kitchen: Supplied
open: tue-fri
works: tue-fri
services: {lunch: 12:00-14:00}
suppliers:
  butcher: {delivers: tue fri, order by: "14:00 the day before"}
  farm: {delivers: thu, order by: "12:00 2 days before"}
bought:
  water: {price: 0/L, density: 1 kg/L}
  bones:
    price: 2/kg
    also from:
      butcher: {price: 3/kg}
      farm: {price: 2.50/kg}
      corner shop: {price: 4/kg, within: 30 min, arrives: wed-fri}
      anybody: {price: 5/kg, arrives: wed}
steps:
  boil: {takes: [12 L water, 10 kg bones], gives: [10 L stock], batches: {tue: 1}}
dishes:
  soup: {price: 5, takes: [500 mL stock], sells: 6}
`

// What is asked for at a minute of the week from Monday on comes when its supplier brings it next, if it is ordered in time, or
// when it is fetched.
func TestEarliest(t *testing.T) {
	w := weektest.SmallWeek(t, suppliedPot)
	at := func(day, hour, minute int) int { return day*1440 + hour*60 + minute }
	sources := w.Sources[1]
	require.Len(t, sources, 4)
	for _, c := range []struct {
		from         int // source
		asked, comes int // -1: not in these days
	}{
		{0, at(0, 13, 59), at(1, 0, 0)}, // Monday before two: Tuesday
		{0, at(0, 14, 1), at(4, 0, 0)},  // too late for Tuesday: Friday
		{0, at(4, 9, 0), -1},            // Thursday's deadline is over
		{1, at(1, 12, 0), at(3, 0, 0)},  // two days before Thursday, on the minute
		{1, at(1, 12, 1), -1},
		{2, at(0, 8, 0), at(2, 0, 0)},  // not sold before Wednesday
		{2, at(2, 8, 0), at(2, 8, 30)}, // half an hour
		{2, at(2, 23, 45), at(3, 0, 15)},
		{2, at(4, 23, 45), -1},          // on Saturday nobody works
		{3, at(1, 23, 59), at(2, 0, 0)}, // no deadline: before the day begins
		{3, at(2, 0, 0), -1},
	} {
		comes, ok := w.Earliest(sources[c.from], c.asked)
		assert.Equal(t, c.comes >= 0, ok, "%s asked at %s", sources[c.from].From, w.Stamp(c.asked))
		if ok {
			assert.Equal(t, w.Stamp(c.comes), w.Stamp(comes), "%s asked at %s", sources[c.from].From, w.Stamp(c.asked))
		}
	}
	for n, text := range []string{"butcher, tue fri, ordered by 14:00 the day before, 3/kg", "farm, thu, ordered by 12:00 2 days before, 2.50/kg",
		"corner shop, within 30 min, wed thu fri, 4/kg", "anybody, wed, 5/kg"} {
		assert.Equal(t, text, w.SourceText(1, sources[n]))
	}
	assert.Equal(t, "2026-11-22 18:00", w.Stamp(-6*60))
}
