package week

// What a vessel refuses, and what clashes in one, in words.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Clash is what cannot be in one vessel: works that meet, or one that is too full.
type Clash struct {
	Vessel   int
	From, To int
	Works    []Stay
	Overfull bool
	Needed   int // minutes for which works without a set time need it; 0 where two with one meet
	Free     int // minutes for which it is free for them
	Text     string
}

// Clashes lists what cannot be: works that meet, then vessels that are too full.
func (c *Calendar) Clashes() (list []Clash) {
	for _, l := range c.Limits(c.stays) {
		works, sum := c.of(l)
		if sum <= l.Most {
			continue
		}
		x := Clash{Vessel: l.Vessel, From: l.From, To: l.To, Works: works}
		name := c.Vessels[l.Vessel].Name
		var called []string
		for _, st := range works {
			called = append(called, c.Called(st))
		}
		if l.To-l.From > 1 {
			verb := "need"
			if len(works) == 1 {
				verb = "needs"
			}
			x.Needed, x.Free = sum, l.Most
			x.Text = fmt.Sprintf("%s %s the %s for %s before %s, but it is free for %s", measure.FormatList(called), verb, name,
				measure.FormatDuration(sum), c.Moment(l.To), measure.FormatDuration(l.Most))
		} else {
			x.To = works[0].To
			for _, st := range works {
				x.To = min(x.To, st.To)
			}
			x.Text = fmt.Sprintf("%s are both in the %s, %s", measure.FormatList(called), name, c.Span(x.From, x.To))
			if len(works) > 2 {
				x.Text = strings.Replace(x.Text, " both ", " all ", 1)
			}
		}
		list = append(list, x)
	}
	for _, st := range c.stays {
		v := c.Vessels[c.Steps[st.Step].Vessel]
		if st.Loose || !overfull(st, v) {
			continue
		}
		at := ""
		if st.Batches > 1+kitchen.Slack {
			at = fmt.Sprintf(", %s batches at once,", measure.FormatNumber(st.Batches))
		}
		list = append(list, Clash{Vessel: c.Steps[st.Step].Vessel, From: st.From + st.PeakAt, To: st.To, Works: []Stay{st}, Overfull: true,
			Text: fmt.Sprintf("%s%s comes to %s at %s, but the %s holds %s: %s too much", c.Called(st), at, c.litres(st.Peak),
				c.Moment(st.From+st.PeakAt), v.Name, c.litres(v.Holds), c.litres(st.Peak-v.Holds))})
	}
	return list
}

// of are the works that take part in a limit, in the order in which they begin, and what they come to.
func (c *Calendar) of(l Limit) (works []Stay, sum int) {
	for k, at := range l.Works {
		if n := c.Fillings(c.stays[at]); n > 0 {
			works, sum = append(works, c.stays[at]), sum+n*l.Each[k]
		}
	}
	slices.SortStableFunc(works, func(a, b Stay) int { return a.From - b.From })
	return works, sum
}

func overfull(st Stay, v kitchen.Vessel) bool {
	return v.Holds > 0 && st.Peak > v.Holds*(1+kitchen.Slack)
}

// Refuses says why so many batches more of a step, begun at a minute of a day or [flow.Untimed], find no room in its
// vessel; "" when they do.
func (c *Calendar) Refuses(step, day, start int, batches float64) string {
	st := c.Stay(step, day, start, batches)
	others, no := c.blocked(st)
	if !no {
		return ""
	}
	v := c.Vessels[c.Steps[step].Vessel]
	text := fmt.Sprintf("the %s takes one work at a time", v.Name)
	if fits := c.Fits(step); !math.IsInf(fits, 1) {
		one, _ := kitchen.Fullest(c.Loads(step))
		text = fmt.Sprintf("the %s holds %s: one batch of %s at a time", v.Name, c.litres(v.Holds), c.litres(one))
		if fits > 1 {
			text = fmt.Sprintf("the %s holds %s: %s batches of %s at a time", v.Name, c.litres(v.Holds), measure.FormatNumber(fits), c.litres(one))
		}
	}
	switch length := c.Graph.Steps[step].Length(); {
	case !st.Loose:
	case length == 0:
		text += fmt.Sprintf("; the file does not say how long that takes, so %s a day", measure.FormatNumber(c.Most(step, day)))
	default:
		text += fmt.Sprintf("; each filling takes %s, and all must be out by %s", measure.FormatDuration(length), c.Moment(st.To))
	}
	var used []string
	for _, o := range others {
		if o.Loose {
			used = append(used, fmt.Sprintf("%s for %s", measure.FormatDuration(c.Fillings(o)*c.Graph.Steps[o.Step].Length()),
				c.Called(o)))
		} else {
			used = append(used, c.Span(o.From, o.To))
		}
	}
	if len(used) > 0 {
		text += "; it is in use " + measure.FormatList(used)
	}
	return text
}

