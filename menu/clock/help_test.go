package clock

// What would do where work is too tight is tried out before it is said.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// presses has curd that is out of the vat an hour too late to be pressed for the counter.
const presses = `
services: {counter: "11:00-18:00"}
hands: {04:00-18:00: [vat hand, counter hand]}
vessels: {vat: {holds: 120 L}, tub: {holds: 20 L}}
bought: {milk: {price: 1/L, density: 1.03 kg/L, arrives: daily, allergens: [milk]}}
steps:
  curd vat:
    vessel: vat
    starts: "06:30"
    takes: [80 L milk]
    gives: ["12 kg curd, out at 2 h"]
    work: {light: 10 min}
    batches: {tue: 1}
  press: {vessel: tub, takes: [12 kg curd], gives: ["10 kg cheese, out at 3 h"], work: {load: 10 min, take out: 10 min}, batches: all of it}
made: {curd: {keeps: 1 day, density: 1 kg/L}, cheese: {keeps: 9 days, density: 1 kg/L}}
dishes: {tub: {price: 7, takes: [250 g cheese], sells: {tue counter: 12}}}
`

func TestTooTightHelps(t *testing.T) {
	tight := func(change ...string) (found []Conflict) {
		for _, c := range of(t, weektest.SmallDays(t, replaceAll(t, presses, change), 3)).Conflicts {
			if c.Kind == TooTight {
				found = append(found, c)
			}
		}
		return found
	}
	t.Run("the vat started sooner by what it takes", func(t *testing.T) {
		c := tight()
		require.Len(t, c, 1)
		assert.Equal(t, []string{"start Tuesday's curd vat at Tue 24 Nov 06:00"}, c[0].Helps)
		assert.True(t, strings.HasSuffix(c[0].Text, ": 30 min too late; this would do: start Tuesday's curd vat at Tue 24 Nov 06:00"), c[0].Text)
		assert.Empty(t, tight(`"06:30"`, `"06:00"`), "as it says")
	})
	t.Run("nobody is there so early", func(t *testing.T) {
		c := tight("04:00-18:00", "06:30-18:00")
		require.Len(t, c, 1)
		assert.Empty(t, c[0].Helps)
		assert.Contains(t, c[0].Text, "; tried, and would not do: an earlier start")
	})
	t.Run("the vat is in use", func(t *testing.T) {
		c := tight("  press:", "  whey vat: {vessel: vat, starts: \"04:15\", takes: [40 L milk], gives: [\"30 L whey, out at 2 h 15 min\"], work: {light: 10 min}, batches: {tue: 1}}\n  press:",
			"made: {", "made: {whey: {keeps: 1 day, density: 1 kg/L}, ")
		require.Len(t, c, 1)
		assert.Empty(t, c[0].Helps)
		assert.Contains(t, c[0].Text, "; tried, and would not do: an earlier start")
	})
}

// Two cheeses want one tub before the counter opens: with a second one, it fits.
func TestTooTightForAVessel(t *testing.T) {
	kitchen := replaceAll(t, presses, []string{`"06:30"`, `"05:00"`, "  press:",
		"  ripen: {vessel: tub, takes: [6 kg curd], gives: [\"5 kg soft cheese, out at 3 h\"], work: {load: 10 min, take out: 10 min}, batches: {tue: 1}}\n  press:",
		"made: {", "made: {soft cheese: {keeps: 9 days, density: 1 kg/L}, ", "takes: [250 g cheese]", "takes: [100 g cheese, 100 g soft cheese]"})
	var found []Conflict
	for _, c := range of(t, weektest.SmallDays(t, kitchen, 3)).Conflicts {
		if c.Kind == TooTight {
			found = append(found, c)
		}
	}
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Helps, "one more tub")
}

// Curd is portioned when it is out, not when the last whey has run off.
func TestPortionsWhatIsNoLiquid(t *testing.T) {
	for given, want := range map[string]string{
		`"12 kg curd, out at 2 h", "60 L whey, out at 2 h 30 min"`: "curd",
		`"60 L whey, out at 2 h", "12 kg curd, out at 2 h"`:        "curd",
		`"60 L whey, out at 2 h"`:                                  "whey",
	} {
		kitchen := replaceAll(t, presses, []string{`"12 kg curd, out at 2 h"`, given, "work: {light: 10 min}", "work: {light: 10 min, portion: 20 min}"})
		if strings.Contains(given, "whey") {
			kitchen = replaceAll(t, kitchen, []string{"made: {", "made: {whey: {keeps: 1 day, density: 1 kg/L}, "})
		}
		if !strings.Contains(given, "curd") {
			kitchen = replaceAll(t, kitchen, []string{"takes: [12 kg curd]", "takes: [12 L whey]", "curd: {keeps: 1 day, density: 1 kg/L}, ", ""})
		}
		var portioned []string
		var at string
		for _, r := range of(t, weektest.SmallDays(t, kitchen, 3)).Rows {
			if r.Act == "portion" {
				at = r.At[11:]
				for _, p := range r.Of {
					portioned = append(portioned, p.Item)
				}
			}
		}
		assert.Equal(t, []string{want}, portioned, given)
		assert.Equal(t, "08:45", at, given)
	}
}
