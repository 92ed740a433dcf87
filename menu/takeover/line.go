package takeover

// One row of a recipe: how much of what.

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/logbook"
)

// noAmount are words in the place of an amount.
var noAmount = regexp.MustCompile(`(?i)^(tt|t\.t\.?|to taste|as needed|q\.?s\.?|al gusto|c/s|n\.? ?b\.?|nach belieben|some|a little|pinch of|适量|少许)\.?$`)

// line reads one row of a recipe.
func (r *reader) line(h heading, row logbook.GridRow, into *Recipe) {
	for _, what := range []string{"ingredient", "amount", "unit"} {
		if h.uncounted(row, what) {
			r.leave(row, noResult)
			return
		}
	}
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
		}
	}
	if strings.HasPrefix(strings.ToLower(item), "total") || strings.HasPrefix(strings.ToLower(item), "subtotal") {
		r.leave(row, "it is a sum")
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
			r.leave(row, err.Error())
			return
		}
	}
	switch {
	case text == "" || noAmount.MatchString(text):
		r.leave(row, "there is no amount")
		return
	case item == "" && amount != "":
		r.leave(row, "no ingredient is named")
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
			r.leave(row, "its amount is nothing")
			return
		case isPack(unit):
			r.leave(row, fmt.Sprintf("how much is in a %s is not said", unit))
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
		r.leave(row, fmt.Sprintf("%q is no amount", text))
		return
	}
	if isPack(unknown) {
		r.leave(row, fmt.Sprintf("how much is in a %s is not said", unknown))
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
