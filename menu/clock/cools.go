package clock

// What has come out by now and still cools: its readings are due whatever became of the pot.

import (
	"cmp"
	"time"

	"kettletree/graph"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

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
		of := []Part{}
		for _, m := range h.Out {
			if m.Amount > 0 && held[m.Item] && !t.Undated[m.Item] {
				of = append(of, t.part(h.Step, m.Item, m.Amount))
			}
		}
		if len(of) == 0 {
			continue
		}
		begun, known := t.lit[ofBatch{h.Step, h.Day}]
		if !known {
			begun = h.At
		}
		out := int(h.At.Sub(t.Week.From).Minutes())
		for _, s := range t.Kitchen.Code.Cooling {
			minute := out + s.Within
			if s.Within == 0 || minute <= t.Now || minute >= to {
				continue
			}
			l := CoolBy{From: s.From, To: s.To, Scale: t.Kitchen.Code.Scale, Within: s.Within, Section: t.Kitchen.Code.Cite(s.Section), By: new(readAt(t.moment(minute)))}
			t.Rows = append(t.Rows, Row{Do: Read, Act: kitchen.CoolAct, Step: st.Name, Station: cmp.Or(t.PlaceOf(h.Step, kitchen.WhenCooled), kitchen.Bench),
				Begun: begun.Format(minutely), Day: h.Day.Format(time.DateOnly), In: []Part{}, Out: []Part{}, Of: of, For: []string{},
				Limits: []CoolBy{l}, Who: t.whoReads(nil, minute), work: -1, minute: minute, At: stamp(t.Week, minute)})
		}
	}
}
