package clock

// When a batch with a clock is begun later than its card says, all of it is later: what goes in, is skimmed, comes out and cools.

import (
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
		d.putIn[actAt{i, after}] = task
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

// delay is by how many minutes a batch with a clock is begun later than its card says.
func (d *day) delay(i int) int {
	if l, ok := d.lights[i]; ok {
		return max(0, d.plan.Start[l.task]-l.lag-d.night.works[i].at)
	}
	return 0
}

// delays are by how many minutes tasks are later than their cards say for nothing but when their batches are begun.
func (d *day) delays() []int {
	by := make([]int, len(d.Tasks))
	for k := range d.deeds {
		if x := &d.deeds[k]; x.When != kitchen.AtStart {
			by[x.task] = d.delay(x.work)
		}
	}
	return by
}

// outLate says when what a batch gives is out, by its card, once it is begun late; "" of all other acts.
func (d *day) outLate(x *deed, minute int) string {
	w, delay := &d.night.works[x.work], d.delay(x.work)
	if x.When != kitchen.AtStart || delay == 0 || w.firstOut() == 0 {
		return ""
	}
	out := w.at + w.firstOut() + delay
	text := d.voice().Say("; by its card %[1]s is then out only at %[2]s", d.calledAt(x.work, minute), d.Moment(out))
	if late := d.tooLate(x.work, w.firstOut(), out); late != "" {
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
