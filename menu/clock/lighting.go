package clock

// When a batch with a clock is begun later than its card says, all of it is later: what goes in, is skimmed, comes out and cools; and when
// something is put in later, what comes out after it.

import (
	"maps"
	"slices"

	"kettletree/menu/clock/roster"
	"kettletree/menu/kitchen"
)

// lighting is how hands begin a batch with a clock.
type lighting struct {
	task int // of the last act of its beginning
	lag  int // minutes from when it is begun to that act
}

// actAt is a minute of a work.
type actAt struct{ work, after int }

// begun notes the task that begins a batch with a clock, so many minutes after others of its beginning, and those that put something in.
func (d *day) begun(i, task, after, spent int, when kitchen.When) {
	if when != kitchen.AtStart && when != kitchen.AtPutIn {
		return
	}
	if _, ok := d.putIn[actAt{i, after}]; !ok {
		d.putIn[actAt{i, after}], d.spared[actAt{i, after}] = task, min(spent, grace)
	}
	if when == kitchen.AtPutIn {
		return
	}
	d.lights[i] = lighting{task, spent}
	for _, m := range d.night.works[i].moments(kitchen.AtTakeOut) { // should nobody be needed to take it out
		d.ready[i][m] = readiness{task, m - spent, true}
	}
}

// lit are the links of a task that stands some minutes after a batch is begun.
func (d *day) lit(i, after int) []roster.Link {
	if l, ok := d.lights[i]; ok {
		return []roster.Link{{Task: l.task, Lag: after - l.lag}}
	}
	return nil
}

// cooks makes what is done to a batch with a clock behind a minute at which something goes in wait until that has had its time by the card.
// What is taken out at that minute goes before, and a quarter of an hour for that is no delay (common practice, no source).
func (d *day) cooks(i int) {
	w := &d.night.works[i]
	for _, in := range w.moments(kitchen.AtPutIn) {
		put, ok := d.putIn[actAt{i, in}]
		if !ok || in == 0 {
			continue
		}
		for _, out := range w.moments(kitchen.AtTakeOut) { // nobody is needed to take it out
			if r := d.ready[i][out]; out > in && r.takenOut && d.emptied(i, out) == nil {
				k := d.task(roster.Task{Due: roster.Never, Soon: true, Release: w.at + out, After: []roster.Link{{Task: r.task, Lag: r.lag}}})
				d.deeds = append(d.deeds, deed{Act: kitchen.Act{Name: kitchen.TakeOutAct, When: kitchen.AtTakeOut}, work: i, task: k, after: out})
				d.ready[i][out] = readiness{k, 0, true}
			}
		}
		for k := range d.deeds {
			if x := &d.deeds[k]; x.work == i && x.after > in && x.When != kitchen.Meanwhile {
				d.Tasks[x.task].After = append(d.Tasks[x.task].After, roster.Link{Task: put, Lag: x.after - in - d.spared[actAt{i, in}]})
			}
		}
	}
}

// emptied is the deed that takes out what is out of a work at a minute of it; nil where nobody is needed for that.
func (d *day) emptied(i, out int) *deed {
	at := slices.IndexFunc(d.deeds, func(x deed) bool { return x.work == i && x.When == kitchen.AtTakeOut && x.after == out })
	if at < 0 {
		return nil
	}
	return &d.deeds[at]
}

// emptyFirst makes a batch with a clock wait until the one before is out of its vessel, however late that is, and that is washed; where the
// minutes of the washing are guessed and by the cards there are none, it is lit again at once.
func (d *day) emptyFirst() {
	before := map[int]int{} // by vessel: the work that was in it last
	for j := range d.night.works {
		o := &d.night.works[j]
		if o.kind == plate || o.over || !o.fixed || d.Steps[o.step].Vessel < 0 {
			continue
		}
		v := d.Steps[o.step].Vessel
		i, ok := before[v]
		before[v] = j
		first, begins := d.putIn[actAt{j, 0}]
		if !ok || !begins || d.extra.vessels[v] > 0 || o.at < d.night.works[i].at+d.night.works[i].length {
			continue
		}
		links := d.lit(i, d.night.works[i].length)
		if x := d.emptied(i, d.night.works[i].length); x != nil {
			links = []roster.Link{{Task: x.task, Lag: d.Tasks[x.task].Minutes}}
		}
		for k := range d.deeds {
			if x := &d.deeds[k]; x.work == i && x.When == kitchen.AfterAll && !(x.Guessed && d.Tasks[x.task].Due == roster.Never) {
				links = append(links, roster.Link{Task: x.task, Lag: d.Tasks[x.task].Minutes})
			}
		}
		d.Tasks[first].After = append(d.Tasks[first].After, links...)
	}
}

