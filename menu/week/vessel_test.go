package week_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// brothHouse has two steps in one pot, one with a clock in a tub that takes two batches, and two without a clock in a pan:
// one that says how long it takes and one that does not.
const brothHouse = `
kitchen: Broth House
open: mon-sun
services: {lunch: "11:30-14:30"}
vessels:
  pot: {holds: 40 L}
  tub: {holds: 20 L}
  pan: {holds: 10 L}
bought: {water: {price: 0/L, density: 1 kg/L}}
steps:
  broth: {vessel: pot, starts: "22:00", takes: [30 L water], gives: ["20 L broth, out at 9 h"], batches: {mon: 1}}
  dashi: {vessel: pot, starts: "07:00", takes: [16 L water], gives: ["15 L dashi, out at 2 h"], batches: {tue: 1}}
  brine: {vessel: tub, starts: "08:00", takes: [4 L water, "6 L water, in at 1 h"], gives: ["3 L brine, out at 1 h", "6 L salt water, out at 2 h"], batches: {mon: 1}}
  sauce: {vessel: pan, takes: [6 L water], gives: ["5 L sauce, out at 3 h"], batches: {wed: 1}}
  glaze: {vessel: pan, takes: [5 L water], gives: ["4 L glaze"], batches: {wed: 2, thu: 3}}
  bread: {takes: [1 L water], gives: ["1 kg bread"], batches: {mon: 3}}
`

// The weeks begin on Monday 23 November.
func TestWhatAVesselHolds(t *testing.T) {
	w := weektest.SmallWeek(t, brothHouse)
	step := func(name string) int {
		s, err := w.FindStep(name)
		require.NoError(t, err)
		return s
	}
	for name, want := range map[string][2]float64{ // at once, on a day
		"broth": {1, 1},
		"dashi": {2, 2}, // 16 L twice in 40 L
		"brine": {2, 2}, // 4 L, then 10 L at 1 h before 3 L are out: 10 L twice in 20 L
		"sauce": {1, 3}, // three times 3 h from midnight to 11:30
		"glaze": {2, 3}, // as often as on Thursday
		"bread": {math.Inf(1), math.Inf(1)},
	} {
		assert.Equal(t, want, [2]float64{w.Fits(step(name)), w.Most(step(name), 2)}, name)
	}
	assert.Equal(t, 6.0, w.Usual(step("bread")), "twice Monday's three")
}

func TestRefuses(t *testing.T) {
	w := weektest.SmallWeek(t, brothHouse)
	standing := w.Calendar(w.Case.Schedule, nil, nil)
	assert.Empty(t, standing.Clashes(), "dashi begins at the minute at which broth is out")
	const broth, dashi, brine, sauce, glaze, bread = 0, 1, 2, 3, 4, 5
	for name, c := range map[string]struct {
		step, day, start int
		batches          float64
		want             string
	}{
		"no vessel":                       {bread, 0, flow.Untimed, 50, ""},
		"the vessel is free":              {broth, 2, 22 * 60, 1, ""},
		"two do not fit":                  {broth, 2, 22 * 60, 2, "the pot holds 40 L: one batch of 30 L at a time"},
		"one is there":                    {broth, 0, 22 * 60, 1, "the pot holds 40 L: one batch of 30 L at a time; it is in use Mon 23 Nov 22:00 to Tue 24 Nov 07:00"},
		"another is there":                {dashi, 0, 23 * 60, 1, "the pot holds 40 L: 2 batches of 16 L at a time; it is in use Mon 23 Nov 22:00 to Tue 24 Nov 07:00"},
		"it ends as another begins":       {dashi, 0, 20 * 60, 1, ""},
		"it ends a minute later":          {dashi, 0, 20*60 + 1, 1, "the pot holds 40 L: 2 batches of 16 L at a time; it is in use Mon 23 Nov 22:00 to Tue 24 Nov 07:00"},
		"it begins as another ends":       {dashi, 1, 9 * 60, 1, ""},
		"it begins a minute sooner":       {dashi, 1, 9*60 - 1, 1, "the pot holds 40 L: 2 batches of 16 L at a time; it is in use Tue 24 Nov 07:00 to 09:00"},
		"a second beside the first":       {dashi, 1, 7 * 60, 1, ""},
		"a third beside the first":        {dashi, 1, 7 * 60, 2, "the pot holds 40 L: 2 batches of 16 L at a time; it is in use Tue 24 Nov 07:00 to 09:00"},
		"half the tub":                    {brine, 0, 8 * 60, 1, ""},
		"two more fillings":               {sauce, 2, flow.Untimed, 2, ""},
		"no time for a fourth":            {sauce, 2, flow.Untimed, 3, "the pan holds 10 L: one batch of 6 L at a time; each filling takes 3 h, and all must be out by Wed 25 Nov 11:30"},
		"as often as the fullest day":     {glaze, 2, flow.Untimed, 1, ""},
		"more often than the fullest day": {glaze, 2, flow.Untimed, 2, "the pan holds 10 L: 2 batches of 5 L at a time; the file does not say how long that takes, so 3 a day"},
	} {
		assert.Equal(t, c.want, standing.Refuses(c.step, c.day, c.start, c.batches), name)
	}
	// By a clock, from 06:00 to 09:00: of the 11 h 30 min two more fillings would need 9 h in all.
	at6 := standing.With(w.Stay(sauce, 2, 6*60, 1))
	assert.Empty(t, at6.Clashes())
	assert.Empty(t, at6.Refuses(sauce, 2, flow.Untimed, 1))
	assert.Equal(t, "the pan holds 10 L: one batch of 6 L at a time; each filling takes 3 h, and all must be out by Wed 25 Nov 11:30; it is in use Wed 25 Nov 06:00 to 09:00",
		at6.Refuses(sauce, 2, flow.Untimed, 2))
	always := func(int) bool { return true }
	found := func(minute int, ok bool) string {
		if !ok {
			return "never"
		}
		return w.Moment(minute)
	}
	assert.Equal(t, "Mon 23 Nov 20:00", found(standing.Latest(dashi, 1440+8*60, 0, 2, always)), "before both")
	assert.Equal(t, "Tue 24 Nov 07:00", found(standing.Latest(dashi, 1440+8*60, 0, 1, always)), "beside the other")
	assert.Equal(t, "never", found(standing.Latest(broth, 1440+8*60, 18*60, 1, always)), "9 h before Monday 22:00")
	assert.Equal(t, "never", found(standing.Latest(broth, 4*1440, 0, 2, always)))
	assert.Equal(t, 1440+7*60, standing.FreeSince(dashi, 1440+8*60, 0))
}

