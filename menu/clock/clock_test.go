package clock

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

func of(t require.TestingT, w *week.Week) *Timetable {
	a, err := Of(context.Background(), w, nil)
	require.NoError(t, err)
	return a
}

// told are the rows of a step as "24 22:30 start phase: in | out", without the acts that move nothing.
func told(a *Timetable, step string) (list []string) {
	for _, r := range a.Rows {
		if r.Step != step || r.Do == Work || r.Do == Read {
			continue
		}
		text := strings.Replace(r.At[8:], "T", " ", 1) + " " + r.Do
		if r.Phase != "" {
			text += " " + r.Phase
		}
		for _, x := range r.In {
			text += fmt.Sprintf(" +%.4g %s", x.Amount, x.Item)
		}
		for _, x := range r.Out {
			text += fmt.Sprintf(" -%.4g %s", x.Amount, x.Item)
		}
		list = append(list, text)
	}
	return list
}

// boneKettle is lit at 00:30. Common practice, no source: 45 min to a full boil, at least 15 min at a rolling boil
// while it is skimmed, about another 15 min, then a simmer; big cuts out at hour 4 to 4 1/2; strong bones in after
// that, for 2 to 3 h; spices and sweated aromatics for 1 1/2 h at the end; herb stems last in and out. It is strained
// before a late lunch.
const boneKettle = `
services: {lunch: "11:30-14:30"}
vessels: {bone kettle: {holds: 120 L}}
bought:
  water:      {price: 0/L, density: 1 kg/L}
  bones:      {price: 3/kg}
  big cuts:   {price: 6/kg}
  aged bones: {price: 5/kg}
  spices:     {price: 20/kg}
  herb stems: {price: 9/kg}
steps:
  bone kettle:
    vessel: bone kettle
    station: stove
    starts: "00:30"
    phases: [to the boil 45 min, rolling boil 15 min, skim 15 min, simmer]
    takes:
      - 70 L water
      - 20 kg bones
      - 12 kg big cuts
      - 3 kg aged bones, in at 4 h 30 min
      - 300 g spices, in at 7 h 30 min
      - 400 g herb stems, in at 8 h 45 min
    gives:
      - 60 L stock, out at 9 h
      - 7 kg cooked cuts, out at 4 h 15 min
      - 2 kg spent bones, out at 7 h
    batches: {tue: 1}
made: {stock: {density: 1 kg/L}}
dishes:
  soup:       {price: 9, takes: [400 mL stock], sells: {tue lunch: 30}}
  plate:      {price: 9, takes: [150 g cooked cuts], sells: {tue lunch: 20}}
`

func TestABoneKettleLitAfterMidnight(t *testing.T) {
	a := of(t, weektest.SmallDays(t, boneKettle, 3))
	assert.Equal(t, []string{
		"24 00:30 start to the boil +70 water +20 bones +12 big cuts",
		"24 01:15 turn rolling boil",
		"24 01:30 turn skim",
		"24 01:45 turn simmer", // the first 75 min are over
		"24 04:45 take out -7 cooked cuts",
		"24 05:00 put in +3 aged bones",
		"24 07:30 take out -2 spent bones",
		"24 08:00 put in +300 spices",
		"24 09:15 put in +400 herb stems",
		"24 09:30 take out -60 stock", // strained two hours before lunch
	}, told(a, "bone kettle"))
	assert.Empty(t, a.Conflicts)
	first := a.Rows[0]
	assert.Equal(t, []string{"soup", "plate"}, first.For)
	assert.Equal(t, "Tue 24 Nov lunch", first.First)
	assert.Equal(t, "stove", first.Station)
	assert.InDelta(t, 102, *first.Litres, 1e-9) // 70 + 20 + 12
	// 70 L go in by volume and 60 come out so: 10 L go off over the 495 min from the rolling boil to the end. At 5:00, 225 min
	// after it: 105 - 7 - 10*225/495.
	at := slices.IndexFunc(a.Rows, func(r Row) bool { return r.Do == PutIn })
	assert.InDelta(t, 98-10*225.0/495, *a.Rows[at].Litres, 1e-9)

	w := weektest.SmallDays(t, boneKettle, 3)
	slot, err := Slot(w, "tue lunch")
	require.NoError(t, err)
	ready, err := ToBeReady(t.Context(), w, slot)
	require.NoError(t, err)
	require.Len(t, ready.Latest, 1)
	l := ready.Latest[0]
	assert.Equal(t, "2026-11-24T02:30", l.At) // 11:30 less 9 h
	assert.Equal(t, 120, l.Spare)
	assert.Nil(t, l.Alone)
	assert.Contains(t, l.Because, "stock at Tue 24 Nov 11:30")
	assert.Empty(t, ready.Notes)
}

