package kitchen

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const coolingHead = "item,time,temperature\n"

func coolingKitchen(tb testing.TB) *Kitchen {
	k, faults := Read("kitchen.yaml", []byte("bought: {bones: {price: 1/kg}}\nsteps: {boil: {takes: [2 kg bones], gives: [1 kg kettle stock]}}\n"))
	require.NotNil(tb, k, faults)
	return k
}

func TestReadCooling(t *testing.T) {
	logs, faults := ReadCooling("log.csv", []byte(coolingHead+"kettle stock,2026-11-25 07:30,57 C\n\nkettle stock #2,2026-11-25 07:31,135 F\n"+
		"kettle stock,2026-11-25T08:30,40 C\n"), coolingKitchen(t), &Degrees{3, "C"})
	require.Empty(t, faults)
	at := time.Date(2026, 11, 25, 7, 30, 0, 0, time.UTC)
	assert.Equal(t, []CoolingLog{
		{Item: "kettle stock", Of: "kettle stock", Readings: []Reading{{at, Degrees{57, "C"}}, {at.Add(time.Hour), Degrees{40, "C"}}}},
		{Item: "kettle stock #2", Of: "kettle stock", Pan: " #2", Readings: []Reading{{at.Add(time.Minute), Degrees{135, "F"}}}},
	}, logs)
}

// Each fault with its place and what would be right.
func TestCoolingFaults(t *testing.T) {
	for name, c := range map[string]struct {
		rows string
		want []string // of the fault, as it is printed
	}{
		"wrong scale":     {"kettle stock,2026-11-25 07:30,135 C\n", []string{"log.csv:2:31: error: 135 °C is hotter than food that cools can be", `did you mean 135 °F?`}},
		"missing unit":    {"kettle stock,2026-11-25 07:30,57\n", []string{`log.csv:2:31: error: "57" has no scale`, "write 57 C or 57 F"}},
		"no number":       {"kettle stock,2026-11-25 07:30,warm\n", []string{`"warm" is not a temperature`, "as 57 C or 135 F"}},
		"below the air":   {"kettle stock,2026-11-25 07:30,2 C\n", []string{"log.csv:2:31: error: 2 °C is colder than the air that it cools in, 3 °C", "check the number"}},
		"out of order":    {"kettle stock,2026-11-25 08:30,57 C\nkettle stock,2026-11-25 07:30,50 C\n", []string{"log.csv:3:14: error:", "out-of-order", "log.csv:2:31: the reading before it"}},
		"the same minute": {"kettle stock,2026-11-25 08:30,57 C\nkettle stock,2026-11-25 08:30,50 C\n", []string{"out-of-order"}},
		"bad time":        {"kettle stock,25 Nov,57 C\n", []string{`log.csv:2:14: error: "25 Nov" is not a date and a time`, "2026-11-25 07:30"}},
		"unknown item":    {"ketle stock,2026-11-25 08:30,57 C\n", []string{`log.csv:2:1: error: unknown item "ketle stock"`, `did you mean "kettle stock"`}},
		"pan":             {"kettle stock #two,2026-11-25 08:30,57 C\n", []string{`"two" is not the number of a pan`, "kettle stock #2"}},
		"no item":         {",2026-11-25 08:30,57 C\n", []string{"there is no item here"}},
		"warmer":          {"kettle stock,2026-11-25 08:30,57 C\nkettle stock,2026-11-25 09:30,70 C\n", []string{"log.csv:3:31: warning:", `warms from 57 °C to 70 °C`}},
		"two scales":      {"kettle stock,2026-11-25 08:30,57 C\nkettle stock,2026-11-25 09:30,100 F\n", []string{"warning:", "read in F here, but in C before"}},
		"far too cold":    {"kettle stock,2026-11-25 08:30,-40 C\n", []string{"-40 °C is colder than food that cools can be"}},
		"two fields":      {"kettle stock,57 C\n", []string{"row has 2 fields, not 3"}},
		"nothing":         {"", []string{"log.csv: error: file has no readings"}},
	} {
		logs, faults := ReadCooling("log.csv", []byte(coolingHead+c.rows), coolingKitchen(t), &Degrees{3, "C"})
		for _, want := range c.want {
			assert.Contains(t, faults.Error(), want, name)
		}
		assert.Equal(t, faults.Err() == nil, logs != nil, name)
		for _, d := range faults {
			assert.NotEmpty(t, d.Hint, name)
		}
	}
	_, faults := ReadCooling("log.csv", []byte("item,when\n"), nil, nil)
	assert.Contains(t, faults.Error(), "bad-header")
}

func FuzzReadCooling(f *testing.F) {
	f.Add(coolingHead + "kettle stock,2026-11-25 07:30,57 C\nkettle stock #2,2026-11-25T07:31,135 °F\n")
	f.Add(coolingHead + "x,0001-01-01 00:00,-0F\n\"a\nb\",2026-11-25 07:30,9c")
	if example, err := os.ReadFile("../../examples/three-kettles/cooling.csv"); err == nil {
		f.Add(string(example))
	}
	k := coolingKitchen(f)
	f.Fuzz(func(t *testing.T, src string) {
		for _, with := range []*Kitchen{nil, k} {
			logs, faults := ReadCooling("log.csv", []byte(src), with, &Degrees{3, "C"})
			if (logs == nil) != (faults.Err() != nil) {
				t.Fatalf("%v, but %v", logs, faults)
			}
			for _, d := range faults {
				if d.Pos.Line > strings.Count(src, "\n")+1 {
					t.Fatalf("%v lies outside the file", d.Pos)
				}
			}
			for _, l := range logs {
				if len(l.Readings) == 0 {
					t.Fatalf("%q has no readings", l.Item)
				}
			}
		}
	})
}
