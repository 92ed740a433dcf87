package clock

// When what is heated all at once begins to cool.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

// A step without "out at" is off the heat when its work is done: the label and the timetable count from the same minute.
func TestLabelAndTimetableCountFromOneMinute(t *testing.T) {
	const src = `
services: {lunch: "12:00-14:00", dinner: "20:00-22:00"}
hands: {07:00-23:00: [ida, tom]}
bought: {bean: {price: 3/kg}, water: {price: 0/L, density: 1 kg/L}}
steps:
  soak: {starts: "08:00", takes: [4 kg bean, 4 L water], gives: [8 kg bean pot], reheats: yes, batches: {mon: 2}, WORK}
made: {bean pot: {keeps: 3 days}}
dishes: {plate: {price: 9, takes: [200 g bean pot], sells: {mon dinner: 10}}}
`
	for work, from := range map[string]string{"work: 25 min": "08:25", "work: {heat: 20 min + 5 min a batch}": "08:30", "work: {heat: 10 min, slice: 10 min once cold}": "08:10"} {
		w := weektest.SmallDays(t, strings.Replace(src, "WORK", work, 1), 1)
		labels, err := LabelsOn(t.Context(), w, []int{0}, tongue.Voice{})
		require.NoError(t, err)
		require.Len(t, labels.Labels, 1)
		l := labels.Labels[0]
		assert.Equal(t, from, l.Cools, work)
		var due []string
		for _, r := range of(t, w).Rows {
			if r.Do == Read {
				due = append(due, *r.Limits[0].By)
			}
		}
		require.Len(t, due, len(l.Cool), work)
		for n := range due {
			assert.Equal(t, *l.Cool[n].By, due[n], work)
		}
	}
}
