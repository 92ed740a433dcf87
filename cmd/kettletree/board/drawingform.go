package board

// The forms of the drawing: a new box, a line, and what takes them away, as edits of the kitchen file.

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"kettletree/menu/kitchen"
)

// drawnBlanks are the keys that a new box asks for.
var drawnBlanks = map[string][]string{kitchen.InBought: {"price"}, kitchen.InSteps: {"batches", "starts"}, kitchen.InMade: {"keeps"}, kitchen.InDishes: {"price", "sells"}}

// blanksOf are the fields of a new box.
func (m *drawingAnswer) blanksOf() {
	m.One = kitchen.OneOf(m.New)
	for n, b := range kitchen.Blanks(m.New) {
		if slices.Contains(drawnBlanks[m.New], b.Key) {
			f := blank{Blank: b, Field: blankField + b.Key, ID: fmt.Sprintf("blank-%d", n), Value: m.form.Get(blankField + b.Key)}
			f.Tall = false
			m.Blanks = append(m.Blanks, f)
		}
	}
}

// Is tells whether a box is the picked one, or the one that a field holds.
func (m *drawingAnswer) Is(field string, b kitchen.Box) bool {
	if m.form.Has(field) {
		return m.form.Get(field) == boxKey(b)
	}
	if p := m.Picked; p != nil && (field == "into" && !isItem(*p) || field == "out of" && isItem(*p) == (m.New == kitchen.InDishes)) {
		return *p == b
	}
	return len(m.Steps) == 1 && b == m.Steps[0] && (field == "out of" || b.Open) // the pot, where it is the only one and waits for more
}

// Nowhere tells whether a field was said to hold no box.
func (m *drawingAnswer) Nowhere(field string) bool {
	return m.form.Has(field) && m.form.Get(field) == ""
}

// Example is an amount as it is typed.
func (m *drawingAnswer) Example() string { return "20 kg" }

// AmountNow is what stands in the field of the amount.
func (m *drawingAnswer) AmountNow() string {
	if m.Act() == "line" {
		return m.form.Get("amount")
	}
	if m.Way != nil && m.Way.Now != nil {
		return joinedNotes(*m.Way.Now)
	}
	return ""
}

// joinedNotes is the amount of a line with its notes.
func joinedNotes(l kitchen.Link) string {
	if l.Notes == "" {
		return l.Amount
	}
	return l.Amount + ", " + l.Notes
}

// WrongAt is what is wrong with a field of the form of an act; nil for nothing.
func (m *drawingAnswer) WrongAt(act, field string) *fault {
	if m.Proposal == nil || m.Act() != act {
		return nil
	}
	return m.Proposal.wrong(field)
}

