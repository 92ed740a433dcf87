package show

// The shopping list: what a banquet takes, then, day by day and supplier by supplier, what to buy.

import (
	"fmt"
	"math"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/shop"
	"kettletree/menu/tongue"
)

// Buy lays the shopping list out.
func Buy(p Page, l *shop.List) string {
	m := MoneyOf(l.Money)
	var b strings.Builder
	if l.Banquet != nil {
		b.WriteString(banquet(p, l.Banquet, m))
	}
	if len(l.Trips) == 0 {
		b.WriteString(p.text(0, fmt.Sprintf("Nothing to buy in %s from %s.", plural(l.Days, "day", "days"),
			weekday(l.From))))
	}
	parts := lineCosts(l, m)
	total := int64(0)
	for n, t := range l.Trips {
		if n > 0 || l.Banquet != nil {
			b.WriteString("\n")
		}
		text, cost := trip(p, &t, m, parts)
		parts = parts[purchases(&t):]
		total += cost
		b.WriteString(text)
	}
	if len(l.Trips) > 1 {
		b.WriteString("\n" + p.text(0, fmt.Sprintf("Total %s.", m.NameUnits(total))))
	}
	if len(l.Trips) == 1 {
		b.WriteString(anyDay(p, &l.Trips[0]))
	}
	if len(l.Without) > 0 {
		b.WriteString("\n" + without(p, l.Without))
	}
	said := notes(p, l.Notes)
	if c := l.InCold; c != nil {
		said = "\n" + p.text(0, capital(TakeInCold(p.Voice, c.Items, kitchen.Degrees{Value: c.At, Scale: c.Scale}, c.Section))+".") + said
	}
	return b.String() + said
}

// TakeInCold is what is said of fish in which histamine forms, where it comes in.
func TakeInCold(v tongue.Voice, items []string, at kitchen.Degrees, section string) string {
	if section == "" {
		section = v.Say("common practice")
	}
	return v.Say(tongue.TakeInCold, v.List(items), v.Degrees(both(at.Value, at.Scale)), section)
}

// anyDay tells of what could be bought once for several days.
func anyDay(p Page, t *shop.Trip) string {
	var more []string
	for _, s := range t.Suppliers {
		for _, x := range s.Items {
			if x.Later > dust {
				more = append(more, things(x.Later, x.Unit, x.Item, x.Many))
			}
		}
	}
	if more == nil {
		return ""
	}
	return "\n" + p.text(0,
		"What can come on any day is listed for this day only. To buy it once for as long as it keeps, add "+
			strings.Join(more, ", ")+".")
}

// lineCosts are the costs of all purchases in whole units of money, so that they add up to every total that is shown.
func lineCosts(l *shop.List, m Money) []int64 {
	var costs []float64
	for _, t := range l.Trips {
		for _, s := range t.Suppliers {
			for _, x := range s.Items {
				costs = append(costs, x.Cost)
			}
		}
	}
	return m.Parts(costs...)
}

func purchases(t *shop.Trip) (n int) {
	for _, s := range t.Suppliers {
		n += len(s.Items)
	}
	return n
}

// trip is the list of one day; parts are the costs of its purchases.
func trip(p Page, t *shop.Trip, m Money, parts []int64) (text string, total int64) {
	table := table{columns: append(append(words("buy"), numbers("needed", "packs", "price", "cost")...), words("for")...)}
	for _, s := range t.Suppliers {
		sum := int64(0)
		for n := range s.Items {
			sum += parts[n]
		}
		name := s.Name
		switch {
		case name == "" && len(t.Suppliers) > 1:
			name = "no supplier named"
		case name == "":
			name = "to buy"
		}
		table.heading(fmt.Sprintf("%s, %s", name, m.NameUnits(sum)) + OrderTerms(&s, m, sum))
		for n, x := range s.Items {
			packs := ""
			if x.Packs > 0 {
				packs = fmt.Sprintf("%d x %s", x.Packs, pack(x.Pack, x.Unit, x.OnPack))
			}
			table.add(x.Item, amount(x.Needed, x.Unit), packs, unitPrice(m, x.Price)+"/"+x.Unit, m.ShowUnits(parts[n]),
				purpose(&x))
		}
		parts = parts[len(s.Items):]
		total += sum
	}
	head := fmt.Sprintf("%s: %s to buy, %s.", weekday(t.Date), plural(purchases(t), "item", "items"), m.NameUnits(total))
	text = p.text(0, head) + "\n" + table.on(p)
	for _, s := range t.Suppliers {
		if advice := LeastOrder(&s, m); advice != "" {
			text += p.text(0, advice)
		}
	}
	return text, total
}

