package show

// The specials: what would be binned and left, then the dishes that use it up, each with its reason.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/specials"
)

// Specials lays the surplus and the proposals out. What is left and will be used is said in one sentence.
func Specials(p Page, a *specials.Offers) string {
	m := MoneyOf(a.Money)
	var b strings.Builder
	b.WriteString(p.text(0, specialsAnswer(a, m)))
	if s := surplus(p, a, m); s != "" {
		b.WriteString("\n" + s)
	}
	for n := range a.Proposals {
		b.WriteString("\n" + proposal(p, n+1, &a.Proposals[n], a.FoodCost, m))
	}
	if len(a.Proposals) > 0 {
		b.WriteString("\n" + p.text(0, "Before you serve what is used up, check that it is within its date mark. Hold and reheat it as your local "+
			"code asks. Check allergens against the labels: only what the kitchen file states is known here."))
	}
	return b.String() + notes(p, a.Notes)
}

// specialsAnswer is the answer in a sentence or two.
func specialsAnswer(a *specials.Offers, m Money) string {
	if len(a.Surplus) == 0 {
		return "Nothing is binned and nothing is left over: there is nothing to use up."
	}
	var parts []string
	if a.Binned > dust {
		parts = append(parts, "food that cost "+m.Name(a.Binned)+" would be binned")
	}
	if a.Spoils > dust {
		parts = append(parts, m.Name(a.Spoils)+" of what is left over would be binned in the days after")
	}
	text := capital(list(parts))
	if len(parts) == 0 {
		text = "Nothing would be binned; what is left over is used in the days after, or keeps longer"
	}
	if len(a.Proposals) == 0 {
		return text + ". No dish that would use it up earns anything."
	}
	best := a.Proposals[0]
	return text + fmt.Sprintf(". Offer first: %s, %s for %s of contribution.", best.Dish,
		plural(best.Offer.Portions, "portion", "portions"), m.Name(best.Offer.Contribution))
}

// surplus lists what is binned, by day, and what is left.
func surplus(p Page, a *specials.Offers, m Money) string {
	t := table{columns: slices.Concat(words("left over"), numbers("amount", "cost"+m.in(), "valued at"), words("from"))}
	var kept []string
	group, last := "", ""
	for _, x := range a.Surplus {
		if x.Binned == nil {
			if x.Item != last {
				kept = append(kept, x.Item+" "+amount(x.Amount, x.Unit))
			} else {
				kept[len(kept)-1] += " + " + amount(x.Amount, x.Unit)
			}
			last = x.Item
			continue
		}
		head := "Binned on " + weekday(*x.Binned) + " at midnight"
		if x.Left {
			head = "Left over at the end, then binned on " + weekday(*x.Binned)
		}
		if head != group {
			group = head
			t.heading(head)
		}
		t.add(x.Item, amount(x.Amount, x.Unit), m.Show(x.Cost), m.Show(x.Value), x.Source+", "+weekday(x.Made))
	}
	text := t.on(p)
	if len(kept) > 0 {
		text += p.text(0, "Also left over, but used in the days after or keeping longer: "+list(kept)+".")
	}
	return text
}

// proposal is a dish to offer.
func proposal(p Page, n int, x *specials.Proposal, foodCost float64, m Money) string {
	var b strings.Builder
	kind := "special"
	if !x.Special {
		kind = "on the menu at other services"
	}
	b.WriteString(p.heading(fmt.Sprintf("%d. %s (%s): %s, %s", n, x.Dish, kind,
		plural(x.Offer.Portions, "portion", "portions"), m.Name(x.Offer.Contribution))))
	say := func(text string) { b.WriteString(p.text(3, text)) }
	say("Offer " + servings(x.Offer.Services) + ".")
	say(capital(x.Reason) + ".")
	price := fmt.Sprintf("Price %s; a plate costs %s, so %s at %s%% food cost", m.Name(x.Price),
		m.Show(x.PlateCost), m.Show(x.TargetPrice), measure.FormatNumber(100*foodCost))
	if x.Unpriced {
		price = fmt.Sprintf("It has no price, so %s stands in; a plate costs %s, so %s at %s%% food cost", m.Name(x.Price), m.Show(x.PlateCost),
			m.Show(x.TargetPrice), measure.FormatNumber(100*foodCost))
	} else if m.Units(x.TargetPrice) > m.Units(x.Price) {
		price += ", more than its price"
	}
	say(price + ".")
	if x.More != nil {
		var takes []string
		for _, t := range x.More.Takes {
			takes = append(takes, fmt.Sprintf("%s %s on %s at %s", count(t.Portions), t.Dish, weekday(t.Date), t.Service))
		}
		say(fmt.Sprintf("More: %s, %s, would earn %s, at the cost of %s.",
			plural(x.More.Portions, "portion", "portions"), servings(x.More.Services), m.Name(x.More.Contribution),
			list(takes)))
	}
	for _, s := range x.Offer.Breaks {
		say("STRENGTH: " + s + ".")
	}
	if x.More != nil {
		for _, s := range x.More.Breaks {
			say("STRENGTH, with more: " + s + ".")
		}
	}
	if said := (kitchen.Stated{Has: x.Allergens, May: x.May, Unknown: x.Unstated}); said.None() {
		say(AllergensText(said) + ".")
	} else {
		say("Allergens: " + AllergensText(said) + ".")
	}
	return b.String()
}

// servings are portions by day and service: "24 on Fri 27 Nov at lunch and 12 at dinner".
func servings(all []specials.Serving) string {
	var parts []string
	for k, s := range all {
		when := " at " + s.Service
		if k == 0 || all[k-1].Date != s.Date {
			when = " on " + weekday(s.Date) + when
		}
		parts = append(parts, count(s.Portions)+when)
	}
	return list(parts)
}

// SpecialsSheet has a row for each lot of the surplus, then one for each proposal at each service; the money of a
// proposal stands in the first of its rows.
func SpecialsSheet(a *specials.Offers) (s Sheet) {
	s.add("row", "name", "date", "service", "quantity", "unit", "source", "made", "keeps_until", "left",
		"cost", "value", "price",
		"plate_cost", "target_price", "contribution", "reason")
	for _, x := range a.Surplus {
		s.add("surplus", x.Item, x.Binned, "", x.Amount, x.Unit, x.Source, x.Made, x.Until, x.Left, x.Cost, x.Value,
			"", "", "", "", "")
	}
	for _, x := range a.Proposals {
		earned, reason := &x.Offer.Contribution, x.Reason
		for _, at := range x.Offer.Services {
			s.add("offer", x.Dish, at.Date, at.Service, at.Portions, "portion", "", "", "", "", "", "",
				x.Price, x.PlateCost, x.TargetPrice, earned, reason)
			earned, reason = nil, ""
		}
	}
	return s
}
