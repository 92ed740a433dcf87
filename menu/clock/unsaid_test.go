package clock

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/week/weektest"
)

// Hours that nobody has said are told as that: no time is made up, for the batch or for what follows it.
func TestUnsaidHours(t *testing.T) {
	const kitchen = `
services: {lunch: "11:30-14:30"}
vessels: {pot: {holds: 60 L}}
bought: {bones: {price: 3/kg, raw: yes}, water: {price: 0/L, density: 1 kg/L}}
steps:
  bone pot: {vessel: pot, starts: STARTS, takes: [20 kg bones, 30 L water], gives: ["30 L stock, out at OUT"], cooks through: yes, batches: {tue: 1}}
made: {stock: {keeps: 4 days}}
dishes: {broth: {price: 4, takes: [300 mL stock], sells: 10}}`
	for _, c := range []struct {
		starts, out string
		rows        []string
		unsaid      string
	}{
		{"some time", "some time", []string{"24 11:30 make +20 bones +30 water -30 stock"}, "when it starts and how long it takes is not said yet"},
		{"some time", "8 h", []string{"24 11:30 make +20 bones +30 water -30 stock"}, "when it starts is not said yet"},
		{`"22:00"`, "some time", []string{"24 22:00 start +20 bones +30 water", "25 11:30 take out -30 stock"}, "after how long it is out is not said yet"},
		{`"22:00"`, "8 h", []string{"24 22:00 start +20 bones +30 water", "25 06:00 take out -30 stock"}, ""},
	} {
		a := of(t, weektest.SmallDays(t, strings.NewReplacer("STARTS", c.starts, "OUT", c.out).Replace(kitchen), 7))
		assert.Equal(t, c.rows, told(a, "bone pot"))
		for _, r := range a.Rows {
			if r.Do == Serve {
				continue
			}
			if c.unsaid != "" {
				assert.Equal(t, c.unsaid, r.Unsaid, "%s %s: nothing else of the batch has a time", r.At, r.Do)
			}
			assert.Equal(t, c.unsaid != "" && r.Do != Start, r.Latest && r.Unsaid != "", "%s %s", r.At, r.Do)
		}
	}
}
