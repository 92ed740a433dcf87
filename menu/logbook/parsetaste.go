package logbook

// What is measured of a batch or an item, as a cook writes it, and which batch is meant.

import (
	"cmp"
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// tasteForm shows how a measured entry is written, by the first measures of the kitchen.
func tasteForm(k *kitchen.Kitchen) string {
	of, list := k.Example().Step, []kitchen.Measure(nil)
	for s := range k.Steps {
		if k.Steps[s].Measures != nil {
			of, list = k.Graph.Steps[s].Name, k.Steps[s].Measures
			break
		}
	}
	if items := k.MeasuredItems(); list == nil && items != nil {
		of, list = k.Graph.Items[items[0]].Name, k.Measures[items[0]]
	}
	if list == nil {
		return of + ": colour 4"
	}
	var shown []string
	for i := range list[:min(2, len(list))] {
		shown = append(shown, list[i].Example())
	}
	return of + ": " + strings.Join(shown, ", ")
}

var (
	tasteEnds  = regexp.MustCompile(` *:| +of `)
	itemEnds   = regexp.MustCompile(` *:`)
	aloneWords = regexp.MustCompile(`^[^,]+`)
)

// tasted reads STEP [of DAY]: MEASURE VALUE, MEASURE VALUE, ... [, NOTE], or ITEM: the same. A note is what is no measure
// and has no figures, or stands in quotes.
func (r *reader) tasted() error {
	list, err := r.tastedOf()
	if err != nil {
		return err
	}
	if !r.next(":") {
		return r.fault(r.at, len(r.rest()), "write it as "+Form(r.k, Measured), "what was measured stands behind a colon")
	}
	for {
		if m := quoted.FindStringSubmatch(r.rest()); m != nil {
			if r.e.Reason != "" {
				return r.fault(r.at, len(m[0]), "write one note", "there are two notes")
			}
			r.e.Reason = strings.TrimSpace(m[1])
			r.past(len(m[0]))
		} else if err := r.taste(list); err != nil {
			return err
		}
		if !r.next(",") {
			break
		}
	}
	if len(r.e.Tastes) == 0 && r.e.Reason == "" {
		return r.fault(r.at, 0, "write it as "+Form(r.k, Measured), "nothing was measured")
	}
	return nil
}

// tastedOf reads what it was measured of, and finds its measures.
func (r *reader) tastedOf() ([]kitchen.Measure, error) {
	from := r.at
	step, rest, notStep := r.k.StepNamed(r.rest(), tasteEnds)
	if notStep == nil && r.k.Graph.Steps[step].Mode == graph.ToOrder && !r.k.Graph.Steps[step].AsNeeded() {
		return nil, r.fault(from, len(r.rest())-len(rest), "measure what it gives", "%q is made to order and has no batches", r.k.Graph.Steps[step].Name)
	}
	if notStep == nil && r.k.Steps[step].Measures != nil {
		if err := r.moved(rest, nil); err != nil {
			return nil, err
		}
		r.e.Step = r.k.Graph.Steps[step].Name
		return r.k.Steps[step].Measures, r.ofDay()
	}
	item, rest, notItem := r.k.ItemNamed(r.rest(), itemEnds)
	if notItem == nil && r.k.Measures[item] != nil {
		r.e.Of = r.k.Graph.Items[item].Name
		return r.k.Measures[item], r.moved(rest, nil)
	}
	if notStep != nil && notItem != nil {
		return nil, r.moved("", notStep)
	}
	name := r.k.Graph.Items[max(item, 0)].Name
	if notStep == nil {
		name = r.k.Graph.Steps[step].Name
	}
	return nil, r.fault(from, len(name), "write under it in the kitchen file: measures: {colour: 1-5, salt: 0.9-1.1%}",
		"the kitchen file does not say what is measured of %q", name)
}

// taste reads MEASURE VALUE.
func (r *reader) taste(list []kitchen.Measure) error {
	m, rest := kitchen.MeasureNamed(list, r.rest())
	if m == nil && r.e.Step != "" {
		if read, err := r.depth(); read || err != nil {
			return err
		}
	}
	if m == nil && r.e.Reason == "" && !strings.ContainsAny(r.rest(), "0123456789") { // a shell takes the quotes of a note away
		r.e.Reason = strings.TrimSpace(r.rest())
		r.at = len(r.text)
		return nil
	}
	if m == nil {
		var names []string
		for i := range list {
			names = append(names, list[i].Name)
		}
		word := strings.TrimSpace(aloneWords.FindString(r.rest()))
		return r.fault(r.at, max(1, len(word)), "these are: "+strings.Join(names, ", ")+"; a note stands in quotes", "%q is not among what is measured of %s", word, cmp.Or(r.e.Step, r.e.Of))
	}
	if slices.ContainsFunc(r.e.Tastes, func(t Taste) bool { return t.Name == m.Name }) {
		return r.fault(r.at, len(m.Name), "write it once", "%q appears twice", m.Name)
	}
	r.past(len(r.rest()) - len(rest))
	from := r.at
	t := Taste{Name: m.Name, Unit: m.Unit}
	if m.Note() { // it is the note of the batch, up to the end: it may have commas and figures
		text := strings.TrimSpace(r.rest())
		if q := quoted.FindStringSubmatch(r.rest()); q != nil {
			text = strings.TrimSpace(q[1])
			r.past(len(q[0]))
		} else {
			r.past(len(r.rest()))
		}
		switch {
		case text == "":
			return r.fault(from, 0, "write it as "+m.Name+" a little smoky", "%s is not said", m.Name)
		case r.e.Reason != "":
			return r.fault(from, len(text), "write one note", "there are two notes")
		}
		r.e.Reason = text
		return nil
	}
	if m.Sort == kitchen.InWords {
		if t.Word = strings.TrimSpace(aloneWords.FindString(r.rest())); t.Word == "" {
			return r.fault(from, 0, "write it as "+m.Example(), "%s is not said", m.Name)
		}
		if fault := kitchen.TextFault(t.Word, kitchen.MostLetters); fault != "" {
			return r.fault(from, len(t.Word), "say it shorter; a note stands in quotes", "%s %s", m.Name, fault)
		}
		r.past(len(aloneWords.FindString(r.rest())))
		r.e.Tastes = append(r.e.Tastes, t)
		return nil
	}
	value, rest, err := measure.Number(r.rest())
	if typed := strings.TrimSpace(aloneWords.FindString(r.rest())); m.Unit == "min" && strings.ContainsAny(typed, "hm") { // 1 h 10 min
		if minutes, wrong := measure.ParseDuration(typed); wrong == nil {
			value, rest, err = float64(minutes), r.rest()[len(aloneWords.FindString(r.rest())):], nil
		}
	}
	if err := r.moved(rest, err); err != nil {
		return err
	}
	typed := strings.TrimSpace(r.text[from:r.at])
	if fault, hint := m.Fault(value); fault != "" {
		return r.fault(from, len(typed), hint, "%q %s", typed, fault)
	}
	unit := strings.TrimSpace(aloneWords.FindString(r.rest()))
	if unit != "" && !strings.EqualFold(unit, m.Unit) && !(m.Sort == kitchen.Judged && unit == strings.TrimSpace("of "+measure.FormatNumber(m.High))) {
		return r.fault(r.at, len(unit), "write it as "+m.Example(), "%s is not read in %q", m.Name, unit)
	}
	r.past(len(unit))
	t.Value = &value
	r.e.Tastes = append(r.e.Tastes, t)
	return nil
}

// depth reads how deep the pot stands, where that is what comes next.
func (r *reader) depth() (read bool, err error) {
	step, err := r.k.FindStep(r.e.Step)
	if err != nil {
		return false, nil // it was found by its name before
	}
	cm, vessel, length, err := r.k.Depth(step, r.rest())
	if err != nil {
		return true, r.moved("", err)
	}
	if length == 0 {
		return false, nil
	}
	name := depthIn + r.k.Vessels[vessel].Name
	if slices.ContainsFunc(r.e.Tastes, func(t Taste) bool { return t.Name == name }) {
		return true, r.fault(r.at, length, "write it once", "%q appears twice", name)
	}
	r.e.Tastes = append(r.e.Tastes, Taste{Name: name, Value: &cm, Unit: "cm"})
	r.past(length)
	return true, nil
}

// wasMade refuses a day on which no batch of the step began that anybody wrote of, or had planned since the log book began.
func (j *Book) wasMade(ctx context.Context, lives *Lives, e *Entry) error {
	if l := lives.known(e.Step, e.Begins); l != nil && (l.Cooked > 0 || len(l.Lit) > 0 || l.Planned > 0 && !l.Skipped) {
		return nil
	}
	made, err := j.standing(ctx, byMoment, between(e.Begins.AddDate(0, 0, -1), e.At, Cooked, Lit))
	if err != nil {
		return err
	}
	if slices.ContainsFunc(made, func(o Entry) bool { return o.Step == e.Step && o.On(lives.k.Kitchen).Equal(e.Begins) }) {
		return nil
	}
	return &EntryError{fmt.Sprintf("no %s of %s is in the log book", e.Step, measure.FormatDay(e.Begins)),
		fmt.Sprintf("log it first: cooked %s of %s", e.Step, e.Begins.Format(time.DateOnly))}
}

// ToMeasure is the day of the batch that is meant by who measures a step at a moment and names no day.
func (j *Book) ToMeasure(ctx context.Context, k *kitchen.Kitchen, planned Planned, step string, at time.Time) (time.Time, error) {
	e, err := j.measuredBatch(ctx, k, planned, Entry{Kind: Measured, Step: step, At: at})
	return e.Begins, err
}

// measuredBatch finds the batch of which something was measured: the one whose day is named, or else the last that began by then, of those
// that something was written of, and where there is none of those that were planned.
func (j *Book) measuredBatch(ctx context.Context, k *kitchen.Kitchen, planned Planned, e Entry) (Entry, error) {
	if e.Corrects != 0 {
		old, err := j.entry(ctx, e.Corrects)
		if err != nil {
			return e, err
		}
		if old != nil {
			if e.At.IsZero() {
				e.At = old.At
			}
			if e.Day == "" && e.Step == old.Step {
				e.Begins = old.Begins
			}
		}
	}
	w, err := planned.around(e.At)
	if err != nil {
		return e, err
	}
	list, err := j.ofBatches(ctx, w.From, e.At)
	if err != nil {
		return e, err
	}
	lives := livesOf(w, list)
	if e.Day != "" || !e.Begins.IsZero() {
		e.Begins = e.On(k)
		return e, j.wasMade(ctx, lives, &e)
	}
	var written, due *Life
	for _, l := range lives.All() {
		has := l.Cooked > 0 || len(l.Lit) > 0
		if l.Name != e.Step || l.Begins.After(e.At) && !has { // one that was lit early has begun
			continue
		}
		if has && (written == nil || !l.Day.Before(written.Day)) {
			written = l
		}
		if l.Planned > 0 && !l.Skipped && (due == nil || !l.Day.Before(due.Day)) {
			due = l
		}
	}
	if written == nil {
		written = due
	}
	if written == nil {
		return e, &EntryError{fmt.Sprintf("no batch of %s was made in the last days", e.Step),
			fmt.Sprintf("name the day on which it began: %s %s of %s: ...", Measured, e.Step, e.At.AddDate(0, 0, -livesBack-1).Format(time.DateOnly))}
	}
	e.Begins = written.Day
	return e, nil
}
