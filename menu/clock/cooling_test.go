package clock

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
	"pgregory.net/rapid"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// Published worked examples of Newton's law of cooling, and cases derived from the formula for 135 to 70 and 41 °F.
func TestNewton(t *testing.T) {
	for _, c := range []struct {
		source                                  string
		air, before, now, apart, to, from, want float64 // apart and want in the unit of the source; from: since when want counts
		tolerance                               float64
	}{
		{"OpenStax Precalculus 2e 4.7, Ex. 5: prints about 107 min", 35, 165, 150, 10, 70, -10, 107.028, 1e-3},
		{"OpenStax Precalculus 2e 4.7, Try It: prints 6.026 h", 70, 40, 45, 1, 60, -1, 6.025685, 1e-6},
		{"in.answers.yahoo.com 20201027071702AAIvV6d: prints 36.8 min", 72, 375, 215, 15, 120, -15, 36.807, 1e-3},
	} {
		w, ok := newtonBetween(c.air, c.before, c.now, c.apart)
		require.True(t, ok, c.source)
		got, ok := w.reach(c.to)
		require.True(t, ok, c.source)
		assert.InDelta(t, c.want, got-c.from, c.tolerance, c.source)
	}
	for _, c := range []struct{ air, rate, to70, to41 float64 }{ // derived from T(t) = Ta + (135 - Ta) exp(-k t), hours
		{38, 0.8, 1.38622, 4.34512},
		{38, 0.5, 2.21795, 6.95220},
		{38, 0.5544875378, 2.00000, 6.26903},
		{35, 0.5249110623, 2.00000, 5.35979},
		{36, 0.7, 1.52680, 4.26526},
	} {
		later := c.air + (135-c.air)*math.Exp(-c.rate/4)
		w, ok := newtonBetween(c.air, 135, later, 0.25)
		require.True(t, ok)
		assert.InDelta(t, c.rate, w.rate, 1e-9)
		for to, want := range map[float64]float64{70: c.to70, 41: c.to41} {
			got, ok := w.reach(to)
			require.True(t, ok)
			assert.InDelta(t, want, got+0.25, 1e-5, "%v to %v", c, to)
		}
	}
	w, ok := newtonBetween(42, 135, 100, 1)
	require.True(t, ok)
	_, ok = w.reach(41)
	assert.False(t, ok, "air at 42 never brings anything to 41")
	_, ok = w.reach(42)
	assert.False(t, ok, "nothing gets to the air itself")
	for _, flat := range [][3]float64{{40, 100, 100}, {40, 100, 120}, {40, 100, 40}, {40, 40, 40}, {40, 100, 30}} {
		_, ok := newtonBetween(flat[0], flat[1], flat[2], 1)
		assert.False(t, ok, "%v", flat)
	}
}

// logOf is a log of one item, a reading at each minute given.
func logOf(item, scale string, readings ...[2]float64) kitchen.CoolingLog {
	l := kitchen.CoolingLog{Item: item}
	for _, r := range readings {
		at := time.Date(2026, 11, 25, 7, 0, 0, 0, time.UTC).Add(time.Duration(r[0] * float64(time.Minute)))
		l.Readings = append(l.Readings, kitchen.Reading{At: at, Degrees: kitchen.Degrees{Value: r[1], Scale: scale}})
	}
	return l
}

