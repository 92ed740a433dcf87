package clock

// What has come out by now and still cools: its readings are due whatever became of the pot.

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// offBefore is by how many minutes an item is off the heat before it comes out of a step.
func offBefore(w *week.Week, step, item int) int {
	for _, o := range w.Graph.Steps[step].Gives {
		if o.Item == item {
			return o.OutAt - w.Steps[step].CoolsFrom(o.OutAt)
		}
	}
	return 0
}

// atBench is for how long the bench work lasts, as the timetable has it, of a step that gives so much of an item and is made all at once:
// until then what it gives is on the heat.
func atBench(k *kitchen.Kitchen, step, item int, amount float64) (minutes int) {
	for _, o := range k.Graph.Steps[step].Gives {
		if o.Item != item || o.Amount <= 0 {
			continue
		}
		for _, a := range k.Acts(step) {
			if a.When == kitchen.AtBench && a.Wait != kitchen.OnceCold {
				minutes += a.Minutes(amount / o.Amount)
			}
		}
		return minutes
	}
	return 0
}

// cools writes the readings that are due before a minute of food that came out hot and is still on hand.
func (t *table) cools(to int) {
	if t.given == nil { // it is asked what must be ready, not who does what
		return
	}
	held := map[int]bool{}
	for _, l := range t.night.schedule.OnHand {
		held[l.Item] = held[l.Item] || l.Amount > 0
	}
	for n := range t.Happened {
		h := &t.Happened[n]
		st := &t.Graph.Steps[h.Step]
		if heat := t.Heat[h.Step]; heat != kitchen.CooksThrough && heat != kitchen.Reheats || st.Mode == graph.ToOrder && !st.AsNeeded() {
			continue
		}
		if h.What != week.Out && h.What != week.Done && h.What != week.Cooked && h.What != week.Lit {
			continue
		}
		of := map[int][]Part{} // by how long before they came out they were off the heat
		for _, m := range h.Out {
			if m.Amount > 0 && held[m.Item] && !t.Undated[m.Item] {
				off := offBefore(t.Week, h.Step, m.Item)
				if h.Entry == 0 && st.Length() == 0 { // it counts as planned: from then on it is worked on
					off -= atBench(t.Kitchen, h.Step, m.Item, m.Amount)
				}
				of[off] = append(of[off], t.part(h.Step, kitchen.AnyLine, m.Item, m.Amount))
			}
		}
		begun, known := t.lit[ofBatch{h.Step, h.Day}]
		if !known {
			begun = h.At
		}
		like := Row{Do: Read, Act: kitchen.CoolAct, Step: st.Name, Station: cmp.Or(t.PlaceOf(h.Step, kitchen.WhenCooled), kitchen.Bench),
			Begun: begun.Format(minutely), Day: h.Day.Format(time.DateOnly), In: []Part{}, Out: []Part{}, For: []string{}, work: -1}
		for _, off := range slices.Sorted(maps.Keys(of)) {
			like.Of = of[off]
			t.stillDue(like, int(h.At.Sub(t.Week.From).Minutes())-off, to)
		}
	}
}

// stillDue writes the readings, between now and a minute, of what is off the heat since a minute.
func (t *table) stillDue(like Row, since, to int) {
	for _, s := range t.Kitchen.Code.Cooling {
		minute := since + s.Within
		if s.Within == 0 || minute <= t.Now || minute >= to {
			continue
		}
		r := like
		r.Limits = []CoolBy{{From: s.From, To: s.To, Scale: t.Kitchen.Code.Scale, Within: s.Within, Section: t.Kitchen.Code.Cite(s.Section), By: new(readAt(t.moment(minute)))}}
		r.Who, r.minute, r.At = t.whoReads(nil, minute), minute, stamp(t.Week, minute)
		t.Rows = append(t.Rows, r)
	}
}
