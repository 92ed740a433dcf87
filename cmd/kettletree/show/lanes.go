package show

// The timetable as lanes: one for each vessel and station.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph/draw"
	"kettletree/graph/measure"
	"kettletree/menu/clock"
)

// minutesOf is a moment of a timetable, in minutes after the midnight before its first day.
func minutesOf(a *clock.Timetable, at string) int {
	from, err := time.Parse(time.DateOnly, a.From)
	if err != nil {
		panic("mistake: a timetable begins on no date: " + err.Error())
	}
	t, err := time.Parse("2006-01-02T15:04", at)
	if err != nil {
		panic("mistake: a row of a timetable has no time: " + err.Error())
	}
	return int(t.Sub(from).Minutes())
}

// Lanes draws a timetable: a sheet for each day, or one for the only day, which then goes on to the end of what begins
// on it.
func Lanes(a *clock.Timetable) draw.Lanes {
	return LanesIn(a, LaneWords{Act: actText, Name: func(name string) string { return name }, Say: func(text string) string { return text }})
}

// LaneWords say what stands on lanes: an act, a name of the kitchen, and a sentence that comes finished.
type LaneWords struct {
	Act       func(*clock.Row) string
	Name, Say func(string) string
}

// LanesIn are [Lanes] in the words of a language.
func LanesIn(a *clock.Timetable, in LaneWords) draw.Lanes {
	l := draw.Lanes{Title: cmp.Or(a.Title, "Timetable") + ": " + heading(a),
		Caption: in.Say("Filled triangle: into the vessel. Empty triangle: out of it. " +
			"Circle: to be done by then. Thick line: a service begins.")}
	last := 0
	for i := range a.Rows {
		last = max(last, a.Rows[i].Minute())
	}
	for d := range a.Days {
		from, to := d*1440, (d+1)*1440
		if a.On != nil && *a.On != date(a, d) {
			continue
		}
		if a.On != nil {
			to = max(to, (last/60+1)*60)
		}
		if s, ok := laneSheet(a, from, to, in); ok {
			l.Sheets = append(l.Sheets, s)
		}
	}
	for i := range a.Overdue {
		o := &a.Overdue[i]
		l.Notes = append(l.Notes, in.Say(fmt.Sprintf("Overdue: %s counts as planned (%s). Log %s.", named(o), countsOf(o), choices(o))))
	}
	for _, c := range a.Conflicts {
		l.Notes = append(l.Notes, in.Say("Conflict")+": "+in.Say(c.Text+"."))
	}
	for _, m := range a.Without {
		l.Notes = append(l.Notes, in.Say(Lacks(m)))
	}
	for _, c := range a.Cautions {
		l.Notes = append(l.Notes, in.Say(capital(c)+"."))
	}
	return l
}

func date(a *clock.Timetable, day int) string {
	from, _ := time.Parse(time.DateOnly, a.From) // it has been read before
	return from.AddDate(0, 0, day).Format(time.DateOnly)
}

// laneSheet is a stretch of the timetable, cut at the hour before its first act; ok is false when nothing is done in
// it.
func laneSheet(a *clock.Timetable, from, to int, in LaneWords) (s draw.LaneSheet, ok bool) {
	s = draw.LaneSheet{Title: in.Say(weekday(date(a, from/1440))), From: to, To: to}
	var names []string // vessels first
	at := map[string]int{}
	var rows []*clock.Row
	for i := range a.Rows {
		r := &a.Rows[i]
		begun, ends := span(a, r)
		if r.Do == clock.Serve {
			if r.Minute() >= from && r.Minute() < to {
				s.Marks = append(s.Marks, draw.LaneMark{At: r.Minute(), Name: in.Name(r.Step)})
				s.From = min(s.From, r.Minute())
				s.Title += "; " + in.Say(fmt.Sprintf("%s at %s", r.Step, clockOf(r.At)))
			}
			continue
		}
		if ends < from || begun >= to {
			continue
		}
		rows = append(rows, r)
		s.From = min(s.From, max(from, begun))
	}
	if len(rows) == 0 {
		return s, false
	}
	s.From = s.From / 60 * 60
	if s.To-s.From < 6*60 {
		s.To = s.From + 6*60
	}
	for _, inVessel := range []bool{true, false} {
		for _, r := range rows {
			if name := laneOf(r); (r.Vessel != "") == inVessel && !slices.Contains(names, name) {
				at[name] = len(names)
				names = append(names, name)
				s.Lanes = append(s.Lanes, draw.Lane{Name: in.Say(name)})
			}
		}
	}
	drawn := map[string]bool{}
	for _, r := range rows {
		lane := &s.Lanes[at[laneOf(r)]]
		begun, ends := span(a, r)
		if key := r.Step + r.Begun; !drawn[key] && ends > begun {
			drawn[key] = true
			lane.Bars = append(lane.Bars, draw.LaneBar{From: begun, To: ends, Name: in.Name(r.Step), Clash: clashes(a, r)})
		}
		if r.Minute() >= from && r.Minute() < to {
			lane.Acts = append(lane.Acts, laneAct(r, in))
		}
	}
	for k := range s.Lanes {
		s.Lanes[k].Acts = dueTogether(s.Lanes[k].Acts)
	}
	return s, true
}