func TestLitLate(t *testing.T) {
	w := weektest.SmallDays(t, boneKettle, 3)
	late := func(text string) *Timetable {
		b, err := Lit(w, text)
		require.NoError(t, err)
		a, err := IfLit(t.Context(), w, []Beginning{b}, nil)
		require.NoError(t, err)
		return a
	}
	onTime := late("bone kettle=02:30")
	assert.Empty(t, onTime.Late)
	assert.Empty(t, onTime.Short)
	assert.Contains(t, told(onTime, "bone kettle"), "24 11:30 take out -60 stock")

	a := late("bone kettle@tue=02:31")
	require.Len(t, a.Late, 1)
	assert.Equal(t, Late{Item: "stock", Step: "Tuesday's bone kettle", Comes: "2026-11-24T11:31",
		Needed: "2026-11-24T11:30", By: 1,
		For: "Tue 24 Nov lunch", Dishes: []string{"soup"}, minute: 1440 + 11*60 + 30}, a.Late[0])
	require.Len(t, a.Short, 1)
	assert.Equal(t, []any{"soup", 30, 0}, []any{a.Short[0].Dish, a.Short[0].Before, a.Short[0].After})

	sooner := late("bone kettle@tue=23:45") // the night before is nearer than the night after
	assert.Equal(t, "2026-11-23T23:45", sooner.Rows[0].At)
	assert.Empty(t, sooner.Late)
}

func TestLitIsRefused(t *testing.T) {
	w := weektest.SmallDays(t, boneKettle+"  tuesday only: {price: 1, takes: [1 g spices]}\n", 7)
	for text, want := range map[string]string{
		"bone kettle":           `begins when? write it as "bone kettle@tue=00:40"`,
		"bone kettle=25 past":   `"25 past" is not a time of day`,
		"bone ketle=01:00":      `no step is named "bone ketle": did you mean "bone kettle"`,
		"bone kettle@wed=01:00": `on which day? "bone kettle" runs on Tue 24 Nov: write it as "bone kettle@tue=00:40"`,
		"bone kettle@xyz=01:00": `"xyz" is not a day: write tue, or a date as 2026-11-24`,
	} {
		_, err := Lit(w, text)
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), want)
	}
	_, err := Slot(w, "lunch")
	assert.ErrorContains(t, err, `"lunch" names 7 services: write one, such as "2026-11-23 lunch"`)
	monday, err := Slot(w, "mon lunch")
	require.NoError(t, err)
	_, err = ToBeReady(t.Context(), w, monday)
	assert.ErrorContains(t, err, "nothing is served at Mon 23 Nov lunch")
}

// crowded has two works in the pot from 08:00 to 09:00, three batches of one in a tub of 30 L, and three fires at
// 08:00.
const crowded = `
burners: 2
hands: {05:00-12:00: 1}
vessels:
  pot: {holds: 40 L}
  tub: {holds: 30 L}
  oven: {burners: 0}
bought:
  water: {price: 0/L, density: 1 kg/L}
steps:
  broth: {vessel: pot, starts: "06:00", takes: [20 L water], gives: ["18 L broth, out at 3 h"], batches: {mon: 1}}
  brine: {vessel: pot, starts: "08:00", takes: [10 L water], gives: ["9 L brine, out at 2 h"], batches: {mon: 1}}
  soak:  {vessel: tub, starts: "08:00", takes: [9 L water, "2 L water, in at 1 h"], gives: ["9 L soaked, out at 4 h"], batches: {mon: 3}}
  roast: {vessel: oven, starts: "07:55", takes: [1 L water], gives: ["1 L roasted, out at 1 h"], batches: {mon: 1}}
  more:  {starts: "11:00", takes: [40 L broth], gives: ["1 L more, out at 1 h"], batches: {mon: 1}}
`

