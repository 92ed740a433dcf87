package clock

// Work given to hands: who does what when, and what does not fit.

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// tamales is a tamal shop: a pot of hens through the night, masa and filling in the morning, steamed for lunch.
const tamales = `
services: {lunch: "12:00-15:00"}
hands: {21:00-05:00: [night cook, porter], 05:00-13:00: day cook}
burners: 3
vessels:
  pot:     {holds: 60 L}
  steamer: {holds: 40 L}
bought:
  water: {price: 0/L, density: 1 kg/L}
  hen:   {price: 9/each, each: 2 kg, raw: yes}
  chile: {price: 15/kg}
  masa:  {price: 2/kg}
  lard:  {price: 4/kg}
steps:
  boil hens:
    vessel: pot
    starts: "22:00"
    takes: [30 L water, 10 each hen]
    gives: ["7 kg pulled hen, out at 3 h", "24 L broth, out at 5 h"]
    share cost by: main
    cooks through: yes
    work: {load: 20 min, skim: 5 min an hour, pull: 60 min, strain: 20 min with 2 people}
    batches: {mon: 1}
  salsa:
    takes: [1 kg chile, 3 L broth]
    gives: [3.5 kg salsa]
    cooks through: yes
    work: {toast: 15 min, grind: 25 min}
    batches: as needed
  beat masa:
    takes: [10 kg masa, 2 kg lard, 5 L broth]
    gives: [16 kg dough]
    work: 40 min
    batches: as needed
  fill:
    takes: [4 kg dough, 1 kg pulled hen, 1 kg salsa]
    gives: [60 each raw tamal]
    work: 30 min a batch
    batches: as needed
  steam:
    vessel: steamer
    takes: [60 each raw tamal, 5 L water]
    gives: ["60 each tamal, out at 1 h 15 min"]
    cooks through: yes
    work: {light: 5 min, take out: 5 min, wash: 10 min}
    batches: as needed
made:
  pulled hen: {keeps: 3 days}
  broth: {keeps: 3 days, density: 1 kg/L}
  salsa: {keeps: 3 days}
  dough: {keeps: 1 day}
  raw tamal: {keeps: 1 day, each: 100 g}
  tamal: {keeps: 1 day, each: 100 g}
dishes: {plate: {price: 6, takes: [3 each tamal], sells: {tue lunch: 20}}}
`

// done are the rows of work as "05:00-05:40 day cook: beat masa".
func done(a *Timetable) (list []string) {
	for _, r := range a.Rows {
		if r.Minutes == 0 {
			continue
		}
		end := r.Minute() + r.Minutes
		what := r.Step
		if r.Do != Make {
			what = strings.TrimSpace(r.Do+" "+r.Act) + " (" + r.Step + ")"
		}
		if r.Hourly {
			what += " every hour"
		}
		list = append(list, fmt.Sprintf("%s-%02d:%02d %s: %s", r.At[8:], end/60%24, end%60, strings.Join(r.Who, "+"), what))
	}
	return list
}

