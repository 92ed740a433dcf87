package logbook

// A row of a file that is taken over: what it says as an entry.

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// rowReader reads rows.
type rowReader struct {
	*fileReader
	fields    map[string]cell // of the row, by column, with dates and numbers written plainly
	last      map[string]int  // of counts: the entry of an item at a moment, by both
	uncounted int             // rows without a count
	left      bool            // the row is nothing to the log book
	places    map[taking]int  // of what was taken, in its list
	missed    []missing       // names that mean nothing
	missedAt  map[string]int  // of each, by its text
}

// taking is what stands once in one of the lists of a [File].
type taking struct {
	list           *[]Taken
	written, means string
}

// take counts a row in one of the lists of the file, in the order in which they come.
func (r *rowReader) take(list *[]Taken, written, means string) {
	of := taking{list, written, means}
	at, ok := r.places[of]
	if !ok {
		at = len(*list)
		r.places[of], *list = at, append(*list, Taken{Written: written, Means: means})
	}
	(*list)[at].Rows++
}

// field is a column's cell in the row, empty where the file has no such column or the row ends before it.
func (r *rowReader) field(name string) cell { return r.fields[name] }

// read adds the row's entry to the file, and what it says to what the entries before say. All its faults are said.
func (r *rowReader) read(line row, said []string) []string {
	before := len(r.found)
	r.fields, r.left = map[string]cell{}, false
	for name, at := range r.header.place {
		r.fields[name] = line.at(at)
	}
	for _, name := range used[r.file.Kind] {
		switch c := r.fields[name]; {
		case c.long:
			r.fail(c, "bad-text", fmt.Sprintf("write up to %d letters", mostLetters), "the %s is too long", name)
			return said
		case kitchen.TextFault(c.text, mostLetters) != "":
			r.fail(c, "bad-text", "write it again, with letters, digits and spaces", "the %s %s", name, kitchen.TextFault(c.text, mostLetters))
			return said
		}
	}
	for _, name := range r.numeric() {
		if c, ok := r.fields[name]; ok {
			text, bad := r.habits.plain(c, name == "portions")
			if bad != "" {
				r.fail(c, "bad-number", "write it as 1234.5, or say what parts decimals with --decimals", "%q is not a number with a decimal %s",
					bad, cmp.Or(r.habits.decimals, DecimalPoint))
				return said
			}
			c.text = text
			r.fields[name] = c
		}
	}
	moment, late := r.moment()
	e := Entry{Kind: r.file.Kind}
	ends := 24*60 - 1
	ok := true
	switch e.Kind {
	case Received:
		ends = 6 * 60
		ok = r.delivery(&e)
	case Sold:
		ok = r.sale(&e, moment, &ends)
	case Counted:
		ok = r.count(&e)
	}
	says := r.says()
	if r.left {
		return said
	}
	e.At = r.manner.At
	if !moment.IsZero() {
		e.At = r.within(moment, late, ends)
	}
	if !ok || len(r.found) > before {
		return said
	}
	if e.Kind == Counted { // of an item that lies in two places, the sum is all there is
		key := e.At.Format(time.DateTime) + e.Gives[0].Item
		if n, twice := r.last[key]; twice {
			sum := &r.file.Entries[n]
			sum.Gives[0].Base += e.Gives[0].Base
			it, _ := r.k.FindItem(e.Gives[0].Item)
			q := r.k.Quantity(it, sum.Gives[0].Base)
			sum.Gives[0].Typed = exactly(q)
			sum.Text = sum.Gives[0].Typed + " " + e.Gives[0].Item
			said[n] += says
			return said
		}
		r.last[key] = len(r.file.Entries)
	}
	r.file.Entries = append(r.file.Entries, e)
	return append(said, says)
}

// exactly writes a quantity with all its digits, but for what the rounding of sums leaves.
func exactly(q measure.Quantity) string {
	return strconv.FormatFloat(math.Round(q.Amount*1e9)/1e9, 'f', -1, 64) + " " + q.Unit.Name
}

// name finds what a name of the row means; ok is false where its row is left out or it is at fault. Faults are named by names, once
// for each name.
func (r *rowReader) name(c cell, of *namer) (name string, ok bool) {
	found := of.find(c.text)
	switch {
	case c.text == "":
		r.fail(c, "no-name", "write a name, or empty the row", "the row names nothing")
	case found.left:
		r.left = true
		r.take(&r.file.Left, c.text, "it means none")
	case found.place < 0:
		at, before := r.missedAt[c.text]
		if !before {
			at = len(r.missed)
			r.missedAt[c.text], r.missed = at, append(r.missed, missing{cell: c})
		}
		r.missed[at].rows++
	default:
		if found.alike {
			r.take(&r.file.Names, c.text, of.names[found.place])
		}
		return of.names[found.place], true
	}
	return "", false
}

// missing is a name that means nothing, and on how many rows it stands.
type missing struct {
	cell
	rows int
}

// mostLookedUp bounds the names for which one that looks alike is looked for: no more faults are printed.
const mostLookedUp = 50

