package clock

// The rows of acts: when hands do what, and who they are.

import (
	"slices"

	"kettletree/menu/kitchen"
)

// byHand completes the rows of a work with who does what, and adds those of its acts that are no row yet.
func (t *table) byHand(i int, rows []Row) []Row {
	if t.given == nil || rows[0].Unsaid != "" {
		return rows
	}
	w := &t.night.works[i]
	var mine []*deed
	for k := range t.given.deeds {
		if x := &t.given.deeds[k]; x.work == i && x.follows == nil {
			mine = append(mine, x)
		}
	}
	for k := range rows {
		r := &rows[k]
		after, first := r.minute-t.times[i], 0
		delay := t.given.delay(i, after)
		for _, x := range mine {
			switch {
			case r.Do == Make && x.When == kitchen.AtBench, r.Do == Start && x.When == kitchen.AtStart,
				r.Do == PutIn && x.When == kitchen.AtPutIn && x.after == after, r.Do == TakeOut && x.When == kitchen.AtTakeOut && x.after == after:
				if r.Minutes == 0 {
					first = x.at
				}
				r.add(x)
			}
		}
		if r.Minutes == 0 {
			first = r.minute + delay
		}
		switch {
		case r.Do != Make && first != r.minute: // at its time, whoever was to do it had something else in hand, or it was begun later
			r.Card, r.minute, r.At = r.At, first, stamp(t.Week, first)
			if r.Do == TakeOut && delay > 0 {
				r.TooLate = t.tooLate(i, after, first)
			}
		case r.Do == Make && w.fixed:
			if r.Minutes > 0 {
				r.minute = first
			}
			r.At, r.By = stamp(t.Week, r.minute), stamp(t.Week, r.minute+r.Minutes)
		case r.Do == Make:
			r.By = r.At
			if r.Latest {
				r.By = stamp(t.Week, t.given.needed(i))
			}
			r.minute -= r.Minutes
			r.At = stamp(t.Week, r.minute)
		}
		if r.Earliest != nil {
			if at := t.given.allThere(i); at < r.minute {
				r.Earliest = new(stamp(t.Week, at))
			} else {
				r.Earliest = nil
			}
		}
	}
	for n, x := range mine {
		if !x.ownRow() || slices.ContainsFunc(mine[:n], func(o *deed) bool { return x.Hourly && o.Hourly && o.Name == x.Name }) {
			continue
		}
		rows = append(rows, t.acting(i, x, mine, rows[0])...)
	}
	return slices.DeleteFunc(rows, func(r Row) bool { return w.kind == pot && r.minute < t.night.schedule.From })
}

// ownRow tells whether an act is no part of what goes in or comes out.
func (x *deed) ownRow() bool {
	switch x.When {
	case kitchen.AtStart, kitchen.AtPutIn, kitchen.AtTakeOut, kitchen.AtBench:
		return false
	}
	return true
}

// add adds an act to a row.
func (r *Row) add(x *deed) {
	r.Minutes += x.minutes
	r.People = max(r.People, x.People)
	r.Guessed = r.Guessed || x.Guessed
	r.turns = append(r.turns, x.turns...)
	for _, who := range x.who {
		if !slices.Contains(r.Who, who) {
			r.Who = append(r.Who, who)
		}
	}
}

