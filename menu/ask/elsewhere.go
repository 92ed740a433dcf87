package ask

// What falls short and can be had elsewhere, as the kitchen file says.

import (
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Elsewhere is a supplier of whom an item that falls short can be had before all that lacks it is over.
type Elsewhere struct {
	Item   string  `json:"item"`
	From   string  `json:"from"`
	Words  string  `json:"words"` // "corner shop, within 30 min, 11/kg"
	Price  float64 `json:"price"` // for one unit
	Unit   string  `json:"unit"`
	Within int     `json:"within_minutes,omitempty"` // left out for what comes as a delivery
	Comes  string  `json:"comes"`                    // 2006-01-02 15:04, when it can be there at the earliest
}

// elsewhere finds who sells what lies behind the dishes that fall short in an outcome, and what batches go without, when it is
// asked for at a minute.
func elsewhere(w *week.Week, p *week.Played, asked int) (list []Elsewhere) {
	if !slices.ContainsFunc(w.Sources, func(list []kitchen.Source) bool { return len(list) > 0 }) {
		return nil
	}
	until := map[int]int{} // by item: the last minute at which it is lacking
	lacking := func(item, at int) {
		if at >= asked {
			until[item] = max(until[item], at)
		}
	}
	for _, st := range p.Record.Stops {
		for _, c := range p.Case.Because(p.Outcome, st) {
			if c.Item >= 0 {
				lacking(c.Item, p.Schedule.ServedAt(st.Slot))
			}
		}
	}
	for _, l := range p.Outcome.Lacks {
		lacking(w.Graph.Steps[l.Step].Takes[l.Line].Choices[0].Item, l.At)
	}
	for i, it := range w.Graph.Items {
		last, lacks := until[i]
		for _, s := range w.Sources[i] {
			if at, ok := w.Earliest(s, asked); ok && lacks && at <= last {
				list = append(list, Elsewhere{Item: it.Name, From: s.From, Words: w.SourceText(i, s), Price: s.Price * it.Unit.Factor,
					Unit: it.Unit.Name, Within: s.Within, Comes: w.Stamp(at)})
			}
		}
	}
	return list
}

// replaced says who sells a bought item before it is needed, when none of what was ordered comes; "" for nobody. A delivery is
// missed when its day begins.
func replaced(w *week.Week, base *week.Played, item int) string {
	first, needed := math.MaxInt, math.MaxInt // the day on which it is missed, and the minute at which it is first taken after that
	for _, d := range base.Outcome.Deliveries {
		if d.Item == item && d.Amount > 0 {
			first = min(first, d.Day)
		}
	}
	for _, e := range base.Record.Entries {
		if e.What == flow.Took && e.Item == item && e.At >= first*1440 {
			needed = min(needed, e.At)
		}
	}
	missed := max(first*1440, w.Now)
	at := slices.IndexFunc(w.Sources[item], func(s kitchen.Source) bool {
		comes, ok := w.Earliest(s, missed)
		if !ok || comes > needed {
			return false
		}
		for _, d := range base.Outcome.Deliveries {
			if d.Item == item && d.Amount > 0 && !w.ComesOn(d.Day, s) {
				return false
			}
		}
		return true
	})
	if at < 0 {
		return anyDay(w, item)
	}
	return w.SourceText(item, w.Sources[item][at])
}

// anyDay says that a bought item can be had on any day, from whoever sells it: the file names neither days nor a supplier for it,
// and does so for others. Nobody runs out of salt for a week.
func anyDay(w *week.Week, item int) string {
	named := func(i int) bool { return w.Bought[i].From != "" || w.Bought[i].Arrives != kitchen.EveryDay }
	for i := range w.Bought {
		if !named(item) && named(i) {
			return "any day, from anyone"
		}
	}
	return ""
}

// matters tells whether work can fail because a bought item is missing: water from the tap does not run out, and what is to taste
// wherever it is taken stops nothing.
func matters(w *week.Week, item int) bool {
	return !w.Free(item) && slices.ContainsFunc(w.Graph.Steps, func(st graph.Step) bool {
		return slices.ContainsFunc(st.Takes, func(l graph.Line) bool {
			return l.Without < 1 && slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return c.Item == item })
		})
	})
}
