package show

// A day as an inspector asks for it: as text, and as a page to print.

import (
	"bytes"
	_ "embed"
	"html/template"
	"strings"

	"kettletree/menu/clock"
	"kettletree/menu/logbook"
	"kettletree/menu/tongue"
)

// DayRecord is a day's record with its cooling logs.
type DayRecord struct {
	*logbook.Day
	Cooling *clock.Cooling `json:"cooling"` // of what cooled that day, or began to on the day before
}

// dayPart is a part of the page: rows of cells below heads.
type dayPart struct {
	Title string
	Heads []string
	Rows  [][]string
	None  string // what stands there without rows
}

// Record lays the day out as text.
func Record(p Page, a *DayRecord) string {
	text := p.text(0, a.Kitchen+", "+weekday(a.Date)+": "+recordHead(a))
	for _, part := range dayParts(a) {
		t := &table{columns: words(part.Heads...)}
		for _, row := range part.Rows {
			t.add(row...)
		}
		if text += "\n"; len(part.Rows) == 0 {
			text += p.heading(part.Title) + p.text(2, part.None)
			continue
		}
		text += t.under(p, part.Title)
	}
	return text + "\n" + p.text(0, a.Code+". "+a.Caution) + p.text(0, chainSays(a.Chain, a.Last))
}

// recordHead is what matters first: which readings broke a limit.
func recordHead(a *DayRecord) string {
	switch {
	case len(a.Readings) == 0:
		return "no temperature was logged."
	case a.Broken == 0:
		return plural(len(a.Readings), "temperature", "temperatures") + " logged; none breaks the limit beside it."
	}
	text := plural(a.Broken, "reading breaks", "readings break") + " the limit beside it"
	if a.Unanswered > 0 {
		text += "; of " + count(a.Unanswered) + ", what was done is not logged"
	}
	return text + "."
}

// dayParts are the parts of the page, in the order in which they are asked for.
func dayParts(a *DayRecord) []dayPart {
	readings := dayPart{Title: "Temperatures", Heads: []string{"time", "what", "read", "limit", "", "what was done"}, None: "None was logged."}
	for _, r := range a.Readings {
		what := r.Of + behind(" lot ", r.Lot)
		if r.Reading == logbook.OfDelivery {
			what = "delivery of " + what
		} else if r.Reading != logbook.OfPlace {
			what += behind(", ", r.Reading)
		}
		limit := r.Limit + behind(", ", strings.TrimPrefix(r.Section, a.Code+", "))
		readings.Rows = append(readings.Rows, []string{r.Time, what, r.Degrees, limit, strings.ToUpper(r.State), strings.Join(someOf(r.Note, r.Did), "; ")})
	}
	cooling := dayPart{Title: "Cooling", Heads: []string{"what", "limit", "", "because"}, None: "Nothing was logged as it cooled."}
	for _, c := range a.Cooling.Items {
		for _, v := range c.Stages {
			cooling.Rows = append(cooling.Rows, []string{c.Item, limitWords(tongue.Voice{}, v, a.Cooling.Scale) + ", " + strings.TrimPrefix(v.Section, a.Code+", "), strings.ToUpper(v.State), v.Says})
		}
	}
	deliveries := dayPart{Title: "Deliveries", Heads: []string{"time", "what", "from", "lot", "read", ""}, None: "None was logged."}
	for _, d := range a.Deliveries {
		deliveries.Rows = append(deliveries.Rows, []string{d.Time, d.Amount + " " + d.Item, d.Supplier, d.Lot, d.Degrees, strings.ToUpper(d.State)})
	}
	binned := dayPart{Title: "Binned", Heads: []string{"time", "what", "lot", "why"}, None: "Nothing was logged."}
	for _, b := range a.Binned {
		binned.Rows = append(binned.Rows, []string{b.Time, b.Amount + " " + b.Item, b.Lot, b.Reason})
	}
	return []dayPart{readings, cooling, deliveries, binned}
}

//go:embed page/day.html
var dayHTML string

var dayPage = template.Must(template.New("day").Parse(dayHTML))

// allSaid are texts in the language of the page.
func (p Page) allSaid(texts []string) (all []string) {
	for _, text := range texts {
		all = append(all, p.said(text))
	}
	return all
}

// RecordPage is the day as one HTML page, which needs nothing else and prints without a browser's help.
func RecordPage(p Page, a *DayRecord) ([]byte, error) {
	var b bytes.Buffer
	parts := dayParts(a)
	for i := range parts {
		part := &parts[i]
		part.Title, part.None = p.said(part.Title), p.said(part.None)
		part.Heads = p.allSaid(part.Heads)
		for n, row := range part.Rows {
			part.Rows[n] = p.allSaid(row)
		}
	}
	head := strings.TrimPrefix(p.said(a.Kitchen+": "+recordHead(a)), a.Kitchen+": ") // as the text has it
	err := dayPage.Execute(&b, struct {
		Lang, Kitchen, Day, Head, Code, Caution, Chain, Checked string
		Parts                                                   []dayPart
	}{p.Voice.Lang(), a.Kitchen, p.said(weekday(a.Date)) + " " + a.Date[:4], capital(head), a.Code, p.said(a.Caution), p.said(chainSays(a.Chain, a.Last)),
		p.said("Checked by: ______________________"), parts})
	return b.Bytes(), err
}

// RecordSheet has a row for each reading, delivery and thing that was binned.
func RecordSheet(a *DayRecord) (s Sheet) {
	s.add("row", "entry", "time", "what", "amount", "supplier", "lot", "reading", "degrees", "limit", "section", "state", "note", "did")
	for _, r := range a.Readings {
		s.add("temperature", int(r.Entry), r.Time, r.Of, "", "", r.Lot, r.Reading, r.Degrees, r.Limit, r.Section, r.State, r.Note, r.Did)
	}
	for _, d := range a.Deliveries {
		s.add("delivery", int(d.Entry), d.Time, d.Item, d.Amount, d.Supplier, d.Lot, "", d.Degrees, "", "", d.State, "", "")
	}
	for _, b := range a.Binned {
		s.add("binned", int(b.Entry), b.Time, b.Item, b.Amount, "", b.Lot, "", "", "", "", "", b.Reason, "")
	}
	return s
}
