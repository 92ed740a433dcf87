package logbook

// What is on hand, for counting: item by item, with its lots.

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// OnHand is what is on hand at a moment by the log book, place by place; what nobody wrote down counts as planned. Quantities
// are in the unit that the item is written in.
type OnHand struct {
	Kitchen string      `json:"kitchen"`
	AsOf    string      `json:"as_of"`  // 2006-01-02T15:04
	Logged  bool        `json:"logged"` // there is a log book
	Items   []ItemHeld  `json:"items"`  // by place, then as in the kitchen file
	Pots    []PotOn     `json:"pots"`   // batches under way
	Value   float64     `json:"value"`  // of all, at the lower of cost and worth, as far as the days ahead use it
	Money   string      `json:"money,omitempty"`
	Notes   []string    `json:"notes"`
	Past    []PastDates `json:"past"` // what no longer keeps, and is not among the items
}

// ItemHeld is how much there is of an item.
type ItemHeld struct {
	Place   string    `json:"place"` // where the kitchen file says that it is kept; "" when it does not
	Item    string    `json:"item"`
	Amount  float64   `json:"amount"`
	Unit    string    `json:"unit"`
	Bought  bool      `json:"bought"`
	NoBook  bool      `json:"no_book"` // bought, and never received or counted: nobody keeps book of it
	Missed  bool      `json:"missed"`  // nobody keeps book of it, and what was to come today did not, or comes later: it counts as none until then
	Unknown bool      `json:"unknown"` // made, and never counted, made or taken by the log book: it counts as none
	Value   float64   `json:"value"`
	Lots    []LotHeld `json:"lots"` // the oldest first
}

// LotHeld is some of an item that came at once.
type LotHeld struct {
	Lot    string  `json:"lot"` // its mark, or the number of the entry that brought it; "" when it came as planned and nobody wrote so
	Amount float64 `json:"amount"`
	Made   string  `json:"made"`                       // 2006-01-02, on which it was made or came
	DayOne *string `json:"day_one"`                    // 2006-01-02, from which the code's date mark counts; null where it binds none
	From   string  `json:"day_one_of,omitempty"`       // the ingredient that brought an earlier day 1
	Guess  bool    `json:"day_one_presumed,omitempty"` // it was counted, or made of what was: the earlier day 1 is the oldest that the kitchen file lets it carry
	UseBy  *string `json:"use_by"`                     // 2006-01-02, the last day by the kitchen file or the code's date mark, whichever comes first; null when neither says
}

// PotOn is a batch under way, with what still comes out of it.
type PotOn struct {
	Step string  `json:"step"`
	Lit  string  `json:"lit"` // 2006-01-02T15:04
	Out  []DueOn `json:"out"`
}

// DueOn is what still comes out of a batch.
type DueOn struct {
	Item   string  `json:"item"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
	At     string  `json:"at"` // 2006-01-02T15:04
}

// PastDates is what of an item is past its date, by the kitchen's keeping or by the code. It is not counted.
type PastDates struct {
	Item   string  `json:"item"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
	Until  string  `json:"until"` // 2006-01-02, the last day on which the latest of it could be used
	Lot    string  `json:"lot"`   // as of LotHeld, where all of it is one lot; else ""
	Code   bool    `json:"code"`  // the days of the code's date mark ended; else the kitchen's own keeping

	DayOne *string `json:"day_one"`              // 2006-01-02, of the latest of it, where the code's days ended; else null
	From   string  `json:"day_one_of,omitempty"` // the ingredient that brought an earlier day 1
}

// Unlogged is the present of a kitchen without a log book.
func Unlogged(k *kitchen.Kitchen, asOf time.Time) *Present {
	p := &Present{From: k.DayAt(asOf), AsOf: asOf, today: k.DayAt(asOf), Stock: &Stock{NoBook: make([]bool, len(k.Graph.Items))}, k: k}
	for i, it := range k.Graph.Items {
		p.Stock.NoBook[i] = it.Role == graph.Bought
	}
	return p
}

// missed tells whether nobody keeps book of an item, and today's delivery of it did not come, or comes later.
func (p *Present) missed(item int) bool {
	return p.Stock.NoBook[item] && p.later != nil && p.later[item] > p.now
}

