package week_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

var (
	sells   = regexp.MustCompile(`sells: (\d+)`)
	batches = regexp.MustCompile(`batches: \{([a-z ]+): ([\d.]+)\}`)
)

// A week whose days differ is played as that of a kitchen whose standing week says the same.
func TestDaysThatDifferAreAStandingWeek(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text, onHand := weektest.AnyKitchen(rt)
		usual := regexp.MustCompile(`(?s)open: mon-thu\n.*?vessels:`).ReplaceAllString(text, weektest.UsualDays+"\nvessels:")
		names := []string{"mon", "tue", "wed", "thu", "fri"}
		open, hours, days := []string{}, "", map[int]string{}
		factor, idle := map[string]float64{}, false
		for d, name := range names {
			at := rapid.SampledFrom([]string{"usual", "usual", "closed", "no lunch", "hours", "factor", "opened", "idle"}).Draw(rt, name)
			if d == 4 { // closed in the usual week
				if at == "opened" {
					open = append(open, name)
					hours += ", fri lunch: closed, fri dinner: 16:00-20:30"
					days[d] = "{dinner: 16:00-20:30}"
				}
				continue
			}
			switch {
			case at == "closed":
				days[d] = "closed"
				continue
			case at == "idle" && name == "thu": // all deliveries come on other days
				idle, days[d] = true, "{works: no}"
				continue
			case at == "no lunch":
				hours += ", " + name + " lunch: closed"
				days[d] = "{lunch: closed}"
			case at == "hours":
				hours += ", " + name + " dinner: 18:15-23:00"
				days[d] = "{dinner: 18:15-23:00}"
			case at == "factor":
				factor[name] = float64(rapid.IntRange(1, 30).Draw(rt, "factor")) / 10
				hours += ", " + name + " lunch: 10:00-12:00"
				days[d] = fmt.Sprintf("{lunch: 10:00-12:00 at %g of forecast}", factor[name])
			}
			open = append(open, name)
		}
		if len(open) == 0 {
			rt.Skip("a standing week without an open day can't be written")
		}

		// The calendar says it for as many weeks as any question looks ahead.
		var closed, differs []string
		for week := range 6 {
			for d := range names {
				date := weektest.Monday.AddDate(0, 0, 7*week+d).Format(time.DateOnly)
				switch days[d] {
				case "":
				case "closed":
					closed = append(closed, date)
				default:
					differs = append(differs, date+": "+days[d])
				}
			}
		}
		dated := strings.Replace(usual, "\nvessels:", fmt.Sprintf("\nclosed: [%s]\ndays: {%s}\nvessels:", strings.Join(closed, ", "),
			strings.Join(differs, ", ")), 1)

		// The standing week says the same for ever.
		standing := strings.Replace(usual, "open: mon-thu", "open: "+strings.Join(open, " "), 1)
		standing = strings.Replace(standing, "22:00}", "22:00"+hours+"}", 1)
		standing = sells.ReplaceAllStringFunc(standing, func(s string) string {
			n, _ := strconv.Atoi(strings.TrimPrefix(s, "sells: "))
			said := fmt.Sprintf("sells: {lunch: %d, dinner: %d", n, n)
			for _, name := range names {
				if f := factor[name]; f > 0 {
					said += fmt.Sprintf(", %s lunch: %g", name, math.Round(f*float64(n)))
				}
			}
			return said + "}"
		})
		if idle {
			standing = strings.Replace(standing, "\nvessels:", "\nworks: fri-wed\nvessels:", 1)
			standing = batches.ReplaceAllStringFunc(standing, func(s string) string {
				return strings.NewReplacer("daily", "fri-wed", "tue thu", "tue").Replace(s)
			})
		}

		a, b := weekOf(rt, dated, onHand), weekOf(rt, standing, onHand)
		require.Equal(rt, b.Case.Schedule, a.Case.Schedule, "%s\n%s", dated, standing)
		require.Equal(rt, b.Sittings, a.Sittings)
		pa, err := a.Play(t.Context())
		require.NoError(rt, err)
		pb, err := b.Play(t.Context())
		require.NoError(rt, err)
		require.Equal(rt, pb.Outcome, pa.Outcome)
		if a.Behind() == b.Behind() {
			require.InDelta(rt, pb.Books.Contribution, pa.Books.Contribution, 1e-9)
		}

		// The same with days behind.
		behind := max(a.Behind(), b.Behind())
		a, err = a.Longer(behind)
		require.NoError(rt, err)
		b, err = b.Longer(behind)
		require.NoError(rt, err)
		require.Equal(rt, b.Case.Schedule, a.Case.Schedule)
	})
}

func weekOf(t require.TestingT, text, onHand string) *week.Week {
	return weektest.Stocked(t, text, onHand, week.Period{From: weektest.Monday, Days: 5})
}