// What a log shows of the two limits of 3-501.14(A): 135 to 70 °F within 2 h, and to 41 °F within a total of 6 h (Del.
// 16 and Wis. ATCP 75, 3-501.14).
func TestVerdicts(t *testing.T) {
	for name, c := range map[string]struct {
		readings     [][2]float64
		first, total string
	}{
		"both met":                        {[][2]float64{{0, 135}, {119, 70}, {350, 41}}, LimitMet, LimitMet},
		"both met to the minute":          {[][2]float64{{0, 135}, {120, 70}, {360, 41}}, LimitMet, LimitMet},
		"a fast first stage gives more":   {[][2]float64{{0, 135}, {60, 70}, {359, 41}}, LimitMet, LimitMet},
		"a minute late":                   {[][2]float64{{0, 135}, {119, 75}, {121, 70}, {200, 41}}, LimitNotShown, LimitMet},
		"first broken, total met":         {[][2]float64{{0, 135}, {120, 71}, {200, 41}}, LimitBroken, LimitMet},
		"first met, total broken":         {[][2]float64{{0, 135}, {100, 70}, {360, 42}, {361, 41}}, LimitMet, LimitBroken},
		"still hot":                       {[][2]float64{{0, 180}, {30, 140}}, LimitOpen, LimitOpen},
		"time is left":                    {[][2]float64{{0, 135}, {60, 100}}, LimitOpen, LimitOpen},
		"no reading for hours":            {[][2]float64{{0, 135}, {400, 40}}, LimitNotShown, LimitNotShown},
		"left 135 between two readings":   {[][2]float64{{0, 170}, {60, 120}, {150, 75}, {175, 70}}, LimitNotShown, LimitOpen},
		"counted from the last at 135":    {[][2]float64{{0, 170}, {60, 135}, {175, 70}, {419, 41}}, LimitMet, LimitMet},
		"the minute it may have been due": {[][2]float64{{0, 170}, {60, 120}, {120, 75}}, LimitNotShown, LimitOpen},
		"start not recorded":              {[][2]float64{{0, 120}, {60, 70}, {200, 41}}, LimitNotShown, LimitNotShown},
		"start not recorded, yet late":    {[][2]float64{{0, 120}, {120, 71}, {360, 50}}, LimitBroken, LimitBroken},
		"already cold":                    {[][2]float64{{0, 40}}, LimitNotShown, LimitNotShown},
	} {
		a := JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{logOf("stock", "F", c.readings...)}, nil, nil, time.Time{}, tongue.Voice{})
		require.Len(t, a.Items[0].Stages, 2)
		assert.Equal(t, c.first, a.Items[0].Stages[0].State, "%s: %s", name, a.Items[0].Stages[0].Says)
		assert.Equal(t, c.total, a.Items[0].Stages[1].State, "%s: %s", name, a.Items[0].Stages[1].Says)
		assert.NotEmpty(t, a.Items[0].NoProjection, name)
		assert.Equal(t, kitchen.Caution, a.Caution)
	}
}

// What is said of one reading goes by the minute at which the limit falls: 135 °F to 70 °F within two hours (FDA Food Code 2022,
// 3-501.14(A)(1)).
func TestAReadingAtTheLimitToTheMinute(t *testing.T) {
	says := func(readings ...[2]float64) string {
		a := JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{logOf("stock", "F", readings...)}, nil, nil, time.Time{}, tongue.Voice{})
		all := a.Items[0].Readings
		return strings.Join(all[len(all)-1].Says, "; ")
	}
	start, unseen := [2]float64{0, 135}, [][2]float64{{0, 170}, {60, 120}}
	assert.NotContains(t, says(start, [2]float64{119, 71}), "breaks")
	assert.Contains(t, says(start, [2]float64{119, 71}), "1 min left to reach 21 °C (70")
	assert.Contains(t, says(start, [2]float64{120, 71}), "breaks")
	assert.Contains(t, says(start, [2]float64{120, 70}), "meets")
	assert.NotContains(t, says(start, [2]float64{121, 70}), "meets 3-501.14(A)(1)")

	// When it left 135 °F is known to the hour only: of a limit that may have passed already, no time is left.
	assert.Contains(t, says(append(slices.Clone(unseen), [2]float64{119, 75})...), "1 min left to reach 21 °C (70")
	assert.NotContains(t, says(append(slices.Clone(unseen), [2]float64{120, 75})...), "left to reach 21 °C")
}

// The derived cases as logs, read each half hour: pass or fail as the code has it. Where a limit is met or missed
// exactly, readings half an hour apart can't show it.
func TestVerdictsOfCurves(t *testing.T) {
	for _, c := range []struct {
		air, rate    float64
		first, total string
	}{
		{38, 0.8, LimitMet, LimitMet}, {36, 0.7, LimitMet, LimitMet}, {38, 0.5, LimitBroken, LimitBroken},
		{35, 0.5249110623, LimitMet, LimitMet}, // at the limit
		{42, 0.8, LimitMet, LimitBroken},       // the air is above 41
	} {
		var readings [][2]float64
		for n := range 17 {
			at := 30 * float64(n)
			temperature := c.air + (135-c.air)*math.Exp(-c.rate*at/60)
			readings = append(readings, [2]float64{at, math.Round(temperature*1e6) / 1e6})
		}
		a := JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{logOf("stock", "F", readings...)}, nil, nil, time.Time{}, tongue.Voice{})
		assert.Equal(t, c.first, a.Items[0].Stages[0].State, "%v: %s", c, a.Items[0].Stages[0].Says)
		assert.Equal(t, c.total, a.Items[0].Stages[1].State, "%v: %s", c, a.Items[0].Stages[1].Says)
	}
}

