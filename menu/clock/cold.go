package clock

// What must be in the cold in time goes before bench work that can be done cold as well.

import (
	"maps"
	"math"
	"slices"

	"kettletree/menu/clock/roster"
	"kettletree/menu/kitchen"
)

// actOf is an act of a step.
type actOf struct {
	step int
	name string
}

// waited is an act that waits until what it is done to is cold, of one batch.
type waited struct {
	work        int
	act         string
	how         wait
	cold, limit int // when it would be in the cold if the act came first, and the end of the code's limit
}

// limit is how long the code gives for the first limit on cooling; noEnd where it names no time.
func (d *day) limit() int {
	for _, s := range d.Kitchen.Code.Cooling {
		if s.Within > 0 {
			return s.Within
		}
	}
	return noEnd
}

// coldAfter is after how long all limits on cooling have ended: then it is cold.
func (d *day) coldAfter() (minutes int) {
	for _, s := range d.Kitchen.Code.Cooling {
		minutes = max(minutes, s.Within)
	}
	return max(minutes, d.coolWithin())
}

// wait is how an act waits until what it is done to is cold.
type wait uint8

const (
	atOnce  wait = iota
	allOfIt      // it waits with all
	theRest      // what is needed before is done first, and the rest waits
)

// portion is an act on some of what came out.
type portion struct {
	kitchen.Act
	minutes int
	share   float64
	cold    int // after how many minutes of the work what it is done to is cold, where it waits for that; else 0
}

// parted are the portions in which an act on what came out at a minute is done: one, or what is needed soon and what waits until it is cold.
func (d *day) parted(i int, a kitchen.Act, out int) []portion {
	w := &d.night.works[i]
	all := portion{a, a.Minutes(w.batches), 1, 0}
	if d.extra.shared == (actOf{w.step, a.Name}) {
		all.minutes, all.People = inHalf(all.minutes), 2*a.People
	}
	how := d.waits[actOf{w.step, a.Name}]
	if a.Wait == kitchen.OnceCold {
		how = allOfIt
	}
	if a.Wait == kitchen.WarmFirst || how == atOnce {
		return []portion{all}
	}
	cold := d.coldFrom(i, out)
	if share := d.neededWarm(i, out); cold > 0 && how == theRest && share > 0 {
		now, rest := all, all
		now.share, now.minutes = share, min(all.minutes, 5*int(math.Ceil(share*float64(all.minutes)/5)))
		rest.share, rest.minutes, rest.cold = 1-share, all.minutes-now.minutes, cold
		if rest.minutes > 0 {
			return []portion{now, rest}
		}
		return []portion{all}
	}
	all.cold = cold
	return []portion{all}
}

// coldFrom is after how many minutes of a work what came out at a minute of it is cold; 0 where none of it is cooled.
func (d *day) coldFrom(i, out int) int {
	w := &d.night.works[i]
	for _, c := range d.coolings(i) {
		if slices.ContainsFunc(c.out, func(o int) bool { return w.gives[o].out == out }) {
			return max(out, c.from+d.coldAfter())
		}
	}
	return 0
}

// neededWarm is the share of what a work gives at a minute that somebody takes before it is cold.
func (d *day) neededWarm(i, out int) (share float64) {
	w := &d.night.works[i]
	for _, g := range w.gives {
		if g.out != out || g.amount <= 0 {
			continue
		}
		soon := 0.0
		for _, k := range w.to {
			if e := d.night.edges[k]; e.item == g.item && d.takesWarm(k) {
				soon += e.amount
			}
		}
		share = max(share, min(1, soon/g.amount))
	}
	return share
}

// takesWarm tells whether something is taken before it is cold.
func (d *day) takesWarm(k int) bool {
	e := d.night.edges[k]
	if e.from < 0 || e.in == noEnd {
		return false
	}
	cold := d.coldFrom(e.from, e.out)
	return cold > 0 && d.times[e.to]+e.in < d.times[e.from]+cold
}

// isReady notes after which task what is out at a minute is ready, all of it or what is needed only when it is cold.
func (d *day) isReady(i, out int, r readiness, p portion) {
	if p.cold == 0 || p.share == 1 { // those that wait come last
		d.ready[i][out] = r
	}
	if p.cold > 0 {
		d.later[i][out] = r
	}
}

// readyFor is after which task what an edge takes is ready.
func (d *day) readyFor(k int) (r readiness, ok bool) {
	e := d.night.edges[k]
	if r, ok = d.later[e.from][e.out]; ok && !d.takesWarm(k) {
		return r, true
	}
	r, ok = d.ready[e.from][e.out]
	return r, ok
}