func laneOf(r *clock.Row) string {
	if r.Vessel != "" && r.Vessel != r.Station {
		return r.Vessel + ", " + r.Station
	}
	return cmp.Or(r.Vessel, r.Station)
}

// span is from when to when the work of a row goes on.
func span(a *clock.Timetable, r *clock.Row) (from, to int) {
	from = minutesOf(a, r.Begun)
	to = from
	for i := range a.Rows {
		if o := &a.Rows[i]; o.Step == r.Step && o.Begun == r.Begun && o.Do != clock.Work && o.Do != clock.Read {
			to = max(to, o.Minute())
			if o.Do == clock.Start { // whatever the card says
				from = o.Minute()
			}
		}
	}
	return from, to
}

func clashes(a *clock.Timetable, r *clock.Row) bool {
	return slices.ContainsFunc(a.Conflicts, func(c clock.Conflict) bool {
		return slices.ContainsFunc(c.Entries, func(e clock.Entry) bool { return e.Name == r.Step && e.Begun == r.Begun })
	})
}

func laneAct(r *clock.Row, in LaneWords) draw.LaneAct {
	act := draw.LaneAct{At: r.Minute(), When: clockOf(r.At), Text: in.Act(r)}
	switch {
	case r.Entry > 0 || r.Do == clock.Work || r.Do == clock.Read:
		act.Sign = draw.DueSign
	case r.Do == clock.Make:
		act.Sign, act.When = draw.DueSign, in.Say(at(r))
	case r.Do == clock.Start || r.Do == clock.PutIn:
		act.Sign = draw.InSign
	case r.Do == clock.TakeOut:
		act.Sign = draw.OutSign
	}
	return act
}

// actText says what is done in a line beside the lanes.
func actText(r *clock.Row) string {
	switch {
	case r.Entry > 0 || r.Do == clock.Work || r.Do == clock.Read:
		return doing(r)
	case r.Do == clock.Make && len(r.Out) > 0:
		return parts(r.Out)
	case r.Do == clock.Make:
		return r.Step
	}
	text := doing(r)
	if what := parts(slices.Concat(r.In, r.Out)); what != "" {
		text += ": " + what
	}
	if r.Do == clock.TakeOut && len(r.For) > 0 {
		text += " (" + forWhom(r) + ")"
	}
	return text
}

// dueTogether joins what is to be made by one time into one line.
func dueTogether(acts []draw.LaneAct) (joined []draw.LaneAct) {
	for _, a := range acts {
		if n := len(joined); n > 0 && a.Sign == draw.DueSign && joined[n-1].Sign == draw.DueSign &&
			joined[n-1].When == a.When && joined[n-1].At == a.At {
			joined[n-1].Text += "; " + a.Text
			continue
		}
		joined = append(joined, a)
	}
	return joined
}

// parts lists quantities as a cook weighs them: "88 L water, 450 g salt".
func parts(list []clock.Part) string {
	var texts []string
	for _, x := range list {
		if x.Unit == "each" {
			texts = append(texts, things(partPieces(x), x.Unit, x.Item, x.Many)+ofLot(x))
			continue
		}
		texts = append(texts, weighed(x.Amount, x.ShownIn())+" "+x.Item+ofLot(x))
	}
	return strings.Join(texts, ", ")
}

// ofLot is the lot of what was written down, and whether it was measured.
func ofLot(x clock.Part) (text string) {
	if x.Lot != "" {
		text = " (lot " + x.Lot + ")"
	}
	if x.Card {
		text += " (by the card)"
	}
	return text
}

// weighed is a quantity as a scale shows it; bunches, bottles and the like in quarters, as on a card: "½ bunch".
func weighed(x float64, unit string) string {
	u, err := measure.UnitNamed(unit)
	if err != nil { // portions
		return number(x) + " " + unit
	}
	if u.Kind == measure.Count && u != measure.Each {
		return quarters(x) + " " + u.Of(x)
	}
	return measure.Quantity{Amount: x, Unit: u}.Handy().OnScale().String()
}

// weighedOut is an amount with its name, as a scale shows it: "14 stewing hens", "110 mL water".
func weighedOut(x float64, unit, name, many string) string {
	if unit == "each" {
		return things(pieces(x), unit, name, many)
	}
	return weighed(x, unit) + " " + name
}

// pieces is how many of what is counted, in quarters.
func pieces(x float64) float64 {
	return measure.Quantity{Amount: x, Unit: measure.Each}.OnScale().Amount
}

// partPieces is how many of what is counted a part is.
func partPieces(x clock.Part) float64 {
	if x.Pieces > 0 {
		return x.Pieces
	}
	return pieces(x.Amount)
}
