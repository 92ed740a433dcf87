package menu

// A whole piece broken down on the scale: what each part costs by the way in which its step shares a bill, and what the step then gives.

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

// Cut is what was weighed, as it was typed.
type Cut struct {
	Step  string   // of the kitchen file; or, with New, what a new one is called
	New   bool     // it is a new step, and what the file does not have is new too
	Whole string   // "6 kg whole cod", or "6 kg"
	Price string   // of the whole piece, "9.50/kg", or "9.50" of what the scale shows; "" as the file has it
	Parts []string // "2.5 kg cod fillet"; "2.5 kg" where the step gives one thing
}

// BrokenDown is what a whole piece comes to.
type BrokenDown struct {
	Step    string
	Whole   string // its name
	Grams   float64
	Scale   string  // the unit in which it is weighed: "kg", or "lb" in a kitchen that weighs by it
	Batches float64 // of the step's card that it is
	Parts   []CutPart
	Trim    float64 // grams that are no part: what is lost
	Money   string
	Entry   string // of the log book, behind the kind: "cooked"
	Level   bool   // every kilo costs the same, for nobody has said what the parts are worth
	Ahead   bool   // what nobody weighed comes by the card to more than what is left, and counts as that
	Unsaid  bool   // the whole is new to the kitchen, and nobody said whether it is raw, and which allergens are in it
}

// CutPart is one part of it.
type CutPart struct {
	Name   string
	Amount string  // as it was weighed, or by the card
	Grams  float64 // 0 where nobody knows what a piece of it weighs
	Card   bool    // nobody weighed it: it is by the card
	Cost   float64 // of all of it
	Unit   string
	Each   float64 // what one unit costs
}

// BreakDown says what a cut comes to, and gives the text of the kitchen file with what the step gives by it. Faults of what was typed are of
// type [*measure.Error] or [*kitchen.AmendError].
func BreakDown(ctx context.Context, o Options, c Cut) (*BrokenDown, []byte, error) {
	src := o.Kitchen.Text
	var err error
	c.Parts = slices.Clone(c.Parts)
	for n := range c.Parts {
		c.Parts[n] = measure.Pointed(strings.TrimSpace(c.Parts[n]))
	}
	c.Whole = measure.Pointed(strings.TrimSpace(c.Whole))
	if c.New {
		c.Parts = summed(c.Parts)
		c.Price = perScale(c.Price, pricedBy(graph.Item{}, c.Whole))
		if src, err = c.begun(o.Kitchen.Name, src); err != nil {
			return nil, nil, err
		}
	}
	k, faults := kitchen.Read(o.Kitchen.Name, src)
	if k == nil {
		return nil, nil, faults
	}
	step, err := k.FindStep(c.Step)
	if err != nil {
		return nil, nil, &measure.Error{Msg: err.Error(), Hint: "name a step of the kitchen file, or say that it is a new one"}
	}
	st := k.Graph.Steps[step]
	line := st.Takes[0].Choices[0]
	whole := k.Graph.Items[line.Item]
	base, err := amountOf(k, c.Whole, line.Item)
	if err != nil {
		return nil, nil, err
	}
	b := &BrokenDown{Step: st.Name, Whole: whole.Name, Batches: base / line.Amount, Money: k.Money,
		Unsaid: c.New && c.Price != "" && !k.Raw[line.Item]}
	b.Grams, _ = whole.Grams(base)
	b.Scale = ScaleOf(whole, c.Whole)
	c.Price = perScale(c.Price, pricedBy(whole, c.Whole))

	// What was weighed, by output.
	weighed, typed := make([]float64, len(st.Gives)), make([]string, len(st.Gives))
	for _, text := range c.Parts {
		at, amount, err := partOf(k, step, text)
		if err != nil {
			return nil, nil, err
		}
		if weighed[at] += amount; typed[at] != "" { // the second leg
			text = k.QuantityOn(step, st.Gives[at].Item, weighed[at]).String() + " " + k.Graph.Items[st.Gives[at].Item].Name
		}
		typed[at] = text
	}
	c.Parts = slices.DeleteFunc(typed, func(text string) bool { return text == "" })
	sum, figures := 0.0, []kitchen.Figure(nil)
	byCard := b.fits(k, step, weighed)
	for n, out := range st.Gives {
		it, amount := k.Graph.Items[out.Item], weighed[n]
		p := CutPart{Name: it.Name, Card: amount == 0, Unit: it.Unit.Name}
		if p.Card {
			amount = out.Amount * b.Batches * byCard
		}
		if figure := amount / b.Batches; !c.New && (!p.Card || b.Ahead) {
			figures = append(figures, kitchen.Figure{Step: step, Output: n, Amount: figure})
		}
		p.Amount = k.QuantityOn(step, out.Item, amount).String()
		if p.Grams, _ = it.Grams(amount); !p.Card {
			sum += p.Grams
		}
		b.Parts = append(b.Parts, p)
	}
	if b.Grams > 0 && sum > b.Grams*(1+kitchen.Slack) {
		return nil, nil, tooHeavy(b.Weight(sum - b.Grams))
	}
	b.Trim = max(0, b.Grams-sum)
	b.Entry = b.entry(c)

	text := src
	if len(figures) > 0 {
		if text, err = k.Amend(src, figures...); err != nil {
			return nil, nil, err
		}
	}
	priced := text
	if b.Ahead { // what stands in is nothing to keep
		text = src
	}
	if c.Price != "" {
		if priced, err = kitchen.Change(k.File, priced, kitchen.Set(kitchen.InBought, whole.Name, "price", c.Price)); err != nil {
			return nil, nil, err
		}
	}
	return b, text, b.cost(ctx, o, priced, step)
}

