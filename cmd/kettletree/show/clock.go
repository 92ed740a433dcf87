package show

// The timetable: what can't be, what is late or how late things may be, and the list of what to do.

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// Clock lays a timetable out.
func Clock(p Page, a *clock.Timetable) string {
	var b strings.Builder
	b.WriteString(p.text(0, clockAnswer(a)))
	b.WriteString(without(p, a.Without))
	if len(a.Overdue) > 0 {
		b.WriteString("\n" + overdue(p, a))
	}
	for _, part := range []string{lateness(p, a), latest(p, a), clockConflicts(p, a)} {
		if part != "" {
			b.WriteString("\n" + part)
		}
	}
	if len(a.Rows) > 0 {
		b.WriteString("\n" + clockRows(p, a))
	}
	heat := slices.ContainsFunc(a.Rows, func(r clock.Row) bool { return len(r.Heat) > 0 || len(r.Limits) > 0 })
	if len(a.Cautions) > 0 || heat {
		b.WriteString("\n")
		for _, c := range a.Cautions {
			b.WriteString(p.text(0, "Caution: "+c+"."))
		}
		if heat {
			if text := CookText(p.Voice, a); text != "" {
				b.WriteString(p.text(0, text))
			}
			b.WriteString(p.text(0, a.Code+". "+kitchen.Caution))
		}
	}
	return b.String() + notes(p, a.Notes)
}

// heading says what a timetable is of.
func heading(a *clock.Timetable) string {
	switch {
	case a.Ready != nil:
		return "ready for " + a.Ready.Name
	case a.On != nil:
		return weekday(*a.On)
	case a.Days == 1:
		return weekday(a.From)
	}
	return weekday(a.From) + " to " + weekday(date(a, a.Days-1))
}

func clockAnswer(a *clock.Timetable) string {
	var text string
	switch {
	case len(a.Rows) == 0:
		text = capital(heading(a)) + ": nothing to do."
	case a.Ready != nil:
		text = fmt.Sprintf("To be ready for %s at %s without shorting an earlier service, start no later than this.",
			a.Ready.Name, clockOf(a.Ready.Begins))
	case len(a.Lit) > 0 && len(a.Late) == 0 && len(a.Short) == 0:
		text = "With " + lit(a.Lit) + ", nothing is late."
	case len(a.Lit) > 0:
		text = "With " + lit(a.Lit) + ", this is too late:"
	default:
		text = capital(heading(a)) + ": what to do, in order."
	}
	if n := len(a.Overdue); n > 0 {
		text += " " + plural(n, "batch is", "batches are") + " overdue in the log book."
	}
	if n := len(a.Conflicts); n > 0 {
		text += " " + plural(n, "conflict", "conflicts") + ", listed below."
	}
	return text
}

// overdue lists what nobody wrote down, and how the first of it is.
func overdue(p Page, a *clock.Timetable) string {
	t := table{columns: words("OVERDUE", "counts as planned", "log")}
	for i := range a.Overdue {
		o := &a.Overdue[i]
		t.add(named(o), countsOf(o), choices(o))
	}
	return t.on(p) + p.text(0, "Log what became of each, such as: "+toLog(&a.Overdue[0].Log[0]))
}

// named is an overdue batch by its name.
func named(o *clock.Overdue) string { return o.Step + " of " + weekday(o.Day) }

// countsOf is what counts as planned of an overdue batch: "lit 22:30, in and out until Wed 25 Nov 07:30".
func countsOf(o *clock.Overdue) string {
	var texts []string
	day := o.Day
	at := func(r *clock.Row) string {
		if r.At[:10] == day {
			return clockOf(r.At)
		}
		day = r.At[:10]
		return whenOf(r.At)
	}
	for i := range o.Counts {
		r := &o.Counts[i]
		switch {
		case r.Do == clock.Start:
			texts = append(texts, "lit "+at(r))
		case i == 1 && len(o.Counts) > 2 && o.Counts[0].Do == clock.Start:
			return texts[0] + ", in and out until " + at(&o.Counts[len(o.Counts)-1])
		case r.Do == clock.PutIn:
			texts = append(texts, parts(r.In)+" in "+at(r))
		case r.Do == clock.TakeOut:
			texts = append(texts, parts(r.Out)+" out "+at(r))
		default: // the file says no time
			texts = append(texts, parts(r.Out)+" made")
		}
	}
	return strings.Join(texts, ", ")
}