func TestWorkIsGivenToWhoIsThere(t *testing.T) {
	w := weektest.SmallDays(t, tamales, 2)
	a := of(t, w)
	assert.Empty(t, a.Conflicts)
	assert.Equal(t, []string{
		"23T22:00-22:20 night cook: start (boil hens)",
		"23T23:00-23:05 night cook+porter: work skim (boil hens) every hour",
		"24T01:00-01:15 night cook: take out (boil hens)",
		"24T01:15-02:15 night cook: work pull (boil hens)", // as soon as they are out
		"24T02:15-02:30 night cook: work cool (boil hens)",
		"24T03:00-03:15 night cook: take out (boil hens)",
		"24T03:15-03:35 night cook+porter: work strain (boil hens)",
		"24T03:35-03:50 porter: work cool (boil hens)", // who has had less to do
		"24T03:50-04:05 porter: work wash (boil hens)",
		"24T08:40-09:20 day cook: salsa", // as late as one cook can
		"24T09:20-09:35 day cook: work cool (salsa)",
		"24T09:35-10:15 day cook: beat masa",
		"24T10:15-10:45 day cook: fill",
		"24T10:45-10:50 day cook: start (steam)",
	}, done(a)[:14])
	cool := a.Rows[slices.IndexFunc(a.Rows, func(r Row) bool { return r.Act == "cool" && r.Of[0].Item == "broth" })]
	// FDA Food Code 2022, 3-501.14(A): from 135 °F to 70 °F within 2 hours, and to 41 °F within 6.
	require.Len(t, cool.Limits, 2)
	assert.Equal(t, 70.0, cool.Limits[0].To)
	assert.Equal(t, "2026-11-24 05:00", *cool.Limits[0].By)
	assert.Equal(t, 41.0, cool.Limits[1].To)
	assert.Equal(t, "2026-11-24 09:00", *cool.Limits[1].By)
	var read []string
	for _, r := range a.Rows {
		if r.Do == Read && r.Step == "boil hens" {
			read = append(read, r.At[11:]+" "+r.Of[0].Item+" "+strings.Join(r.Who, ""))
		}
	}
	assert.Equal(t, []string{"03:00 pulled hen night cook", "05:00 broth day cook", "07:00 pulled hen day cook", "09:00 broth day cook"}, read)
}

// What is made all at once at a set hour keeps hands busy from that hour on; where nobody is there then, it is done when somebody is.
func TestSetHourWithoutALength(t *testing.T) {
	ducks := func(hands, work string) *Timetable {
		return of(t, weektest.SmallDays(t, `
services: {dinner: "17:30-21:00"}
hands: {`+hands+`: cook}
bought: {duck: {price: 24/each, each: 2.4 kg}}
steps:
  break down: {starts: "07:30", `+work+`takes: [10 each duck], gives: [6 kg leg, 5 kg breast], batches: {mon: 1}}
dishes: {plate: {price: 20, takes: [300 g leg, 200 g breast], sells: {mon dinner: 10}}}
`, 1))
	}
	a := ducks("07:00-15:00", "work: 40 min, ")
	assert.Equal(t, []string{"23T07:30-08:10 cook: break down"}, done(a))
	assert.Empty(t, a.Conflicts)
	require.Len(t, done(ducks("07:00-15:00", "")), 1, "with what is guessed")
	a = ducks("08:00-15:00", "work: 40 min, ")
	assert.Equal(t, []string{"23T08:00-08:40 cook: break down"}, done(a))
	require.Len(t, a.Conflicts, 1)
}

func TestWorkThatDoesNotFit(t *testing.T) {
	only := func(kitchen string) Conflict {
		a := of(t, weektest.SmallDays(t, kitchen, 2))
		require.Len(t, a.Conflicts, 1, "%v", a.Conflicts)
		assert.Equal(t, NoHands, a.Conflicts[0].Kind)
		return a.Conflicts[0]
	}
	// The night ends when the pot is washed, and the day cook comes at 09:00: masa until 09:40, salsa until 10:20 and cooled at 10:35, filled at
	// 11:05; but the steamer must be on at 10:45.
	late := only(strings.NewReplacer("21:00-05:00", "21:00-04:10", "05:00-13:00", "09:00-13:00").Replace(tamales))
	assert.Equal(t, 20, late.Short)
	assert.Contains(t, late.Text, "Tuesday's steam needs 20 min more than 1 person has")
	assert.Equal(t, []string{"one more pair of hands from Tue 24 Nov 09:30 to 10:00", "day cook there from Tue 24 Nov 08:30 on"}, late.Helps)
	// Two are needed to strain, and there is one.
	alone := only(strings.Replace(tamales, "[night cook, porter]", "night cook", 1))
	assert.Contains(t, alone.Text, "strain (boil hens) takes 2 pairs of hands at once")
}

