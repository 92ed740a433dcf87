package ask

// The map: the flow as a picture, with what shocks did to it.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/draw"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// By says what the widths and tones of a map mean.
type By string

const (
	ByWeight   By = "weight"   // widths: share of a batch's weight; tones: weight that passes over the period
	ByCost     By = "cost"     // widths: share of a bill; tones: money that passes over the period
	ByShortage By = "shortage" // widths and tones: how much less there is than before the shocks
)

// Bys are all of them.
var Bys = []By{ByWeight, ByCost, ByShortage}

// Map draws the week with shocks. Around, when it names an item, step or dish, leaves only what that comes from and what
// comes of it: in full or, where the shocks reached it, without what goes only into things that they did not reach. Without
// it the whole kitchen is drawn, as far as it can be read on A3: some bought items, and steps
// that give one item, are only named, in the boxes of what they go into, and keeping and clock times are left out.
func Map(ctx context.Context, w *week.Week, shocks []week.Shock, around string, by By) (draw.Picture, error) {
	if !slices.Contains(Bys, by) {
		return draw.Picture{}, fmt.Errorf("a map can't be drawn by %q: choose weight, cost or shortage", by)
	}
	before, after, err := w.Compare(ctx, shocks...)
	if err != nil {
		return draw.Picture{}, err
	}
	about, only := -1, []int(nil)
	if around != "" {
		if about, err = node(w.Kitchen, around); err != nil {
			return draw.Picture{}, err
		}
		only = draw.Around(w.Graph, about)
	}
	m := &mapping{Week: w, before: before, after: after, shocks: shocks, whole: around == "", with: map[string][]string{}, into: map[string][]string{}}
	m.Picture = draw.FromGraph(w.Graph, only, onCards(w))
	m.Title = cmp.Or(w.Name, "The flow")
	if m.Part = around != ""; m.Part {
		m.Title += ": around " + around
	}
	for i := range m.Nodes {
		m.node(&m.Nodes[i], by)
	}
	m.weigh(by)
	if m.whole {
		m.join()
		m.fold()
		m.spread(by)
		m.foldFurther()
		m.tellFolded()
	} else {
		m.prune(about)
	}
	m.spread(by)
	m.caption()
	return m.Picture, nil
}

// join draws a step and the one item that it gives as one box, where no other step gives that item: half the columns say
// as much.
func (m *mapping) join() {
	at := map[string]int{}
	for k, n := range m.Nodes {
		at[n.ID] = k
	}
	makers, gifts := map[string]int{}, map[string]int{}
	for _, e := range m.Edges {
		if e.Choice < 0 {
			makers[e.To]++
			gifts[e.From]++
		}
	}
	joined := map[string]string{} // by id of a step: the id of its item
	m.Edges = slices.DeleteFunc(m.Edges, func(e draw.Edge) bool {
		if e.Choice >= 0 || makers[e.To] != 1 || gifts[e.From] != 1 {
			return false
		}
		joined[e.From] = e.To
		step, item := &m.Nodes[at[e.From]], &m.Nodes[at[e.To]]
		item.Lines = append(item.Lines, strings.Join(append([]string{"by " + step.Name}, step.Lines...), ", "))
		item.Tone = max(item.Tone, step.Tone)
		switch {
		case step.State == draw.Out || step.State == draw.Short && item.State == draw.Untouched:
			item.State, item.StateWords = step.State, step.StateWords
		case step.Origin && step.StateWords != "":
			item.StateWords = step.StateWords + "; " + item.StateWords
		}
		item.Origin = item.Origin || step.Origin
		return true
	})
	for k, e := range m.Edges {
		if item, ok := joined[e.To]; ok {
			m.Edges[k].To = item
		}
	}
	m.Nodes = slices.DeleteFunc(m.Nodes, func(n draw.Node) bool { return joined[n.ID] != "" })
}

const (
	// small is the share of a bill below which a bought item is said in its users' boxes instead of having one of its own:
	// a map of the whole kitchen is about what hangs on what, not about the salt.
	small = 0.1
	// roomy is how many boxes a sheet of A3 has room for in print that is easy to read. Where there are more, only those
	// bought items have boxes that are broken down: a pot's, whose by-products feed the rest.
	roomy = 40
)

