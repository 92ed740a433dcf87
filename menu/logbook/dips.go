package logbook

// How deep a pot stood while it cooked, and what was left of a batch that was measured.

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/menu/kitchen"
)

// depthIn is the name under which a depth is kept, before that of the vessel. Its unit is the centimetre.
const depthIn = "depth in "

// ofDepth tells whether an entry reads nothing but how deep the pot stands, while the batch is still cooking.
func (e *Entry) ofDepth() bool {
	return e.Reason == "" && !slices.ContainsFunc(e.Tastes, func(t Taste) bool { return !strings.HasPrefix(t.Name, depthIn) })
}

// Fall is by how much a pot fell between two readings of its depth, with nothing put in or taken out between them.
type Fall struct {
	Vessel int
	Step   int
	Begins time.Time // the day on which the batch began
	Hours  float64
	Litres float64
}

// leastFall is how far apart two readings are at least: a pot falls by a centimetre or two an hour, and a dipstick is read to half of
// one. Common practice, no source.
const leastFall = 30 * time.Minute

// Falls are those of all pots up to a moment, in the order of time. Where something went in or came out between two readings, by the log
// book or by the card, they say nothing of the steam; neither do two of which the second is no lower.
func (j *Book) Falls(ctx context.Context, k *kitchen.Kitchen, asOf time.Time) (list []Fall, err error) {
	entries, err := j.standing(ctx, byMoment, between(time.Time{}, asOf, Measured, Lit, PutIn, Out, Done, Cooked))
	if err != nil {
		return nil, err
	}
	type pot struct {
		step   string
		begins time.Time
	}
	moved := map[pot][]time.Time{} // when something went in or came out
	var dips []*Entry
	for i := range entries {
		e := &entries[i]
		p := pot{e.Step, e.On(k)}
		switch {
		case e.Kind == Measured:
			dips = append(dips, e)
		default:
			moved[p] = append(moved[p], e.At)
		}
		if e.Kind == Lit {
			for _, d := range e.Card {
				moved[p] = append(moved[p], e.At.Add(time.Duration(d.After)*time.Minute))
			}
		}
	}
	type reading struct {
		at time.Time
		cm float64
	}
	type stood struct {
		pot
		vessel int
	}
	last := map[stood]reading{}
	for _, e := range dips {
		step, err := k.FindStep(e.Step)
		if err != nil {
			continue
		}
		for _, t := range e.Tastes {
			name, is := strings.CutPrefix(t.Name, depthIn)
			vessel := slices.IndexFunc(k.Vessels, func(v kitchen.Vessel) bool { return v.Name == name })
			if !is || vessel < 0 || t.Value == nil {
				continue
			}
			at := stood{pot{e.Step, e.On(k)}, vessel}
			before, known := last[at]
			still := !slices.ContainsFunc(moved[at.pot], func(m time.Time) bool { return m.After(before.at) && !m.After(e.At) })
			if known && still && e.At.Sub(before.at) < leastFall {
				continue // the first one still stands
			}
			last[at] = reading{e.At, *t.Value}
			if known && still && *t.Value < before.cm {
				list = append(list, Fall{vessel, step, at.begins, e.At.Sub(before.at).Hours(), k.Vessels[vessel].Dip(before.cm-*t.Value) / 1000})
			}
		}
	}
	return list, nil
}

// Rest is what is on hand of an item from one batch of a step.
type Rest struct {
	Begins time.Time // the day on which the batch began
	Amount float64   // in base units
}

