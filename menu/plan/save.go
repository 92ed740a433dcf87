package plan

// A plan kept in a file, to stand in for the standing week.

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Saved is a plan as it is kept. Dates are 2006-01-02; quantities are in the unit that the item is written in.
type Saved struct {
	Format  int    `json:"kettletree_plan"` // 1
	Kitchen string `json:"kitchen"`         // its name
	Digest  string `json:"kitchen_file"`    // [kitchen.Kitchen.Digest]
	From    string `json:"from"`
	Days    int    `json:"days"`

	OnHand []SavedLot  `json:"on_hand"`
	Cook   []SavedRun  `json:"cook"`
	Buy    []SavedBuy  `json:"buy"`
	Only   []string    `json:"only"` // items of which nothing can be had beyond buy: they come in packs
	Sell   []SavedSale `json:"sell"`
	ByRule bool        `json:"by_rule"` // lines are filled, and what is scarce is shared out, as the kitchen goes: it is the standing week
	Fill   []SavedFill `json:"fill"`
}

// SavedLot is what is on hand when the first day begins.
type SavedLot struct {
	Item     string  `json:"item"`
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
	Made     string  `json:"made"`
}

// SavedRun is a step to do on a day.
type SavedRun struct {
	Date    string  `json:"date"`
	Step    string  `json:"step"`
	Batches float64 `json:"batches"` // 0 where it is not done: a batch without a clock waits for it all the same, as it was planned
}

// SavedBuy is a delivery.
type SavedBuy struct {
	Date     string  `json:"date"`
	Item     string  `json:"item"`
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
}

// SavedSale is what is sold of a dish at a service.
type SavedSale struct {
	Date     string  `json:"date"`
	Service  string  `json:"service"`
	Dish     string  `json:"dish"`
	Portions float64 `json:"portions"`
}

// SavedFill is how a line is filled where that is not with its first choice alone.
type SavedFill struct {
	Date    string    `json:"date"`
	Service string    `json:"service"` // "" for the work of a step on set days, and on a day without services
	For     string    `json:"for"`     // the step on set days, or "" for portions, or "all" for steps that take all there is
	In      string    `json:"in"`      // step or dish
	Line    int       `json:"line"`    // from 1
	Shares  []float64 `json:"shares"`  // by choice
}

const savedFormat = 1

// takesAll is what a fill of a step that takes all there is, is for.
const takesAll = "all"

// Save is the plan as it is kept in a file.
func (p *Plan) Save() *Saved {
	m, s := p.m, p.Case.Schedule
	date := func(day int) string { return m.Date(day).Format(time.DateOnly) }
	out := &Saved{Format: savedFormat, Kitchen: m.Name, Digest: m.Digest, From: date(0), Days: m.Days,
		OnHand: []SavedLot{}, Cook: []SavedRun{}, Buy: []SavedBuy{}, Only: []string{}, Sell: []SavedSale{}, Fill: []SavedFill{}}
	for _, l := range s.OnHand {
		q := m.Quantity(l.Item, l.Amount)
		out.OnHand = append(out.OnHand, SavedLot{m.g.Items[l.Item].Name, q.Amount, q.Unit.Name, date(l.Made)})
	}
	for _, r := range s.Batches {
		if r.Day < m.Days {
			out.Cook = append(out.Cook, SavedRun{date(r.Day), m.g.Steps[r.Step].Name, r.Size})
		}
	}
	for _, d := range p.Outcome.Deliveries {
		q := m.Quantity(d.Item, d.Amount)
		out.Buy = append(out.Buy, SavedBuy{date(d.Day), m.g.Items[d.Item].Name, q.Amount, q.Unit.Name})
	}
	for i, only := range s.Short {
		if only {
			out.Only = append(out.Only, m.g.Items[i].Name)
		}
	}
	for slot, sit := range m.Sittings {
		for d, dish := range m.Kitchen.Dishes {
			if n := s.Wants[d].Forecast[slot]; n > 0 {
				out.Sell = append(out.Sell, SavedSale{date(sit.Day), m.Services[sit.Service].Name, dish.Name, n})
			}
		}
	}
	if s.Directions == nil {
		out.ByRule = true
		return out
	}
	for k, mix := range s.Directions.Serve {
		out.fills(m.Week, mix, SavedFill{Date: date(m.Sittings[k].Day), Service: serviceOf(m.Week, k)})
	}
	for k, mix := range s.Directions.All {
		out.fills(m.Week, mix, SavedFill{Date: date(m.Sittings[k].Day), Service: serviceOf(m.Week, k), For: takesAll})
	}
	for r, mix := range s.Directions.Run {
		if run := s.Batches[r]; run.Day < m.Days && run.Size > 0 {
			out.fills(m.Week, mix, SavedFill{Date: date(run.Day), For: m.g.Steps[run.Step].Name})
		}
	}
	return out
}

