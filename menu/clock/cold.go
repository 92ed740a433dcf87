package clock

// What must be in the cold in time goes before bench work that can be done cold as well.

import (
	"maps"
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

// coldFrom is after how many minutes of a work an act on what came out at a minute may be done, where it waits until that is cold; 0 where
// it does not.
func (d *day) coldFrom(i int, a kitchen.Act, out int) int {
	w := &d.night.works[i]
	if a.Wait == kitchen.WarmFirst || a.Wait == kitchen.WarmOrCold && !d.waits[actOf{w.step, a.Name}] {
		return 0
	}
	for _, c := range d.coolings(i) {
		if slices.ContainsFunc(c.out, func(o int) bool { return w.gives[o].out == out }) {
			return max(out, c.from+d.coldAfter())
		}
	}
	return 0
}

// colds adds the acts of a work without a set time that wait until what they are done to is cold: tasks of their own behind it.
func (d *day) colds(i int) {
	w, main := &d.night.works[i], d.main[i]
	for k := range d.deeds {
		x := &d.deeds[k]
		if x.work != i || x.task >= 0 {
			continue
		}
		lag := d.coldFrom(i, x.Act, x.after)
		if w.length == 0 { // it begins to cool when it is made
			lag += d.length[i]
		}
		x.task = d.task(roster.Task{Minutes: x.minutes, Due: roster.Never, After: []roster.Link{{Task: main, Lag: max(lag, d.Tasks[main].Minutes)}},
			Uses: d.needs(i, x.Act, 0, x.minutes)})
		d.ready[i][x.after] = readiness{x.task, x.minutes}
	}
}

// offHeat is when what an act cools came off the heat.
func (d *day) offHeat(x *deed) int {
	if d.night.works[x.work].length == 0 {
		return d.begins[x.work]
	}
	return d.begins[x.work] + x.after
}

// behindLimit is by how many minutes an act that cools is done after the code's first limit; 0 for all others.
func (d *day) behindLimit(x *deed) int {
	if x.When != kitchen.WhenCooled || d.limit() == noEnd {
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
		if slices.ContainsFunc(x.out, func(out int) bool { return w.gives[out].out == o.after }) && o.at < x.at {
			acts = append(acts, o.Act)
		}
	}
	return acts
}

// coolInTime moves, step by step, acts that may be done cold as well behind the cooling, where that is begun too late after them, if that
// brings more food into the cold in time and makes nothing else later.
func (t *table) coolInTime(d *day) *day {
	tried := map[actOf]bool{}
	for {
		var of actOf
		var moved []waited
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
					moved = append(moved, waited{x.work, a.Name, x.at + x.minutes, d.offHeat(x) + d.limit()})
				}
			}
		}
		if len(moved) == 0 {
			return d
		}
		tried[of] = true
		waits := map[actOf]bool{of: true}
		maps.Copy(waits, d.waits)
		next := t.schedule(waits)
		cooling, rest := d.lateness()
		nextCooling, nextRest := next.lateness()
		if nextCooling < cooling && nextRest <= rest {
			next.kept, next.moved = d.kept, append(d.moved, moved...)
			d = next
			continue
		}
		d.kept[of] = max(0, nextRest-rest)
	}
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
		if by, kept := d.kept[actOf{step, a.Name}]; kept && by > 0 {
			return text + say(": %[1]s can't wait until it is cold, or other work would be %[2]s later", d.word(a.Name), d.voice().Lasts(by))
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

// coolsLate tells of batches without a clock that are set to cool too late by their own card.
func (d *day) coolsLate() {
	for k := range d.deeds {
		x := &d.deeds[k]
		if d.main[x.work] != x.task || d.behindLimit(x) == 0 {
			continue
		}
		d.conflict(TooTight, x.at, x.at+x.minutes, []Entry{d.entry(x.work)},
			d.voice().Say("%[1]s comes %[2]s too late", d.doingAct(x), d.voice().Lasts(d.behindLimit(x)))+d.warm([]int{k}))
		d.Conflicts[len(d.Conflicts)-1].Short = d.behindLimit(x)
	}
}

// waiting notes which acts wait until what they are done to is cold, of the works whose rows are told.
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
			d.Timetable.Notes = append(d.Timetable.Notes, d.voice().Say("%[1]s (%[2]s) waits until it is cold: if it came first, the food would be in the cold only at %[3]s, and the code's limit ends at %[4]s",
				d.word(m.act), d.called(m.work), d.Moment(m.cold), d.Moment(m.limit)))
		}
	}
}
