package show

// The counter, further: swaps that the cards allow, whole pieces and their parts, what can't be known, what to ask first, other batches.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/counter"
)

// Headings of what lies behind an answer.
const (
	SwapHead  = "Off the card, it could be had for less"
	RiskHead  = "What it can't know"
	DoubtHead = "Ask or weigh first"
	MovedHead = "Cook it so"
)

// counterSwaps tells what the cards allow in place of the answer, allergens first.
func counterSwaps(p Page, a *counter.Answer, m Money) string {
	if len(a.Swaps) == 0 && a.Freely == nil {
		return ""
	}
	var b strings.Builder
	b.WriteString(p.heading(SwapHead))
	alarms := false
	off := func(departs []counter.Cards) {
		for _, d := range departs {
			if d.Item != "" || d.Kind == ask.LeftOut {
				b.WriteString(p.text(4, Departs(d, m)))
			}
		}
	}
	if a.Freely != nil {
		b.WriteString(p.text(2, FreelyHead))
		off(a.Freely.Departs)
		alarms = a.Freely.Alarms
	}
	for n := range a.Swaps {
		w := &a.Swaps[n]
		b.WriteString(p.text(2, SwapAlarm(w)+SwapText(w, m)))
		for _, one := range (Teller{}).Expected(w.Taste) {
			b.WriteString(p.text(4, one))
		}
		alarms = alarms || w.Alarms
		off(w.Departs)
	}
	if alarms {
		b.WriteString(p.text(2, checkLabels))
	}
	return b.String()
}

// FreelyHead stands before what is off its card with what brings most.
const FreelyHead = "What brings most off the cards, as said above."

// SwapAlarm is what a swap brings in that someone may not eat; "" for nothing.
func SwapAlarm(w *counter.Swap) string { return bringsIn(w.Departs) }

func bringsIn(departs []counter.Cards) string {
	var has, unstated []string
	for _, d := range departs {
		has, unstated = append(has, d.Allergens...), append(unstated, d.Unstated...)
	}
	slices.Sort(has)
	slices.Sort(unstated)
	text := ""
	if has = slices.Compact(has); len(has) > 0 {
		text += "ADDS ALLERGENS: " + strings.ToUpper(strings.Join(has, ", ")) + ". "
	}
	if unstated = slices.Compact(unstated); len(unstated) > 0 {
		text += "ALLERGENS UNKNOWN: " + strings.Join(unstated, ", ") + ". "
	}
	return text
}

// SwapText is a swap in a sentence: what less of, what instead, what it brings and what goes off the menu.
func SwapText(w *counter.Swap, m Money) string {
	text := fmt.Sprintf("%s less %s (%s)", percent(w.Share), w.Less, amount(w.By, w.Unit))
	if w.Share > 0.995 {
		text = "No " + w.Less
	}
	switch {
	case w.Instead == "":
	case w.More > 0:
		text += fmt.Sprintf(", %s more %s instead", amount(w.More, w.In), w.Instead)
	default:
		text += fmt.Sprintf(", %s instead as it is there or comes", w.Instead)
	}
	text += fmt.Sprintf(": brings %s more", m.Name(w.Saves))
	if w.Gone == 0 {
		return text + ". Nothing more goes off the menu."
	}
	return text + fmt.Sprintf(". That takes %s off the menu.", portions(w.Off))
}

// portions are those that are not served: "2 portions of red soup".
func portions(off []counter.Off) string {
	var gone []string
	for _, x := range off {
		gone = append(gone, fmt.Sprintf("%s of %s", plural(x.Short, "portion", "portions"), x.Dish))
	}
	return list(gone)
}

// counterWholes tells what becomes of whole pieces.
func counterWholes(p Page, a *counter.Answer, m Money) string {
	var b strings.Builder
	for n := range a.Wholes {
		w := &a.Wholes[n]
		b.WriteString(p.heading(WholeHead(w)))
		for _, line := range WholeText(w, m) {
			b.WriteString(p.text(2, line))
		}
		t := table{columns: slices.Concat(words("part"), numbers("amount", "for one", "comes to"), words("goes into"))}
		for k := range w.Parts {
			part := &w.Parts[k]
			as, comes := "-", "-"
			if part.Price > 0 {
				as, comes = unitPrice(m, part.Price)+"/"+part.Unit, m.Show(part.Price*part.Amount)
			}
			if part.Worth {
				as = "worth " + as
			}
			t.add(part.Item, amount(part.Amount, part.Unit), as, comes, PartGoes(part))
		}
		b.WriteString(t.on(p))
	}
	return b.String()
}

