package ask

// Departures: where plates and batches are not as their cards have them, why, what that brings, and what sticking to the card costs.

import (
	"context"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// Departure is a dish or a step that is not made as its card has it: with something else, with less, or without. How a perpetual
// stock is begun again is none.
type Departure struct {
	Kind     string   `json:"kind"`     // "substitute", "left out", or "short" of a part
	In       string   `json:"in"`       // the dish or step: "red pozole", "Tuesday's night kettle"
	Dishes   []string `json:"dishes"`   // that it is in
	From     string   `json:"from"`     // 2006-01-02
	To       string   `json:"to"`       // 2006-01-02
	Count    float64  `json:"count"`    // portions, or batches, that are made so
	Portions bool     `json:"portions"` // count is of portions
	For      string   `json:"for"`      // what the card has: the first choice
	Item     string   `json:"item"`     // what goes in in its place; "" for nothing
	Amount   float64  `json:"amount"`   // of the substitute that goes in; without one, of the first choice that is missing
	Of       float64  `json:"of"`       // of that, what would go into all that is made then
	Unit     string   `json:"unit"`
	Because  []string `json:"because"` // from what ran out to what went wrong first

	Allergens []string `json:"allergens"`                    // that the substitute comes from and the first choice does not, as the file states them
	May       []string `json:"may_contain"`                  // that it may contain, and the first choice is not said to
	Unstated  []string `json:"allergens_unstated,omitempty"` // bought items behind it whose allergens the file does not state

	Tastes   string    `json:"tastes,omitempty"`   // how much of the first choice the substitute tastes like, in words, where it is stronger or milder
	Refusing *Refusing `json:"refusing,omitempty"` // null where that was not played

	Many    string `json:"-"` // what several of what Amount is of are called, where it is counted
	Batches bool   `json:"-"` // count is of batches that are due on a day

	step, line int
}

// Refusing is what comes of doing it as the card has it, or not at all: the same played once more.
type Refusing struct {
	Portions     int     `json:"portions"`     // sold fewer over the period; below 0 for more
	Contribution float64 `json:"contribution"` // earned less; below 0 for more
}

// Kinds of departures.
const (
	Substituted = "substitute"
	LeftOut     = "left out"
	RunsShort   = "short"
)

// Alarms tells whether it brings allergens, or something of which they are not stated.
func (d Departure) Alarms() bool { return len(d.Allergens)+len(d.May)+len(d.Unstated) > 0 }

// departing is all work of a step that departs from its card in one way.
type departing struct {
	step, line, choice int
	count, of          float64 // batches or portions
	from, to           int     // days
	at                 int     // the first minute
	items              []int   // from the first choice down to what was used up then
	batch              bool    // it is a batch of its day
}

// departing gathers where a walk departed from the cards, by the first of each way; of a day, or of all for nil.
func departingOf(p *week.Played, on *int) (list []departing) {
	for _, d := range p.Record.Departs {
		x := departing{step: d.Step, line: d.Line, choice: d.Choice, count: d.Work, of: d.Of, from: d.At / 1440, at: d.At, batch: d.Run >= 0, items: d.Items}
		if d.Run >= 0 {
			x.from = p.Schedule.Batches[d.Run].Day
		}
		if x.to = x.from; on != nil && *on != x.from {
			continue
		}
		at := slices.IndexFunc(list, func(o departing) bool { return o.step == x.step && o.line == x.line && o.choice == x.choice })
		if at < 0 {
			list = append(list, x)
			continue
		}
		o := &list[at]
		o.from, o.to, o.count, o.of = min(o.from, x.from), max(o.to, x.to), o.count+x.count, o.of+x.of
	}
	return list
}

// Departures lists where what was played departs from the cards, on a day, or on all for nil; with something to compare with, only
// where it does so more, and then with all that is made so, for so much must be set out. What brings allergens comes first, then as they come up.
func Departures(w *week.Week, p, was *week.Played, on *int) (list []Departure) {
	var had []departing
	if was != nil && was != p {
		had = departingOf(was, on)
	}
	for _, x := range departingOf(p, on) {
		more, of := x.count, x.of
		for _, o := range had {
			if o.step == x.step && o.line == x.line && o.choice == x.choice {
				more, of = more-o.count, of-o.count
			}
		}
		if more > whole*max(of, 1) {
			list = append(list, told(w, p, x))
		}
	}
	slices.SortStableFunc(list, func(a, b Departure) int { return alarm(b) - alarm(a) })
	return list
}

// alarm ranks a departure by how much it must be told.
func alarm(d Departure) int {
	switch {
	case len(d.Allergens) > 0:
		return 2
	case d.Alarms():
		return 1
	}
	return 0
}

// told puts a departure into words.
func told(w *week.Week, p *week.Played, x departing) Departure {
	st := w.Graph.Steps[x.step]
	line := st.Takes[x.line]
	first := line.Choices[0]
	d := Departure{Kind: LeftOut, In: st.Name, Dishes: dishesOf(w, x.step), From: w.Date(x.from).Format(time.DateOnly), To: w.Date(x.to).Format(time.DateOnly),
		Count: x.count, Portions: x.step >= len(w.Steps), For: byCard(w, line), Allergens: []string{}, May: []string{},
		Batches: x.batch, step: x.step, line: x.line}
	if x.batch && x.from == x.to {
		d.In = w.OfDay(x.from, st.Name)
	}
	takes := first
	switch {
	case x.choice > 0:
		takes = line.Choices[x.choice]
		d.Kind, d.Item, d.Tastes = Substituted, w.Graph.Items[takes.Item].Name, w.TastesLike(line, x.choice, x.count*takes.Amount)
		beyond := w.Stated(takes.Item).Beyond(w.Stated(first.Item))
		d.Allergens, d.May, d.Unstated = beyond.Has, beyond.May, beyond.Unknown
	case st.Mode != graph.ToOrder && x.count < x.of*(1-whole): // what is made to order has all of it or none
		d.Kind = RunsShort
	}
	it := w.Graph.Items[takes.Item]
	d.Unit, d.Many = it.Unit.Name, it.Many
	d.Amount, d.Of = x.count*takes.Amount/it.Unit.Factor, x.of*takes.Amount/it.Unit.Factor
	d.Because = whyDeparts(w, p, x.items, x.at)
	return d
}

// byCard is what a card has on a line: its first choice, or all among which the cook does not mind.
func byCard(w *week.Week, line graph.Line) string {
	var names []string
	for _, c := range line.Choices[:max(1, line.Alike)] {
		names = append(names, w.Graph.Items[c.Item].Name)
	}
	return strings.Join(names, " or ")
}

// dishesOf are the dishes that something of a step may be in; of a dish itself, that.
func dishesOf(w *week.Week, step int) (names []string) {
	if step >= len(w.Steps) {
		return []string{w.Graph.Steps[step].Name}
	}
	down := w.Graph.Downstream(w.Graph.Node(step))
	for _, d := range w.Kitchen.Dishes {
		if _, in := slices.BinarySearch(down, d.Item); in {
			names = append(names, d.Name)
		}
	}
	return names
}

// whyDeparts is why the first of some items, each of which goes into the one before, was not there at a minute: from what ran out to what went wrong first.
func whyDeparts(w *week.Week, p *week.Played, items []int, at int) (links []string) {
	item := items[0]
	if p.Schedule.Directions != nil && p.Outcome.Left[item] > whole*w.Graph.Items[item].Unit.Factor {
		return []string{w.Graph.Items[item].Name + " earns more in another dish"}
	}
	for n, c := range p.Case.WhyOut(p.Outcome, items, at) {
		if n == 0 {
			links = append(links, "out of "+w.Graph.Items[c.Item].Name)
			continue
		}
		links = append(links, cause(w, p, c))
	}
	return links
}

// mostRefused is how many departures are played once more with that refused; under a rule that plans each week again, which takes
// long, how many.
const (
	mostRefused        = 24
	mostRefusedPlanned = 3
)

// Refuse plays what was played once more for each of the first departures, with that refused, and notes what it costs, where that is not
// noted yet. again plays a week, which has the cards of the refusal, by a case.
func Refuse(w *week.Week, c flow.Case, had week.Books, list []Departure, again func(*week.Week, flow.Case) (week.Books, error)) error {
	most := mostRefused
	if w.Rule.Plans() {
		most = mostRefusedPlanned
	}
	for n := range list[:min(most, len(list))] {
		d := &list[n]
		if d.Refusing != nil {
			continue
		}
		kept, refused, err := w.Refusing(c, d.step, d.line)
		if err != nil {
			return err
		}
		books, err := again(kept, refused)
		if err != nil {
			return err
		}
		d.Refusing = &Refusing{Portions: int(had.Portions - books.Portions), Contribution: had.Contribution - books.Contribution}
	}
	return nil
}

// Replayed plays a case of a week by its rule.
func Replayed(ctx context.Context) func(*week.Week, flow.Case) (week.Books, error) {
	return func(w *week.Week, c flow.Case) (week.Books, error) {
		if w.Rule.Plans() {
			p, err := w.PlayCase(ctx, c, nil)
			if err != nil {
				return week.Books{}, err
			}
			return p.Books, nil
		}
		if err := context.Cause(ctx); err != nil {
			return week.Books{}, err
		}
		worth, err := w.Worth()
		if err != nil {
			return week.Books{}, err
		}
		return worth.Books(c, w.Player().Play(c, nil)), nil
	}
}

// DeparturesIn are those of a case of the week, under a rule that does not plan, with what refusing each costs.
func DeparturesIn(ctx context.Context, w *week.Week, c flow.Case) ([]Departure, error) {
	p := &week.Played{Case: c, Schedule: c.Schedule, Record: &flow.Record{Movements: true}}
	p.Outcome = w.Player().Play(c, p.Record)
	worth, err := w.Worth()
	if err != nil {
		return nil, err
	}
	list := Departures(w, p, nil, nil)
	return list, Refuse(w, c, worth.Books(c, p.Outcome), list, Replayed(ctx))
}
