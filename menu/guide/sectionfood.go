package guide

// The parts of the guide about food: recipes, things that are made, plates and their allergens.

import (
	"fmt"
	"slices"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// things tells of each item.
func (t *teller) things(g *Guide) section {
	s := section{ID: "items", Title: t.say("Items"), Page: true}
	s.Blocks = []block{{Text: t.say("For each: where it comes from, where it goes, and what to do when it runs out. What stops and what goes on is worked out for a whole week without it.")}}
	if len(g.Seeds) > 0 {
		s.Blocks = append(s.Blocks, block{Text: t.say("What is carried from day to day is assumed to be there on the first morning: %[1]s.", t.names(g.Seeds))})
	}
	made := section{ID: "made", Title: t.say("Made here")}
	bought := section{ID: "bought", Title: t.say("Bought")}
	for n, item := range g.Items {
		page := section{ID: fmt.Sprintf("item-%d", n+1), Title: t.name(item.Name), Blocks: t.thing(item)}
		if item.Bought {
			bought.Sections = append(bought.Sections, page)
		} else {
			made.Sections = append(made.Sections, page)
		}
	}
	for _, part := range []section{made, bought} {
		if len(part.Sections) > 0 {
			s.Sections = append(s.Sections, part)
		}
	}
	return s
}

func (t *teller) thing(item Item) []block {
	var from, into []line
	if item.Supplier != "" {
		from = append(from, t.free(item.Supplier))
	}
	if item.Bought {
		from = append(from, t.say("delivered: %[1]s", t.days(item.Arrives)))
	}
	if item.Pack != nil {
		from = append(from, t.say("in packs of %[1]s", t.measure(item.Pack.Amount, item.Pack.shownIn())))
	}
	for _, m := range item.Makers {
		from = append(from, t.say("%[1]s, %[2]s a batch", t.name(m.Step), t.measure(m.Amount, m.shownIn())))
	}
	for _, u := range item.Uses {
		text := t.say("%[1]s (%[2]s)", t.name(u.In), t.measure(u.Amount, u.shownIn()))
		if u.Unsaid {
			text = t.name(u.In)
		}
		if u.Substitute != "" {
			text = t.say("%[1]s in place of %[2]s", text, t.name(u.Substitute))
		}
		into = append(into, text)
	}
	rows := []row{{t.say("Comes from"), t.list(from)}}
	if len(into) > 0 {
		rows = append(rows, row{t.say("Goes into"), t.list(into)})
	}
	if item.Keeps > 0 {
		rows = append(rows, row{t.say("Days it keeps"), t.say("%[1]s, the first day counted", t.whole(item.Keeps))})
	}
	list := []block{{Rows: rows}}
	if i := slices.IndexFunc(t.kitchen.Graph.Items, func(it graph.Item) bool { return it.Name == item.Name }); i >= 0 && t.kitchen.Warms(i) {
		at, section := t.kitchen.Code.TakenIn()
		cited := line{{section, ""}}
		if section == "" {
			cited = t.say("common practice")
		}
		list = append(list, block{Warning: t.ended(t.say(tongue.TakeInCold, t.name(item.Name), t.both(at), cited))})
	}
	return append(list, block{Text: t.say("When it runs out:")}, block{Points: t.runsOut(item)})
}

// runsOut is what to do when there is no more of an item.
func (t *teller) runsOut(item Item) (points []line) {
	for _, s := range item.Swaps {
		text := t.say("In %[1]s, take %[2]s instead.", t.name(s.In), t.part(s.Instead.Amount, s.Instead.shownIn(), s.Instead.Item))
		if s.Alike != nil {
			text = append(append(text, span{" ", ""}), t.say("To taste as strong as %[1]s, take %[2]s.", t.part(s.For.Amount, s.For.shownIn(), s.For.Item),
				t.part(s.Alike.Amount, s.Alike.shownIn(), s.Alike.Item))...)
		}
		if len(s.Allergens) > 0 {
			text = t.then(text, t.say("CAUTION: this adds %[1]s. Tell whoever takes the orders.", t.allergens(s.Allergens)))
		}
		if len(s.May) > 0 {
			text = append(append(text, span{" ", ""}), t.ended(t.say("May contain %[1]s", t.allergens(s.May)))...)
		}
		if len(s.Unstated) > 0 {
			text = append(append(text, span{" ", ""}), t.ended(t.say("UNKNOWN: %[1]s. Read the package", t.names(s.Unstated)))...)
		}
		points = append(points, text)
	}
	if len(item.LeaveOut) > 0 {
		points = append(points, t.say("It can be left out of %[1]s.", t.names(item.LeaveOut)))
	}
	if item.Bought {
		points = append(points, t.say("The next delivery: %[1]s.", t.days(item.Arrives)))
	}
	for _, m := range item.Makers {
		switch {
		case m.How == AllOf:
			points = append(points, t.say("There is more only when %[1]s has more to work with.", t.name(m.Step)))
		case m.How == ToOrder, m.How == AsNeeded:
			points = append(points, t.say("Make more: %[1]s.", t.name(m.Step)))
		case m.OutAt > 0:
			points = append(points, t.say("Another batch of %[1]s takes %[2]s to give this.", t.name(m.Step), t.lasts(m.OutAt)))
		default:
			points = append(points, t.say("Make another batch of %[1]s, if what it takes is on hand.", t.name(m.Step)))
		}
		if m.Latest != nil {
			last := t.say("In the standing week, %[1]s must start by %[2]s %[3]s at the latest for %[4]s on %[5]s, and for anything that needs it sooner.",
				t.name(m.Step), t.weekdayOf(*m.Latest), clockOf(*m.Latest), t.trade(m.Service), t.weekdayOf(m.Begins))
			if m.Nobody {
				last = t.then(last, t.say("Nobody is there to begin it at that hour."))
			}
			points = append(points, last)
		}
	}
	switch {
	case item.Without.affected() == 0:
		points = append(points, t.say("No dish sells less without it."))
	default:
		if len(item.Without.Stops) > 0 {
			points = append(points, t.say("Stops: %[1]s.", t.names(item.Without.Stops)))
		}
		if len(item.Without.Fewer) > 0 {
			var texts []line
			for _, f := range item.Without.Fewer {
				texts = append(texts, t.say("%[1]s (%[2]s of %[3]s)", t.name(f.Dish), t.whole(f.After), t.whole(f.Before)))
			}
			points = append(points, t.say("Sells fewer: %[1]s.", t.list(texts)))
		}
		if len(item.Without.GoesOn) > 0 {
			points = append(points, t.say("Goes on: %[1]s.", t.names(item.Without.GoesOn)))
		}
	}
	return points
}

// plates has a page for each dish.
func (t *teller) plates(g *Guide) section {
	s := section{ID: "dishes", Title: t.say("Dishes"), Page: true, Blocks: t.advisory(g, g.servedRaw())}
	for n, d := range g.Dishes {
		page := section{ID: fmt.Sprintf("dish-%d", n+1), Title: t.name(d.Name)}
		if d.Special {
			page.Blocks = append(page.Blocks, block{Text: t.say("A special: offered when something is left over.")})
		}
		var rows []row
		for _, l := range d.Lines {
			for k, c := range l.Choices {
				text := t.counted(c.Amount, c.Unit, c.Item)
				head := line{{t.measure(c.Amount, c.shownIn()), ""}}
				if c.Unsaid {
					text, head, c.Grams = t.takes(c), line{{"?", ""}}, nil
				}
				if k > 0 {
					head = t.say("or %[1]s", head)
				}
				if c.Grams != nil && !isWeight(c.Unit) {
					weight := t.kitchen.Weighed(*c.Grams)
					text = t.say("%[1]s (%[2]s)", text, t.measure(weight.Amount, weight.Unit.Name))
				}
				if k == len(l.Choices)-1 {
					text = t.spared(text, l)
				}
				rows = append(rows, row{head, text})
			}
		}
		if d.Raw != nil {
			page.Blocks = append(page.Blocks, block{Warning: t.servedRaw(*d.Raw)})
		}
		page.Blocks = append(page.Blocks, t.photo(d.Name, &d.Telling)...)
		page.Blocks = append(page.Blocks, block{Text: t.say("On one portion:")}, block{Rows: append(rows, t.made(&d.Telling)...)})
		page.Blocks = append(page.Blocks, t.allergenBlocks(d)...)
		if len(d.RestsOn) > 0 {
			page.Blocks = append(page.Blocks, block{Text: t.say("Depends on: %[1]s. In the standing week none is sold without every one of these.", t.names(d.RestsOn))})
		}
		s.Sections = append(s.Sections, page)
	}
	return s
}

func isWeight(unit string) bool {
	u, err := measure.UnitNamed(unit)
	return err == nil && u.Kind == measure.Weight
}

// servedRaw are the dishes with something raw in them when they are served.
func (g *Guide) servedRaw() (all []kitchen.RawServed) {
	for _, d := range g.Dishes {
		if d.Raw != nil {
			all = append(all, *d.Raw)
		}
	}
	return all
}

// servedRaw says what is raw in a dish when it is served.
func (t *teller) servedRaw(x kitchen.RawServed) line {
	text := t.say("raw in it, and the kitchen file does not say whether it is cooked through at the pass: %[1]s", t.names(x.Raw))
	if x.Said {
		text = t.say("served raw or undercooked: %[1]s", t.names(x.Raw))
	}
	if len(x.Eggs) > 0 {
		text = append(append(text, t.say("; ")...), t.say("raw eggs, NOT STATED whether pasteurised: %[1]s", t.names(x.Eggs))...)
	}
	if len(x.Fish) > 0 {
		text = append(append(text, t.say("; ")...), t.say("raw fish, NOT STATED whether it was frozen against parasites or needs no freezing; see the supplier's letter: %[1]s", t.names(x.Fish))...)
	}
	return t.ended(t.say("%[1]s: %[2]s", t.name(x.Dish), text))
}

// advisory is what the code asks for with dishes that are served raw or undercooked, where there are any.
func (t *teller) advisory(g *Guide, raw []kitchen.RawServed) []block {
	said := t.voice.Advisory(raw, g.Advisory)
	if said == "" {
		return nil
	}
	return []block{{Text: line{{said, ""}}}}
}

// allergenBlocks say what a dish has and by which way.
func (t *teller) allergenBlocks(d Dish) (blocks []block) {
	if len(d.Allergens)+len(d.May)+len(d.Unstated) == 0 {
		return []block{{Text: t.ended(t.say("No listed allergens, per kitchen file"))}, {Text: t.say("Read the packages all the same.")}}
	}
	ways := func(all []ask.Way) line {
		var texts []line
		for _, w := range all {
			texts = append(texts, t.way(w))
		}
		return t.list(texts)
	}
	var points []line
	for _, a := range d.Allergens {
		points = append(points, t.say("%[1]s: %[2]s", t.allergen(a.Allergen), ways(a.Ways)))
	}
	for _, a := range d.May {
		points = append(points, t.say("%[1]s: %[2]s", t.say("May contain %[1]s", t.allergen(a.Allergen)), ways(a.Ways)))
	}
	if len(d.Unstated) > 0 {
		points = append(points, t.say("UNKNOWN: %[1]s. Read the package", ways(d.Unstated)))
	}
	return []block{{Text: t.say("Allergens, and what brings each. Ask the person in charge before you answer a guest.")}, {Points: points}}
}

// way leads from a bought item to a dish, which is not named again.
func (t *teller) way(w ask.Way) (text line) {
	for i, name := range w.Path[:max(1, len(w.Path)-1)] {
		if i > 0 {
			text = append(text, span{" → ", ""})
		}
		text = append(text, t.name(name)...)
	}
	switch w.Only {
	case "substitute":
		return t.say("%[1]s (only as a substitute)", text)
	case "optional":
		return t.say("%[1]s (can be left out)", text)
	}
	return text
}
