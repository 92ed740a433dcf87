package show

// What a banquet takes, in another language than English.

import (
	"fmt"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/shop"
)

func (s sheetWords) banquet(f *shop.Banquet, m Money) string {
	say := s.Voice.Say
	money := func(x float64) string { return s.Voice.Figure(m.Name(x)) }
	var what []string
	portions := 0.0
	for _, n := range f.Needs {
		if n.Unit == "portion" {
			portions += n.Quantity
			what = append(what, say("%[1]s portions of %[2]s", number(n.Quantity), n.Name))
		} else {
			what = append(what, say("%[1]s of %[2]s", s.Voice.Amount(amount(n.Quantity, n.Unit)), n.Name))
		}
	}
	apiece := portions > 0 && len(f.Needs) == 1
	text := say("Banquet on %[1]s, %[2]s: %[3]s. It costs %[4]s in cash beyond the standing week", s.labelDay(f.Date), s.word(f.Service), s.Voice.List(what), money(f.Cash))
	if apiece {
		text = say("%[1]s, %[2]s a portion", text, money(f.Cash/portions))
	}
	said := []string{text + say(".")}
	for _, x := range f.Second {
		said = append(said, s.secondChoice(x, m)+say("."))
	}
	switch credit := m.Units(f.Credit); {
	case credit > 0:
		said = append(said, say("What it leaves over is worth %[1]s to the days after", money(f.Credit))+say("."))
	case credit < 0:
		text := say("It uses up %[1]s of what the week would leave over", money(-f.Credit))
		if apiece {
			text = say("%[1]s: with that, %[2]s a portion", text, money(f.Net/portions))
		}
		said = append(said, text+say("."))
	}
	var b strings.Builder
	b.WriteString(s.text(0, s.Voice.Sentences(said...)))
	for _, t := range s.banquetTables(f, m) {
		if len(t.rows) == 0 {
			continue
		}
		b.WriteString("\n")
		if t.widths(s.Width) == nil { // without columns, their heads are gone
			b.WriteString(s.heading(t.columns[0].head))
		}
		b.WriteString(t.on(s.Page))
	}
	return b.String()
}

// secondChoice says how many portions to make with what stands second on the card, and what that saves.
func (s sheetWords) secondChoice(x shop.Second, m Money) string {
	say, saves := s.Voice.Say, s.Voice.Figure(m.Name(x.Saves))
	text := say("Make %[1]s of the %[2]s with %[3]s in place of %[4]s: that saves %[5]s", fmt.Sprintf("%d %%", int(x.Share*100+0.5)), x.In, x.Item, x.For, saves)
	if x.Of > 0 {
		text = say("Make %[1]s of that service's %[2]s %[3]s with %[4]s in place of %[5]s: that saves %[6]s", fmt.Sprint(x.Portions), fmt.Sprint(x.Of), x.In, x.Item, x.For, saves)
	}
	switch {
	case x.Batches == 1:
		return say("%[1]s and 1 batch", text)
	case x.Batches > 1:
		return say("%[1]s and %[2]s batches", text, fmt.Sprint(x.Batches))
	}
	return text
}

// banquetTables are what is cooked and bought beyond the week, what is over then, and what it costs.
func (s sheetWords) banquetTables(f *shop.Banquet, m Money) []table {
	say, figure := s.Voice.Say, s.Voice.Figure
	change := func(x float64, unit string) string { return s.Voice.Amount(signed(x, unit)) }
	cook := table{columns: append(append(words(s.heads("to cook as well", "on")...), numbers(s.heads("batches", "standing week", "starts")...)...), words(say("vessel"))...)}
	for _, c := range f.Cook {
		cook.add(c.Step, s.labelDay(c.Date), "+"+count(c.Batches), number(c.Standing), c.Starts, c.Vessel)
	}
	buy := table{columns: append(words(s.heads("to buy as well", "on")...), numbers(s.heads("amount", "packs", "cost")...)...)}
	for _, x := range f.Buy {
		buy.add(x.Item, s.labelDay(x.Date), change(x.Quantity, x.Unit), signed(float64(x.Packs), ""), figure(m.Change(m.Units(x.Cost))))
	}
	over := table{columns: append(words(say("then more or less")), numbers(s.heads("left over", "binned", "valued at")...)...)}
	for _, x := range f.Surplus {
		over.add(x.Item, change(x.Left, x.Unit), change(x.Binned, x.Unit), figure(m.Change(m.Units(x.Credit))))
	}
	needs := table{columns: append(words(say("at the standing week's cost")), numbers(s.heads("a piece", "total")...)...)}
	for _, n := range f.Needs {
		unit := n.Unit
		if unit == measure.Each.Name || unit == "portion" {
			unit = ""
		} else {
			unit = "/" + strings.TrimPrefix(s.Voice.Amount("1 "+unit), "1 ")
		}
		needs.add(n.Name, figure(m.Rate(n.UnitCost))+unit, figure(m.Show(n.Cost)))
	}
	sums := table{columns: append(words(say("what it takes")), numbers(m.code)...)}
	parts := m.Parts(f.Bought, f.Labour, f.Disposal)
	for n, name := range s.heads("what is bought", "labour and fuel", "disposal") {
		if n < 2 || parts[n] != 0 {
			sums.add(name, figure(m.ShowUnits(parts[n])))
		}
	}
	sums.add(say("cash"), figure(m.Show(f.Cash)))
	return []table{cook, buy, over, needs, sums}
}
