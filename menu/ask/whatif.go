package ask

// What follows from shocks: the week before against the week after.

import (
	"context"
	"fmt"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/week"
)

// Consequences is the answer to "what if": the standing week against the same week with shocks. Quantities are in the unit that
// the item is written in; money is unrounded, in the kitchen's currency.
type Consequences struct {
	From    string   `json:"from"` // 2006-01-02
	Days    int      `json:"days"`
	Rule    string   `json:"rule"`               // who goes short: "fair", "first" or "best"
	Shocks  []string `json:"shocks"`             // what changes, as it was typed: "lose night kettle@tue"
	Caution []string `json:"warnings,omitempty"` // what the asker should know about the shocks, and what clashes in a vessel by them

	Full       []week.Full  `json:"full,omitempty"`      // services for which more guests come than find a seat
	Departures []Departure  `json:"departures"`          // where dishes and batches are not as their cards have them; with shocks, where they are so more than without
	Elsewhere  []Elsewhere  `json:"elsewhere,omitempty"` // who sells what lies behind that and behind the dishes that fall short, in time for some of it
	Dishes     []DishAt     `json:"dishes"`              // every dish at every service at which it has a forecast
	Items      []ItemChange `json:"items"`
	Costs      []CostChange `json:"costs"`
	Totals     Totals       `json:"totals"`
	Shares     *ShareCheck  `json:"shares,omitempty"` // bounds on strong lines that break; left out when none does

	Chance *Chances     `json:"chance,omitempty"` // when it is asked for
	Money  string       `json:"money,omitempty"`
	After  *week.Played `json:"-"`
}

// DishAt is a dish at one service: the portions that are asked for, shocks and all, and those that are sold without the
// shocks (before) and with them (after).
type DishAt struct {
	Name     string   `json:"name"`
	Date     string   `json:"date"` // 2006-01-02
	Service  string   `json:"service"`
	Forecast int      `json:"forecast"`
	Before   int      `json:"before"`
	After    int      `json:"after"`
	RunsOut  *string  `json:"runs_out"` // 15:04, guests being spread over the service; null when it does not run out
	Because  []string `json:"because"`  // from what the dish lacked to what went wrong first

	Day int `json:"-"` // of the period
}

// ItemChange is an item over the whole period, without the shocks (before) and with them (after).
type ItemChange struct {
	Name   string `json:"name"`
	Unit   string `json:"unit"`
	Bought bool   `json:"bought"` // false for what steps give
	// what batches gave in the period, what was lost of it with a batch too; of a bought item, delivered. With what was on hand
	// before, it is what was used, is left, and was binned
	MadeBefore float64 `json:"made_before"`
	MadeAfter  float64 `json:"made_after"`
	// on hand when the period ends
	LeftBefore float64 `json:"left_before"`
	LeftAfter  float64 `json:"left_after"`
	// past its keeping, spoiled, or lost with a batch, be it one that began before the period
	BinnedBefore float64 `json:"binned_before"`
	BinnedAfter  float64 `json:"binned_after"`

	Many string `json:"-"` // what several of the item are called, where it is counted
}

// CostChange is a dish's plate cost.
type CostChange struct {
	Dish   string  `json:"dish"`
	Before float64 `json:"before"`
	After  float64 `json:"after"`
}

// Swap is a substitute taken in place of a first choice.
type Swap struct {
	In        string   `json:"in"`     // the dish or step that takes it
	Item      string   `json:"item"`   // the substitute
	For       string   `json:"for"`    // the first choice
	Amount    float64  `json:"amount"` // more than before, over the period
	Unit      string   `json:"unit"`
	Allergens []string `json:"allergens"`                    // that the item comes from and the first choice does not, as the file states them
	May       []string `json:"may_contain"`                  // that it may contain, and the first choice is not said to
	Unstated  []string `json:"allergens_unstated,omitempty"` // bought items behind it whose allergens the file does not state
	Tastes    string   `json:"tastes,omitempty"`             // how much of the first choice it tastes like, in words, where it is stronger or milder

	Many string `json:"-"` // what several of the item are called, where it is counted
}

