package clock

// Sheets: what one person does in a shift, and what is done at one station on a day, each for one page to hold in the hand.

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Sheet is the work of one person in one shift, or of one station on one day.
type Sheet struct {
	For     string     `json:"for"`          // the person or the station
	Station bool       `json:"station"`      // a station
	Day     string     `json:"day"`          // 2006-01-02, on which the shift begins
	From    string     `json:"from"`         // 2006-01-02T15:04, when the shift begins; for a station, its day
	To      string     `json:"to"`           // 2006-01-02T15:04
	Limits  []Row      `json:"deadlines"`    // temperatures that are to be read, by time: the limits on cooling of the food code
	Unfit   []Conflict `json:"does_not_fit"` // what cannot be as it is written, of these hours or at this station
	Tasks   []Row      `json:"tasks"`        // by time; services among them
	Overdue []Overdue  `json:"overdue"`      // of this station, or of all of the day for who is there now
	Mind    []string   `json:"cautions"`     // the usual ones, on hot fat, steam, boiling pots and full ones, where a task has any of these
}

// Sheets are those of a day.
type Sheets struct {
	Kitchen  string   `json:"kitchen"`
	Day      string   `json:"day"` // 2006-01-02
	Code     string   `json:"code"`
	Sheets   []Sheet  `json:"sheets"` // people by when they begin, then stations in the order of the file
	Cautions []string `json:"cautions"`

	staff []string // everybody whom the kitchen file names
}

// SheetsOn are the sheets of a day of the week: one for each person and shift that begins on it, one for each station at which something
// is done on it. A shift past midnight is one shift: as long as it goes on it stands among those of the day that it is by now, before all others.
func SheetsOn(ctx context.Context, w *week.Week, day int) (*Sheets, error) {
	all, err := newTable(ctx, w, w.Case)
	if err != nil {
		return nil, err
	}
	if err := all.fill(ctx, func(int) bool { return true }, nil); err != nil {
		return nil, err
	}
	of, err := Rows(ctx, w, &day)
	if err != nil {
		return nil, err
	}
	a := &Sheets{Kitchen: w.Name, Day: w.Date(day).Format(time.DateOnly), Code: w.Code.Title, Sheets: []Sheet{}, Cautions: of.Cautions}
	for _, s := range w.Shifts {
		for _, name := range s.Names {
			if !slices.Contains(a.staff, name) {
				a.staff = append(a.staff, name)
			}
		}
	}
	if all.given != nil {
		underWay := func(p stint) bool {
			return all.Now > 0 && p.from < day*1440 && p.from <= all.Now && all.Now < p.to && all.Date(day).Equal(all.DayAt(all.moment(all.Now)))
		}
		for _, p := range all.given.people { // by when they begin
			if p.from/1440 == day && p.from >= 0 || underWay(p) {
				a.Sheets = append(a.Sheets, all.ofPerson(p))
			}
		}
	}
	for _, name := range all.stationNames() {
		if s := all.ofStation(name, day, of); len(s.Tasks)+len(s.Unfit) > 0 {
			a.Sheets = append(a.Sheets, s)
		}
	}
	return a, nil
}

// Only keeps the sheets of one person or of one station. The error says which there are.
func (a *Sheets) Only(name string, station bool) error {
	if !station && len(a.staff) > 0 {
		at, err := kitchen.FindNamed(name, "person", len(a.staff), func(i int) (string, bool) { return a.staff[i], true })
		if err != nil && !strings.Contains(err.Error(), "did you mean") {
			err = fmt.Errorf("%w: there is %s", err, measure.FormatList(a.staff))
		}
		if err != nil {
			return err
		}
		name = a.staff[at]
	}
	date, _ := time.Parse(time.DateOnly, a.Day) // as it was written
	day := measure.FormatDay(date)
	var names []string
	for _, s := range a.Sheets {
		if s.Station == station && !slices.Contains(names, s.For) {
			names = append(names, s.For)
		}
	}
	switch {
	case slices.Contains(names, name):
	case len(names) == 0 && station:
		return fmt.Errorf("nothing is done at any station on %s", day)
	case len(names) == 0:
		return fmt.Errorf("no shift begins on %s: who works when stands under \"hands\" in the kitchen file", day)
	case station:
		return fmt.Errorf("nothing is done at %q on %s: there is work at %s", name, day, strings.Join(names, ", "))
	default:
		return fmt.Errorf("%q is off: no shift of theirs begins on %s; there is %s", name, day, strings.Join(names, ", "))
	}
	a.Sheets = slices.DeleteFunc(a.Sheets, func(s Sheet) bool { return s.Station != station || s.For != name })
	return nil
}

