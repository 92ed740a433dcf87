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
	t := table{columns: slices.Concat(words("on offer"), numbers("price", "buy", "costs", "worth up to", "more up to"))}
	for n := range a.Lines {
		l := &a.Lines[n]
		t.add(l.Item, unitPrice(m, l.Price)+"/"+l.Unit, bought(l), m.Show(l.Costs), rateOf(m, l.UpTo), oneMore(l, a.All, m))
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
	b.WriteString(counterBatches(p, a))
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
	stand, noMore := "", "As far as was found, more money brings nothing"
	if a.All {
		noMore = "More money brings nothing"
	}
	if !a.Planned {
		stand = " with the batches as they stand"
	}
	if buys == nil {
		return append(append(lines, fmt.Sprintf("Buy nothing here: at these prices nothing on offer brings more than it costs within %s%s.", m.Name(a.Spend), stand)), CounterAsks(a)...)
	}
	text := fmt.Sprintf("Buy %s: %s of the %s in hand", list(buys), m.Show(a.Costs), m.Name(a.Spend))
	if a.Carry > 0 {
		text += fmt.Sprintf(", %s of the %s that the car carries", amount(a.Weighs, "kg"), amount(a.Carry, "kg"))
	}
	switch {
	case !a.Planned:
		text = "With the batches as they stand: b" + text[1:]
	case len(a.Batches) > 0:
		text += ", and cook it as below"
	}
	lines = append(append(lines, text+"."), CounterAsks(a)...)
	text = fmt.Sprintf("When that is paid, %s earn %s more by it than with nothing bought here", playedDays(a), m.Name(a.Brings))
	if len(a.Batches) > 0 {
		text = fmt.Sprintf("When that is paid and so cooked, %s earn ", playedDays(a))
		if CounterBeyond(a) {
			text += fmt.Sprintf("%s more than by other batches alone with nothing bought here, and ", m.Name(a.Brings-a.Alone()))
		}
		text += fmt.Sprintf("%s more than with nothing bought here and the batches as they stand; with those the same would bring %s", m.Name(a.Brings), m.Show(a.Stand))
		if a.Stand > a.Brings {
			text += ", but go further off the cards"
		}
	}
	lines = append(lines, text+".")
	lines = append(lines, OffMenu(a)...)
	switch {
	case a.Stops <= a.Costs+m.coin():
		lines = append(lines, fmt.Sprintf("%s%s: beyond %s nothing on offer pays%s.", noMore, stand, m.Name(a.Costs), byCards(a)))
	case a.Ends():
		lines = append(lines, fmt.Sprintf("More money pays up to %s%s, and as far as was found not beyond%s.", m.Name(a.Stops), stand, byCards(a)))
	default:
		lines = append(lines, fmt.Sprintf("More money pays up to %s at the least%s: more than %s was not looked at.", m.Name(a.Stops), stand, m.Name(2*a.Spend)))
	}
	if text := CounterFreely(a); text != "" {
		lines = append(lines, text)
	}
	return lines
}

// CounterAsks are questions to the buyer: what pieces weigh that were counted in the amount, and not named.
func CounterAsks(a *counter.Answer) (lines []string) {
	for n := range a.Lines {
		if l := &a.Lines[n]; l.Loose > 0 && l.There != nil {
			lines = append(lines, fmt.Sprintf("%s: the pieces that were weighed come to %s, not %s. What do the others weigh? They are not counted here.", capital(l.Item), amount(*l.There, l.Unit), amount(*l.There+l.Loose, l.Unit)))
		}
	}
	return lines
}

// CounterBeyond tells whether a part of what the answer brings comes of other batches, and the rest of what is bought.
func CounterBeyond(a *counter.Answer) bool {
	coin := MoneyOf(a.Money).coin()
	return len(a.Batches) > 0 && a.Alone() >= coin && a.Brings-a.Alone() >= coin
}

// byCards is said of where more money stops paying, when off the cards it stops elsewhere.
func byCards(a *counter.Answer) string {
	if a.ByCards() {
		return " by the cards"
	}
	return ""
}

// CounterFreely says what would bring more than the answer off the cards; "" for nothing.
func CounterFreely(a *counter.Answer) string {
	m := MoneyOf(a.Money)
	f := a.Freely
	if f == nil || f.More < m.coin()/2 {
		return ""
	}
	text := fmt.Sprintf("%sAll of that is by the cards, as far as can be. Off them, where they allow it, %s more is brought", bringsIn(f.Departs), m.Name(f.More))
	switch {
	case len(f.Buy) == 0:
		text += " with the same bought."
	case f.Less < 0:
		text += fmt.Sprintf(" and %s more is paid: buy %s.", m.Name(-f.Less), Otherwise(f.Buy))
	default:
		text += fmt.Sprintf(" and %s less is paid: buy %s.", m.Name(f.Less), Otherwise(f.Buy))
	}
	if f.Moved {
		text += " That needs other batches."
	}
	if len(f.Off) > 0 {
		text += fmt.Sprintf(" That takes %s off the menu.", portions(f.Off))
	}
	return text
}

func playedDays(a *counter.Answer) string {
	if a.After == 0 {
		return fmt.Sprintf("these %s", plural(a.Days, "day", "days"))
	}
	return fmt.Sprintf("these %s and the %d after", plural(a.Days, "day", "days"), a.After)
}

// coin is what rounding to the currency may hide.
func (m Money) coin() float64 { return math.Pow10(-m.decimals) }

