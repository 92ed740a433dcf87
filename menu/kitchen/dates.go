package kitchen

// Reading the days that differ from the standing week, and on which days anybody works.

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// Regular expressions for dates and what stands behind a service of one, in the syntax shared by Go and JSON Schema.
const (
	datePattern   = `[0-9]{4}-[0-9]{2}-[0-9]{2}`
	factorPattern = measure.NumberPattern + ` +of +forecast`
	onDatePattern = `(?:closed|yes|no|` + timesPattern + `(?: +at +` + factorPattern + `)?|` + factorPattern + `)`
)

// mostFactor bounds how many times a forecast a day can have.
const mostFactor = 100

var factorTail = regexp.MustCompile(` +of +forecast *$`)

// dates reads the days that differ, and "works".
func (r *reader) dates(root *yaml.Node) {
	k := r.k
	works := r.value(root, "works")
	k.Works = scalarOr(r, root, "works", parseDays, EveryDay)
	for i := range 7 {
		if d := (i + 1) % 7; k.Open[d] && !k.Works[d] {
			r.fault(r.span(works), "nobody-works", `add the day, or take it from "open"`,
				"the kitchen is open on %s, when nobody works", Weekdays[d])
			break
		}
	}

	// The days that are closed.
	at := map[time.Time]*Date{}
	where := map[time.Time]*yaml.Node{}
	if closed := r.value(root, "closed"); closed != nil {
		for _, n := range closed.Content {
			if day, ok := r.day(n); ok {
				if at[day] != nil {
					r.fault(r.span(n), "duplicate-key", "remove one of the two", "%s is closed twice", n.Value).
						note(r.span(where[day]).Pos, "first written here")
					continue
				}
				d := k.newDate(day, r.span(n).Pos)
				for _, m := range k.calendar.standing[day.Weekday()] {
					d.differs = append(d.differs, m.Service)
				}
				d.Meals = nil
				at[day], where[day] = d, n
			}
		}
	}

	// The days that differ.
	for key, body := range r.pairs(r.value(root, "days")) {
		day, ok := r.day(key)
		if !ok {
			continue
		}
		d := at[day]
		if d == nil {
			d = k.newDate(day, r.span(key).Pos)
		}
		r.date(d, key, body, where[day])
		at[day], where[day] = d, key
	}
	for _, day := range slices.SortedFunc(maps.Keys(at), time.Time.Compare) {
		k.Dates = append(k.Dates, *at[day])
	}
	for _, d := range k.Dates {
		r.datesMeet(d, where[d.Day])
	}
}

// newDate is a day as the standing week has it.
func (k *Kitchen) newDate(day time.Time, pos Pos) *Date {
	return &Date{Day: day, Meals: slices.Clone(k.calendar.standing[day.Weekday()]), Works: k.Works[day.Weekday()], Pos: pos}
}

// day reads a date.
func (r *reader) day(n *yaml.Node) (day time.Time, ok bool) {
	if r.unfit[n] {
		return day, false
	}
	day, err := time.Parse(DateLayout, n.Value)
	if err != nil {
		r.fault(r.span(n), "bad-date", "write the date as 2026-12-25", "%q is not a date", n.Value)
	}
	return day, err == nil
}

// date reads what one day has of its own: {dinner: 18:00-23:00, lunch: closed, works: no}. closed is where the day is said to
// be closed, nil when it is not.
func (r *reader) date(d *Date, key, body, closed *yaml.Node) {
	k, opens := r.k, false
	for name, v := range r.pairs(body) {
		if name.Value == worksWord {
			continue
		}
		service := slices.IndexFunc(k.Services, func(s Service) bool { return s.Name == name.Value })
		if service < 0 {
			var names []string
			for _, s := range k.Services {
				names = append(names, s.Name)
			}
			r.fault(r.span(name), "unknown-service", r.meant(name.Value, plainly(names...),
				`add it under "services", with closed behind it where no other day has it`), "unknown service %q", name.Value)
			continue
		}
		if closed != nil {
			r.fault(r.span(name), "closed-day", `take the day from "closed", or remove the entry`, "%q is on %s, when the kitchen is closed",
				name.Value, measure.FormatDay(d.Day)).note(r.span(closed).Pos, "closed here")
			continue
		}
		was := slices.IndexFunc(d.Meals, func(m Meal) bool { return m.Service == service })
		if v.Value == closedWord {
			if was < 0 {
				r.warn(r.span(name), "closed-day", "remove the entry", "there is no %s on %s in any case", name.Value,
					measure.FormatDay(d.Day))
				continue
			}
			d.Meals = slices.Delete(d.Meals, was, was+1)
			d.differs = append(d.differs, service)
			continue
		}
		m := Meal{service, Hours{}, 1}
		if was >= 0 {
			m = d.Meals[was]
		}
		if !r.onDate(name.Value, v, &m) {
			continue
		}
		if m.Hours.None() {
			r.fault(r.span(v), "closed-day", "write its hours first, as in 18:00-23:00 at 1.6 of forecast",
				"there is no %s on %s, so there is no forecast of it", name.Value, measure.FormatDay(d.Day))
			continue
		}
		opens = true
		if d.differs = append(d.differs, service); was >= 0 {
			d.Meals[was] = m
		} else {
			d.Meals = append(d.Meals, m)
		}
	}
	sortMeals(d.Meals)
	d.Works = d.Works || opens // whoever serves, works

	// Whether anybody works that day.
	if n := r.value(body, worksWord); n != nil {
		switch d.Works = n.Value == "yes"; {
		case n.Value != "yes" && n.Value != "no":
			r.fault(r.span(n), "unknown-word", "write yes or no", "%q takes yes or no, not %q", worksWord, n.Value)
		case !d.Works && opens:
			r.fault(r.span(n), "nobody-works", "remove the hours, or write yes", "nobody works on %s, but it has a service", measure.FormatDay(d.Day))
		case !d.Works:
			for _, m := range d.Meals {
				d.differs = append(d.differs, m.Service)
			}
			d.Meals = nil
		}
	}
}