// choices are what can be written of an overdue batch: "cooked, skipped or lost".
func choices(o *clock.Overdue) string {
	var whats []string
	for _, l := range o.Log {
		if !slices.Contains(whats, l.What) {
			whats = append(whats, l.What)
		}
	}
	if n := len(whats) - 1; n > 0 {
		return strings.Join(whats[:n], ", ") + " or " + whats[n]
	}
	return strings.Join(whats, "")
}

// toLog is how an entry is written down.
func toLog(l *clock.ToLog) string {
	if l.At == nil {
		return "kettletree log " + l.Text
	}
	return fmt.Sprintf("kettletree log --at %q %s", strings.Replace(*l.At, "T", " ", 1), l.Text)
}

// lit puts beginnings such as "night kettle@tue=00:40" into words: "Tuesday's night kettle started at 00:40".
func lit(all []string) string {
	said := make([]string, len(all))
	for n, text := range all {
		at := strings.LastIndex(text, "=")
		step, day, _ := strings.Cut(text[:at], "@")
		said[n] = batchOf(strings.TrimSpace(step), strings.TrimSpace(day)) + " started at " + pastMidnight(strings.TrimSpace(text[at+1:]))
	}
	return list(said)
}

// lateness lists what comes too late, and who goes short.
func lateness(p Page, a *clock.Timetable) string {
	late := table{columns: slices.Concat(words("too late"), numbers("late by"), words("comes", "for"))}
	for _, l := range a.Late {
		late.add(l.Item, measure.FormatDuration(l.By), whenOf(l.Comes), l.For+", "+clockOf(l.Needed))
		text := "of " + l.Step
		if len(l.Dishes) > 0 {
			text += ": " + strings.Join(l.Dishes, ", ")
		}
		late.remark(text)
	}
	b := late.on(p)
	short := table{columns: slices.Concat(words("goes short"), numbers("sells", "before"), words("runs out"))}
	group := ""
	for _, s := range a.Short {
		if s.Service.Name != group {
			group = s.Service.Name
			short.heading(capital(group))
		}
		out := ""
		if s.RunsOut != nil {
			out = "at " + *s.RunsOut
		}
		short.add(s.Dish, count(s.After), count(s.Before), out)
		if len(s.Because) > 0 {
			short.remark(chain(s.Because))
		}
	}
	if len(a.Short) > 0 {
		b += "\n" + short.on(p)
	}
	for _, s := range a.Instead {
		b += p.text(0, capital(swapText(ask.Swap(s)))+".")
	}
	return b
}

// latest lists how late each step may begin.
func latest(p Page, a *clock.Timetable) string {
	t := table{columns: slices.Concat(words("latest", "step"), numbers("planned", "to spare"))}
	day := ""
	for _, l := range a.Latest {
		if d := l.At[:10]; d != day {
			day = d
			t.heading(weekday(day))
		}
		name, planned, spare := l.Step, "", ""
		if l.Batches > 1 && l.Planned != nil {
			name += " (" + measure.FormatNumber(l.Batches) + " batches)"
		}
		if l.Planned != nil {
			planned, spare = clockOf(*l.Planned), measure.FormatDuration(max(l.Spare, 0))
			if (*l.Planned)[:10] != day {
				planned = whenOf(*l.Planned)
			}
			if l.Spare < 0 {
				spare = "TOO LATE BY " + measure.FormatDuration(-l.Spare)
			}
		}
		because := "for " + l.Because
		if l.Alone != nil {
			because += "; " + a.Ready.Name + " alone could wait until " + whenOf(*l.Alone)
		}
		if l.Nobody {
			because += "; nobody is there to begin it at " + whenOf(l.At)
		}
		t.add(clockOf(l.At), name, planned, spare)
		t.remark(because)
	}
	return t.on(p)
}

