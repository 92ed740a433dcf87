package guide

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/week/weektest"
)

// A station that the file calls bench goes by the file's own word in each language; where it has none, by the guide's.
func TestOwnWordForBench(t *testing.T) {
	const plain = `services: {lunch: 12:00-14:00}
bought: {flour: {price: 1/kg, also: {es: harina, zh: 面粉}}}
steps: {mix: {station: bench, takes: [1 kg flour], gives: [1 kg dough], batches: as needed, also: {es: mezclar, zh: 和面}}}
made: {dough: {keeps: 2 days, also: {es: masa, zh: 面团}}}
dishes: {bread: {price: 4, takes: [100 g dough], sells: {lunch: 4}, also: {es: pan, zh: 面包}}}
`
	for _, c := range []struct {
		src  string
		in   language.Tag
		want string
	}{
		{"also: {es: {bench: mesa}, zh: {bench: 案台}}\n" + plain, language.Spanish, "Estación: mesa"},
		{"also: {es: {bench: mesa}, zh: {bench: 案台}}\n" + plain, language.Chinese, "案台"},
		{plain, language.Spanish, "mesa de trabajo"},
		{plain, language.Chinese, "操作台"},
	} {
		page, err := guideOf(t, weektest.SmallWeek(t, c.src), c.in).Page(t.Context(), nil)
		require.NoError(t, err)
		assert.Contains(t, string(page), c.want)
		if c.src != plain {
			assert.NotContains(t, string(page), "mesa de trabajo")
			assert.NotContains(t, string(page), "操作台")
		}
	}
}

// A step at the bench with a vessel of its own names both: whoever is sent to the bench looks for the oven.
func TestBenchAndVessel(t *testing.T) {
	w := weektest.SmallWeek(t, `services: {lunch: 12:00-14:00}
vessels: {oven: {holds: 40 L}}
bought: {lamb: {price: 9/kg}, water: {price: 0/L, density: 1 kg/L}}
steps: {roast: {station: bench, vessel: oven, starts: "08:00", takes: [6 kg lamb, 2 L water], gives: ["4 kg roast lamb, out at 3 h"], batches: {mon: 1}}}
made: {roast lamb: {keeps: 2 days}}
dishes: {plate: {price: 14, takes: [150 g roast lamb], sells: {mon lunch: 4}}}
`)
	for in, want := range map[language.Tag]string{language.English: "Where: bench, oven.", language.Spanish: "Dónde: mesa de trabajo, oven.", language.SimplifiedChinese: "地点：操作台，oven。"} {
		assert.Contains(t, string(guideOf(t, w, in).Markdown()), want)
	}
}

// Where nobody is there at the latest start, nor at the planned one, the guide says so, as the timetable does.
func TestNobodyThereToBegin(t *testing.T) {
	const src = `
services: {lunch: "12:00-15:00"}
hands: {20:00-03:00: [night cook], 08:00-16:00: [day cook]}
vessels: {oven: {holds: 60 L}}
bought: {lamb: {price: 9/kg}, water: {price: 0/L, density: 1 kg/L}}
steps: {lamb oven: {vessel: oven, starts: "04:00", takes: [8 kg lamb, 2 L water], gives: ["6 kg roast lamb, out at 5 h 30 min"], work: {load: 20 min}, batches: {tue: 1}}}
made: {roast lamb: {keeps: 1 day}}
dishes: {plate: {price: 19, takes: [200 g roast lamb], sells: {tue lunch: 10}}}
`
	const says = "must start by Tuesday 06:30 at the latest for lunch on Tuesday, and for anything that needs it sooner. Nobody is there to begin it at that hour."
	told := func(src string) string {
		return strings.ReplaceAll(string(guideOf(t, weektest.SmallWeek(t, src), language.English).Markdown()), "\u00a0", " ")
	}
	assert.Contains(t, told(src), says)
	assert.NotContains(t, told(strings.Replace(src, "20:00-03:00", "20:00-07:00", 1)), "Nobody is there")
}