// fits is how much of the card's figures counts for what nobody has weighed yet: all, or as much as is still on the board.
func (b *BrokenDown) fits(k *kitchen.Kitchen, step int, weighed []float64) float64 {
	known, card := 0.0, 0.0
	for n, out := range k.Graph.Steps[step].Gives {
		it := k.Graph.Items[out.Item]
		if weighed[n] > 0 {
			grams, _ := it.Grams(weighed[n])
			known += grams
		} else {
			grams, _ := it.Grams(out.Amount * b.Batches)
			card += grams
		}
	}
	left := b.Grams - known
	if b.Ahead = known > 0 && card > left; !b.Ahead {
		return 1
	}
	const least, rounding = 1e-3, 1 - 1e-3 // nothing at all is no yield; figures are written with four digits, and must not come to more than the whole
	return max(left*rounding/card, least)
}

// tooHeavy says that what came off a piece weighs more than the piece.
func tooHeavy(more string) error {
	return &measure.Error{Msg: fmt.Sprintf("the parts weigh %s more than the whole", more), Hint: "weigh again: nothing gets heavier by being cut"}
}

// summed are parts of a new step as they were typed, with what came off twice in one: a piece has two legs.
func summed(parts []string) (once []string) {
	var names []string
	var first []measure.Quantity
	for _, text := range parts {
		q, name, err := measure.ParsePrefix(text)
		at := slices.IndexFunc(names, func(n string) bool { return strings.EqualFold(n, name) })
		if at < 0 || err != nil || name == "" || first[at].Unit.Kind != q.Unit.Kind || q.Unit.Kind == measure.Count && q.Unit != first[at].Unit {
			once, names, first = append(once, text), append(names, name), append(first, q)
			continue
		}
		first[at].Amount += q.Base() / first[at].Unit.Factor
		once[at] = first[at].String() + " " + names[at]
	}
	return once
}

// Weight is a weight as the scale shows it: "2.4 kg", "5.3 lb".
func (b *BrokenDown) Weight(grams float64) string {
	u, err := measure.UnitNamed(b.Scale)
	if err != nil {
		return measure.FormatNumber(grams) + " g"
	}
	return measure.FormatNumber(grams/u.Factor) + " " + b.Scale
}

// perScale is a price as it was typed, of what the scale shows where it is a number alone.
func perScale(price, scale string) string {
	price = strings.TrimSpace(price)
	if number := measure.Pointed(strings.TrimLeft(price, "$€£¥ ")); number != "" {
		if _, rest, err := measure.Number(number); err == nil && strings.TrimSpace(rest) == "" {
			return strings.TrimSpace(number) + "/" + scale
		}
	}
	return price
}

// pricedBy is the unit that a price of a whole piece is for, where that is a number alone: that of the scale, or the piece where nobody knows what
// one weighs.
func pricedBy(whole graph.Item, typed string) string {
	q, _, err := measure.ParsePrefix(strings.TrimSpace(typed))
	if _, weighs := whole.Grams(1); !weighs && err == nil && q.Unit.Kind != measure.Weight {
		return q.Unit.Name
	}
	return ScaleOf(whole, typed)
}