// fold writes bought items that are free, or small in all that uses them, into the boxes of their users; on a crowded map,
// all that feed no step which gives two items or more. One that the shocks touched keeps its own box.
func (m *mapping) fold() {
	gives, boxes := 1, 0
	for _, n := range m.Nodes {
		if n.Kind != draw.Bought || m.isLarge(n.Item, gives) {
			boxes++
		}
	}
	if boxes > roomy {
		gives = 2
	}
	used := map[string]bool{} // by id: one that nothing uses could be named nowhere
	for _, e := range m.Edges {
		used[e.From] = true
	}
	folded := map[string]bool{} // by id
	for _, n := range m.Nodes {
		folded[n.ID] = n.Kind == draw.Bought && used[n.ID] && !wasHit(n) && !m.isLarge(n.Item, gives)
	}
	m.Edges = slices.DeleteFunc(m.Edges, func(e draw.Edge) bool {
		if folded[e.From] {
			m.say(e.To, m.ingredient(e))
		}
		return folded[e.From]
	})
	m.Nodes = slices.DeleteFunc(m.Nodes, func(n draw.Node) bool { return folded[n.ID] })
}

// wasHit tells whether the shocks reached a box.
func wasHit(n draw.Node) bool { return n.Origin || n.State == draw.Short || n.State == draw.Out }

// prune leaves out of a part, where the shocks reached the thing that it is about, what is behind things that they did not reach:
// where the shoulder bones of a lost kettle come from says nothing of what follows.
func (m *mapping) prune(around int) {
	reached, kept := map[string]bool{}, map[string]bool{} // by id
	for _, n := range m.Nodes {
		is := n.Item == around || n.Step >= 0 && m.Graph.Node(n.Step) == around
		if reached[n.ID] = wasHit(n); is && !reached[n.ID] {
			return
		}
		kept[n.ID] = reached[n.ID]
	}
	for more := true; more; { // what comes of it
		more = false
		for _, e := range m.Edges {
			if kept[e.From] && !kept[e.To] {
				kept[e.To], more = true, true
			}
		}
	}
	for _, e := range m.Edges {
		kept[e.From] = kept[e.From] || reached[e.To]
	}
	all := len(m.Nodes)
	m.Nodes = slices.DeleteFunc(m.Nodes, func(n draw.Node) bool { return !kept[n.ID] })
	m.Edges = slices.DeleteFunc(m.Edges, func(e draw.Edge) bool { return !kept[e.From] || !kept[e.To] })
	m.pruned = len(m.Nodes) < all
}

// ingredient is how a user's box names what has no box of its own.
func (m *mapping) ingredient(e draw.Edge) string {
	words := m.Graph.Items[e.Item].Name
	switch {
	case e.Substitute:
		words += " if no " + m.Graph.Items[m.Graph.Steps[e.Step].Takes[e.Line].Choices[0].Item].Name
	case m.Graph.Steps[e.Step].Takes[e.Line].Without == 1:
		words += " (to taste)"
	case e.Optional:
		words += " (optional)"
	}
	return words
}

// isLarge tells whether an item that costs money is more than a small part of the bill of some step that gives so many
// items.
func (m *mapping) isLarge(item, gives int) bool {
	if m.Free(item) {
		return false
	}
	for s, st := range m.Graph.Steps {
		for _, l := range st.Takes {
			for _, c := range l.Choices {
				if c.Item == item && len(st.Gives) >= gives && c.Amount*m.before.Costing.Unit[item] >= small*m.before.Costing.Bill(s) {
					return true
				}
			}
		}
	}
	return false
}

// node is the number of the node that a name stands for.
func node(k *kitchen.Kitchen, name string) (int, error) {
	if step, err := k.FindStep(name); err == nil {
		return k.Graph.Node(step), nil
	}
	return k.FindItemOf(name, "item, step or dish", graph.Bought, graph.Made, graph.Sold)
}

// mapping fills a picture in.
type mapping struct {
	*week.Week
	draw.Picture
	before, after *week.Played
	shocks        []week.Shock
	whole         bool // not only what is around something
	pruned        bool // of a part, what is behind untouched things is left out

	// What has no box of its own: what a box says of it, by its id, and of which kinds it is.
	with, into             map[string][]string
	bought, order, dropped bool
}

// caption says what the map shows, and what it leaves out.
func (m *mapping) caption() {
	m.Caption = m.story()
	m.Caption += m.leftOut()
	if m.pruned {
		m.Caption += " What goes into untouched boxes is not shown."
	}
}