func clockConflicts(p Page, a *clock.Timetable) string {
	var b strings.Builder
	for _, c := range a.Conflicts {
		var places []string
		for _, e := range c.Entries {
			if place := e.Name + " " + e.Place; !slices.Contains(places, place) {
				places = append(places, place)
			}
		}
		b.WriteString(p.text(0, "CONFLICT ("+c.Kind+"): "+c.Text+"."))
		b.WriteString(p.text(2, strings.Join(places, ", ")))
	}
	return b.String()
}

// clockRows is the list of what to do.
func clockRows(p Page, a *clock.Timetable) string {
	t := table{columns: words("at", "do", "where", "for")}
	day := ""
	for i := range a.Rows {
		r := &a.Rows[i]
		if a.Ready != nil && r.Do == clock.Make {
			continue // it stands among the latest starts
		}
		if d := r.At[:10]; d != day {
			day = d
			t.heading(weekday(day))
		}
		at, where := at(r), r.Station
		if r.Vessel != "" && r.Vessel != r.Station {
			where += ", " + r.Vessel
		}
		if who := Who(r); who != "" {
			where = who + "; " + where
		}
		whom := forWhom(r)
		if r.Entry > 0 {
			whom = fmt.Sprintf("done, entry %d", r.Entry)
		}
		t.add(at, doing(r), where, whom)
		if text := howMuch(r); text != "" {
			t.remark(text)
		}
		for _, text := range StoveText(p.Voice, p.Voice.Trade, r) {
			t.remark(capital(text))
		}
		if text := HeatText(p.Voice, r, true); text != "" {
			t.remark(text)
		}
	}
	return t.on(p)
}

// at is when a row is to be done: at a time, or by one, where nothing says how long it takes.
func at(r *clock.Row) string {
	if byThen(r) {
		return "by " + clockOf(r.At)
	}
	return clockOf(r.At)
}

// byThen says that a row names the time by which it is to be done.
func byThen(r *clock.Row) bool { return atThePass(r) || r.Unsaid != "" && r.Latest }

// Who is who does it: "night cook", "night cook and porter", "night cook, then day cook".
func Who(r *clock.Row) string {
	switch {
	case len(r.Who) > r.People && r.People == 1:
		return strings.Join(r.Who, ", then ")
	case len(r.Who) > r.People:
		return strings.Join(r.Who, ", ")
	}
	return list(r.Who)
}

// lasts is how long a row keeps hands busy: "25 min", "about 25 min" as a guess, "5 min an hour until 07:30".
func lasts(r *clock.Row) string {
	if r.Minutes == 0 || r.Guessed && len(r.Who) == 0 && r.Do != clock.Make { // nothing rests on it
		return ""
	}
	text := measure.FormatDuration(r.Minutes)
	if r.Guessed {
		text = "about " + text
	}
	if r.Hourly {
		text += " an hour until " + clockOf(r.By)
	}
	if r.People > 1 {
		text += fmt.Sprintf(" with %d people", r.People)
	}
	return text
}

// acting is what an act is: "pull 7.9 kg pulled hen (night kettle)", "skim (night kettle)".
func acting(r *clock.Row) string {
	text := r.Act
	if r.Cold {
		return text + ", once cold: " + parts(r.Of) + " (" + step(r) + ")"
	}
	if len(r.Of) > 0 {
		text += " " + parts(r.Of)
	} else if r.Act == kitchen.WashAct && r.Vessel != "" {
		return text + " the " + r.Vessel
	}
	return text + " (" + step(r) + ")"
}

// colder is a limit on cooling: "21 °C (70 °F) or colder".
func colder(c clock.CoolBy) string { return both(c.To, c.Scale) + " or colder" }

// limits are those on cooling of a row: "21 °C (70 °F) by 09:30; 5 °C (41 °F) by 13:30 (US FDA Food Code 2022, 3-501.14(A))".
func limits(r *clock.Row) string {
	var texts []string
	for _, c := range r.Limits {
		texts = append(texts, both(c.To, c.Scale)+" by "+(*c.By)[11:])
	}
	if len(texts) == 0 {
		return ""
	}
	return strings.Join(texts, "; ") + " (" + r.Limits[0].Section + ")"
}

