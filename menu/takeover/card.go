package takeover

// Cards: what a recipe takes and gives, new or laid over what the kitchen has.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// measurable tells whether an amount of an item can be led to how it is counted.
func (i *into) measurable(name string, q measure.Quantity) bool {
	if o := i.steps[logbook.NameKey(name)]; o != nil {
		if _, old := i.oldStep(o); !old {
			line := strings.TrimPrefix(i.gives(o), "some ")
			if line != i.gives(o) {
				line = "1 " + line
			}
			given, _, err := measure.ParsePrefix(line)
			return err == nil && (given.Unit.Kind == measure.Count) == (q.Unit.Kind == measure.Count)
		}
	}
	if kind, fresh := i.kinds[name]; fresh {
		return (kind == measure.Count) == (q.Unit.Kind == measure.Count)
	}
	if i.k == nil {
		return true
	}
	at, err := i.k.FindItemOf(name, "item", graph.Bought, graph.Made)
	if err != nil {
		return true // a step of this file
	}
	it := i.k.Graph.Items[at]
	_, ok := it.Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind)
	return ok || it.Unit.Kind != measure.Count && q.Unit.Kind != measure.Count // a density stands in
}

// cardLine is a line as it is written into the file.
type cardLine struct {
	item   string
	q      measure.Quantity
	guess  bool
	unsaid []Left // rows that do not say how much
	only   bool   // no other row says it: q is one of its unit
}

func (l cardLine) text() string {
	if l.only {
		return "some " + l.q.Unit.Name + " " + l.item
	}
	text := written(l.q) + " " + l.item
	if l.guess {
		text += ", guessed"
	}
	return text
}

// card is what a recipe takes, for a portion of a dish or for a batch.
func (i *into) card(r *Recipe, portions float64, guess bool) (lines []cardLine) {
	for _, l := range r.Lines {
		name, ok := i.item(l, r)
		if !ok {
			continue
		}
		q, unsaid := l.Amount, l.Unsaid
		if unsaid == nil {
			q.Amount /= portions
		}
		if portions != 1 && unsaid == nil {
			q = handy(q)
		}
		if !i.measurable(name, q) {
			if unsaid == nil {
				unsaid = &Left{r.Where, fmt.Sprintf("%s: %s %s", r.Name, written(q), name),
					fmt.Sprintf("it is counted in one place and weighed in another: write what one weighs, such as each: 200 g, at %q", name)}
			}
			q = otherwise(q.Unit.Kind, name)
		}
		if unsaid != nil {
			at := slices.IndexFunc(lines, func(o cardLine) bool { return o.item == name })
			if at < 0 {
				at, lines = len(lines), append(lines, cardLine{item: name, q: q, only: true})
			}
			lines[at].unsaid = append(lines[at].unsaid, *unsaid)
			continue
		}
		if at := slices.IndexFunc(lines, func(o cardLine) bool { return o.item == name && o.only }); at >= 0 {
			lines[at].q, lines[at].guess, lines[at].only = q, l.Guessed || guess, false
			continue
		}
		if at := slices.IndexFunc(lines, func(o cardLine) bool { return o.item == name && o.q.Unit.Kind == q.Unit.Kind }); at >= 0 {
			lines[at].q.Amount += q.Base() / lines[at].q.Unit.Factor
			continue
		}
		lines = append(lines, cardLine{item: name, q: q, guess: l.Guessed || guess})
	}
	return lines
}

// otherwise is one of a unit of the other kind: of what is weighed, a piece.
func otherwise(kind measure.Kind, name string) measure.Quantity {
	u := measure.Each
	if kind == measure.Count {
		if u, _ = measure.UnitNamed("g"); kitchen.Liquid(name) {
			u, _ = measure.UnitNamed("mL")
		}
	}
	return measure.Quantity{Amount: 1, Unit: u}
}

// open notes which lines of a new card stand without an amount, or with less than all of it.
func (i *into) open(lines []cardLine) {
	for _, l := range lines {
		i.stands(l, l.text())
	}
}

func (i *into) stands(l cardLine, text string) {
	for _, row := range l.unsaid {
		i.t.Unsaid = append(i.t.Unsaid, Unsaid{row, text})
	}
}