func TestConflicts(t *testing.T) {
	a := of(t, weektest.SmallDays(t, crowded, 1))
	type found struct{ kind, at, text string }
	var got []found
	for _, c := range a.Conflicts {
		got = append(got, found{c.Kind, c.At[11:], c.Text})
		for _, e := range c.Entries {
			assert.Regexp(t, `^kitchen\.yaml:\d+:\d+$`, e.Place)
		}
	}
	assert.Equal(t, []found{
		{OneVessel, "08:00",
			"Monday's broth and Monday's brine are both in the pot, Mon 23 Nov 08:00 to 09:00"},
		// The oven needs no burner, and the pot with two batches one.
		// At 08:00 brine, soak and the roast of 07:55 want a person each, a quarter of an hour: the last is lit at 08:25.
		{NoHands, "08:00", "Mon 23 Nov 08:00 to 08:30: light (Monday's soak) needs 25 min more than 1 person has (the minutes are guessed); " +
			"by its card Monday's soak is then out only at Mon 23 Nov 12:25; this would do: one more pair of hands from Mon 23 Nov 08:00 to 08:30"},
		// lit at 08:25, it takes more water at 09:25: 33 L are in by then; that some boils off is not counted on
		{Overfull, "09:25",
			"Monday's soak, 3 batches at once, comes to 33 L at Mon 23 Nov 09:25, but the tub holds 30 L: 3 L too much"},
		{Lacking, "11:00", "not enough broth for Monday's more: 0.45 of 1 batch"},
		{NoHands, "12:00", "nobody is there at Mon 23 Nov 12:00 for take out (Monday's soak) and take out (Monday's more) (the minutes are " +
			"guessed); this would do: somebody from Mon 23 Nov 12:00 to 12:55"},
	}, got)
	// An oven that is lit later needs none of them, and so tells nothing again.
	one := of(t, weektest.SmallDays(t, strings.NewReplacer("burners: 2", "burners: 1", "07:55", "08:10").Replace(crowded), 1))
	at := slices.IndexFunc(one.Conflicts, func(c Conflict) bool { return c.Kind == Burners })
	require.GreaterOrEqual(t, at, 0)
	assert.Equal(t,
		"2 burners are needed at Mon 23 Nov 08:00, but there is 1: for Monday's broth, Monday's soak", one.Conflicts[at].Text)
	assert.False(t, slices.ContainsFunc(one.Conflicts[at+1:], func(c Conflict) bool { return c.Kind == Burners }), "%v", one.Conflicts)
	fits := of(t, weektest.SmallDays(t, strings.Replace(crowded, "holds: 30 L", "holds: 33 L", 1), 1))
	assert.False(t, slices.ContainsFunc(fits.Conflicts, func(c Conflict) bool { return c.Kind == Overfull }), "%v", fits.Conflicts)
}

func TestTooTight(t *testing.T) {
	a := of(t, weektest.SmallDays(t, `
services: {lunch: "11:00-14:00"}
bought: {bones: {price: 1/kg}, water: {price: 0/L, density: 1 kg/L}}
steps:
  boil:  {starts: "06:00", takes: [5 kg bones, 9 L water], gives: ["4 kg meat, out at 3 h"], batches: {mon: 1}}
  press: {takes: [4 kg meat], gives: ["3 kg loaf, out at 3 h"], batches: all of it}
dishes: {slice: {price: 5, takes: [100 g loaf], sells: {mon lunch: 10}}}
`, 1))
	require.Len(t, a.Conflicts, 1)
	assert.Equal(t,
		"Monday's press can't start before Mon 23 Nov 09:15, when all it takes is ready; loaf is needed at 11:00 that day: 1 h 15 min too late; this would do: start Monday's boil at Mon 23 Nov 04:45",
		a.Conflicts[0].Text)
}

