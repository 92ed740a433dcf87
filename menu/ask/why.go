package ask

// How a figure was derived: the reasons noted where each number was decided.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/currency"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Derivation is the derivation of one figure.
type Derivation struct {
	Figure string    `json:"figure"` // "plate cost of red pozole"
	Value  float64   `json:"value"`
	Unit   string    `json:"unit"`
	Shocks []string  `json:"shocks"` // as they were typed
	Lines  []WhyLine `json:"lines"`  // from the figure to what it rests on
	Money  string    `json:"money,omitempty"`
}

// WhyLine is one reason.
type WhyLine struct {
	Depth int     `json:"depth"` // from 0; a line rests on the deeper ones that follow it
	Text  string  `json:"text"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"` // "" when the line has no number of its own
}

// Why derives a figure of the week with shocks. A name alone asks for a cost: a plate's, or one unit of an item. With a
// day behind an @ it asks what happened then: "red pozole@fri dinner" for portions, "night kettle@tue" for a batch,
// "lard@wed" for what came, went and stayed of an item.
func Why(ctx context.Context, w *week.Week, figure string, shocks []week.Shock) ([]*Derivation, error) {
	name, when, dated := strings.Cut(figure, "@")
	name, when = strings.TrimSpace(name), strings.TrimSpace(when)
	after, err := w.Play(ctx, shocks...)
	if err != nil {
		return nil, err
	}
	y := &deriving{Week: w, p: after}
	var all []*Derivation
	switch step, stepErr := w.FindStep(name); {
	case !dated && stepErr == nil:
		all = y.bill(step)
	case stepErr == nil:
		all, err = y.runs(step, when)
	default:
		item, err := w.FindItemOf(name, "item, step or dish", graph.Bought, graph.Made, graph.Sold)
		if err != nil {
			return nil, err
		}
		switch {
		case !dated:
			all = y.cost(item)
		case w.Graph.Items[item].Role == graph.Sold:
			all, err = y.portions(item, when)
		default:
			all, err = y.shelf(item, when)
		}
		if err != nil {
			return nil, err
		}
	}
	for _, a := range all {
		a.Money, a.Shocks = w.Money, []string{}
		for _, s := range shocks {
			a.Shocks = append(a.Shocks, s.String())
		}
	}
	return all, err
}

// deriving writes derivations of one played week.
type deriving struct {
	*week.Week
	p *week.Played
}

func (a *Derivation) line(depth int, value float64, unit, format string, args ...any) {
	a.Lines = append(a.Lines, WhyLine{Depth: depth, Text: fmt.Sprintf(format, args...), Value: value, Unit: unit})
}

// moneyUnit is what money is counted in; moneyPer what a unit cost is counted in.
func moneyUnit(k *kitchen.Kitchen) string { return cmp.Or(k.Money, "money") }

func moneyPer(k *kitchen.Kitchen, unit string) string { return moneyUnit(k) + "/" + unit }