// colds adds the acts of a work without a set time that wait until what they are done to is cold: tasks of their own behind it.
func (d *day) colds(i int) {
	w, main := &d.night.works[i], d.main[i]
	last := map[int]int{}
	for k := range d.deeds {
		x := &d.deeds[k]
		if x.work != i || x.task >= 0 {
			continue
		}
		lag := x.begin
		if x.begin = 0; w.length == 0 { // it begins to cool when it is made
			lag += d.length[i]
		}
		x.task = d.task(roster.Task{Minutes: x.minutes, Due: roster.Never, After: []roster.Link{{Task: main, Lag: max(lag, d.Tasks[main].Minutes)}},
			Uses: d.needs(i, x.Act, 0, x.minutes)})
		if before, ok := last[x.after]; ok {
			d.Tasks[x.task].After = append(d.Tasks[x.task].After, roster.Link{Task: before, Lag: d.Tasks[before].Minutes})
		}
		last[x.after] = x.task
		d.isReady(i, x.after, readiness{x.task, x.minutes, false}, portion{x.Act, x.minutes, x.share, lag})
	}
}

// offHeat is when what an act cools came off the heat.
func (d *day) offHeat(x *deed) int {
	if x.follows != nil {
		return x.follows.off
	}
	if d.night.works[x.work].length == 0 {
		off := d.begins[x.work]
		for k := range d.deeds {
			if o := &d.deeds[k]; d.main[x.work] < 0 && o.work == x.work && o.When == kitchen.AtBench && !o.cold {
				off = max(off, o.at+o.minutes)
			}
		}
		return off
	}
	return d.begins[x.work] + d.delay(x.work, x.from) + x.from
}

// behindLimit is by how many minutes an act that cools is done after the code's first limit; 0 for all others.
func (d *day) behindLimit(x *deed) int {
	if x.When != kitchen.WhenCooled || x.People == 0 || d.limit() == noEnd {
		return 0
	}
	return max(0, x.at+x.minutes-d.offHeat(x)-d.limit())
}

// lateness is by how much food is set to cool too late, and by how much all else is late.
func (d *day) lateness() (cooling, rest int) {
	for k := range d.deeds {
		cooling += d.behindLimit(&d.deeds[k])
	}
	only := map[int]bool{} // tasks that do nothing but cool
	for k := range d.deeds {
		if x := &d.deeds[k]; x.When == kitchen.WhenCooled && d.main[x.work] != x.task {
			only[x.task] = true
		}
	}
	for task, late := range d.plan.Late {
		if !only[task] {
			rest += late
		}
		if !d.plan.Placed[task] {
			rest += noEnd / len(d.Tasks)
		}
	}
	return cooling, rest
}

// before are the acts that a deed that cools waits for, on what it cools, that may be done at some other time or not.
func (d *day) before(x *deed, wait kitchen.Wait) (acts []kitchen.Act) {
	w := &d.night.works[x.work]
	for k := range d.deeds {
		o := &d.deeds[k]
		if o.work != x.work || o.cold || o.Wait != wait || o.When != kitchen.AfterOut && o.When != kitchen.AfterEnd {
			continue
		}
		if x.follows != nil || o.follows != nil {
			if x.follows != nil && o.follows != nil && x.follows.off == o.follows.off && o.at < x.at {
				acts = append(acts, o.Act)
			}
			continue
		}
		if slices.ContainsFunc(x.out, func(out int) bool { return w.gives[out].out == o.after }) && o.at < x.at {
			acts = append(acts, o.Act)
		}
	}
	return acts
}

// rival is a work that would be later than it is, and by how much.
type rival struct{ work, by int }

// rivalOf is the work that is later in another schedule by most.
func (d *day) rivalOf(o *day) (r rival) {
	late := func(d *day) []int {
		by := make([]int, len(d.night.works))
		for k := range d.deeds {
			if x := &d.deeds[k]; x.When != kitchen.WhenCooled {
				by[x.work] = max(by[x.work], d.plan.Late[x.task])
			}
		}
		return by
	}
	before := late(d)
	for i, by := range late(o) {
		if by -= before[i]; by > r.by {
			r = rival{i, by}
		}
	}
	return r
}

// coolInTime moves, step by step, acts that may be done cold as well behind the cooling, where that is begun too late after them, if that
// brings more food into the cold in time and makes nothing else later: with all of it, else with what nobody needs before it is cold.
func (t *table) coolInTime(d *day) *day {
	tried := map[actOf]bool{}
	for {
		of, moved := d.mayWait(tried)
		if len(moved) == 0 {
			return d
		}
		tried[of] = true
		cooling, rest := d.lateness()
		for _, how := range []wait{allOfIt, theRest} {
			waits := map[actOf]wait{of: how}
			maps.Copy(waits, d.waits)
			next := t.schedule(waits)
			nextCooling, nextRest := next.lateness()
			if nextCooling < cooling && nextRest <= rest {
				for k := range moved {
					moved[k].how = how
				}
				next.kept, next.moved = d.kept, append(d.moved, moved...)
				d = next
				break
			}
			if how == allOfIt {
				d.kept[of] = d.rivalOf(next)
			}
		}
	}
}