func TestClashes(t *testing.T) {
	for name, c := range map[string]struct {
		from, to string
		change   func(w *week.Week)
		want     []string
	}{
		"two works meet for a minute": {`starts: "07:00"`, `starts: "06:59"`, nil,
			[]string{"Monday's broth and Tuesday's dashi are both in the pot, Tue 24 Nov 06:59 to 07:00"}},
		"two at one time, no one knows how long": {`starts: "08:00", takes: [4 L water, "6 L water, in at 1 h"], gives: ["3 L brine, out at 1 h", "6 L salt water, out at 2 h"]`,
			`starts: "08:00", takes: [9 L water], gives: [5 L brine], batches: {mon: 1}}
  stew: {vessel: tub, starts: "08:00", takes: [9 L water], gives: [9 L stew]`, nil,
			[]string{"Monday's brine and Monday's stew are both in the tub, Mon 23 Nov 08:00 to 08:01"}},
		"too much at once": {`out at 2 h"], batches: {mon: 1}}`, `out at 2 h"], batches: {mon: 3}}`, nil,
			[]string{"Monday's brine, 3 batches at once, comes to 30 L at Mon 23 Nov 09:00, but the tub holds 20 L: 10 L too much"}},
		"more fillings than there is time for": {"batches: {wed: 1}", "batches: {wed: 4}", nil,
			[]string{"Wednesday's sauce needs the pan for 12 h before Wed 25 Nov 11:30, but it is free for 11 h 30 min"}},
		"three works in one pot, and a loose one that takes the night": {"  bread:", `  stew: {vessel: pot, starts: "07:30", takes: [9 L water], gives: ["9 L stew, out at 1 h"], batches: {tue: 1}}
  jus:  {vessel: pot, starts: "08:00", takes: [9 L water], gives: ["9 L jus, out at 30 min"], batches: {tue: 1}}
  aspic: {vessel: pot, takes: [9 L water], gives: ["9 L aspic, out at 23 h"], batches: {mon: 1}}
  bread:`, nil, []string{
			"Monday's aspic and Monday's broth are both in the pot, Mon 23 Nov 22:00 to 23:00",
			"Tuesday's dashi and Tuesday's stew are both in the pot, Tue 24 Nov 07:30 to 08:30",
			"Tuesday's dashi, Tuesday's stew and Tuesday's jus are all in the pot, Tue 24 Nov 08:00 to 08:30"}},
		"lit before the period": {`starts: "07:00"`, `starts: "04:00"`, func(w *week.Week) {
			s := *w.Case.Schedule
			s.Pots = []flow.Pot{{Step: 0, Day: -1, Start: -120, Batches: 1, Gives: []flow.PotLine{{Item: 1, Amount: 1, Minute: 360}}}}
			s.Batches = []flow.Batch{{Step: 1, Day: 0, Start: 4 * 60, Size: 1}}
			w.Case.Schedule = &s
		}, []string{"broth of Sun 22 Nov and Monday's dashi are both in the pot, Mon 23 Nov 04:00 to 06:00"}},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, brothHouse, c.from)
			w := weektest.SmallWeek(t, strings.Replace(brothHouse, c.from, c.to, 1))
			if c.change != nil {
				c.change(w)
			}
			var got []string
			for _, x := range w.Calendar(w.Case.Schedule, nil, nil).Clashes() {
				got = append(got, x.Text)
				assert.Less(t, x.From, x.To)
			}
			assert.Equal(t, c.want, got)
			var told []string
			for _, d := range w.Faults() {
				told = append(told, d.Msg)
				assert.Positive(t, d.Pos.Line)
			}
			assert.Equal(t, c.want, told)
		})
	}
}