// Alarms tells whether it brings allergens, or something of which they are not stated.
func (s Swap) Alarms() bool { return len(s.Allergens)+len(s.May)+len(s.Unstated) > 0 }

// Totals are sums over the period. Contribution is sales less what was bought and spent on batches and on waste, with the
// change of what is on hand, at the lower of cost and worth and as far as the days behind can use it.
type Totals struct {
	PortionsBefore     int     `json:"portions_before"`
	PortionsAfter      int     `json:"portions_after"`
	SalesBefore        float64 `json:"sales_before"`
	SalesAfter         float64 `json:"sales_after"`
	ContributionBefore float64 `json:"contribution_before"`
	ContributionAfter  float64 `json:"contribution_after"`
}

// WhatIf answers what follows from shocks.
func WhatIf(ctx context.Context, w *week.Week, shocks []week.Shock) (*Consequences, error) {
	before, after, err := w.Compare(ctx, shocks...)
	if err != nil {
		return nil, err
	}
	a := &Consequences{From: w.From.Format(time.DateOnly), Days: w.Days, Rule: w.Rule.String(), Shocks: []string{}, Departures: []Departure{},
		Money: w.Money, After: after}
	for _, s := range shocks {
		a.Shocks = append(a.Shocks, s.String())
		if s.Warning != "" {
			a.Caution = append(a.Caution, s.Warning)
		}
	}
	for _, note := range slices.Concat(before.Notes, after.Notes) {
		if !slices.Contains(a.Caution, note) {
			a.Caution = append(a.Caution, note)
		}
	}
	a.Caution = append(a.Caution, newClashes(w, before, after)...)
	a.Caution = append(a.Caution, w.CantBe(after)...)
	a.Full = w.Full(after.Case.Schedule)
	was := before
	if len(shocks) == 0 {
		was = nil
	}
	a.Departures = append(a.Departures, Departures(w, after, was, nil)...)
	asked := w.Now
	if len(shocks) > 0 {
		var changes []flow.Shock
		for _, s := range shocks {
			changes = append(changes, s.Changes...)
		}
		asked = w.KnownAt(after.Case, before.Outcome, changes)
	}
	a.Elsewhere = elsewhere(w, after, w.NotBeforeNow(asked))
	a.Dishes = dishesAt(w, before, after)
	for i, it := range w.Graph.Items {
		if it.Role != graph.Sold {
			a.Items = append(a.Items, itemChange(w, i, before.Outcome, after.Outcome))
		}
	}
	for _, d := range w.Dishes {
		a.Costs = append(a.Costs, CostChange{d.Name, before.Costing.Unit[d.Item], after.Costing.Unit[d.Item]})
	}
	a.Shares = Shares(w, after)
	if len(shocks) > 0 {
		a.Shares = a.Shares.Against(Shares(w, before))
	}
	b, c := before.Books, after.Books
	a.Totals = Totals{int(b.Portions), int(c.Portions), b.Sales, c.Sales, b.Contribution, c.Contribution}
	return a, nil
}

// Refuse adds what refusing each departure costs.
func (a *Consequences) Refuse(ctx context.Context, w *week.Week) error {
	return Refuse(w, a.After.Case, a.After.Books, a.Departures, Replayed(ctx))
}

// RefuseAlso adds it to other departures of what was played, such as those of one day.
func (a *Consequences) RefuseAlso(ctx context.Context, w *week.Week, list []Departure) error {
	for n := range list {
		d := &list[n]
		if at := slices.IndexFunc(a.Departures, func(o Departure) bool { return o.step == d.step && o.line == d.line }); at >= 0 {
			d.Refusing = a.Departures[at].Refusing
		}
	}
	return Refuse(w, a.After.Case, a.After.Books, list, Replayed(ctx))
}

