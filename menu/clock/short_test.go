package clock

// Help with what is too much work is there when the work is due.

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/week/weektest"
)

// Bones come out of the pot at 06:00, which takes 20 min: who comes at 06:05, or at 06:15, is late for that, if only by the clock's grace.
func TestHelpIsThereWhenWorkIsDue(t *testing.T) {
	for _, hands := range []string{"{20:00-05:00: night cook}", "{20:00-05:00: night cook, 06:20-14:00: day cook}"} {
		a := of(t, weektest.SmallDays(t, `
services: {lunch: "12:00-15:00"}
hands: `+hands+`
vessels: {pot: {holds: 60 L}}
bought: {water: {price: 0/L, density: 1 kg/L}, bone: {price: 2/kg}}
steps:
  bone pot:
    vessel: pot
    starts: "22:00"
    takes: [30 L water, 10 kg bone]
    gives: ["24 L broth, out at 8 h"]
    work: {load: 20 min, take out: 20 min}
    batches: {mon: 1}
made: {broth: {keeps: 3 days, density: 1 kg/L}}
dishes: {bowl: {price: 6, takes: [300 mL broth], sells: {tue lunch: 20}}}
`, 2))
		helps := 0
		for _, c := range a.Conflicts {
			if c.At != "2026-11-24T06:00" {
				continue
			}
			t.Log(c.Text)
			for _, help := range c.Helps {
				helps++
				assert.NotRegexp(t, `from Tue 24 Nov 06:(0[1-9]|[1-5]\d)`, help)
			}
		}
		assert.Positive(t, helps)
	}
}
