package board

// Entries put together from fields: a form that is filled in with one thumb says the same as a line that is typed. What is wrong is
// said beside its field.

import (
	"cmp"
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// depthIn begins the value of a unit that is a depth: "cm in big kettle".
const depthIn = "cm in "

// fieldReader reads the fields of one form.
type fieldReader struct {
	k      *kitchen.Kitchen
	kind   logbook.Kind
	form   url.Values
	faults []fault
}

// fielded are the entries that a form's fields say, in the grammar of the log, or what is wrong with the fields. A field may come many
// times: the first of each belong to one entry, the second of each to the next; what comes once belongs to all. An entry of several
// whose amount is empty doesn't count. An empty field means what the hidden field beside it has, which is what was planned.
func fielded(k *kitchen.Kitchen, form url.Values) (texts []string, faults []fault) {
	choose(form)
	r := &fieldReader{k: k, kind: logbook.Kind(form.Get("kind")), form: form}
	r.onlyOf(form.Get("planned-of"))
	switch r.kind {
	case "":
		return nil, nil
	case logbook.Cooked:
		return []string{r.cooked()}, r.faults
	case logbook.Measured:
		return []string{r.tasted()}, r.faults
	}
	rows := 1
	for _, name := range fieldsOf {
		rows = max(rows, len(form[name]))
	}
	for i := range rows {
		if rows > 1 && r.said("amount", i) == "" && r.said("portions", i) == "" {
			continue
		}
		texts = append(texts, r.entry(i))
	}
	return append(r.missed(form), texts...), r.faults
}

// onlyOf drops what empty fields would mean where the form was filled in for one item, and another was typed.
func (r *fieldReader) onlyOf(item string) {
	if item == "" {
		return
	}
	before := len(r.faults)
	name := r.item(0)
	if r.faults = r.faults[:before]; name == item { // what is wrong with it is said when it is read
		return
	}
	for name := range r.form {
		if strings.HasSuffix(name, behindElse) {
			delete(r.form, name)
		}
	}
}

// said is what a field says in a row; what comes once is said in all rows.
func (r *fieldReader) said(name string, at int) string {
	if len(r.form[name]) == 1 {
		at = 0
	}
	return said(r.form, name, at)
}

// wrong keeps what is wrong with a field.
func (r *fieldReader) wrong(field string, at int, hint string, choices []string, format string, args ...any) {
	r.faults = append(r.faults, fault{Field: field, At: at, Msg: fmt.Sprintf(format, args...), Hint: hint, Choices: choices})
}

// named is what a field names, in the words of the kitchen file.
func (r *fieldReader) named(field string, at int, what string, all []called) string {
	typed := r.said(field, at)
	if typed == "" {
		r.wrong(field, at, "", nil, "which %s?", what)
		return typed
	}
	name, choices := meant(typed, all)
	switch {
	case name != "":
		return name
	case len(choices) > 0:
		r.wrong(field, at, "", choices, "which of these is %q?", typed)
	default:
		r.wrong(field, at, "type some other part of its name", nil, "no %s is named %q", what, typed)
	}
	return typed
}

// item is the item that a row is about.
func (r *fieldReader) item(at int) string {
	bought := itemNames(r.k, graph.Bought)
	switch r.kind {
	case logbook.Received, logbook.NotCome, logbook.Late:
		if name, choices := meant(r.said("item", at), bought); name != "" || len(choices) > 0 {
			return r.named("item", at, "item", bought)
		}
	case logbook.Temperature: // a place has a name of its own
		if r.said("item", at) == "" {
			r.wrong("item", at, "write an item, or a place such as walk-in", nil, "which item or place?")
			return ""
		}
		if name, _ := meant(r.said("item", at), itemNames(r.k, graph.Bought, graph.Made)); name != "" {
			return name
		}
		return r.said("item", at)
	}
	return r.named("item", at, "item", append(bought, itemNames(r.k, graph.Made)...))
}

func (r *fieldReader) step(at int) string { return r.named("step", at, "step", stepNames(r.k)) }
func (r *fieldReader) dish(at int) string { return r.named("dish", at, "dish", dishNames(r.k)) }

// number is what a field says, with a point.
func (r *fieldReader) number(field string, at int) string {
	typed := r.said(field, at)
	text, choices, err := pointed(typed)
	if err != nil {
		r.wrong(field, at, "", choices, "%s", err)
	}
	return text
}

// figure is a number with nothing behind it, above 0 or none; what names it.
func (r *fieldReader) figure(field string, at int, what, hint string) string {
	before := len(r.faults)
	text := r.number(field, at)
	if text == "" || len(r.faults) > before {
		return text
	}
	if v, err := strconv.ParseFloat(text, 64); err != nil || !(v > 0) || v > 1e9 {
		r.wrong(field, at, hint, nil, "%q is not %s", r.said(field, at), what)
	}
	return text
}

const batchesHint = "write a number such as 1, 2 or 0.5"

// portions are a whole number.
func (r *fieldReader) portions(at int) string {
	text := r.said("portions", at)
	if n, err := strconv.Atoi(text); err != nil || n < 1 {
		if text == "" {
			r.wrong("portions", at, "", nil, "how many portions?")
		} else {
			r.wrong("portions", at, "write a whole number, such as 12", nil, "%q is not a number of portions", text)
		}
	}
	return text
}

// notNumber are faults of what a field has in place of a number.
var notNumber = regexp.MustCompile(`^no unit after the number|^"[^"]*" is not a number`)

const numberHint = "write a number such as 450, 1.5, 1/2 or 1 1/2"

// amount is how much of an item: as it was typed, in the unit that was chosen, or else in the item's own.
func (r *fieldReader) amount(field string, at int, unit, item string, none bool) (text string, base float64) {
	before := len(r.faults)
	number := r.number(field, at)
	if number == "" {
		r.wrong(field, at, "", nil, "how much?")
	}
	if len(r.faults) > before {
		return number, 0
	}
	if strings.HasPrefix(unit, depthIn) {
		if v, err := strconv.ParseFloat(number, 64); err != nil || v < 0 {
			r.wrong(field, at, "", nil, "%q is not a depth", number)
		}
		return item + " " + number + " " + unit, 0
	}
	i, err := r.k.FindItem(item)
	if err != nil { // which is said beside its own field
		return number, 0
	}
	if strings.ContainsFunc(number, unicode.IsLetter) { // a unit is typed with it
		unit = ""
	} else if unit == "" {
		unit = r.k.Graph.Items[i].Unit.Name
	}
	amount := strings.TrimSpace(number + " " + unit)
	base, err = r.k.Amount(i, amount)
	switch {
	case err != nil:
		msg, hint := err.Error(), ""
		if e, ok := err.(*measure.Error); ok {
			msg, hint = e.Msg, e.Hint
			if notNumber.MatchString(msg) { // of the whole of what was typed
				msg, hint = fmt.Sprintf("%q is not a number", r.said(field, at)), numberHint
			}
		}
		r.wrong(field, at, hint, nil, "%s", msg)
	case base == 0 && !none && r.kind != logbook.Counted:
		r.wrong(field, at, "", nil, "0 is nothing: how much?")
	}
	return amount + " " + item, base
}

// paid is what was paid for a base amount of an item: as it was typed, or by the price that was asked.
func (r *fieldReader) paid(at int, item string, base float64) string {
	if text := r.figure("paid", at, "a sum of money", "write it as 12.50"); text != "" {
		return text
	}
	before := len(r.faults)
	ask := r.number("ask", at)
	if ask == "" || len(r.faults) > before || base == 0 {
		return ""
	}
	if !strings.ContainsAny(ask, "/%") { // the price of a list has its unit with it
		ask += "/" + cmp.Or(r.said("per", at), r.said("unit", at))
	}
	i, err := r.k.FindItem(item)
	if err != nil {
		return ""
	}
	price, err := r.k.Price(i, ask)
	if err != nil {
		msg, hint := priceFault(r.said("ask", at), err)
		r.wrong("ask", at, hint, nil, "%s", msg)
		return ""
	}
	m := show.MoneyOf(r.k.Money)
	return plainMoney(m.ShowUnits(m.Units(base * price)))
}

// priceFault is what is wrong with a price as it was typed.
func priceFault(typed string, err error) (msg, hint string) {
	if !strings.ContainsFunc(typed, unicode.IsDigit) {
		return fmt.Sprintf("%q is not a price", typed), "write it as 4.20"
	}
	return shockFault(err), ""
}

// entry is the entry of one row.
func (r *fieldReader) entry(at int) string {
	words := []string{string(r.kind)}
	add := func(before, word string) {
		if word != "" {
			words = append(words, before+word)
		}
	}
	unit, day := r.said("unit", at), r.said("day", at)
	when := strings.TrimSpace(day + " " + r.said("service", at))
	switch r.kind {
	case logbook.Received:
		item := r.item(at)
		text, base := r.amount("amount", at, unit, item, len(r.form["amount"+behindElse]) > 0)
		if base == 0 && !strings.Contains(unit, " in ") && len(r.faults) == 0 { // of what was to come nothing came; a depth has no amount yet
			return string(logbook.NotCome) + " " + item
		}
		add("", text)
		add("for ", r.paid(at, item, base))
		if from := r.supplier(at); from != "" {
			add("from ", `"`+strings.ReplaceAll(from, `"`, "'")+`"`)
		}
		add("lot ", r.said("lot", at))
	case logbook.NotCome, logbook.Late:
		item := r.item(at)
		if r.said("amount", at) != "" {
			item, _ = r.amount("amount", at, unit, item, false)
		}
		add("", item)
		if r.kind == logbook.Late && r.said("until", at) == "" {
			r.wrong("until", at, "write it as 15:00", nil, "until when?")
		}
		add("until ", r.said("until", at))
	case logbook.Lit, logbook.Done, logbook.Skipped:
		add("", r.step(at))
		add("x", r.figure("batches", at, "a number of batches", batchesHint))
		add("of ", day)
	case logbook.PutIn, logbook.Out:
		text, _ := r.amount("amount", at, unit, r.item(at), false)
		add("", text)
		add("lot ", r.said("lot", at))
		if r.said("step", at) != "" {
			add("of ", r.step(at))
			add("of ", day)
		}
	case logbook.Binned, logbook.Counted:
		text, _ := r.amount("amount", at, unit, r.item(at), false)
		add("", text)
		if lot := r.said("lot", at); lot != "" && r.kind == logbook.Binned {
			add("lot ", lot)
		}
	case logbook.Sold, logbook.Offered:
		add("", r.portions(at))
		add("", r.dish(at))
		add("at ", when)
	case logbook.Gave, logbook.Dropped:
		add("", r.portions(at))
		add("", r.dish(at))
		add("to ", r.said("to", at))
		add("at ", r.said("service", at))
	case logbook.Temperature:
		add("", r.item(at))
		add("lot ", r.said("lot", at))
		add("", r.reading(at))
	case logbook.Struck:
		add("", r.dish(at))
		add("at ", when)
	case logbook.Lost:
		add("", r.share(at))
		add("", r.step(at))
		add("of ", day)
	}
	text := strings.Join(words, " ")
	if reason := r.said("reason", at); reason != "" {
		text += ", " + reason
	}
	return text
}

// supplier is who something came from: one of the file's in the file's words, or another.
func (r *fieldReader) supplier(at int) string {
	typed := r.said("supplier", at)
	for _, b := range r.k.Bought {
		if plainName(b.From) == plainName(typed) {
			return b.From
		}
	}
	return typed
}

// reading is a temperature.
func (r *fieldReader) reading(at int) string {
	before := len(r.faults)
	text := r.number("reading", at)
	if text == "" {
		r.wrong("reading", at, "", nil, "what does the thermometer say?")
	}
	if len(r.faults) > before {
		return text
	}
	digits := strings.TrimRight(text, " °CcFf")
	if _, err := strconv.ParseFloat(strings.NewReplacer("−", "-", " ", "").Replace(digits), 64); err != nil {
		r.wrong("reading", at, "write it as 4.5, or as -18", nil, "%q is not a temperature", text)
	}
	if digits != text { // the scale is typed with it
		return text
	}
	return strings.TrimSpace(text + " " + r.said("scale", at))
}

// share is how much of a batch is lost: "40% of", or "" for all of it.
func (r *fieldReader) share(at int) string {
	before := len(r.faults)
	text := strings.TrimSpace(strings.TrimSuffix(r.number("share", at), "%"))
	if text == "" || len(r.faults) > before {
		return ""
	}
	if v, err := strconv.ParseFloat(text, 64); err != nil || !(v > 0) || v > 100 {
		r.wrong("share", at, "write 40 where 40% of it is lost", nil, "%q is not a share", r.said("share", at))
	}
	if text == "100" {
		return ""
	}
	return text + "% of"
}

// cooked is a step that was run: how many batches, and what was weighed of what went in and came out.
func (r *fieldReader) cooked() string {
	amounts := func(way string) string {
		var list []string
		for i, item := range r.form[way+"-item"] {
			if said(r.form, way, i) == "" {
				continue
			}
			unit := said(r.form, way+"-unit", i)
			text, _ := r.amount(way, i, unit, item, true)
			list = append(list, text)
		}
		return strings.Join(list, ", ")
	}
	text := string(logbook.Cooked) + " " + r.step(0)
	if n := r.figure("batches", 0, "a number of batches", batchesHint); n != "" {
		text += " x" + n
	}
	if day := r.said("day", 0); day != "" {
		text += " of " + day
	}
	if in := amounts("in"); in != "" {
		text += ": " + in
	}
	if out := amounts("out"); out != "" {
		text += " gives " + out
	}
	return text
}

// plainNumber is a number as it is typed.
func plainNumber(x float64) string {
	return cmp.Or(strings.TrimRight(strings.TrimRight(strconv.FormatFloat(x, 'f', 6, 64), "0"), "."), "0")
}

// hasField tells whether a form can be shown again with what is wrong beside its fields.
func hasField(form url.Values) bool {
	return slices.Contains([]string{"entry", "line", "buy", "count", "taste"}, form.Get("form"))
}