// newClashes are those in the vessels that the shocks bring.
func newClashes(w *week.Week, before, after *week.Played) (list []string) {
	had := w.Calendar(before.Schedule, before.Outcome, before.Record).Clashes()
	for _, x := range w.Calendar(after.Schedule, after.Outcome, after.Record).Clashes() {
		if !slices.ContainsFunc(had, func(o week.Clash) bool { return o.Text == x.Text }) {
			list = append(list, x.Text)
		}
	}
	return list
}

// dishesAt lists every dish at every service, by service, then in the order of the file.
func dishesAt(w *week.Week, before, after *week.Played) []DishAt {
	wants := len(w.Kitchen.Dishes)
	stops := make(map[[2]int]flow.Stop, len(after.Record.Stops))
	for _, st := range after.Record.Stops {
		stops[[2]int{st.Slot, st.Want}] = st
	}
	list := []DishAt{}
	asks, asked := after.Case.Schedule.Asked(), before.Case.Schedule.Asked()
	for slot, sit := range w.Sittings {
		for d, dish := range w.Kitchen.Dishes {
			forecast := asks[slot*wants+d]
			if forecast == 0 && asked[slot*wants+d] == 0 {
				continue
			}
			sold := after.Outcome.Served[slot*wants+d]
			at := DishAt{Name: dish.Name, Date: w.Date(sit.Day).Format(time.DateOnly), Service: w.Services[sit.Service].Name,
				Forecast: int(forecast), Before: int(before.Outcome.Served[slot*wants+d]), After: int(sold), Because: []string{},
				Day: sit.Day}
			if sold < forecast {
				begins, ends := after.Case.Schedule.ServedAt(slot), after.Case.Schedule.Slots[slot].End
				out := begins + int(sold/forecast*float64(ends-begins))
				at.RunsOut = new(measure.FormatClock(out - sit.Day*1440))
				if st, ok := stops[[2]int{slot, d}]; ok {
					at.Because = because(w, after, st)
				} else if w.Rule.Plans() {
					at.Because = []string{"what it takes ran out, or earns more in another dish"}
				}
			}
			list = append(list, at)
		}
	}
	return list
}

// because puts a chain of causes into words, to be joined by "because": what the dish is out of, then what lies behind it.
func because(w *week.Week, p *week.Played, st flow.Stop) (links []string) {
	for _, c := range p.Case.Because(p.Outcome, st) {
		if len(links) == 0 && c.Kind == flow.UsedUp {
			links = append(links, "out of "+w.Graph.Items[c.Item].Name)
			continue
		}
		links = append(links, cause(w, p, c))
	}
	return links
}

// whole is by which part of an amount less than all of it still counts as all.
const whole = 1e-6

// OfBatches is how much of what was to be done is done: "0 of 3 batches", "0.5 of 1 batch".
func OfBatches(done, of float64) string {
	return measure.FormatNumber(done) + " of " + Batches(of)
}

// Batches is "1 batch" or "2.5 batches".
func Batches(n float64) string {
	if text := measure.FormatNumber(n); text != "1" {
		return text + " batches"
	}
	return "1 batch"
}

