package clock

// What hangs on when a batch with a clock is begun.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/week/weektest"
)

// chowders is a fish house: a pot of chowder and a long table of buns, for lunch. Two are there, and the bench has room for one.
const chowders = `
services: {lunch: "12:00-15:00"}
hands: {07:00-15:00: [ida, tom]}
stations: {bench: {room for: 1}}
vessels: {pot: {holds: 30 L}}
bought: {cod: {price: 12/kg, raw: yes}, water: {price: 0/L, density: 1 kg/L}, flour: {price: 1/kg}}
steps:
  chowder:
    vessel: pot
    starts: "07:00"
    takes: [6 kg cod, 12 L water]
    gives: ["15 L soup, out at 3 h"]
    cooks through: yes
    work: {light: 20 min, put in: 0 min, take out: 10 min, cool: 5 min, wash: 10 min}
    batches: {mon: 1}
  buns:
    starts: "07:00"
    takes: [4 kg flour, 2 L water]
    gives: ["5 kg bun, out at 2 h"]
    work: {load: 2 h, take out: 0 min, wash: 0 min}
    batches: {mon: 1}
made: {soup: {keeps: 2 days, density: 1 kg/L}, bun: {keeps: 2 days}}
dishes: {bowl: {price: 11, takes: [300 mL soup, 80 g bun], sells: {mon lunch: 20}}}
`

// A pot is lit, filled and emptied at the pot, whatever is done at the bench; what is out of it is worked on at the bench.
func TestThePotIsLitAtThePot(t *testing.T) {
	a := of(t, weektest.SmallDays(t, chowders, 1))
	assert.Empty(t, a.Conflicts)
	assert.Contains(t, done(a), "23T07:00-07:20 ida: start (chowder)")
	pulled := strings.Replace(chowders, "wash: 10 min", "portion: 20 min, wash: 10 min", 1)
	a = of(t, weektest.SmallDays(t, pulled, 1))
	for _, r := range a.Rows {
		if r.Act == "portion" {
			assert.Equal(t, "bench", r.Station)
		}
	}
}

// assertCookedByItsCard holds the rows of batches with a clock against their start: nothing of them stands before it, and nothing comes out
// before it has had its time by the card.
func assertCookedByItsCard(t require.TestingT, a *Timetable) {
	type batch struct {
		step string
		work int
	}
	moment := func(text string) int {
		at, err := time.Parse(minutely, text)
		require.NoError(t, err)
		return int(at.Unix() / 60)
	}
	begun := map[batch]int{}
	for _, r := range a.Rows {
		if r.Do == Start && r.Entry == 0 {
			begun[batch{r.Step, r.work}] = moment(r.At)
		}
	}
	for _, r := range a.Rows {
		start, ok := begun[batch{r.Step, r.work}]
		if !ok || r.Latest || r.Entry > 0 {
			continue
		}
		assert.GreaterOrEqual(t, moment(r.At), start, "%s %s %s at %s stands before the batch is begun", r.Do, r.Act, r.Step, r.At)
		if r.Do == TakeOut {
			for _, in := range a.Rows { // what went in before has had its time
				if in.Do == PutIn && in.Entry == 0 && in.Step == r.Step && in.work == r.work && cmp.Or(in.Card, in.At) < cmp.Or(r.Card, r.At) {
					byCard := moment(cmp.Or(r.Card, r.At)) - moment(cmp.Or(in.Card, in.At))
					if slices.ContainsFunc(a.Rows, func(o Row) bool { // what comes out at that minute goes before
						return o.Do == TakeOut && o.work == in.work && o.Entry == 0 && cmp.Or(o.Card, o.At) == cmp.Or(in.Card, in.At)
					}) {
						byCard -= grace
					}
					assert.GreaterOrEqual(t, moment(r.At)-moment(in.At), byCard, "%s: in at %s, out at %s, %d minutes by its card", r.Step, in.At, r.At, byCard)
				}
			}
		}
		if r.Do == TakeOut || r.Do == PutIn {
			byCard := moment(cmp.Or(r.Card, r.At)) - moment(r.Begun)
			assert.GreaterOrEqual(t, moment(r.At)-start, byCard, "%s of %s at %s, %d minutes by its card", r.Do, r.Step, r.At, byCard)
		}
	}
}