// Whoever works at what hours, and however long all takes: nobody does two things at once, no more hands are busy than there are, and
// nothing is begun before what it takes is ready.
func TestNeverMoreHandsThanThereAre(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(rt *rapid.T) {
		clock := func(name string) string {
			return fmt.Sprintf("%02d:%02d", rapid.IntRange(0, 23).Draw(rt, name), 15*rapid.IntRange(0, 3).Draw(rt, name))
		}
		kitchen := tamales
		from, to := clock("from"), clock("to")
		if from == to {
			to = "24:00"
		}
		until := clock("until")
		if until == "05:15" || from == "05:15" && until == to { // the same hours twice are a mistake
			until = "23:59"
		}
		kitchen = strings.Replace(kitchen, "21:00-05:00: [night cook, porter]", fmt.Sprintf("%s-%s: [night cook, porter]", from, to), 1)
		kitchen = strings.Replace(kitchen, "05:00-13:00: day cook", fmt.Sprintf("05:15-%s: %d", until, rapid.IntRange(0, 3).Draw(rt, "people")), 1)
		for _, minutes := range []string{"load: 20", "pull: 60", "strain: 20", "toast: 15", "grind: 25", "work: 40", "work: 30", "light: 5"} {
			act, _, _ := strings.Cut(minutes, ":")
			kitchen = strings.Replace(kitchen, minutes, fmt.Sprintf("%s: %d", act, rapid.IntRange(0, 120).Draw(rt, act)), 1)
		}
		if rapid.Bool().Draw(rt, "tended") { // beside what else the steamer asks for
			kitchen = strings.Replace(kitchen, "take out: 5 min, wash", "tend: 1 h 15 min, stir: 5 min an hour, take out: 5 min, wash", 1)
		}
		kitchen = strings.Replace(kitchen, "burners: 3", fmt.Sprintf("burners: %d", rapid.IntRange(1, 3).Draw(rt, "burners")), 1)
		if rapid.Bool().Draw(rt, "narrow") {
			kitchen = strings.Replace(kitchen, "  beat masa:\n", "  beat masa:\n    station: table\n", 1)
			kitchen = strings.Replace(kitchen, "burners:", fmt.Sprintf("stations: {bench: {room for: %d}, table: {room for: 1}}\nburners:", rapid.IntRange(2, 3).Draw(rt, "room")), 1)
		}
		if rapid.Bool().Draw(rt, "nobody said") { // room is little all the same
			_, rest, _ := strings.Cut(kitchen, "hands:")
			kitchen = kitchen[:len(kitchen)-len(rest)-len("hands:")] + rest[strings.Index(rest, "\n")+1:]
		}
		assertHands(rt, weektest.SmallDays(t, kitchen, 2))
	})
}

// Two could make masa and salsa side by side, but the bench has room for one: what is late is late for the bench, and an earlier
// beginning would help. With room for two it fits.
func TestLittleRoom(t *testing.T) {
	kitchen := strings.NewReplacer("21:00-05:00", "21:00-04:10", "05:00-13:00: day cook", "09:00-13:00: [day cook, second cook]",
		"burners: 3", "burners: 3\nstations: {bench: {room for: 2}}").Replace(tamales)
	assert.Empty(t, of(t, weektest.SmallDays(t, kitchen, 2)).Conflicts)
	kitchen = strings.NewReplacer("room for: 2", "room for: 1", "20 min with 2 people", "20 min").Replace(kitchen)
	a := of(t, weektest.SmallDays(t, kitchen, 2))
	require.Len(t, a.Conflicts, 1)
	assert.Equal(t, NoRoom, a.Conflicts[0].Kind)
	assert.Equal(t, "Tue 24 Nov 10:45 to 12:00: Tuesday's steam needs 20 min more than there is time for; there is room for no more at bench; this would do: "+
		"one more pair of hands from Tue 24 Nov 08:30 to 09:00, or second cook there from Tue 24 Nov 08:30 on", a.Conflicts[0].Text)
	assert.Equal(t, 20, a.Conflicts[0].Short)
}

