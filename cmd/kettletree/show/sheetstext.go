package show

// Sheets as text and as a table.

import (
	"slices"
	"strings"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
)

// SheetsText lays sheets out for a terminal, one under the other.
func SheetsText(k *kitchen.Kitchen) func(Page, *clock.Sheets) string {
	return func(p Page, a *clock.Sheets) string {
		say, words := p.Voice.Say, sheetWords{Page: p, kitchen: k}
		var b strings.Builder
		for n := range a.Sheets {
			v := words.view(&a.Sheets[n])
			if n > 0 {
				b.WriteByte('\n')
			}
			b.WriteString(p.bold(p.Voice.Say("%[1]s, %[2]s", v.Title, v.When)) + "\n")
			for _, of := range []struct {
				title string
				list  []string
			}{{say("Must be met"), v.Limits}, {say("Does not fit"), v.Unfit}, {say("Not logged yet"), v.Overdue}} {
				if len(of.list) > 0 {
					b.WriteString("\n" + of.title + "\n")
				}
				for _, text := range of.list {
					b.WriteString(p.text(2, text))
				}
			}
			b.WriteByte('\n')
			wide := 0
			for _, t := range v.Tasks {
				wide = max(wide, width(t.At)+1)
			}
			for _, t := range v.Tasks {
				box := "[ ] "
				if !t.Tick {
					box = "    "
				}
				b.WriteString(box + pad(t.At, wide, false) + strings.TrimLeft(p.text(4+wide, t.What), " "))
				for _, text := range []string{t.Amounts, t.How, t.Note} {
					if text != "" {
						b.WriteString(p.text(4+wide, text))
					}
				}
			}
			if len(v.Tasks) == 0 {
				b.WriteString(say("Nothing to do.") + "\n")
			}
			if v.Below != "" {
				b.WriteString("\n" + p.text(0, v.Below))
			}
			for n, text := range v.Mind {
				if n == 0 {
					b.WriteByte('\n')
				}
				b.WriteString(p.text(0, text))
			}
		}
		b.WriteString("\n" + p.text(0, p.Voice.Sentences(a.Code+say("."), say(kitchen.Caution))) + p.unreviewed())
		return b.String()
	}
}

// SheetsSheet has a row for each task.
func SheetsSheet(a *clock.Sheets) (s Sheet) {
	s.add("for", "station", "day", "at", "do", "step", "act", "minutes", "item", "quantity", "unit", "goes")
	for _, of := range a.Sheets {
		for i := range of.Tasks {
			r := &of.Tasks[i]
			row := func(x clock.Part, goes string) {
				s.add(of.For, of.Station, of.Day, r.At, r.Do, r.Step, r.Act, r.Minutes, x.Item, x.Amount, x.Unit, goes)
			}
			if len(r.In)+len(r.Out)+len(r.Of) == 0 {
				s.add(of.For, of.Station, of.Day, r.At, r.Do, r.Step, r.Act, r.Minutes, "", "", "", "")
			}
			for _, x := range r.In {
				row(x, "in")
			}
			for _, x := range append(slices.Clone(r.Out), r.Of...) {
				row(x, "out")
			}
		}
	}
	return s
}
