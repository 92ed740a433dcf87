package clock

// The past: what was done of the day by now, as it was written down; and what is overdue.

import (
	"cmp"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Overdue is a batch of which something was to be done by now and nobody wrote it down, nor what became of the batch. It
// counts as planned until somebody does.
type Overdue struct {
	Step    string  `json:"step"`
	Day     string  `json:"day"`     // 2006-01-02, on which it was to begin
	Batches float64 `json:"batches"` // that were to begin; 0 when somebody wrote that they did
	Counts  []Row   `json:"counts"`  // what counts as planned, by time
	Log     []ToLog `json:"log"`     // entries that say what became of it, each a choice
}

// ToLog is an entry of the log book that is to be written.
type ToLog struct {
	What string  `json:"what"` // "lit", "put in", "out", "done", "cooked", "skipped" or "lost"
	Part *Part   `json:"part"` // as planned, of what is put in and out; null of a whole batch
	At   *string `json:"at"`   // 2006-01-02T15:04, when it was to happen; null of what becomes known now
	Text string  `json:"text"` // as it is typed: "cooked night kettle of 2026-11-23"
}

// ofBatch is a step on a day.
type ofBatch struct {
	step int
	day  time.Time
}

// begins finds when the batches began of which something happened, or is to: as it was written, or as planned.
func (t *table) begins() map[ofBatch]time.Time {
	lit := map[ofBatch]time.Time{}
	for _, h := range t.Happened {
		of := ofBatch{h.Step, h.Day}
		if _, known := lit[of]; !known && h.What == week.Lit {
			lit[of] = h.At
		}
	}
	for _, p := range t.night.schedule.Pots {
		of := ofBatch{p.Step, t.Date(p.Day)}
		if _, known := lit[of]; !known {
			lit[of] = t.moment(p.Start)
		}
	}
	return lit
}

// doneBy is what a row does of what was done.
var doneBy = map[string]string{week.Lit: Start, week.PutIn: PutIn, week.Out: TakeOut, week.Cooked: Make}

// happened is the row of something that happened.
func (t *table) happened(h *week.Happening, begun time.Time) Row {
	card := t.Steps[h.Step]
	r := Row{At: h.At.Format(minutely), Step: t.Graph.Steps[h.Step].Name, Begun: begun.Format(minutely), Day: h.Day.Format(time.DateOnly),
		Do: cmp.Or(doneBy[h.What], h.What), Batches: h.Batches, Share: h.Share, Entry: h.Entry, Station: card.Station,
		In: t.measured(h.Step, h.In), Out: t.measured(h.Step, h.Out), For: []string{}, work: -1, minute: int(h.At.Sub(t.Week.From).Minutes())}
	if h.What == week.Lit && len(h.Out) > 0 { // it was out as it began
		r.Do = Make
	}
	if card.Vessel >= 0 {
		r.Vessel = t.Vessels[card.Vessel].Name
	}
	r.Station = cmp.Or(r.Station, r.Vessel, kitchen.Bench)
	return r
}

func (t *table) measured(step int, list []week.Measured) []Part {
	parts := []Part{}
	for _, m := range list {
		p := t.part(step, kitchen.AnyLine, m.Item, m.Amount)
		p.Lot, p.Card = m.Mark, m.Card
		parts = append(parts, p)
	}
	return parts
}

// past writes the rows of what was done between two moments and written down.
func (t *table) past(from, to int) {
	for n := range t.Happened {
		h := &t.Happened[n]
		begun, known := t.lit[ofBatch{h.Step, h.Day}]
		if !known {
			begun = h.At
		}
		if r := t.happened(h, begun); h.Entry > 0 && r.minute >= from && r.minute < to {
			t.Rows = append(t.Rows, r)
		}
	}
}

// begun are the rows of what may still be done in time and counts as done, for that is when the walk begins with it.
func (t *table) begun(to int) {
	for n := range t.Happened {
		h := &t.Happened[n]
		r := t.happened(h, h.By)
		if r.minute = int(h.By.Sub(t.Week.From).Minutes()); h.Overdue && r.minute > t.Now && r.minute < to {
			r.At, r.Latest = h.By.Format(minutely), true
			t.Rows = append(t.Rows, r)
		}
	}
}

// overdue finds what is overdue, batch by batch.
func (t *table) overdue() {
	at := map[ofBatch]int{}
	for n := range t.Happened {
		h := &t.Happened[n]
		if !t.isOverdue(h) {
			continue
		}
		of := ofBatch{h.Step, h.Day}
		k, seen := at[of]
		if !seen {
			k = len(t.Timetable.Overdue)
			at[of] = k
			t.Timetable.Overdue = append(t.Timetable.Overdue, Overdue{Step: t.Graph.Steps[h.Step].Name, Day: h.Day.Format(time.DateOnly), Log: t.toLog(of)})
		}
		o := &t.Timetable.Overdue[k]
		o.Batches += h.Batches
		o.Counts = append(o.Counts, t.happened(h, t.lit[of]))
	}
}

func (t *table) isOverdue(h *week.Happening) bool { return h.Overdue && !h.By.After(t.moment(t.Now)) }

// toLog are the entries that say what became of a batch that is overdue.
func (t *table) toLog(of ofBatch) (log []ToLog) {
	add := func(what string, part *Part, at *time.Time) {
		l := ToLog{What: what, Part: part, Text: what + " "}
		if part != nil {
			l.Text += t.quantityOf(part) + " of "
		}
		l.Text += t.Graph.Steps[of.step].Name + " of " + of.day.Format(time.DateOnly)
		if at != nil {
			l.At = new(at.Format(minutely))
		}
		log = append(log, l)
	}
	written, last := false, time.Time{}
	for _, h := range t.Happened {
		if h.Step == of.step && h.Day.Equal(of.day) {
			if written, last = written || h.Entry > 0, h.At; h.Overdue {
				last = h.By
			}
		}
	}
	more := slices.ContainsFunc(t.night.schedule.Pots, func(p flow.Pot) bool { return p.Step == of.step && t.Date(p.Day).Equal(of.day) })
	switch lit := t.lit[of]; {
	case written:
		if !more {
			add(week.Done, nil, &last)
		}
		for _, h := range t.Happened {
			if h.Step == of.step && h.Day.Equal(of.day) && t.isOverdue(&h) {
				for _, m := range slices.Concat(h.In, h.Out) {
					add(h.What, new(t.part(of.step, kitchen.AnyLine, m.Item, m.Amount)), &h.At)
				}
			}
		}
	case more:
		add(week.Lit, nil, &lit)
		add(week.Skipped, nil, nil)
	default:
		add(week.Cooked, nil, &last)
		add(week.Skipped, nil, nil)
	}
	add(week.Lost, nil, nil)
	return log
}

func (t *table) quantityOf(p *Part) string {
	return measure.FormatNumber(p.Amount) + " " + p.Unit + " " + p.Item
}

// moment is a minute of the week as a time.
func (t *table) moment(minute int) time.Time {
	return t.Week.From.Add(time.Duration(minute) * time.Minute)
}
