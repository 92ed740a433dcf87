package clock

// What must cool goes before bench work that can wait: FDA Food Code 2022, 3-501.14(A)(1): from 57 °C (135 °F) to 21 °C (70 °F) within
// 2 hours, and (2) to 5 °C (41 °F) within 6.

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/week/weektest"
)

// creamery has one pair of hands, and cheese that is out of the vat at 07:00 and sold the day after.
const creamery = `
services: {counter: "10:00-18:00"}
hands: {05:00-18:00: [vat hand]}
vessels: {vat: {holds: 120 L}}
bought: {milk: {price: 1/L, density: 1.03 kg/L, allergens: [milk]}}
steps:
  curd vat:
    vessel: vat
    starts: "05:00"
    takes: [80 L milk]
    gives: ["12 kg cheese, out at 2 h"]
    cooks through: yes
    work: {drain: 30 min, portion: 90 min}
    batches: {mon: 1}
made: {cheese: {keeps: 3 days}}
dishes: {tub: {price: 7, takes: [250 g cheese], sells: {tue counter: 12}}}
`

// worked are the acts of a step as "07:15 drain".
func worked(a *Timetable, step string) (list []string) {
	for _, r := range a.Rows {
		if r.Step == step && (r.Do == Work || r.Do == Read) {
			text := r.At[11:] + " " + strings.TrimPrefix(r.Do+" ", "work ") + r.Act
			if r.Cold {
				text += " once cold"
			}
			list = append(list, text)
		}
	}
	return list
}

func TestCoolsBeforeBenchWork(t *testing.T) {
	for name, c := range map[string]struct {
		change    []string
		want      []string
		conflicts string // part of it; "" for none
		note      string
	}{
		"portioned cold, for the cheese would cool from 09:15 on": {
			nil, []string{"07:15 drain", "07:45 cool", "08:00 wash", "09:00 read cool", "13:00 read cool", "13:00 portion once cold"}, "",
			"portion (Monday's curd vat) waits until it is cold: if it came first, the food would be in the cold only at Mon 23 Nov 09:30, and the code's limit ends at Mon 23 Nov 09:00"},
		"in time warm": {[]string{"portion: 90 min", "portion: 45 min"},
			[]string{"07:15 drain", "07:45 portion", "08:30 cool", "08:45 wash", "09:00 read cool", "13:00 read cool"}, "", ""},
		"the card wants it cold": {[]string{"portion: 90 min", "portion: 45 min once cold"},
			[]string{"07:15 drain", "07:45 cool", "08:00 wash", "09:00 read cool", "13:00 read cool", "13:00 portion once cold"}, "", ""},
		"the card wants it warm": {[]string{"portion: 90 min", "portion: 90 min while warm"},
			[]string{"07:15 drain", "07:45 portion", "09:00 read cool", "09:15 cool", "09:30 wash", "13:00 read cool"},
			"here it is in the cold only at Mon 23 Nov 09:30: cool it before anything else; what can be done cold (drain and portion) waits for that", ""},
		"what is drained is drained warm": {[]string{"drain: 30 min, portion: 90 min", "drain: 2 h"},
			[]string{"07:15 drain", "09:00 read cool", "09:15 cool", "09:30 wash", "13:00 read cool"}, "what can be done cold (drain)", ""},
		"a quarter of it is sold at noon, so that is portioned first, in a quarter of the time": {[]string{"tue counter: 12", "mon counter: 12, tue counter: 12", `"10:00-18:00"`, `"12:00-18:00"`},
			[]string{"07:15 drain", "07:45 portion", "08:10 cool", "08:25 wash", "09:00 read cool", "13:00 read cool", "13:00 portion once cold"}, "",
			"portion (Monday's curd vat): only what is needed before comes first, and the rest waits until it is cold: if all came first, the food would be in the cold only at Mon 23 Nov 09:30"},
		"nearly all of it is sold at noon": {[]string{"tue counter: 12", "mon counter: 46, tue counter: 2", `"10:00-18:00"`, `"12:00-18:00"`, "portion: 90 min", "portion: 90 min, press: 20 min"},
			nil, "portion can't wait until it is cold, or tub at Mon 23 Nov counter would be", ""},
	} {
		a := of(t, weektest.SmallDays(t, replaceAll(t, creamery, c.change), 2))
		if c.want != nil {
			assert.Equal(t, c.want, worked(a, "curd vat"), name)
		}
		var texts []string
		for _, x := range a.Conflicts {
			texts = append(texts, x.Text)
		}
		if c.conflicts == "" {
			assert.Empty(t, texts, name)
		} else {
			assert.Contains(t, strings.Join(texts, "\n"), c.conflicts, name)
		}
		notes := strings.Join(a.Notes, "\n")
		assert.Contains(t, notes, c.note, name)
		assert.Equal(t, c.note != "", strings.Contains(notes, "until it is cold"), name)
	}
}

func replaceAll(t *testing.T, text string, pairs []string) string {
	for k := 0; k < len(pairs); k += 2 {
		text = replaceOnce(t, text, pairs[k], pairs[k+1])
	}
	return text
}

// A batch without a clock is one stretch of work; what of it can be done cold is then done apart, and who takes it waits for that.
func TestCoolsBeforeBenchWorkWithoutAClock(t *testing.T) {
	kitchen := replaceAll(t, creamery, []string{"    starts: \"05:00\"\n", "", "hands: {05:00-18:00", "hands: {00:00-18:00"})
	a := of(t, weektest.SmallDays(t, kitchen, 2))
	assert.Empty(t, a.Conflicts)
	list := worked(a, "curd vat")
	require.Len(t, list, 6, "%v", list)
	assert.Equal(t, []string{"drain", "cool", "wash", "read cool", "read cool", "portion once cold"}, []string{list[0][6:], list[1][6:], list[2][6:], list[3][6:],
		list[4][6:], list[5][6:]})
	a = of(t, weektest.SmallDays(t, replaceOnce(t, kitchen, "90 min", "90 min while warm"), 2))
	require.Len(t, a.Conflicts, 1)
	assert.Equal(t, TooTight, a.Conflicts[0].Kind)
	assert.Contains(t, a.Conflicts[0].Text, "cool (Monday's curd vat) comes 30 min too late; the code's limit on cooling ends at")
}

// However long the acts take: where everything in front of the cooling can wait and nobody is in a hurry, food is in the cold in time.
func TestWhatCanWaitNeverDelaysCooling(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		minutes := func(name string, most int) string {
			return fmt.Sprintf("%d min", rapid.IntRange(0, most).Draw(rt, name))
		}
		kitchen := replaceAll(t, creamery, []string{"drain: 30 min", "drain: " + minutes("drain", 90), "portion: 90 min",
			"portion: " + minutes("portion", 200) + ", pack: " + minutes("pack", 100) + ", slice: " + minutes("slice", 60) + " warm or cold"})
		w := weektest.SmallDays(t, kitchen, 2)
		table, err := newTable(t.Context(), w, w.Case)
		require.NoError(t, err)
		require.NoError(t, table.fill(t.Context(), func(int) bool { return true }, nil))
		for k := range table.given.deeds {
			assert.Zero(rt, table.given.behindLimit(&table.given.deeds[k]))
		}
		assertHands(rt, w)
		for _, r := range table.Rows {
			if r.Cold {
				assert.GreaterOrEqual(rt, r.Minute(), 13*60, "cold six hours after 07:00")
			}
		}
	})
}
