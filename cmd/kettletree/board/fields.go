package board

// Entries put together from fields: a form that is filled in with one thumb says the same as a line that is typed.

import (
	"net/url"
	"slices"
	"strings"
	"unicode"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// depthIn begins the value of a unit that is a depth: "cm in big kettle".
const depthIn = "cm in "

// fielded are the entries that a form's fields say, in the grammar of the log. A field may come many times: the first of
// each belong to one entry, the second of each to the next; what comes once belongs to all. An entry of several whose
// amount is empty doesn't count.
func fielded(k *kitchen.Kitchen, form url.Values) (texts []string) {
	kind := logbook.Kind(form.Get("kind"))
	if kind == "" {
		return nil
	}
	if kind == logbook.Cooked {
		return []string{cookedText(k, form)}
	}
	names := []string{"amount", "unit", "item", "paid", "supplier", "lot", "reason", "portions", "dish", "service", "step", "day",
		"share", "reading", "scale", "batches", "to", "until"}
	rows := 1
	for _, name := range names {
		rows = max(rows, len(form[name]))
	}
	for i := range min(rows, mostEntries+1) {
		f := map[string]string{}
		for _, name := range names {
			list := form[name]
			if len(list) == 1 {
				f[name] = strings.TrimSpace(list[0])
			} else if i < len(list) {
				f[name] = strings.TrimSpace(list[i])
			}
		}
		if rows > 1 && f["amount"] == "" && f["portions"] == "" {
			continue
		}
		texts = append(texts, fieldedText(k, kind, f))
	}
	return texts
}

// fieldedText is one entry.
func fieldedText(k *kitchen.Kitchen, kind logbook.Kind, f map[string]string) string {
	words := []string{string(kind)}
	add := func(before, word string) {
		if word != "" {
			words = append(words, before+word)
		}
	}
	at := strings.TrimSpace(f["day"] + " " + f["service"])
	switch kind {
	case logbook.Received:
		add("", amountText(k, f["amount"], f["unit"], f["item"]))
		add("for ", f["paid"])
		if f["supplier"] != "" {
			add("from ", `"`+strings.ReplaceAll(f["supplier"], `"`, "'")+`"`)
		}
		add("lot ", f["lot"])
	case logbook.NotCome, logbook.Late:
		if f["amount"] != "" {
			add("", amountText(k, f["amount"], f["unit"], f["item"]))
		} else {
			add("", f["item"])
		}
		add("until ", f["until"])
	case logbook.Lit, logbook.Done, logbook.Skipped:
		add("", f["step"])
		add("x", f["batches"])
		add("of ", f["day"])
	case logbook.PutIn, logbook.Out:
		add("", amountText(k, f["amount"], f["unit"], f["item"]))
		add("lot ", f["lot"])
		add("of ", f["step"])
		if f["step"] != "" {
			add("of ", f["day"])
		}
	case logbook.Gave, logbook.Dropped:
		add("", f["portions"])
		add("", f["dish"])
		add("to ", f["to"])
		add("at ", f["service"])
	case logbook.Binned, logbook.Counted:
		add("", amountText(k, f["amount"], f["unit"], f["item"]))
	case logbook.Sold, logbook.Offered:
		add("", f["portions"])
		add("", f["dish"])
		add("at ", at)
	case logbook.Temperature:
		add("", f["item"])
		add("lot ", f["lot"])
		add("", strings.TrimSpace(f["reading"]+" "+f["scale"]))
	case logbook.Struck:
		add("", f["dish"])
		add("at ", at)
	case logbook.Lost:
		if share := strings.TrimSpace(strings.TrimSuffix(f["share"], "%")); share != "" {
			add(share, "% of")
		}
		add("", f["step"])
		add("of ", f["day"])
	}
	text := strings.Join(words, " ")
	if f["reason"] != "" {
		text += ", " + f["reason"]
	}
	return text
}

// amountText is an amount of an item as it is typed: in the unit that was chosen, or else in the item's own. A depth stands
// behind the item.
func amountText(k *kitchen.Kitchen, amount, unit, item string) string {
	if strings.HasPrefix(unit, depthIn) {
		return item + " " + amount + " " + unit
	}
	if unit == "" && !strings.ContainsFunc(amount, unicode.IsLetter) { // no unit is typed with it
		unit = ownUnit(k, item)
	}
	return strings.Join(slices.DeleteFunc([]string{amount, unit, item}, func(s string) bool { return s == "" }), " ")
}

// ownUnit is the unit that the kitchen file counts an item in; "" when there is no such item.
func ownUnit(k *kitchen.Kitchen, item string) string {
	if i, err := k.FindItem(item); err == nil {
		return k.Graph.Items[i].Unit.Name
	}
	return ""
}

// cookedText is a step that was run: how many batches, and what was weighed of what went in and came out.
func cookedText(k *kitchen.Kitchen, form url.Values) string {
	amounts := func(way string) string {
		var list []string
		for i, item := range form[way+"-item"] {
			if i < len(form[way]) && i < len(form[way+"-unit"]) && strings.TrimSpace(form[way][i]) != "" {
				list = append(list, amountText(k, strings.TrimSpace(form[way][i]), form[way+"-unit"][i], item))
			}
		}
		return strings.Join(list, ", ")
	}
	text := string(logbook.Cooked) + " " + strings.TrimSpace(form.Get("step"))
	if n := strings.TrimSpace(form.Get("batches")); n != "" {
		text += " x" + n
	}
	if in := amounts("in"); in != "" {
		text += ": " + in
	}
	if out := amounts("out"); out != "" {
		text += " gives " + out
	}
	return text
}