func TestProjection(t *testing.T) {
	air := &kitchen.Degrees{Value: 38, Scale: "F"}
	quarter := 38 + (135-38)*math.Exp(-0.8/4)
	a := JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{logOf("stock", "F", [2]float64{0, 135}, [2]float64{15, quarter})}, air, nil, time.Time{}, tongue.Voice{})
	c := a.Items[0]
	require.Len(t, c.Projected, 2)
	assert.InDelta(t, 1.38622*60-15, *c.Projected[0].Minutes, 1e-3) // derived
	assert.InDelta(t, 4.34512*60-15, *c.Projected[1].Minutes, 1e-3)
	assert.False(t, *c.Projected[0].Late)
	for _, p := range c.Projected {
		assert.Regexp(t, "^projection: ", p.Says)
		assert.NotContains(t, p.Says, "safe")
	}
	a = JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{logOf("stock", "F", [2]float64{0, 135}, [2]float64{15, quarter})},
		&kitchen.Degrees{Value: 42, Scale: "F"}, nil, time.Time{}, tongue.Voice{})
	assert.Nil(t, a.Items[0].Projected[1].Minutes)
	assert.Contains(t, a.Items[0].Projected[1].Says, "never reached")
}

// In air of 37.349861 °F (derived from the law) what is at 70 °F after 2 h is at 41 °F after 6 h: both limits bind
// together. In colder air the first binds alone, in warmer air the second.
func TestBothLimitsBindTogether(t *testing.T) {
	for _, c := range []struct {
		air       float64
		six       float64 // hours to 41 °F
		late      bool
		tolerance float64
	}{{37.349861, 6, false, 1e-6}, {36.349861, 5.680158, false, 1e-6}, {38.349861, 6.443264, true, 1e-6}} {
		rate := math.Log((135-c.air)/(70-c.air)) / 2
		at := func(hours float64) float64 { return c.air + (135-c.air)*math.Exp(-rate*hours) }
		w, ok := newtonBetween(c.air, 135, at(0.5), 0.5)
		require.True(t, ok)
		first, ok := w.reach(70)
		require.True(t, ok)
		assert.InDelta(t, 1.5, first, 1e-9)
		second, ok := w.reach(41)
		require.True(t, ok)
		assert.InDelta(t, c.six-0.5, second, c.tolerance, "air of %v", c.air)

		log := logOf("stock", "F", [2]float64{0, 135}, [2]float64{30, at(0.5)})
		a := JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{log}, &kitchen.Degrees{Value: c.air, Scale: "F"}, nil, time.Time{}, tongue.Voice{})
		require.Len(t, a.Items[0].Projected, 2)
		assert.InDelta(t, 90, *a.Items[0].Projected[0].Minutes, 1e-6)
		if c.six != 6 { // exactly on the limit, the last digit decides
			assert.Equal(t, c.late, *a.Items[0].Projected[1].Late, "air of %v", c.air)
		}
	}
}

// The code's °F count: 21 °C is 69.8 °F, and 5 °C is 41 °F exactly. 57 °C, which the code prints beside 135 °F, is
// 134.6 °F.
func TestScales(t *testing.T) {
	a := JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{logOf("stock", "C", [2]float64{0, 57}, [2]float64{100, 21}, [2]float64{300, 5})}, nil, nil, time.Time{}, tongue.Voice{})
	c := a.Items[0]
	assert.True(t, c.Recorded)
	assert.Equal(t, LimitMet, c.Stages[0].State)
	assert.Equal(t, LimitMet, c.Stages[1].State)
	assert.InDelta(t, 134.6, c.Readings[0].Temperature, 1e-9)
	a = JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{logOf("stock", "C", [2]float64{0, 56}, [2]float64{100, 21})}, nil, nil, time.Time{}, tongue.Voice{})
	assert.False(t, a.Items[0].Recorded)
}