// Whoever comes late lights the pot late: the soup is not out before it has had its three hours, and what that is too late for is said.
func TestLitLateIsOutLate(t *testing.T) {
	late := strings.NewReplacer("07:00-15:00", "09:30-17:00", `starts: "07:00"
    takes: [4 kg`, `starts: "10:00"
    takes: [4 kg`).Replace(chowders)
	w := weektest.SmallDays(t, late, 1)
	a := of(t, w)
	assertCookedByItsCard(t, a)
	assert.Equal(t, []string{
		"23T09:30-09:50 ida: start (chowder)",
		"23T10:00-12:00 tom: start (buns)",
		"23T12:30-12:40 ida: take out (chowder)",
		"23T12:40-12:45 ida: work cool (chowder)",
		"23T12:45-12:55 ida: work wash (chowder)",
	}, done(a))
	for _, r := range a.Rows {
		switch {
		case r.Do == TakeOut && r.Step == "chowder":
			assert.Equal(t, "2026-11-23T10:00", r.Card)
			assert.Equal(t, "Mon 23 Nov lunch", r.TooLate)
		case r.Do == Work && r.Act == "cool":
			assert.Equal(t, "2026-11-23 14:30", *r.Limits[0].By, "3-501.14(A)(1): two hours from when it is out")
		}
	}
	require.Len(t, a.Conflicts, 1, "what is only later with its pot is said of that")
	assert.Contains(t, a.Conflicts[0].Text, "nobody is there at Mon 23 Nov 07:00 for light (Monday's chowder)")
	assert.Contains(t, a.Conflicts[0].Text, "; by its card Monday's chowder is then out only at Mon 23 Nov 12:30, too late for Mon 23 Nov lunch")
	for lang, want := range map[string]string{
		"es": "; según su ficha, chowder no sale entonces hasta el lun 23 nov 12:30, tarde para lun 23 nov",
		"zh": "；按配方卡，chowder 要到 11月23日（周一）12:30 才出锅，赶不上11月23日（周一）",
	} {
		in, _ := w.InLanguage(language.MustParse(lang))
		assert.Contains(t, of(t, in).Conflicts[0].Text, want)
	}
}

// Whenever somebody comes, and however much else there is to do: nothing comes out before its batch has had its time.
func TestNothingIsOutBeforeItIsCooked(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string, from, to, by int) int { return by * rapid.IntRange(from, to).Draw(rt, name) }
		from := draw("from", 24, 44, 15)
		src := strings.NewReplacer(
			"07:00-15:00: [ida, tom]", fmt.Sprintf("%02d:%02d-16:00: %d", from/60, from%60, draw("people", 1, 3, 1)),
			"room for: 1", fmt.Sprintf("room for: %d", draw("room", 1, 2, 1)),
			"light: 20 min", fmt.Sprintf("load: %d min, light: %d min, skim: %d min an hour", draw("load", 0, 6, 5), draw("light", 0, 6, 5), draw("skim", 0, 3, 5)),
			"load: 2 h", fmt.Sprintf("load: %d min", draw("buns", 0, 36, 5)),
			"put in: 0 min", fmt.Sprintf("put in: %d min", draw("put in", 0, 2, 5)),
			"take out: 10 min", fmt.Sprintf("take out: %d min", draw("take out", 0, 4, 5)),
			"12 L water]", fmt.Sprintf(`10 L water, "2 L water, in at %d min"]`, draw("in", 1, 11, 15)),
			"batches: {mon: 1}", "batches: {mon: 1, tue: 1}",
			"{mon lunch: 20}", "{mon lunch: 20, tue lunch: 20}").Replace(chowders)
		assertHands(rt, weektest.SmallDays(rt, src, 2))
	})
}

// A pot is washed before it is lit again, though the file says nothing of washing; where that does not fit, it is said.
func TestWashedBeforeItIsLitAgain(t *testing.T) {
	src := strings.NewReplacer(", wash: 10 min", "", "batches: {mon: 1}\n  buns", "batches: {mon: 1, tue: 1}\n  buns",
		"07:00-15:00: [ida, tom]", "07:00-10:15: [ida]", "load: 2 h", "load: 5 min").Replace(chowders)
	washed := func(src string) (at []string, said bool) {
		a := of(t, weektest.SmallDays(t, src, 2))
		for _, r := range a.Rows {
			if r.Act == "wash" && r.Step == "chowder" {
				at = append(at, r.At[8:])
			}
		}
		for _, c := range a.Conflicts {
			said = said || strings.Contains(c.Text, "wash (Monday's chowder)")
		}
		return at, said
	}
	at, said := washed(src)
	assert.Equal(t, "24T07:00", at[0], "nobody is left on Monday, so that the pot is washed first on Tuesday, and lit after that")
	assert.True(t, said)
	at, said = washed(strings.Replace(src, "07:00-10:15", "07:00-10:45", 1))
	assert.Equal(t, "23T10:20", at[0])
	assert.False(t, said)
}

// bisques is what else a fish house may make of its soup: at the bench, and in another pot.
func bisques(take, put string) string {
	return strings.NewReplacer("take out: 10 min", "take out: "+take, "put in: 0 min", "put in: "+put, "made: {soup", `  thicken: {takes: [9 L soup, 1 kg flour], gives: [9 L bisque], work: 30 min, batches: {mon: 1}}
  steep: {vessel: tub, starts: "10:00", takes: [5 L soup], gives: ["5 L tea, out at 30 min"], work: {load: 5 min, take out: 5 min}, batches: {mon: 1}}
made: {bisque: {keeps: 1 day, density: 1 kg/L}, tea: {keeps: 1 day, density: 1 kg/L}, soup`, "300 mL soup", "300 mL bisque, 100 mL tea",
		"pot: {holds: 30 L}", "pot: {holds: 30 L}, tub: {holds: 10 L}", "room for: 1", "room for: 2", `"12:00-15:00"`, `"11:00-15:00"`).Replace(chowders)
}

