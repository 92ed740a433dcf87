package kitchen

// What is known of items: bought ones, those that steps give, and the bridges between their units.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// add registers an item and makes room for its terms.
func (r *reader) add(it graph.Item, at Pos) (index int) {
	index = len(r.items)
	r.items = append(r.items, it)
	r.itemAt[it.Name] = index
	r.k.ItemPos = append(r.k.ItemPos, at)
	t := &r.k.Terms
	t.Price = append(t.Price, 0)
	t.Worth = append(t.Worth, math.NaN())
	t.Keeps = append(t.Keeps, 0)
	t.Pack = append(t.Pack, 0)
	r.k.Par = append(r.k.Par, 0)
	r.k.Sources = append(r.k.Sources, nil)
	r.k.Place = append(r.k.Place, "")
	r.k.Undated = append(r.k.Undated, false)
	r.k.Frozen = append(r.k.Frozen, false)
	r.k.Approved = append(r.k.Approved, "")
	r.k.Measures = append(r.k.Measures, nil)
	return index
}

func (r *reader) bought(n *yaml.Node) {
	t := &r.k.Terms
	for key, body := range r.pairs(n) {
		p, ok := scalar(r, body, "price", parsePrice)
		if !written(body, "price") {
			p, ok = price{0, measure.Quantity{Amount: 1, Unit: r.takenIn(key.Value)}}, true
			r.unpriced = append(r.unpriced, len(r.items))
		}
		i := r.add(graph.Item{Name: key.Value, Role: graph.Bought, Unit: p.per.Unit}, r.span(key).Pos)
		r.bridges(i, body)
		if ok {
			t.Price[i] = p.perBase()
			t.Worth[i] = t.Price[i] // it would be bought in at its own price
		} else {
			r.unsure[i] = true
		}
		t.Keeps[i], _ = scalar(r, body, "keeps", parseKeeps)

		r.stored(i, body)
		r.items[i].Many, _ = scalar(r, body, "plural", words)
		r.also(NamedItem, i, body)
		r.was(NamedItem, key.Value, body)

		from, _ := scalar(r, body, "from", words)
		b := Bought{From: from, Arrives: scalarOr(r, body, "arrives", parseDays, r.delivers(from))}
		if at := r.value(body, "arrives"); at != nil && !b.Arrives.meets(r.k.Works) { // of a supplier it is said there
			r.fault(r.span(at), "nobody-works", `add a day on which somebody works, or the day to "works"`,
				"%q arrives on %s, when nobody works to take it in", key.Value, b.Arrives)
		}
		if pack, ok := scalar(r, body, "pack", measure.Parse); ok {
			at := r.value(body, "pack")
			if pack.Amount == 0 {
				r.fault(r.span(at), "bad-pack", "write the smallest amount sold, or remove the key",
					"pack %q is zero", at.Value)
			}
			b.Pack = r.wholePack(i, pack, r.span(at))
		}
		if t.Pack[i] = b.Pack; b.Pack == 0 {
			t.Pack[i] = piece(r.items[i].Unit)
		}
		b.Allergens, b.May = r.stated(r.value(body, "allergens")), r.stated(r.value(body, "may contain"))
		r.alsoFrom(i, body, from)
		b.Raw, b.Pasteurised = r.says(body, "raw", "yes"), r.says(body, "pasteurised", "yes")
		b.Parasites, _ = scalar(r, body, "parasite letter", letter)
		r.k.Bought = append(r.k.Bought, b)
	}
}

// par reads how much of an item a plan leaves.
func (r *reader) stored(i int, body *yaml.Node) {
	if par, ok := scalar(r, body, "par", measure.Parse); ok {
		r.k.Par[i], _ = r.base(i, par, r.span(r.value(body, "par")))
	}
	r.k.Place[i], _ = scalar(r, body, "kept in", words)
	r.items[i].Strength, _ = scalar(r, body, "strength", parseStrength)
}

// bridges reads density and each of an item.
func (r *reader) bridges(i int, body *yaml.Node) {
	var dense bool
	r.items[i].Density, dense = scalar(r, body, "density", parseDensity)
	one, each := scalar(r, body, "each", parseEach)
	if one.Unit.Kind == measure.Volume {
		r.items[i].Holds = one.Base()
	} else {
		r.items[i].Each = one.Base()
	}
	r.doubted[i] = slices.ContainsFunc(guessesOf(r.value(body, guessedWord)), func(n *yaml.Node) bool { return n.Value == "density" || n.Value == "each" })
	if !dense && written(body, "density") || !each && written(body, "each") {
		r.unsure[i] = true
	}
}

