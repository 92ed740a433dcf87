package show

// The shopping list in another language than English.

import (
	"fmt"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/shop"
)

// BuyIn lays the shopping list out in the language of the page, with the file's words in it.
func BuyIn(k *kitchen.Kitchen) func(Page, *shop.List) string {
	return func(p Page, l *shop.List) string {
		if p.Voice.English() {
			return Buy(p, l)
		}
		return sheetWords{Page: p, kitchen: k}.buy(l)
	}
}

func (s sheetWords) buy(l *shop.List) string {
	say, m := s.Voice.Say, MoneyOf(l.Money)
	money := func(units int64) string { return s.Voice.Figure(m.NameUnits(units)) }
	var b strings.Builder
	if l.Banquet != nil {
		b.WriteString(s.banquet(l.Banquet, m))
	}
	if len(l.Trips) == 0 {
		b.WriteString(s.text(0, say("Nothing to buy in %[1]s from %[2]s.", s.Voice.Days(l.Days), s.labelDay(l.From))))
	}
	parts, total := lineCosts(l, m), int64(0)
	for n := range l.Trips {
		t := &l.Trips[n]
		sum := int64(0)
		for k := range purchases(t) {
			sum += parts[k]
		}
		if n > 0 || l.Banquet != nil {
			b.WriteString("\n")
		}
		b.WriteString(s.text(0, capital(say("%[1]s: %[2]s to buy, for %[3]s.", s.labelDay(t.Date), fmt.Sprint(purchases(t)), money(sum)))) + "\n" + s.trip(t, m, parts))
		for _, of := range t.Suppliers {
			b.WriteString(s.leastOrder(&of, m))
		}
		parts, total = parts[purchases(t):], total+sum
	}
	if len(l.Trips) > 1 {
		b.WriteString("\n" + s.text(0, say("Total %[1]s.", money(total))))
	}
	if len(l.Trips) == 1 {
		var more []string
		for _, of := range l.Trips[0].Suppliers {
			for _, x := range of.Items {
				if x.Later > dust {
					more = append(more, s.bought(x.Later, &x))
				}
			}
		}
		if more != nil {
			b.WriteString("\n" + s.text(0, say("What can come on any day is listed for this day only. To buy it once for as long as it keeps, add %[1]s.", s.Voice.List(more))))
		}
	}
	for _, x := range l.Without {
		b.WriteString(s.text(0, capital(say("%[1]s goes without %[2]s", x.In, s.part(clock.Part{Item: x.Item, Amount: x.Amount, Unit: x.Unit, Many: x.Many})))+say(".")))
	}
	return b.String() + notes(s.Page, l.Notes) + s.unreviewed()
}

// bought is an amount of a purchase with its name: "14 gallinas", "2 kg de sal".
func (s sheetWords) bought(x float64, of *shop.Purchase) string {
	return s.part(clock.Part{Item: of.Item, Amount: x, Unit: of.Unit, Many: of.Many})
}

// trip is the table of one day.
func (s sheetWords) trip(t *shop.Trip, m Money, parts []int64) string {
	say := s.Voice.Say
	list := table{columns: append(append(words(s.heads("buy")...), numbers(s.heads("needed", "packs", "price", "cost")...)...), words(s.heads("for")...)...)}
	for _, of := range t.Suppliers {
		sum := int64(0)
		for n := range of.Items {
			sum += parts[n]
		}
		name := s.word(of.Name)
		switch {
		case name == "" && len(t.Suppliers) > 1:
			name = say("no supplier named")
		case name == "":
			name = say("to buy")
		}
		list.heading(capital(s.terms(say("%[1]s, %[2]s", name, s.Voice.Figure(m.NameUnits(sum))), &of, m, sum)))
		for n, x := range of.Items {
			packs := ""
			if x.Packs > 0 {
				packs = fmt.Sprintf("%d x %s", x.Packs, s.Voice.Amount(pack(x.Pack, x.Unit, x.OnPack)))
			}
			list.add(x.Item, s.Voice.Amount(amount(x.Needed, x.Unit)), packs, s.price(m, &x), s.Voice.Figure(m.ShowUnits(parts[n])), s.purpose(&x))
		}
		parts = parts[len(of.Items):]
	}
	return list.on(s.Page)
}

