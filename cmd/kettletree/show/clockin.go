package show

// The timetable in another language than English: the sentences of the sheets, in one list.

import (
	"fmt"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
)

// ClockIn lays a timetable out in the language of the page, with the file's words in it.
func ClockIn(k *kitchen.Kitchen) func(Page, *clock.Timetable) string {
	return func(p Page, a *clock.Timetable) string {
		if p.Voice.English() {
			return Clock(p, a)
		}
		return sheetWords{Page: p, kitchen: k}.timetable(a)
	}
}

// timetable is the answer, what cannot be, what comes too late or how late all may be, and the list.
func (s sheetWords) timetable(a *clock.Timetable) string {
	say := s.Voice.Say
	var b strings.Builder
	b.WriteString(s.text(0, s.clockAnswer(a)))
	for _, m := range a.Without {
		b.WriteString(s.text(0, capital(say("%[1]s goes without %[2]s", m.In, s.part(clock.Part{Item: m.Item, Amount: m.Amount, Unit: m.Unit, Many: m.Many})))+say(".")))
	}
	if len(a.Overdue) > 0 {
		b.WriteString("\n" + say("Not logged yet") + "\n")
	}
	for i := range a.Overdue {
		o := &a.Overdue[i]
		b.WriteString(s.text(2, say("%[1]s (%[2]s)", o.Step, s.labelDay(o.Day))))
	}
	for _, part := range []string{s.lateness(a), s.latest(a)} {
		if part != "" {
			b.WriteString("\n" + part)
		}
	}
	if len(a.Conflicts) > 0 {
		b.WriteString("\n")
	}
	for _, c := range a.Conflicts {
		b.WriteString(s.text(0, say("CONFLICT: %[1]s.", c.Text)))
	}
	if len(a.Rows) > 0 {
		b.WriteString("\n" + s.rows(a))
	}
	b.WriteString("\n")
	for _, c := range a.Cautions {
		b.WriteString(s.text(0, say("CAUTION: %[1]s", s.Voice.Word(c))))
	}
	if text := CookText(s.Voice, a); text != "" {
		b.WriteString(s.text(0, text))
	}
	b.WriteString(s.text(0, s.Voice.Sentences(a.Code+say("."), say(kitchen.Caution))))
	return b.String() + notes(s.Page, a.Notes) + s.unreviewed()
}

// days are those of a timetable: "mar 24 nov", "de mar 24 nov a dom 29 nov".
func (s sheetWords) days(a *clock.Timetable) string {
	switch {
	case a.Ready != nil:
		return a.Ready.Name
	case a.On != nil:
		return s.labelDay(*a.On)
	case a.Days == 1:
		return s.labelDay(a.From)
	}
	return s.Voice.Say("%[1]s to %[2]s", s.labelDay(a.From), s.labelDay(date(a, a.Days-1)))
}

func (s sheetWords) clockAnswer(a *clock.Timetable) string {
	say := s.Voice.Say
	var texts []string
	switch lit := s.Voice.List(a.Lit); {
	case len(a.Rows) == 0:
		texts = append(texts, capital(say("%[1]s: nothing to do.", s.days(a))))
	case a.Ready != nil:
		texts = append(texts, say("To be ready for %[1]s at %[2]s without shorting an earlier service, start no later than this.", a.Ready.Name, clockOf(a.Ready.Begins)))
	case len(a.Lit) > 0 && len(a.Late) == 0 && len(a.Short) == 0:
		texts = append(texts, say("With %[1]s, nothing is late.", lit))
	case len(a.Lit) > 0:
		texts = append(texts, say("With %[1]s, this is too late:", lit))
	default:
		texts = append(texts, capital(say("%[1]s: what to do, in order.", s.days(a))))
	}
	counted := func(n int, one, many string) {
		switch n {
		case 0:
		case 1:
			texts = append(texts, s.Voice.Word(one))
		default:
			texts = append(texts, say(many, fmt.Sprint(n)))
		}
	}
	counted(len(a.Overdue), "1 batch is overdue in the log book.", "%[1]s batches are overdue in the log book.")
	counted(len(a.Conflicts), "1 conflict, listed below.", "%[1]s conflicts, listed below.")
	return s.Voice.Sentences(texts...)
}

// when is a moment with its day: "mié 25 nov 07:30".
func (s sheetWords) when(moment string) string {
	day, err := time.Parse(time.DateOnly, moment[:10])
	if err != nil {
		return moment
	}
	return s.Voice.On(day, clockOf(moment))
}

// heads are the heads of columns.
func (s sheetWords) heads(english ...string) (said []string) {
	for _, e := range english {
		said = append(said, s.Voice.Word(e))
	}
	return said
}

