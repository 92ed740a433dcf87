package logbook

// Entries that look wrong: they are asked about before they are kept.

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Doubt is why an entry looks wrong, and what would be right.
type Doubt struct{ Msg, Hint string }

// Bounds of what is asked about. Common practice, no source.
const (
	manyTimes = 20   // as much as there was, at a count
	offAim    = 3    // times where a reading should be at most
	overfull  = 1.05 // of what a vessel holds: capacities are round numbers
)

// Doubts finds what looks wrong with entries that are to be kept, which are settled: a count of many times what was there, more than
// the vessel holds, the same thing twice within a minute, the same delivery twice, portions at a service that
// is not yet, a reading far above its aim, far more sold, binned or bought than there can be, another price by far. Who corrects an entry has looked at it, and is not asked.
func (j *Book) Doubts(ctx context.Context, k *kitchen.Kitchen, planned Planned, entries ...Entry) (list []Doubt, err error) {
	var present *Present // of the last moment that was asked about: a stock-take has one for all its counts
	at := func(moment time.Time) (*Present, error) {
		if present != nil && present.AsOf.Equal(moment) {
			return present, nil
		}
		p, err := j.Present(ctx, k, planned, k.DayAt(moment), moment)
		if err == nil {
			present = p
		}
		return p, err
	}
	for i := range entries {
		e := &entries[i]
		if e.Corrects != 0 {
			continue
		}
		var d []Doubt
		switch e.Kind {
		case Counted:
			d, err = j.doubtCount(ctx, k, at, e)
		case Received:
			if d, err = j.doubtDelivery(ctx, e); err == nil && len(d) == 0 {
				d, err = doubtMuch(k, planned, e)
			}
		case Sold, Gave, Dropped:
			if d = doubtService(k, e); len(d) == 0 && e.Kind == Sold {
				d, err = doubtSold(planned, e)
			}
		case Binned:
			d, err = doubtBinned(k, at, e)
		case Measured:
			d = doubtReading(k, e)
		case Lit, Cooked, Out:
			var batches float64
			if batches, err = j.litOf(ctx, e, entries[:i]); err == nil {
				d = doubtVessel(k, e, batches)
			}
			if err == nil && len(d) == 0 && e.Kind == Lit && e.Day == "" {
				var unplanned []Doubt
				unplanned, err = doubtDay(planned, e)
				d = append(d, unplanned...)
			}
		}
		if err == nil && len(d) == 0 {
			d, err = j.doubtTwice(ctx, e, entries[:i])
		}
		if err != nil {
			return nil, err
		}
		list = append(list, d...)
	}
	return list, nil
}

// moment is how long the same thing is not written twice without being asked about: whoever saw no answer to it tries again at once.
// Common practice, no source.
const moment = time.Minute

// doubtTwice doubts what was written already a moment ago, about the same moment: by an entry that stands, or by one before it. What is
// written later than it happened is doubted whenever that was, for it may be what was sent long ago and got no answer.
func (j *Book) doubtTwice(ctx context.Context, e *Entry, before []Entry) ([]Doubt, error) {
	list, err := j.standing(ctx, byNumber, between(e.At.Add(-moment), e.At.Add(moment), e.Kind))
	if err != nil {
		return nil, err
	}
	for _, o := range append(list, before...) {
		again := o.Written.Sub(e.Written).Abs() <= moment
		if !same(&o, e) || !again && e.Written.Sub(e.At) <= moment || o.At.Sub(e.At).Abs() > moment {
			continue
		}
		msg := "this is written twice"
		switch {
		case o.ID > 0 && !again:
			msg = fmt.Sprintf("this was written already, as entry %d", o.ID)
		case o.ID > 0:
			msg = fmt.Sprintf("this was written already a moment ago, as entry %d", o.ID)
		}
		return []Doubt{{msg, "once more? If it happened twice, it is right"}}, nil
	}
	return nil, nil
}

// same tells whether two entries say the same, however each was typed.
func same(a, b *Entry) bool {
	return bytes.Equal(meaning(a), meaning(b))
}

// Means tells whether the entry says the same as another, however each was typed.
func (e *Entry) Means(other *Entry) bool { return same(e, other) }

// meaning is what an entry says, without when, how it was typed and what was left to the card.
func meaning(e *Entry) []byte {
	m := *e
	m.ID, m.At, m.Written, m.Zone, m.Corrects, m.Text, m.Card, m.Begins, m.Day = 0, time.Time{}, time.Time{}, "", 0, "", nil, time.Time{}, ""
	if e.Kind.OfBatch() {
		m.Begins = midnight(e.Begins)
	} else {
		m.Day = e.Day
	}
	for _, list := range []*[]Amount{&m.Takes, &m.Gives} {
		measured := slices.DeleteFunc(slices.Clone(*list), func(a Amount) bool { return a.Typed == "" })
		for i := range measured {
			measured[i].Typed = ""
		}
		*list = append([]Amount{}, measured...)
	}
	text, err := json.Marshal(m)
	if err != nil {
		panic("mistake: an entry that can't be written out: " + err.Error())
	}
	return text
}

