package plan

// A plan that is kept, laid over a week.

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/week"
)

// Lay lays a kept plan over a week, on the days that both have: its batches in the place of the standing ones, the specials that
// it offers, the portions that it holds dishes to, and its orders, as far as they are still to come. What it does not speak of
// stays, and so does the rest of the plan where something no longer fits the kitchen file. The notes say by which plan the week
// goes, and on which days, then what does not fit.
func Lay(k *Kept, w *week.Week) (laid *week.Week, notes []string) {
	l := &laying{Week: w, misfits: map[string][]int{}}
	s := *w.Case.Schedule
	s.Batches, s.Deliveries, s.Wants = slices.Clone(s.Batches), slices.Clone(s.Deliveries), slices.Clone(s.Wants)
	for d := range s.Wants {
		s.Wants[d].Forecast = slices.Clone(s.Wants[d].Forecast)
	}
	l.s = &s
	var days []KeptDay
	for n := range k.Days {
		of := &k.Days[n]
		day := int(of.Date.Sub(w.From).Hours()) / 24
		switch {
		case day < 0:
		case day < w.Days:
			l.batches(of, day)
			l.portions(of, day)
			l.orders(of, day)
			l.further(of, day)
			l.elsewhere(of, day)
			days = append(days, *of)
		case day < w.Days+7: // they only tell what to keep back
			l.batches(of, day)
		}
	}
	slices.SortStableFunc(s.Batches, func(a, b flow.Batch) int { return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Step, b.Step)) })
	if len(days) == 0 {
		return w, nil
	}
	return w.With(flow.Case{Flow: w.Case.Flow, Schedule: &s}), append(told(days), l.notes()...)
}

// told says by which plans days go: "by the plan kept Tue 24 Nov 22:10 for Wed 25 Nov to Sun 29 Nov".
func told(days []KeptDay) (notes []string) {
	for len(days) > 0 {
		end := 1
		for end < len(days) && days[end].At.Equal(days[0].At) && follow(days[end-1:end+1]) {
			end++
		}
		notes = append(notes, fmt.Sprintf("by the plan kept %s for %s", measure.FormatMoment(days[0].At), span(days[:end])))
		days = days[end:]
	}
	return notes
}

// follow tells whether one of two days follows the other.
func follow(days []KeptDay) bool { return days[0].Date.AddDate(0, 0, 1).Equal(days[1].Date) }

// span is some days that follow one another as they are said.
func span(days []KeptDay) string {
	first, last := measure.FormatDay(days[0].Date), measure.FormatDay(days[len(days)-1].Date)
	if first == last {
		return first
	}
	return first + " to " + last
}

// Span is on which days there is something kept, as it is said: "Wed 25 Nov to Sun 29 Nov".
func (k *Kept) Span() string {
	var spans []string
	for from := 0; from < len(k.Days); {
		end := from + 1
		for end < len(k.Days) && follow(k.Days[end-1:end+1]) {
			end++
		}
		spans = append(spans, span(k.Days[from:end]))
		from = end
	}
	return measure.FormatList(spans)
}

// laying is a schedule over which a plan is being laid.
type laying struct {
	*week.Week
	s       *flow.Schedule
	misfits map[string][]int // by what does not fit: the days, of the period
	order   []string         // of misfits
}

// misfit notes what no longer fits on a day.
func (l *laying) misfit(day int, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if _, known := l.misfits[text]; !known {
		l.order = append(l.order, text)
	}
	l.misfits[text] = append(l.misfits[text], day)
}

func (l *laying) notes() (notes []string) {
	for _, text := range l.order {
		var days []string
		for _, d := range l.misfits[text] {
			days = append(days, l.DayName(d))
		}
		notes = append(notes, fmt.Sprintf("the plan for %s: %s", measure.FormatList(slices.Compact(days)), text))
	}
	return notes
}

