package clock

// What follows when something was taken out and written down: it is pulled, strained, set to cool and the pot washed, one after the other, by
// hands like all other work. No entry of its own says that this is done. Bench work and washing count as done once somebody was there for the
// minutes that they take, or what was written down since shows that they are; what cools is done when a temperature at or below the code's
// first limit was read: a hot one, or the clock alone, ends nothing.

import (
	"cmp"
	"slices"
	"time"

	"kettletree/menu/clock/roster"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// follower is what an act that is still to be done is done to: what was taken out, and since when it is off the heat.
type follower struct {
	day time.Time // on which its batch was to begin
	of  []Part
	off int
}

// outs are what was written down as taken out of a batch.
type outs struct {
	ofBatch
	batches float64
	at      []int // minutes, in order
	of      [][]Part
	off     []int
}

// takenOut are the batches of which something was written down as taken out, and when.
func (t *table) takenOut() (list []outs) {
	for n := range t.Happened {
		h := &t.Happened[n]
		if !isOut(h) {
			continue
		}
		of := ofBatch{h.Step, h.Day}
		k := slices.IndexFunc(list, func(o outs) bool { return o.ofBatch == of })
		if k < 0 {
			k = len(list)
			list = append(list, outs{ofBatch: of, batches: 1})
		}
		o := &list[k]
		o.batches = max(cmp.Or(h.Batches, 1), o.batches)
		at := int(h.At.Sub(t.Week.From).Minutes())
		if last := len(o.at) - 1; last < 0 || o.at[last] != at {
			o.at, o.of, o.off = append(o.at, at), append(o.of, nil), append(o.off, at)
		}
		last := len(o.at) - 1
		for _, m := range h.Out {
			if m.Amount > 0 {
				o.of[last] = append(o.of[last], t.part(h.Step, kitchen.AnyLine, m.Item, m.Amount))
				o.off[last] = min(o.off[last], at-t.OffBefore(h.Step, m.Item))
			}
		}
	}
	return list
}

// wasOut tells whether something was written down as taken out of a batch.
func (t *table) wasOut(w *work) bool {
	return slices.ContainsFunc(t.Happened, func(h week.Happening) bool { return h.Step == w.step && h.Day.Equal(t.Date(w.day)) && isOut(&h) })
}

// isOut tells whether it was written down that something came out.
func isOut(h *week.Happening) bool {
	return h.Entry > 0 && (h.What == week.Out || h.What == week.Done || h.What == week.Cooked) && len(h.Out) > 0
}

// addTakenOut adds a work for each batch of which something was written down as taken out, and of which nothing more is to come.
func (n *night) addTakenOut() {
	for k := range n.Happened {
		h := &n.Happened[k]
		if !isOut(h) || n.potOf(h.Step, h.Day) >= 0 {
			continue
		}
		begun := h.At
		if at := slices.IndexFunc(n.Happened, func(o week.Happening) bool { return o.What == week.Lit && o.Step == h.Step && o.Day.Equal(h.Day) }); at >= 0 {
			begun = n.Happened[at].At
		}
		n.works = append(n.works, work{kind: pot, step: h.Step, slot: -1, day: dayOf(int(h.Day.Sub(n.From).Minutes())), at: int(begun.Sub(n.From).Minutes()),
			fixed: true, over: true, batches: cmp.Or(h.Batches, 1)})
	}
}

// potOf is the work of a batch under way; -1 for none.
func (n *night) potOf(step int, day time.Time) int {
	return slices.IndexFunc(n.works, func(w work) bool { return w.kind == pot && w.step == step && n.Date(w.day).Equal(day) })
}

// followers adds the acts that are still to be done, or being done, on what was taken out.
func (d *day) followers() {
	for _, o := range d.takenOut() {
		i := d.night.potOf(o.step, o.day)
		more := len(d.night.works[i].gives) > 0
		card, busy, before := 0, 0, -1 // when the acts before are done by their minutes alone, and with hands; the task of the last that is still to be done
		for n, at := range o.at {
			card, busy = max(card, at), max(busy, at)
			last := n == len(o.at)-1 && !more
			for _, a := range d.inOrder(i) {
				if !(a.When == kitchen.AfterOut && n == 0 || (a.When == kitchen.AfterEnd || a.When == kitchen.AfterAll) && last ||
					a.When == kitchen.WhenCooled && d.ComesHot(o.step) && !d.takenSoon(&o, n)) {
					continue
				}
				cold := a.Wait == kitchen.OnceCold || a.Wait == kitchen.WarmOrCold && d.waits[actOf{o.step, a.Name}] != atOnce
				from, minutes := busy, a.Minutes(o.batches)
				if cold {
					from = at + d.coldAfter()
				} else {
					card += minutes
				}
				left, over := d.handsFor(from, minutes, a.People)
				shown, unread := d.shownDone(a, &o, n)
				if shown >= 0 {
					left, over = 0, min(over, max(from, shown))
				}
				if !cold {
					busy = over
				}
				if left == 0 && (a.When != kitchen.WhenCooled || !unread) {
					continue
				}
				t := roster.Task{Minutes: left, Release: max(from, d.Now), Due: roster.Never, Soon: true}
				switch {
				case left == 0: // hands were there to set it to cool, but no temperature shows that it did: it stays, and keeps nobody
					left, a.People, t.Release = minutes, 0, d.Now
				case a.When == kitchen.WhenCooled:
					soonest := t.Release + t.Minutes // what is past is late for nothing that could be done now
					if t.Due = max(soonest, min(d.coolBy(o.off[n]), max(card, soonest)+grace)); d.limit() < noEnd {
						t.Limit = o.off[n] + d.limit()
					}
				case a.When == kitchen.AfterAll:
					if t.Due = d.nextIn(d.Steps[o.step].Vessel, d.Now); a.Guessed && t.Due < card {
						t.Due = roster.Never
					}
				}
				if t.Uses = d.needs(i, a, 0, t.Minutes); before >= 0 && !cold && t.Minutes > 0 {
					t.After = []roster.Link{{Task: before, Lag: d.Tasks[before].Minutes}}
				}
				k := d.task(t)
				if !cold && t.Minutes > 0 {
					before = k
				}
				d.deeds = append(d.deeds, deed{Act: a, work: i, task: k, minutes: left, cold: cold, share: 1, follows: &follower{o.day, o.of[n], o.off[n]}})
				if a.When == kitchen.AfterAll {
					d.nextWaits(d.Steps[o.step].Vessel, k)
				}
			}
		}
	}
}

// nextWaits makes what goes into a vessel next wait until a task is done that washes it.
func (d *day) nextWaits(vessel, task int) {
	if vessel < 0 || d.extra.vessels[vessel] > 0 {
		return
	}
	for j := range d.night.works {
		if d.night.works[j].kind == plate || d.Steps[d.night.works[j].step].Vessel != vessel {
			continue
		}
		next, ok := d.putIn[actAt{j, 0}]
		if d.main[j] >= 0 {
			next, ok = d.main[j], true
		}
		if ok {
			d.Tasks[next].After = append(d.Tasks[next].After, roster.Link{Task: task, Lag: d.Tasks[task].Minutes})
		}
	}
}

// handsFor is how many minutes of an act that may begin at a minute are left, when so many people were there for the others by now, and when
// it is over, or would be if they were there from now on.
func (t *table) handsFor(from, minutes, people int) (left, over int) {
	left = minutes
	m := from
	for ; m < t.Now && left > 0; m++ {
		if len(t.Kitchen.Shifts) == 0 || t.thereAt(m) >= people {
			left--
		}
	}
	return left, m + left
}

// thereAt is how many people are there at a minute, be it before the first day.
func (t *table) thereAt(minute int) (people int) {
	day := dayOf(minute)
	if !t.WorksOn(t.Date(day)) {
		return 0
	}
	for on := day - 1; on <= day; on++ {
		for k := range t.Shifts {
			if s := &t.Shifts[k]; s.Days[t.Date(on).Weekday()] && on*1440+s.From <= minute && minute < on*1440+s.To {
				people += s.People
			}
		}
	}
	return people
}

// takenSoon tells whether all that is on hand of what was taken out is taken before the code's first limit on cooling ends: then it is not cooled.
func (d *day) takenSoon(o *outs, n int) bool {
	for _, p := range o.of[n] {
		item, err := d.FindItem(p.Item)
		if err != nil {
			return false
		}
		there, soon := 0.0, 0.0
		for _, l := range d.night.schedule.OnHand {
			if l.Item == item {
				there += l.Amount
			}
		}
		for _, e := range d.night.edges {
			if e.from < 0 && e.item == item && e.in < noEnd && d.times[e.to]+e.in <= d.coolBy(o.off[n]) {
				soon += e.amount
			}
		}
		if soon < there*(1-1e-6) {
			return false
		}
	}
	return len(o.of[n]) > 0
}

// shownDone is the minute at which what was written down shows that an act on what was taken out, the nth time, is done: of each thing that cools
// a temperature at or below the code's first limit, for what is done until then; a batch that was lit in the pot, for its washing. Below 0 where
// nothing does. Unread tells whether there is something to cool of which no such temperature was read.
func (t *table) shownDone(a kitchen.Act, o *outs, n int) (shown int, unread bool) {
	since := func(at time.Time) (minute int, ok bool) {
		minute = int(at.Sub(t.Week.From).Minutes())
		return minute, minute >= o.at[n] && minute <= t.Now
	}
	shown = -1
	switch {
	case a.When == kitchen.AfterAll:
		for i := range t.Happened { // by time
			h := &t.Happened[i]
			if minute, ok := since(h.At); ok && h.Entry > 0 && h.What == week.Lit && t.Steps[h.Step].Vessel >= 0 && t.Steps[h.Step].Vessel == t.Steps[o.step].Vessel &&
				(h.Step != o.step || !h.Day.Equal(o.day)) {
				return minute, false
			}
		}
	case a.Wait != kitchen.OnceCold:
		for _, l := range t.Week.Cooling {
			if l.Step != t.Graph.Steps[o.step].Name || !l.Begins.Equal(o.day) || !slices.ContainsFunc(o.of[n], func(p Part) bool { return p.Item == l.Of }) {
				continue
			}
			if l.Gone || t.limitsEnded(o.off[n]) {
				if a.When == kitchen.WhenCooled {
					shown = max(shown, o.at[n])
				}
				continue
			}
			at := slices.IndexFunc(l.Readings, func(r kitchen.Reading) bool { _, ok := since(r.At); return ok && t.isCooled(r) })
			if at < 0 {
				return -1, true
			}
			minute, _ := since(l.Readings[at].At)
			shown = max(shown, minute)
		}
	}
	return shown, false
}

// isCooled tells whether a temperature is at or below the code's first limit on cooling; any is where it has none.
func (t *table) isCooled(r kitchen.Reading) bool {
	for _, s := range t.Kitchen.Code.Cooling {
		if s.Within > 0 {
			return r.Degrees.In(t.Kitchen.Code.Scale) <= s.To+sameReading
		}
	}
	return true
}

// limitsEnded tells whether all limits on cooling of what came off the heat at a minute have ended: then it is read, and not set to cool.
func (t *table) limitsEnded(off int) bool { return off+(&day{table: t}).coldAfter() < t.Now }

// following writes the rows of acts on what was taken out, before a minute.
func (t *table) following(to int) {
	if t.given == nil {
		return
	}
	for k := range t.given.deeds {
		x := &t.given.deeds[k]
		f := x.follows
		if f == nil || x.at >= to {
			continue
		}
		step := t.night.works[x.work].step
		begun, known := t.lit[ofBatch{step, f.day}]
		if !known {
			begun = t.moment(x.at)
		}
		r := t.reading(step, begun, f.day)
		r.Do, r.Act, r.Station, r.minute, r.At, r.Cold = Work, x.Name, cmp.Or(t.PlaceOf(step, x.When), kitchen.Bench), x.at, stamp(t.Week, x.at), x.cold
		if r.add(x); x.People == 0 {
			r.People, r.Who = 1, t.whoReads(nil, x.at)
		}
		if x.When == kitchen.AfterAll {
			if v := t.Steps[step].Vessel; v >= 0 {
				r.Vessel = t.Vessels[v].Name
				r.Station = r.Vessel
			}
		} else {
			r.Of = f.of
		}
		if x.When == kitchen.WhenCooled {
			for _, s := range t.Kitchen.Code.Cooling {
				if s.Within > 0 {
					r.Limits = append(r.Limits, CoolBy{From: s.From, To: s.To, Scale: t.Kitchen.Code.Scale, Within: s.Within,
						Section: t.Kitchen.Code.Cite(s.Section), By: new(readAt(t.moment(f.off + s.Within)))})
				}
			}
		}
		t.Rows = append(t.Rows, r)
	}
}