// OffMenu says what goes off the menu with the purchase: beyond what does as the week stands, and of that.
func OffMenu(a *counter.Answer) []string {
	var gone, too []string
	for _, x := range a.Off {
		if x.Short > x.Usual {
			gone = append(gone, fmt.Sprintf("%s, %s of %s from %s %s", x.Dish, count(x.Short), count(x.Of), weekday(x.Date), x.Service))
		} else {
			too = append(too, fmt.Sprintf("%s, %s of %s", x.Dish, count(x.Short), count(x.Of)))
		}
	}
	lines := []string{"Nothing goes off the menu by it."}
	switch {
	case gone != nil:
		lines = []string{"Goes short: " + strings.Join(gone, "; ") + "."}
	case too != nil:
		lines = []string{"Nothing more goes off the menu by it."}
	}
	if too != nil {
		lines = append(lines, "Short as the week stands, too: "+strings.Join(too, "; ")+".")
	}
	return lines
}

// bought is how much of an offer to buy.
func bought(l *counter.Offered) string {
	if l.Buy == 0 {
		return "none"
	}
	return soMany(l.Buy, l.Unit)
}

func rateOf(m Money, price float64) string {
	if price == 0 {
		return "-"
	}
	return m.Show(price)
}

// oneMore says up to which price more pays, and how much is bought there. That more has no use, be it given away, is known where all sets were played.
func oneMore(l *counter.Offered, all bool, m Money) string {
	switch {
	case l.More == 0:
		return "none left"
	case l.MoreAt == 0 && all:
		return "no use"
	case l.MoreAt == 0:
		return "none found"
	}
	return fmt.Sprintf("%s: %s", m.Show(l.MoreAt), soMany(l.Buy+l.More, l.Unit))
}

// CounterPieces names the pieces to take.
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
	if l.Scant > 0 && l.There != nil {
		parts = append(parts, fmt.Sprintf("all pieces come to %s, not %s", amount(*l.There, l.Unit), amount(*l.There+l.Scant, l.Unit)))
	}
	return strings.Join(parts, "; ")
}

// sumsOf is the curve as a table: what each further sum brings. Where nothing more comes, it ends.
func sumsOf(p Page, a *counter.Answer, m Money) string {
	t := table{columns: numbers("to spend", "spent", "brings"+m.in(), "of that the last "+m.Show(sumStep(a)))}
	off := slices.ContainsFunc(a.Curve, func(x counter.Sum) bool { return x.Off })
	if off {
		t.columns = append(t.columns, words("off the cards")...)
	}
	last := len(a.Curve) - 1 // the row behind which nothing changes
	for last > 0 && a.Curve[last].Costs == a.Curve[last-1].Costs && a.Curve[last].Brings == a.Curve[last-1].Brings {
		last--
	}
	last = min(last+1, len(a.Curve)-1)
	for n, x := range a.Curve[:last+1] {
		more := ""
		if n > 0 {
			more = m.Change(m.Units(x.Brings) - m.Units(a.Curve[n-1].Brings))
			if !a.All && m.Units(x.Brings) == m.Units(a.Curve[n-1].Brings) {
				more = "none found"
			}
		}
		row := []string{m.Show(x.Spend), m.Show(x.Costs), m.Show(x.Brings), more}
		if off {
			row = append(row, map[bool]string{true: "stand-ins", false: ""}[x.Off])
		}
		t.add(row...)
	}
	text := t.on(p)
	if end := m.Name(a.Curve[len(a.Curve)-1].Spend); last < len(a.Curve)-1 && a.All {
		text += p.text(0, fmt.Sprintf("And so on up to %s: no more is spent.", end))
	} else if last < len(a.Curve)-1 {
		text += p.text(0, fmt.Sprintf("And so on up to %s: as far as was found, no more is spent.", end))
	}
	if alone := CounterAlone(a); alone != "" {
		text += p.text(0, fmt.Sprintf("Of that, the other batches alone bring %s, with nothing bought here.", alone))
	}
	if off {
		text += p.text(0, fmt.Sprintf("Stand-ins: each row is the most that was found for so much money, and there something is left out, or another thing takes its place, as the cards allow. "+
			"The answer above keeps to them: %s spent bring %s.", m.Show(a.Costs), m.Name(a.Brings)))
	}
	return text
}

// CounterAlone is what other batches bring with nothing bought; "" for nothing.
func CounterAlone(a *counter.Answer) string {
	if m := MoneyOf(a.Money); a.Curve[0].Brings >= m.coin()/2 {
		return m.Name(a.Curve[0].Brings)
	}
	return ""
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
		return text + fmt.Sprintf(" All %s sets of the amounts that were told apart were played: this is the best of them that keeps to the cards.", count(a.Played))
	}
	return text + fmt.Sprintf(" %s sets were played: this is the best of them that keeps to the cards; one that was not played may be better. What a thing is worth up to is as near as was found: ask again at a price close to it.", count(a.Played))
}

// CounterSheet has a row for each offer.
func CounterSheet(a *counter.Answer) (s Sheet) {
	s.add("item", "unit", "price", "usual_price", "buy", "packs", "pieces", "costs", "worth_up_to", "more", "more_up_to", "as_usual_from")
	for _, l := range a.Lines {
		var pieces []string
		for _, w := range l.Pieces {
			pieces = append(pieces, measure.FormatNumber(w))
		}
		s.add(l.Item, l.Unit, l.Price, l.Usual, l.Buy, l.Packs, strings.Join(pieces, " "), l.Costs, l.UpTo, l.More, l.MoreAt, l.Until)
	}
	return s
}