// Rests are what is on hand of an item at a moment, batch by batch of a step, the oldest first. What is past its date is left out.
func (j *Book) Rests(ctx context.Context, k *kitchen.Kitchen, step, item int, asOf time.Time) (list []Rest, err error) {
	stock, err := j.OnHand(ctx, k, asOf)
	if err != nil {
		return nil, err
	}
	days := k.DayOnes()
	for _, l := range stock.Lots {
		if l.Item != item || l.Entry == 0 {
			continue
		}
		if _, gone := l.past(days, k, asOf); gone {
			continue // nothing is made of it any more
		}
		e, err := j.entry(ctx, l.Entry)
		if err != nil {
			return nil, err
		}
		if e == nil || e.Step != k.Graph.Steps[step].Name {
			continue
		}
		on := e.On(k)
		if at := slices.IndexFunc(list, func(r Rest) bool { return r.Begins.Equal(on) }); at >= 0 {
			list[at].Amount += l.Amount
			continue
		}
		list = append(list, Rest{on, l.Amount})
	}
	slices.SortStableFunc(list, func(a, b Rest) int { return cmp.Compare(a.Begins.Unix(), b.Begins.Unix()) })
	return list, nil
}

// Begun are the days on which batches of a step began that were lit or cooked after one moment and up to another, in the order of time.
func (j *Book) Begun(ctx context.Context, k *kitchen.Kitchen, step int, after, asOf time.Time) (days []time.Time, err error) {
	list, err := j.standing(ctx, byMoment, between(after, asOf, Lit, Cooked))
	if err != nil {
		return nil, err
	}
	for i := range list {
		e := &list[i]
		if on := e.On(k); e.Step == k.Graph.Steps[step].Name && e.At.After(after) && !slices.ContainsFunc(days, on.Equal) {
			days = append(days, on)
		}
	}
	slices.SortStableFunc(days, time.Time.Compare)
	return days, nil
}

// Pot is a batch as it was made: what went in, by line of the card in base units of its first choice, and what came out, by item; what was not
// weighed is by the card.
type Pot struct {
	Begins time.Time
	Takes  []float64
	Gives  map[int]float64
}

// Made are the batches of a step up to a moment that anybody wrote of, in the order of time.
func (j *Book) Made(ctx context.Context, k *kitchen.Kitchen, step int, asOf time.Time) (list []Pot, err error) {
	entries, err := j.standing(ctx, byMoment, between(time.Time{}, asOf, Lit, PutIn, Out, Done, Cooked, Lost))
	if err != nil {
		return nil, err
	}
	st := &k.Graph.Steps[step]
	itemAt := newLearning(k).itemAt
	type making struct {
		Pot
		batches float64
		lost    bool
		typed   []bool
	}
	var pots []*making
	for i := range entries {
		e := &entries[i]
		if e.Step != st.Name {
			continue
		}
		on := e.On(k)
		at := slices.IndexFunc(pots, func(p *making) bool { return p.Begins.Equal(on) })
		if at < 0 {
			if e.Kind != Lit && e.Kind != Cooked {
				continue // of a batch that nobody wrote was begun
			}
			at, pots = len(pots), append(pots, &making{Pot: Pot{on, make([]float64, len(st.Takes)), map[int]float64{}}, typed: make([]bool, len(st.Takes))})
		}
		p := pots[at]
		p.batches += e.Batches
		p.lost = p.lost || e.Kind == Lost && e.Share == 1
		for _, a := range e.Takes {
			if line, share := lineOf(k, itemAt, st, a); line >= 0 && !math.IsNaN(share) {
				p.Takes[line] += share * st.Takes[line].Choices[0].Amount
				p.typed[line] = true
			}
		}
		for _, a := range e.Gives {
			if item, ok := itemAt[a.Item]; ok {
				it := &k.Graph.Items[item]
				if base, ok := it.Bridge().Convert(a.Base, a.Kind, it.Unit.Kind); ok {
					p.Gives[item] += base
				}
			}
		}
	}
	for _, p := range pots {
		if p.lost {
			continue
		}
		for l, t := range st.Takes { // what nobody said of a batch under way is by the card
			if !p.typed[l] {
				p.Takes[l] = t.Choices[0].Amount * p.batches
			}
		}
		for _, o := range st.Gives {
			if _, said := p.Gives[o.Item]; !said {
				p.Gives[o.Item] = o.Amount * p.batches
			}
		}
		list = append(list, p.Pot)
	}
	slices.SortStableFunc(list, func(a, b Pot) int { return a.Begins.Compare(b.Begins) })
	return list, nil
}