// names tells of all names that mean nothing.
func (r *rowReader) names() {
	of, what := r.items, "item"
	if r.file.Kind == Sold {
		of, what = r.dishes, "dish"
	}
	for n, m := range r.missed {
		found := of.find(m.text)
		rows := ""
		if m.rows > 1 {
			rows = fmt.Sprintf(", on %d rows", m.rows)
		}
		switch {
		case found.stray != "":
			r.fail(m.cell, "unknown-"+what, "change it there, or say it again with --means",
				"%q stands for %q in the names that are kept, and the kitchen has no such %s%s", m.text, found.stray, what, rows)
		case what == "item" && r.dishes.knows(m.text):
			r.fail(m.cell, "unknown-item", "import deliveries and sales in separate files",
				"%q is a dish, which is made when it is served%s", m.text, rows)
			continue // there is nothing to answer
		case len(found.near) > 0:
			r.fail(m.cell, "which-"+what, fmt.Sprintf(`say which with --means %q`, m.text+"=..."), "%q may be %s%s", m.text,
				orList(found.near), rows)
		default:
			hint := fmt.Sprintf(`say what it is with --means %q, or leave it out with --means %q`, m.text+"=...", m.text+"="+Nothing)
			if n < mostLookedUp {
				hint = cmp.Or(r.nearest(m.text), hint)
			}
			r.fail(m.cell, "unknown-"+what, hint, "unknown %s %q%s", what, m.text, rows)
		}
		r.asked = append(r.asked, Question{AboutName, m.text, what == "dish", m.rows, found.near})
	}
}

// nearest asks whether a name that looks like it was meant; "" where none does.
func (r *rowReader) nearest(name string) string {
	var err error
	if r.file.Kind == Sold {
		_, _, err = r.k.DishNamed(name, nil)
	} else {
		_, _, err = r.k.ItemNamed(name, nil)
	}
	if e, ok := err.(*measure.Error); ok && !strings.HasPrefix(e.Hint, "write ") {
		return e.Hint
	}
	return ""
}

// orList joins names of which one is meant.
func orList(names []string) string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = strconv.Quote(n)
	}
	if last := len(quoted) - 1; last > 0 {
		return strings.Join(quoted[:last], ", ") + " or " + quoted[last]
	}
	return strings.Join(quoted, "")
}

// delivery reads item, quantity, unit, packs, pack size, paid, supplier and lot.
func (r *rowReader) delivery(e *Entry) bool {
	name, known := r.name(r.field("item"), r.items)
	if r.left {
		return false
	}
	words, at, ok := r.amount()
	if ok {
		ok = r.measured(e, name, words, at, false)
	}
	if paid := r.field("paid"); paid.text != "" {
		value, rest, err := measure.Number(paid.text)
		switch {
		case err != nil:
			r.misread(paid, "bad-money", err)
		case strings.TrimSpace(rest) != "" || value > mostMoney:
			r.fail(paid, "bad-money", "write it as 52.31, in the kitchen's currency", "%q is not a plain amount of money",
				paid.text)
		}
		e.Paid = &value
	}
	e.Supplier, e.Mark = r.free("supplier"), r.free("lot")
	e.Text = words + " " + name
	for _, c := range [][2]string{{" for ", r.field("paid").text}, {" from ", inQuotes(e.Supplier)}, {" lot ", inQuotes(e.Mark)}} {
		if c[1] != "" {
			e.Text += c[0] + c[1]
		}
	}
	return known && ok
}

// inQuotes puts a text in quotes where an entry would end it too soon without.
func inQuotes(text string) string {
	if strings.HasPrefix(text, `"`) || receivedEnds.MatchString(" "+text+" ") {
		return `"` + text + `"`
	}
	return text
}

// free is what is written freely.
func (r *rowReader) free(name string) string {
	c := r.field(name)
	switch {
	case kitchen.TextFault(c.text, kitchen.MostLetters) != "":
		r.fail(c, "bad-text", "write it shorter", "the %s %s", name, kitchen.TextFault(c.text, kitchen.MostLetters))
	case strings.Contains(c.text, `"`):
		r.fail(c, "bad-text", "leave the quotes out", "the %s holds quotes", name)
	}
	return c.text
}

// measured reads an amount of an item; it may be nothing only where that says something.
func (r *rowReader) measured(e *Entry, name, words string, at cell, none bool) bool {
	if name == "" { // told already: only the amount itself can be judged
		if _, err := measure.Parse(words); err != nil {
			r.misread(at, "bad-quantity", err)
		}
		return false
	}
	item, err := r.k.FindItem(name)
	if err != nil {
		panic("mistake: the kitchen has no item of its own name: " + err.Error())
	}
	m, err := r.k.MeasuredAs(item, words)
	if dipped.MatchString(words) {
		m, _, err = r.k.ReadMeasured(name+" "+words, nil)
	}
	switch {
	case err != nil:
		r.misread(at, "bad-quantity", err)
		return false
	case m.Base == 0 && !none:
		r.fail(at, "bad-quantity", "remove the row, or write how much came", "%q is zero", words)
		return false
	}
	e.Gives = []Amount{amountOf(r.k, m)}
	return true
}

