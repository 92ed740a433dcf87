package board

// A field of a form as a template draws it, with what stands in it and what is wrong with it.

import (
	"fmt"
	"hash/fnv"
	"strconv"
	"strings"

	"kettletree/menu/logbook"
)

// field is one field, with its label.
type field struct {
	ID, Name, Label string
	Value           string // what stands in it
	Shown           string // in grey, while it is empty
	Else            string // what it means while it is empty: sent beside it
	Mode, Type      string // of the keys, and of the field
	List            string // of names to choose from
	Hear            string // what the label says besides to those who hear the page
	Asks            bool   // what follows from it is asked at once
	Scans           string // the words for reading it by camera, where the browser can
	Signs           bool   // it may be below zero: keys of a phone have no minus
	At              int
	Wrong           *fault
}

// Field is a field with a label; pairs say the rest: "at" which of many, "value" what stands in it where nothing was typed,
// "shown" what is planned, "else" what is sent for it, "mode", "type", "list", "hear", "asks", "id".
func (v *view) Field(name, label string, pairs ...any) (*field, error) {
	f := &field{Name: name, Label: v.Phrase(label)}
	for i := 0; i+1 < len(pairs); i += 2 {
		value := strings.TrimSpace(fmt.Sprint(pairs[i+1]))
		switch pairs[i] {
		case "at":
			at, err := strconv.Atoi(value)
			if err != nil {
				return nil, err
			}
			f.At = at
		case "value":
			f.Value = value
		case "shown":
			f.Shown = v.Phrase(value)
		case "else":
			f.Else = value
		case "mode":
			f.Mode = value
		case "type":
			f.Type = value
		case "list":
			f.List = value
		case "hear":
			f.Hear = value
		case "asks":
			f.Asks = value == "true"
		case "scans":
			f.Scans = value
		case "signs":
			f.Signs = value == "true"
		case "id":
			f.ID = value
		default:
			return nil, fmt.Errorf("a field has no %v", pairs[i])
		}
	}
	if f.ID == "" {
		f.ID = name
		if f.At > 0 {
			f.ID = fmt.Sprintf("%s-%d", name, f.At)
		}
	}
	if f.Shown == "" {
		f.Shown = f.Else
	}
	if len(v.Form.Values) > 0 && v.Form.Values.Has(name) {
		f.Value = v.Form.WasAt(name, f.At)
	}
	f.Wrong = v.Form.Wrong(name, f.At)
	return f, nil
}

// FormFault is what is wrong with a form as a whole; nil for nothing.
func (v *view) FormFault() *fault {
	if f := v.Form.Wrong("", 0); f != nil && v.Form.Values.Get("form") == "entry" {
		return f
	}
	return nil
}

// Weighed is the field for what was weighed of one thing of a batch. Fields of an entry that is corrected are found by the item.
func (v *view) Weighed(way string, p portioned) (*field, error) {
	f, err := v.Field(way, p.Item+", "+p.Unit, "at", p.At, "id", fmt.Sprintf("%s-%d", way, p.At), "mode", "decimal", "shown", p.Amount)
	if err != nil || len(v.Form.Values) == 0 {
		return f, err
	}
	f.Value = ""
	for i, item := range v.Form.Values[way+"-item"] {
		if item == p.Item {
			f.Value = v.Form.WasAt(way, i)
			if unit := v.Form.WasAt(way+"-unit", i); f.Value != "" && unit != p.Unit {
				f.Value += " " + unit
			}
		}
	}
	return f, nil
}

// Expected is what is expected of the item that was chosen: of a delivery of today, or of a batch under way.
func (v *view) Expected() portioned {
	l, ok := v.Answer.(*logAnswer)
	if !ok || l.Fill == nil || l.Corrects != nil {
		return portioned{}
	}
	switch l.Kind {
	case logbook.Received:
		if d := l.Fill.Comes(); d != nil {
			return portioned{Item: d.Item, Amount: d.Amount, Unit: d.Unit}
		}
		return portioned{}
	case logbook.PutIn, logbook.Out:
	default:
		return portioned{}
	}
	for _, p := range l.Fill.Due {
		if p.Item == l.Fill.Item && (l.Fill.Step == "" || p.Step == l.Fill.Step) {
			return p
		}
	}
	return portioned{}
}

// LineField is a field of a line of the shopping list. What was typed of one line stands in the fields of that line only; of a list that
// is checked as a whole, in all.
func (v *view) LineField(l *buyLine, name, label, value, planned string) (*field, error) {
	own := *v
	asked := *v.asked
	own.asked = &asked
	at := 0
	if v.Query.Has("check") {
		at = l.At
	} else if asked.Form = l.Form; l.Form == nil || l.Form.Was("missed") != "" {
		asked.Form = &filled{}
	}
	hear := v.of(l.Item)
	if name == "ask" && l.In == "each" { // the price of one lime
		hear = v.Called(l.Item)
	}
	return own.Field(name, label, "at", at, "id", name+"-"+slug(l.Key()), "hear", hear, "value", value, "else", planned,
		"mode", "decimal", "asks", !v.Query.Has("check") && !l.Other)
}

// of is what a label says besides, of an item.
func (s *speaker) of(item string) string {
	if s.voice.English() {
		return "of " + item
	}
	return s.Called(item)
}

// Without is the URL of the Buy page without what is asked about one item, on the day that it shows: where its form leads once it is
// written down.
func (v *view) Without(item string) string {
	pairs := []string{"on", v.Answer.(*buyAnswer).Date}
	for _, param := range []string{"got", "price"} {
		for _, change := range v.Query[param] {
			if strings.HasPrefix(change, item+"=") {
				pairs = append(pairs, "-"+param, change)
			}
		}
	}
	return v.URL("/buy", append(pairs, "line", item)...)
}

// slug is a name as part of an id: two names have two.
func slug(name string) string {
	plain := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(name))
	sum := fnv.New32a()
	_, _ = sum.Write([]byte(name))
	return fmt.Sprintf("%s-%x", plain, sum.Sum32())
}
