package clock

// A cooling log, judged reading by reading against the stages of a code, and the time to the next limit projected.

import (
	"math"
	"slices"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// Cooling is a cooling log, judged. Temperatures are on the scale of the code.
type Cooling struct {
	Code    string   `json:"code"`  // by which it is judged
	Scale   string   `json:"scale"` // "F" or "C"
	Air     *float64 `json:"air"`   // what the food cools in; null when it was not given
	Items   []Cooled `json:"items"`
	Says    []string `json:"notes,omitempty"` // what the code says of holding and reheating, or that it names no time
	Caution string   `json:"caution"`

	years bool // the readings are of more than one year
}

// Moment is the time of a reading, with its year where they are of more than one.
func (a *Cooling) Moment(v tongue.Voice, t time.Time) string {
	if !a.years {
		return v.Moment(t)
	}
	return v.Sentences(v.Date(t), t.Format("15:04"))
}

// Cooled is the log of one item.
type Cooled struct {
	Item         string       `json:"item"`           // as the log names it
	Starts       *string      `json:"starts"`         // 2006-01-02 15:04, when its time begins, at the earliest; null while it has not, or when the code names no time
	Recorded     bool         `json:"start_recorded"` // false when the log begins below the temperature at which the time does, and when it came off the heat was not logged
	Readings     []Judged     `json:"readings"`
	Stages       []Verdict    `json:"limits"`                  // what the readings show of each limit
	Projected    []Projection `json:"projections"`             // of limits that are not reached yet
	NoProjection string       `json:"no_projection,omitempty"` // why nothing is projected

	Rate float64 `json:"rate,omitempty"` // of cooling, an hour, between the last two readings; 0 when nothing is projected

}

// Judged is one reading.
type Judged struct {
	Time        string   `json:"time"`    // 2006-01-02 15:04
	Written     string   `json:"written"` // the temperature, as it was written
	Temperature float64  `json:"temperature"`
	Minutes     *int     `json:"minutes"` // since the time began; null before
	Says        []string `json:"says"`    // which limits it meets or breaks

	At time.Time `json:"-"`
}

// States of a limit: what is recorded of it.
const (
	LimitMet      = "met"
	LimitBroken   = "broken"
	LimitOpen     = "open"      // not reached yet, and there is time
	LimitNotShown = "not shown" // the readings do not tell, or none was taken in time
)

// Verdict is what the readings show of one limit.
type Verdict struct {
	From    float64 `json:"from"`
	To      float64 `json:"to"`
	Within  int     `json:"within_minutes"` // 0 when the code names no time
	Section string  `json:"section"`        // of the code
	Due     *string `json:"due"`            // 2006-01-02 15:04; null while its time has not begun, or without a time
	State   string  `json:"state"`          // "met", "broken", "open" or "not shown"
	Says    string  `json:"says"`           // what is recorded

	DueAt  time.Time `json:"-"`                // zero without one
	Unread bool      `json:"unread,omitempty"` // it is past due, and nobody has read since whether it was met
}

// Projection is when a limit would be reached if the food went on cooling as it did between the last two readings.
type Projection struct {
	To      float64  `json:"to"`
	Section string   `json:"section"`
	Time    *string  `json:"time"`    // 2006-01-02 15:04; null when it would never be reached
	Minutes *float64 `json:"minutes"` // after the last reading
	Late    *bool    `json:"late"`    // after it is due; null when it has no time, or is never reached
	Says    string   `json:"says"`
}

// startSlack is how far below the starting temperature a first reading may be and still be the start: the code prints
// 57 °C beside 135 °F, which is 134.6 °F, and thermometers show whole degrees.
const startSlack = 0.5

// sameReading guards comparisons against what converting a scale rounds.
const sameReading = 1e-9

// JudgeCooling judges logs by a code, as of now; a zero now is that of the last reading. Food that is named in fromRoom was made of what
// stood at room temperature. The air may be nil: then nothing is projected. What it says it says in a voice.
func JudgeCooling(code *kitchen.Code, logs []kitchen.CoolingLog, air *kitchen.Degrees, fromRoom []string, now time.Time, v tongue.Voice) *Cooling {
	a := &Cooling{Code: v.Code(code), Scale: code.Scale, Items: []Cooled{}, Caution: v.Say(kitchen.Caution)}
	if air != nil {
		a.Air = new(air.In(code.Scale))
	}
	if len(code.Cooling) == 0 {
		a.Says = append(a.Says, v.Say("no time to cool in stands in %[1]s: as quickly as possible", a.Code))
	}
	for _, r := range code.Others {
		a.Says = append(a.Says, v.Say("%[1]s: %[2]s", v.Cite(code, r.Section), v.Degrees(v.Word(r.Says))))
	}
	year := 0
	for _, l := range logs {
		for _, r := range l.Readings {
			if year == 0 {
				year = r.At.Year()
			}
			a.years = a.years || r.At.Year() != year
		}
	}
	for _, l := range logs {
		j := &coolingJudge{Voice: v, of: a, code: code, log: l, now: now, stages: code.Cooling, air: a.Air, room: slices.Contains(fromRoom, l.Item)}
		if j.room {
			j.stages = code.FromRoom
		}
		a.Items = append(a.Items, j.item())
	}
	return a
}

// coolingJudge looks at the log of one item.
type coolingJudge struct {
	tongue.Voice

	of     *Cooling
	code   *kitchen.Code
	log    kitchen.CoolingLog
	stages []kitchen.Stage
	air    *float64
	room   bool
	now    time.Time // zero where it is not known

	begun     bool
	recorded  bool      // the start is among the readings, or in the log book
	out       bool      // it is when the food came off the heat
	low, high time.Time // between which the food left the starting temperature
}

// Moment is the time of a reading.
func (j *coolingJudge) Moment(t time.Time) string { return j.of.Moment(j.Voice, t) }

// warmth is a reading on the scale of the code.
func (j *coolingJudge) warmth(r kitchen.Reading) float64 { return r.Degrees.In(j.code.Scale) }

// start finds when the time began: at the earliest at the last reading that was still at the starting temperature. A
// log that begins below it does not show its start: it is when the food came off the heat, where that was written down,
// else at the latest at the first reading. What came off the heat counts as cooling from its last hot reading on: nobody
// can tell that it is still hot.
func (j *coolingJudge) start() {
	first := j.log.Out
	if len(j.log.Readings) > 0 {
		first = j.log.Readings[0].At
	}
	if j.room {
		j.begun, j.recorded, j.low, j.high = true, true, first, first
		return
	}
	if len(j.stages) == 0 {
		return
	}
	from := j.stages[0].From
	at := -1
	for n, r := range j.log.Readings {
		slack := sameReading
		if n == 0 {
			slack = startSlack
		}
		if j.warmth(r) < from-slack {
			break
		}
		at = n
	}
	switch out := j.log.Out; {
	case at < 0 && !out.IsZero():
		j.begun, j.recorded, j.out, j.low, j.high = true, true, true, out, out
	case at < 0:
		j.begun, j.low, j.high = true, first, first
	case at+1 == len(j.log.Readings) && !out.IsZero():
		j.begun, j.recorded = true, true
		j.low, j.high = j.log.Readings[at].At, j.log.Readings[at].At
	case at+1 < len(j.log.Readings):
		j.begun, j.recorded = true, true
		j.low, j.high = j.log.Readings[at].At, j.log.Readings[at+1].At
		if math.Abs(j.warmth(j.log.Readings[at])-from) <= startSlack {
			j.high = j.low
		}
	}
}

func (j *coolingJudge) item() Cooled {
	j.start()
	c := Cooled{Item: j.log.Item, Recorded: j.recorded, Readings: []Judged{}, Stages: []Verdict{}, Projected: []Projection{}}
	if j.begun {
		c.Starts = new(readAt(j.low))
	}
	for _, s := range j.stages {
		c.Stages = append(c.Stages, j.verdict(s))
	}
	cold := false
	for _, r := range j.log.Readings {
		c.Readings = append(c.Readings, j.reading(r, cold))
		cold = cold || j.code.Cold != nil && j.warmth(r) <= j.code.Cold.At+sameReading
	}
	j.project(&c)
	return c
}

// verdict is what the readings show of a stage.
func (j *coolingJudge) verdict(s kitchen.Stage) Verdict {
	v := Verdict{From: s.From, To: s.To, Within: s.Within, Section: j.Cite(j.code, s.Section)}
	limit := j.both(s.To)
	var above, reached *kitchen.Reading // the last reading above the limit before the first at it
	for n := range j.log.Readings {
		r := &j.log.Readings[n]
		if j.warmth(*r) <= s.To+sameReading {
			reached = r
			break
		}
		above = r
	}
	within := time.Duration(s.Within) * time.Minute
	if j.begun && s.Within > 0 {
		v.DueAt = j.low.Add(within)
		v.Due = new(readAt(v.DueAt))
	}
	unrecorded := j.Say("the first reading is already below %[1]s, and how long it had cooled by then was not recorded", j.both(s.From))
	switch {
	case !j.begun:
		v.State, v.Says = LimitOpen, j.Say("its time begins when it leaves %[1]s", j.both(s.From))
	case s.Within == 0 && reached != nil:
		v.State, v.Says = LimitMet, j.Say("at or below %[1]s at %[2]s; the code names no time", limit, j.Moment(reached.At))
	case s.Within == 0 && above == nil:
		v.State, v.Says = LimitOpen, j.Say("no temperature was logged; the code names no time")
	case s.Within == 0:
		v.State, v.Says = LimitOpen, j.Say("still above %[1]s; the code names no time", limit)
	case above != nil && above.At.Sub(j.high) >= within:
		v.State, v.Says = LimitBroken, j.late(limit, above.At)
	case reached == nil && above != nil && j.log.Gone && above.At.Sub(j.low) < within:
		v.State, v.Says = LimitNotShown, j.Say("still above %[1]s at %[2]s; by now none of it is on hand", limit, j.Moment(above.At))
	case reached == nil && above == nil && j.now.After(v.DueAt):
		v.State, v.Unread, v.Says = LimitNotShown, true, j.Say("no reading by %[1]s, when it was due", j.Moment(v.DueAt))
	case reached == nil && above == nil:
		v.State, v.Says = LimitOpen, j.Say("no temperature was logged; due by %[1]s", j.Moment(v.DueAt))
	case reached == nil && above.At.Sub(j.low) < within && j.now.After(v.DueAt):
		v.State, v.Unread = LimitNotShown, true
		v.Says = j.Say("still above %[1]s at %[2]s, and no reading from then to %[3]s, when it was due", limit, j.Moment(above.At), j.MomentAfter(above.At, v.DueAt))
	case reached == nil && above.At.Sub(j.low) < within:
		v.State, v.Says = LimitOpen, j.Say("still above %[1]s at %[2]s; due by %[3]s", limit, j.Moment(above.At), j.MomentAfter(above.At, v.DueAt))
		if !j.recorded {
			v.Says = j.Say("%[1]s, or sooner: %[2]s", v.Says, unrecorded)
		}
	case !j.recorded:
		v.State, v.Says = LimitNotShown, unrecorded
	case reached != nil && reached.At.Sub(j.low) <= within:
		v.State, v.Says = LimitMet, j.inTime(limit, reached.At, s)
	case reached != nil:
		v.State, v.Says = LimitNotShown, j.Say("at or below %[1]s at %[2]s, but no reading shows whether it was by %[3]s", limit,
			j.Moment(reached.At), j.MomentAfter(reached.At, v.DueAt))
	default:
		v.State, v.Says = LimitNotShown, j.Say("still above %[1]s at %[2]s; due at some time from %[3]s to %[4]s", limit, j.Moment(above.At),
			j.MomentAfter(above.At, v.DueAt), j.MomentAfter(v.DueAt, j.high.Add(within)))
	}
	return v
}

// late says that a limit was not reached in time.
func (j *coolingJudge) late(limit string, at time.Time) string {
	after := j.lapse(at.Sub(j.high))
	switch {
	case j.room:
		return j.Say("still above %[1]s at %[2]s, %[3]s after it was first read", limit, j.Moment(at), after)
	case j.out:
		return j.Say("still above %[1]s at %[2]s, %[3]s after it came off the heat", limit, j.Moment(at), after)
	}
	return j.Say("still above %[1]s at %[2]s, %[3]s after it was below %[4]s", limit, j.Moment(at), after, j.both(j.stages[0].From))
}

// inTime says that a limit was reached in time.
func (j *coolingJudge) inTime(limit string, at time.Time, s kitchen.Stage) string {
	after := j.lapse(at.Sub(j.low))
	switch {
	case j.room:
		return j.Say("at or below %[1]s at %[2]s, at most %[3]s after the first reading", limit, j.Moment(at), after)
	case j.out:
		return j.Say("at or below %[1]s at %[2]s, %[3]s after it came off the heat", limit, j.Moment(at), after)
	}
	return j.Say("at or below %[1]s at %[2]s, at most %[3]s after it left %[4]s", limit, j.Moment(at), after, j.both(s.From))
}

// reading says what one reading meets or breaks. It is cold when the item was held cold by an earlier one.
func (j *coolingJudge) reading(r kitchen.Reading, cold bool) Judged {
	t := j.warmth(r)
	g := Judged{Time: readAt(r.At), At: r.At, Written: r.Degrees.String(), Temperature: t, Says: []string{}}
	say := func(english string, args ...any) { g.Says = append(g.Says, j.Say(english, args...)) }
	since := r.At.Sub(j.low)
	if j.begun && since >= 0 {
		g.Minutes = new(int(since / time.Minute))
	}
	switch hot := j.code.Hot; {
	case hot == nil || cold:
	case hot.Above && t > hot.At+sameReading:
		say("above %[1]s, the limit for holding hot (%[2]s)", j.both(hot.At), j.Section(hot.Section))
	case !hot.Above && t >= hot.At-sameReading:
		say("at or above %[1]s, the limit for holding hot (%[2]s)", j.both(hot.At), j.Section(hot.Section))
	}
	for _, s := range j.stages {
		within := time.Duration(s.Within) * time.Minute
		limit := j.both(s.To)
		switch {
		case g.Minutes == nil || s.Within == 0:
		case t > s.To+sameReading && r.At.Sub(j.high) >= within:
			say("breaks %[1]s: above %[2]s after %[3]s", j.Section(s.Section), limit, j.lapse(r.At.Sub(j.high)))
		case t > s.To+sameReading && since < within:
			say("%[1]s left to reach %[2]s (%[3]s)", j.lapse(within-since), limit, j.Section(s.Section))
		case t <= s.To+sameReading && since <= within && j.recorded && !cold:
			say("meets %[1]s: at or below %[2]s within %[3]s", j.Section(s.Section), limit, j.lapse(within))
		}
	}
	if c := j.code.Cold; c != nil {
		switch {
		case t <= c.At+sameReading:
			say("at or below %[1]s, the limit for holding cold (%[2]s)", j.both(c.At), j.Section(c.Section))
		case cold:
			say("breaks %[1]s: was at or below %[2]s, and is above it again", j.Section(c.Section), j.both(c.At))
		}
	}
	return g
}

// project looks ahead from the last two readings by Newton's law of cooling.
func (j *coolingJudge) project(c *Cooled) {
	n := len(j.log.Readings)
	ahead := slices.DeleteFunc(slices.Clone(j.stages), func(s kitchen.Stage) bool {
		return slices.ContainsFunc(j.log.Readings, func(r kitchen.Reading) bool { return j.warmth(r) <= s.To+sameReading })
	})
	switch {
	case len(j.stages) == 0:
		c.NoProjection = j.Say("the code names no limit to reach")
		return
	case len(ahead) == 0:
		c.NoProjection = j.Say("the last limit was reached")
		return
	case j.air == nil:
		c.NoProjection = j.Say("give the temperature of the air that it cools in")
		return
	case n < 2:
		c.NoProjection = j.Say("it takes two readings")
		return
	}
	before, last := j.log.Readings[n-2], j.log.Readings[n-1]
	w, ok := newtonBetween(*j.air, j.warmth(before), j.warmth(last), last.At.Sub(before.At).Hours())
	if !ok {
		c.NoProjection = j.Say("it did not cool towards the air between the last two readings")
		return
	}
	c.Rate = w.rate
	for _, s := range ahead {
		p := Projection{To: s.To, Section: j.Cite(j.code, s.Section)}
		hours, ever := w.reach(s.To)
		if !ever {
			p.Says = j.Say("projection: %[1]s is never reached in air at %[2]s", j.both(s.To), j.both(*j.air))
			c.Projected = append(c.Projected, p)
			continue
		}
		p.Minutes = new(hours * 60)
		whole := last.At.Add(time.Duration(math.Round(min(hours, farthest)*60)) * time.Minute) // as it is said, so that all agree
		p.Says = j.Say("projection: %[1]s is reached %[2]s after the last reading", j.both(s.To), j.lapseMinutes(*p.Minutes))
		if hours < farthest {
			at := last.At.Add(time.Duration(hours * float64(time.Hour)))
			p.Time = new(readAt(whole))
			p.Says = j.Say("%[1]s, at %[2]s", p.Says, j.Moment(whole))
			switch {
			case s.Within == 0 || !j.begun:
			case !j.recorded:
				p.Says = j.Say("%[1]s; its start was not recorded, so when it is due is not known", p.Says)
			default:
				due := j.low.Add(time.Duration(s.Within) * time.Minute)
				p.Late = new(at.After(due))
				switch gap := whole.Sub(due); {
				case *p.Late:
					p.Says = j.Say("%[1]s, %[2]s after it is due", p.Says, j.lapse(gap))
				default:
					p.Says = j.Say("%[1]s, %[2]s before it is due", p.Says, j.lapse(-gap))
				}
			}
		}
		c.Projected = append(c.Projected, p)
	}
}

// farthest is how far ahead, in hours, a moment is named: a year.
const farthest = 365 * 24.0

// newton is a body that cools, or warms, in air of constant temperature: its distance from the air falls by the factor
// exp(-rate) an hour (Newton's law of cooling).
type newton struct{ air, now, rate float64 }

// newtonBetween fits the law to two temperatures some hours apart. ok is false when the second is not nearer to the air
// than the first, on the same side of it.
func newtonBetween(air, before, now, hours float64) (w newton, ok bool) {
	ratio := (before - air) / (now - air)
	if !(ratio > 1) || math.IsInf(ratio, 0) || !(hours > 0) {
		return newton{}, false
	}
	return newton{air, now, math.Log(ratio) / hours}, true
}

// reach is the hours from now until a temperature; ok is false when it is never reached.
func (w newton) reach(to float64) (hours float64, ok bool) {
	ratio := (w.now - w.air) / (to - w.air)
	if !(ratio >= 1) || math.IsInf(ratio, 0) {
		return 0, false
	}
	return math.Log(ratio) / w.rate, true
}

// readLayout is how moments of readings are written.
const readLayout = "2006-01-02 15:04"

func readAt(t time.Time) string { return t.Format(readLayout) }

// both is a limit on both scales, with the figures of the language.
func (j *coolingJudge) both(at float64) string { return j.Figure(j.code.Both(at)) }

func (j *coolingJudge) lapse(d time.Duration) string { return j.lapseMinutes(d.Minutes()) }

func (j *coolingJudge) lapseMinutes(minutes float64) string {
	return j.Lasts(int(min(math.Round(minutes), farthest*60)))
}