func cause(w *week.Week, p *week.Played, c flow.Cause) string {
	item, day, batch := "", w.DayName(c.Day), ""
	if c.Item >= 0 {
		item = w.Graph.Items[c.Item].Name
	}
	if c.Step >= 0 {
		batch = w.Graph.Steps[c.Step].Name
		if c.Day != flow.EveryDay {
			batch = w.OfDay(c.Day, batch)
		}
	}
	amount := func(base float64) string { return w.Quantity(c.Item, base).Handy().OnScale().String() }
	switch c.Kind {
	case flow.UsedUp:
		return item + " ran out"
	case flow.BatchLost:
		if c.Amount >= c.Of*(1-whole) {
			return batch + " was lost"
		}
		return fmt.Sprintf("%s lost %s of its %s", batch, amount(c.Amount), w.Counted(c.Item, c.Of))
	case flow.BatchLate:
		return fmt.Sprintf("%s is late, with no %s until %s", batch, item, w.Moment(c.Until))
	case flow.BatchShort:
		return fmt.Sprintf("there was not enough %s for %s (%s)", item, batch, OfBatches(c.Amount, c.Of))
	case flow.YieldShort:
		return fmt.Sprintf("%s gave %s less %s than it should", batch, amount(c.Amount), item)
	case flow.DeliveryLess:
		if c.Amount <= c.Of*whole {
			return fmt.Sprintf("none of the %s ordered for %s came", w.Counted(c.Item, c.Of), day)
		}
		unit := w.Quantity(c.Item, c.Of).Handy().Unit
		return fmt.Sprintf("only %s of the %s ordered for %s came", measure.FormatNumber(measure.Quantity{Amount: c.Amount / unit.Factor, Unit: unit}.OnScale().Amount),
			w.Counted(c.Item, c.Of), day)
	case flow.WentOff:
		return fmt.Sprintf("all the %s on hand went into the bin on %s", item, day)
	case flow.NoDelivery:
		return noMore(w, c)
	default:
		if text := wentWrong(w, c); text != "" {
			return text
		}
		if at := nextOut(w, p, c); at >= 0 {
			return fmt.Sprintf("no more %s is out before %s", item, w.Moment(at))
		}
		return "nothing planned brings more " + item // right for a plural too
	}
}

// nextOut is the minute at which an item is out again after a cause's, of a batch by the clock; -1 where none brings any in these days.
func nextOut(w *week.Week, p *week.Played, c flow.Cause) int {
	next := -1
	at := func(minute int) {
		if minute > c.Until && minute < p.Case.Schedule.Days*1440 && (next < 0 || minute < next) {
			next = minute
		}
	}
	s := p.Case.Schedule
	for r, b := range s.Batches {
		if p.Outcome.Ran[r].Batches <= 0 || b.Lost >= 1 {
			continue
		}
		for _, g := range w.Graph.Steps[b.Step].Gives {
			if g.Item == c.Item {
				at(p.Outcome.Ran[r].Start + g.OutAt)
			}
		}
	}
	for _, pot := range s.Pots {
		for _, g := range pot.Gives {
			if g.Item == c.Item && g.Amount > 0 && pot.Lost < 1 {
				at(g.Minute + pot.Late)
			}
		}
	}
	return next
}

// wentWrong says what happened already, by the log book, to the batch that was to bring the last of an item before it runs out; "" where
// nothing did.
func wentWrong(w *week.Week, c flow.Cause) string {
	gives := func(step int) bool {
		return slices.ContainsFunc(w.Graph.Steps[step].Gives, func(o graph.Output) bool { return o.Item == c.Item })
	}
	for _, h := range slices.Backward(w.Happened) {
		if h.What != week.Lost && h.What != week.Skipped && h.What != week.Waits || !gives(h.Step) {
			continue
		}
		day := w.DayOf(&h)
		if w.OutAt(h.Step, day, c.Item) > c.Until { // what was to come only later took nothing away
			continue
		}
		if keeps := w.Terms.Keeps[c.Item]; keeps > 0 && day+keeps <= c.Until/1440 || slices.ContainsFunc(w.Case.Schedule.Batches, func(b flow.Batch) bool {
			return b.Day > day && b.Day <= c.Until/1440 && gives(b.Step)
		}) {
			return ""
		}
		return Became(w, &h)
	}
	return ""
}

// Became says what became of a batch that was lost or skipped, or that could not begin.
func Became(w *week.Week, h *week.Happening) string {
	switch batch := w.OfDay(w.DayOf(h), w.Graph.Steps[h.Step].Name); {
	case h.What == week.Skipped:
		return batch + " was skipped"
	case h.What == week.Waits:
		if lacks := lacking(w, h); lacks != "" {
			return batch + " has not begun, for lack of " + lacks
		}
		return batch + " has not begun"
	default:
		return LostSaid(batch, h.Share)
	}
}