// doubtReading doubts what reads many times what it should be at most.
func doubtReading(k *kitchen.Kitchen, e *Entry) []Doubt {
	measures := k.MeasuresOf(e.Step, e.Of)
	for _, t := range e.Tastes {
		for i := range measures {
			m := &measures[i]
			if m.Name == t.Name && m.Sort == kitchen.Gauged && m.Aim != nil && t.Value != nil && *t.Value > offAim*m.Aim.High {
				return []Doubt{{fmt.Sprintf("%s %s is more than %d times what it should be, %s", m.Name, m.Value(*t.Value), offAim, m.AimText()),
					"look at the decimal point; if it reads so, it is right"}}
			}
		}
	}
	return nil
}

// doubtCount doubts a count of many times what there is, both by what is written and by what was planned where nothing is: what counts as
// sold may not have been, and what nobody wrote down may have been made.
func (j *Book) doubtCount(ctx context.Context, k *kitchen.Kitchen, at func(time.Time) (*Present, error), e *Entry) (list []Doubt, err error) {
	stock, err := j.OnHand(ctx, k, e.At)
	if err != nil {
		return nil, err
	}
	for _, a := range e.Gives {
		i, err := k.FindItem(a.Item)
		if err != nil {
			continue
		}
		had, says := stock.amountOf(i), "the log book has"
		if had > 0 && a.Base < manyTimes*had {
			continue
		}
		p, err := at(e.At)
		if err != nil {
			return nil, err
		}
		if !p.Stock.NoBook[i] && (p.Unknown == nil || !p.Unknown[i]) {
			if there := p.Stock.amountOf(i); there > had {
				had, says = there, "as planned there would be"
			}
		}
		if had > dust && a.Base >= manyTimes*had {
			list = append(list, Doubt{fmt.Sprintf("%s %s counted, and %s %s: %s times as much", a.Typed, a.Item,
				says, k.Quantity(i, had), measure.FormatNumber(float64(int(a.Base/had)))),
				"look at the unit and the decimal point; what came in since is logged as received or cooked"})
		}
	}
	return list, nil
}

// How long before a service begins a plate of it may be logged, in minutes: one that is sold goes out with the first guests, staff eat
// before. Common practice, no source.
const (
	soonSold  = 60
	soonGiven = 6 * 60
)

// doubtDay doubts a batch that was lit on a day that has none of it, where other days round it have.
func doubtDay(planned Planned, e *Entry) ([]Doubt, error) {
	w, err := planned.around(e.At)
	if err != nil {
		return nil, err
	}
	var days []string
	var first time.Time
	for _, b := range w.Case.Schedule.Batches {
		day := w.Date(b.Day)
		if b.Size <= 0 || w.Graph.Steps[b.Step].Name != e.Step {
			continue
		}
		if day.Equal(e.Begins) {
			return nil, nil
		}
		if name := measure.FormatDay(day); !slices.Contains(days, name) {
			if len(days) == 0 {
				first = day
			}
			days = append(days, name)
		}
	}
	if len(days) == 0 {
		return nil, nil
	}
	return []Doubt{{fmt.Sprintf("no %s is planned for %s, but for %s", e.Step, measure.FormatDay(e.Begins), measure.FormatList(days)),
		fmt.Sprintf("name the day of the batch that it is: lit %s of %s; if it is one more, it is right", e.Step, first.Format(time.DateOnly))}}, nil
}

// doubtClosed doubts sales on a day without guests, or without the service; there may have been guests all the same.
func doubtClosed(k *kitchen.Kitchen, e *Entry, day time.Time) []Doubt {
	var names []string
	for _, m := range k.MealsOn(day) {
		names = append(names, k.Services[m.Service].Name)
	}
	switch {
	case len(k.Services) == 0:
		return nil
	case len(names) == 0:
		return []Doubt{{"the kitchen is closed on " + measure.FormatDay(day), "say when it was: --at \"" + e.At.AddDate(0, 0, -1).Format(Minutes) + "\"; if there were guests all the same, it is right"}}
	case e.Service != "" && !slices.Contains(names, e.Service):
		return []Doubt{{fmt.Sprintf("there is no %s on %s", e.Service, measure.FormatDay(day)), "that day has " + measure.FormatList(names) +
			"; if there were guests all the same, it is right"}}
	}
	return nil
}

