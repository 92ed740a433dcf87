package logbook

// Decisions: what was struck off, lost or offered, and the days that it changes.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

var decidedEnds = regexp.MustCompile(` +at `)

// struck reads DISH [at [DAY] [SERVICE]].
func (r *reader) struck() error {
	if err := r.dish(decidedEnds); err != nil {
		return err
	}
	return r.when()
}

// offered reads PORTIONS DISH at [DAY] SERVICE. The service may be left out where a kitchen has one.
func (r *reader) offered() error {
	if err := r.portions(); err != nil {
		return err
	}
	if err := r.dish(decidedEnds); err != nil {
		return err
	}
	if err := r.when(); err != nil {
		return err
	}
	if r.e.Service == "" && len(r.k.Services) == 1 {
		r.e.Service = r.k.Services[0].Name
	}
	if r.e.Service == "" {
		return r.fault(0, len(r.text), "write it as "+Form(r.k, Offered), "at which service?")
	}
	return nil
}

// when reads "at [DAY] [SERVICE]", or nothing.
func (r *reader) when() error {
	if !r.next("at ") {
		return nil
	}
	first, _, _ := strings.Cut(r.rest(), " ")
	if _, err := r.k.ServiceNamed(r.rest()); err != nil && kitchen.IsDay(first) {
		r.e.Day = first
		r.past(len(first))
	}
	if r.rest() == "" {
		return nil
	}
	service, err := r.k.ServiceNamed(r.rest())
	if err := r.moved("", err); err != nil {
		return err
	}
	r.e.Service = r.k.Services[service].Name
	return nil
}

// decides refuses to strike or offer a dish at a service that the day does not have.
func (e *Entry) decides(k *kitchen.Kitchen) error {
	if e.Kind != Struck && e.Kind != Offered || e.Day == "" && e.Service == "" {
		return nil
	}
	day := e.On(k)
	var names []string
	for _, m := range k.MealsOn(day) {
		names = append(names, k.Services[m.Service].Name)
	}
	switch {
	case len(names) == 0:
		return &EntryError{"the kitchen is closed on " + measure.FormatDay(day), "name another day: " + string(e.Kind) + " " + Form(k, e.Kind)}
	case e.Service != "" && !slices.Contains(names, e.Service):
		return &EntryError{fmt.Sprintf("there is no %s on %s", e.Service, measure.FormatDay(day)), "that day has " + measure.FormatList(names)}
	}
	return nil
}

// lost reads [SHARE% of] STEP [of DAY].
func (r *reader) lost() error {
	from := r.at
	r.e.Share = 1
	if n, rest, err := measure.Number(r.rest()); err == nil && strings.HasPrefix(rest, "%") {
		if n <= 0 || n > 100 {
			return r.fault(from, len(r.rest())-len(rest)+1, "write it as 40%, above 0% and up to 100%", "a batch can't lose that much")
		}
		r.e.Share = n / 100
		if r.past(len(r.rest()) - len(rest) + len("%")); !r.next("of ") {
			return r.fault(r.at, len(r.rest()), "write it as "+Form(r.k, Lost), "of which step?")
		}
	}
	return r.ofBatch()
}

// On is the day that a decision, or a batch, is about. A weekday is the next such day, the day of the entry counted; of a batch, the
// nearest one. Without a day it is that of the entry; of a batch that was lost, the day of the last that began by then,
// today or the day before, and where there was none, today.
func (e *Entry) On(k *kitchen.Kitchen) time.Time {
	if !e.Begins.IsZero() {
		return e.Begins
	}
	today := midnight(e.At)
	if !e.Kind.OfBatch() && e.Kind != Measured {
		today = k.DayAt(e.At) // a batch goes by the date
	}
	if date, err := time.Parse(time.DateOnly, e.Day); err == nil {
		return date
	}
	first := 0
	if e.Kind.OfBatch() {
		first = -3 // the nearest
	}
	if e.Kind == Measured {
		first = -6 // it is measured when it is out
	}
	for ahead := first; e.Day != "" && ahead < first+7; ahead++ {
		if day := today.AddDate(0, 0, ahead); kitchen.DayIs(day, e.Day) {
			return day
		}
	}
	if e.Kind != Lost {
		return today
	}
	step, err := k.FindStep(e.Step)
	if err != nil {
		return today
	}
	for _, day := range []time.Time{today, today.AddDate(0, 0, -1)} {
		if k.BatchesOn(step, day) > 0 && !day.Add(time.Duration(max(k.Steps[step].Starts, 0))*time.Minute).After(e.At) {
			return day
		}
	}
	return today
}

// Decisions is a week changed by what was decided about its days, or found out, up to a moment, and what that was in words. What
// is no longer in the kitchen file, or not in the week, is said too.
func (j *Book) Decisions(ctx context.Context, w *week.Week, asOf time.Time) (knowing *week.Week, made, odd []string, err error) {
	const ahead = 8 // days that a decision may lie before what it is about, unless a date is named
	list, err := j.standing(ctx, byMoment, between(time.Time{}, asOf, Struck, Lost, Offered))
	list = slices.DeleteFunc(list, func(e Entry) bool {
		_, err := time.Parse(time.DateOnly, e.Day)
		return err != nil && e.At.Before(w.From.AddDate(0, 0, -ahead))
	})
	if err != nil || len(list) == 0 {
		return w, nil, nil, err
	}
	var shocks []week.Shock
	for i := range list {
		e := &list[i]
		day := e.On(w.Kitchen)
		if day.Before(w.From) || !day.Before(w.From.AddDate(0, 0, w.Days)) {
			continue
		}
		date := day.Format(time.DateOnly)
		kind, text := "strike", e.Dish+"@"+strings.TrimSpace(date+" "+e.Service)
		switch e.Kind {
		case Lost:
			kind, text = "lose", fmt.Sprintf("%s@%s=%s%%", e.Step, date, measure.FormatNumber(100*e.Share))
		case Offered:
			kind, text = "sells", fmt.Sprintf("%s@%s %s=+%d", e.Dish, date, e.Service, e.Portions)
		}
		s, err := w.Shock(kind, text)
		if err != nil {
			odd = append(odd, fmt.Sprintf("entry %d, %s %s, changes nothing: %v", e.ID, e.Kind, e.Text, cmp.Or(errors.Unwrap(err), err)))
			continue
		}
		if e.Kind == Lost && e.Share >= 1 && beforeLit(w, e, day) {
			for n, c := range s.Changes {
				if lose, ok := c.(flow.Lose); ok {
					lose.Unlit = true
					s.Changes[n] = lose
				}
			}
		}
		shocks = append(shocks, s)
		made = append(made, fmt.Sprintf("%s %s", e.Kind, e.Text))
	}
	return w.Knowing(shocks), made, odd, nil
}

// beforeLit tells whether a loss was written before the batches that it is about begin: nobody lights them. One without a clock begins
// some time in its day.
func beforeLit(w *week.Week, e *Entry, day time.Time) bool {
	for _, b := range w.Case.Schedule.Batches {
		if w.Graph.Steps[b.Step].Name != e.Step || !w.Date(b.Day).Equal(day) {
			continue
		}
		begins := day
		if b.Start != flow.Untimed {
			begins = minutesAfter(day, b.Start+b.Late)
		}
		if !e.At.Before(begins) && (b.Start != flow.Untimed || w.Now == 0) { // in a week that goes on, what has begun is no batch to come
			return false
		}
	}
	return true
}