// blocked tells whether a work finds no room, and the works that are in its way.
func (c *Calendar) blocked(st Stay) (others []Stay, no bool) {
	if !c.holds(st.Step) || st.Batches <= kitchen.Slack {
		return nil, false
	}
	vessel := c.Steps[st.Step].Vessel
	near := &Calendar{Week: c.Week}
	from, to := st.From/1440*1440, (st.To/1440+1)*1440
	for _, o := range c.stays {
		if c.Steps[o.Step].Vessel == vessel && o.From < to && from < o.To {
			near.stays = append(near.stays, o)
		}
	}
	near = near.With(st)
	if all := near.stays[slices.IndexFunc(near.stays, st.joins)]; !st.Loose && overfull(all, c.Vessels[vessel]) {
		if all.Batches > st.Batches {
			others = append(others, all)
		}
		return others, true
	}
	if c.Steps[st.Step].Starts == flow.Untimed && c.Graph.Steps[st.Step].Length() == 0 {
		day := 0.0
		for _, o := range near.stays {
			if o.Step == st.Step && o.Day == st.Day {
				day += o.Batches
			}
		}
		if day > c.Most(st.Step, st.Day)*(1+kitchen.Slack) {
			return nil, true
		}
	}
	for _, l := range c.Limits(near.stays) {
		works, sum := near.of(l)
		if sum > l.Most && slices.ContainsFunc(works, st.joins) {
			return slices.DeleteFunc(works, st.joins), true
		}
	}
	return nil, false
}

// Latest is the latest start of so many batches of a step, at a minute or before it and not before another, at which they
// find room and which may be.
func (c *Calendar) Latest(step, at, from int, batches float64, may func(minute int) bool) (minute int, ok bool) {
	for at >= from && at >= 0 {
		if !may(at) {
			at--
			continue
		}
		others, no := c.blocked(c.Stay(step, at/1440, at%1440, batches))
		if !no {
			return at, true
		}
		if len(others) == 0 && overfull(c.Stay(step, 0, 0, batches), c.Vessels[c.Steps[step].Vessel]) {
			return 0, false
		}
		next := at/1440*1440 - 1 // what is refused at every minute of the day
		for _, o := range others {
			switch {
			case o.Loose:
			case o.Step == step && o.From < at: // beside it
				next = max(next, o.From)
			default:
				next = max(next, min(o.From-c.Graph.Steps[step].Length(), at-1))
			}
		}
		at = next
	}
	return 0, false
}

// FreeSince is the minute from which on the vessel of a step is free until another; from where it was free then.
func (c *Calendar) FreeSince(step, until, from int) int {
	for _, o := range c.stays {
		if !o.Loose && c.Steps[o.Step].Vessel == c.Steps[step].Vessel && o.To <= until {
			from = max(from, o.To)
		}
	}
	return from
}

// IsClash tells whether a fault is one of [Week.Faults].
func IsClash(d kitchen.Diagnostic) bool {
	return d.ID == "one-vessel" || d.ID == "overfull" && d.Severity == kitchen.Warning
}

// Faults are the clashes of the week as it stands, each told once however often it comes back.
func (w *Week) Faults() (list kitchen.Diagnostics) {
	times := map[string]int{} // place in list, by what clashes
	more := map[int]int{}
	for _, x := range w.Calendar(w.Case.Schedule, nil, nil).Clashes() {
		key := fmt.Sprint(x.Vessel, x.Overfull)
		for _, st := range x.Works {
			key += fmt.Sprint(" ", st.Step)
		}
		if at, ok := times[key]; ok {
			more[at]++
			continue
		}
		times[key] = len(list)
		v := w.Vessels[x.Vessel]
		d := kitchen.Diagnostic{Pos: w.StepPos[x.Works[0].Step].Pos, Severity: kitchen.Warning, ID: "one-vessel", Msg: x.Text,
			Hint: `let one begin at another time, or name another vessel`}
		if x.Overfull {
			d.ID, d.Hint = "overfull", "make fewer batches, or name another vessel"
		}
		for _, st := range x.Works[1:] {
			d.Notes = append(d.Notes, kitchen.Note{Pos: w.StepPos[st.Step].Pos, Msg: fmt.Sprintf("%q stands here", w.Graph.Steps[st.Step].Name)})
		}
		d.Notes = append(d.Notes, kitchen.Note{Pos: v.Pos, Msg: fmt.Sprintf("%q stands here", v.Name)})
		list = append(list, d)
	}
	for at, n := range more {
		list[at].Msg += fmt.Sprintf(", and so on %d more times", n)
		if n == 1 {
			list[at].Msg = strings.TrimSuffix(list[at].Msg, "so on 1 more times") + "once more"
		}
	}
	return list
}

// Called is a work as it is said: "Tuesday's night kettle".
func (c *Calendar) Called(st Stay) string { return c.OfDay(st.Day, c.Graph.Steps[st.Step].Name) }

// litres is what a vessel holds, as the kitchen measures it.
func (c *Calendar) litres(millilitres float64) string { return c.InPot(millilitres).OnScale().String() }