// doubtService doubts portions that went out at a service which begins later, and sales on a day without guests.
func doubtService(k *kitchen.Kitchen, e *Entry) []Doubt {
	day, service, ok := k.ServedAt(e.At, e.Service)
	if !ok {
		day = midnight(e.At)
	}
	if e.Kind == Sold {
		if d := doubtClosed(k, e, day); d != nil {
			return d
		}
	}
	if e.Service == "" || !ok {
		return nil
	}
	begins := minutesAfter(day, k.HoursOn(day, service).From)
	soon, ahead := soonGiven*time.Minute, ""
	if e.Kind == Sold {
		soon, ahead = soonSold*time.Minute, "; if it is sold ahead, it is right"
	}
	if begins.Sub(e.At) <= soon {
		return nil
	}
	return []Doubt{{fmt.Sprintf("%s of %s begins at %s, and it is %s", e.Service, measure.FormatDay(day), begins.Format("15:04"), e.At.Format("15:04")),
		"say when it was: --at \"" + e.At.AddDate(0, 0, -1).Format(time.DateOnly) + begins.Format(" 15:04") + "\"" + ahead}}
}

// doubtDelivery doubts a delivery that stands in the log book already: as much of an item, with the same mark.
func (j *Book) doubtDelivery(ctx context.Context, e *Entry) ([]Doubt, error) {
	if e.Mark == "" || len(e.Gives) == 0 {
		return nil, nil
	}
	list, err := j.marked(ctx, e.Mark)
	if err != nil {
		return nil, err
	}
	a := e.Gives[0]
	at := slices.IndexFunc(list, func(o Entry) bool {
		return o.Kind == Received && o.Mark == e.Mark && len(o.Gives) > 0 && o.Gives[0].Item == a.Item &&
			(alike(o.Gives[0].Base, a.Base) || midnight(o.At).Equal(midnight(e.At)))
	})
	if at < 0 {
		return nil, nil
	}
	o := list[at]
	return []Doubt{{fmt.Sprintf("%s lot %s was received before: entry %d, %s of %s", a.Item, e.Mark, o.ID, o.Gives[0].Typed, measure.FormatMoment(o.At)),
		fmt.Sprintf("if that one is wrong, log this in its place: --corrects %d; if more came of the lot, give it a mark of its own", o.ID)}}, nil
}

// alike tells whether two amounts are the same but for rounding.
func alike(a, b float64) bool { return max(a, b)-min(a, b) <= 1e-6*max(a, b) }

// litOf is how many batches were lit of the one that something comes out of, by what is kept and what stands before it.
func (j *Book) litOf(ctx context.Context, e *Entry, before []Entry) (batches float64, err error) {
	if e.Kind != Out {
		return 0, nil
	}
	list, err := j.standing(ctx, byNumber, between(e.At.AddDate(0, 0, -livesBack), e.At, Lit))
	for _, o := range append(list, before...) {
		if o.Kind == Lit && o.Step == e.Step && o.Begins.Equal(e.Begins) {
			batches += o.Batches
		}
	}
	return batches, err
}

// doubtVessel doubts more litres than the vessel of a step holds: of all that goes in when it is lit, and of each thing that comes out,
// for one batch at a time. What is by the card was checked with the file.
func doubtVessel(k *kitchen.Kitchen, e *Entry, batches float64) (list []Doubt) {
	step, err := k.FindStep(e.Step)
	if err != nil || k.Steps[step].Vessel < 0 {
		return nil
	}
	vessel := k.Vessels[k.Steps[step].Vessel]
	batches = max(1, cmp.Or(e.Batches, batches))
	volume := func(a Amount) float64 {
		i, err := k.FindItem(a.Item)
		if err != nil {
			return 0
		}
		return k.Volume(i, a.Base) / batches
	}
	held := func(ml float64) string { return k.InPot(ml).OnScale().String() }
	ask := func(what string, ml float64) {
		if vessel.Holds > 0 && ml > vessel.Holds*overfull {
			list = append(list, Doubt{fmt.Sprintf("%s is %s, and %s holds %s", what, held(ml), vessel.Name, held(vessel.Holds)),
				fmt.Sprintf("look at the unit and the decimal point; several batches are written %s x2", e.Step)})
		}
	}
	in, typed := 0.0, false
	for _, a := range e.Takes {
		in += volume(a)
		typed = typed || a.Typed != ""
	}
	if typed && e.Kind == Lit {
		ask("what went in", in)
	}
	for _, a := range append(slices.Clone(e.Takes), e.Gives...) {
		if a.Typed != "" && (e.Kind != Lit || in <= vessel.Holds*overfull) {
			ask(a.Typed+" "+a.Item, volume(a))
		}
	}
	return list
}