// assertHands holds the work of a week against who is there, and its rows against each other.
func assertHands(t *rapid.T, w *week.Week) {
	table, err := newTable(t.Context(), w, w.Case)
	require.NoError(t, err)
	require.NoError(t, table.fill(t.Context(), func(int) bool { return true }, nil))
	given, a := table.given, table.Timetable
	busy := map[int]int{}
	at := map[string]map[int]int{} // by station with little room and minute
	for _, s := range w.Stations {
		at[s.Name] = map[int]int{}
	}
	for k := range given.deeds {
		x := &given.deeds[k]
		if !given.plan.Placed[x.task] {
			continue
		}
		step := given.night.works[x.work].step
		if place := at[w.PlaceOf(step, x.When)]; place != nil {
			for m := x.at; m < x.at+x.minutes; m++ {
				place[m] += x.People
			}
		}
		if w.Shifts == nil {
			continue
		}
		assert.GreaterOrEqual(t, len(x.who), x.People, "%s of %s", x.Name, w.Graph.Steps[step].Name)
		for m := x.at; m < x.at+x.minutes; m++ {
			busy[m] += x.People
		}
	}
	for _, s := range w.Stations {
		for m, n := range at[s.Name] {
			assert.LessOrEqual(t, n, s.Room, "at the %s at minute %d", s.Name, m)
		}
	}
	for m, n := range busy {
		day := w.Date(0).Add(time.Duration(m) * time.Minute)
		assert.LessOrEqual(t, n, w.People(int(day.Weekday()), m%1440), "at %s", day)
	}
	for _, p := range given.people {
		assert.LessOrEqual(t, p.minutes, p.to-p.from, "%s is busier than there", p.who)
	}
	assertOneJobAtATime(t, a)
	assertCookedByItsCard(t, a)
	assertTakenOut(t, given)
	// Made or taken out, an item is there before it goes into anything, but for what was on hand.
	out := map[string]map[int]int{} // by item and the work that gives it
	for i := range a.Rows {
		r := &a.Rows[i]
		end := r.Minute()
		if r.Do == Make || r.Do == Work || r.Do == TakeOut {
			end += r.Minutes
		}
		for _, x := range append(slices.Clone(r.Out), r.Of...) {
			if r.Do == Make || r.Do == TakeOut || r.Act == "pull" || r.Act == "strain" {
				if out[x.Item] == nil {
					out[x.Item] = map[int]int{}
				}
				out[x.Item][r.work] = end
			}
		}
	}
	for i := range a.Rows {
		r := &a.Rows[i]
		for _, x := range r.In {
			if made := slices.Collect(maps.Values(out[x.Item])); len(made) > 0 && r.Do == Make {
				assert.GreaterOrEqual(t, r.Minute(), slices.Min(made), "%s takes %s before it is ready", r.Step, x.Item)
			}
		}
	}
}

// assertTakenOut holds work against the hands that empty pots: nothing goes into anything while it is still taken out.
func assertTakenOut(t require.TestingT, d *day) {
	out := map[actAt]int{} // when what is out at a minute of a work lies on the bench
	for k := range d.deeds {
		if x := &d.deeds[k]; x.When == kitchen.AtTakeOut && d.plan.Placed[x.task] {
			out[actAt{x.work, x.after}] = x.at + x.minutes
		}
	}
	for _, e := range d.night.edges {
		end, ok := out[actAt{e.from, e.out}]
		if e.from < 0 || !ok || e.in == noEnd {
			continue
		}
		in := -1
		if main := d.main[e.to]; main >= 0 {
			in = d.plan.Start[main] + e.in
		} else if task, ok := d.putIn[actAt{e.to, e.in}]; ok {
			in = d.plan.Start[task]
		}
		if in >= 0 {
			assert.GreaterOrEqual(t, in, end, "%s goes into %s before it is out of %s", d.Graph.Items[e.item].Name, d.Graph.Steps[d.night.works[e.to].step].Name,
				d.Graph.Steps[d.night.works[e.from].step].Name)
		}
	}
}