// misread is a fault that a reader of values found in a cell.
func (r *rowReader) misread(c cell, id string, err error) {
	e := err.(*measure.Error)
	r.fail(c, id, e.Hint, "%s", e.Msg)
}

// sale reads dish, portions and service, and the minute at which the service ends on its day.
func (r *rowReader) sale(e *Entry, day time.Time, ends *int) bool {
	portions := r.field("portions")
	value, rest, err := measure.Number(portions.text)
	if err == nil && value == 0 && rest == "" { // tills list what was not sold
		r.left = true
		r.take(&r.file.Left, r.field("dish").text, "none sold")
		return false
	}
	name, known := r.name(r.field("dish"), r.dishes)
	if r.left {
		return false
	}
	if e.Portions = int(value); err != nil || strings.TrimSpace(rest) != "" || float64(e.Portions) != value ||
		value > mostPortions {
		r.fail(portions, "bad-number", "write it as 42", "%q is not a whole number of portions", portions.text)
	}
	e.Dish = name
	e.Text = strconv.Itoa(e.Portions) + " " + name
	if service := r.field("service"); service.text != "" {
		n, err := r.k.ServiceNamed(service.text)
		if err != nil {
			r.misread(service, "unknown-service", err)
			return false
		}
		if e.Service = r.k.Services[n].Name; !day.IsZero() {
			*ends = r.k.HoursOn(day, n).To
		}
		e.Text += " at " + e.Service
	}
	return known
}

// count reads item, counted and unit. A row without a count says nothing.
func (r *rowReader) count(e *Entry) bool {
	counted := r.field("counted")
	if counted.text == "" {
		r.uncounted, r.left = r.uncounted+1, true
		return false
	}
	name, known := r.name(r.field("item"), r.items)
	if r.left {
		return false
	}
	words := counted.text
	if onlyNumber.MatchString(words) {
		words = strings.TrimSpace(words + " " + cmp.Or(r.field("unit").text, r.header.units["counted"]))
	}
	words, ok := r.multiplied(words, counted)
	if !ok || !r.measured(e, name, words, counted, true) {
		return false
	}
	if e.Text = words + " " + name; dipped.MatchString(words) {
		e.Text = name + " " + words
	}
	return known
}

var (
	onlyNumber = regexp.MustCompile(`^` + measure.NumberPattern + `$`)
	dipped     = regexp.MustCompile(`^` + measure.NumberPattern + ` *(?:mm|cm|in) `)
)

// moment reads date and time; minutes are -1 without a time. The zero moment stands for a row without a date.
func (r *rowReader) moment() (day time.Time, minutes int) {
	date, clock := r.field("date"), r.field("time")
	if clock.number {
		clock.text, clock.number = serialClock(clock.text), false
	}
	if date.text == "" {
		if clock.text != "" {
			r.fail(clock, "bad-date", "write the date too", "there is a time without a date")
		} else if r.header.has("date") {
			r.fail(date, "bad-date", "write the date as 2026-11-24", "the row has no date")
		}
		return day, -1
	}
	if date.number {
		date.text, date.number = serialDate(date.text, r.fileReader.sheet), false
	}
	text := date.text
	if m := withTime.FindStringSubmatch(text); m != nil {
		if text = m[1]; clock.text == "" {
			clock.text = m[2]
			clock.line, clock.at, clock.offset = date.line, date.at, date.offset
		}
	}
	d, known := readDate(text)
	day, one := d.as(r.habits.dates)
	switch {
	case !known:
		r.fail(date, "bad-date", "write the date as 2026-11-24", "%q is not a date", date.text)
		return time.Time{}, -1
	case !one && r.habits.dates != "":
		r.fail(date, "bad-date", "write the date as 2026-11-24, or say what stands first with --dates",
			"%q is not a date with the %s", date.text, r.habits.dates)
		return time.Time{}, -1
	case !one:
		return time.Time{}, -1 // it is asked
	}
	date.text = day.Format(time.DateOnly)
	if r.fields["date"] = date; clock.text == "" {
		return day, -1
	}
	text, err := readClock(clock.text)
	if err != nil {
		r.misread(clock, "bad-date", err)
		return time.Time{}, -1
	}
	clock.text = text
	r.fields["time"] = clock
	minutes, _ = measure.ParseClock(text) // it was read
	return day, minutes
}

// within is the moment so many minutes into a day, which must have come; without minutes it is when the day ends, or now.
func (r *rowReader) within(day time.Time, minutes, ends int) time.Time {
	timed := minutes >= 0
	if !timed {
		minutes = ends
	}
	at := day.Add(time.Duration(minutes) * time.Minute)
	if at.After(r.manner.Now) && !timed && !day.After(r.manner.Now) {
		at = r.manner.Now // of today, and not over yet
	}
	if at.After(r.manner.Now) {
		r.fail(r.field("date"), "bad-date", "log what has happened; it is now "+r.manner.Now.Format(Minutes),
			"%s is in the future", at.Format(Minutes))
	}
	return at
}

// Minutes is how moments are written: 2026-11-24 14:05.
const Minutes = "2006-01-02 15:04"