func takes(lines []cardLine) []string {
	list := []string{"takes"}
	for _, l := range lines {
		list = append(list, l.text())
	}
	return list
}

// gives is the line of what a new step gives.
func (i *into) gives(r *Recipe) string {
	kind, _ := i.usedBy(r)
	switch {
	case r.Yield != "":
		return r.Yield + " " + r.Name
	case kind == measure.Count && r.Portions > 0:
		return measure.FormatNumber(r.Portions) + " each " + r.Name
	case kind == measure.Count:
		return "1 each " + r.Name + ", guessed"
	case kind == measure.Volume || kitchen.Liquid(r.Name):
		return "some L " + r.Name
	}
	return "some kg " + r.Name
}

// same is how far two amounts may be apart that mean the same: what is printed with four digits.
const same = 1e-3

// recard changes the card of a step or dish to other lines. Lines of one item belong together; what else stands on a line stays. An amount that
// can't be read takes nothing off a card: its line stays as it is.
func (i *into) recard(list, name string, node int, lines []cardLine) (edits []kitchen.Edit) {
	st := i.k.Graph.Steps[node]
	var gone []int
	stays := map[string]bool{} // of what the file does not say how much: all lines of it
	for at, old := range st.Takes {
		item := i.k.Graph.Items[old.Choices[0].Item]
		n := slices.IndexFunc(lines, func(l cardLine) bool { return l.item == item.Name })
		if n < 0 && stays[item.Name] {
			continue
		}
		if n < 0 {
			if other := slices.IndexFunc(lines, func(l cardLine) bool { // a substitute is the line, too
				return slices.ContainsFunc(old.Choices, func(c graph.Choice) bool { return i.k.Graph.Items[c.Item].Name == l.item })
			}); other >= 0 {
				i.stands(lines[other], i.asItStands(node, at))
				lines = slices.Delete(slices.Clone(lines), other, other+1)
				continue
			}
			gone = append(gone, at)
			continue
		}
		l := lines[n]
		lines = slices.Delete(slices.Clone(lines), n, n+1)
		if l.only {
			stays[item.Name] = true
			i.stands(l, i.asItStands(node, at))
			continue
		}
		i.stands(l, l.text())
		base, ok := item.Bridge().Convert(l.q.Base(), l.q.Unit.Kind, item.Unit.Kind)
		if was := old.Choices[0].Amount; !ok || base < was*(1-same) || base > was*(1+same) || i.k.Unsaid(node, at) {
			edits = append(edits, kitchen.Reamount(list, name, "takes", at, written(l.q)))
		}
	}
	for _, l := range lines {
		i.stands(l, l.text())
		edits = append(edits, kitchen.AddLine(list, name, "takes", len(st.Takes), l.text()))
	}
	slices.Reverse(edits[len(edits)-len(lines):]) // each goes in before the one added last
	for _, at := range slices.Backward(gone) {
		edits = append(edits, kitchen.DropLine(list, name, "takes", at))
	}
	return edits
}

// asItStands is a line of a card, as far as it says how much of what.
func (i *into) asItStands(node, at int) string {
	c := i.k.Graph.Steps[node].Takes[at].Choices[0]
	return cardLine{item: i.k.Graph.Items[c.Item].Name, q: i.k.QuantityIn(node, at, c.Item, c.Amount), only: i.k.Unsaid(node, at)}.text()
}

// reyield changes what a step gives, where the recipe says so and it gives one thing.
func (i *into) reyield(r *Recipe, step int) []kitchen.Edit {
	st := i.k.Graph.Steps[step]
	q, err := measure.Parse(r.Yield)
	if r.Yield == "" || err != nil || len(st.Gives) != 1 {
		return nil
	}
	item := i.k.Graph.Items[st.Gives[0].Item]
	base, ok := item.Bridge().Convert(q.Base(), q.Unit.Kind, item.Unit.Kind)
	if was := st.Gives[0].Amount; ok && base >= was*(1-same) && base <= was*(1+same) {
		return nil
	}
	return []kitchen.Edit{kitchen.Reamount(kitchen.InSteps, st.Name, "gives", 0, r.Yield)}
}