// ScaleOf is the unit of weight for what is broken down, by what was typed of it, or else as the kitchen file counts it: "lb" or "kg".
func ScaleOf(whole graph.Item, typed string) string {
	q, _, err := measure.ParsePrefix(strings.TrimSpace(typed))
	if err != nil || q.Unit.Kind == measure.Count {
		q.Unit = whole.Unit
	}
	if q.Unit.Name == "lb" || q.Unit.Name == "oz" {
		return "lb"
	}
	return "kg"
}

// cost fills in what the parts cost.
func (b *BrokenDown) cost(ctx context.Context, o Options, text []byte, step int) error {
	o.Kitchen.Text, o.LogBook, o.Plan = text, "", Source{}
	w, faults, err := Open(ctx, o)
	if err != nil {
		return err
	}
	if w == nil {
		return faults
	}
	sheet, err := ask.Cost(ctx, w)
	if err != nil {
		return err
	}
	b.Level = len(b.Parts) > 1 && sheet.Steps[step].Rule == ask.RuleWords[flow.ByWeight] && !slices.ContainsFunc(w.Graph.Steps[step].Gives,
		func(out graph.Output) bool { return w.Terms.Worth[out.Item] > 0 })
	for n, s := range sheet.Steps[step].Shares {
		b.Parts[n].Each, b.Parts[n].Unit = s.UnitCost, s.Unit
		it := w.Graph.Items[w.Graph.Steps[step].Gives[n].Item]
		base := w.Graph.Steps[step].Gives[n].Amount * b.Batches
		b.Parts[n].Cost = s.UnitCost * base / it.Unit.Factor
		if scale, err := measure.UnitNamed(b.Scale); err == nil && it.Unit.Kind == scale.Kind { // by what it is weighed in
			b.Parts[n].Each, b.Parts[n].Unit = s.UnitCost*scale.Factor/it.Unit.Factor, b.Scale
		}
	}
	return nil
}

// entry is how the batch is logged: "fillet cod x1: 6 kg whole cod gives 2.5 kg cod fillet".
func (b *BrokenDown) entry(c Cut) string {
	whole := strings.TrimSpace(c.Whole)
	if !strings.Contains(strings.ToLower(whole), strings.ToLower(b.Whole)) {
		whole += " " + b.Whole
	}
	text := fmt.Sprintf("%s x%s: %s", b.Step, measure.FormatNumber(b.Batches), whole)
	if len(c.Parts) > 0 {
		text += " gives " + strings.Join(c.Parts, ", ")
	}
	return text
}

// amountOf reads the weight of the whole piece, with its name or without.
func amountOf(k *kitchen.Kitchen, text string, item int) (float64, error) {
	if _, err := measure.Parse(strings.TrimSpace(text)); err == nil {
		m, err := k.MeasuredAs(item, strings.TrimSpace(text))
		return positive(m.Base, text, err)
	}
	m, rest, err := k.ReadMeasured(strings.TrimSpace(text), nil)
	if err == nil && rest != "" {
		err = &measure.Error{Msg: fmt.Sprintf("%q stands behind it", rest), Hint: "write only the weight"}
	}
	if _, _, fault := measure.Number(strings.TrimSpace(text)); fault != nil {
		err = &measure.Error{Msg: fmt.Sprintf("%q does not begin with a quantity", strings.TrimSpace(text)), Hint: "write what the scale shows: 6 kg " + k.Graph.Items[item].Name}
	}
	if err == nil && m.Item != item {
		name := k.Graph.Items[item].Name
		err = &measure.Error{Msg: fmt.Sprintf("the step breaks down %s, not %s", name, k.Graph.Items[m.Item].Name), Hint: "write what was weighed: 6 kg " + name}
	}
	return positive(m.Base, text, err)
}

func positive(base float64, text string, err error) (float64, error) {
	if err == nil && base <= 0 {
		err = &measure.Error{Msg: fmt.Sprintf("%q is nothing", text), Hint: "write what the scale shows"}
	}
	return base, err
}