// 3-501.14(B): what is made of ingredients at room temperature has 4 h to 41 °F (Del. 16 and Wis. ATCP 75).
func TestFromRoom(t *testing.T) {
	log := []kitchen.CoolingLog{logOf("salad", "F", [2]float64{0, 70}, [2]float64{239, 41})}
	a := JudgeCooling(&kitchen.Codes[0], log, nil, []string{"salad"}, time.Time{}, tongue.Voice{})
	require.Len(t, a.Items[0].Stages, 1)
	assert.Equal(t, LimitMet, a.Items[0].Stages[0].State)
	assert.Contains(t, a.Items[0].Stages[0].Section, "3-501.14(B)")
	log = []kitchen.CoolingLog{logOf("salad", "F", [2]float64{0, 70}, [2]float64{240, 42})}
	assert.Equal(t, LimitBroken, JudgeCooling(&kitchen.Codes[0], log, nil, []string{"salad"}, time.Time{}, tongue.Voice{}).Items[0].Stages[0].State)
}

// 3-501.16(A): held hot at 135 °F or above, cold at 41 °F or below.
func TestHolding(t *testing.T) {
	log := []kitchen.CoolingLog{logOf("stock", "F", [2]float64{0, 135}, [2]float64{60, 41}, [2]float64{120, 41.5}, [2]float64{180, 41})}
	readings := JudgeCooling(&kitchen.Codes[0], log, nil, nil, time.Time{}, tongue.Voice{}).Items[0].Readings
	assert.Contains(t, readings[0].Says[0], "at or above 57 °C (135 °F), the limit for holding hot (3-501.16(A))")
	assert.Contains(t, fmt.Sprint(readings[2].Says), "breaks 3-501.16(A)")
	assert.NotContains(t, fmt.Sprint(readings[3].Says), "breaks")
}

// Every code judges any log without a panic, and names a section for whatever it says.
func TestEveryCodeJudges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minute, readings := 0, [][2]float64{}
		for range rapid.IntRange(1, 8).Draw(t, "readings") {
			readings = append(readings, [2]float64{float64(minute), rapid.Float64Range(-20, 110).Draw(t, "temperature")})
			minute += rapid.IntRange(1, 400).Draw(t, "minutes")
		}
		scale := rapid.SampledFrom([]string{"C", "F"}).Draw(t, "scale")
		air := &kitchen.Degrees{Value: rapid.Float64Range(-30, 30).Draw(t, "air"), Scale: "C"}
		for c := range kitchen.Codes {
			a := JudgeCooling(&kitchen.Codes[c], []kitchen.CoolingLog{logOf("stock", scale, readings...)}, air, nil, time.Time{}, tongue.Voice{})
			for _, v := range a.Items[0].Stages {
				if v.Section == "" || v.Says == "" {
					t.Fatalf("%+v", v)
				}
				above := a.Items[0].Readings[len(readings)-1].Temperature > v.To+sameReading
				if v.State == LimitBroken && v.Within > 0 && minute < v.Within || v.State == LimitOpen && !above {
					t.Fatalf("%+v of %v", v, readings)
				}
			}
			for _, p := range a.Items[0].Projected {
				if p.Minutes != nil && !(*p.Minutes >= 0) {
					t.Fatalf("%+v", p)
				}
			}
		}
	})
}

// A log across New Year says of each day in which year it is; one within a year does not.
func TestCoolingAcrossYears(t *testing.T) {
	l := logOf("stock", "F", [2]float64{0, 135}, [2]float64{60, 100}, [2]float64{600, 60})
	says := func(v tongue.Voice) (string, string) {
		a := JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{l}, nil, nil, time.Time{}, v)
		return a.Moment(v, a.Items[0].Readings[0].At), a.Items[0].Stages[0].Says
	}
	first, because := says(tongue.Voice{})
	assert.Equal(t, "Wed 25 Nov 07:00", first)
	assert.NotContains(t, because, "2026")
	for n := range l.Readings {
		l.Readings[n].At = time.Date(2026, 12, 31, 22, 0, 0, 0, time.UTC).Add(time.Duration(n) * 5 * time.Hour)
	}
	first, because = says(tongue.Voice{})
	assert.Equal(t, "Thu 31 Dec 2026 22:00", first)
	assert.Contains(t, because, "Fri 1 Jan 2027")
	first, _ = says(tongue.Voice{Tag: language.Spanish})
	assert.Equal(t, "31 de diciembre de 2026 22:00", first)
	first, _ = says(tongue.Voice{Tag: language.SimplifiedChinese})
	assert.Equal(t, "2026年12月31日22:00", first)
}