// WholeHead is a heading over a whole piece.
func WholeHead(w *counter.Whole) string {
	if w.Unit == measure.Each.Name {
		return capital(w.Item + " and its parts")
	}
	return capital(fmt.Sprintf("%s, %s, and its parts", w.Item, amount(w.Amount, w.Unit)))
}

// PartText is a part in a sentence: how much of it there is, what it costs as such, what it becomes.
func PartText(part *counter.Part, m Money) string {
	text := fmt.Sprintf("%s, %s", part.Item, amount(part.Amount, part.Unit))
	rate, comes := unitPrice(m, part.Price)+"/"+part.Unit, m.Name(part.Price*part.Amount)
	switch {
	case part.Worth:
		return text + fmt.Sprintf(", worth %s, %s in all: %s", rate, comes, PartGoes(part))
	case part.Price > 0:
		return text + fmt.Sprintf(", %s as such, %s in all: %s", rate, comes, PartGoes(part))
	}
	return text + ", neither a price nor a worth: " + PartGoes(part)
}

// WholeText says what a whole piece is worth against its parts, and what of it has no use.
func WholeText(w *counter.Whole, m Money) (lines []string) {
	switch {
	case w.Dear:
		lines = append(lines, "Not bought: there is not the money for it, or the car does not carry it.")
	case w.Bought && w.Brings < 0:
		lines = append(lines, fmt.Sprintf("Bought, to keep to the cards: once all is paid, these days earn %s less than by the best that was found without it.", m.Name(-w.Brings)))
	case w.Bought:
		lines = append(lines, fmt.Sprintf("Bought: once all is paid, these days earn %s more than by the best that was found without it.", m.Name(w.Brings)))
	case w.Brings > 0:
		lines = append(lines, fmt.Sprintf("Not bought, to keep to the cards: once all is paid, these days earn %s more by the best that was found with it.", m.Name(w.Brings)))
	default:
		lines = append(lines, fmt.Sprintf("Not bought: once all is paid, these days earn %s less by the best that was found with it.", m.Name(-w.Brings)))
	}
	switch {
	case w.Dear || !w.Bought:
	case w.Cards >= m.coin():
		lines = append(lines, fmt.Sprintf("%s of that is earned by going further off the cards: what it is worth up to does not count it.", m.Name(w.Cards)))
	case w.Cards <= -m.coin():
		lines = append(lines, fmt.Sprintf("What it is worth up to counts %s more: without it, more goes off the cards.", m.Name(-w.Cards)))
	}
	text := fmt.Sprintf("It costs %s with the work of %s; its parts come to %s", m.Name(w.Costs), w.Step, m.Name(w.Worth))
	switch {
	case w.Blank == len(w.Parts):
		text = fmt.Sprintf("It costs %s with the work of %s; no part of it has a price as such or a worth", m.Name(w.Costs), w.Step)
	case w.Blank > 0:
		text += fmt.Sprintf(", without %d that %s neither a price nor a worth", w.Blank, map[bool]string{true: "has", false: "have"}[w.Blank == 1])
	case w.Worth < w.Costs:
		text += fmt.Sprintf(", %s less", m.Name(w.Costs-w.Worth))
	default:
		text += fmt.Sprintf(", %s more", m.Name(w.Worth-w.Costs))
	}
	lines = append(lines, text+".")
	for k := range w.Parts {
		part := &w.Parts[k]
		if part.Binned <= part.Amount*0.02 && len(part.Goes) > 0 {
			continue
		}
		gone, head, state := part.Binned, "No use", "is binned"
		if gone <= part.Amount*0.02 {
			gone, state = part.Amount, "has no use in these days"
		}
		var then string
		switch {
		case part.Use != "":
			then = part.Use + " would use it"
		case part.Lacks != "":
			head, then = "Left", fmt.Sprintf("%s would use it, but is short of %s", part.Short, part.Lacks)
		case part.Short != "":
			head, then = "Left", part.Short+" would use it, but at another time"
		default:
			then = "no dish or special that is in the file would use it at a gain"
		}
		if head == "Left" && gone != part.Binned {
			state = "is not used in these days"
		}
		lines = append(lines, fmt.Sprintf("%s: %s %s %s; %s.", head, amount(gone, part.Unit), part.Item, state, then))
	}
	return lines
}

