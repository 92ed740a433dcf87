package clock

// What is to be cooled once it comes out, and by when.

import (
	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// cooling is what of a work begins to cool at a minute of it.
type cooling struct {
	from int   // the minute from which it cools
	set  int   // the minute at which hands can set it to cool
	out  []int // outputs
}

// coolings are what of a work must be cooled, and from when on: from when it is out, or off the heat before that.
func (d *day) coolings(i int) (list []cooling) {
	for _, m := range d.night.works[i].moments(kitchen.AtTakeOut) {
		out, from := d.toCool(i, m), d.Steps[d.night.works[i].step].CoolsFrom(m)
		set := m // cooled once it is out, but what steeps past the code's first limit cools as it steeps
		if m >= from+d.coolWithin() {
			set = from
		}
		switch last := len(list) - 1; {
		case len(out) == 0:
		case last >= 0 && list[last].from == from && list[last].set == set:
			list[last].out = append(list[last].out, out...)
		default:
			list = append(list, cooling{from, set, out})
		}
	}
	return list
}

// toCool are the outputs of a work that are out at a minute and must be cooled: ready food that comes hot out of it, that the date mark
// binds, and that somebody takes later than the code's first limit on cooling allows, or that is left.
func (d *day) toCool(i, out int) (outputs []int) {
	w := &d.night.works[i]
	if heat := d.Heat[w.step]; heat != kitchen.CooksThrough && heat != kitchen.Reheats {
		return nil
	}
	if st := d.Graph.Steps[w.step]; st.Mode == graph.ToOrder && !st.AsNeeded() {
		return nil
	}
	for o, g := range w.gives {
		if g.out != out || g.amount <= 0 || d.Undated[g.item] {
			continue
		}
		soon := 0.0
		for _, k := range w.to {
			e := d.night.edges[k]
			if begins := d.times[e.to] + e.in; e.item == g.item && e.in < noEnd && begins <= d.times[i]+d.Steps[w.step].CoolsFrom(out)+d.coolWithin() {
				soon += e.amount
			}
		}
		if soon < g.amount*(1-1e-6) {
			outputs = append(outputs, o)
		}
	}
	return outputs
}

// coolWithin is how long the code gives for the first limit on cooling; two hours, where it names none.
func (d *day) coolWithin() int {
	for _, s := range d.Kitchen.Code.Cooling {
		if s.Within > 0 {
			return s.Within
		}
	}
	return 120
}

func (d *day) coolBy(out int) int { return out + d.coolWithin() }