// assertOneJobAtATime holds the rows as they are shown: nobody has two at one time. What goes on meanwhile, such as skimming, is done in between.
func assertOneJobAtATime(t require.TestingT, a *Timetable) {
	type job struct {
		from, to int
		what     string
	}
	by := map[string][]job{}
	for _, r := range a.Rows {
		if r.Minutes == 0 || r.Hourly || slices.Contains([]string{"tend", "skim", "stir", "turn", "baste"}, r.Act) {
			continue
		}
		for _, p := range r.turns { // of what is handed over, each has the part up to the end of the shift, or from it on
			by[p.who] = append(by[p.who], job{p.from, p.to, fmt.Sprintf("%s %s %s %s", r.At, r.Do, r.Act, r.Step)})
		}
	}
	for who, jobs := range by {
		for n, x := range jobs {
			for _, o := range jobs[:n] {
				assert.False(t, x.from < o.to && o.from < x.to, "%s has two jobs at one time: %s and %s", who, o.what, x.what)
			}
		}
	}
}

// At three in the morning, one pair of hands takes the meat out of a pot and then puts the ham in.
func TestTakeOutThenPutIn(t *testing.T) {
	a := of(t, weektest.SmallDays(t, `
services: {dinner: "18:00-22:00"}
hands: {"06:00-22:00": [ana]}
vessels: {big: {holds: 60 L}}
bought: {water: {price: 0/L}, pork: {price: 5/kg}, ham: {price: 5/kg}}
steps:
  pot:
    vessel: big
    starts: "08:00"
    takes: [20 L water, 5 kg pork, "1 kg ham, in at 3 h"]
    gives: ["18 L soup, out at 5 h", "2 kg meat, out at 3 h"]
    work: {light: 15 min, take out: 60 min, put in: 60 min}
    batches: {mon: 1}
dishes: {bowl: {price: 9, takes: [300 mL soup, 60 g meat], sells: 10}}
`, 1))
	assertOneJobAtATime(t, a)
	assert.Contains(t, done(a), "23T11:00-12:00 ana: take out (pot)")
	assert.Contains(t, done(a), "23T12:00-13:00 ana: put in (pot)")
	put := a.Rows[slices.IndexFunc(a.Rows, func(r Row) bool { return r.Do == PutIn })]
	assert.Equal(t, "2026-11-23T11:00", put.Card)
}

// Washing up after a step without a vessel is due at no batch: nobody waits for the vessel.
func TestWashWithoutAVesselHasNoDeadline(t *testing.T) {
	w := weektest.SmallDays(t, `kitchen: Grill
services: {lunch: 12:00-14:00}
hands: {06:00-15:00: [cook]}
bought: {corn: {price: 1/kg}}
steps:
  char corn: {starts: "07:00", takes: [4 kg corn], gives: ["3 kg charred corn, out at 1 h"], work: {light: 10 min, wash: 20 min}, batches: {mon: 1}}
  smoke corn: {starts: "08:10", takes: [4 kg corn], gives: ["3 kg smoked corn, out at 1 h"], work: {light: 10 min}, batches: {mon: 1}}
made: {charred corn: {keeps: 2 days}, smoked corn: {keeps: 2 days}}
dishes: {bowl: {price: 6, takes: [100 g charred corn, 100 g smoked corn], sells: 8}}
`, 1)
	a := of(t, w)
	assert.Empty(t, a.Conflicts)
	assert.Contains(t, strings.Join(done(a), "\n"), "work wash (char corn)")
}

// What waits for hands until its limit on cooling is over is told: the code asks for 21 °C within 2 h (FDA Food Code 2022, 3-501.14(A)(1)).
func TestCoolsTooLate(t *testing.T) {
	const late = `
services: {counter: "10:00-18:00"}
hands: {05:00-14:00: [vat hand], 10:00-18:00: [counter hand]}
vessels: {vat: {holds: 120 L}}
bought: {milk: {price: 1/L, density: 1.03 kg/L}}
steps:
  curd vat:
    vessel: vat
    starts: "05:00"
    takes: [80 L milk]
    gives: ["12 kg cheese, out at 2 h"]
    cooks through: yes
    work: {drain: 90 min, portion: 60 min with 2 people}
    batches: {mon: 1}
dishes: {tub: {price: 7, takes: [250 g cheese], sells: {mon counter: 12}}}
`
	told := func(src string) (texts []string) {
		for _, c := range of(t, weektest.SmallDays(t, src, 1)).Conflicts {
			texts = append(texts, c.Text)
		}
		return texts
	}
	require.Len(t, told(late), 1)
	assert.Regexp(t, `; the code's limit on cooling ends at Mon 23 Nov 09:00, but here it is in the cold only at Mon 23 Nov 1\d:\d\d: portion can't wait until it is `+
		`cold, or tub at Mon 23 Nov counter would be 3 h late; tried, and would not do: an earlier start, one more vessel and more hands on one job at the bench$`, told(late)[0])
	assert.NotContains(t, strings.Join(told(strings.Replace(late, "drain: 90 min, portion: 60 min with 2 people", "drain: 80 min, portion: 5 min", 1)), ""), "in the cold")
}

