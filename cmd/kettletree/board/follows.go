package board

// What follows from changes that a URL asks about, and what of it can be written down.

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
	"kettletree/menu/week"
)

// Follows is the answer to the changes in a URL.
type Follows struct {
	*ask.Consequences
	Says    string      // in a sentence
	Changed []dishesAt  // dishes that sell more or less than before, by service
	Changes []urlChange // what was asked
	Writes  []string    // the entries of the log book that say that it happened; nil when some change is none
	Written bool        // a loss that is asked about stands in the log book already
}

// urlChange is a change in the URL.
type urlChange struct {
	Kind, Text string
	Words      string // "Tuesday's night kettle is lost"
}

// Asked are changes as they are said, one after another.
func (s *speaker) Asked(changes []urlChange) string {
	var all []string
	for _, c := range changes {
		all = append(all, s.Phrase(c.Words))
	}
	return strings.Join(all, s.T("; "))
}

// inWords is a change as it is said.
func (a *asked) inWords(kind, text string) string {
	subject, change, changed := cutLast(text, "=")
	name, when, dated := strings.Cut(subject, "@")
	at, of := "", name
	if dated {
		day, service, _ := strings.Cut(when, " ")
		if d, one := a.dayOf(name, day); one {
			at, of = a.Week.DayName(d), a.Week.OfDay(d, name)
		} else {
			at, of = when, name+" of "+when
		}
		at = strings.TrimSpace(", " + at + " " + service)
	}
	switch {
	case kind == "lose" && a.waits(text) != "":
		return a.waits(text)
	case kind == "lose" && changed:
		return change + " of " + of + " is lost"
	case kind == "lose":
		return of + " is lost"
	case kind == "strike" && dated:
		return name + at + ", is 86'd"
	case kind == "strike":
		return name + " is 86'd"
	case kind == "short" && changed:
		return change + " less " + name + at
	case kind == "spoil":
		return name + at + " spoils"
	case kind == "price":
		return name + " at " + change
	case kind == "late" && strings.Contains(change, ":"):
		return of + " starts at " + change
	case kind == "late":
		return of + " is " + change + " late"
	case kind == "sells":
		return change + " " + name + at + " ordered"
	}
	return kind + " " + text
}

// cutLast cuts a text at the last of what parts it.
func cutLast(text, sep string) (before, after string, found bool) {
	if at := strings.LastIndex(text, sep); at >= 0 {
		return text[:at], text[at+len(sep):], true
	}
	return text, "", false
}

// dishesAt are the dishes of one service that change.
type dishesAt struct {
	Head   string
	Dishes []ask.DishAt
}

// Follow asks what follows from changes: of a loss that is written down already, what it costs, as [rescued] has it, and not that it
// costs nothing more.
func (a *asked) Follow(ctx context.Context, shocks []week.Shock) (*Follows, error) {
	if len(shocks) == 0 {
		return a.asItStands(ctx)
	}
	then, shocks, err := a.unwritten(ctx, shocks)
	if err != nil {
		return nil, err
	}
	return then.follow(ctx, shocks)
}

// unwritten asks of the week in which the losses among the changes are not written down.
func (a *asked) unwritten(ctx context.Context, shocks []week.Shock) (*asked, []week.Shock, error) {
	w, shocks, err := a.beforeLosses(ctx, shocks)
	if err != nil || w == a.Week {
		return a, shocks, err
	}
	then, opened := *a, *a.Opened
	then.Opened, opened.Week = &opened, w
	return &then, shocks, nil
}