// rate is the cost of a unit of something with the decimals of the currency, two more where it is below ten of its last unit.
func rate(money string, x float64) string {
	decimals := 2
	if unit, err := currency.ParseISO(money); err == nil {
		decimals, _ = currency.Standard.Rounding(unit)
	}
	if units := math.Abs(x) * math.Pow10(decimals); units > 0 && units < 10-1e-8 {
		decimals += 2
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

// cost derives the cost of one unit of an item, down to what is bought.
func (y *deriving) cost(item int) []*Derivation {
	it := y.Graph.Items[item]
	a := &Derivation{Figure: "cost of " + it.Name, Value: y.p.Costing.Unit[item] * it.Unit.Factor, Unit: moneyPer(y.Week.Kitchen, it.Unit.Name)}
	if it.Role == graph.Sold {
		a.Figure, a.Unit = "plate cost of "+it.Name, moneyUnit(y.Week.Kitchen)
	}
	y.costLines(a, 0, item, map[int]bool{})
	return []*Derivation{a}
}

func (y *deriving) costLines(a *Derivation, depth, item int, seen map[int]bool) {
	it := y.Graph.Items[item]
	if it.Role == graph.Bought {
		a.line(depth, y.p.Costing.Unit[item]*it.Unit.Factor, moneyPer(y.Week.Kitchen, it.Unit.Name), "%s is bought at this price", it.Name)
		return
	}
	if seen[item] {
		a.line(depth, y.p.Costing.Unit[item]*it.Unit.Factor, moneyPer(y.Week.Kitchen, it.Unit.Name), "%s: as above", it.Name)
		return
	}
	seen[item] = true
	for s, st := range y.Graph.Steps {
		for o, out := range st.Gives {
			if out.Item == item {
				y.makerLines(a, depth, s, o, seen)
			}
		}
	}
}

// makerLines says what an output of a step bears of its bill, and what the bill is made of.
func (y *deriving) makerLines(a *Derivation, depth, s, o int, seen map[int]bool) {
	c, st := y.p.Costing, y.Graph.Steps[s]
	bill, out := c.Bill(s), st.Gives[o]
	it := y.Graph.Items[out.Item]
	if len(st.Gives) > 1 && bill > 0 {
		q := out.Amount / it.Unit.Factor
		a.line(depth, c.Share(s, o), moneyUnit(y.Week.Kitchen), "%s of %s bears this part of its bill, shared by %s: %.1f%%, and costs %s/%s",
			it.Name, st.Name, RuleWords[y.Terms.Share[s]], 100*c.Share(s, o)/bill, rate(y.Money, c.Share(s, o)/q), it.Unit.Name)
	}
	if s < len(y.Steps) {
		a.line(depth, bill, moneyUnit(y.Week.Kitchen), "bill of one batch of %s", st.Name)
	} else {
		a.line(depth, bill, moneyUnit(y.Week.Kitchen), "one portion of %s takes", st.Name)
	}
	y.billLines(a, depth+1, s, seen)
}

// billLines are the parts of a step's bill, each with what its unit cost rests on.
func (y *deriving) billLines(a *Derivation, depth, s int, seen map[int]bool) {
	c := y.p.Costing
	for at, l := range y.Graph.Steps[s].Takes {
		first := l.Choices[y.p.Case.Flow.Costed(s, at)]
		it := y.Graph.Items[first.Item]
		a.line(depth, first.Amount*c.Unit[first.Item], moneyUnit(y.Week.Kitchen), "%s at %s", y.Exactly(first.Item, first.Amount),
			rate(y.Money, c.Unit[first.Item]*it.Unit.Factor)+"/"+it.Unit.Name)
		if it.Role != graph.Bought && !l.Carried {
			y.costLines(a, depth+1, first.Item, seen)
		}
		for n, c := range l.Choices {
			if like := y.TastesLike(l, n, c.Amount); like != "" {
				a.line(depth+1, 0, "", "or %s: %s", y.Exactly(c.Item, c.Amount), like)
			}
		}
	}
	if labour := y.Terms.Cost[s]; labour > 0 {
		a.line(depth, labour, moneyUnit(y.Week.Kitchen), "labour and fuel")
	}
}

// bill derives the bill of one batch and who bears it.
func (y *deriving) bill(s int) []*Derivation {
	st := y.Graph.Steps[s]
	a := &Derivation{Figure: "bill of one batch of " + st.Name, Value: y.p.Costing.Bill(s), Unit: moneyUnit(y.Week.Kitchen)}
	y.billLines(a, 0, s, map[int]bool{})
	for o, out := range st.Gives {
		a.line(0, y.p.Costing.Share(s, o), moneyUnit(y.Week.Kitchen), "borne by %s, by %s", y.Exactly(out.Item, out.Amount),
			RuleWords[y.Terms.Share[s]])
	}
	return []*Derivation{a}
}

// runs derives what a step did on some days.
func (y *deriving) runs(step int, when string) (all []*Derivation, err error) {
	days, err := y.RunDays(step, when)
	if err != nil {
		return nil, err
	}
	if len(days) > 1 || days[0] >= 0 {
		if days, err = y.DaysNamed(when); err != nil {
			return nil, err
		}
	}
	st := y.Graph.Steps[step]
	for _, d := range days {
		a := &Derivation{Figure: fmt.Sprintf("batches of %s on %s", st.Name, y.DayName(d)), Unit: "batch"}
		at := map[int]bool{} // the minutes at which the runs of the day take and give
		for r, run := range y.p.Case.Schedule.Batches {
			if run.Step != step || run.Day != d || run.Size == 0 {
				continue
			}
			ran := y.p.Outcome.Ran[r]
			at[ran.Start] = true
			for _, g := range st.Gives {
				at[ran.Start+g.OutAt] = true
			}
			a.Value += ran.Batches
			a.line(0, run.Size, "batch", "due, starting %s", y.Moment(ran.Start))
			if ran.Limit >= 0 {
				a.line(0, ran.Batches, "batch", "done: not enough %s", y.Graph.Items[ran.Limit].Name)
			}
			if run.Lost > 0 {
				a.line(0, 100*run.Lost, "%", "of what it gave was lost")
			}
		}
		for _, pot := range y.p.Case.Schedule.Pots {
			if pot.Step != step || pot.Day != d {
				continue
			}
			a.Value += pot.Batches
			a.line(0, pot.Batches, "batch", "under way, begun %s", y.Moment(pot.Start))
			if pot.Lost > 0 {
				a.line(0, 100*pot.Lost, "%", "of what it still gives is lost")
			}
		}
		if st.Mode == graph.AllOf {
			a.Value = y.allOf(step, d)
			a.line(0, a.Value, "batch", "all there was of %s", y.Graph.Items[st.Takes[0].Choices[0].Item].Name)
		}
		y.strengths(a, step, d)
		for k, pot := range y.p.Case.Schedule.Pots {
			if pot.Step == step && pot.Day == d {
				y.entries(a, func(e flow.Entry) bool { return e.Pot == k }, true)
			}
		}
		y.entries(a, func(e flow.Entry) bool {
			return e.Step == step && e.Pot < 0 && (at[e.At] || st.Mode == graph.AllOf && y.within(e.At, d, d+1))
		}, true)
		all = append(all, a)
	}
	return all, nil
}

// allOf is how many batches a step that takes all there is did on a day, by its first line.
func (y *deriving) allOf(step, day int) (batches float64) {
	for _, e := range y.p.Record.Entries {
		for _, c := range y.Graph.Steps[step].Takes[0].Choices {
			if e.What == flow.Took && e.Step == step && e.Item == c.Item && y.within(e.At, day, day+1) {
				batches += e.Amount / c.Amount
			}
		}
	}
	return batches
}

func (y *deriving) within(minute, from, to int) bool { return minute >= from*1440 && minute < to*1440 }

// entries writes what was noted of some movements, one line for each item, moment and kind.
func (y *deriving) entries(a *Derivation, keep func(flow.Entry) bool, names bool) {
	type key struct {
		at   int
		what flow.What
		item int
		step int
		sub  bool

		line, choice int // of a substitute; else 0
	}
	sums := map[key]float64{}
	var order []key
	for _, e := range y.p.Record.Entries {
		if !keep(e) {
			continue
		}
		k := key{at: e.At, what: e.What, item: e.Item, step: e.Step, sub: e.Substitute}
		if e.Substitute {
			k.line, k.choice = e.Line, e.Choice
		}
		if _, seen := sums[k]; !seen {
			order = append(order, k)
		}
		sums[k] += e.Amount
	}
	slices.SortStableFunc(order, func(a, b key) int { return cmp.Compare(a.at, b.at) })
	for _, k := range order {
		it := y.Graph.Items[k.item]
		step := ""
		if k.step >= 0 {
			step = y.Graph.Steps[k.step].Name
		}
		what := map[flow.What]string{flow.Arrived: "delivered", flow.Came: "given by " + step, flow.Failed: "lost by " + step,
			flow.Took: "taken by " + step, flow.Expired: "binned: it keeps no longer", flow.Spoiled: "found spoiled and binned"}[k.what]
		if k.sub {
			what += ", as a substitute"
		}
		if names {
			what = it.Name + " " + what
		}
		sign := 1.0
		if k.what == flow.Took || k.what == flow.Expired || k.what == flow.Spoiled {
			sign = -1
		}
		a.line(0, sign*sums[k]/it.Unit.Factor, it.Unit.Name, "%s %s", y.Moment(k.at), what)
		if k.sub {
			if like := y.TastesLike(y.Graph.Steps[k.step].Takes[k.line], k.choice, sums[k]); like != "" {
				a.line(1, 0, "", "%s", like)
			}
		}
	}
}

// shelf derives what is on hand of an item at the end of some days.
func (y *deriving) shelf(item int, when string) (all []*Derivation, err error) {
	days, err := y.DaysNamed(when)
	if err != nil {
		return nil, err
	}
	it := y.Graph.Items[item]
	for _, d := range days {
		stock := 0.0
		for _, l := range y.p.Record.Lots {
			if l.Item == item && l.Origin == flow.OnHand {
				stock += l.Amount
			}
		}
		for _, e := range y.p.Record.Entries {
			if e.Item == item && e.At < d*1440 || e.Item == item && e.At == d*1440 && e.What == flow.Expired {
				stock += signed(e)
			}
		}
		a := &Derivation{Figure: fmt.Sprintf("%s on hand when %s ends", it.Name, y.DayName(d)), Unit: it.Unit.Name}
		a.line(0, stock/it.Unit.Factor, it.Unit.Name, "on hand when the day began")
		today := func(e flow.Entry) bool {
			return e.Item == item && (y.within(e.At, d, d+1) && !(e.At == d*1440 && e.What == flow.Expired) ||
				e.At == (d+1)*1440 && e.What == flow.Expired)
		}
		y.entries(a, func(e flow.Entry) bool { return today(e) && e.What != flow.Failed }, false)
		for _, e := range y.p.Record.Entries {
			if today(e) {
				stock += signed(e)
			}
		}
		if a.Value = stock / it.Unit.Factor; a.Value < 0 || stock < 1e-9*y.p.Outcome.Made[item] {
			a.Value = 0 // the rounding of sums
		}
		all = append(all, a)
	}
	return all, nil
}

// signed is what an entry adds to the shelf.
func signed(e flow.Entry) float64 {
	switch e.What {
	case flow.Arrived, flow.Came:
		return e.Amount
	case flow.Failed:
		return 0
	}
	return -e.Amount
}

// portions derives how many portions of a dish are sold at some services.
func (y *deriving) portions(item int, when string) (all []*Derivation, err error) {
	slots, err := y.SlotsNamed(when)
	if err != nil {
		return nil, err
	}
	d := slices.IndexFunc(y.Dishes, func(d kitchen.Dish) bool { return d.Item == item })
	asked := y.p.Case.Schedule.Asked()
	for _, k := range slots {
		sit := y.Sittings[k]
		forecast := asked[k*len(y.Dishes)+d]
		sold := y.p.Outcome.Served[k*len(y.Dishes)+d]
		a := &Derivation{Figure: fmt.Sprintf("portions of %s, %s %s", y.Dishes[d].Name, y.DayName(sit.Day), y.Services[sit.Service].Name),
			Value: sold, Unit: "portion"}
		y.asking(a, d, k, forecast)
		for _, st := range y.p.Record.Stops {
			if st.Slot != k || st.Want != d {
				continue
			}
			a.line(0, st.Share*forecast, "portion", "could be served before it stopped, rationed by the rule %q", y.Rule)
			for depth, link := range because(y.Week, y.p, st) {
				a.line(depth+1, 0, "", "%s", link)
			}
		}
		a.line(0, sold, "portion", "in whole portions, with what rounding freed offered round")
		at := y.p.Case.Schedule.ServedAt(k)
		y.entries(a, func(e flow.Entry) bool {
			return e.At == at && e.What == flow.Took && e.Step == len(y.Steps)+d
		}, true)
		all = append(all, a)
	}
	return all, nil
}
