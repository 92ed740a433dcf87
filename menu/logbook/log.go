package logbook

// The log book as an answer: what is shown and exported.

import (
	"fmt"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Log is some entries with what is to be said about each.
type Log struct {
	LogBook string `json:"log_book"` // its file
	Entries []Line `json:"entries"`
	Chain   string `json:"chain,omitempty"` // of "log show": the end of the chain, which changes with every entry
	Last    int64  `json:"last,omitempty"`  // of "log show": the entry at which it ends
}

// Takeover is a file that was taken over, or would be.
type Takeover struct {
	File    string   `json:"file"`
	Columns []string `json:"columns"` // a header and what it was taken for: "weight: quantity"
	Unused  []string `json:"unused"`  // the other headers
	ReadAs  []string `json:"read_as"` // "UTF-16", "decimal commas", "dates day first": [] of plain text
	Names   []Taken  `json:"names"`   // names that are not the kitchen's own, and what they were taken for
	Packs   []Taken  `json:"packs"`   // packs times size, and what they come to
	Left    []Taken  `json:"left"`    // rows that were left out: what they name, and why
	Written bool     `json:"written"` // false of a preview
	Already string   `json:"already"` // the files from which rows of it were taken over before; ""  for none
	Known   int      `json:"known"`   // how many such rows there are; they are not among the entries
	Entries []Line   `json:"entries"`
}

// Line is an entry as it is shown and exported.
type Line struct {
	Entry    int64    `json:"entry"` // its number, from 1; 0 of a preview
	Kind     Kind     `json:"kind"`
	At       string   `json:"at"`                 // when it happened, 2006-01-02 15:04:05
	Written  string   `json:"written"`            // when it was written down, 2006-01-02 15:04:05
	Zone     string   `json:"zone,omitempty"`     // of the clock that it was written by, "+01:00"
	Text     string   `json:"text"`               // as it was typed
	Corrects int64    `json:"corrects,omitempty"` // the entry that it stands in for, or takes back
	Gone     int64    `json:"gone,omitempty"`     // the entry that stands in for it, or takes it back
	Takes    []Part   `json:"takes,omitempty"`    // what was taken
	Gives    []Part   `json:"gives,omitempty"`    // what came; of a count, all there is
	Step     string   `json:"step,omitempty"`
	Batches  float64  `json:"batches,omitempty"`
	Dish     string   `json:"dish,omitempty"`
	Portions int      `json:"portions,omitempty"`
	Service  string   `json:"service,omitempty"`
	To       string   `json:"to,omitempty"` // whom portions were given
	Paid     *float64 `json:"paid,omitempty"`
	Supplier string   `json:"supplier,omitempty"`
	Mark     string   `json:"lot,omitempty"` // of the lot
	Reason   string   `json:"reason,omitempty"`
	Of       string   `json:"of,omitempty"` // the item whose temperature was read
	Celsius  *float64 `json:"celsius,omitempty"`
	Reading  string   `json:"reading,omitempty"` // what was read: "place", "delivery", "hot holding", "cold holding" or "reheating"
	Did      string   `json:"did,omitempty"`     // about the reading
	Degrees  string   `json:"degrees,omitempty"` // as it was read, "38 °F"
	Limit    string   `json:"limit,omitempty"`   // of the code beside it
	State    string   `json:"state,omitempty"`   // "met" or "broken"
	Day      string   `json:"day,omitempty"`     // as it was typed
	Begins   string   `json:"begins,omitempty"`  // the day on which the batch was to begin, 2006-01-02
	Card     []Awaits `json:"card,omitempty"`    // of a batch that was lit: what was still to go in and to come out
	Tastes   []Tasted `json:"tastes,omitempty"`  // what was measured of a batch or an item
	Until    string   `json:"until,omitempty"`   // 15:04, when what is late comes
	Share    float64  `json:"share,omitempty"`   // of a batch that was lost
	Remarks  []string `json:"remarks,omitempty"` // what a dip comes to, how a count differs from the book, what does not add up
	Against  *Count   `json:"-"`                 // of a count of what the log book had
}

// Part is an amount of an entry.
type Part struct {
	Item   string  `json:"item"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`            // "g", "mL" or "each"
	Typed  string  `json:"typed,omitempty"` // as it was measured; left out where the amount of the recipe stands
	Mark   string  `json:"lot,omitempty"`   // of the lot that was named, or that it became

	Shown string `json:"-"` // what nobody typed, in the unit of its card; "" where the file has no such card
}

// Tasted is what was measured of a batch or an item.
type Tasted struct {
	Name  string   `json:"name"`            // of the measure
	Value *float64 `json:"value,omitempty"` // left out of what is said in a word
	Unit  string   `json:"unit,omitempty"`
	Word  string   `json:"word,omitempty"`
}

// Awaits is what a batch was to take or to give, by the card as it was when the batch was lit.
type Awaits struct {
	Item    string  `json:"item"`
	Amount  float64 `json:"amount"`
	Unit    string  `json:"unit"`    // "g", "mL" or "each"
	Way     string  `json:"way"`     // "in" or "out"
	Minutes int     `json:"minutes"` // from when the batch was lit
}

// seconds is how moments are exported.
const seconds = time.DateTime

// Lines are some entries with what is to be said about each: what a dip comes to, what was counted against the book,
// what does not add up. Of the whole log book, corrections must have those entries that correct others. k and stock may
// be nil where there is no sound kitchen.
func Lines(k *kitchen.Kitchen, stock *Stock, corrections, some []Entry) []Line {
	fate := fates(corrections)
	remarks, against := map[int64][]string{}, map[int64]*Count{}
	if stock != nil {
		for _, c := range stock.Counts {
			remarks[c.Entry] = append(remarks[c.Entry], c.says(k))
			against[c.Entry] = &c
		}
		for _, o := range stock.Odd {
			remarks[o.Entry] = append(remarks[o.Entry], o.Msg)
		}
	}
	lines := []Line{}
	for _, e := range some {
		l := Line{Entry: e.ID, Kind: e.Kind, At: e.At.Format(seconds), Written: e.Written.Format(seconds), Zone: e.Zone, Text: e.Text,
			Corrects: e.Corrects, Gone: fate[e.ID], Takes: onCard(k, e.Step, e.Takes), Gives: onCard(k, e.Step, e.Gives), Step: e.Step,
			Batches: e.Batches, Dish: e.Dish, Portions: e.Portions, Service: e.Service, Paid: e.Paid,
			Supplier: e.Supplier, Mark: e.Mark, Reason: e.Reason, Of: e.Of,
			Day: e.Day, Share: e.Share, To: e.To, Reading: e.Reading, Did: e.Did, Against: against[e.ID]}
		if !e.Begins.IsZero() {
			l.Begins = e.Begins.Format(time.DateOnly)
		}
		if e.Kind == Late {
			l.Until = measure.FormatClock(e.Until)
		}
		for _, d := range e.Card {
			way := "in"
			if d.Out {
				way = "out"
			}
			l.Card = append(l.Card, Awaits{d.Item, d.Base, measures[d.Kind], way, d.After})
		}
		for _, t := range e.Tastes {
			l.Tastes = append(l.Tastes, Tasted(t))
		}
		if e.Kind == Temperature {
			l.Celsius, l.Degrees = new(e.Celsius), e.degrees().String()
			if k != nil {
				b := e.Beside(k.Code)
				l.Degrees = e.read(b)
				if l.State = b.State; b.Limit != "" {
					l.Limit = b.Limit + ", " + b.Section // "41 °F (5 °C) or colder, US FDA Food Code 2022, 3-501.16(A)", or "... or hotter, ..."
				}
			}
		}
		if k != nil {
			for _, list := range [][]Amount{e.Takes, e.Gives} {
				for _, a := range list {
					if strings.Contains(a.Typed, " in ") {
						l.Remarks = append(l.Remarks, dipSays(k, a))
					}
				}
			}
		}
		l.Remarks = append(l.Remarks, remarks[e.ID]...)
		lines = append(lines, l)
	}
	return lines
}

func parts(list []Amount) (parts []Part) {
	for _, a := range list {
		parts = append(parts, Part{Item: a.Item, Amount: a.Base, Unit: measures[a.Kind], Typed: a.Typed, Mark: a.Mark})
	}
	return parts
}

// onCard are the parts of an entry, what nobody typed as the card of its step writes it. The kitchen may be nil.
func onCard(k *kitchen.Kitchen, name string, list []Amount) []Part {
	parts := parts(list)
	if k == nil || name == "" {
		return parts
	}
	step, err := k.FindStep(name)
	if err != nil {
		return parts
	}
	for n, a := range list {
		if i, err := k.FindItem(a.Item); a.Typed == "" && err == nil && k.Graph.Items[i].Unit.Kind == a.Kind {
			parts[n].Shown = k.OnCard(step, kitchen.AnyLine, i, a.Base).String()
		}
	}
	return parts
}

// dipSays is what a dip comes to, by volume and, where the density is known, by weight.
func dipSays(k *kitchen.Kitchen, a Amount) string {
	said := a.Item + " " + a.Typed
	i, _, err := k.ItemNamed(a.Item, nil)
	if err != nil {
		return said
	}
	var found []string
	bridge := k.Graph.Items[i].Bridge()
	if ml, ok := bridge.Convert(a.Base, a.Kind, measure.Volume); ok {
		found = append(found, measure.FormatNumber(ml/1000)+" L")
	}
	if grams, ok := bridge.Convert(a.Base, a.Kind, measure.Weight); ok {
		found = append(found, measure.FormatNumber(grams/1000)+" kg")
	}
	return said + ": " + strings.Join(found, ", ")
}

// Off is how much more was found than the log book had, below 0 for less; 0 where it is as counted.
func (c Count) Off() float64 {
	if off := c.Found - c.Book; off > slack*c.Found || off < -slack*c.Book {
		return off
	}
	return 0
}

// says words a count.
func (c Count) says(k *kitchen.Kitchen) string {
	i, _, err := k.ItemNamed(c.Item, nil)
	if err != nil {
		return ""
	}
	book, found := k.Quantity(i, c.Book), k.Quantity(i, c.Found)
	switch off := c.Off(); {
	case off > 0:
		return fmt.Sprintf("the log book had %s, %s found: %s more", book, found, k.Quantity(i, off))
	case off < 0:
		return fmt.Sprintf("the log book had %s, %s found: %s less", book, found, k.Quantity(i, -off))
	}
	return fmt.Sprintf("the log book had %s, as counted", book)
}
