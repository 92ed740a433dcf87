package plan

// Tonight: one service from what is on hand, with what is scarce going where it earns most.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Tonight is what to sell at one service. Quantities are in the unit that the item is written in; money is unrounded.
type Tonight struct {
	Date    string `json:"date"` // 2006-01-02
	Service string `json:"service"`

	Contribution float64  `json:"contribution"`       // as in a plan, beyond that of serving nothing
	Fair         float64  `json:"fair"`               // what it would come to if every dish went short alike
	Scarce       bool     `json:"-"`                  // some dish would go short then
	Bound        *float64 `json:"bound"`              // no way to serve has a greater contribution; null when none is known
	Sell         []Sale   `json:"sell"`               // dishes, then specials that are on the board already, as in the file
	Apart        *Apart   `json:"specials,omitempty"` // that could be offered from what that leaves, and are counted in no other figure; left out when none brings anything
	Used         []Drawn  `json:"used"`               // made items that the service draws on
	Store        []Drawn  `json:"store"`              // bought items that no book is kept of, or that still come: as much as is needed
	Binds        []Bind   `json:"binds"`

	Breaks     []string        `json:"breaks"`     // bounds on strong lines that what is made to order breaks, in words
	Departures []ask.Departure `json:"departures"` // where dishes are not as their cards have them
	Money      string          `json:"money,omitempty"`
}

// Sale is a dish at the service.
type Sale struct {
	Dish     string  `json:"dish"`
	Special  bool    `json:"special"`
	Forecast int     `json:"forecast"`
	Portions int     `json:"portions"`
	Price    float64 `json:"price"`
	Unpriced bool    `json:"unpriced,omitempty"` // nobody has said what it sells for: the price stands in
	Because  string  `json:"because"`            // why fewer than forecast; "" for as many
}

// Drawn is an item that a service draws on.
type Drawn struct {
	Item   string  `json:"item"`
	Unit   string  `json:"unit"`
	Used   float64 `json:"used"`
	Left   float64 `json:"left"`
	Binned float64 `json:"binned"`  // at midnight
	Until  string  `json:"use_by"`  // 2006-01-02, last day of the oldest that is left; "" when nothing is left or it does not spoil
	UsedUp bool    `json:"used_up"` // nothing is left when the service ends
}