func TestOneDay(t *testing.T) {
	w := weektest.SmallDays(t, boneKettle, 3)
	monday, err := Day(w, "mon")
	require.NoError(t, err)
	a, err := Of(t.Context(), w, &monday)
	require.NoError(t, err)
	assert.Empty(t, a.Rows)
	_, err = Day(weektest.SmallDays(t, boneKettle, 14), "tue")
	assert.ErrorContains(t, err, `"tue" names 2 days: write one of them as a date, such as 2026-11-24`)
}

// chains is a kitchen of one chain of steps before one lunch, each with a length, and a clock that leaves some time to
// spare.
func chains(t *rapid.T) (src string, steps int) {
	n := rapid.IntRange(1, 4).Draw(t, "steps")
	var b strings.Builder
	b.WriteString("services: {lunch: \"12:00-14:00\"}\nbought: {water: {price: 0/L, density: 1 kg/L}}\nsteps:\n")
	at := 0
	item := "water"
	for s := range n {
		length := rapid.IntRange(1, 120).Draw(t, "minutes")
		fmt.Fprintf(&b,
			"  step %d: {starts: \"%02d:%02d\", takes: [4 L %s], gives: [\"4 L item %d, out at %d min\"], batches: {wed: 1}}\n",
			s, at/60, at%60, item, s, length)
		at += length + rapid.IntRange(0, 30).Draw(t, "spare")
		item = fmt.Sprintf("item %d", s)
	}
	fmt.Fprintf(&b, "dishes: {cup: {price: 3, takes: [100 mL %s], sells: {wed lunch: 40}}}\n", item)
	return b.String(), n
}

// Nothing must begin on a day on which nobody works: it is done the day before.
func TestReadyWithoutTheDayOff(t *testing.T) {
	const kitchen = `
services: {lunch: 12:00-14:00, dinner: closed}
days: {2026-11-24: {works: no}, 2026-11-27: {dinner: 18:00-20:00}}
bought: {bones: {price: 1/kg}}
steps:
  boil: {starts: "07:00", takes: [5 kg bones], gives: ["4 kg meat, out at 13 h"], batches: {mon: 1}}
made: {meat: {keeps: 5 days}}
dishes: {plate: {price: 9, takes: [100 g meat], sells: {wed lunch: 10, fri dinner: 4}}}
`
	w := weektest.SmallDays(t, kitchen, 5)
	slot, err := Slot(w, "wed lunch")
	require.NoError(t, err)
	ready, err := ToBeReady(t.Context(), w, slot)
	require.NoError(t, err)
	require.Len(t, ready.Latest, 1)
	assert.Equal(t, "2026-11-23T10:59", ready.Latest[0].At, "else at 23:00 on Tuesday; it is out before midnight")
	assert.Equal(t, "nobody works on Tue 24 Nov", ready.Latest[0].Because)

	friday, err := Slot(w, "dinner") // there is no other
	require.NoError(t, err)
	ready, err = ToBeReady(t.Context(), w, friday)
	require.NoError(t, err)
	assert.Equal(t, "2026-11-27T18:00", ready.Ready.Begins)
}

// Begun at the latest times, all is in time; one minute later, nothing is served.
func TestReadyIsInTimeAndAMinuteLaterIsNot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src, n := chains(t)
		w := weektest.SmallDays(t, src, 5)
		slot, err := Slot(w, "wed lunch")
		require.NoError(t, err)
		ready, err := ToBeReady(t.Context(), w, slot)
		require.NoError(t, err)
		require.Len(t, ready.Latest, n)
		assert.Empty(t, ready.Notes)
		minute := func(l Latest) string { return l.At[11:] }
		var begin []Beginning
		for _, l := range ready.Latest {
			b, err := Lit(w, l.Step+"="+minute(l))
			require.NoError(t, err)
			begin = append(begin, b)
		}
		a, err := IfLit(t.Context(), w, begin, nil)
		require.NoError(t, err)
		assert.Empty(t, a.Short)
		assert.Empty(t, a.Late)
		k := rapid.IntRange(0, n-1).Draw(t, "which")
		begin[k].late++
		a, err = IfLit(t.Context(), w, begin, nil)
		require.NoError(t, err)
		require.Len(t, a.Short, 1)
		assert.Equal(t, 0, a.Short[0].After)
		assert.NotEmpty(t, a.Late)
	})
}