// LostSaid says that a share of a batch was lost; 0 stands for all.
func LostSaid(batch string, share float64) string {
	if share > 0 && share < 1 {
		return "part of " + batch + " was lost"
	}
	return batch + " was lost"
}

// lacking is the first of what a batch takes of which there is not enough; "" where there is.
func lacking(w *week.Week, h *week.Happening) string {
	s := w.Case.Schedule
	comes := func(item int) bool { // still today, for all that is known
		return w.Graph.Items[item].Role == graph.Bought && (s.Arrives[item] == nil || s.Arrives[item][0]) && (s.NotBefore == nil || s.NotBefore[item] <= w.Now)
	}
	for _, line := range w.Graph.Steps[h.Step].Takes {
		c, there := line.Choices[0], 0.0
		for _, lot := range s.OnHand {
			if lot.Item == c.Item {
				there += lot.Amount
			}
		}
		if !line.Optional && line.InAt == 0 && !comes(c.Item) && there < c.Amount*h.Batches*(1-line.Without)-whole {
			return w.Graph.Items[c.Item].Name
		}
	}
	return ""
}

// noMore says until when nothing more comes of an item that is bought.
func noMore(w *week.Week, c flow.Cause) string {
	s, item := w.Case.Schedule, w.Graph.Items[c.Item].Name
	if s.NotBefore != nil && s.NotBefore[c.Item] > c.Until && s.NotBefore[c.Item] < 1440 {
		return fmt.Sprintf("no %s comes before %s", item, w.Moment(s.NotBefore[c.Item]))
	}
	for day := c.Until/1440 + 1; day < w.Days; day++ {
		if s.Arrives[c.Item] == nil || s.Arrives[c.Item][day] {
			return fmt.Sprintf("no %s comes before %s", item, w.DayName(day))
		}
	}
	return fmt.Sprintf("no %s comes in time", item)
}

func itemChange(w *week.Week, i int, before, after *flow.Outcome) ItemChange {
	it := w.Graph.Items[i]
	per := func(base float64) float64 { return base / it.Unit.Factor }
	made := func(o *flow.Outcome) float64 {
		if it.Role == graph.Bought {
			return per(o.Delivered(i))
		}
		return per(o.Made[i] + o.Lost[i])
	}
	binned := func(o *flow.Outcome) float64 { return per(o.Binned[i] + o.Lost[i]) }
	return ItemChange{Name: it.Name, Many: it.Many, Unit: it.Unit.Name, Bought: it.Role == graph.Bought, MadeBefore: made(before), MadeAfter: made(after),
		LeftBefore: per(before.Left[i]), LeftAfter: per(after.Left[i]),
		BinnedBefore: binned(before), BinnedAfter: binned(after)}
}

// Swaps lists the substitutes that are used more than before, with the allergens that they would bring.
func Swaps(w *week.Week, before, after *flow.Outcome) (list []Swap) {
	for s, st := range w.Graph.Steps {
		for l, line := range st.Takes {
			for c, choice := range line.Choices[1:] {
				if c+1 < line.Alike {
					continue // the cook does not mind
				}
				e := w.Case.Flow.Choice(s, l, c+1)
				more := after.Used[e] - before.Used[e]
				it := w.Graph.Items[choice.Item]
				if more <= 1e-6*choice.Amount { // less than a millionth of a batch is rounding
					continue
				}
				sw := Swap{In: st.Name, Item: it.Name, Many: it.Many, For: w.Graph.Items[line.Choices[0].Item].Name,
					Amount: more / it.Unit.Factor, Unit: it.Unit.Name}
				sw.Tastes = w.TastesLike(line, c+1, more)
				beyond := w.Stated(choice.Item).Beyond(w.Stated(line.Choices[0].Item))
				sw.Allergens, sw.May, sw.Unstated = beyond.Has, beyond.May, beyond.Unknown
				list = append(list, sw)
			}
		}
	}
	return list
}