// acting are the rows of an act: when it begins, and of cooling, when the temperature is to be read.
func (t *table) acting(i int, x *deed, mine []*deed, like Row) (rows []Row) {
	w := &t.night.works[i]
	place, vessel := like.Station, like.Vessel
	if x.When != kitchen.AtMinute && x.When != kitchen.Meanwhile && x.When != kitchen.AfterAll { // it is out of the vessel
		place, vessel = t.PlaceOf(w.step, x.When), ""
	}
	r := Row{Do: Work, Act: x.Name, Step: like.Step, Station: place, Vessel: vessel, Begun: like.Begun, Day: like.Day,
		Batches: w.batches, In: []Part{}, Out: []Part{}, For: []string{}, work: i, minute: x.at, At: stamp(t.Week, x.at), Latest: like.Latest, Cold: x.cold}
	r.add(x)
	if x.Hourly {
		r.Hourly, r.Minutes, r.By = true, x.minutes, stamp(t.Week, t.times[i]+t.given.delay(i, w.length)+w.length)
		for _, o := range mine {
			if o.Hourly && o.Name == x.Name {
				o := *o
				o.minutes = 0
				r.add(&o)
			}
		}
	}
	of := users{first: -1}
	for o, g := range w.gives {
		if x.When == kitchen.WhenCooled && slices.Contains(x.out, o) || x.When != kitchen.WhenCooled && x.When != kitchen.Meanwhile &&
			x.When != kitchen.AfterAll && g.out == x.after && g.amount > 0 && t.doneTo(i, x.Act, g.item) {
			r.Of = append(r.Of, t.part(w.step, kitchen.AnyLine, g.item, g.amount*x.share))
			of = of.and(t.night.users(i, g.item))
		}
	}
	if len(r.Of) > 0 {
		r.For, r.More, r.First = t.forWhom(of)
	}
	if x.When != kitchen.WhenCooled {
		return append(rows, r)
	}
	out := t.given.offHeat(x)
	for _, s := range t.Kitchen.Code.Cooling {
		if s.Within == 0 {
			continue
		}
		l := CoolBy{From: s.From, To: s.To, Scale: t.Kitchen.Code.Scale, Within: s.Within, Section: t.Kitchen.Code.Cite(s.Section),
			By: new(readAt(t.moment(out + s.Within)))}
		r.Limits = append(r.Limits, l)
		read := r
		read.Do, read.Minutes, read.People, read.Guessed, read.turns, read.Who = Read, 0, 0, false, nil, t.whoReads(x.who, out+s.Within)
		read.For, read.More, read.First = []string{}, 0, ""
		read.Nobody = t.nobody(out + s.Within)
		read.minute, read.At, read.Limits = out+s.Within, stamp(t.Week, out+s.Within), []CoolBy{l}
		rows = append(rows, read)
	}
	return append([]Row{r}, rows...)
}

// whoReads is who reads a temperature: who set the food to cool, or whoever is there then.
func (t *table) whoReads(set []string, minute int) []string {
	for _, before := range []bool{true, false} {
		for _, p := range t.given.people {
			if p.from <= minute && minute < p.to && slices.Contains(set, p.who) == before {
				return []string{p.who}
			}
		}
	}
	return nil
}

// nobody says who is there before and after a minute at which nobody is; nil where somebody is, or the file does not say.
func (t *table) nobody(minute int) *Nobody {
	if t.given.hands < 0 || t.given.peopleAt(minute) > 0 {
		return nil
	}
	n, leaves := &Nobody{}, -1
	for _, p := range t.given.people { // by when they begin
		if p.to <= minute {
			leaves = max(leaves, p.to)
		} else if n.Opens == "" {
			n.Opens, n.At = p.who, stamp(t.Week, p.from)
		}
	}
	if leaves >= 0 {
		n.Leaves = stamp(t.Week, leaves)
	}
	return n
}

// needed is by when a work without a set time is to be done.
func (d *day) needed(i int) int {
	main := d.main[i]
	by := noEnd
	if due := d.Tasks[main].Due; due < noEnd {
		by = due
	}
	for _, k := range d.night.works[i].to {
		if e := d.night.edges[k]; e.in < noEnd {
			by = min(by, d.times[e.to]-d.length0(e.to)+e.in-e.out)
		}
	}
	if by == noEnd {
		by = d.times[i]
	}
	return max(by, d.times[i])
}

// allThere is when all that a work takes is there, by when the work that gives it is done.
func (d *day) allThere(i int) (minute int) {
	for _, k := range d.night.works[i].from {
		e := d.night.edges[k]
		if e.from < 0 || e.in == noEnd {
			continue
		}
		at := d.times[e.from] + e.out
		if r, ok := d.readyFor(k); ok {
			at = d.plan.Start[r.task] + r.lag
		}
		minute = max(minute, at-e.in)
	}
	return minute
}

// length0 is how long a work lasts at the bench: it is made when it is done, but takes what it takes when it begins.
func (d *day) length0(i int) int {
	if d.main[i] >= 0 && d.night.works[i].length == 0 {
		return d.length[i]
	}
	return 0
}