// ForTonight finds what to sell at a service of the week's first day, "" for the last one of the day, from what is there when
// it begins: what is on hand now, what pots and batches of the day give until then and what is still due to come, less what
// services before it sell.
func ForTonight(ctx context.Context, w *week.Week, service string) (*Tonight, error) {
	slot, err := slotOf(w, service)
	if err != nil {
		return nil, err
	}

	// The one service, from what is there when it begins: until then all goes as planned. What comes of the day's work after
	// that serves nobody any more.
	asked := w.Case.Schedule
	stands, err := ask.WhatIf(ctx, w, nil)
	if err != nil {
		return nil, err
	}
	begins := w.Case.Schedule.ServedAt(slot)
	w = w.By(week.Fair)
	with := map[[2]int]bool{} // by step and day: batches that begin with the service, and what they give at once is there for it
	for r, ran := range w.Player().Play(w.Case, nil).Ran {
		if b := &w.Case.Schedule.Batches[r]; ran.Start == begins {
			with[[2]int{b.Step, b.Day}] = true
		}
	}
	if begins > w.Now { // else it begins just now, or is under way
		w = w.At(begins)
	}
	s := *w.Case.Schedule
	s.Slots = slices.Clone(s.Slots)
	for k := range s.Slots {
		s.Slots[k].Closed = s.Slots[k].Closed || k != slot
	}
	s.Batches = slices.Clone(s.Batches)
	for r := range s.Batches { // what they take from yesterday is kept back, and all they take is there for the service
		if b := &s.Batches[r]; with[[2]int{b.Step, b.Day}] {
			continue
		} else if b.Day < w.Days && b.Start != flow.Untimed {
			b.Day, b.Start = w.Days, 0
		} else if b.Day < w.Days {
			b.Size = 0
		}
	}
	w = w.With(flow.Case{Flow: w.Case.Flow, Schedule: &s})
	gone := make([]bool, len(w.Graph.Items)) // bought, and no more comes before the service
	for i, it := range w.Graph.Items {
		gone[i] = it.Role == graph.Bought && (s.NotBefore != nil && (s.NotBefore[i] > begins || s.NotBefore[i] >= 24*60) || s.Arrives[i] != nil && !s.Arrives[i][0])
	}
	p, err := Make(ctx, w, Options{Held: true, Offer: true})
	if err != nil {
		return nil, err
	}

	// What it comes to beyond serving nobody, and when all dishes go short alike.
	m := p.m
	fair := w.Player().Play(w.Case, nil)
	scarce := false
	at := slot * len(s.Wants)
	for d := range s.Wants {
		scarce = scarce || fair.Served[at+d] < math.Floor(m.asks[at+d])
	}
	closed := s
	closed.Slots = slices.Clone(s.Slots)
	closed.Slots[slot].Closed = true
	shut := flow.Case{Flow: w.Case.Flow, Schedule: &closed}
	nothing := m.worth.Books(shut, w.Player().Play(shut, nil)).Contribution
	t := &Tonight{Date: w.Date(0).Format(time.DateOnly), Service: w.Services[w.Sittings[slot].Service].Name,
		Contribution: p.Contribution - nothing, Fair: m.worth.Books(w.Case, fair).Contribution - nothing, Scarce: scarce,
		Sell: []Sale{}, Used: []Drawn{}, Store: []Drawn{}, Binds: append([]Bind{}, p.Binds...), Breaks: []string{}, Money: w.Money}
	if t.Apart = p.Apart; t.Apart != nil {
		t.Apart.Contribution -= nothing
	}
	if !math.IsInf(p.Bound, 1) {
		t.Bound = new(p.Bound - nothing)
	}

	later := false // a service of the day behind this one: what this one leaves is for that, and binned only after it
	for k, sit := range w.Sittings {
		later = later || sit.Day == 0 && sit.Service >= 0 && asked.Slots[k].Start > begins && !asked.Slots[k].Closed
	}

	// What the service draws on.
	days := w.DayOnes()
	for i, it := range m.g.Items {
		d := Drawn{Item: it.Name, Unit: it.Unit.Name, Left: m.per(i, p.Outcome.Left[i]), Binned: m.per(i, p.Outcome.Binned[i])}
		d.Used = m.per(i, p.Outcome.Opening[i]+p.Outcome.Made[i]+p.Outcome.Delivered(i)) - d.Left - d.Binned
		if later {
			d.Left, d.Binned = d.Left+d.Binned, 0
		}
		store := it.Role == graph.Bought && (!gone[i] || w.Stored != nil && w.Stored[i])
		d.UsedUp = !store && d.Used > Crumb && d.Left+d.Binned <= Crumb*d.Used
		switch {
		case it.Role == graph.Sold || d.Used <= Crumb && d.Binned <= Crumb:
		case store:
			if !m.Free(i) {
				t.Store = append(t.Store, d)
			}
		case m.kinds[i] != onOrder:
			if until := m.useBy(days, i, (d.Used+d.Binned)*it.Unit.Factor); d.Left > Crumb && until >= 0 {
				d.Until = w.Date(until).Format(time.DateOnly)
			}
			t.Used = append(t.Used, d)
		}
	}
	if t.Departures, err = p.departsTonight(ctx, w); err != nil {
		return nil, err
	}
	t.Breaks = append(t.Breaks, ask.SharesOf(w, p.Case).Sentences()...)

	// What to sell, and why fewer than asked for.
	for d, dish := range w.Kitchen.Dishes {
		sale := Sale{Dish: dish.Name, Special: dish.Special, Price: dish.Price, Unpriced: dish.Unpriced, Forecast: int(m.asks[at+d]),
			Portions: int(p.Outcome.Served[slot*len(w.Kitchen.Dishes)+d] + 0.5)}
		if sale.Forecast == 0 {
			continue
		}
		if sale.Portions < sale.Forecast {
			sale.Because = cmp.Or(ranOut(stands, dish.Name, t), m.lack(d, gone, p.Outcome))
		}
		t.Sell = append(t.Sell, sale)
	}
	return t, nil
}

// ranOut says what a dish runs out of at a service as it stands, as whoever asks about the day hears it; "" where it does not.
func ranOut(stands *ask.Consequences, dish string, t *Tonight) string {
	for _, d := range stands.Dishes {
		if d.Name == dish && d.Date == t.Date && d.Service == t.Service && d.After < d.Forecast {
			links := d.Because
			if last := len(links) - 1; last > 0 && strings.HasPrefix(links[last], "nothing planned brings more ") { // in this one day
				links = links[:last]
			}
			return strings.Join(links, ", because ")
		}
	}
	return ""
}