// partOf reads one part: an output of the step.
func partOf(k *kitchen.Kitchen, step int, text string) (output int, base float64, err error) {
	if gives := k.Graph.Steps[step].Gives; len(gives) == 1 {
		if _, err := measure.Parse(strings.TrimSpace(text)); err == nil {
			m, err := k.MeasuredAs(gives[0].Item, strings.TrimSpace(text))
			base, err = positive(m.Base, text, err)
			return 0, base, err
		}
	}
	m, rest, err := k.ReadMeasured(strings.TrimSpace(text), nil)
	if err == nil && rest != "" {
		err = &measure.Error{Msg: fmt.Sprintf("%q stands behind it", rest), Hint: "write one part at a time"}
	}
	if err != nil {
		return 0, 0, err
	}
	var names []string
	for n, o := range k.Graph.Steps[step].Gives {
		if o.Item == m.Item {
			base, err := positive(m.Base, text, nil)
			return n, base, err
		}
		names = append(names, k.Graph.Items[o.Item].Name)
	}
	return 0, 0, &measure.Error{Msg: fmt.Sprintf("%q gives no %s", k.Graph.Steps[step].Name, k.Graph.Items[m.Item].Name),
		Hint: "it gives " + measure.FormatList(names) + "; what is left over is trim"}
}

// PricedBy is the unit that a price is for where it is typed as a number alone: "kg".
func (c Cut) PricedBy(o Options) string {
	whole := graph.Item{}
	if k, _ := kitchen.Read(o.Kitchen.Name, o.Kitchen.Text); k != nil && !c.New {
		if step, err := k.FindStep(c.Step); err == nil {
			whole = k.Graph.Items[k.Graph.Steps[step].Takes[0].Choices[0].Item]
		}
	}
	return pricedBy(whole, c.Whole)
}

// Begins says what is wrong with the whole piece and its price before any part is weighed; nil for nothing. It is [BreakDown]'s word, but of a new
// step, which that can't try without a part.
func (c Cut) Begins(ctx context.Context, o Options) error {
	c.Parts = nil
	if c.New { // any part will do, as light as it can be
		q, name, err := measure.ParsePrefix(strings.TrimSpace(c.Whole))
		if err != nil {
			return err
		}
		if name != "" {
			q.Amount /= 2
			c.Parts = []string{q.String() + " part of it"}
		}
	}
	_, _, err := BreakDown(ctx, o, c)
	return err
}

// begun is the text with a new step as it was weighed.
func (c Cut) begun(file string, src []byte) ([]byte, error) {
	q, name, err := measure.ParsePrefix(strings.TrimSpace(c.Whole))
	if err != nil {
		return nil, err
	}
	if name == "" || len(c.Parts) == 0 {
		return nil, &measure.Error{Msg: "a new step takes a whole piece with a name, and gives a part", Hint: "write each as an amount and what it is called: 6 kg and the name of the whole piece, 2.5 kg and the name of the part"}
	}
	k, faults := kitchen.Read(file, src)
	if k == nil {
		return nil, faults
	}
	if c.Price == "" {
		if _, err := k.FindItem(name); err != nil {
			return nil, &measure.Error{Msg: fmt.Sprintf("nobody knows what %s costs", name), Hint: "say the price, such as 9.50/kg"}
		}
	}
	var parts, edits = []string(nil), []kitchen.Edit(nil)
	sum := 0.0
	for _, p := range c.Parts {
		if part, _, err := measure.ParsePrefix(p); err == nil && part.Unit.Kind == measure.Weight {
			sum += part.Base()
		}
	}
	if q.Unit.Kind == measure.Weight && sum > q.Base()*(1+kitchen.Slack) {
		scale, _ := measure.UnitNamed(ScaleOf(graph.Item{}, c.Whole))
		return nil, tooHeavy(measure.FormatNumber((sum-q.Base())/scale.Factor) + " " + scale.Name)
	}
	for _, p := range c.Parts {
		parts = append(parts, kitchen.Words(strings.TrimSpace(p)))
	}
	if at, err := k.FindItem(name); err != nil {
		edits = append(edits, kitchen.Add(kitchen.InBought, name, "{price: "+c.Price+"}"))
	} else {
		name = k.Graph.Items[at].Name
	}
	edits = append(edits, kitchen.Add(kitchen.InSteps, c.Step, fmt.Sprintf("{takes: [%s], gives: [%s], batches: as needed}",
		kitchen.Words(measure.FormatNumber(q.Amount)+" "+q.Unit.Of(q.Amount)+" "+name), strings.Join(slices.Clip(parts), ", "))))
	return kitchen.Change(file, src, edits...)
}
