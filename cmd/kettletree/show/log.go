package show

// The log book.

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kettletree/menu/logbook"
)

// Log tells entries as the story of the day, in the order in which they happened, with what is to be said about each below it. What was
// undone or replaced stays, crossed out.
func Log(p Page, a *logbook.Log) string {
	lines := a.Entries
	if len(lines) == 0 {
		return p.text(0, "The log book is empty.")
	}
	text := entries(lines).on(p)
	if a.Chain != "" {
		text += "\n" + p.text(0, chainSays(a.Chain, a.Last))
	}
	if slices.ContainsFunc(lines, func(l logbook.Line) bool { return l.Kind == logbook.Temperature }) {
		text += "\n" + p.text(0, "Temperatures are shown as they were read; they do not say that food is safe. For "+
			"cooling and holding, follow your local code.")
	}
	return text
}

// chainSays tells where the chain of a log book ends.
func chainSays(chain string, last int64) string {
	return fmt.Sprintf("Chain up to entry %d: %s.", last, chain)
}

// Checked tells whether a log book is whole or, where it is damaged, what of it is sound.
func Checked(p Page, c *logbook.Checked) string {
	if c.Whole {
		text := fmt.Sprintf("%s is whole: %s.", c.LogBook, plural(int(c.Entries), "entry", "entries"))
		if c.Chain == "" {
			return p.text(0, text+" It is of an older version: its entries get their chain when the next is logged.")
		}
		return p.text(0, text+" "+chainSays(c.Chain, c.Entries))
	}
	text := p.text(0, c.LogBook+" is damaged.")
	for _, f := range c.Faults {
		text += p.text(2, capital(f)+".")
	}
	const most = 20
	for n, u := range c.Unsound {
		if n == most {
			text += p.text(2, fmt.Sprintf("And %d entries more.", len(c.Unsound)-most))
			break
		}
		text += p.text(2, fmt.Sprintf("Entry %d: %s.", u.Entry, u.Why))
	}
	var ranges []string
	sound := int64(0)
	for _, r := range c.Sound {
		sound += r.Last - r.First + 1
		if r.First == r.Last {
			ranges = append(ranges, strconv.FormatInt(r.First, 10))
		} else {
			ranges = append(ranges, fmt.Sprintf("%d-%d", r.First, r.Last))
		}
	}
	if sound == 0 {
		return text + p.text(0, "No entry can be read. Go back to the last backup: kettletree restore FILE.")
	}
	return text + p.text(0, fmt.Sprintf("Sound are %d of %s: %s.", sound, plural(int(c.Entries), "entry", "entries"), strings.Join(ranges, ", "))) +
		p.text(0, "\"kettletree log export --sound FILE\" saves them; \"kettletree restore FILE\" goes back to a backup.")
}

// CheckedSheet has a row for each run of sound entries, for each other entry, and for each fault.
func CheckedSheet(c *logbook.Checked) (s Sheet) {
	s.add("row", "first", "last", "why")
	for _, r := range c.Sound {
		s.add("sound", int(r.First), int(r.Last), "")
	}
	for _, u := range c.Unsound {
		s.add("damaged", int(u.Entry), int(u.Entry), u.Why)
	}
	for _, f := range c.Faults {
		s.add("fault", "", "", f)
	}
	return s
}

func entries(lines []logbook.Line) *table {
	t := &table{columns: append(numbers("no."), words("when", "what happened")...)}
	lines = slices.Clone(lines)
	slices.SortStableFunc(lines, func(a, b logbook.Line) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Entry, b.Entry)) })
	day, days := "", lines[0].At[:10] != lines[len(lines)-1].At[:10]
	for _, l := range lines {
		when := whenOf(l.At)
		if days {
			when = l.At[11:16]
		}
		if days && l.At[:10] != day {
			day = l.At[:10]
			t.heading(weekday(day))
		}
		number := ""
		if l.Entry > 0 {
			number = strconv.FormatInt(l.Entry, 10)
		}
		text := story(l)
		if l.Gone > 0 {
			text = fmt.Sprintf("crossed out, see entry %d: %s", l.Gone, text)
		}
		t.add(number, when, text)
		if l.Corrects > 0 && l.Kind != logbook.Undone {
			t.remark(fmt.Sprintf("in place of entry %d", l.Corrects))
		}
		for _, r := range l.Remarks {
			t.remark(r)
		}
	}
	return t
}

