package clock

// What follows when something was taken out and written down: it is pulled, strained, set to cool and the pot washed. No entry of its own says
// that this is done: it counts as being done, one after the other, in the minutes that it takes, unless what was written down since shows that
// it is done. The first temperature of what came out is read when it was set to cool, and what is lit in the pot is lit in a clean one.

import (
	"cmp"
	"slices"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// follower is an act that is still to be done on what was taken out.
type follower struct {
	kitchen.Act
	step     int
	day      time.Time // on which its batch was to begin
	from, to int
	of       []Part
	off      int // of an act that cools: since when it is off the heat
	who      []string
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

// followers are the acts that are still to be done, or being done, on what was taken out.
func (t *table) followers() (list []follower) {
	for _, o := range t.takenOut() {
		more := slices.ContainsFunc(t.night.works, func(w work) bool {
			return w.kind == pot && w.step == o.step && t.Date(w.day).Equal(o.day) && len(w.gives) > 0
		})
		busy := 0
		for n, at := range o.at {
			busy = max(busy, at)
			last := n == len(o.at)-1 && !more
			for _, a := range t.Acts(o.step) {
				if !(a.When == kitchen.AfterOut && n == 0 || (a.When == kitchen.AfterEnd || a.When == kitchen.AfterAll) && last ||
					a.When == kitchen.WhenCooled && t.ComesHot(o.step)) {
					continue
				}
				f := follower{Act: a, step: o.step, day: o.day, from: busy, of: o.of[n], off: o.off[n]}
				if a.Wait == kitchen.OnceCold {
					f.from = at + (&day{table: t}).coldAfter()
				}
				f.to = f.from + a.Minutes(o.batches)
				if shown := t.shownDone(a, &o, n); shown >= 0 {
					f.to = min(f.to, max(f.from, shown))
				}
				if a.Wait != kitchen.OnceCold {
					busy = f.to
				}
				if f.to > t.Now && f.to > f.from {
					list = append(list, f)
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b follower) int { return cmp.Compare(a.from, b.from) })
	return list
}

// shownDone is the minute at which what was written down shows that an act on what was taken out, the nth time, is done: a temperature of each
// thing that cools, for what is done until then; a batch that was lit in the pot, for its washing. Below 0 where nothing does.
func (t *table) shownDone(a kitchen.Act, o *outs, n int) (shown int) {
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
				return minute
			}
		}
	case a.Wait != kitchen.OnceCold:
		for _, l := range t.Week.Cooling {
			if l.Step != t.Graph.Steps[o.step].Name || !l.Begins.Equal(o.day) || l.Gone || !slices.ContainsFunc(o.of[n], func(p Part) bool { return p.Item == l.Of }) {
				continue
			}
			at := slices.IndexFunc(l.Readings, func(r kitchen.Reading) bool { _, ok := since(r.At); return ok })
			if at < 0 {
				return -1
			}
			minute, _ := since(l.Readings[at].At)
			shown = max(shown, minute)
		}
	}
	return shown
}

// keepHands takes the hands and the vessels that followers keep from what is there.
func (d *day) keepHands(followers []follower) {
	for _, f := range followers {
		for m := max(f.from, d.Now); m < f.to; m++ {
			if d.hands >= 0 && m < len(d.There[d.hands]) {
				d.There[d.hands][m] = max(0, d.There[d.hands][m]-f.People)
			}
		}
		if v := d.Steps[f.step].Vessel; v >= 0 && f.When == kitchen.AfterAll {
			for m := max(0, d.Now); m < min(f.to, len(d.There[d.vessel[v]])); m++ {
				d.There[d.vessel[v]][m] = d.extra.vessels[v]
			}
		}
	}
}

// following writes the rows of followers before a minute.
func (t *table) following(to int) {
	if t.given == nil {
		return
	}
	for _, f := range t.given.followers {
		minute := max(f.from, t.Now)
		if minute >= to {
			continue
		}
		begun, known := t.lit[ofBatch{f.step, f.day}]
		if !known {
			begun = t.moment(f.from)
		}
		r := t.reading(f.step, begun, f.day)
		r.Do, r.Act, r.Station = Work, f.Name, cmp.Or(t.PlaceOf(f.step, f.When), kitchen.Bench)
		r.Minutes, r.People, r.Guessed, r.Who, r.minute, r.At = f.to-minute, f.People, f.Guessed, f.who, minute, stamp(t.Week, minute)
		r.Cold = f.Wait == kitchen.OnceCold
		if f.When == kitchen.AfterAll {
			if v := t.Steps[f.step].Vessel; v >= 0 {
				r.Vessel = t.Vessels[v].Name
				r.Station = r.Vessel
			}
		} else {
			r.Of = f.of
		}
		if f.When == kitchen.WhenCooled {
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
