package kitchen

// What is on hand: a CSV file with the columns item, quantity and made.

import (
	"encoding/csv"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

var onHandColumns = []string{"item", "quantity", "made"}

// DateLayout is how dates are written: 2026-11-24.
const DateLayout = time.DateOnly

// ReadOnHand reads what is on hand at the beginning of the day from, as lots in the order of the file. Each row names
// an item of the kitchen, a quantity such as "12 kg", and the date on which it was made or arrived. A lot that no
// longer keeps, or is past the days of the code's date mark, is said as a warning and left out. A quantity of nothing is a lot of nothing: it says that the item was looked at. The lots are nil when any fault is an error.
func ReadOnHand(name string, src []byte, k *Kitchen, from time.Time) ([]flow.Lot, Diagnostics) {
	text, clean, ok := newSource(name, src, "\r\n")
	if !ok {
		return nil, text.found
	}
	s := &stockReader{source: text, k: k, from: midnight(from), itemAt: map[string]int{}}
	for i, it := range k.Graph.Items {
		s.itemAt[it.Name] = i
	}
	lots := []flow.Lot{}
	s.rows(clean, onHandColumns, "an item, a quantity and a date, such as "+k.Example().Made+",12 kg,2026-11-24", func(rows *csv.Reader, row []string) {
		if lot, ok := s.lot(rows, row); ok {
			lots = append(lots, lot)
		}
	})
	faults := s.found.sort()
	if faults.Err() != nil {
		return nil, faults
	}
	return lots, faults
}

// midnight is the beginning of a date in UTC, where every day has 24 hours.
func midnight(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

type stockReader struct {
	*source
	k      *Kitchen
	from   time.Time
	itemAt map[string]int
	days   *DayOnes // nil until one is needed
}

// lot reads one row.
func (s *stockReader) lot(rows *csv.Reader, row []string) (lot flow.Lot, ok bool) {
	ok = true
	item, known := s.itemAt[strings.TrimSpace(row[0])]
	if !known {
		item, known = s.itemAt[s.k.Spelt(row[0])]
	}
	switch {
	case !known:
		ok = false
		s.fault(s.field(rows, row, 0), "unknown-item", s.meant(row[0], itemNames(s.k.Graph.Items, s.k.ItemPos, graph.Bought, graph.Made),
			"write an item as the kitchen file names it"),
			"unknown item %q", row[0])
	case s.k.Graph.Items[item].Role == graph.Sold:
		ok = false
		s.fault(s.field(rows, row, 0), "dish-on-hand", "write what the dish is made of",
			"%q is a dish, which is made when it is served",
			row[0])
	}
	q, err := measure.Parse(strings.TrimSpace(row[1]))
	if err != nil {
		ok = false
		e := err.(*measure.Error)
		s.fault(s.field(rows, row, 1), "bad-quantity", e.Hint, "%s", e.Msg)
	}
	made, err := time.Parse(DateLayout, strings.TrimSpace(row[2]))
	switch {
	case err != nil:
		ok = false
		s.fault(s.field(rows, row, 2), "bad-date", "write the date as "+s.from.Format(DateLayout), "%q is not a date",
			row[2])
	case made.After(s.from):
		ok = false
		s.fault(s.field(rows, row, 2), "bad-date", "write the day on which it was made or arrived",
			"%q is made on %s, after %s, the first day that is looked at", row[0], row[2], s.from.Format(DateLayout))
	}
	if !ok {
		return flow.Lot{}, false
	}
	it := s.k.Graph.Items[item]
	if msg, hint := otherCount(it, it.Unit, q); msg != "" {
		s.fault(s.field(rows, row, 1), "other-count", hint, "%s", msg)
		return flow.Lot{}, false
	}
	lot = flow.Lot{Item: item, Made: int(made.Sub(s.from).Hours()) / 24}
	lot.Since = s.k.OwnDayOne(item, lot.Made)
	if lot.Amount, ok = it.Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind); !ok {
		s.fault(s.field(rows, row, 1), "no-bridge", bridgeHint(it, q.Unit.Kind),
			"%s of %q is %s, but it is counted in %s, which is %s",
			q, it.Name, q.Unit.Kind, it.Unit.Name, it.Unit.Kind)
		return flow.Lot{}, false
	}
	if keeps := s.k.Terms.Keeps[item]; keeps > 0 && lot.Made+keeps <= 0 {
		last := made.AddDate(0, 0, keeps-1)
		s.warn(s.field(rows, row, 2), "past-keeping", "remove the row once it is thrown out",
			"%s of %q kept until %s, so it is not counted",
			q, it.Name, last.Format(DateLayout))
		return flow.Lot{}, false
	}
	if s.days == nil {
		s.days = s.k.DayOnes()
	}
	if lot, ok = s.days.Bound(lot, 0); !ok {
		code := s.k.Code
		s.warn(s.field(rows, row, 2), "past-date-mark", `remove the row once it is thrown out; "date mark: no" is for what needs no `+
			`time and temperature control, "frozen: yes" for what is held frozen`,
			"the %d days of %q ended on %s (%s), so it is not counted: do not serve it", code.Keeps, it.Name,
			made.AddDate(0, 0, code.Keeps-1).Format(DateLayout), code.Cite(code.Dated))
	}
	return lot, ok
}