func serviceOf(w *week.Week, slot int) string {
	if n := w.Sittings[slot].Service; n >= 0 {
		return w.Services[n].Name
	}
	return ""
}

// fills keeps the lines of a mix that are not filled as usual.
func (out *Saved) fills(w *week.Week, mix []float64, at SavedFill) {
	for s, st := range w.Graph.Steps {
		for l, line := range st.Takes {
			first := w.Case.Flow.Choice(s, l, 0)
			shares := mix[first : first+len(line.Choices)]
			if shares[0] == 1 && !slices.ContainsFunc(shares[1:], func(v float64) bool { return v != 0 }) {
				continue
			}
			at.In, at.Line, at.Shares = st.Name, l+1, slices.Clone(shares)
			out.Fill = append(out.Fill, at)
		}
	}
}

// Load lays a kept plan over a kitchen: a week whose schedule is the plan. The name is only used in errors.
func Load(name string, src []byte, k *kitchen.Kitchen, rule week.Rule) (*week.Week, error) {
	fail := func(format string, args ...any) (*week.Week, error) {
		return nil, fmt.Errorf("%s: %w", name, fmt.Errorf(format, args...))
	}
	var s Saved
	d := json.NewDecoder(bytes.NewReader(src))
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil || d.More() {
		return fail("this is no plan that plan --save wrote")
	}
	switch {
	case s.Format != savedFormat:
		return fail("this plan has format %d, but this program reads format %d: plan again", s.Format, savedFormat)
	case s.Kitchen != k.Name:
		return fail("this plan was saved for the kitchen %q, and %s is %q", s.Kitchen, k.File, k.Name)
	case s.Digest != k.Digest:
		return fail("this plan was saved before %s was last changed: plan again", k.File)
	}
	from, err := time.Parse(time.DateOnly, s.From)
	if err != nil {
		return fail("from: %q is not a date such as 2026-11-23", s.From)
	}
	r := &loading{Kitchen: k, from: from, days: s.Days}
	p := week.Period{From: from, Days: s.Days, Rule: rule}
	for n, l := range s.OnHand {
		r.at = fmt.Sprintf("on_hand, entry %d", n+1)
		item := r.item("item", l.Item, len(k.Graph.Items))
		p.OnHand = append(p.OnHand, flow.Lot{Item: item, Amount: r.amount(item, l.Quantity, l.Unit), Made: r.day(l.Made, true)})
	}
	if r.err != nil {
		return fail("%w", r.err)
	}
	w, err := week.Over(k, p)
	if err != nil {
		return fail("%w", err)
	}
	schedule, err := r.schedule(w, &s)
	if err != nil {
		return fail("%w", err)
	}
	return w.With(flow.Case{Flow: w.Case.Flow, Schedule: schedule}), nil
}

// loading turns names and dates back into numbers. It keeps the first fault.
type loading struct {
	*kitchen.Kitchen
	from time.Time
	days int
	at   string // where in the file
	err  error
}

func (r *loading) fault(format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf("%s: %w", r.at, fmt.Errorf(format, args...))
	}
}

// named is the place of a name among n; 0, with a fault, when it is not there.
func (r *loading) named(what, name string, n int, at func(int) string) int {
	for i := range n {
		if at(i) == name {
			return i
		}
	}
	r.fault("no %s is named %q", what, name)
	return 0
}

func (r *loading) item(what, name string, n int) int {
	return r.named(what, name, n, func(i int) string { return r.Graph.Items[i].Name })
}

func (r *loading) step(what, name string, n int) int {
	return r.named(what, name, n, func(i int) string { return r.Graph.Steps[i].Name })
}

// day is the day of a date within the period; what is on hand was made on any day, for what still comes of a batch that was lit
// before the period counts as on hand too.
func (r *loading) day(date string, any bool) int {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		r.fault("%q is not a date such as 2026-11-23", date)
		return 0
	}
	day := int(t.Sub(r.from).Hours() / 24)
	if !any && (day < 0 || day >= r.days) {
		r.fault("%s is not among the days of the plan", date)
		return 0
	}
	return day
}