// Takeover lays out what a file says, and whether it was written down.
func Takeover(p Page, a *logbook.Takeover) string {
	if len(a.Entries) == 0 && a.Known > 0 {
		return p.text(0, fmt.Sprintf("All of %s was imported before, from %s: nothing added.", a.File, a.Already)) + leftOut(p, a)
	}
	text := Preview(p, a)
	n := plural(len(a.Entries), "entry", "entries")
	switch {
	case a.Written:
		return text + p.text(0, n+" logged.")
	case len(a.Entries) == 0:
		return text + p.text(0, "There is nothing to log.")
	case len(a.Names) > 0:
		return text + p.text(0, n+" to log. Nothing is written yet. To write it and agree to these names, add --yes.")
	}
	return text + p.text(0, n+" to log. Nothing is written yet. To write it, add --yes.")
}

// Preview lays out what a file says, and how it was read.
func Preview(p Page, a *logbook.Takeover) string {
	var b strings.Builder
	b.WriteString(p.text(0, "Columns: "+strings.Join(a.Columns, ", ")+"."))
	if len(a.Unused) > 0 {
		b.WriteString(p.text(0, "Ignored: "+strings.Join(a.Unused, ", ")+"."))
	}
	if len(a.ReadAs) > 0 {
		b.WriteString(p.text(0, "Read as: "+strings.Join(a.ReadAs, ", ")+"."))
	}
	taken := func(head string, list []logbook.Taken) {
		if len(list) == 0 {
			return
		}
		b.WriteString(p.text(0, head))
		for _, t := range list {
			times := ""
			if t.Rows > 1 {
				times = fmt.Sprintf(" (%d rows)", t.Rows)
			}
			b.WriteString(p.text(2, t.Written+" -> "+t.Means+times))
		}
	}
	taken("Names taken for yours:", a.Names)
	taken("Packs:", a.Packs)
	if len(a.Entries) > 0 {
		b.WriteString("\n" + entries(a.Entries).on(p) + "\n")
	}
	if a.Known > 0 {
		b.WriteString(p.text(0, fmt.Sprintf("%s imported before, from %s: not added again.", plural(a.Known, "row was",
			"rows were"), a.Already)))
	}
	b.WriteString(leftOut(p, a))
	return b.String()
}

// leftOut says which rows are nothing to the kitchen.
func leftOut(p Page, a *logbook.Takeover) string {
	if len(a.Left) == 0 {
		return ""
	}
	var list []string
	for _, t := range a.Left {
		list = append(list, fmt.Sprintf("%s (%s, %s)", t.Written, plural(t.Rows, "row", "rows"), t.Means))
	}
	return p.text(0, "Left out: "+strings.Join(list, ", ")+".")
}

// LogSheet has a row for each amount of each entry, and one for an entry without any.
func LogSheet(lines []logbook.Line) (s Sheet) {
	s.add("entry", "kind", "at", "written", "text", "corrects", "gone", "step", "batches", "dish", "portions", "service",
		"to", "paid", "supplier", "lot", "reason", "of", "celsius", "reading", "did", "day", "begins", "until", "share", "side", "item", "amount", "unit", "typed", "remarks")
	for _, l := range lines {
		row := func(side string, a logbook.Part) {
			amount := ""
			if side != "" {
				amount = strconv.FormatFloat(a.Amount, 'g', -1, 64)
			}
			s.add(some(int(l.Entry)), string(l.Kind), l.At, l.Written, l.Text, some(int(l.Corrects)), some(int(l.Gone)), l.Step,
				some(l.Batches), l.Dish, some(l.Portions), l.Service, l.To, l.Paid, l.Supplier,
				cmp.Or(a.Mark, l.Mark), l.Reason, l.Of, l.Celsius, l.Reading, l.Did, l.Day, l.Begins, l.Until, some(l.Share), side, a.Item, amount, a.Unit, a.Typed,
				strings.Join(l.Remarks, "; "))
		}
		for _, a := range l.Takes {
			row("takes", a)
		}
		for _, a := range l.Gives {
			row("gives", a)
		}
		if len(l.Takes)+len(l.Gives) == 0 {
			row("", logbook.Part{})
		}
	}
	return s
}

// some is a number, or nothing where it is zero.
func some[T int | float64](v T) any {
	if v == 0 {
		return ""
	}
	return v
}

// JSONLines is an object a line.
func JSONLines(lines []logbook.Line) (string, error) {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	for _, l := range lines {
		if err := enc.Encode(l); err != nil {
			return "", err
		}
	}
	return b.String(), nil
}