func (m *mapping) story() string {
	span := fmt.Sprintf("%s to %s", m.DayName(0), m.DayName(m.Days-1))
	if len(m.shocks) == 0 {
		return "From what is bought, at the left, to what is sold, at the right. Amounts are for one batch or portion; " + span + "."
	}
	var texts []string
	for _, s := range m.shocks {
		texts = append(texts, s.String())
	}
	b, a := m.before.Books, m.after.Books
	return fmt.Sprintf("What follows from: %s. %s portions of %s are sold, %s; contribution changes by %s %s.",
		strings.Join(texts, "; "), measure.FormatNumber(a.Portions), measure.FormatNumber(b.Portions), span,
		measure.FormatNumber(math.Round(a.Contribution-b.Contribution)), moneyUnit(m.Week.Kitchen))
}

// node writes what is known of a box, and what became of it.
func (m *mapping) node(n *draw.Node, by By) {
	c := m.after.Costing
	switch n.Kind {
	case draw.Bought, draw.Made:
		it := m.Graph.Items[n.Item]
		if by == ByCost {
			n.Lines = append(n.Lines, fmt.Sprintf("%.2f %s", c.Unit[n.Item]*it.Unit.Factor, moneyPer(m.Week.Kitchen, it.Unit.Name)))
		}
		if days := m.Terms.Keeps[n.Item]; days > 0 && n.Kind == draw.Made && !m.whole {
			n.Lines = append(n.Lines, "keeps "+measure.FormatDays(days))
		}
	case draw.Step:
		n.Lines = m.stepWords(n.Step)
	case draw.Dish:
		dish := m.Dishes[n.Step-len(m.Steps)]
		if dish.Special {
			n.Kind = draw.Special
		}
		if by == ByCost {
			price := fmt.Sprintf("%.2f %s", dish.Price, moneyUnit(m.Week.Kitchen))
			if dish.Unpriced {
				price = "no price"
			}
			n.Lines = append(n.Lines, fmt.Sprintf("%s, costs %.2f", price, c.Unit[n.Item]))
		}
	}
	if len(m.shocks) > 0 {
		n.State, n.StateWords = m.state(n)
		n.Origin = slices.ContainsFunc(m.shocks, func(s week.Shock) bool { return slices.ContainsFunc(s.Changes, m.isOf(n)) })
	}
}

// isOf tells of changes whether they are made to a box's own thing.
func (m *mapping) isOf(n *draw.Node) func(flow.Shock) bool {
	return func(change flow.Shock) bool {
		switch c := change.(type) {
		case flow.Lose:
			return c.Step == n.Step
		case flow.Yield:
			return c.Step == n.Step
		case flow.Delay:
			return c.Step == n.Step
		case flow.Ask:
			return c.Want+len(m.Steps) == n.Step
		case flow.Scarce:
			return c.Item == n.Item
		case flow.Spoil:
			return c.Item == n.Item
		case flow.Reprice:
			return c.Item == n.Item
		}
		return false
	}
}

// stepWords says when a step runs and where; on the whole map without the clock.
func (m *mapping) stepWords(s int) (words []string) {
	card := m.Steps[s]
	switch st := m.Graph.Steps[s]; {
	case st.Mode == graph.AllOf:
		words = append(words, "all of it")
	case st.AsNeeded():
		words = append(words, "as needed")
	case st.Mode == graph.ToOrder:
		words = append(words, "to order")
	default:
		var days kitchen.Days
		for wd, n := range card.Batches {
			days[wd] = n > 0
		}
		if when := days.String(); when != "" {
			if card.Starts != flow.Untimed && !m.whole {
				when += " at " + measure.FormatClock(card.Starts)
			}
			words = append(words, when)
		}
	}
	if card.Vessel >= 0 {
		words = append(words, m.Vessels[card.Vessel].Name)
	}
	return words
}

// touched is the least share by which there is less of a thing for it to count as short: it guards against rounding.
const touched = 1e-6

// state is what became of a box: a dish by its portions; a step by its batches; an item by what came of it, or by having
// held something up.
func (m *mapping) state(n *draw.Node) (draw.State, string) {
	was, is, unit := m.amounts(n)
	switch {
	case was > 0 && is <= was*touched:
		return draw.Out, m.since("OUT", n)
	case n.Kind == draw.Step && m.batchesLost(n.Step) > 0:
		return draw.Short, fmt.Sprintf("lost: %s of %s %s", measure.FormatNumber(round3(m.batchesLost(n.Step))), measure.FormatNumber(round3(was)), unit)
	case is < was*(1-touched):
		return draw.Short, m.since(fmt.Sprintf("short: %s of %s %s", onScale(is, unit), onScale(was, unit), unit), n)
	case n.Step < 0 && m.heldUp(n.Item):
		return draw.Short, "runs out too soon"
	case n.Kind == draw.Step && slices.ContainsFunc(m.Graph.Steps[n.Step].Gives, func(o graph.Output) bool { return m.heldUp(o.Item) }):
		return draw.Short, "held up"
	}
	return draw.Untouched, ""
}