// Work without a time of its own has its vessel until it is taken out and washed: nothing else goes in before, and nobody washes a pan that
// is on the fire with something else in it.
func TestAVesselIsEmptiedAndWashedBeforeTheNext(t *testing.T) {
	const src = `
kitchen: Pie Shop
services: {lunch: 15:00-17:00}
hands: {07:00-16:00: [baker, boy]}
vessels: {stew pan: {holds: 30 L}}
bought: {shin: {price: 7/kg, raw: yes, allergens: []}, potatoes: {price: 1/kg, allergens: []}}
steps:
  stew: {vessel: stew pan, takes: [8 kg shin], gives: ["5 kg filling, out at 4 h"], cooks through: yes, batches: {mon-sat: 1}}
  boil potatoes: {vessel: stew pan, takes: [10 kg potatoes], gives: ["10 kg mash, out at 1 h"], batches: {mon-sat: 1}}
made: {filling: {keeps: 2 days}, mash: {keeps: 1 day}}
dishes: {pie: {price: 8, takes: [150 g filling, 200 g mash], sells: {lunch: 30}}}
`
	a, err := Rows(t.Context(), weektest.SmallWeek(t, src), new(1))
	require.NoError(t, err)
	in, washed := "", false
	for _, r := range a.Rows {
		switch {
		case r.Vessel != "stew pan":
		case r.Do == Start:
			require.True(t, in == "" || washed, "%s goes in at %s, and %s was not washed out", r.Step, r.At, in)
			in, washed = r.Step, false
		case r.Act == kitchen.WashAct:
			require.Equal(t, in, r.Step, "washed at %s", r.At)
			washed = true
		}
	}
	require.NotEmpty(t, in)
	require.Empty(t, a.Conflicts)
}

// A pan that is lit at seven, for nobody is there at five as its card says, is in the way of the potatoes until it is out.
func TestAVesselIsBookedByWhenItIsLit(t *testing.T) {
	const src = `
kitchen: Pie Shop
services: {lunch: 10:30-15:00}
hands: {07:00-16:00: [baker, boy]}
vessels: {stew pan: {holds: 30 L}}
bought: {shin: {price: 7/kg, raw: yes, allergens: []}, potatoes: {price: 1/kg, allergens: []}}
steps:
  stew: {vessel: stew pan, starts: "05:00", takes: [8 kg shin], gives: ["5 kg filling, out at 4 h"], cooks through: yes, batches: {mon-sat: 1}}
  boil potatoes: {vessel: stew pan, takes: [10 kg potatoes], gives: ["10 kg mash, out at 1 h"], batches: {mon-sat: 1}}
made: {filling: {keeps: 2 days}, mash: {keeps: 1 day}}
dishes: {pie: {price: 8, takes: [150 g filling, 200 g mash], sells: {lunch: 30}}}
`
	a, err := Rows(t.Context(), weektest.SmallWeek(t, src), new(1))
	require.NoError(t, err)
	in := ""
	for _, r := range a.Rows {
		switch {
		case r.Vessel != "stew pan":
		case r.Do == Start:
			require.Empty(t, in, "%s goes in at %s", r.Step, r.At)
			in = r.Step
		case r.Do == TakeOut:
			in = ""
		}
	}
	require.NotEmpty(t, a.Rows)
}