// On every example: the list is ordered, and every input and output of every batch stands in it once, with its whole
// amount.
func TestExamples(t *testing.T) {
	for _, name := range weektest.Examples {
		t.Run(name, func(t *testing.T) {
			w := weektest.ExampleWeek(t, name)
			k := w.Kitchen
			a := of(t, w)
			require.NotEmpty(t, a.Rows)
			assert.True(t, slices.IsSortedFunc(a.Rows, func(x, y Row) int { return strings.Compare(x.At, y.At) }))
			in, out := map[string]float64{}, map[string]float64{}
			for _, r := range a.Rows {
				if r.Do == Serve {
					continue
				}
				for _, x := range r.In {
					in[x.Item] += weektest.InOwnUnit(t, k, x.Item, x.Amount, x.Unit)
				}
				for _, x := range r.Out {
					out[x.Item] += weektest.InOwnUnit(t, k, x.Item, x.Amount, x.Unit)
				}
			}
			o := w.Player().Play(w.Case, nil)
			for i, it := range k.Graph.Items {
				used := 0.0
				for s := range k.Steps {
					for l, line := range k.Graph.Steps[s].Takes {
						for c, choice := range line.Choices {
							if choice.Item == i {
								used += o.Used[w.Case.Flow.Choice(s, l, c)]
							}
						}
					}
				}
				assert.InEpsilon(t, 1+k.Quantity(i, used).Amount, 1+in[it.Name], 1e-9, "in: %s", it.Name)
				if it.Role == graph.Made {
					assert.InEpsilon(t, 1+k.Quantity(i, o.Made[i]).Amount, 1+out[it.Name], 1e-9, "out: %s", it.Name)
				}
			}
			for slot, sit := range w.Sittings {
				if sit.Service < 0 {
					continue
				}
				ready, err := ToBeReady(t.Context(), w, slot)
				if err != nil {
					assert.ErrorContains(t, err, "nothing is served")
					continue
				}
				for _, l := range ready.Latest {
					assert.LessOrEqual(t, l.At, ready.Ready.Begins)
				}
				assert.Empty(t, slices.DeleteFunc(ready.Notes, func(n string) bool {
					return strings.Contains(n,
						"they may clash there")
				}), w.SittingName(slot))
			}
		})
	}
}

func FuzzLit(f *testing.F) {
	for _, text := range []string{"bone kettle@tue=00:40", "bone kettle=30:00", "=", "@=", "a@b@c=1:00",
		"bone kettle@=00:00"} {
		f.Add(text)
	}
	w := weektest.SmallDays(f, boneKettle, 3)
	f.Fuzz(func(t *testing.T, text string) {
		if b, err := Lit(w, text); err == nil {
			assert.True(t, b.late > -720 && b.late <= 30*60)
			_, err := IfLit(t.Context(), w, []Beginning{b}, nil)
			assert.NoError(t, err)
		}
	})
}

// What is taken out again has its own row, and no longer fills the vessel: 20 L and 3 kg of bones less the 3 kg, and no
// more goes off than the 5 L that are not given.
func TestTakenOutAgain(t *testing.T) {
	w := weektest.SmallDays(t, `
services: {lunch: "11:30-14:30"}
vessels: {pot: {holds: 40 L}}
bought:
  water: {price: 0/L, density: 1 kg/L}
  bones: {price: 3/kg}
steps:
  broth:
    vessel: pot
    starts: "06:00"
    takes: [20 L water, "3 kg bones, in at 1 h, out at 3 h"]
    gives: ["15 L clear broth, out at 5 h"]
    batches: {mon: 1}
made: {clear broth: {density: 1 kg/L}}
dishes: {cup: {price: 4, takes: [300 mL clear broth], sells: {mon lunch: 10}}}
`, 1)
	a := of(t, w)
	assert.Equal(t, []string{"23 06:00 start +20 water", "23 07:00 put in +3 bones", "23 09:00 take out -3 bones",
		"23 11:00 take out -15 clear broth"}, told(a, "broth"))
	litres := []float64{20, 22, 17, 0} // 1 L goes off an hour
	n := 0
	for _, r := range a.Rows {
		if r.Step == "broth" && r.Litres != nil {
			assert.InDelta(t, litres[n], *r.Litres, 1e-9, "at %s", r.At)
			n++
		}
	}
	assert.Equal(t, len(litres), n)
}