// mayWait is the first act, of those that were not tried, that may be done cold as well and keeps food from being in the cold in time, with
// the batches of which it does.
func (d *day) mayWait(tried map[actOf]bool) (of actOf, moved []waited) {
	for k := range d.deeds {
		x := &d.deeds[k]
		if d.behindLimit(x) == 0 {
			continue
		}
		for _, a := range d.before(x, kitchen.WarmOrCold) {
			is := actOf{d.night.works[x.work].step, a.Name}
			if len(moved) == 0 && !tried[is] {
				of = is
			}
			if is == of {
				moved = append(moved, waited{x.work, a.Name, atOnce, x.at + x.minutes, d.offHeat(x) + d.limit()})
			}
		}
	}
	return of, moved
}

// warm says of what is set to cool only when a limit of the code on cooling has passed why that is so; "" where there is none.
func (d *day) warm(late []int) string {
	var first *deed
	for _, k := range late {
		if x := &d.deeds[k]; d.behindLimit(x) > 0 && (first == nil || x.at < first.at) {
			first = x
		}
	}
	if first == nil {
		return ""
	}
	say := d.voice().Say
	text := say("; the code's limit on cooling ends at %[1]s, but here it is in the cold only at %[2]s", d.Moment(d.offHeat(first)+d.limit()), d.Moment(first.at+first.minutes))
	step := d.night.works[first.work].step
	for _, a := range d.before(first, kitchen.WarmOrCold) {
		if r, kept := d.kept[actOf{step, a.Name}]; kept && r.by > 0 {
			return text + say(": %[1]s can't wait until it is cold, or %[2]s would be %[3]s late", d.word(a.Name), d.whoWaits(r.work, first.work), d.voice().Lasts(r.by))
		}
	}
	var names []string
	for _, a := range d.before(first, kitchen.WarmFirst) {
		names = append(names, d.word(a.Name))
	}
	if len(names) > 0 {
		return text + say(": cool it before anything else; what can be done cold (%[1]s) waits for that where the step's \"work\" says \"warm or cold\"", d.list(names))
	}
	return text + say(": cool it before anything else")
}

// whoWaits names a work that would be late; of the batch itself, who needs it first.
func (d *day) whoWaits(late, batch int) string {
	if late != batch {
		return d.called(late)
	}
	first, at := batch, noEnd
	for _, k := range d.night.works[batch].to {
		if e := d.night.edges[k]; e.in < noEnd && d.times[e.to]+e.in < at {
			first, at = e.to, d.times[e.to]+e.in
		}
	}
	if first == batch {
		return d.called(batch)
	}
	return d.needer(first)
}

// coolsLate tells of batches without a clock that are set to cool too late by their own card.
func (d *day) coolsLate() {
	for k := range d.deeds {
		x := &d.deeds[k]
		if d.main[x.work] != x.task || d.behindLimit(x) == 0 {
			continue
		}
		d.conflict(TooTight, x.at, x.at+x.minutes, []Entry{d.entry(x.work)},
			d.voice().Say("%[1]s comes %[2]s too late", d.doingAct(x, d.called(x.work)), d.voice().Lasts(d.behindLimit(x)))+d.warm([]int{k}))
		c := &d.Conflicts[len(d.Conflicts)-1]
		c.Short, c.works = d.behindLimit(x), []int{x.work}
	}
}

// waiting notes which acts wait until what they are done to is cold, of the works whose rows are shown.
func (d *day) waiting() {
	told := map[actOf]bool{}
	shown := map[int]bool{}
	for i := range d.Rows {
		if r := &d.Rows[i]; r.Cold {
			shown[r.work] = true
		}
	}
	for _, m := range d.moved {
		of := actOf{d.night.works[m.work].step, m.act}
		if shown[m.work] && !told[of] {
			told[of] = true
			says := "%[1]s (%[2]s): only what is needed before comes first, and the rest waits until it is cold: if all came first, the food would be in the cold only at %[3]s, and the code's limit ends at %[4]s"
			if m.how == allOfIt {
				says = "%[1]s (%[2]s) waits until it is cold: if it came first, the food would be in the cold only at %[3]s, and the code's limit ends at %[4]s"
			}
			d.Timetable.Notes = append(d.Timetable.Notes, d.voice().Say(says,
				d.word(m.act), d.called(m.work), d.Moment(m.cold), d.Moment(m.limit)))
		}
	}
}