// made reads what is known of items that steps give.
func (r *reader) made(n *yaml.Node) {
	t := &r.k.Terms
	for key, body := range r.pairs(n) {
		i, ok := r.itemAt[key.Value]
		switch {
		case r.waiting[key.Value]:
			continue
		case !ok:
			r.fault(r.span(key), "unknown-item", r.meant(key.Value, itemNames(r.items, r.k.ItemPos, graph.Made),
				"add it to what a step gives"),
				"no step gives %q", key.Value)
			continue
		case r.items[i].Role == graph.Bought:
			r.fault(r.span(key), "bought-and-made", "what is known about bought items stands under \"bought\"",
				"%q is bought, not made", key.Value).note(r.k.ItemPos[i], "bought here")
			continue
		}
		r.bridges(i, body)
		t.Keeps[i], _ = scalar(r, body, "keeps", parseKeeps)
		r.keepsAt[i] = r.value(body, "keeps")
		r.k.Undated[i], r.k.Frozen[i] = r.says(body, "date mark", "no"), r.says(body, "frozen", "yes")
		r.k.Approved[i], _ = scalar(r, body, approvedKey, approver)
		r.approvedAt[i] = r.value(body, approvedKey)
		r.stored(i, body)
		r.k.Measures[i] = r.measures(body)
		r.measuredTwice(i, key.Value, body)
		r.items[i].Many, _ = scalar(r, body, "plural", words)
		r.also(NamedItem, i, body)
		r.was(NamedItem, key.Value, body)
		r.alsoFrom(i, body, "")
		if worth, ok := scalar(r, body, "worth", parsePrice); ok {
			if per, ok := r.base(i, worth.per, r.span(r.value(body, "worth"))); ok {
				t.Worth[i] = worth.money / per
			}
		} else if written(body, "worth") {
			r.unsure[i] = true
		}
	}
}

// base is a quantity of an item in base units of the item. What stands in its way is said at the place where the
// quantity is written.
func (r *reader) base(i int, q measure.Quantity, where span) (amount float64, ok bool) {
	it := r.items[i]
	if r.unsure[i] {
		return 0, false
	}
	if q.Unit.Kind == measure.Count {
		as, met := r.countedAs[i]
		if it.Unit.Kind == measure.Count {
			as = it.Unit
		} else if !met {
			as, r.countedAs[i] = q.Unit, q.Unit // and what one weighs, or holds, is said of that
		}
		if msg, hint := otherCount(it, as, q); msg != "" {
			r.fault(where, "other-count", hint, "%s", msg).note(r.k.ItemPos[i], "%q is here", it.Name)
			return 0, false
		}
	}
	if amount, ok = it.Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind); ok {
		return amount, true
	}
	if amount, ok = r.aboutWater(i).Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind); ok && (it.Unit.Kind != measure.Count || it.Holds > 0) {
		r.dense(i, true)
		return amount, true
	}
	r.fault(where, "no-bridge", bridgeHint(it, q.Unit.Kind), "%s of %q is %s, but it is counted in %s, which is %s",
		q, it.Name, q.Unit.Kind, it.Unit.Of(2), it.Unit.Kind).note(r.k.ItemPos[i], "%q is here", it.Name)
	return 0, false
}

// packs hold several of what else is counted.
var packs = []string{"bag", "box", "tub", "tray", "case"}

// otherCount says that one of what a quantity counts need not be one of what an item is counted in; "" where it is.
func otherCount(it graph.Item, as measure.Unit, q measure.Quantity) (msg, hint string) {
	if q.Unit.Kind != measure.Count || as.Kind != measure.Count || as.Counts(q.Unit) {
		return "", ""
	}
	if as.Name == measure.Each.Name {
		return fmt.Sprintf("%s of %q: it is counted one by one, and one %s need not be one", q, it.Name, q.Unit.Name), "write how many that is: 30 each"
	}
	many := as.Of(2)
	hint = fmt.Sprintf("write how many %s that is", many)
	switch packed := it.Role == graph.Bought && it.Unit.Kind == measure.Count; {
	case packed && q.Unit.Name == measure.Each.Name:
		hint = fmt.Sprintf("count it one by one: under \"bought\", write what one %s costs and how many are in it, such as \"price: 20 for 200 each\", and \"pack: 200 each\"", as.Name)
	case packed && slices.Contains(packs, as.Name) && !slices.Contains(packs, q.Unit.Name):
		hint = fmt.Sprintf("count it in %[2]s: under \"bought\", write what one %[1]s costs and how many %[2]s are in it, such as \"price: 60 for 12 %[2]s\", and \"pack: 12 %[2]s\"", as.Name, q.Unit.Of(2))
	}
	return fmt.Sprintf("%s of %q: it is counted in %s, and one %s need not be one %s", q, it.Name, many, q.Unit.Name, as.Name), hint
}

// bridgeHint says what to write so that an item can be converted from its own kind to another.
func bridgeHint(it graph.Item, to measure.Kind) string {
	var missing []string
	is := func(k measure.Kind) bool { return it.Unit.Kind == k || to == k }
	switch {
	case is(measure.Volume) && is(measure.Count) && it.Each == 0:
		missing = append(missing, `"each: ... mL" (what one holds)`)
	default:
		if it.Density == 0 && (is(measure.Volume) || it.Holds > 0) {
			missing = append(missing, `"density: ... kg/L"`)
		}
		if it.Each == 0 && it.Holds == 0 && is(measure.Count) {
			missing = append(missing, `"each: ... kg" (what one weighs)`)
		}
	}
	list := "made"
	if it.Role == graph.Bought {
		list = "bought"
	}
	return fmt.Sprintf("add %s to %q under %q", strings.Join(missing, " and "), it.Name, list)
}