// Whoever asks about a day is told what can't be in its night, after midnight too, and nothing of the night before.
func TestADayHasItsOwnNight(t *testing.T) {
	const night = `
services: {lunch: "11:30-14:30"}
vessels: {pot: {holds: 90 L}}
hands: {22:00-06:00: 0}
bought: {water: {price: 0/L, density: 1 kg/L}, bones: {price: 3/kg}}
steps:
  night pot:
    vessel: pot
    starts: "22:00"
    takes: [40 L water, "5 kg bones, in at 4 h"]
    gives: ["30 L stock, out at 9 h"]
    batches: {tue wed: 1}
made: {stock: {density: 1 kg/L, keeps: 3 days}}
dishes: {soup: {price: 9, takes: [400 mL stock], sells: {thu lunch: 30}}}
`
	w := weektest.SmallWeek(t, night)
	day, err := Day(w, "wed")
	require.NoError(t, err)
	a, err := Of(t.Context(), w, &day)
	require.NoError(t, err)
	var at []string
	for _, c := range a.Conflicts {
		at = append(at, c.At+" "+c.Kind)
	}
	assert.Contains(t, at, "2026-11-26T02:00 hands", "the bones go in at two, and nobody is there")
	assert.NotContains(t, at, "2026-11-24T22:00 hands")
	alone := func(a *Timetable) bool {
		return slices.ContainsFunc(a.Cautions, func(c string) bool { return strings.Contains(c, "alone at night") })
	}
	assert.False(t, alone(a), "who is there is known, and the check tells of it")
	a, err = Of(t.Context(), weektest.SmallWeek(t, strings.Replace(night, "hands: {22:00-06:00: 0}", "", 1)), &day)
	require.NoError(t, err)
	assert.True(t, alone(a))
}

// The latest start is one at which somebody is there to make it: the oven could wait until 06:30, but the night cook goes at 05:00.
func TestLatestStartIsWhenSomebodyIsThere(t *testing.T) {
	src := `
services: {lunch: "12:00-15:00"}
hands: {20:00-05:00: [night cook], 08:00-16:00: [day cook]}
vessels: {oven: {holds: 60 L}}
bought: {lamb: {price: 9/kg}, water: {price: 0/L, density: 1 kg/L}}
steps:
  lamb oven: {vessel: oven, starts: "04:00", takes: [8 kg lamb, 2 L water], gives: ["6 kg roast lamb, out at 5 h 30 min"], work: {load: 20 min}, batches: {tue: 1}}
made: {roast lamb: {keeps: 1 day}}
dishes: {plate: {price: 19, takes: [200 g roast lamb], sells: {tue lunch: 10}}}
`
	latest := func(src string) Latest {
		w := weektest.SmallDays(t, src, 3)
		slot, err := Slot(w, "tue lunch")
		require.NoError(t, err)
		a, err := ToBeReady(t.Context(), w, slot)
		require.NoError(t, err)
		require.Len(t, a.Latest, 1)
		return a.Latest[0]
	}
	l := latest(src)
	assert.Equal(t, "2026-11-24T04:40", l.At)
	assert.Equal(t, 40, l.Spare)
	assert.Equal(t, "nobody is there to begin it at Tue 24 Nov 06:30", l.Because)
	assert.Equal(t, "2026-11-24T06:30", latest(strings.Replace(src, "20:00-05:00", "20:00-07:00", 1)).At)
	assert.Equal(t, "2026-11-24T06:30", latest(strings.Replace(src, "hands: {20:00-05:00: [night cook], 08:00-16:00: [day cook]}\n", "", 1)).At)
	assert.Equal(t, "2026-11-24T06:30", latest(strings.Replace(src, "20:00-05:00", "20:00-03:00", 1)).At, "it is planned at an hour at which nobody is there either")
}