// onCards writes amounts as the cards of a kitchen have them.
func onCards(w *week.Week) draw.Amount {
	return func(step, line, item int, base float64) string { return w.OnCard(step, line, item, base).String() }
}

// onScale is a figure as a scale shows it, if it is weighed or poured.
func onScale(x float64, unit string) string {
	if u, err := measure.UnitNamed(unit); err == nil && u.Kind != measure.Count {
		x = measure.Quantity{Amount: x, Unit: u}.OnScale().Amount
	}
	if unit == measure.Each.Name {
		return measure.FormatPieces(x)
	}
	return measure.FormatNumber(round3(x))
}

func round3(x float64) float64 {
	if x == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-2)
	return math.Round(x/unit) * unit
}

// since adds when a dish first runs out.
func (m *mapping) since(words string, n *draw.Node) string {
	if n.Kind != draw.Dish && n.Kind != draw.Special {
		return words
	}
	d := n.Step - len(m.Steps)
	for k, slot := range m.after.Case.Schedule.Slots {
		at := k*len(m.Dishes) + d
		if sold := m.after.Outcome.Served[at]; sold < m.before.Outcome.Served[at] {
			forecast := m.after.Case.Schedule.Asked()[at]
			if forecast == 0 {
				return words + ", struck off"
			}
			begins := m.after.Case.Schedule.ServedAt(k)
			out := begins + int(sold/forecast*float64(slot.End-begins))
			return fmt.Sprintf("%s from %s %s", words, m.Date(slot.Day).Format("Mon"), measure.FormatClock(out-slot.Day*1440))
		}
	}
	return words
}

// amounts are what there was of a box's thing before and after, in a unit that is named. Of what is made to order or
// bought, less is no shortage in itself: less may have been asked for.
func (m *mapping) amounts(n *draw.Node) (was, is float64, unit string) {
	b, a := m.before.Outcome, m.after.Outcome
	switch {
	case n.Kind == draw.Dish || n.Kind == draw.Special:
		d := n.Step - len(m.Steps)
		for at := d; at < len(a.Served); at += len(m.Dishes) {
			was += b.Served[at]
			is += a.Served[at]
		}
		return was, is, "sold,"
	case n.Kind == draw.Step:
		if m.Graph.Steps[n.Step].Mode == graph.ToOrder {
			return 0, 0, ""
		}
		alight := m.alight(n.Step)
		return b.Batches[n.Step] + alight, a.Batches[n.Step] + alight - m.batchesLost(n.Step), "batches"
	case n.Kind == draw.Bought:
		for _, d := range a.Deliveries {
			if d.Item == n.Item {
				was += d.Ordered
				is += d.Amount
			}
		}
	case m.fromBatches(n.Item):
		still := m.inPots(n.Item)
		was, is = b.Made[n.Item]+still, a.Made[n.Item]+still
	}
	it := m.Graph.Items[n.Item]
	return was / it.Unit.Factor, is / it.Unit.Factor, it.Unit.Name
}

// batchesLost is how many batches of a step failed.
func (m *mapping) batchesLost(step int) (lost float64) {
	for r, run := range m.after.Case.Schedule.Batches {
		if run.Step == step && run.Day < m.Days {
			lost += m.after.Outcome.Ran[r].Batches * run.Lost
		}
	}
	for _, pot := range m.after.Case.Schedule.Pots {
		if pot.Step == step {
			lost += pot.Batches * pot.Lost
		}
	}
	return lost
}

// alight is how many batches of a step were under way at first.
func (m *mapping) alight(step int) (batches float64) {
	for _, pot := range m.Case.Schedule.Pots {
		if pot.Step == step {
			batches += pot.Batches
		}
	}
	return batches
}

// inPots is what of an item batches that were under way at first had still to give.
func (m *mapping) inPots(item int) (amount float64) {
	for _, pot := range m.Case.Schedule.Pots {
		for _, g := range pot.Gives {
			if g.Item == item {
				amount += g.Amount
			}
		}
	}
	return amount
}