// departsTonight lists where the service departs from the cards; each is refused by finding again what to sell.
func (p *Plan) departsTonight(ctx context.Context, w *week.Week) ([]ask.Departure, error) {
	played := &week.Played{Case: p.Case, Schedule: p.Case.Schedule, Record: &flow.Record{Movements: true}}
	played.Outcome = w.Player().Play(p.Case, played.Record)
	list := append([]ask.Departure{}, ask.Departures(w, played, nil, nil)...)
	err := ask.Refuse(w, w.Case, p.Books, list, func(kept *week.Week, c flow.Case) (week.Books, error) {
		again, err := Make(ctx, kept.With(c), Options{Held: true, Offer: true})
		if err != nil {
			return week.Books{}, err
		}
		return again.Books, nil
	})
	return list, err
}

// slotOf is the slot of a service of the first day.
func slotOf(w *week.Week, service string) (int, error) {
	slot, over := -1, ""
	var names []string
	for k, sit := range w.Sittings {
		if sit.Day > 0 || sit.Service < 0 {
			continue
		}
		name := w.Services[sit.Service].Name
		names = append(names, name)
		switch {
		case service != name && service != "":
		case w.Case.Schedule.Slots[k].Closed:
			over = name
		default:
			slot = k
		}
	}
	switch {
	case slot < 0 && over != "":
		return 0, fmt.Errorf("%s of %s is over: name another service with --at, or another day with --from", over, w.DayName(0))
	case len(names) == 0:
		return 0, fmt.Errorf("the kitchen is closed on %s: name another day with --from", w.DayName(0))
	case slot < 0:
		return 0, fmt.Errorf("there is no service %q on %s: there is %s", service, w.DayName(0), strings.Join(names, ", "))
	}
	return slot, nil
}

// useBy is the last day on which the oldest may be used of what is left of an item on hand, when so much of it is gone: the
// oldest goes first. It is -1 when neither the kitchen file nor the code's date mark says.
func (m *model) useBy(days *kitchen.DayOnes, item int, gone float64) int {
	var lots []flow.Lot
	for _, l := range m.OnHand {
		if l.Item == item {
			lots = append(lots, l)
		}
	}
	slices.SortStableFunc(lots, func(a, b flow.Lot) int { return a.Made - b.Made })
	for _, l := range lots {
		if gone -= l.Amount; gone < -Crumb*l.Amount {
			if last, ok := days.Last(item, l.Made, l.Since); ok {
				return last
			}
			break
		}
	}
	return -1
}

// lack says why a dish sells less than it could: what one more portion needs is not left, or was never there.
func (m *model) lack(dish int, short []bool, o *flow.Outcome) string {
	var walk func(step int, runs float64) string
	of := func(c graph.Choice, runs float64) string {
		need := runs * c.Amount
		switch p := m.maker[c.Item]; {
		case o.Left[c.Item]+o.Binned[c.Item] >= need*(1-Crumb):
			return ""
		case p >= 0:
			return walk(p, need/m.madeBy(p, c.Item))
		case m.g.Items[c.Item].Role == graph.Bought && !short[c.Item]:
			return ""
		case o.Opening[c.Item] == 0:
			return "no " + m.g.Items[c.Item].Name + " on hand"
		}
		return "out of " + m.g.Items[c.Item].Name
	}
	walk = func(step int, runs float64) string {
		for _, l := range m.g.Steps[step].Takes {
			lacks := []string{}
			for _, c := range l.Choices {
				lacks = append(lacks, of(c, runs))
			}
			if !l.Optional && !slices.Contains(lacks, "") {
				return lacks[0]
			}
		}
		return ""
	}
	if text := walk(len(m.Steps)+dish, 1); text != "" {
		return text
	}
	return "what it takes earns more in another dish"
}

// madeBy is what one batch of a step gives of an item, in its base unit.
func (m *model) madeBy(step, item int) (amount float64) {
	for n, o := range m.g.Steps[step].Gives {
		if o.Item == item {
			amount += m.Case.Flow.Gives(step, n)
		}
	}
	return amount
}