// batches puts the plan's batches of a day in the place of the standing ones.
func (l *laying) batches(of *KeptDay, day int) {
	for _, b := range of.Batches {
		step := slices.IndexFunc(l.Graph.Steps[:len(l.Steps)], func(st graph.Step) bool { return st.Name == b.Step })
		switch {
		case step < 0 && b.Batches > 0:
			l.misfit(day, "there is no step %q any more, so its batches are left out", b.Step)
			continue
		case step < 0:
			continue
		case l.Graph.Steps[step].Mode != graph.OnDays:
			if b.Batches > 0 {
				l.misfit(day, "%q is not made on set days any more, so its batches are left out", b.Step)
			}
			continue
		}
		if day >= l.Days && !slices.ContainsFunc(l.s.Batches, func(o flow.Batch) bool { return o.Step == step && o.Day >= l.Days }) {
			continue // no seed is kept back for it
		}
		size := b.Batches
		if size > 0 && !l.WorksOn(l.Date(day)) {
			size = 0
			l.misfit(day, "nobody works then, so its batches are left out")
		}
		if most := l.Most(step, day); size > most {
			size = most
			v := l.Vessels[l.Steps[step].Vessel]
			l.misfit(day, "the %s has room for %s of %q, so it is %s, not %s", v.Name, batches(most), b.Step, measure.FormatNumber(size),
				measure.FormatNumber(b.Batches))
		}
		l.s.Batches = slices.DeleteFunc(l.s.Batches, func(o flow.Batch) bool { return o.Step == step && o.Day == day })
		l.s.Batches = append(l.s.Batches, flow.Batch{Step: step, Day: day, Start: l.Steps[step].Starts, Size: size})
	}
}

func batches(n float64) string {
	if n == 1 {
		return "1 batch"
	}
	return measure.FormatNumber(n) + " batches"
}

// portions offers the plan's specials, and holds dishes to what it sells of them.
func (l *laying) portions(of *KeptDay, day int) {
	place := func(p KeptPortions) (dish, slot int, ok bool) {
		dish, slot = -1, -1
		for d := range l.Kitchen.Dishes {
			if l.Kitchen.Dishes[d].Name == p.Dish {
				dish = d
			}
		}
		for k, sit := range l.Sittings {
			if sit.Day == day && sit.Service >= 0 && l.Services[sit.Service].Name == p.Service {
				slot = k
			}
		}
		return dish, slot, dish >= 0 && slot >= 0
	}
	for _, p := range of.Specials {
		d, slot, ok := place(p)
		switch {
		case d < 0 || !l.Kitchen.Dishes[d].Special:
			l.misfit(day, "there is no special %q any more", p.Dish)
		case !ok || l.s.Slots[slot].Closed:
			l.misfit(day, "there is no %s, so %s is not offered", p.Service, p.Dish)
		default:
			n := p.Portions
			if most := l.Kitchen.Dishes[d].AtMost; most > 0 && n > most {
				l.misfit(day, "at most %d %s can be offered, not %d", most, p.Dish, n)
				n = most
			}
			l.s.Wants[d].Forecast[slot] = float64(n)
		}
	}
	for _, p := range of.AtMost { // a dish or service that is gone sells nothing in any case
		if d, slot, ok := place(p); ok { // of those who are still to be served, not of whom a special takes
			asked := &l.s.Wants[d].Forecast[slot]
			*asked = min(*asked, float64(p.Portions)+l.s.Taken(d, slot))
		}
	}
}

// orders lets come what is ordered.
func (l *laying) orders(of *KeptDay, day int) {
	for _, o := range of.Orders {
		q := measure.Quantity{Amount: o.Quantity}
		var err error
		if q.Unit, err = measure.UnitNamed(o.Unit); err != nil {
			l.misfit(day, "%q is no unit, so no %s comes", o.Unit, o.Item)
			continue
		}
		item := slices.IndexFunc(l.Graph.Items[:len(l.Bought)], func(it graph.Item) bool { return it.Name == o.Item })
		if item < 0 {
			l.misfit(day, "%q is not bought any more, so the order for %s is left out", o.Item, q)
			continue
		}
		it := l.Graph.Items[item]
		amount, ok := it.Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind)
		switch arrives := l.s.Arrives[item]; {
		case !ok || math.IsNaN(amount) || math.IsInf(amount, 0):
			l.misfit(day, "%s of %s can't be told in %s, so the order is left out", q, o.Item, it.Unit.Name)
		case arrives != nil && !arrives[day]:
			l.misfit(day, "no %s arrives on a %s any more, so the order for %s is left out", o.Item, l.Date(day).Weekday(), q)
		default:
			amount = l.wholePacks(item, amount, q.Unit)
			l.s.Deliveries = append(l.s.Deliveries, flow.Delivery{Item: item, Day: day, Amount: amount, Ordered: amount})
		}
	}
}

