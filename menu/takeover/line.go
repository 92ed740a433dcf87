package takeover

// One row of a recipe: how much of what.

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// noAmount are words in the place of an amount.
var noAmount = regexp.MustCompile(`(?i)^(tt|t\.t\.?|to taste|as needed|q\.?s\.?|al gusto|c/s|n\.? ?b\.?|nach belieben|some|a little|pinch of|适量|少许)\.?$`)

// Words round a name that say nothing of how much: "a little cream", "soy sauce (to taste)".
var (
	littleBefore = regexp.MustCompile(`(?i)^(?:some|a little|a few|(?:a )?(?:pinch|dash|splash|drop) of|适量|少许) *`)
	tasteBehind  = regexp.MustCompile(`(?i)[ ,(]+(?:to taste|as needed|q\.?s\.?|al gusto|nach belieben|适量|少许)\)?$`)
)

// prose is a text alone in a row that is a heading or a sentence, and no ingredient.
var prose = regexp.MustCompile(`(?i)[:.!?]$|^(?:method|preparation|procedure|directions|instructions|notes?|steps?|for the)\b|^\S+(?:\s+\S+){4}`)

// unsaid takes a line of which nobody can say how much: it goes in all the same, with its allergens. A unit that is not known is the likely one.
func (r *reader) unsaid(row logbook.GridRow, into *Recipe, item, unit, why string) {
	item = nameOf(tasteBehind.ReplaceAllString(littleBefore.ReplaceAllString(strings.TrimSpace(item), ""), ""))
	if item == "" {
		r.leave(row, "no ingredient is named")
		return
	}
	u, err := measure.UnitNamed(tradeUnit(unit))
	if err != nil || isPack(unit) {
		if u, _ = measure.UnitNamed("g"); kitchen.Liquid(item) {
			u, _ = measure.UnitNamed("mL")
		}
	}
	into.Lines = append(into.Lines, Line{Item: item, Amount: measure.Quantity{Amount: 1, Unit: u}, Unsaid: new(r.left(row, why))})
}

// noAmountSaid is why a line has no amount that says nothing of one.
const noAmountSaid = "there is no amount"

// named is what a text names behind an amount that can't be read.
func named(text string) string {
	_, rest, unknown, ok := amountOf(aNumber.ReplaceAllString(text, "1"))
	if !ok {
		rest = unknown + " " + rest
	}
	return strings.TrimPrefix(strings.TrimPrefix(strings.TrimSpace(rest), "of "), "de ")
}