func (a *asked) follow(ctx context.Context, shocks []week.Shock) (*Follows, error) {
	answer, err := ask.WhatIf(ctx, a.Week, shocks)
	if err != nil {
		return nil, err
	}
	if err := answer.Refuse(ctx, a.Week); err != nil {
		return nil, err
	}
	f := &Follows{Consequences: answer, Says: show.WhatIfAnswer(answer)}
	for _, d := range answer.Dishes {
		if d.After == d.Before {
			continue
		}
		head := show.Weekday(d.Date) + ", " + d.Service
		if n := len(f.Changed); n == 0 || f.Changed[n-1].Head != head {
			f.Changed = append(f.Changed, dishesAt{Head: head})
		}
		at := &f.Changed[len(f.Changed)-1]
		at.Dishes = append(at.Dishes, d)
	}
	var unwritten []urlChange
	for _, s := range shocks {
		c := urlChange{s.Kind, s.Text, a.inWords(s.Kind, s.Text)}
		if f.Changes = append(f.Changes, c); s.Written != 0 {
			f.Written = true
		} else {
			unwritten = append(unwritten, c)
		}
	}
	f.Writes = a.writes(unwritten)
	return f, nil
}

// waits says of a batch, as in ?lose=, that it could not begin; "" where it did, or may.
func (a *asked) waits(text string) string {
	for _, h := range a.Week.Missed() {
		if h.What == week.Waits && batch(a.Week, h.Step, a.Week.DayOf(&h)).Value == text {
			return ask.Became(a.Week, &h)
		}
	}
	return ""
}

// writes are the entries that write changes down: a dish struck off on a day, a batch of a day lost, all of it or a share.
// Other changes are only asked about.
func (a *asked) writes(changes []urlChange) (entries []string) {
	for _, c := range changes {
		subject, when, ok := strings.Cut(c.Text, "@")
		when, share, part := strings.Cut(when, "=")
		day, service, _ := strings.Cut(when, " ")
		at, one := a.dayOf(subject, day)
		if !ok || !one {
			return nil
		}
		date := a.Week.Date(at).Format(time.DateOnly)
		switch {
		case c.Kind == "strike" && !part:
			entries = append(entries, strings.TrimSpace("struck "+subject+" at "+date+" "+service))
		case c.Kind == "lose" && part:
			entries = append(entries, "lost "+share+" of "+subject+" of "+date)
		case c.Kind == "lose":
			entries = append(entries, "lost "+subject+" of "+date)
		default:
			return nil
		}
	}
	return entries
}

// dayOf is the one day that a change to something names: one on which a pot of it was lit before the week, or a day of
// the week.
func (a *asked) dayOf(subject, text string) (day int, one bool) {
	for _, pot := range a.Week.Case.Schedule.Pots {
		if a.Week.Graph.Steps[pot.Step].Name == subject && a.Week.Means(text, pot.Day) {
			return pot.Day, true
		}
	}
	for _, h := range a.Week.Missed() {
		if d := a.Week.DayOf(&h); a.Week.Graph.Steps[h.Step].Name == subject && a.Week.Means(text, d) {
			return d, true
		}
	}
	days, err := a.Week.DaysNamed(text)
	if err != nil || len(days) != 1 {
		return 0, false
	}
	return days[0], true
}

// Change is a difference of money with its sign: "-149.82 USD".
func (f *Follows) Change(m money) string {
	return m.Change(m.Units(f.Totals.ContributionAfter) - m.Units(f.Totals.ContributionBefore))
}

// Portions is the difference in portions, with its sign.
func (f *Follows) Portions() string {
	return fmt.Sprintf("%+d", f.Totals.PortionsAfter-f.Totals.PortionsBefore)
}

// offCard is what is off its card, as a page tells it.
type offCard []ask.Departure

// Loud are those that bring allergens, or of which the file does not state them all.
func (o offCard) Loud() []ask.Departure {
	return slices.DeleteFunc(slices.Clone(o), func(d ask.Departure) bool { return !d.Alarms() })
}

// Quiet are the others, for all that the file states.
func (o offCard) Quiet() []ask.Departure {
	return slices.DeleteFunc(slices.Clone(o), ask.Departure.Alarms)
}

// OffCard is what is off its card by what is asked.
func (f *Follows) OffCard() offCard { return f.Departures }