// Over three weeks a clash that comes back every week is said once.
func TestAClashIsToldOnce(t *testing.T) {
	short := weektest.SmallWeek(t, strings.Replace(brothHouse, `starts: "07:00"`, `starts: "06:00"`, 1))
	assert.Len(t, short.Faults(), 1)
	for days, more := range map[int]string{7: ", and once more", 14: ", and so on 2 more times"} {
		w, err := short.Longer(days)
		require.NoError(t, err)
		faults := w.Faults()
		require.Len(t, faults, 1)
		assert.Equal(t, "broth of Mon 23 Nov and dashi of Tue 24 Nov are both in the pot, Tue 24 Nov 06:00 to 07:00"+more, faults[0].Msg)
	}
}

// What was put in counts, not what is written first: 4 kg of duck take less room than 10 kg of hens.
func TestWhatWentInCounts(t *testing.T) {
	src := strings.Replace(weektest.SmokeHouse, "    starts:", "    vessel: pot\n    starts:", 1)
	src = strings.Replace(src, "steps:", "vessels: {pot: {holds: 51 L}}\nsteps:", 1)
	w := weektest.SmallWeek(t, src)
	peak := func() (list []float64) {
		p, err := w.Play(t.Context())
		require.NoError(t, err)
		for _, st := range w.Calendar(p.Schedule, p.Outcome, p.Record).Timed() {
			list = append(list, math.Round(st.Peak)/1000)
		}
		return list
	}
	assert.Equal(t, []float64{51, 51}, peak(), "30 + 10 + 8 + 2.7 + 0.3")
	w = w.Knowing(weektest.Shocks(t, w, "short hens@tue=100%"))
	assert.Equal(t, []float64{45, 45}, peak(), "30 + 4 + 8 + 2.7 + 0.3")
}

// Three batches in a pan for two are two fillings.
func TestFillings(t *testing.T) {
	w := weektest.SmallWeek(t, strings.Replace(brothHouse, `takes: [6 L water], gives: ["5 L sauce`, `takes: [5 L water], gives: ["5 L sauce`, 1))
	const sauce = 3
	for batches, want := range map[float64]int{0: 0, 0.5: 1, 2: 1, 2.1: 2, 3: 2, 6: 3} {
		assert.Equal(t, want, w.Fillings(w.Stay(sauce, 0, flow.Untimed, batches)), batches)
	}
	none := w.Calendar(&flow.Schedule{}, nil, nil)
	assert.Empty(t, none.Refuses(sauce, 0, flow.Untimed, 6))
	assert.NotEmpty(t, none.Refuses(sauce, 0, flow.Untimed, 7), "four fillings of 3 h before 11:30")
}

// What is lost leaves its vessel, and what begins later ends later.
func TestLeaveAndMove(t *testing.T) {
	w := weektest.SmallWeek(t, brothHouse)
	const broth, dashi, sauce = 0, 1, 3
	c := w.Calendar(w.Case.Schedule, nil, nil)
	c.Leave(broth, 0, 23*60) // lit at 22:00
	assert.Empty(t, c.Refuses(dashi, 0, 23*60, 1))
	assert.NotEmpty(t, c.Refuses(dashi, 0, 23*60-1, 1))
	c.Leave(sauce, 2, 2*1440+60)
	assert.Empty(t, c.Refuses(sauce, 2, flow.Untimed, 3))

	c = w.Calendar(w.Case.Schedule, nil, nil)
	c.Move(dashi, 1440+7*60, 1440+8*60, 0)
	assert.Empty(t, c.Refuses(dashi, 1, 10*60, 1))
	assert.Equal(t, "the pot holds 40 L: 2 batches of 16 L at a time; it is in use Tue 24 Nov 08:00 to 10:00",
		c.Refuses(dashi, 1, 10*60-1, 1))
}