// OrderTerms is by when to order what costs so much, and what that lacks of the least order: ", order by Mon 23 Nov 14:00".
func OrderTerms(s *shop.Supplier, m Money, sum int64) (text string) {
	if s.OrderBy != "" {
		text += ", order by " + whenOf(strings.Replace(s.OrderBy, " ", "T", 1))
		if s.Late {
			text += " (too late)"
		}
	}
	if short := m.Units(s.Least) - sum; short > 0 {
		text += fmt.Sprintf("; %s short of the least order, %s", m.NameUnits(short), m.Name(s.Least))
	}
	return text
}

// LeastOrder says what to do about an order that is too small: "butcher: add Thursday's 6 kg marrow bones (21.60) and it is enough.";
// "" for one that is not.
func LeastOrder(s *shop.Supplier, m Money) string {
	if s.Short == 0 {
		return ""
	}
	var parts []string
	for _, x := range s.Add {
		parts = append(parts, fmt.Sprintf("%s of %s (%s)", things(x.Quantity, x.Unit, x.Item, x.Many), weekday(x.Date), m.Show(x.Cost)))
	}
	if parts != nil {
		return fmt.Sprintf("%s: add %s, and it is enough.", s.Name, list(parts))
	}
	for _, x := range s.Else {
		parts = append(parts, fmt.Sprintf("%s from %s", x.Item, x.Words))
	}
	switch {
	case s.Waits != "":
		return fmt.Sprintf("%s: it can wait until %s.", s.Name, weekday(s.Waits))
	case parts != nil:
		return fmt.Sprintf("%s: the days after need too little to fill it up. Or buy %s.", s.Name, list(parts))
	}
	return fmt.Sprintf("%s: the days after need too little to fill it up: ask, or pay the difference.", s.Name)
}

// spareText asks whether the last pack can be left: "1.6 oz more than 2 packs: go without?"
func spareText(x *shop.Purchase) string {
	if x.Packs == 1 {
		return fmt.Sprintf("only %s of it needed: go without?", amount(x.Spare, x.Unit))
	}
	return fmt.Sprintf("%s short with %s: go without?", amount(x.Spare, x.Unit), plural(x.Packs-1, "pack", "packs"))
}

// unitPrice is a price as it stands on a label: with more decimals than the currency has only where there are more.
func unitPrice(m Money, price float64) string {
	if show := m.Show(price); math.Abs(float64(m.Units(price))-price*math.Pow10(m.decimals)) < dust {
		return show
	}
	return m.Rate(price)
}

// noticed is the share of what is needed from which on it is said that there is some on hand.
const noticed = 0.05

// purpose is what a purchase is for, what is over of its packs, and what is there of it.
func purpose(x *shop.Purchase) string {
	var parts []string
	if x.Other {
		parts = append(parts, "ordered here this once")
	}
	if len(x.For) > 0 {
		parts = append(parts, strings.Join(x.For, ", "))
	}
	if x.Over > dust {
		parts = append(parts, amount(x.Over, x.Unit)+" left over")
	}
	if x.Spare > 0 {
		parts = append(parts, spareText(x))
	}
	switch {
	case x.OnHand <= noticed*x.Needed:
	case x.Stored:
		parts = append(parts, amount(x.OnHand, x.Unit)+" taken to be in the store")
	default:
		parts = append(parts, amount(x.OnHand, x.Unit)+" on hand")
	}
	return strings.Join(parts, "; ")
}

