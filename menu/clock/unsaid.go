package clock

// Batches of which the kitchen file says that their hours are not known yet: they are shown without a time, but for that by which what
// they give is needed.

import "kettletree/menu/kitchen"

// unsaid are the rows of a work whose step does not say yet when it starts, or after how long something is out.
func (t *table) unsaid(base Row) (list []Row) {
	w, said := &t.night.works[base.work], t.Steps[t.night.works[base.work].step].Unsaid
	in, out := []Part{}, []Part{}
	for _, x := range w.takes {
		in = append(in, t.part(w.step, x.line, x.item, x.amount))
	}
	for _, x := range w.gives {
		if x.amount > 0 {
			out = append(out, t.part(w.step, kitchen.AnyLine, x.item, x.amount))
		}
	}
	whole := t.night.users(base.work, -1)
	add := func(do string, minute int, latest bool, unsaid string, in, out []Part) {
		r := base
		r.Do, r.minute, r.Latest, r.Unsaid, r.In, r.Out, r.Earliest = do, minute, latest, unsaid, in, out, nil
		r.At = stamp(t.Week, minute)
		r.For, r.More, r.First = t.forWhom(whole)
		r.Heat = t.heat(&r, w.step)
		list = append(list, r)
	}
	needed, taken := t.neededBy(base.work)
	if !said.Start {
		unsaid := "after how long it is out is not said yet"
		add(Start, t.times[base.work], false, unsaid, in, []Part{})
		if taken && len(out) > 0 {
			add(TakeOut, max(needed, t.times[base.work]), true, unsaid, []Part{}, out)
		}
		return list
	}
	unsaid := "when it starts is not said yet"
	if said.Out && w.length == 0 {
		unsaid = "when it starts and how long it takes is not said yet"
	}
	add(Make, needed, true, unsaid, in, out)
	return list
}

// neededBy is by when what a work gives is first taken, or else when the walk counts with it; taken is whether anything is.
func (t *table) neededBy(i int) (minute int, taken bool) {
	w := &t.night.works[i]
	minute = noEnd
	for _, k := range w.to {
		if e := t.night.edges[k]; e.in < noEnd {
			minute = min(minute, t.times[e.to]+e.in)
		}
	}
	if minute == noEnd {
		return t.times[i] + w.length, false
	}
	return minute, true
}
