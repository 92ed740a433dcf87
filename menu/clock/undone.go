package clock

// Work on what is in a pot, such as skimming it, for which there are no hands before that is out: nobody does it to an empty pot.

import (
	"slices"

	"kettletree/menu/kitchen"
)

// undone is an act that is not done at a minute of a work.
type undone struct {
	work          int
	name          string
	after         int
	minutes, from int // from: when it was to begin
	until         int // when the pot is empty
	guessed       bool
}

// behindPot are the acts on what is in a pot that hands come to only when it is out.
func (d *day) behindPot() (list []undone) {
	for k := range d.deeds {
		x := &d.deeds[k]
		w := &d.night.works[x.work]
		if x.When != kitchen.Meanwhile || !w.fixed || w.length == 0 || d.main[x.work] >= 0 {
			continue
		}
		out := w.at + w.length + d.delay(x.work, w.length)
		if o := d.emptied(x.work, w.length); o != nil {
			out = max(out, o.at)
		}
		if d.plan.Placed[x.task] && x.at+x.minutes > out {
			list = append(list, undone{x.work, x.Name, x.after, x.minutes, d.Tasks[x.task].Release, out, x.Guessed})
		}
	}
	return list
}

func (d *day) isUndone(work int, name string, after int) bool {
	return slices.ContainsFunc(d.undone, func(u undone) bool { return u.work == work && u.name == name && u.after == after })
}

// tellUndone tells of the minutes that did not fit, once for each act of a batch.
func (d *day) tellUndone() {
	v := d.voice()
	for k, u := range d.undone {
		same := func(o undone) bool { return o.work == u.work && o.name == u.name }
		if slices.ContainsFunc(d.undone[:k], same) {
			continue
		}
		minutes := 0
		for _, o := range d.undone {
			if same(o) {
				minutes, u.from, u.until = minutes+o.minutes, min(u.from, o.from), max(u.until, o.until)
			}
		}
		act := v.Say("%[1]s (%[2]s)", d.word(u.name), d.calledAt(u.work, u.from))
		text := v.Say("%[1]s: %[2]s more than there is time for", d.Span(u.from, u.until), v.Say("%[1]s needs %[2]s", act, v.Lasts(minutes)))
		if u.guessed {
			text += v.Say(" (the minutes are guessed)")
		}
		d.conflict(NoHands, u.from, u.until, []Entry{d.entry(u.work)}, text)
		c := &d.Conflicts[len(d.Conflicts)-1]
		c.Short, c.works, c.Helps = minutes, []int{u.work}, []string{}
	}
}