// What is made of something begins when that has been taken out, not while it still comes out: at the bench, and in the next pot.
func TestBeginsWhenItIsTakenOut(t *testing.T) {
	src := bisques("25 min", "0 min")
	list := done(of(t, weektest.SmallDays(t, src, 1)))
	assert.Contains(t, list, "23T10:00-10:25 ida: take out (chowder)")
	assert.Subset(t, list, []string{"23T10:30-11:00 tom: thicken", "23T10:25-10:30 tom: start (steep)", "23T10:55-11:00 ida: take out (steep)"})
}

// However long it takes to empty the pot, and whenever and with how many hands.
func TestNothingBeginsBeforeItIsTakenOut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string, from, to, by int) int { return by * rapid.IntRange(from, to).Draw(rt, name) }
		src := bisques(fmt.Sprintf("%d min", draw("take out", 0, 12, 5)), fmt.Sprintf("%d min", draw("put in", 0, 3, 5)))
		from, late := draw("from", 24, 44, 15), draw("steep", 36, 50, 15)
		src = strings.NewReplacer(
			"07:00-15:00: [ida, tom]", fmt.Sprintf("%02d:%02d-16:00: %d", from/60, from%60, draw("people", 1, 3, 1)),
			`"10:00"`, fmt.Sprintf(`"%02d:%02d"`, late/60, late%60),
			"room for: 2", fmt.Sprintf("room for: %d", draw("room", 1, 2, 1)),
			"load: 2 h", fmt.Sprintf("load: %d min", draw("buns", 0, 36, 5)),
			"work: 30 min", fmt.Sprintf("work: %d min", draw("thicken", 0, 12, 5)),
			"batches: {mon: 1}", "batches: {mon: 1, tue: 1}",
			"{mon lunch: 20}", "{mon lunch: 20, tue lunch: 20}").Replace(src)
		assertHands(rt, weektest.SmallDays(rt, src, 2))
	})
}

// The ham goes in an hour late, for nobody is there: it has its four hours all the same, the pot is held an hour longer, and the next batch
// in it begins an hour later.
func TestPutInLateIsOutLate(t *testing.T) {
	for _, takeOut := range []string{"0 min", "10 min"} {
		w := weektest.SmallDays(t, strings.Replace(`
services: {dinner: "18:00-22:00"}
hands: {"06:00-09:30": [ana], "12:00-22:00": [bo]}
vessels: {big: {holds: 60 L}}
bought: {water: {price: 0/L, density: 1 kg/L}, pork: {price: 5/kg}, ham: {price: 5/kg}}
steps:
  pot:
    vessel: big
    starts: "08:00"
    takes: [20 L water, 5 kg pork, "1 kg ham, in at 3 h"]
    gives: ["18 L soup, out at 7 h", "2 kg meat, out at 5 h"]
    work: {light: 15 min, take out: 10 min, put in: 5 min, wash: 0 min}
    batches: {mon: 1}
  second: {vessel: big, starts: "15:00", takes: [10 L water], gives: ["9 L broth, out at 2 h"], work: {light: 5 min, take out: 5 min, wash: 0 min}, batches: {mon: 1}}
  press: {takes: [2 kg meat], gives: [2 kg loaf], work: 5 min, batches: {mon: 1}}
made: {soup: {density: 1 kg/L, keeps: 1 day}, broth: {density: 1 kg/L, keeps: 1 day}, meat: {keeps: 1 day}, loaf: {keeps: 1 day}}
dishes: {bowl: {price: 9, takes: [300 mL soup, 100 mL broth, 60 g loaf], sells: 10}}
`, "take out: 10 min", "take out: "+takeOut, 1), 1)
		a := of(t, w)
		assertCookedByItsCard(t, a)
		at := map[string]string{}
		for _, r := range a.Rows {
			for _, p := range append(slices.Clone(r.In), r.Out...) {
				if r.Do != Serve {
					at[r.Do+" "+p.Item] = r.At[11:]
				}
			}
		}
		assert.Equal(t, "12:00", at["put in ham"], takeOut)
		assert.Equal(t, "14:00", at["take out meat"], takeOut)
		assert.Equal(t, "16:00", at["take out soup"], takeOut)
		out := map[string]string{"0 min": "16:00", "10 min": "16:10"}[takeOut]
		assert.Equal(t, out, at["start water"], takeOut)
		assert.Equal(t, map[string]string{"0 min": "18:00", "10 min": "18:10"}[takeOut], at["take out broth"], takeOut)
		require.Len(t, a.Conflicts, 2, "%v", a.Conflicts)
		assert.Contains(t, a.Conflicts[1].Text, "light (Monday's second) needs 1 h")
		assert.Contains(t, a.Conflicts[0].Text, "nobody is there at Mon 23 Nov 11:00 for put in (Monday's pot)")
		assert.Contains(t, a.Conflicts[0].Text, "; by its card Monday's pot is then out only at Mon 23 Nov 14:00")
	}
}