// fromBatches tells whether some step that does not wait for orders gives an item.
func (m *mapping) fromBatches(item int) bool {
	return slices.ContainsFunc(m.Graph.Steps, func(st graph.Step) bool {
		return st.Mode != graph.ToOrder && slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == item })
	})
}

// heldUp tells whether an item stopped a dish that the shocks made short.
func (m *mapping) heldUp(item int) bool {
	for _, st := range m.after.Record.Stops {
		at := st.Slot*len(m.Dishes) + st.Want
		if slices.Contains(st.Items, item) && m.after.Outcome.Served[at] < m.before.Outcome.Served[at] {
			return true
		}
	}
	return false
}

// weigh sets widths and tones.
func (m *mapping) weigh(by By) {
	switch by {
	case ByWeight:
		m.ToneMeans = "weight passing through"
		m.tones(func(i int) float64 { g, _ := m.Graph.Items[i].Grams(1); return g })
	case ByCost:
		m.WidthMeans, m.ToneMeans = "share of the bill", "money passing through"
		for k := range m.Edges {
			m.Edges[k].Share = m.billShare(m.Edges[k])
		}
		m.tones(func(i int) float64 { return m.after.Costing.Unit[i] })
	case ByShortage:
		m.WidthMeans, m.ToneMeans = "share lost", "of it lost"
		hit := map[string]bool{}
		for _, n := range m.Nodes {
			hit[n.ID] = n.State == draw.Short || n.State == draw.Out
		}
		for k, e := range m.Edges {
			m.Edges[k].Share = 0
			// What a short dish leaves over of its other ingredients is no loss.
			if was, is := m.carries(m.before, e), m.carries(m.after, e); was > 0 && hit[e.From] {
				m.Edges[k].Share = max(0, min(1, 1-is/was))
			}
		}
		for k := range m.Nodes {
			if was, is, _ := m.amounts(&m.Nodes[k]); was > 0 {
				m.Nodes[k].Tone = max(0, min(1, 1-is/was))
			}
		}
	}
}

// tones sets each box's to what passes through it, with items measured by per base unit.
func (m *mapping) tones(per func(item int) float64) {
	for k := range m.Nodes {
		m.Nodes[k].Tone = max(0, m.passes(&m.Nodes[k], per))
	}
}

// spread scales the tones of the boxes that are left to the largest of them; shares of what was lost stand as they are.
// Where nothing passes at all, tones mean nothing.
func (m *mapping) spread(by By) {
	most := 0.0
	for _, n := range m.Nodes {
		most = max(most, n.Tone)
	}
	if most == 0 {
		m.ToneMeans = ""
		return
	}
	for k := range m.Nodes {
		if by != ByShortage {
			m.Nodes[k].Tone /= most
		}
	}
}

// passes is how much passes through a box over the period, with items measured by per base unit.
func (m *mapping) passes(n *draw.Node, per func(item int) float64) (total float64) {
	o := m.after.Outcome
	if n.Step < 0 {
		return (o.Opening[n.Item] + o.Made[n.Item] + o.Delivered(n.Item)) * per(n.Item)
	}
	for l, line := range m.Graph.Steps[n.Step].Takes {
		for c, choice := range line.Choices {
			total += o.Used[m.Case.Flow.Choice(n.Step, l, c)] * per(choice.Item)
		}
	}
	return total
}

// billShare is a line's share of the bill that it goes into, or comes out of.
func (m *mapping) billShare(e draw.Edge) float64 {
	c := m.after.Costing
	bill := c.Bill(e.Step)
	if bill <= 0 {
		return 0
	}
	if e.Choice < 0 {
		return max(0, min(1, c.Share(e.Step, e.Line)/bill))
	}
	// What costs less than nothing, a by-product that has to be paid for by the rest, takes no share.
	return max(0, min(1, m.Graph.Steps[e.Step].Takes[e.Line].Choices[e.Choice].Amount*c.Unit[e.Item]/bill))
}

// carries is how much passes along a line over the period.
func (m *mapping) carries(p *week.Played, e draw.Edge) float64 {
	if e.Choice >= 0 {
		return p.Outcome.Used[m.Case.Flow.Choice(e.Step, e.Line, e.Choice)]
	}
	batches := p.Outcome.Batches[e.Step] + m.alight(e.Step)
	made := batches * m.Graph.Steps[e.Step].Gives[e.Line].Amount
	if p == m.after && batches > 0 {
		made *= 1 - m.batchesLost(e.Step)/batches
	}
	return made
}