// price is what one unit costs: "9.50 c/u", "0.80/kg".
func (s sheetWords) price(m Money, x *shop.Purchase) string {
	price := s.Voice.Figure(unitPrice(m, x.Price))
	if x.Unit == measure.Each.Name {
		return s.Voice.Say("%[1]s apiece", price)
	}
	unit := strings.TrimPrefix(s.Voice.Amount("1 "+x.Unit), "1 ")
	return price + "/" + unit
}

// terms are by when to order, and what is lacking to the least order, behind a supplier's name.
func (s sheetWords) terms(text string, of *shop.Supplier, m Money, sum int64) string {
	say := s.Voice.Say
	switch by := strings.Replace(of.OrderBy, " ", "T", 1); {
	case by == "":
	case of.Late:
		text = say("%[1]s, order by %[2]s (too late)", text, s.when(by))
	default:
		text = say("%[1]s, order by %[2]s", text, s.when(by))
	}
	if short := m.Units(of.Least) - sum; short > 0 {
		text = say("%[1]s; %[2]s short of the least order, %[3]s", text, s.Voice.Figure(m.NameUnits(short)), s.Voice.Figure(m.Name(of.Least)))
	}
	return text
}

// leastOrder says what to do about an order that is too small.
func (s sheetWords) leastOrder(of *shop.Supplier, m Money) string {
	if of.Short == 0 {
		return ""
	}
	say, name := s.Voice.Say, s.word(of.Name)
	var add, other []string
	for _, x := range of.Add {
		thing := s.part(clock.Part{Item: x.Item, Amount: x.Quantity, Unit: x.Unit, Many: x.Many})
		add = append(add, say("%[1]s (%[2]s)", thing, say("%[1]s, %[2]s", s.labelDay(x.Date), s.Voice.Figure(m.Name(x.Cost)))))
	}
	for _, x := range of.Else {
		other = append(other, say("%[1]s (%[2]s)", x.Item, x.Words))
	}
	text := say("%[1]s: the days after need too little to fill it up: ask, or pay the difference", name)
	switch {
	case add != nil:
		text = say("%[1]s: add %[2]s, and it is enough", name, s.Voice.List(add))
	case of.Waits != "":
		text = say("%[1]s: it can wait until %[2]s", name, s.labelDay(of.Waits))
	case other != nil:
		text = say("%[1]s: the days after need too little to fill it up. Or buy %[2]s", name, s.Voice.List(other))
	}
	return s.text(0, capital(text)+say("."))
}

// purpose is what a purchase is for, what is over of its packs, and what is there of it.
func (s sheetWords) purpose(x *shop.Purchase) string {
	say := s.Voice.Say
	much := func(y float64) string { return s.Voice.Amount(amount(y, x.Unit)) }
	var parts []string
	if x.Other {
		parts = append(parts, say("ordered here this once"))
	}
	if len(x.For) > 0 {
		parts = append(parts, s.Voice.List(x.For))
	}
	if x.Over > dust {
		parts = append(parts, say("%[1]s left over", much(x.Over)))
	}
	switch {
	case x.Spare > 0 && x.Packs == 1:
		parts = append(parts, say("only %[1]s of it needed: go without?", much(x.Spare)))
	case x.Spare > 0:
		parts = append(parts, say("%[1]s short with one pack fewer: go without?", much(x.Spare)))
	}
	switch {
	case x.OnHand <= noticed*x.Needed:
	case x.Stored:
		parts = append(parts, say("%[1]s taken to be in the store", much(x.OnHand)))
	default:
		parts = append(parts, say("%[1]s on hand", much(x.OnHand)))
	}
	return strings.Join(parts, say("; "))
}