// drawnEdits are the edits that a form of the page asks for; wrong is what is missing in it.
func (m *drawingAnswer) drawnEdits() (edits []kitchen.Edit, wrong *fault) {
	said := func(name string) string { return trimmed(m.form.Get(name)) }
	amount := said("amount")
	need := func(field, says, hint string) *fault { return &fault{Field: field, Msg: says, Hint: hint} }
	amountHint := "write a number and a unit: 20 kg, 450 mL, 2 each"
	switch m.form.Get("act") {
	case "line":
		w := m.Way
		if w == nil {
			return nil, need("", "one end of that line is not there any more", "choose both ends again")
		}
		if amount == "" {
			return nil, need("amount", "how much?", amountHint)
		}
		item := w.Item
		if item == "" {
			if item = said("through"); item == "" {
				if item = said("as"); item == "" {
					return nil, need("as", "what is it called?", fmt.Sprintf("name what %s gives", w.Step.Name))
				}
				edits = append(edits, kitchen.Draw(kitchen.InSteps, w.Step.Name, "gives", item, orUnweighed(said("gave"))))
			}
		}
		return append(edits, kitchen.Draw(w.Card.List, w.Card.Name, w.Key, item, amount)), nil
	case "wipe":
		if m.Way == nil || m.Way.Now == nil {
			return nil, need("", "that line is not there any more", "look at the drawing as it is now")
		}
		return []kitchen.Edit{kitchen.Wipe(m.Way.Card.List, m.Way.Card.Name, m.Way.Key, m.Way.Item)}, nil
	case "erase":
		if m.Picked == nil {
			return nil, need("", "that box is not there any more", "look at the drawing as it is now")
		}
		return []kitchen.Edit{kitchen.Erase(m.Picked.List, m.Picked.Name)}, nil
	case "box":
		name := said("as")
		if name == "" {
			return nil, need("as", "what is it called?", "")
		}
		if m.New == kitchen.InMade {
			of := keyedBox(m.drawing, said("out of"))
			if of == nil || of.List != kitchen.InSteps {
				return nil, need("out of", "which step does it come out of?", "draw the step first, if it is not there")
			}
			edits = append(edits, kitchen.Draw(kitchen.InSteps, of.Name, "gives", name, orUnweighed(amount)))
			for _, f := range m.Blanks {
				if f.Value != "" {
					edits = append(edits, kitchen.Fill(kitchen.InMade, name, f.Key, f.Value))
				}
			}
			return edits, nil
		}
		blanks := map[string]string{}
		for _, f := range m.Blanks {
			blanks[f.Key] = f.Value
			if f.Key == "batches" {
				blanks[f.Key] = daysOnce(f.Value)
			}
		}
		edits = append(edits, kitchen.NewBox(m.New, name, blanks))
		other, item := keyedBox(m.drawing, said("into")), name
		if m.New == kitchen.InDishes {
			if from := keyedBox(m.drawing, said("out of")); from != nil && isItem(*from) {
				other, item = &kitchen.Box{List: kitchen.InDishes, Name: name}, from.Name
			}
		}
		switch {
		case other == nil || isItem(*other):
		case amount == "":
			return nil, need("amount", "how much?", amountHint+"; or choose that it goes nowhere yet")
		default:
			edits = append(edits, kitchen.Draw(other.List, other.Name, "takes", item, amount))
		}
		return edits, nil
	}
	return nil, need("", "that can't be drawn", "choose again")
}

// orUnweighed is an amount that a step gives, or that nobody weighed it.
func orUnweighed(amount string) string {
	if amount == "" {
		return "some kg"
	}
	return amount
}

// daysOnce are days, as thumbs type them, with a batch on each: "tue fri". What says more stays as it is.
func daysOnce(text string) string {
	if strings.ContainsAny(text, ":{0123456789") || slices.Contains([]string{"", "as needed", "to order", "all of it"}, strings.TrimSpace(text)) {
		return strings.ReplaceAll(text, ",", "\n")
	}
	var days []string
	for day := range strings.FieldsFuncSeq(text, func(c rune) bool { return c == ' ' || c == ',' }) {
		days = append(days, day+": 1")
	}
	return strings.Join(days, "\n")
}

// sketched is the text that a form of the page asks for; a fault is what keeps it from being written.
func (m *drawingAnswer) sketched(file string, src []byte) (text []byte, wrong *fault, err error) {
	edits, wrong := m.drawnEdits()
	if wrong != nil {
		return nil, wrong, nil
	}
	text, err = kitchen.Sketch(file, src, edits...)
	return text, nil, err
}

// drawn works out what a form of the page asks for, and what would follow.
func (a *asked) drawn(ctx context.Context, m *drawingAnswer, file string, src []byte) (*proposal, error) {
	p := &proposal{Act: m.form.Get("act"), As: trimmed(m.form.Get("as")), Late: m.form.Get("digest") != digestOf(src)}
	text, wrong, err := m.sketched(file, src)
	if wrong != nil {
		p.Faults = append(p.Faults, *wrong)
		return p, nil
	}
	if stuck, ok := errors.AsType[*kitchen.AmendError](err); ok {
		list, name := m.New, p.As
		if p.Act != "box" && m.Way != nil {
			list, name = m.Way.Card.List, m.Way.Card.Name
		}
		p.take(stuck, file, list, name)
		for i, f := range p.Faults {
			switch key := strings.TrimPrefix(f.Field, blankField); {
			case key == "takes", key == "gives", f.Field == "" && len(stuck.Faults) == 0 && (p.Act == "line" || p.Act == "box"):
				p.Faults[i].Field = "amount"
			case f.Field != "as" && !slices.Contains(drawnBlanks[m.New], key):
				p.Faults[i].Field = ""
			}
		}
		return p, nil
	}
	if err != nil {
		return nil, err
	}
	return p, a.propose(ctx, p, file, src, text)
}