// line reads one row of a recipe.
func (r *reader) line(h heading, row logbook.GridRow, into *Recipe) {
	if h.uncounted(row, "ingredient") {
		r.leave(row, noResult)
		return
	}
	uncounted := h.uncounted(row, "amount") || h.uncounted(row, "unit")
	for _, what := range []string{"portions", "yield", "price"} {
		if h.uncounted(row, what) { // the line is taken all the same
			r.leaveOnce(row, what, "its "+what+" is not taken: "+noResult)
		}
		if text := h.text(row, what); text != "" {
			r.say(into, row, what, text, h.isNumber(row, what))
		}
	}
	item, amount, unit := h.text(row, "ingredient"), h.text(row, "amount"), cmp.Or(h.text(row, "unit"), h.units["amount"])
	if item == "" && amount == "" {
		if uncounted {
			r.leave(row, noResult)
		}
		return
	}
	if m := labels.FindStringSubmatch(item); m != nil && labelled(m[1]) != "dish" { // "Yield: 40 L" among the ingredients
		switch {
		case m[2] == "" && amount != "":
			r.say(into, row, labelled(m[1]), strings.TrimSpace(amount+" "+unit), h.isNumber(row, "amount"))
			return
		case m[2] != "" && (strings.ContainsAny(item, ":=") || measured(m[2]) != ""):
			r.say(into, row, labelled(m[1]), m[2], false)
			return
		case m[2] == "" && uncounted:
			r.leave(row, noResult)
			return
		case m[2] == "":
			r.leave(row, noAmountSaid)
			return
		}
	}
	if strings.HasPrefix(strings.ToLower(item), "total") || strings.HasPrefix(strings.ToLower(item), "subtotal") {
		r.leave(row, "it is a sum")
		return
	}
	if uncounted {
		r.unsaid(row, into, item, unit, noResult)
		return
	}
	if amount == "" && strings.HasSuffix(item, ":") {
		r.leave(row, "it names no ingredient")
		return
	}
	text := amount
	if !h.isNumber(row, "amount") || amount == "" {
		var err error
		whole := amount
		if whole == "" && measured(item) != "" { // all in one cell
			whole, item = item, ""
		}
		if text, err = r.decimals.plainly(whole); err != nil {
			r.doubt(err)
			r.unsaid(row, into, cmp.Or(item, named(whole)), unit, err.Error())
			return
		}
	}
	switch {
	case item == "" && amount != "":
		r.leave(row, "no ingredient is named")
		return
	case text == "" || noAmount.MatchString(text):
		r.unsaid(row, into, item, unit, noAmountSaid)
		return
	}
	text = hyphened.ReplaceAllString(text, "$1 $2")
	low, high, behind, ranged := measure.Range(text)
	if ranged { // of two amounts the larger: what is bought and cooked by it is enough
		text = strings.TrimSpace(measure.FormatNumber(high) + " " + behind)
	}
	if n, rest, err := measure.Number(text); err == nil && strings.TrimSpace(rest) == "" {
		switch {
		case n == 0:
			r.unsaid(row, into, item, unit, "its amount is nothing")
			return
		case isPack(unit):
			r.unsaid(row, into, item, "", fmt.Sprintf("how much is in a %s is not said", unit))
			return
		case unit != "":
			text += " " + unit
		case item == "":
			r.leave(row, "no ingredient is named")
			return
		default:
			text += " each"
		}
	}
	q, rest, unknown, ok := amountOf(text)
	if !ok && unknown == "" || q.Amount == 0 {
		r.unsaid(row, into, cmp.Or(item, named(text)), unit, fmt.Sprintf("%q is no amount", text))
		return
	}
	if isPack(unknown) {
		r.unsaid(row, into, cmp.Or(item, strings.TrimPrefix(rest, "of ")), "", fmt.Sprintf("how much is in a %s is not said", unknown))
		return
	}
	l := Line{Amount: q, Guessed: !ok || ranged}
	switch {
	case item == "" && !ok: // "3 onions": the word is the thing
		l.Item, l.Guessed = nameOf(strings.TrimSpace(unknown+" "+rest)), ranged
	case item == "":
		l.Item = nameOf(strings.TrimPrefix(strings.TrimPrefix(rest, "of "), "de "))
	default:
		l.Item = nameOf(item)
	}
	if l.Item == "" {
		r.leave(row, "no ingredient is named")
		return
	}
	if m := labels.FindStringSubmatch(l.Item); m != nil && m[2] == "" && labelled(m[1]) != "dish" { // "40 L yield"
		r.say(into, row, labelled(m[1]), written(q), true)
		return
	}
	if ranged {
		r.file.Notes = append(r.file.Notes, fmt.Sprintf("%s: %s, from %s to %s: taken as %s, the larger, as a guess", r.where(row), l.Item, measure.FormatNumber(low),
			measure.FormatNumber(high), written(l.Amount)))
	}
	if !ok && item != "" {
		r.file.Notes = append(r.file.Notes, fmt.Sprintf("%s: how much a %q of %s is, nobody knows here: taken as %s each, as a guess", r.where(row), unknown, l.Item,
			measure.FormatNumber(q.Amount)))
	}
	key := fmt.Sprintf("%s %d", strings.ToLower(l.Item), l.Amount.Unit.Kind)
	if n, twice := into.at[key]; twice { // on one card
		o := &into.Lines[n]
		o.Amount.Amount += l.Amount.Base() / o.Amount.Unit.Factor
		return
	}
	if into.at == nil {
		into.at = map[string]int{}
	}
	into.at[key] = len(into.Lines)
	into.Lines = append(into.Lines, l)
}