// OnHand is what there is of all items when a week goes on.
func (p *Present) OnHand(w *week.Week) (*OnHand, error) {
	worth, err := w.Worth()
	if err != nil {
		return nil, err
	}
	a := &OnHand{Kitchen: p.k.Name, AsOf: p.AsOf.Format(stamped), Logged: p.Lives != nil || p.Stock.Entries > 0, Items: []ItemHeld{}, Pots: []PotOn{}, Notes: append([]string{}, w.Notes...),
		Money: p.k.Money, Past: []PastDates{}}
	lots, past, days := map[int][]Lot{}, map[int][]PastDates{}, p.k.DayOnes()
	for _, l := range p.Stock.Lots {
		gone, ok := l.past(days, p.k, p.AsOf)
		if !ok {
			lots[l.Item] = append(lots[l.Item], l)
			continue
		}
		p.gone(past, gone, days, l)
	}

	// Item by item, and place by place.
	for i, it := range p.k.Graph.Items {
		if it.Role == graph.Sold || p.toOrder(i) && len(lots[i]) == 0 {
			continue
		}
		unit := func(base float64) float64 { return p.k.Quantity(i, base).Amount }
		h := ItemHeld{Place: p.k.Place[i], Item: it.Name, Unit: it.Unit.Name, Bought: it.Role == graph.Bought, NoBook: p.Stock.NoBook[i], Missed: p.missed(i),
			Unknown: p.Unknown != nil && p.Unknown[i], Lots: []LotHeld{}}
		all := 0.0
		for _, l := range lots[i] {
			all += l.Amount
			held := LotHeld{Lot: lotName(l), Amount: unit(l.Amount), Made: l.Made.Format(time.DateOnly)}
			p.date(&held, days, l)
			h.Lots = append(h.Lots, held)
		}
		h.Amount, h.Value = unit(all), min(worth.OnHand(w.Case.Flow, i), all*worth.Unit(w.Case.Flow, i))
		a.Value += h.Value
		a.Items = append(a.Items, h)
		a.Past = append(a.Past, past[i]...)
	}
	slices.SortStableFunc(a.Items, func(x, y ItemHeld) int { return cmp.Compare(x.Place, y.Place) })

	// Pots on the stove.
	for _, pot := range w.Case.Schedule.Pots {
		on := PotOn{Step: p.k.Graph.Steps[pot.Step].Name, Lit: minutesAfter(w.From, pot.Start).Format(stamped), Out: []DueOn{}}
		for _, g := range pot.Gives {
			on.Out = append(on.Out, p.dueOn(w, pot, g))
		}
		a.Pots = append(a.Pots, on)
	}
	return a, nil
}

// date sets the dates of a lot.
func (p *Present) date(held *LotHeld, days *kitchen.DayOnes, l Lot) {
	made := dayNumber(l.Made)
	if days.Dated(l.Item) || days.Carried(l.Item, l.Since) > 0 {
		if !l.Since.Known { // raw food that is served raw
			l.Since.Day, l.Since.Item, l.Since.Ice = made, l.Item, 0
		}
		held.DayOne = new(dateOf(l.Since.Began()).Format(time.DateOnly))
		if l.Since.Began() < made && l.Since.Item != l.Item {
			held.From, held.Guess = p.k.Graph.Items[l.Since.Item].Name, l.Since.Presumed
		}
	}
	if last, ok := days.Last(l.Item, made, l.Since); ok {
		held.UseBy = new(dateOf(last).Format(time.DateOnly))
	}
}

// gone adds a lot to what of its item is past its date by the same limit.
func (p *Present) gone(past map[int][]PastDates, gone week.Past, days *kitchen.DayOnes, l Lot) {
	at := slices.IndexFunc(past[l.Item], func(g PastDates) bool { return g.Code == gone.Code })
	if at < 0 {
		at = len(past[l.Item])
		it := p.k.Graph.Items[l.Item]
		past[l.Item] = append(past[l.Item], PastDates{Item: it.Name, Unit: it.Unit.Name, Lot: lotName(l), Code: gone.Code})
	} else {
		past[l.Item][at].Lot = ""
	}
	g := &past[l.Item][at]
	g.Amount += p.k.Quantity(l.Item, l.Amount).Amount
	g.Until = max(g.Until, gone.Last.Format(time.DateOnly))
	if gone.Code {
		var held LotHeld
		p.date(&held, days, l)
		g.DayOne, g.From = held.DayOne, held.From
	}
}

// stamped is how moments are written for programs.
const stamped = "2006-01-02T15:04"

func (p *Present) dueOn(w *week.Week, pot flow.Pot, g flow.PotLine) DueOn {
	q := p.k.Quantity(g.Item, g.Amount*(1-pot.Lost))
	return DueOn{p.k.Graph.Items[g.Item].Name, q.Amount, q.Unit.Name, minutesAfter(w.From, max(g.Minute+pot.Late, w.Now)).Format(stamped)}
}

// toOrder tells whether an item is made as it is asked for, so that none of it stands ready.
func (p *Present) toOrder(item int) bool {
	for _, st := range p.k.Graph.Steps {
		if st.Mode == graph.ToOrder && !st.AsNeeded() && slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == item }) {
			return true
		}
	}
	return false
}

// lotName is a lot as people name it.
func lotName(l Lot) string {
	if l.Mark == "" && l.Entry > 0 {
		return strconv.FormatInt(l.Entry, 10)
	}
	return l.Mark
}