// Over is what is kept when a plan is kept at a moment: its own days, and what was kept before for other days. What lies more than
// some weeks back is let go, for nobody asks how it was planned.
func (k *Kept) Over(before *Kept, at time.Time) *Kept {
	out := *k
	out.Days = slices.Clone(k.Days)
	for n := range out.Days {
		out.Days[n].At = at
	}
	for n := range out.Days {
		out.Days[n].goOn(before)
	}
	if before != nil {
		oldest := at.AddDate(0, 0, -remembered)
		for _, d := range before.Days {
			if !d.Date.Before(oldest) && !slices.ContainsFunc(k.Days, func(o KeptDay) bool { return o.Date.Equal(d.Date) }) {
				out.Days = append(out.Days, d)
			}
		}
	}
	slices.SortStableFunc(out.Days, func(a, b KeptDay) int { return a.Date.Compare(b.Date) })
	return &out
}

// goOn takes over what was planned before of a day that was under way when it was planned again.
func (d *KeptDay) goOn(before *Kept) {
	if !d.begun || before == nil {
		return
	}
	at := slices.IndexFunc(before.Days, func(o KeptDay) bool { return o.Date.Equal(d.Date) })
	if at < 0 {
		return
	}
	was := before.Days[at]
	of := func(list []KeptPortions) []KeptPortions {
		return slices.DeleteFunc(slices.Clone(list), func(p KeptPortions) bool { return !slices.Contains(d.over, p.Service) })
	}
	d.Orders, d.Specials, d.AtMost = was.Orders, slices.Concat(of(was.Specials), d.Specials), slices.Concat(of(was.AtMost), d.AtMost)
}

// Covers tells whether some of so many days from one on are among those that are kept.
func (k *Kept) Covers(from time.Time, days int) bool {
	return slices.ContainsFunc(k.Days, func(d KeptDay) bool { return !d.Date.Before(from) && d.Date.Before(from.AddDate(0, 0, days)) })
}

// Has tells whether what is kept has the days of another plan as they are, and when the first of them was kept.
func (k *Kept) Has(other *Kept) (at time.Time, has bool) {
	for n, d := range other.Days {
		i := slices.IndexFunc(k.Days, func(o KeptDay) bool { return o.Date.Equal(d.Date) })
		if i < 0 {
			return at, false
		}
		if n == 0 {
			at = k.Days[i].At
		}
		if d.At = k.Days[i].At; !alike(d, k.Days[i]) {
			return at, false
		}
	}
	return at, len(other.Days) > 0
}

// alike tells whether two days are the same in a file.
func alike(a, b KeptDay) bool {
	one, err := (&Kept{Days: []KeptDay{a}}).Text()
	other, err2 := (&Kept{Days: []KeptDay{b}}).Text()
	return err == nil && err2 == nil && bytes.Equal(one, other)
}

// Came is what is kept when what was ordered for a day has come, or can be bought as it is needed.
func (k *Kept) Came(date time.Time) *Kept {
	out := *k
	out.Days = slices.Clone(k.Days)
	for n := range out.Days {
		if out.Days[n].Date.Equal(date) {
			out.Days[n].Orders = nil
		}
	}
	return &out
}

// Until is what is kept of what was planned for before a moment, by when a step of a name starts: [flow.Untimed] is in the morning.
func (k *Kept) Until(moment time.Time, starts func(step string) int) *Kept {
	out := *k
	out.Days = nil
	today := moment.Truncate(24 * time.Hour)
	for _, d := range k.Days {
		if d.Date.After(today) || d.Date.Equal(moment) {
			continue
		}
		if d.Date.Equal(today) {
			d.Batches = slices.DeleteFunc(slices.Clone(d.Batches), func(b KeptBatches) bool {
				return !today.Add(time.Duration(starts(b.Step)) * time.Minute).Before(moment)
			})
			d.Further = slices.DeleteFunc(slices.Clone(d.Further), func(f KeptFurther) bool {
				return !today.Add(time.Duration(f.Starts) * time.Minute).Before(moment)
			})
			d.Specials, d.AtMost, d.Orders, d.Elsewhere = nil, nil, nil, nil
		}
		if len(d.Batches)+len(d.Further) > 0 {
			out.Days = append(out.Days, d)
		}
	}
	return &out
}

// remembered is for how many days what was planned is kept.
const remembered = 35
