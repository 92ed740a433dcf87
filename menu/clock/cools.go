package clock

// What has come out by now and still cools: its readings are due whatever became of the pot.

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

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

// cools writes the readings that are due before a minute of what came off the heat: of what was written down until it is read in time or
// is gone, of what counts as planned while it is on hand.
func (t *table) cools(to int) {
	if t.given == nil { // it is asked what must be ready, not who does what
		return
	}
	judged := JudgeCooling(t.Kitchen.Code, t.Week.Cooling, nil, nil, t.moment(t.Now), tongue.Voice{})
	for n, l := range t.Week.Cooling {
		step, errStep := t.FindStep(l.Step)
		item, errItem := t.FindItem(l.Of)
		if l.Entry == 0 || l.Gone || errStep != nil || errItem != nil {
			continue
		}
		begun, known := t.lit[ofBatch{step, l.Begins}]
		if !known {
			begun = l.Out
		}
		like := t.reading(step, begun, l.Begins)
		like.Of = []Part{t.part(step, kitchen.AnyLine, item, l.Amount)}
		now := ReadNow(t.Kitchen, judged.Items[n].Stages, t.moment(t.Now))
		for k, v := range judged.Items[n].Stages {
			if v.State == LimitOpen || k == now {
				t.stillDue(like, t.Kitchen.Code.Cooling[k], int(v.DueAt.Sub(t.Week.From).Minutes()), to)
			}
		}
	}
	held := map[int]bool{}
	for _, l := range t.night.schedule.OnHand {
		held[l.Item] = held[l.Item] || l.Amount > 0
	}
	for n := range t.Happened {
		h := &t.Happened[n]
		if h.Entry > 0 || !t.ComesHot(h.Step) || h.What != week.Out && h.What != week.Done && h.What != week.Cooked && h.What != week.Lit {
			continue
		}
		of := map[int][]Part{} // by how long before they came out they were off the heat
		for _, m := range h.Out {
			if m.Amount > 0 && held[m.Item] && !t.Undated[m.Item] {
				off := t.OffBefore(h.Step, m.Item)
				if t.Graph.Steps[h.Step].Length() == 0 { // from then on it is worked on
					off -= atBench(t.Kitchen, h.Step, m.Item, m.Amount)
				}
				of[off] = append(of[off], t.part(h.Step, kitchen.AnyLine, m.Item, m.Amount))
			}
		}
		begun, known := t.lit[ofBatch{h.Step, h.Day}]
		if !known {
			begun = h.At
		}
		like := t.reading(h.Step, begun, h.Day)
		for _, off := range slices.Sorted(maps.Keys(of)) {
			like.Of = of[off]
			for _, s := range t.Kitchen.Code.Cooling {
				if minute := int(h.At.Sub(t.Week.From).Minutes()) - off + s.Within; minute > t.Now {
					t.stillDue(like, s, minute, to)
				}
			}
		}
	}
}

// ReadNow is the limit of a lot for which it is to be read now: the last that went past due on the kitchen's day, and of which no reading tells. What went
// past due before that, a reading no longer tells of. Below 0 for none.
func ReadNow(k *kitchen.Kitchen, stages []Verdict, now time.Time) int {
	last, begins := -1, k.DayBegins(k.DayAt(now))
	for n, v := range stages {
		if v.Unread && !v.DueAt.Before(begins) {
			last = n
		}
	}
	return last
}

// reading is the row of a reading of what a batch gave.
func (t *table) reading(step int, begun, day time.Time) Row {
	return Row{Do: Read, Act: kitchen.CoolAct, Step: t.Graph.Steps[step].Name, Station: cmp.Or(t.PlaceOf(step, kitchen.WhenCooled), kitchen.Bench),
		Begun: begun.Format(minutely), Day: day.Format(time.DateOnly), In: []Part{}, Out: []Part{}, For: []string{}, work: -1}
}

// stillDue writes the reading of a limit that is due at a minute, if that is before another. What is overdue is to be read now.
func (t *table) stillDue(like Row, s kitchen.Stage, due, to int) {
	minute := max(due, t.Now)
	if s.Within == 0 || minute >= to {
		return
	}
	r := like
	if r.Overdue = due < t.Now; r.Overdue {
		r.Card = stamp(t.Week, due)
	}
	r.Limits = []CoolBy{{From: s.From, To: s.To, Scale: t.Kitchen.Code.Scale, Within: s.Within, Section: t.Kitchen.Code.Cite(s.Section), By: new(readAt(t.moment(due)))}}
	r.Who, r.minute, r.At, r.Nobody = t.whoReads(nil, minute), minute, stamp(t.Week, minute), t.nobody(minute)
	t.Rows = append(t.Rows, r)
}