// amount is a quantity in base units.
func (r *loading) amount(item int, quantity float64, unit string) float64 {
	u, err := measure.UnitNamed(unit)
	if it := r.Graph.Items[item]; err != nil || u != it.Unit {
		r.fault("%q is not the unit of %q, which is %s", unit, it.Name, it.Unit.Name)
	}
	return r.number(quantity) * u.Factor
}

func (r *loading) number(v float64) float64 {
	if v < 0 || v > 1e12 {
		r.fault("%v is not an amount", v)
	}
	return v
}

// schedule is that of a kept plan.
func (r *loading) schedule(w *week.Week, saved *Saved) (*flow.Schedule, error) {
	// Batches: the plan's, and behind its days the standing week's.
	s := *w.Case.Schedule
	standing := s.Batches
	s.Batches = nil
	runs := map[[2]int]int{} // by step and day
	for n, c := range saved.Cook {
		r.at = fmt.Sprintf("cook, entry %d", n+1)
		step, day := r.step("step", c.Step, len(r.Steps)), r.day(c.Date, false)
		if _, twice := runs[[2]int{step, day}]; twice {
			r.fault("%q stands twice on %s", c.Step, c.Date)
		}
		runs[[2]int{step, day}] = len(s.Batches)
		s.Batches = append(s.Batches, flow.Batch{Step: step, Day: day, Start: r.Steps[step].Starts, Size: r.number(c.Batches)})
	}
	for _, run := range standing {
		if run.Day >= w.Days {
			s.Batches = append(s.Batches, run)
		}
	}

	// Deliveries, and what can't be had beyond them.
	for n, b := range saved.Buy {
		r.at = fmt.Sprintf("buy, entry %d", n+1)
		item := r.item("bought item", b.Item, len(r.Bought))
		amount := r.amount(item, b.Quantity, b.Unit)
		s.Deliveries = append(s.Deliveries, flow.Delivery{Item: item, Day: r.day(b.Date, false), Amount: amount, Ordered: amount})
	}
	s.Short = make([]bool, len(r.Graph.Items))
	for n, name := range saved.Only {
		r.at = fmt.Sprintf("only, entry %d", n+1)
		s.Short[r.item("bought item", name, len(r.Bought))] = true
	}

	// Portions.
	slots := map[string]int{}
	for k := range w.Sittings {
		slots[w.Date(w.Sittings[k].Day).Format(time.DateOnly)+" "+serviceOf(w, k)] = k
	}
	slot := func(date, service string) int {
		k, ok := slots[date+" "+service]
		if !ok {
			r.fault("there is no service %q on %s", service, date)
		}
		return k
	}
	s.Wants = slices.Clone(s.Wants)
	for d := range s.Wants {
		s.Wants[d].Forecast = make([]float64, len(s.Slots))
	}
	for n, sale := range saved.Sell {
		r.at = fmt.Sprintf("sell, entry %d", n+1)
		d := r.named("dish", sale.Dish, len(r.Dishes), func(i int) string { return r.Dishes[i].Name })
		k := slot(sale.Date, sale.Service)
		if s.Slots[k].Closed {
			r.fault("the kitchen is closed on %s", sale.Date)
		}
		s.Wants[d].Forecast[k] = r.number(sale.Portions)
	}

	// How lines are filled.
	if saved.ByRule {
		if len(saved.Fill) > 0 {
			r.at = "fill"
			r.fault("the lines of this plan are filled by the rule")
		}
		return &s, r.err
	}
	s.Directions = firstChoices(w, len(s.Slots), len(s.Batches))
	for n, f := range saved.Fill {
		r.at = fmt.Sprintf("fill, entry %d", n+1)
		step := r.step("step or dish", f.In, len(r.Graph.Steps))
		if f.Line < 1 || f.Line > len(r.Graph.Steps[step].Takes) || len(f.Shares) != len(r.Graph.Steps[step].Takes[f.Line-1].Choices) {
			r.fault("%q has no such line", f.In)
			continue
		}
		var mix []float64
		switch f.For {
		case "":
			mix = s.Directions.Serve[slot(f.Date, f.Service)]
		case takesAll:
			mix = s.Directions.All[slot(f.Date, f.Service)]
		default:
			run, ok := runs[[2]int{r.step("step", f.For, len(r.Steps)), r.day(f.Date, false)}]
			if !ok {
				r.fault("%q is not cooked on %s", f.For, f.Date)
				continue
			}
			mix = s.Directions.Run[run]
		}
		for c, share := range f.Shares {
			mix[w.Case.Flow.Choice(step, f.Line-1, c)] = min(r.number(share), 1)
		}
	}
	return &s, r.err
}