// step is the step of a row, with the day on which its batch began where that is another.
func step(r *clock.Row) string {
	if r.Day == "" || r.Day == r.At[:10] {
		return r.Step
	}
	return r.Step + " of " + weekday(r.Day)
}

// done is what was done in words.
func done(r *clock.Row) string {
	switch r.Do {
	case clock.Start:
		text := "lit " + step(r)
		if r.Batches > 1 {
			text += ", " + measure.FormatNumber(r.Batches) + " batches"
		}
		return text
	case clock.PutIn:
		return "put in " + parts(r.In) + " (" + step(r) + ")"
	case clock.TakeOut:
		return "took out " + parts(r.Out) + " (" + step(r) + ")"
	case clock.Make:
		return "cooked " + step(r)
	case clock.Lost:
		if r.Share < 1 {
			return "lost " + kitchen.FormatPercent(r.Share) + " of " + step(r)
		}
		return "lost " + step(r)
	case clock.Skipped:
		return "skipped " + step(r)
	}
	return step(r) + " is all out"
}

// doing is what to do in words.
func doing(r *clock.Row) string {
	if r.Entry > 0 {
		return done(r)
	}
	switch r.Do {
	case clock.Start:
		text := "START " + r.Step
		if r.Batches > 1 && !r.Latest {
			text += ", " + measure.FormatNumber(r.Batches) + " batches"
		}
		if r.Phase != "" {
			text += ", " + r.Phase
		}
		return text
	case clock.PutIn:
		return "PUT IN " + parts(r.In) + " (" + step(r) + ")"
	case clock.TakeOut:
		if len(r.Out) == 0 {
			return "END " + step(r)
		}
		return "TAKE OUT " + parts(r.Out) + " (" + step(r) + ")"
	case clock.Turn:
		return step(r) + ": " + r.Phase
	case clock.Serve:
		return "SERVE " + r.Step
	case clock.Work:
		return acting(r)
	case clock.Read:
		if by := *r.Limits[0].By; r.Overdue {
			if by[:10] == r.At[:10] {
				by = by[11:]
			} else {
				by = WhenOf(strings.Replace(by, " ", "T", 1))
			}
			return "READ NOW " + parts(r.Of) + ": it had to be " + colder(r.Limits[0]) + " by " + by + ", and no reading tells"
		}
		return "READ " + parts(r.Of) + ": " + colder(r.Limits[0]) + " by now"
	case clock.Make:
		if r.Needed {
			return "make " + parts(r.Out)
		}
	}
	return r.Step
}

// forWhom is who rests on a row: "red pozole, white pozole, 3 more; first Wed 25 Nov lunch".
func forWhom(r *clock.Row) string {
	text := strings.Join(r.For, ", ")
	if r.More > 0 {
		text += fmt.Sprintf(", %d more", r.More)
	}
	if r.First != "" {
		text += "; " + r.First
	}
	return text
}

// howMuch is what goes in and out, and how full the vessel stands.
func howMuch(r *clock.Row) string {
	var texts []string
	switch {
	case r.Do == clock.Serve:
		var dishes []string
		for _, x := range r.Out {
			dishes = append(dishes, measure.FormatNumber(x.Amount)+" "+x.Item)
		}
		return strings.Join(dishes, ", ")
	case r.Do == clock.PutIn || r.Do == clock.TakeOut: // what to do says it
	case r.Do == clock.Make && r.Needed:
		texts = append(texts, r.Step+": "+parts(r.In))
	case len(r.In) > 0 && len(r.Out) > 0:
		texts = append(texts, "in: "+parts(r.In), "out: "+parts(r.Out))
	case len(r.In)+len(r.Out) > 0:
		texts = append(texts, parts(slices.Concat(r.In, r.Out)))
	}
	if r.Do == clock.Work && len(r.Limits) > 0 {
		texts = append(texts, limits(r))
	}
	if r.Until != "" {
		texts = append(texts, "enough until "+r.Until)
	}
	if r.Card != "" && !r.Overdue {
		texts = append(texts, "the card says "+clockOf(r.Card))
	}
	if r.TooLate != "" {
		texts = append(texts, "too late for "+r.TooLate)
	}
	if lasts := lasts(r); lasts != "" {
		texts = append(texts, lasts)
	}
	if r.Unsaid != "" {
		texts = append(texts, r.Unsaid)
	}
	if r.Latest && r.By != r.At && r.By != "" {
		texts = append(texts, "done by "+clockOf(r.By))
	}
	if r.Earliest != nil {
		texts = append(texts, "all ready from "+whenOf(*r.Earliest))
	}
	if r.Litres != nil && !r.Ends {
		texts = append(texts, "then about "+measure.FormatNumber(math.Round(r.InPot.Amount))+" "+r.InPot.Unit.Name+" in the "+r.Vessel)
	}
	if r.Ends && r.Vessel != "" {
		texts = append(texts, "then "+r.Vessel+" free")
	}
	return strings.Join(texts, "; ")
}