// onDate reads what stands behind a service of one day: 18:00-23:00, 1.6 of forecast, or 18:00-23:00 at 1.6 of forecast.
func (r *reader) onDate(name string, v *yaml.Node, m *Meal) bool {
	const hint = "write closed, hours such as 18:00-23:00, 1.6 of forecast, or 18:00-23:00 at 1.6 of forecast"
	times, factor, both := strings.Cut(v.Value, " at ")
	if !both && factorTail.MatchString(v.Value) {
		times, factor = "", v.Value
	}
	if !strings.Contains(times, "-") && factor != v.Value {
		r.fault(r.span(v), "bad-service", hint, "%q is neither hours nor a share of the forecast", v.Value)
		return false
	}
	if times != "" {
		only := *v
		only.Value = times
		h, ok := r.hours(name, &only, hint)
		if !ok {
			return false
		}
		m.Hours = h
	}
	if factor == "" {
		return true
	}
	n, rest, err := measure.Number(strings.TrimLeft(factor, " "))
	if err != nil || !factorTail.MatchString(factor) || factorTail.ReplaceAllString(rest, "") != "" {
		r.fault(r.span(v), "bad-service", hint, "%q is not a share of the forecast", v.Value)
		return false
	}
	if n <= 0 || n > mostFactor {
		r.fault(r.span(v), "bad-service", fmt.Sprintf("write a number above 0, up to %d; a service that is not held is closed", mostFactor),
			"%q is not a share of the forecast", v.Value)
		return false
	}
	m.Factor = n
	return true
}

// datesMeet refuses services of a day that differs which go on at the same time as another, or as one of the day before or
// after.
func (r *reader) datesMeet(d Date, at *yaml.Node) {
	k := r.k
	clash := func(a, b Meal, gap int, when string) {
		if a.To-gap > b.From {
			r.fault(r.span(at), "bad-service", "end one before the other starts", "on %s, service %q ends at %s, after %q%s starts at %s",
				measure.FormatDay(d.Day), k.Services[a.Service].Name, measure.FormatClock(a.To), k.Services[b.Service].Name, when,
				measure.FormatClock(b.From))
		}
	}
	for n := 1; n < len(d.Meals); n++ {
		clash(d.Meals[n-1], d.Meals[n], 0, "")
	}
	if len(d.Meals) == 0 {
		return
	}
	if next := k.MealsOn(d.Day.AddDate(0, 0, 1)); len(next) > 0 {
		clash(d.Meals[len(d.Meals)-1], next[0], 24*60, " of the next day")
	}
	before := d.Day.AddDate(0, 0, -1)
	if k.DateOn(before) != nil { // it was told there
		return
	}
	if meals := k.MealsOn(before); len(meals) > 0 {
		if a, b := meals[len(meals)-1], d.Meals[0]; a.To-24*60 > b.From {
			r.fault(r.span(at), "bad-service", "end one before the other starts",
				"on %s, service %q starts at %s, before %q of the day before ends at %s", measure.FormatDay(d.Day),
				k.Services[b.Service].Name, measure.FormatClock(b.From), k.Services[a.Service].Name, measure.FormatClock(a.To-24*60))
		}
	}
}

// unattended tells of a batch of the standing week that must be seen to after midnight, on a weekday on which nobody works.
func (r *reader) unattended(rec *recipe, st graph.Step, card *StepCard) {
	if rec.dish || st.Mode != graph.OnDays || card.Starts == flow.Untimed {
		return
	}
	minutes := []int{st.Length()}
	for _, line := range st.Takes {
		minutes = append(minutes, line.InAt, line.OutAt)
	}
	for _, out := range st.Gives {
		minutes = append(minutes, out.OutAt)
	}
	slices.Sort(minutes)
	for i := range 7 {
		day := (i + 1) % 7
		for _, m := range minutes {
			at := card.Starts + m
			if then := (day + at/1440) % 7; card.Batches[day] > 0 && !r.k.Works[then] {
				r.warn(r.span(rec.key), "nobody-works", `let it start earlier or on another day, or add the day to "works"`,
					"%q of %s must be seen to at %s on %s, when nobody works", rec.name, Weekdays[day], measure.FormatClock(at%1440),
					Weekdays[then])
				return
			}
		}
	}
}