// PartGoes is what a part becomes.
func PartGoes(part *counter.Part) string {
	var goes []string
	for n, u := range part.Goes {
		if n == 3 {
			goes = append(goes, fmt.Sprintf("%d more", len(part.Goes)-n))
			break
		}
		goes = append(goes, amount(u.Amount, part.Unit)+" "+u.In)
	}
	if part.Binned > part.Amount*0.02 {
		goes = append(goes, amount(part.Binned, part.Unit)+" binned")
	}
	if part.Kept > part.Amount*0.02 {
		goes = append(goes, amount(part.Kept, part.Unit)+" left over")
	}
	if goes == nil {
		return "nothing"
	}
	return strings.Join(goes, ", ")
}

// CounterRisk says how often the purchase is regretted, and which set is least.
func CounterRisk(a *counter.Answer) (lines []string) {
	m := MoneyOf(a.Money)
	r := a.Risk
	if r == nil {
		return nil
	}
	lines = append(lines, fmt.Sprintf("In %s of ten times drawn from the file's spreads it is regretted: another set would have been better by %s or more. Buying nothing would "+
		"have been better in %s of ten. On average %s is missed, at worst %s.", inTen(r.Regrets), m.Name(r.Matters), inTen(r.Nothing), m.Name(r.Mean), m.Name(r.Worst)))
	var buys []string
	for _, l := range r.Least {
		buys = append(buys, things(l.Amount, l.Unit, l.Item, l.Many))
	}
	worst := r.By == counter.AtWorst
	switch {
	case r.Same && worst:
		return append(lines, "No set that was played is regretted clearly less at worst.")
	case r.Same:
		return append(lines, "No set that was played is regretted clearly less on average.")
	case buys == nil && worst:
		return append(lines, "Least regretted at worst: to buy nothing.")
	case buys == nil:
		return append(lines, "Least regretted on average: to buy nothing.")
	case worst:
		return append(lines, fmt.Sprintf("Least regretted at worst: %s, for %s; then %s is missed at worst.", list(buys), m.Name(r.Costs), m.Name(r.Least1)))
	}
	return append(lines, fmt.Sprintf("Least regretted on average: %s, for %s; then %s is missed on average.", list(buys), m.Name(r.Costs), m.Name(r.Lesser)))
}

// inTen is a share in words: "3", "less than one".
func inTen(share float64) string {
	switch n := math.Round(share * 10); {
	case share == 0:
		return "not one"
	case n == 0:
		return "less than one"
	default:
		return fmt.Sprintf("%.0f", n)
	}
}

// CounterDoubts says what to ask or weigh first.
func CounterDoubts(a *counter.Answer) (lines []string) {
	m := MoneyOf(a.Money)
	for n := range a.Doubts {
		d := &a.Doubts[n]
		var text string
		switch d.What {
		case counter.OfPrice:
			text = fmt.Sprintf("The price of %s. At %s/%s instead of %s/%s", d.Item, unitPrice(m, d.If), d.Unit, unitPrice(m, d.Now), d.Unit)
		case counter.OfThere:
			text = fmt.Sprintf("What the other pieces of %s weigh. With %s in place of %s", d.Item, amount(d.If, d.Unit), amount(d.Now, d.Unit))
		default:
			text = fmt.Sprintf("How much %s is on hand. With %s instead of %s", d.Item, amount(d.If, d.Unit), amount(d.Now, d.Unit))
		}
		if len(d.Buy) > 0 {
			text += fmt.Sprintf(", buy %s; not to know it costs %s.", Otherwise(d.Buy), m.Name(d.Loses))
		} else {
			text += fmt.Sprintf(", more of it pays; not to know it costs %s.", m.Name(d.Loses))
		}
		lines = append(lines, text)
	}
	return lines
}

