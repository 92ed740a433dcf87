package board

// An entry of the log book as it is read on a page: in English as it was typed, in other languages put together from what it says, with
// the kitchen's names as the file has them there.

import (
	"strconv"
	"strings"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/logbook"
)

// Entry is what an entry says behind its kind. What somebody wrote in words of their own stays as it is.
func (s *speaker) Entry(l logbook.Line) string {
	if s.voice.English() || l.Kind == logbook.Undone {
		return l.Text
	}
	var said []string
	add := func(text string) {
		if text != "" {
			said = append(said, text)
		}
	}
	amounts := func(parts []logbook.Part) string {
		var list []string
		for _, p := range parts {
			if p.Typed != "" { // else it is by the card
				list = append(list, s.Typed(p))
			}
		}
		return strings.Join(list, s.T(", "))
	}

	// What it is about.
	switch {
	case l.Dish != "":
		dish := s.Called(l.Dish)
		if l.Portions > 0 {
			dish += " × " + s.count(l.Portions)
		}
		add(dish)
	case l.Step != "" && l.Kind != logbook.PutIn && l.Kind != logbook.Out:
		add(s.ofBatch(l))
	}
	switch l.Kind {
	case logbook.Cooked, logbook.Lit:
		if in := amounts(l.Takes); in != "" {
			add(s.T("in: %[1]s", in))
		}
		if out := amounts(l.Gives); out != "" {
			add(s.T("out: %[1]s", out))
		}
	case logbook.Temperature:
		add(s.Called(l.Of) + " " + s.Figure(l.Degrees))
		if l.Reading != logbook.OfPlace { // a walk-in is one
			add(s.Phrase(l.Reading))
		}
	case logbook.Measured:
		for _, m := range l.Tastes {
			value := m.Word
			if m.Value != nil {
				value = strings.TrimSpace(s.Figure(strconv.FormatFloat(*m.Value, 'g', -1, 64)) + " " + m.Unit)
			}
			add(s.Phrase(m.Name) + " " + value)
		}
	default:
		for _, parts := range [][]logbook.Part{l.Takes, l.Gives} {
			add(amounts(parts))
		}
	}
	if (l.Kind == logbook.NotCome || l.Kind == logbook.Late) && (len(l.Gives) == 0 || l.Gives[0].Typed == "") {
		add(s.Called(l.Of))
	}

	// What else it says.
	if l.Kind == logbook.PutIn || l.Kind == logbook.Out {
		add(s.ofBatch(l))
	}
	if l.Share > 0 && l.Share < 1 {
		add(s.Figure(show.Percent(l.Share)))
	}
	if l.Paid != nil && s.kitchen != nil {
		add(s.Figure(show.MoneyOf(s.kitchen.Money).Name(*l.Paid)))
	}
	add(s.Called(l.Supplier))
	if l.Mark != "" {
		add(s.T("lot %[1]s", l.Mark))
	}
	add(s.Phrase(l.To))
	day := s.Phrase(l.Day)
	if isoDay.MatchString(l.Day) {
		day = s.Day(l.Day)
	}
	if l.Begins != "" && strings.HasPrefix(l.Begins, l.Day) {
		day = "" // the batch has it
	}
	add(strings.TrimSpace(day + " " + s.Called(l.Service)))
	add(l.Until)
	add(l.Did)
	add(l.Reason)
	return strings.Join(said, s.T(", "))
}

// Typed is an amount of an entry, in the figures and the unit in which it was measured.
func (s *speaker) Typed(p logbook.Part) string {
	if s.voice.English() {
		return p.Typed + " " + p.Item
	}
	number, unit, _ := strings.Cut(p.Typed, " ")
	if x, err := strconv.ParseFloat(number, 64); err == nil && countedIn[unit] != "" {
		return s.Of(x, unit, p.Item)
	}
	text := s.part(s.Figure(s.Phrase(p.Typed)), s.Called(p.Item))
	if p.Mark != "" {
		text += " (" + s.T("lot %[1]s", p.Mark) + ")"
	}
	return text
}

// ofBatch is the batch that an entry is about.
func (s *speaker) ofBatch(l logbook.Line) string {
	if l.Step == "" {
		return ""
	}
	name := s.Called(l.Step)
	if l.Batches > 0 && l.Batches != 1 {
		name += " × " + s.Figure(plainNumber(l.Batches))
	}
	if l.Begins != "" {
		return s.T("%[1]s begun %[2]s", name, s.Day(l.Begins))
	}
	return name
}