// What takes all there is waits while nobody works, nothing is delivered then, and shocks name only services that there are.
func TestDayOnWhichNobodyWorks(t *testing.T) {
	const text = `
open: mon-thu
services: {lunch: 11:30-14:30, dinner: 17:30-22:00, tue dinner: closed}
days: {2026-11-25: {works: no}}
bought: {bones: {price: 1/kg, keeps: 3 days}}
steps:
  boil bones: {takes: [2 kg bones], gives: ["1 kg meat, out at 3 h"], starts: "18:00", batches: {tue-wed: 1}}
  pick meat: {takes: [1 kg meat], gives: [0.8 kg picked meat], batches: all of it}
made: {meat: {keeps: 4 days}, picked meat: {keeps: 2 days}}
dishes: {plate: {price: 9, takes: [100 g picked meat], sells: {daily: 4}}}
`
	w := weektest.SmallWeek(t, text)
	p, err := w.Play(t.Context())
	require.NoError(t, err)
	boil, err := w.FindStep("boil bones")
	require.NoError(t, err)
	pick, err := w.FindStep("pick meat")
	require.NoError(t, err)
	assert.Equal(t, 1.0, p.Outcome.Batches[boil], "none on Wednesday")
	assert.Equal(t, 1.0, p.Outcome.Batches[pick], "on Thursday")
	assert.Equal(t, 8.0, p.Outcome.Served[len(p.Schedule.Slots)-5]+p.Outcome.Served[len(p.Schedule.Slots)-4], "picked on Thursday, it is fresh")
	assert.Equal(t, "Wed 25 Nov: closed, nobody works", w.Differing())
	for _, arrives := range w.Case.Schedule.Arrives[:1] {
		assert.Equal(t, []bool{true, true, false, true, true, true, true}, arrives)
	}

	_, err = w.SlotsNamed("tue dinner")
	require.ErrorContains(t, err, `there is no service on "tue dinner"`)
	slots, err := w.SlotsNamed("dinner")
	require.NoError(t, err)
	require.Len(t, slots, 2, "Monday's and Thursday's")

	differs := weektest.SmallWeek(t, strings.Replace(text, "{works: no}", "{dinner: closed, lunch: 12:00-15:00 at 1.5 of forecast}", 1)+"\nclosed: [2026-11-26]\n")
	assert.Equal(t, "Wed 25 Nov: lunch 12:00-15:00 at 1.5 of forecast, no dinner; Thu 26 Nov: closed", differs.Differing())
	assert.Equal(t, "", weektest.SmallWeek(t, strings.Replace(text, "2026-11-25", "2027-11-25", 1)).Differing())
	var hours []kitchen.Hours
	for _, m := range differs.MealsOn(differs.Date(2)) {
		hours = append(hours, m.Hours)
	}
	assert.Equal(t, []kitchen.Hours{{From: 12 * 60, To: 15 * 60}}, hours)
}

// A pot that is out on a day off is told of, until it is left out; one whose weekday is always off is told of with the file.
func TestPotOutOnADayOff(t *testing.T) {
	const text = `
services: {lunch: 11:30-14:30}
days: {2026-11-25: {works: no}}
bought: {bones: {price: 1/kg}}
steps:
  boil bones: {takes: ["2 kg bones, in at 1 h"], gives: ["1 kg stock, out at 8 h"], starts: "22:00", batches: {mon-tue: 1}}
dishes: {cup: {price: 3, takes: [100 g stock], sells: {lunch: 4}}}
`
	w := weektest.SmallWeek(t, text)
	boil, err := w.FindStep("boil bones")
	require.NoError(t, err)
	for _, c := range []struct {
		day, start, at int
		alone          bool
	}{
		{0, 22 * 60, 0, false},
		{1, 22 * 60, 1*1440 + 30*60, true},
		{1, 23*60 + 30, 2*1440 + 30, true}, // the bones go in after midnight
		{1, 15*60 + 59, 0, false},
		{2, 6 * 60, 2*1440 + 6*60, true},
	} {
		at, alone := w.Unattended(boil, c.day, c.start)
		assert.Equal(t, c.alone, alone, "%v", c)
		assert.Equal(t, c.at, at, "%v", c)
	}
	assert.Equal(t, []string{`Tuesday's boil bones must be seen to at Wed 25 Nov 06:00, when nobody works; plan --keep --batches "boil bones@2026-11-24=0" leaves it out`}, w.DaysOff())
	assert.Empty(t, weektest.SmallWeek(t, strings.Replace(text, "days: {2026-11-25: {works: no}}", "", 1)).DaysOff())
}

// What is left before days that are closed out of turn is valued by the open week behind them, and only if it keeps until then.
func TestWorthLooksBehindAClosedWeek(t *testing.T) {
	const text = `
open: mon-sat
services: {lunch: 11:30-14:30}
closed: [CLOSED]
bought: {ham: {price: 10/kg, keeps: 20 days}, cod: {price: 10/kg, keeps: 4 days}}
dishes: {plate: {price: 9, takes: [100 g ham, 100 g cod], sells: 10}}
`
	var christmas []string
	for d := range 10 { // from the Monday behind the week on
		christmas = append(christmas, weektest.Monday.AddDate(0, 0, 7+d).Format(time.DateOnly))
	}
	closed := weektest.SmallWeek(t, strings.Replace(text, "CLOSED", strings.Join(christmas, ", "), 1))
	open := weektest.SmallWeek(t, strings.Replace(text, "CLOSED", "", 1))
	assert.Equal(t, 7, open.Behind())
	assert.Equal(t, 10+7, closed.Behind(), "six open days, and a Sunday")
	counts := func(w *week.Week, item int) float64 {
		worth, err := w.Worth()
		require.NoError(t, err)
		return worth.Counts(item)
	}
	assert.InDelta(t, 6000, counts(open, 0), 1e-6, "a kilo a day for six days, in grams")
	assert.InDelta(t, 6000, counts(closed, 0), 1e-6, "the ham keeps until the week after")
	assert.InDelta(t, 3000, counts(open, 1), 1e-6, "Sunday's cod is good to Wednesday")
	assert.Zero(t, counts(closed, 1), "the cod does not")
}
