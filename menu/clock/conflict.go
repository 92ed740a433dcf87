package clock

// What cannot be: two batches in one vessel, one that is too full, more burners or hands than there are, work that
// comes too late, a batch that lacks something.

import (
	"cmp"
	"fmt"
	"slices"

	"kettletree/graph/measure"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

// Conflict is something that cannot be as it is written.
type Conflict struct {
	Kind    string   `json:"kind"`  // "one vessel", "overfull", "burners", "hands", "room", "too tight", "past date" or "lacking"
	At      string   `json:"at"`    // 2006-01-02T15:04
	Until   string   `json:"until"` // 2006-01-02T15:04
	Text    string   `json:"text"`
	Entries []Entry  `json:"entries"`
	Short   int      `json:"minutes_short,omitempty"` // of work that is done too late: by how much, at the most
	Helps   []string `json:"helps,omitempty"`         // each would do
	Lacks   string   `json:"lacks,omitempty"`         // of what is lacking: the item

	minute  int
	works   []int // of what is too tight: those that are late
	arrives bool  // it is what they take that comes too late, whatever hands and vessels there are
}

// Entry is a line of the kitchen file that takes part in a conflict.
type Entry struct {
	Name  string `json:"name"`  // of the step, vessel or key
	Begun string `json:"begun"` // 2006-01-02T15:04, when the step's work began; "" for what is no step
	Place string `json:"place"` // file:line:column
}

// SameAs tells whether another is the same conflict, in whatever language each is said.
func (c *Conflict) SameAs(o *Conflict) bool {
	return c.Kind == o.Kind && c.At == o.At && c.Until == o.Until && c.Short == o.Short &&
		slices.EqualFunc(c.Entries, o.Entries, func(a, b Entry) bool { return a.Begun == b.Begun && a.Place == b.Place })
}

// The kinds of conflict.
const (
	OneVessel = "one vessel" // two batches are in it at once
	Overfull  = "overfull"   // more goes in than it holds
	Burners   = "burners"    // more are needed than there are
	NoHands   = "hands"      // more people are needed than there are
	NoRoom    = "room"       // more people are needed at a station than it has room for
	TooTight  = "too tight"  // what it takes comes too late for when it is needed
	PastDate  = "past date"  // it is used after the last day on which it may be
	Lacking   = "lacking"    // a batch is smaller than it is written, or none, for something is missing
)

// conflicts finds what cannot be between two moments.
func (t *table) conflicts(from, to int) {
	vessels := t.night.vessels.With()
	free := map[int]int{}             // by vessel: when the batch before is out of it
	for i, w := range t.night.works { // as late as they may, or as hands begin them
		if w.kind != batch || !w.fixed {
			continue
		}
		at, end, v := t.times[i], t.times[i]+w.length, t.Steps[w.step].Vessel
		if t.given != nil {
			late, lateOut := t.given.delay(i, 0), t.given.delay(i, w.length)
			if late > grace || at < free[v] {
				at += late
			}
			if lateOut > grace || at > t.times[i] {
				end += lateOut
				free[v] = max(free[v], end)
			}
		}
		vessels.Move(w.step, w.at, at, end-at-w.length)
	}
	t.clashing(vessels.Clashes())
	t.burning(vessels.Timed())
	t.tight()
	if t.given != nil {
		t.given.short()
	}
	t.lacking()
	t.pastDates()
	first, last := stamp(t.Week, from), stamp(t.Week, to)
	t.Conflicts = slices.DeleteFunc(t.Conflicts, func(c Conflict) bool {
		began := func(e Entry) bool { return e.Begun >= first && e.Begun < last } // what begins on a day belongs to it to its end
		return c.At >= last && !slices.ContainsFunc(c.Entries, began) || c.Until < first
	})
	slices.SortStableFunc(t.Conflicts, func(a, b Conflict) int { return cmp.Compare(a.minute, b.minute) })
}

func (t *table) conflict(kind string, from, to int, entries []Entry, text string) {
	t.Conflicts = append(t.Conflicts, Conflict{Kind: kind, At: stamp(t.Week, from), Until: stamp(t.Week, to), Text: text,
		Entries: entries, minute: from})
}

// entry names a work by its step.
func (t *table) entry(i int) Entry {
	return t.entryAt(i, t.times[i])
}

// entryAt names a work that begins at a minute.
func (t *table) entryAt(i, minute int) Entry {
	w := &t.night.works[i]
	return Entry{t.Graph.Steps[w.step].Name, stamp(t.Week, minute), t.StepPos[w.step].String()}
}

// called is a work as it is said: "Tuesday's night kettle".
func (t *table) called(i int) string {
	w := &t.night.works[i]
	return t.OfDay(w.day, t.Graph.Steps[w.step].Name)
}

// calledAt is a work in a sentence that names a minute: in other languages than English without its day, where the minute says that.
func (t *table) calledAt(i, minute int) string {
	w := &t.night.works[i]
	return t.ofDayAt(w.day, t.Graph.Steps[w.step].Name, minute)
}

func (t *table) ofDayAt(day int, name string, minute int) string {
	if !t.voice().English() && day == dayOf(minute) {
		return name
	}
	return t.OfDay(day, name)
}

// clashing tells what cannot be in one vessel.
func (t *table) clashing(clashes []week.Clash) {
	for _, x := range clashes {
		kind, v := OneVessel, t.Vessels[x.Vessel]
		if x.Overfull {
			kind = Overfull
		}
		var entries []Entry
		for _, st := range x.Works {
			entries = append(entries, t.inVessel(st))
		}
		t.conflict(kind, x.From, x.To, append(entries, Entry{v.Name, "", v.Pos.String()}), t.clash(&x))
	}
}

// inVessel names a work in its vessel by its step.
func (t *table) inVessel(st week.Stay) Entry {
	return Entry{t.Graph.Steps[st.Step].Name, stamp(t.Week, st.From), t.StepPos[st.Step].String()}
}

// burning finds moments at which more burners are needed than there are.
func (t *table) burning(works []week.Stay) {
	if t.Kitchen.Burners == 0 {
		return
	}
	for k, st := range works {
		if t.Vessels[t.Steps[st.Step].Vessel].Burners == 0 {
			continue
		}
		need, until := 0, st.To
		var entries []Entry
		var names []string
		vessels := map[int]bool{}
		for _, o := range works[:k+1] {
			v := t.Steps[o.Step].Vessel
			if o.To <= st.From || vessels[v] || t.Vessels[v].Burners == 0 {
				continue
			}
			vessels[v] = true
			need, until = need+t.Vessels[v].Burners, min(until, o.To)
			entries, names = append(entries, t.inVessel(o)), append(names, t.ofDayAt(o.Day, t.Graph.Steps[o.Step].Name, st.From))
		}
		if need > t.Kitchen.Burners {
			say := t.voice().Say
			there := say("there are %[1]s", fmt.Sprint(t.Kitchen.Burners))
			if t.Kitchen.Burners == 1 {
				there = say("there is 1")
			}
			t.conflict(Burners, st.From, until, entries, say("%[1]s burners are needed at %[2]s, but %[3]s: for %[4]s", fmt.Sprint(need), t.Moment(st.From),
				there, t.voice().List(names)))
		}
	}
}

// tight finds work without a set time whose inputs come too late for when what it gives is needed.
func (t *table) tight() {
	early := t.early
	if t.given != nil {
		early, _ = t.night.earliest(t.night.takingOut)
	}
	for i, w := range t.night.works {
		if w.fixed || w.kind == plate {
			continue
		}
		needed, by := noEnd, -1
		for _, k := range w.to {
			if e := t.night.edges[k]; t.due[e.to]+e.in-e.out < needed {
				needed, by = t.due[e.to]+e.in-e.out, k
			}
		}
		if by < 0 || early[i] <= needed {
			continue
		}
		e := t.night.edges[by]
		say, day := t.voice().Say, dayOf(early[i])
		what, late := t.Graph.Items[e.item].Name, t.voice().Lasts(early[i]-needed)
		text := say("%[1]s can't start before %[2]s, when all it takes is ready; %[3]s is needed at %[4]s: %[5]s too late",
			t.calledAt(i, early[i]), t.Moment(early[i]), what, t.Moment(needed+e.out), late)
		if dayOf(needed+e.out) == day {
			text = say("%[1]s can't start before %[2]s, when all it takes is ready; %[3]s is needed at %[4]s that day: %[5]s too late",
				t.calledAt(i, early[i]), t.Moment(early[i]), what, measure.FormatClock(needed+e.out-1440*day), late)
		}
		t.conflict(TooTight, early[i], early[i]+e.out, []Entry{t.entryAt(i, t.due[i])}, text)
		c := &t.Conflicts[len(t.Conflicts)-1]
		c.Short, c.works, c.arrives = early[i]-needed, []int{i}, true
	}
}

// lacking finds batches that are smaller than they are written.
func (t *table) lacking() {
	for r, ran := range t.night.outcome.Ran {
		run := t.night.schedule.Batches[r]
		if run.Day >= t.Days || run.Lost >= 1 || ran.Batches >= run.Size*(1-1e-6) || ran.Start >= t.Case.Schedule.Ends() {
			continue
		}
		name := t.Graph.Steps[run.Step].Name
		of := ""
		if ran.Limit >= 0 {
			of = t.Graph.Items[ran.Limit].Name
		}
		t.conflict(Lacking, ran.Start, ran.Start, []Entry{{name, stamp(t.Week, ran.Start), t.StepPos[run.Step].String()}},
			t.lacks(run.Day, name, of, ran.Batches, run.Size))
		t.Conflicts[len(t.Conflicts)-1].Lacks = of
	}
}

// pastDates finds what is used after its last day: from when it is there until the last of it is used, so that it is read before it is made.
func (t *table) pastDates() {
	for _, x := range t.PastDates(t.night.schedule, t.night.record) {
		from, to := max(x.Came, t.night.schedule.From), x.To
		entries := []Entry{}
		if x.Step >= 0 {
			entries = append(entries, Entry{t.Graph.Steps[x.Step].Name, stamp(t.Week, x.Came), t.StepPos[x.Step].String()})
		}
		t.conflict(PastDate, min(from, to), to, entries, pastDate(t.voice(), t.Week, &x))
	}
}

// pastDate says what is used after its last day, as [week.Week.CantBe] does.
func pastDate(v tongue.Voice, w *week.Week, x *week.PastDate) string {
	names, list := w.Takers(x), ""
	if list = measure.FormatList(names); !v.English() {
		list = v.List(names)
	}
	day := func(d int) string { return v.Day(w.Date(d)) }
	return v.Say(week.PastDateSaid, w.Graph.Items[x.Item].Name, day(x.Made), day(x.Last), v.Amount(w.TooLate(x)), day(week.DayAt(x.From)), list)
}