// stillIn are the works with a set time that are in their vessel longer than the card says, when something without a set time goes in there:
// until when; those that are known of are among them. It is empty where there is nothing new.
func (d *day) stillIn() map[int]int {
	held, more := maps.Clone(d.held), false
	if held == nil {
		held = map[int]int{}
	}
	for i := range d.night.works {
		w := &d.night.works[i]
		if w.kind == plate || w.over || !w.fixed || d.Steps[w.step].Vessel < 0 || d.extra.vessels[d.Steps[w.step].Vessel] > 0 {
			continue
		}
		card := w.at + w.length
		out := card + d.delay(i, w.length)
		if x := d.emptied(i, w.length); x != nil {
			out = max(out, x.at+x.minutes)
		}
		for j, task := range d.main {
			if task < 0 || d.Steps[d.night.works[j].step].Vessel != d.Steps[w.step].Vessel || out <= held[i] {
				continue
			}
			if at := d.plan.Start[task]; at < out && card < at+max(d.length[j], 1) {
				held[i], more = out, true
			}
		}
	}
	if !more {
		return nil
	}
	return held
}

// delay is by how many minutes a batch with a clock is later than its card says at a minute of it, for when it was begun and what was put
// in before.
func (d *day) delay(i, after int) (by int) {
	w := &d.night.works[i]
	if l, ok := d.lights[i]; ok {
		by = max(0, d.plan.Start[l.task]-l.lag-w.at)
	}
	for _, in := range w.moments(kitchen.AtPutIn) {
		if put, ok := d.putIn[actAt{i, in}]; ok && 0 < in && in < after {
			by = max(by, d.plan.Start[put]-w.at-in-d.spared[actAt{i, in}])
		}
	}
	return by
}

// delays are by how many minutes tasks are later than their cards say for nothing but when their batches are begun.
func (d *day) delays() []int {
	by := make([]int, len(d.Tasks))
	for k := range d.deeds {
		if x := &d.deeds[k]; x.When != kitchen.AtStart {
			by[x.task] = d.delay(x.work, x.after)
		}
	}
	return by
}

// outLate says when what a batch gives next is out, by its card, once it is begun late or something is put in late; "" of all other acts.
func (d *day) outLate(x *deed, minute int) string {
	w := &d.night.works[x.work]
	out := noEnd
	for _, g := range w.gives {
		if g.amount > 0 && g.out > x.after {
			out = min(out, g.out)
		}
	}
	if x.When != kitchen.AtStart && x.When != kitchen.AtPutIn || out == noEnd {
		return ""
	}
	delay := d.delay(x.work, out)
	if delay == 0 || delay == d.delay(x.work, x.after) && x.When == kitchen.AtPutIn {
		return ""
	}
	at := w.at + out + delay
	text := d.voice().Say("; by its card %[1]s is then out only at %[2]s", d.calledAt(x.work, minute), d.Moment(at))
	if late := d.tooLate(x.work, out, at); late != "" {
		text += d.voice().Say(", too late for %[1]s", late)
	}
	return text
}

// tooLate is the first service that rests on what a work gives at a minute of it, where that is out only after the service begins.
func (t *table) tooLate(i, after, out int) string {
	of := users{first: -1}
	for _, g := range t.night.works[i].gives {
		if g.out == after && g.amount > 0 {
			of = of.and(t.night.users(i, g.item))
		}
	}
	if of.first >= 0 && out > t.night.schedule.ServedAt(of.first) {
		return t.SittingName(of.first)
	}
	return ""
}
