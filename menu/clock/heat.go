package clock

// The limits of the food code on heat, beside the rows on which they bind: cooking through, reheating, holding hot.

import (
	"slices"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// What a limit on heat is on.
const (
	Cook    = "cook"
	Reheat  = "reheat"
	HoldHot = "hold hot"
	InOil   = "in oil" // what comes out lies in oil, and must be kept cold
	Unsaid  = "unsaid" // it takes something raw, and the file does not say whether it cooks it through
	LeftRaw = "raw"    // what comes out is raw
	RawDish = "served raw"
)

// Heat is a limit of the kitchen's food code that binds on a row. Which kind of raw food is in a pot the kitchen file does not say, so
// that a row on which raw food is cooked through has the limits of all. Where the code names no temperature for that, it has one
// without a figure, and so has what is not said.
type Heat struct {
	On      string  `json:"on"`              // "cook", "reheat", "hold hot", "in oil", "unsaid", "raw" or "served raw"
	Food    string  `json:"food,omitempty"`  // of cook: "poultry", "ground" or "whole"; of in oil: what lies in it
	At      float64 `json:"at,omitempty"`    // this hot or hotter; of in oil: this cold or colder; none of unsaid, nor where the code names none
	Above   bool    `json:"above,omitempty"` // hotter than this, not just as hot
	Scale   string  `json:"scale,omitempty"` // "F" or "C"
	Seconds int     `json:"seconds,omitempty"`
	Within  int     `json:"within_minutes,omitempty"`
	By      *string `json:"by,omitempty"` // 2006-01-02T15:04, of reheating that begins at a set time
	Section string  `json:"section,omitempty"`

	Dishes []string `json:"dishes,omitempty"`   // of a service: those that it is about
	Raw    []string `json:"raw,omitempty"`      // the bought items that are raw
	Eggs   []string `json:"raw_eggs,omitempty"` // of those, eggs of which the file does not say that they are pasteurised
}

// foods are the kinds of raw food as JSON has them.
var foods = map[kitchen.Raw]string{kitchen.Poultry: "poultry", kitchen.Ground: "ground", kitchen.Whole: "whole"}

// heat are the limits on a row of a step. What is reheated or cooked before and goes out at once, as it is ordered, may be served at any
// temperature (3-403.10), so none binds there but those on raw food; what comes out and is kept is held hot, or cooled.
func (t *table) heat(r *Row, step int) (list []Heat) {
	c := t.Week.Code
	toOrder := t.Graph.Steps[step].Mode == graph.ToOrder && !t.Graph.Steps[step].AsNeeded()
	begins, gives := r.Do == Start || r.Do == Make, len(r.Out) > 0 && (r.Do == TakeOut || r.Do == Make)
	cooks, again := t.Cooks(step), t.Week.Heat[step] == kitchen.Reheats
	if begins && cooks && t.TakesRaw(step) {
		list = append(list, t.cooked()...)
	}
	if begins && t.AsksRaw(step) {
		list = append(list, Heat{On: Unsaid})
	} else if gives {
		list = append(list, t.leftRaw(r, step)...)
	}
	if begins && again && !toOrder && c.Reheat != nil {
		h := Heat{On: Reheat, At: c.Reheat.At, Scale: c.Scale, Seconds: c.For, Within: c.Again, Section: c.Reheating()}
		if c.Again > 0 && !r.Latest {
			h.By = new(stamp(t.Week, r.minute+c.Again))
		}
		list = append(list, h)
	}
	if gives && (cooks || again) && !toOrder && c.Hot != nil && t.hot(r) && t.hazardous(r, step) {
		list = append(list, Heat{On: HoldHot, At: c.Hot.At, Above: c.Hot.Above, Scale: c.Scale, Section: c.Hot.Section})
	}
	if gives && !toOrder {
		list = append(list, t.inOil(r, step)...)
	}
	return list
}

// leftRaw says what is raw in what comes out on a row.
func (t *table) leftRaw(r *Row, step int) []Heat {
	raw := Heat{On: LeftRaw}
	for _, o := range t.Graph.Steps[step].Gives {
		if !t.Raw[o.Item] || !slices.ContainsFunc(r.Out, func(p Part) bool { return p.Item == t.Graph.Items[o.Item].Name }) {
			continue
		}
		for _, i := range t.RawIn(o.Item) {
			if name := t.Graph.Items[i].Name; !slices.Contains(raw.Raw, name) {
				raw.Raw = append(raw.Raw, name)
			}
		}
		for _, name := range t.RawEggs(o.Item) {
			if !slices.Contains(raw.Eggs, name) {
				raw.Eggs = append(raw.Eggs, name)
			}
		}
	}
	if raw.Raw == nil {
		return nil
	}
	return []Heat{raw}
}

// served are the limits on what is raw in the dishes of a service: which are cooked through as they are ordered, which the file says
// nothing of, and which are served raw or undercooked.
func (t *table) served(dishes []string) (list []Heat) {
	var cooked []string
	var raw, unsaid []Heat
	for d, dish := range t.Kitchen.Dishes {
		if step := len(t.Steps) + d; slices.Contains(dishes, dish.Name) && t.Cooks(step) && t.TakesRaw(step) {
			cooked = append(cooked, dish.Name)
		}
	}
	for _, x := range t.ServedRaw() {
		switch h := (Heat{On: Unsaid, Dishes: []string{x.Dish}, Raw: x.Raw, Eggs: x.Eggs}); {
		case !slices.Contains(dishes, x.Dish):
		case x.Said:
			h.On, h.Section = RawDish, t.Week.Code.Advisory
			raw = append(raw, h)
		default:
			unsaid = append(unsaid, h)
		}
	}
	if cooked != nil {
		list = t.cooked()
		for n := range list {
			list[n].Dishes = cooked
		}
	}
	return slices.Concat(list, raw, unsaid)
}

// inOil are the cautions on what comes out on a row and has garlic or the like in oil.
func (t *table) inOil(r *Row, step int) (list []Heat) {
	cold := t.Week.Code.Chilled()
	var seen []int
	for _, o := range t.Graph.Steps[step].Gives {
		if !slices.ContainsFunc(r.Out, func(p Part) bool { return p.Item == t.Graph.Items[o.Item].Name }) {
			continue
		}
		for _, i := range t.Week.InOil[o.Item] {
			if !slices.Contains(seen, i) {
				seen = append(seen, i)
				list = append(list, Heat{On: InOil, Food: t.Graph.Items[i].Name, At: cold.Value, Scale: cold.Scale, Section: t.Week.Code.Oil})
			}
		}
	}
	return list
}

// hot tells whether what comes out on a row comes from the heat.
func (t *table) hot(r *Row) bool {
	off := t.Steps[t.night.works[r.work].step].OffHeat
	return off == 0 || r.minute-t.times[r.work] <= off
}

// hazardous tells whether something comes out on a row that time and temperature must control, as far as the kitchen file says. What lies in
// oil goes into the cold at once: nothing else is said of it.
func (t *table) hazardous(r *Row, step int) bool {
	return slices.ContainsFunc(t.Graph.Steps[step].Gives, func(o graph.Output) bool {
		return !t.Undated[o.Item] && len(t.Week.InOil[o.Item]) == 0 && slices.ContainsFunc(r.Out, func(p Part) bool { return p.Item == t.Graph.Items[o.Item].Name })
	})
}

// cooked are the limits on cooking raw food.
func (t *table) cooked() (list []Heat) {
	if t.Week.Code.Cook == nil {
		return []Heat{{On: Cook}}
	}
	for _, l := range t.Week.Code.Cook {
		list = append(list, Heat{On: Cook, Food: foods[l.Food], At: l.At, Scale: t.Week.Code.Scale, Seconds: l.Seconds, Section: l.Section})
	}
	return list
}
