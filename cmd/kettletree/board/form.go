package board

// A form and what stands in its fields: as it was sent and could not be written down, or as an entry that is to be corrected fills it in.

import (
	"net/url"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// filled is a form with what stands in its fields. A page that has none shows its fields empty.
type filled struct {
	Values url.Values
	Faults []fault
	Asks   bool // it only looks wrong: whoever says that it is right may write it

	Text []byte // the kitchen file as the form would write it; nil where it writes none
}

// fault is what is wrong with a field.
type fault struct {
	Field, Msg, Hint string
	At               int      // which one, of fields that come many times
	Excerpt          string   // lines that point at the fault, "" for none
	Choices          []string // what may have been meant, to be tapped
}

// Was is what stands in a field.
func (f *filled) Was(name string) string { return f.WasAt(name, 0) }

// WasAt is what stands in the field with a number, of those that come many times.
func (f *filled) WasAt(name string, at int) string {
	if list := f.Values[name]; at < len(list) {
		return list[at]
	}
	return ""
}

// Of tells whether the fields are those of one form, by what the form's hidden fields say: "kind", "sold".
func (f *filled) Of(pairs ...string) bool {
	if len(f.Values) == 0 {
		return false
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		if f.Values.Get(pairs[i]) != pairs[i+1] {
			return false
		}
	}
	return true
}

// Wrong is what is wrong with a field; nil for nothing.
func (f *filled) Wrong(name string, at int) *fault {
	for i := range f.Faults {
		if f.Faults[i].Field == name && f.Faults[i].At == at {
			return &f.Faults[i]
		}
	}
	return nil
}

// fieldsOf are the names of the fields of which a form may have many.
var fieldsOf = []string{"amount", "unit", "item", "paid", "ask", "supplier", "lot", "reason", "portions", "dish", "service", "step", "day",
	"share", "reading", "scale", "batches", "to", "until"}

// behindElse ends the name of the hidden field that has what an empty field means: what was planned.
const behindElse = "-else"

// said is what a field says: what was typed, or what was planned where nothing was.
func said(form url.Values, name string, at int) string {
	for _, n := range []string{name, name + behindElse} {
		if list := form[n]; at < len(list) && strings.TrimSpace(list[at]) != "" {
			return strings.TrimSpace(list[at])
		}
	}
	return ""
}

// choose puts the choice that was tapped into the field that it is for. It is sent as "item 0 cooked hominy".
func choose(form url.Values) {
	for _, chosen := range form["choose"] {
		words := strings.SplitN(chosen, " ", 3)
		if len(words) < 3 || len(words[1]) != 1 && len(words[1]) != 2 {
			continue
		}
		at := 0
		for _, d := range words[1] {
			at = at*10 + int(d-'0')
		}
		if list := form[words[0]]; at >= 0 && at < len(list) {
			list[at] = words[2]
		}
	}
	delete(form, "choose")
}

// fromEntry is the form of an entry, filled in; ok is false where its fields can't say all that the entry says.
func fromEntry(k *kitchen.Kitchen, l *logbook.Line) (f *filled, ok bool) {
	v := url.Values{"kind": {string(l.Kind)}}
	set := func(name, value string) {
		if value != "" {
			v.Add(name, value)
		}
	}
	amount := func(p logbook.Part) {
		number, unit, _ := strings.Cut(p.Typed, " ")
		if !slices.Contains(logUnits, unit) && !strings.HasPrefix(unit, depthIn) {
			number, unit = p.Typed, ""
		}
		set("amount", number)
		set("unit", unit)
		set("item", p.Item)
	}
	only := func(parts []logbook.Part) bool {
		if len(parts) != 1 {
			return false
		}
		amount(parts[0])
		set("lot", parts[0].Mark)
		return true
	}
	ok = true
	switch l.Kind {
	case logbook.Received:
		ok = only(l.Gives)
		v.Del("lot")
		if l.Paid != nil {
			set("paid", plainNumber(*l.Paid))
		}
		set("supplier", l.Supplier)
		set("lot", l.Mark)
	case logbook.NotCome, logbook.Late:
		if len(l.Gives) == 1 && l.Gives[0].Typed != "" {
			amount(l.Gives[0])
		} else {
			set("item", l.Of)
		}
		set("until", l.Until)
	case logbook.Counted:
		ok = only(l.Gives)
	case logbook.Binned:
		ok = only(l.Takes)
	case logbook.PutIn:
		ok = only(l.Takes)
	case logbook.Out:
		ok = only(l.Gives)
	case logbook.Cooked:
		for way, parts := range map[string][]logbook.Part{"in": l.Takes, "out": l.Gives} {
			for _, p := range parts {
				if p.Typed == "" {
					continue
				}
				number, unit, _ := strings.Cut(p.Typed, " ")
				ok = ok && p.Mark == "" && onCard(k, l.Step, way, p.Item)
				v.Add(way, number)
				v.Add(way+"-unit", unit)
				v.Add(way+"-item", p.Item)
			}
		}
		set("batches", plainNumber(l.Batches))
	case logbook.Lit:
		ok = len(l.Takes) == 0 || !slices.ContainsFunc(l.Takes, func(p logbook.Part) bool { return p.Typed != "" })
		set("batches", plainNumber(l.Batches))
	case logbook.Sold, logbook.Gave, logbook.Dropped, logbook.Struck, logbook.Offered:
		set("dish", l.Dish)
		if l.Portions > 0 {
			set("portions", plainNumber(float64(l.Portions)))
		}
		set("service", l.Service)
		set("to", l.To)
	case logbook.Lost:
		set("share", plainNumber(l.Share*100))
	case logbook.Temperature:
		ok = false // what was done about it and what was read have no fields
	}
	set("step", l.Step)
	set("reason", l.Reason)
	if l.Begins != "" {
		set("day", l.Begins)
	} else {
		set("day", l.Day)
	}
	if !ok {
		return nil, false
	}
	texts, faults := fielded(k, v)
	return &filled{Values: v}, len(faults) == 0 && len(texts) == 1 && saysTheSame(k, texts[0], l)
}

// onCard tells whether the form of a step has a field for an item.
func onCard(k *kitchen.Kitchen, step, way, item string) bool {
	s, err := k.FindStep(step)
	if err != nil {
		return false
	}
	st := k.Graph.Steps[s]
	if way == "in" {
		return slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return k.Graph.Items[l.Choices[0].Item].Name == item })
	}
	return slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return k.Graph.Items[o.Item].Name == item })
}

// saysTheSame tells whether an entry that fields make says what the entry says that they were taken from.
func saysTheSame(k *kitchen.Kitchen, text string, l *logbook.Line) bool {
	again, err := read(k, text)
	if err != nil {
		return false
	}
	first, err := read(k, string(l.Kind)+" "+l.Text)
	if err != nil {
		return false
	}
	if again.Day != first.Day { // a weekday of then is a date now
		again.Day, first.Day = "", ""
	}
	if again.Batches == 0 || first.Batches == 0 { // as it was planned, which the entry keeps
		again.Batches, first.Batches = 0, 0
	}
	if first.Step == "" {
		again.Step = ""
	}
	return again.Means(&first)
}