// lateness lists what comes too late, who goes short, and what stands in.
func (s sheetWords) lateness(a *clock.Timetable) string {
	late := table{columns: words(s.heads("too late", "late by", "comes", "for")...)}
	for _, l := range a.Late {
		late.add(l.Item, s.Voice.Lasts(l.By), s.when(l.Comes), l.For+", "+clockOf(l.Needed))
		late.remark(s.Voice.List(append([]string{l.Step}, l.Dishes...)))
	}
	text := late.on(s.Page)
	short := table{columns: words(s.heads("goes short", "sells", "before", "runs out")...)}
	group := ""
	for _, x := range a.Short {
		if x.Service.Name != group {
			group = x.Service.Name
			short.heading(capital(group))
		}
		out := ""
		if x.RunsOut != nil {
			out = *x.RunsOut
		}
		short.add(x.Dish, count(x.After), count(x.Before), out)
	}
	if len(a.Short) > 0 {
		text += "\n" + short.on(s.Page)
	}
	for _, i := range a.Instead {
		says := []string{s.Voice.Say("%[1]s in place of %[2]s (%[3]s)", s.part(clock.Part{Item: i.Item, Amount: i.Amount, Unit: i.Unit}), i.For, i.In)}
		if stated := (kitchen.Stated{Has: i.Allergens, May: i.May, Unknown: i.Unstated}); len(i.Allergens)+len(i.May)+len(i.Unstated) > 0 {
			says = append(says, s.Voice.Say("BRINGS %[1]s", s.Voice.Stated(stated)))
		}
		text += s.text(0, capital(strings.Join(says, s.Voice.Say("; ")))+s.Voice.Say("."))
	}
	return text
}

// latest lists how late each step may begin.
func (s sheetWords) latest(a *clock.Timetable) string {
	say := s.Voice.Say
	t := table{columns: words(s.heads("latest", "step to start", "planned", "to spare")...)}
	day := ""
	for _, l := range a.Latest {
		if d := l.At[:10]; d != day {
			day = d
			t.heading(s.labelDay(day))
		}
		planned, spare := "", ""
		if l.Planned != nil {
			planned, spare = s.when(*l.Planned), s.Voice.Lasts(max(l.Spare, 0))
			if l.Spare < 0 {
				spare = say("TOO LATE BY %[1]s", s.Voice.Lasts(-l.Spare))
			}
		}
		t.add(clockOf(l.At), l.Step, planned, spare)
		because := []string{say("for %[1]s", l.Because)}
		if l.Alone != nil {
			because = append(because, say("%[1]s alone could wait until %[2]s", a.Ready.Name, s.when(*l.Alone)))
		}
		if l.Nobody {
			because = append(because, say("nobody is there to begin it at %[1]s", s.when(l.At)))
		}
		t.remark(strings.Join(because, say("; ")))
	}
	return t.on(s.Page)
}

// rows is the list of what to do.
func (s sheetWords) rows(a *clock.Timetable) string {
	t := table{columns: words(s.heads("at", "do", "where it is done", "for")...)}
	day := ""
	for i := range a.Rows {
		r := &a.Rows[i]
		if a.Ready != nil && r.Do == clock.Make {
			continue // it stands among the latest starts
		}
		if d := r.At[:10]; d != day {
			day = d
			t.heading(s.labelDay(day))
		}
		s.row(&t, r)
	}
	return t.on(s.Page)
}

// row adds what a row says to do, where and for whom, and below it how much and by whom.
func (s sheetWords) row(t *table, r *clock.Row) {
	say := s.Voice.Say
	s.brief = true // for whom stands in a column
	v := s.task(&clock.Sheet{Station: true, Day: r.At[:10]}, r)
	switch r.Do {
	case clock.Lost:
		v.What = say("lost %[1]s", r.Step)
	case clock.Skipped:
		v.What = say("skipped %[1]s", r.Step)
	case clock.AllOut:
		v.What = say("%[1]s is all out", r.Step)
	case clock.Serve:
		var dishes []string
		for _, x := range r.Out {
			dishes = append(dishes, say("%[1]s: %[2]s", x.Item, measure.FormatNumber(x.Amount)))
		}
		v.Amounts = s.Voice.List(dishes)
	}
	if r.Entry > 0 {
		v.What = say("Done: %[1]s (entry %[2]s)", v.What, fmt.Sprint(r.Entry))
	}
	where := s.word(r.Station)
	if r.Vessel != "" && r.Vessel != r.Station {
		where += say(", ") + r.Vessel
	}
	whom := r.For
	if r.More > 0 {
		whom = append(whom[:len(whom):len(whom)], say("and %[1]s more", count(r.More)))
	}
	list := s.Voice.List(whom)
	if r.First != "" {
		list = strings.TrimPrefix(list+say("; ")+say("first %[1]s", r.First), say("; "))
	}
	t.add(v.At, v.What, where, list)
	remarks := []string{}
	for _, text := range []string{v.Amounts, v.Note} {
		if text != "" {
			remarks = append(remarks, text)
		}
	}
	if len(remarks) > 0 {
		t.remark(strings.Join(remarks, say("; ")))
	}
}
