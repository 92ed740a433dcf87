package show

// The counter: what to buy with the money in hand, what goes off the menu, what each thing is worth, and what more money would bring.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/counter"
)

// Counter lays out what to buy at the counter.
func Counter(p Page, a *counter.Answer) string {
	m := MoneyOf(a.Money)
	var b strings.Builder
	for _, line := range CounterAnswer(a) {
		b.WriteString(p.text(0, line))
	}
	t := table{columns: slices.Concat(words("on offer"), numbers("price", "buy", "costs", "worth up to", "one more up to"))}
	for n := range a.Lines {
		l := &a.Lines[n]
		t.add(l.Item, unitPrice(m, l.Price)+"/"+l.Unit, bought(l), m.Show(l.Costs), rateOf(m, l.UpTo), oneMore(m, l))
	}
	b.WriteString("\n" + t.on(p))
	for n := range a.Lines {
		if pieces := CounterPieces(&a.Lines[n]); pieces != "" {
			b.WriteString(p.text(0, capital(a.Lines[n].Item)+": "+pieces+"."))
		}
	}
	b.WriteString(departures(p, a.Departs, m))
	for _, one := range (Teller{}).Expected(a.Taste) {
		b.WriteString(p.text(2, one))
	}
	b.WriteString(counterSwaps(p, a, m))
	b.WriteString(counterDeeper(p, a))
	b.WriteString("\n" + sumsOf(p, a, m))
	b.WriteString("\n" + p.text(0, CounterTerms(a)))
	return b.String() + notes(p, a.Notes)
}

// CounterAnswer is the answer first, in as many sentences as it takes.
func CounterAnswer(a *counter.Answer) (lines []string) {
	m := MoneyOf(a.Money)
	var buys []string
	for n := range a.Lines {
		if l := &a.Lines[n]; l.Buy > 0 {
			buys = append(buys, things(l.Buy, l.Unit, l.Item, l.Many))
		}
	}
	if buys == nil {
		return append(lines, fmt.Sprintf("Buy nothing here: at these prices nothing on offer brings more than it costs within %s.", m.Name(a.Spend)))
	}
	text := fmt.Sprintf("Buy %s: %s of the %s in hand", list(buys), m.Show(a.Costs), m.Name(a.Spend))
	if a.Carry > 0 {
		text += fmt.Sprintf(", %s of the %s that the car carries", amount(a.Weighs, "kg"), amount(a.Carry, "kg"))
	}
	lines = append(lines, text+".", fmt.Sprintf("When that is paid, %s earn %s more by it than with nothing bought here.",
		playedDays(a), m.Name(a.Brings)))
	lines = append(lines, OffMenu(a)...)
	switch {
	case a.Stops <= a.Costs+m.coin():
		lines = append(lines, fmt.Sprintf("More money brings nothing: beyond %s nothing on offer pays.", m.Name(a.Costs)))
	case a.Stops < 2*a.Spend-m.coin():
		lines = append(lines, fmt.Sprintf("More money pays up to %s, and not beyond.", m.Name(a.Stops)))
	default:
		lines = append(lines, fmt.Sprintf("More money pays up to %s at the least.", m.Name(2*a.Spend)))
	}
	return lines
}

func playedDays(a *counter.Answer) string {
	if a.After == 0 {
		return fmt.Sprintf("these %s", plural(a.Days, "day", "days"))
	}
	return fmt.Sprintf("these %s and the %d after", plural(a.Days, "day", "days"), a.After)
}

// coin is what rounding to the currency may hide.
func (m Money) coin() float64 { return math.Pow10(-m.decimals) }

// OffMenu says what goes off the menu with the purchase, beyond what does as the week stands.
func OffMenu(a *counter.Answer) []string {
	var gone []string
	for _, x := range a.Off {
		if x.Short > x.Usual {
			gone = append(gone, fmt.Sprintf("%s, %s of %s from %s %s", x.Dish, count(x.Short), count(x.Of), weekday(x.Date), x.Service))
		}
	}
	if gone == nil {
		return []string{"Nothing goes off the menu by it."}
	}
	return []string{"Goes short: " + strings.Join(gone, "; ") + "."}
}

// bought is how much of an offer to buy.
func bought(l *counter.Offered) string {
	if l.Buy == 0 {
		return "none"
	}
	return amount(l.Buy, l.Unit)
}

func rateOf(m Money, price float64) string {
	if price == 0 {
		return "-"
	}
	return m.Show(price)
}

