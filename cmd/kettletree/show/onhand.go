package show

// What is on hand: for people, and as a sheet to count by.

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"kettletree/menu/logbook"
)

// OnHand lays out what is on hand, place by place; items of which there is nothing share a line.
func OnHand(p Page, a *logbook.OnHand) string {
	m := MoneyOf(a.Money)
	var b strings.Builder
	if !a.Logged {
		return p.text(0, "There is no log book yet, so nothing is known of what is on hand. Count it: \"kettletree log count\" asks you item by "+
			"item; \"kettletree on-hand --html FILE\" prints a list.")
	}
	b.WriteString(p.text(0, fmt.Sprintf("On hand at %s: worth %s.", whenOf(a.AsOf), m.Name(a.Value))))
	t := table{columns: append(words("item"), numbers("on hand", "lot", "use by", "worth"+m.in())...)}
	var none, stored, missed, unknown, carried []string
	place, first := "", true
	for _, it := range a.Items {
		switch {
		case it.Missed:
			missed = append(missed, it.Item)
			continue
		case it.NoBook:
			stored = append(stored, it.Item)
			continue
		case len(it.Lots) == 0 && it.Unknown:
			unknown = append(unknown, it.Item)
			continue
		case len(it.Lots) == 0 && slices.ContainsFunc(a.Past, func(g logbook.PastDates) bool { return g.Item == it.Item }):
			continue // what there is of it stands below
		case len(it.Lots) == 0:
			none = append(none, it.Item)
			continue
		}
		if place != it.Place || first && it.Place != "" {
			t.heading(capital(it.Place))
		}
		place, first = it.Place, false
		for n, l := range it.Lots {
			name, worth := it.Item, ""
			if n > 0 {
				name = ""
			}
			if n == len(it.Lots)-1 {
				worth = m.Show(it.Value)
			}
			lot, until := l.Lot, ""
			if lot == "" {
				lot = "not logged"
			}
			if l.UseBy != nil {
				until = weekday(*l.UseBy)
			}
			if l.From != "" {
				line := fmt.Sprintf("%s, lot %s: day 1 is %s%s", it.Item, lot, weekday(*l.DayOne), ofWhat(l.From))
				if l.Guess {
					line += "; " + presumed
				}
				carried = append(carried, line)
			}
			t.add(name, amount(l.Amount, it.Unit), lot, until, worth)
		}
	}
	if t.rows != nil {
		b.WriteString("\n" + t.on(p))
		b.WriteString(p.text(0, "Worth: what it cost, or what it brings where that is less. What the days ahead can't use before its date counts for nothing."))
	}
	var code, kept []string
	for _, g := range a.Past {
		lot := ""
		if g.Lot != "" {
			lot = ", lot " + g.Lot
		}
		if g.Code {
			code = append(code, fmt.Sprintf("%s %s%s: day 1 was %s%s, its last day %s", amount(g.Amount, g.Unit), g.Item, lot, weekday(*g.DayOne), ofWhat(g.From), weekday(g.Until)))
		} else {
			kept = append(kept, fmt.Sprintf("%s %s%s: kept until %s", amount(g.Amount, g.Unit), g.Item, lot, weekday(g.Until)))
		}
	}
	for _, of := range []struct {
		head  string
		lines []string
	}{{"PAST ITS DATE MARK by the food code, so it is not counted. Do not serve it: bin it with \"kettletree log binned --past\"", code},
		{"Past its date, so it is not counted: bin it with \"kettletree log binned --past\"", kept}} {
		if len(of.lines) > 0 {
			b.WriteString("\n" + p.heading(of.head))
		}
		for _, line := range of.lines {
			b.WriteString(p.text(2, line))
		}
	}
	if len(carried) > 0 {
		b.WriteString("\n" + p.heading("Day 1 is earlier than the day made"))
		for _, line := range carried {
			b.WriteString(p.text(2, line))
		}
	}
	if len(a.Pots) > 0 {
		b.WriteString("\n" + p.heading("On the stove"))
		for _, pot := range a.Pots {
			var out []string
			for _, g := range pot.Out {
				out = append(out, fmt.Sprintf("%s %s at %s", amount(g.Amount, g.Unit), g.Item, whenOf(g.At)))
			}
			b.WriteString(p.text(2, fmt.Sprintf("%s, lit %s: %s", pot.Step, whenOf(pot.Lit), strings.Join(out, ", "))))
		}
	}
	for _, list := range []struct {
		head  string
		names []string
	}{{"Nothing on hand", none}, {"Never counted, so taken to be none", unknown}, {"Never counted, taken to be in the store", stored},
		{"Did not come today and never counted, so taken to be none: count what there is", missed}} {
		if len(list.names) > 0 {
			b.WriteString("\n" + p.heading(list.head))
			b.WriteString(p.text(2, strings.Join(list.names, ", ")))
		}
	}
	return b.String()
}

// presumed says of a day 1 that it is the oldest that the kitchen file lets be in what was counted without a lot, or in what is made of that.
const presumed = "presumed: counted without a lot"

// ofWhat names the ingredient that brought a day 1.
func ofWhat(item string) string {
	if item == "" {
		return ""
	}
	return ", of the " + item
}

// OnHandSheet has a row for each lot, one for each item of which there is none, and at last what is past its date.
func OnHandSheet(a *logbook.OnHand) (s Sheet) {
	s.add("place", "item", "lot", "amount", "unit", "made", "day_one", "day_one_of", "use_by", "past", "day_one_presumed")
	for _, it := range a.Items {
		if len(it.Lots) == 0 {
			s.add(it.Place, it.Item, "", 0.0, it.Unit, "", "", "", "", "", false)
		}
		for _, l := range it.Lots {
			s.add(it.Place, it.Item, l.Lot, l.Amount, it.Unit, l.Made, l.DayOne, l.From, l.UseBy, false, l.Guess)
		}
	}
	for _, g := range a.Past {
		s.add("", g.Item, g.Lot, g.Amount, g.Unit, "", g.DayOne, g.From, g.Until, true, false)
	}
	return s
}

// CountSheet is a list to count by: what is counted is written into its last column, and log import takes it back.
func CountSheet(a *logbook.OnHand) (s Sheet) {
	s.add("place", "item", "unit", "counted")
	for _, it := range a.Items {
		s.add(it.Place, it.Item, it.Unit, "")
	}
	return s
}

//go:embed page/count.html
var countPage string

var countTemplate = template.Must(template.New("count").Funcs(template.FuncMap{"capital": capital}).Parse(countPage))

// CountPage is the list to count by as a page to print.
func CountPage(a *logbook.OnHand) ([]byte, error) {
	type place struct {
		Name  string
		Items []logbook.ItemHeld
	}
	var places []place
	for _, it := range a.Items {
		if n := len(places); n == 0 || places[n-1].Name != it.Place {
			places = append(places, place{Name: it.Place})
		}
		at := &places[len(places)-1]
		at.Items = append(at.Items, it)
	}
	var b bytes.Buffer
	err := countTemplate.Execute(&b, map[string]any{"Kitchen": a.Kitchen, "AsOf": a.AsOf, "Places": places})
	return b.Bytes(), err
}