// ClockSheet has a row for each item of each row; then, where they were asked for, the latest starts and what is late;
// then the conflicts.
func ClockSheet(a *clock.Timetable) (s Sheet) {
	s.add("row", "at", "latest", "earliest", "station", "vessel", "step", "begun", "day", "do", "phase", "batches", "way",
		"item", "amount", "unit", "lot",
		"litres", "ends", "for", "first", "entry", "text", "heat", "by", "who", "act", "minutes", "guessed", "card_at")
	for i := range a.Overdue {
		o := &a.Overdue[i]
		var texts []string
		for _, l := range o.Log {
			texts = append(texts, l.Text)
		}
		s.add("overdue", o.Counts[0].At, "", "", o.Counts[0].Station, o.Counts[0].Vessel, o.Step, o.Counts[0].Begun, o.Day, "log", "", o.Batches, "",
			"", "", "", "", "", "", "", "", "", strings.Join(texts, "; "), "", "", "", "", "", "", "")
	}
	for i := range a.Rows {
		r := &a.Rows[i]
		kind, entry := "do", ""
		if r.Entry > 0 {
			kind, entry = "done", strconv.FormatInt(r.Entry, 10)
		}
		line := func(way, item string, amount any, unit, lot string) {
			s.add(kind, r.At, r.Latest, r.Earliest, r.Station, r.Vessel, r.Step, r.Begun, r.Day, r.Do, r.Phase, r.Batches, way, item,
				amount, unit, lot, r.Litres,
				r.Ends, strings.Join(r.For, ", "), r.First, entry, limits(r), HeatText(tongue.Voice{}, r, false), r.By, strings.Join(r.Who, ", "), r.Act, r.Minutes,
				r.Guessed, r.Card)
		}
		for _, x := range r.In {
			line("in", x.Item, x.Amount, x.Unit, x.Lot)
		}
		for _, x := range r.Out {
			line("out", x.Item, x.Amount, x.Unit, x.Lot)
		}
		for _, x := range r.Of {
			line("of", x.Item, x.Amount, x.Unit, x.Lot)
		}
		if len(r.In)+len(r.Out)+len(r.Of) == 0 {
			line("", "", "", "", "")
		}
	}
	other := func(kind, at, vessel, step, item, whom, text string) {
		s.add(kind, at, "", "", "", vessel, step, "", "", "", "", "", "", item, "", "", "", "", "", whom, "", "", text, "", "", "", "", "", "", "")
	}
	for _, l := range a.Latest {
		other("latest", l.At, l.Vessel, l.Step, "", "", l.Because)
	}
	for _, l := range a.Late {
		other("late", l.Comes, "", l.Step, l.Item, l.For, fmt.Sprintf("needed at %s, late by %s", l.Needed,
			measure.FormatDuration(l.By)))
	}
	for _, x := range a.Short {
		other("short", x.Service.Begins, "", "", x.Dish, x.Service.Name, fmt.Sprintf("sells %d, before %d", x.After,
			x.Before))
	}
	for _, c := range a.Conflicts {
		var places []string
		for _, e := range c.Entries {
			places = append(places, e.Name+" "+e.Place)
		}
		other("conflict", c.At, "", "", "", strings.Join(places, ", "), c.Kind+": "+c.Text)
	}
	return s
}