// oneMore says up to which price one piece more pays.
func oneMore(m Money, l *counter.Offered) string {
	switch {
	case l.More == 0:
		return "no more"
	case l.MoreAt == 0:
		return "no price"
	}
	return m.Show(l.MoreAt)
}

// CounterPieces names the pieces to take, and those that nobody weighed.
func CounterPieces(l *counter.Offered) string {
	var parts []string
	if l.Packs > 0 {
		parts = append(parts, "take "+plural(l.Packs, "pack", "packs"))
	}
	if l.Pieces != nil {
		var take []string
		for _, w := range l.Pieces {
			take = append(take, measure.FormatNumber(w))
		}
		word := "the piece of "
		if len(take) > 1 {
			word = "the pieces of "
		}
		parts = append(parts, "take "+word+list(take)+" "+l.Unit)
	}
	if l.Loose > 0 {
		parts = append(parts, fmt.Sprintf("%s more lies there in pieces that nobody weighed: weigh them if one more pays", amount(l.Loose, l.Unit)))
	}
	return strings.Join(parts, "; ")
}

// sumsOf is the curve as a table: what each further sum brings. Where nothing more comes, it ends.
func sumsOf(p Page, a *counter.Answer, m Money) string {
	t := table{columns: numbers("to spend", "spent", "brings"+m.in(), "of that the last "+m.Show(sumStep(a)))}
	flat := 0
	for n, x := range a.Curve {
		if flat = flat + 1; n == 0 || x.Costs != a.Curve[n-1].Costs {
			flat = 0
		}
		if flat < 2 {
			more := ""
			if n > 0 {
				more = m.Change(m.Units(x.Brings) - m.Units(a.Curve[n-1].Brings))
			}
			t.add(m.Show(x.Spend), m.Show(x.Costs), m.Show(x.Brings), more)
		}
	}
	text := t.on(p)
	if flat >= 2 {
		text += p.text(0, fmt.Sprintf("And so on up to %s: no more is spent.", m.Name(a.Curve[len(a.Curve)-1].Spend)))
	}
	for n, x := range a.Curve {
		if n > 0 && x.Brings < a.Curve[n-1].Brings-m.coin()/2 {
			text += p.text(0, "Where it brings less than a smaller sum, the money goes into keeping to the cards: nothing is left out or replaced to save it.")
			break
		}
	}
	return text
}

func sumStep(a *counter.Answer) float64 {
	if len(a.Curve) < 2 {
		return 0
	}
	return a.Curve[1].Spend
}

// CounterTerms says what is taken for granted.
func CounterTerms(a *counter.Answer) string {
	byDay := map[string][]string{}
	for _, l := range a.Lines {
		byDay[l.Until] = append(byDay[l.Until], l.Item)
	}
	var parts []string
	for n, l := range a.Lines {
		if slices.IndexFunc(a.Lines, func(o counter.Offered) bool { return o.Until == l.Until }) == n {
			parts = append(parts, fmt.Sprintf("%s until %s", list(byDay[l.Until]), weekday(l.Until)))
		}
	}
	text := "What is on offer is had here or not at all: " + strings.Join(parts, "; ") +
		"; from then on it comes as the file says. All else comes as the file says, and is not paid from this money. What is on hand is used."
	if slices.ContainsFunc(a.Lines, func(l counter.Offered) bool { return l.Looked > 0 }) {
		text += " Of each thing, up to four times what these days take of it was looked at."
	}
	if a.All {
		return text + fmt.Sprintf(" All %s sets of the amounts that were told apart were played: this is the best of them.", count(a.Played))
	}
	return text + fmt.Sprintf(" %s sets were played: this is the best of them.", count(a.Played))
}

// CounterSheet has a row for each offer.
func CounterSheet(a *counter.Answer) (s Sheet) {
	s.add("item", "unit", "price", "usual_price", "buy", "packs", "pieces", "costs", "worth_up_to", "one_more", "one_more_up_to", "as_usual_from")
	for _, l := range a.Lines {
		var pieces []string
		for _, w := range l.Pieces {
			pieces = append(pieces, measure.FormatNumber(w))
		}
		s.add(l.Item, l.Unit, l.Price, l.Usual, l.Buy, l.Packs, strings.Join(pieces, " "), l.Costs, l.UpTo, l.More, l.MoreAt, l.Until)
	}
	return s
}