// banquet says what it takes and leaves.
func banquet(p Page, f *shop.Banquet, m Money) string {
	var b strings.Builder
	var what []string
	portions := 0.0
	for _, n := range f.Needs {
		if n.Unit == "portion" {
			portions += n.Quantity
			what = append(what, plural(int(n.Quantity), "portion", "portions")+" of "+n.Name)
		} else {
			what = append(what, amount(n.Quantity, n.Unit)+" of "+n.Name)
		}
	}
	text := fmt.Sprintf("Banquet on %s, %s: %s. It costs %s in cash beyond the standing week", weekday(f.Date), f.Service,
		list(what), m.Name(f.Cash))
	if portions > 0 && len(f.Needs) == 1 {
		text += fmt.Sprintf(", %s a portion", m.Name(f.Cash/portions))
	}
	for _, s := range f.Second {
		text += ". " + secondChoice(s, m)
	}
	switch credit := m.Units(f.Credit); {
	case credit > 0:
		text += fmt.Sprintf(". What it leaves over is worth %s to the days after", m.Name(f.Credit))
	case credit < 0:
		text += fmt.Sprintf(". It uses up %s of what the week would leave over", m.Name(-f.Credit))
		if portions > 0 && len(f.Needs) == 1 {
			text += fmt.Sprintf(": with that, %s a portion", m.Name(f.Net/portions))
		}
	}
	b.WriteString(p.text(0, text+"."))
	section := func(t table) {
		if len(t.rows) == 0 {
			return
		}
		b.WriteString("\n")
		if t.widths(p.Width) == nil { // without columns, their heads are gone
			b.WriteString(p.heading(t.columns[0].head))
		}
		b.WriteString(t.on(p))
	}
	section(furtherBatches(f))
	section(furtherBuys(f, m))
	section(spare(f, m))
	needs := table{columns: append(words("at the standing week's cost"), numbers("each", "total")...)}
	for _, n := range f.Needs {
		needs.add(n.Name, m.Rate(n.UnitCost)+"/"+n.Unit, m.Show(n.Cost))
	}
	section(needs)
	sums := table{columns: append(words("what it takes"), numbers(strings.TrimPrefix(m.in(), ", "))...)}
	parts := m.Parts(f.Bought, f.Labour, f.Disposal)
	for n, name := range []string{"bought", "labour and fuel", "disposal"} {
		if name != "disposal" || parts[n] != 0 {
			sums.add(name, m.ShowUnits(parts[n]))
		}
	}
	sums.add("cash", m.Show(f.Cash))
	section(sums)
	return b.String()
}

// secondChoice says how many portions to make with what stands second on the card, and what that saves.
func secondChoice(s shop.Second, m Money) string {
	much := fmt.Sprintf("%d %%", int(s.Share*100+0.5))
	if s.Of > 0 {
		much = fmt.Sprintf("%d of that service's %d %s", s.Portions, s.Of, s.In)
	} else {
		much += " of the " + s.In
	}
	text := fmt.Sprintf("Make %s with %s in place of %s: that saves %s", much, s.Item, s.For, m.Name(s.Saves))
	if s.Batches > 0 {
		text += " and " + plural(s.Batches, "batch", "batches")
	}
	return text
}

func furtherBatches(f *shop.Banquet) table {
	t := table{columns: append(words("to cook as well", "on"), append(numbers("batches", "standing week", "starts"),
		words("vessel")...)...)}
	for _, c := range f.Cook {
		t.add(c.Step, weekday(c.Date), "+"+count(c.Batches), number(c.Standing), c.Starts, c.Vessel)
	}
	return t
}

func furtherBuys(f *shop.Banquet, m Money) table {
	t := table{columns: append(words("to buy as well", "on"), numbers("amount", "packs", "cost")...)}
	for _, x := range f.Buy {
		t.add(x.Item, weekday(x.Date), signed(x.Quantity, x.Unit), signed(float64(x.Packs), ""), m.Change(m.Units(x.Cost)))
	}
	return t
}

func spare(f *shop.Banquet, m Money) table {
	t := table{columns: append(words("then more or less"), numbers("left over", "binned", "valued at")...)}
	for _, x := range f.Surplus {
		t.add(x.Item, signed(x.Left, x.Unit), signed(x.Binned, x.Unit), m.Change(m.Units(x.Credit)))
	}
	return t
}

// signed is an amount with its sign, "" for nothing.
func signed(x float64, unit string) string {
	if x > -dust && x < dust {
		return ""
	}
	text := measure.FormatNumber(x)
	if unit != "" {
		text = amount(x, unit)
	}
	if x > 0 {
		text = "+" + text
	}
	return text
}

// BuySheet has a row for each purchase.
func BuySheet(l *shop.List) (s Sheet) {
	s.add("date", "from", "item", "unit", "needed", "bought", "packs", "pack", "over", "price", "cost", "on_hand", "for")
	for _, t := range l.Trips {
		for _, sup := range t.Suppliers {
			for _, x := range sup.Items {
				s.add(t.Date, sup.Name, x.Item, x.Unit, x.Needed, x.Bought, x.Packs, x.Pack, x.Over, x.Price, x.Cost, x.OnHand,
					strings.Join(x.For, ", "))
			}
		}
	}
	return s
}
