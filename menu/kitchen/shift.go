package kitchen

// Who is there: shifts by hour, of people with or without names.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// Shift is some people who work at some hours of some days. Where shifts meet, all of their people are there; at hours of none,
// nobody is.
type Shift struct {
	Days     Days // on which it begins
	From, To int  // minutes after midnight; To is later than From and may pass 24:00
	People   int
	Names    []string // of the people; nil where the file gives their number
	Pos      Pos
}

// Hours are those of the shift as they are said: "22:00 to 06:00".
func (s *Shift) Hours() string {
	return measure.FormatClock(s.From) + " to " + measure.FormatClock(s.To%1440)
}

// Who is one of the people of a shift as they are called: by name, or "cook 2 (06:00)" by the hour at which it begins.
func (s *Shift) Who(n int) string {
	switch {
	case s.Names != nil:
		return s.Names[n]
	case s.People == 1:
		return fmt.Sprintf("cook (%s)", measure.FormatClock(s.From))
	}
	return fmt.Sprintf("cook %d (%s)", n+1, measure.FormatClock(s.From))
}

// handsForm is who works at some hours: how many, or their names.
var handsForm = &form{shape: whole, what: "a whole number of people",
	or: &form{shape: text, what: "a name such as night cook", pattern: namePattern,
		or: &form{shape: list, filled: true, what: "a list of names such as [night cook, porter]",
			of: &form{shape: text, what: "a name", pattern: namePattern}}}}

// hands reads who works when.
func (r *reader) hands(n *yaml.Node) {
	for key, v := range r.pairs(n) {
		days, hours := leadingDays(key.Value)
		if days.count() == 0 {
			days = EveryDay
		}
		h := Shift{Days: days, Pos: r.span(key).Pos}
		skipped := len(key.Value) - len(hours)
		from, to, _ := strings.Cut(hours, "-")
		var err error
		if h.From, err = measure.ParseClock(strings.Trim(from, " ")); err == nil {
			h.To, err = measure.ParseClock(strings.Trim(to, " "))
		}
		if err != nil {
			r.misread(key, "bad-hands", shifted(err, skipped))
			continue
		}
		if h.To <= h.From {
			h.To += 24 * 60
		}
		if h.To <= h.From || h.To-h.From > 24*60 {
			r.fault(r.span(key), "bad-hands", "write from and to as 22:00-06:00, at most 24 h apart",
				"%q is not a time from and to", key.Value)
			continue
		}
		if !r.who(&h, v) {
			continue
		}
		r.k.Shifts = append(r.k.Shifts, h)
	}
	slices.SortStableFunc(r.k.Shifts, func(a, b Shift) int { return cmp.Compare(a.From%1440, b.From%1440) })
}

// who reads the people of a shift; ok is false when one of them would be in two places.
func (r *reader) who(h *Shift, n *yaml.Node) (ok bool) {
	list := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		list = n.Content
	} else if isNumber(n) {
		h.People, _ = Digits(n.Value)
		return true
	}
	ok = true
	for _, name := range list {
		if r.unfit[name] {
			ok = false
			continue
		}
		if _, number := Digits(name.Value); number {
			r.fault(r.span(name), "bad-hands", "write it without quotes to say how many, or a name", "%q is no name", name.Value)
			ok = false
			continue
		}
		if fault := nameFault(name.Value); fault != "" {
			r.fault(r.span(name), "bad-name", nameRule, "name %q %s", name.Value, fault)
			ok = false
			continue
		}
		at := slices.IndexFunc(r.k.Shifts, func(o Shift) bool { return slices.Contains(o.Names, name.Value) && o.meets(h) })
		if twice := slices.Contains(h.Names, name.Value); at >= 0 || twice {
			where := h.Pos
			if !twice {
				where = r.k.Shifts[at].Pos
			}
			r.fault(r.span(name), "bad-hands", "give one of the two another name, or other hours", "%q would be in two shifts at once", name.Value).
				note(where, "the other is here")
			ok = false
			continue
		}
		h.Names = append(h.Names, name.Value)
	}
	h.People = len(h.Names)
	return ok
}

// meets tells whether two shifts have a minute of the week in common.
func (s *Shift) meets(o *Shift) bool {
	const week = 7 * 1440
	for a, in := range s.Days {
		for b, also := range o.Days {
			if !in || !also {
				continue
			}
			for _, by := range []int{-week, 0, week} {
				if shift := (b-a)*1440 + by; s.From < o.To+shift && o.From+shift < s.To {
					return true
				}
			}
		}
	}
	return false
}

// People is how many work at a minute of a weekday, by the shifts; the minute may pass 24:00.
func (k *Kitchen) People(weekday, minute int) (n int) {
	at := weekday*1440 + minute
	for i := range k.Shifts {
		n += k.Shifts[i].at(at)
	}
	return n
}

// at is how many of a shift are there at a minute of the week that begins on Sunday.
func (s *Shift) at(minute int) int {
	const week = 7 * 1440
	for d, in := range s.Days {
		for _, by := range []int{-week, 0, week} {
			if at := minute - d*1440 + by; in && at >= s.From && at < s.To {
				return s.People
			}
		}
	}
	return 0
}

// nightBegins and nightEnds are the hours in which nobody should tend a fire alone: common practice, no source.
const nightBegins, nightEnds = 22 * 60, 6 * 60

// fireAlone advises of a step that is on the fire at night with one person there, or with none.
func (r *reader) fireAlone(rec *recipe, st graph.Step, s int) {
	card := &r.k.Steps[s]
	if len(r.k.Shifts) == 0 || !r.k.OnFire(s) || card.Starts == flow.Untimed {
		return
	}
	fewest, at, on := 2, 0, 0
	for i := range 7 {
		day := (i + 1) % 7
		for m := card.Starts; card.Batches[day] > 0 && m < card.Starts+st.Length(); m++ {
			if clock := m % 1440; clock >= nightEnds && clock < nightBegins {
				continue
			}
			if n := r.k.People(day, m); n < fewest {
				fewest, at, on = n, m, (day+m/1440)%7
			}
		}
	}
	says := "one person is"
	switch fewest {
	case 2:
		return
	case 0:
		says = "nobody is"
	}
	r.advise(r.span(rec.key), "fire-alone", `let two be there, or begin at another hour; write who is there under "hands"`,
		"%q is on the fire at %s on %s, and by \"hands\" %s there: nobody tends a fire alone at night (common practice; mind the fire code)",
		rec.name, measure.FormatClock(at%1440), time.Weekday(on), says)
}
