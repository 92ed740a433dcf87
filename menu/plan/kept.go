package plan

// A plan that is kept: the days that the kitchen goes by from now on.

import (
	"math"
	"slices"
	"time"

	"kettletree/graph/flow"
)

// Kept is what is kept of plans, by names and dates, so that it lives on when the kitchen file changes: see [Lay]. It never
// changes.
type Kept struct {
	Kitchen string // its name
	Rule    string // who goes short on its days: the name of a rule
	OnHand  string // the list of what was on hand that it was made with; "" for none
	Days    []KeptDay
}

// KeptDay is a day of a plan.
type KeptDay struct {
	Date     time.Time // midnight UTC
	At       time.Time // when it was kept, by the kitchen's clock
	Batches  []KeptBatches
	Specials []KeptPortions // that are offered
	AtMost   []KeptPortions // of dishes, where a portion more would cost others that earn more
	Orders   []KeptOrder

	Further   []KeptFurther   // batches beyond those
	Elsewhere []KeptElsewhere // orders with others than the usual suppliers

	begun bool     // it was under way when it was planned: what was ordered for it before stays ordered
	over  []string // services that were over then: what was planned for them stays
}

// KeptBatches are the batches of a step that begin on a day; none is a decision too, for others wait for them all the same.
type KeptBatches struct {
	Step    string
	Batches float64
}

// KeptPortions are portions of a dish at a service.
type KeptPortions struct {
	Service, Dish string
	Portions      int
}

// KeptOrder is a delivery that is ordered for a day.
type KeptOrder struct {
	Item     string
	Quantity float64 // in Unit
	Unit     string
}

// Kept is the plan as it is kept; nil with batches held. Its days have no moment at which they were kept: [Kept.Keep] sets that.
func (p *Plan) Kept() *Kept { return p.kept }

// grain is what amounts that are kept are whole numbers of, in the item's unit. What is ordered is rounded up.
const grain = 1e-4

// keeps are the days of the plan as they are to come, with every dish held to what the plan sells of it.
func (p *Plan) keeps() *Kept {
	m, s := p.m, p.Case.Schedule
	k := &Kept{Kitchen: m.Name, Rule: m.Rule.String(), OnHand: m.List, Days: make([]KeptDay, m.Days)}
	for d := range k.Days {
		k.Days[d].Date = m.Date(d)
	}
	for _, b := range s.Batches {
		if b.Day < m.Days {
			day := &k.Days[b.Day]
			day.Batches = append(day.Batches, KeptBatches{m.g.Steps[b.Step].Name, b.Size})
		}
	}
	asks := m.Case.Schedule.Asked()
	for slot, sit := range m.Sittings {
		if sit.Service < 0 || s.Slots[slot].Closed {
			continue
		}
		day, service := &k.Days[sit.Day], m.Services[sit.Service].Name
		for d, dish := range m.Kitchen.Dishes {
			asked, sells := asks[slot*len(m.Kitchen.Dishes)+d], s.Wants[d].Forecast[slot]
			portions := KeptPortions{service, dish.Name, int(sells + whole)}
			switch {
			case sells < asked-whole:
				day.AtMost = append(day.AtMost, portions)
			}
		}
	}
	for _, d := range s.Deliveries[len(m.Case.Schedule.Deliveries):] { // those come in any case
		k.order(m, d.Item, d.Day, d.Amount)
	}
	return k
}

// withDone is what is to come with what was done by now: of a day that is under way, all that was planned for it is kept, for what is
// under way or was sold is a part of it.
func (m *model) withDone(k *Kept) *Kept {
	if m.Planned == nil {
		return k
	}
	out := *k
	out.Days = slices.Clone(k.Days)
	day := &out.Days[0]
	day.begun, day.Orders = true, nil
	for slot, sit := range m.Sittings {
		if sit.Day == 0 && sit.Service >= 0 && m.Case.Schedule.Slots[slot].Closed {
			day.over = append(day.over, m.Services[sit.Service].Name)
		}
	}
	still := day.Batches
	day.Batches, day.Specials, day.AtMost = nil, slices.Clone(day.Specials), slices.Clone(day.AtMost)
	for step, st := range m.g.Steps[:len(m.Steps)] {
		planned, was := sizeOn(m.Planned, step)
		left, _ := sizeOn(m.Case.Schedule, step)
		b := KeptBatches{st.Name, max(0, planned-left)}
		at := slices.IndexFunc(still, func(b KeptBatches) bool { return b.Step == st.Name })
		if at >= 0 {
			b.Batches += still[at].Batches
		}
		if at >= 0 || was {
			day.Batches = append(day.Batches, b)
		}
	}
	for _, list := range [][]KeptPortions{day.Specials, day.AtMost} {
		for n := range list {
			for slot, sit := range m.Sittings {
				for d, dish := range m.Kitchen.Dishes {
					if sit.Day == 0 && sit.Service >= 0 && m.Services[sit.Service].Name == list[n].Service && dish.Name == list[n].Dish {
						list[n].Portions += max(0, int(m.Planned.Wants[d].Forecast[slot]-m.Case.Schedule.Wants[d].Forecast[slot]+whole))
					}
				}
			}
		}
	}
	return &out
}

// sizeOn is how many batches of a step a schedule has on its first day, and whether it has any, be it of none.
func sizeOn(s *flow.Schedule, step int) (size float64, has bool) {
	for _, b := range s.Batches {
		if b.Step == step && b.Day == 0 {
			size, has = size+b.Size, true
		}
	}
	return size, has
}

// order adds so much of an item to what is ordered for a day.
func (k *Kept) order(m *model, item, day int, amount float64) {
	q, of := m.Quantity(item, amount), &k.Days[day].Orders
	name, quantity := m.g.Items[item].Name, math.Ceil(q.Amount/grain-1e-3)*grain
	if quantity <= 0 {
		return
	}
	if at := slices.IndexFunc(*of, func(o KeptOrder) bool { return o.Item == name }); at >= 0 {
		(*of)[at].Quantity += quantity
		return
	}
	*of = append(*of, KeptOrder{name, quantity, q.Unit.Name})
}
