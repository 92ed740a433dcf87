package guide

// What can hurt at a station, as far as the file tells.

import (
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
)

// Dangers are what to mind at a station.
type Dangers struct {
	Allergens []string            `json:"allergens"`          // of all that is handled there, substitutes among it
	May       []string            `json:"may_contain"`        // by a package, or by what is shared with other food: a fryer, a board
	Unstated  []string            `json:"allergens_unstated"` // bought items of which the file states nothing
	Raw       []string            `json:"raw"`                // what is handled there and is raw
	Served    []kitchen.RawServed `json:"served_raw"`         // dishes served raw that take something raw from there
	InOil     []string            `json:"in_oil"`             // garlic, herbs and vegetables that are kept in oil
	Histamine []string            `json:"histamine"`          // raw fish in which histamine forms when it warms
	Hot       bool                `json:"hot"`                // something is cooked or heated there
	Fat       bool                `json:"hot_fat"`            // fat is on the heat there
	Reheats   bool                `json:"reheats"`            // what was cooked before is heated again there
	Boils     bool                `json:"boils"`              // something goes into a pot that is on the heat already
	Heavy     bool                `json:"heavy"`              // in a pot that one person can't carry
	Lime      bool                `json:"lime"`               // slaked lime or quicklime is handled there
	Lye       bool                `json:"lye"`                // lye is handled there
	Night     bool                `json:"night"`              // at an hour at which nobody tends a fire alone
	Cooks     bool                `json:"cooks_raw"`          // something raw is cooked through there
	Cools     bool                `json:"cools"`              // what was cooked there is kept, and so must be cooled or held hot
}

// dangers are what to mind where some steps are done.
func (b *builder) dangers(steps []int) Dangers {
	d := Dangers{Allergens: []string{}, May: []string{}, Unstated: []string{}, Raw: []string{}, Served: []kitchen.RawServed{}, InOil: []string{}, Histamine: []string{}}
	add := func(to *[]string, names ...string) {
		for _, n := range names {
			if !slices.Contains(*to, n) {
				*to = append(*to, n)
			}
		}
	}
	gives := map[int]bool{} // what is raw of it
	for _, s := range steps {
		card, st := b.Steps[s], b.Graph.Steps[s]
		for _, l := range st.Takes {
			for _, c := range l.Choices {
				stated := b.Stated(c.Item)
				add(&d.Allergens, stated.Has...)
				add(&d.May, stated.May...)
				add(&d.Unstated, stated.Unknown...)
				for _, i := range b.RawIn(c.Item) {
					if b.Histamine[i] {
						add(&d.Histamine, b.Graph.Items[i].Name)
					}
				}
				if b.Week.Raw[c.Item] {
					add(&d.Raw, b.Graph.Items[c.Item].Name)
					d.Cooks = d.Cooks || b.Cooks(s)
				}
			}
		}
		hot := b.Hot(s)
		add(&d.May, b.May[s]...)
		d.Hot = d.Hot || hot
		d.Fat = d.Fat || b.HotFat(s)
		d.Lime, d.Lye = d.Lime || b.Lime(s), d.Lye || b.Lye(s)
		d.Reheats = d.Reheats || b.Heat[s] == kitchen.Reheats
		d.Boils = d.Boils || b.OnBurner(s) && slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return l.InAt > 0 })
		d.Heavy = d.Heavy || b.OnBurner(s) && b.Vessels[card.Vessel].Holds >= clock.BigPot
		for minute := card.Starts; b.OnFire(s) && card.Starts != flow.Untimed && minute <= card.Starts+st.Length(); minute += 30 {
			d.Night = d.Night || clock.AtNight(minute)
		}
		for _, o := range st.Gives {
			gives[o.Item] = b.Week.Raw[o.Item]
			if st.Mode != graph.ToOrder || st.AsNeeded() {
				for _, i := range b.InOil[o.Item] {
					add(&d.InOil, b.Graph.Items[i].Name)
				}
			}
			d.Cools = d.Cools || hot && (st.Mode != graph.ToOrder || st.AsNeeded()) && b.Terms.Keeps[o.Item] != 1
		}
	}
	for _, x := range b.ServedRaw() {
		dish := slices.IndexFunc(b.Dishes, func(d kitchen.Dish) bool { return d.Name == x.Dish })
		if slices.ContainsFunc(b.Graph.Steps[len(b.Steps)+dish].Takes, func(l graph.Line) bool {
			return slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return gives[c.Item] })
		}) {
			d.Served = append(d.Served, x)
		}
	}
	d.May = slices.DeleteFunc(d.May, func(a string) bool { return slices.Contains(d.Allergens, a) })
	return d
}