// ofPerson is the sheet of one of the people of a shift.
func (t *table) ofPerson(p stint) Sheet {
	s := Sheet{For: p.who, Day: t.Date(dayOf(p.from)).Format(time.DateOnly), From: stamp(t.Week, p.from), To: stamp(t.Week, p.to),
		Limits: []Row{}, Unfit: []Conflict{}, Tasks: []Row{}, Overdue: []Overdue{}}
	mine := map[string]bool{} // batches of which some act is this person's
	for i := range t.Rows {
		if r := &t.Rows[i]; slices.Contains(r.Who, p.who) {
			mine[r.Step+r.Begun] = true
		}
	}
	for _, r := range t.Rows {
		within := r.minute >= p.from && r.minute < p.to
		if n := slices.IndexFunc(r.turns, func(o shiftTurn) bool { return o.who == p.who && o.from >= p.from && o.from < p.to }); n >= 0 && !r.Hourly && r.Entry == 0 &&
			len(r.Who) > r.People && r.turns[n].from > r.minute { // taken over from whose shift ends
			r.minute, r.At, r.Minutes = r.turns[n].from, stamp(t.Week, r.turns[n].from), r.turns[n].to-r.turns[n].from
			within = true
		}
		handed := r.Hourly && r.minute < p.to && r.By > s.From // it goes on from the shift before
		if !within && !handed || r.Entry > 0 {
			continue
		}
		switch {
		case slices.Contains(r.Who, p.who), r.Do == Serve, r.Do == Turn && mine[r.Step+r.Begun]:
			s.add(r)
		}
	}
	for _, c := range t.Conflicts {
		if c.minute >= p.from && c.minute < p.to {
			s.Unfit = append(s.Unfit, c)
		}
	}
	if t.Now >= p.from && t.Now < p.to {
		s.Overdue = t.Timetable.Overdue
	}
	s.Mind = t.mind(&s)
	return s
}

// add adds a row to what is to be done, and to the deadlines where it is one.
func (s *Sheet) add(r Row) {
	if r.Do == Read {
		s.Limits = append(s.Limits, r)
	}
	s.Tasks = append(s.Tasks, r)
}

// stationNames are the stations in the order in which the file first names each.
func (t *table) stationNames() (names []string) {
	for s := range t.Steps {
		if name := t.StationOf(s); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// ofStation is the sheet of a station: what is done for its steps on a day, and to the end of what begins there on it. What is done every
// hour since the evening before goes on.
func (t *table) ofStation(name string, day int, of *Timetable) Sheet {
	s := Sheet{For: name, Station: true, Day: t.Date(day).Format(time.DateOnly), From: stamp(t.Week, day*1440), To: stamp(t.Week, (day+1)*1440),
		Limits: []Row{}, Unfit: []Conflict{}, Tasks: []Row{}, Overdue: []Overdue{}}
	here := func(step string) bool {
		n, err := t.FindStep(step)
		return err == nil && n < len(t.Steps) && t.StationOf(n) == name
	}
	for _, r := range t.Rows {
		if r.Hourly && r.At < s.From && r.By > s.From && r.Entry == 0 && here(r.Step) {
			s.add(r)
		}
	}
	for _, r := range of.Rows {
		if r.Do != Serve && r.Entry == 0 && here(r.Step) {
			s.add(r)
		}
	}
	for _, c := range t.Conflicts {
		if c.At < s.To && c.Until >= s.From && slices.ContainsFunc(c.Entries, func(e Entry) bool { return e.Begun != "" && here(e.Name) }) {
			s.Unfit = append(s.Unfit, c)
		}
	}
	for _, o := range of.Overdue {
		if here(o.Step) {
			s.Overdue = append(s.Overdue, o)
		}
	}
	s.Mind = t.mind(&s)
	return s
}