// Otherwise is what is bought otherwise: "18 kg pork shoulder (not 36 kg)".
func Otherwise(steps []counter.Step) string {
	var parts []string
	for _, s := range steps {
		is := things(s.Would, s.Unit, s.Item, s.Many)
		if s.Would == 0 {
			is = "no " + s.Item
		}
		was := "not " + soMany(s.Was, s.Unit)
		if s.Was == 0 {
			was = "the answer buys none"
		}
		parts = append(parts, fmt.Sprintf("%s (%s)", is, was))
	}
	return list(parts)
}

// CounterBatches says that the batches may stay; nothing where others are to be made, or nobody looked.
func CounterBatches(a *counter.Answer) (lines []string) {
	if a.Planned && len(a.Batches) == 0 {
		return []string{"The batches may stay as they stand: the planner found no others that earn clearly more with what is on offer."}
	}
	return nil
}

// counterBatches lays out what to cook otherwise for what is bought, day by day.
func counterBatches(p Page, a *counter.Answer) string {
	if len(a.Batches) == 0 {
		return section(p, MovedHead, append(CounterBatches(a), CounterCut(a)...))
	}
	t := table{columns: slices.Concat(words("day", "batch"), numbers("to make", "instead of"))}
	for _, b := range a.Batches {
		t.add(weekday(b.Date), b.Step, measure.FormatNumber(b.Is), measure.FormatNumber(b.Was))
	}
	text := p.heading(MovedHead) + t.on(p)
	for _, one := range CounterCut(a) {
		text += p.text(2, one)
	}
	return text
}

// CounterCut says how much is made of batches that lack something: "make 1" is not all of one where the oxtail goes round for half.
func CounterCut(a *counter.Answer) (lines []string) {
	m := MoneyOf(a.Money)
	for _, x := range a.Cut {
		var text string
		share := fmt.Sprintf("%.0f%%", 100*x.Made/x.Batches)
		switch head := capital(x.Step) + " on " + weekday(x.Date); {
		case x.Lacks == "" || x.Batches <= 0:
			continue
		case x.Made < 0.005:
			text = fmt.Sprintf("%s: none of it is made, for lack of %s.", head, x.Lacks)
		case x.Leave:
			text = fmt.Sprintf("%s: leave it. For lack of %s it would be %s of a batch, %s %s.", head, x.Lacks, share, amount(x.Gives, x.Unit), x.Item)
			if x.Costs >= m.coin() {
				text += fmt.Sprintf(" Leaving it costs %s of what is said above.", m.Name(x.Costs))
			}
		default:
			text = fmt.Sprintf("%s: only %s of it is made, %s of %s %s, for lack of %s.", head, share, amount(x.Gives, x.Unit), amount(x.Of, x.Unit), x.Item, x.Lacks)
		}
		lines = append(lines, text+noMore(&x, m))
	}
	return lines
}

// noMore says why no more is bought of what a batch lacks, where more of it hangs there: else that looks forgotten.
func noMore(x *counter.Cut, m Money) string {
	switch {
	case x.Why == counter.WhyPays && x.Loses >= m.coin():
		return fmt.Sprintf(" More of it does not pay: all of the batch would bring %s less.", m.Name(x.Loses))
	case x.Why == counter.WhyPays:
		return " More of it does not pay."
	case x.Why == counter.WhyMoney:
		return " There is not the money for as much as the batch takes."
	case x.Why == counter.WhyCar:
		return " The car does not carry as much as the batch takes."
	case x.Why == counter.WhyFew:
		return " There is not enough of it on offer for all of the batch."
	case x.Why == counter.WhyShort:
		return " With more of it, the batch lacks something else that is not on offer."
	case x.Why == counter.WhyOthers:
		return " With more of it here, another batch lacks something."
	}
	return ""
}

// counterDeeper lays out what lies behind the answer.
func counterDeeper(p Page, a *counter.Answer) string {
	return counterWholes(p, a, MoneyOf(a.Money)) + section(p, RiskHead, CounterRisk(a)) + section(p, DoubtHead, CounterDoubts(a))
}

// section is a heading with sentences; nothing without any.
func section(p Page, head string, lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(p.heading(head))
	for _, l := range lines {
		b.WriteString(p.text(2, l))
	}
	return b.String()
}
