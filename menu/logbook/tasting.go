package logbook

// What was measured, with all that the log book knows of how it came about: what went in against the card, how old it was and from
// whom, when, what came out, and how the batch was handled.

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Tasting is a batch of which something was measured, or an item at a moment.
type Tasting struct {
	Entry   int64     // the last that measured it
	At      time.Time // when
	Begins  time.Time // the day on which the batch began; zero of an item
	Tastes  []Taste   // by name the last one
	Notes   []string
	Facts   []Fact          // of a batch, in the order in which they are named first
	Batches float64         // that were made together; 1 of an item
	Gave    map[int]float64 // of a batch: what came out, in base units by item; what was not weighed is not there
}

// When is the day on which the batch began, or the moment at which an item was measured.
func (t *Tasting) When() time.Time {
	if t.Begins.IsZero() {
		return t.At
	}
	return t.Begins
}

// Fact is something that is known of how a batch came about: a figure, or a word.
type Fact struct {
	Name  string
	Value float64
	Unit  string // "of the card", "days", "h", "min" ...; "" for a word
	Word  string
}

// Tastings are those of a step of the kitchen, or of an item where step is negative, up to a moment, in the order of time.
func (j *Book) Tastings(ctx context.Context, k *kitchen.Kitchen, step, item int, asOf time.Time) ([]Tasting, error) {
	name := ""
	if step >= 0 {
		name = k.Graph.Steps[step].Name
	}
	list, err := j.standing(ctx, byMoment, between(time.Time{}, asOf, Measured, Lit, PutIn, Out, Done, Cooked, Lost))
	if err != nil {
		return nil, err
	}
	var found []*tasted
	at := map[time.Time]*tasted{}
	for i := range list {
		e := &list[i]
		if e.Kind != Measured || e.ofDepth() || step >= 0 && e.Step != name || step < 0 && e.Of != k.Graph.Items[item].Name {
			continue
		}
		t := at[e.Begins]
		if t == nil || step < 0 {
			t = &tasted{Tasting: Tasting{Batches: 1}}
			at[e.Begins], found = t, append(found, t)
		}
		t.measured(e)
	}
	if step >= 0 && len(found) > 0 {
		for i := range list {
			if e := &list[i]; e.Kind.OfBatch() && e.Step == name {
				if t := at[e.On(k)]; t != nil {
					t.parts = append(t.parts, e)
				}
			}
		}
		if err := j.factsOf(ctx, k, step, found, asOf); err != nil {
			return nil, err
		}
	}
	tastings := []Tasting{}
	for _, t := range found {
		tastings = append(tastings, t.Tasting)
	}
	slices.SortStableFunc(tastings, func(a, b Tasting) int { return cmp.Or(a.Begins.Compare(b.Begins), a.At.Compare(b.At)) })
	return tastings, nil
}

// tasted is a tasting with the entries about its batch.
type tasted struct {
	Tasting
	parts []*Entry
}

// measured takes in an entry: of one measure, the last counts.
func (t *tasted) measured(e *Entry) {
	t.Entry, t.At, t.Begins = e.ID, e.At, e.Begins
	for _, taste := range e.Tastes {
		t.Tastes = slices.DeleteFunc(t.Tastes, func(o Taste) bool { return o.Name == taste.Name })
		t.Tastes = append(t.Tastes, taste)
	}
	if e.Reason != "" {
		t.Notes = append(t.Notes, e.Reason)
	}
}

// origin is where what an entry took of an item came from.
type origin struct {
	days   float64 // its age, times the amount
	amount float64
	from   []string
}

// factsOf finds what is known of the batches.
func (j *Book) factsOf(ctx context.Context, k *kitchen.Kitchen, step int, list []*tasted, asOf time.Time) error {
	took, err := j.origins(ctx, k, list, asOf)
	if err != nil {
		return err
	}
	itemAt := newLearning(k).itemAt
	for _, t := range list {
		t.facts(k, &k.Graph.Steps[step], itemAt, took)
	}
	return nil
}

// origins are what the entries about some batches took of each item, and from where, by entry and item.
func (j *Book) origins(ctx context.Context, k *kitchen.Kitchen, list []*tasted, asOf time.Time) (map[lotOf]*origin, error) {
	when := map[int64]time.Time{}
	for _, t := range list {
		for _, e := range t.parts {
			when[e.ID] = e.At
		}
	}
	j.turn.Lock()
	defer j.turn.Unlock()
	type taken struct {
		Move
		at time.Time
	}
	var moves []taken
	_, err := j.reeled(ctx, k, asOf, func(r *reel) {
		moves = nil
		for group := range r.forwards() {
			at, of := when[group[0].Entry]
			for _, m := range group {
				if of && m.Item < len(k.Graph.Items) && (m.Sort == Took || m.Sort == Alone || m.Sort == Named) && m.Amount > 0 {
					moves = append(moves, taken{m, at})
				}
			}
		}
	})
	if err != nil {
		return nil, err
	}
	var ids []int64
	for _, m := range moves {
		ids = append(ids, m.From)
	}
	slices.Sort(ids)
	lots := map[int64]*Entry{}
	if ids = slices.Compact(ids); len(ids) > 0 {
		if err := j.ask(ctx, func(*register) error {
			return j.each(ctx, ids, func(e *kept) error {
				lots[e.ID] = &e.Entry
				return nil
			})
		}); err != nil {
			return nil, err
		}
	}
	took := map[lotOf]*origin{}
	for _, m := range moves {
		at := lotOf{m.Entry, m.Item}
		if took[at] == nil {
			took[at] = &origin{}
		}
		o, lot := took[at], lots[m.From]
		o.amount += m.Amount
		o.days += m.Amount * max(0, m.at.Sub(lot.At).Hours()/24)
		if lot.Supplier != "" && !slices.Contains(o.from, lot.Supplier) {
			o.from = append(o.from, lot.Supplier)
		}
	}
	return took, nil
}

// facts fills in what the entries about a batch say of it.
func (t *tasted) facts(k *kitchen.Kitchen, st *graph.Step, itemAt map[string]int, took map[lotOf]*origin) {
	batches, lit, done := 0.0, time.Time{}, time.Time{}
	shares, litres := make([]float64, len(st.Takes)), map[int]float64{}
	in, ages, from := make([]time.Time, len(st.Takes)), map[int]*origin{}, map[int][]string{}
	typed, which, drawn := make([]bool, len(st.Takes)), make([][]string, len(st.Takes)), make([][]strength, len(st.Takes))
	for _, e := range t.parts {
		batches += e.Batches
		if e.Kind == Lit && (lit.IsZero() || e.At.Before(lit)) {
			lit = e.At
		}
		for _, a := range e.Takes {
			line, share := lineOf(k, itemAt, st, a)
			if line < 0 || math.IsNaN(share) {
				continue
			}
			shares[line] += share
			typed[line] = typed[line] || a.Typed != ""
			it := &k.Graph.Items[itemAt[a.Item]]
			if share > 0 && !slices.Contains(which[line], it.Name) {
				which[line] = append(which[line], it.Name)
			}
			if grams, ok := it.Bridge().Convert(a.Base, a.Kind, measure.Weight); ok {
				drawn[line] = append(drawn[line], strength{e.At, grams * it.Strong()})
			}
			if e.Kind == PutIn && in[line].IsZero() {
				in[line] = e.At
			}
			if o := took[lotOf{e.ID, itemAt[a.Item]}]; o != nil {
				sum := ages[line]
				if sum == nil {
					sum = &origin{}
					ages[line] = sum
				}
				sum.amount, sum.days = sum.amount+o.amount, sum.days+o.days
				for _, f := range o.from {
					if !slices.Contains(from[line], f) {
						from[line] = append(from[line], f)
					}
				}
			}
		}
		for _, a := range e.Gives {
			if item, ok := itemAt[a.Item]; ok && a.Typed != "" {
				it := &k.Graph.Items[item]
				if base, ok := it.Bridge().Convert(a.Base, a.Kind, it.Unit.Kind); ok {
					litres[item] += base
				}
			}
			if e.Kind == Out || e.Kind == Done {
				done = e.At
			}
		}
	}
	t.Gave = litres
	if batches > 0 {
		t.Batches = batches
	}
	batches = t.Batches
	// What went in, how old it was, from whom, and how late.
	for line, l := range st.Takes {
		name := k.Graph.Items[l.Choices[0].Item].Name
		if shares[line] > 0 || typed[line] {
			t.Facts = append(t.Facts, Fact{Name: name, Value: shares[line] / batches, Unit: "of the card"})
		}
		if len(l.Choices) > 1 && len(which[line]) > 0 {
			slices.Sort(which[line])
			t.Facts = append(t.Facts, Fact{Name: name + WentIn, Word: strings.Join(which[line], " and ")})
		}
		if v := drawnOf(l, drawn[line], lit, done, litresOf(k, st, litres, batches)); v > 0 && k.IsStrong(l) {
			t.Facts = append(t.Facts, Fact{Name: name + Drawn, Value: v, Unit: "g h/L"})
		}
		if o := ages[line]; o != nil && k.Graph.Items[l.Choices[0].Item].Role == graph.Bought {
			t.Facts = append(t.Facts, Fact{Name: "age of " + name, Value: o.days / o.amount, Unit: "days"})
		}
		if f := from[line]; len(f) > 0 {
			slices.Sort(f)
			t.Facts = append(t.Facts, Fact{Name: name + " from", Word: strings.Join(f, " and ")})
		}
		if !in[line].IsZero() && !lit.IsZero() && l.InAt > 0 { // what goes in at the start has no time of its own
			t.Facts = append(t.Facts, Fact{Name: name + " in at", Value: in[line].Sub(lit).Hours(), Unit: "h"})
			out := done
			if by := in[line].Add(time.Duration(l.OutAt-l.InAt) * time.Minute); l.OutAt > 0 && by.Before(done) {
				out = by // nobody writes when it comes out: by the card
			}
			if out.After(in[line]) {
				t.Facts = append(t.Facts, Fact{Name: name + " in for", Value: out.Sub(in[line]).Hours(), Unit: "h"})
			}
		}
	}
	// When, for how long, and what came out.
	if !lit.IsZero() {
		t.Facts = append(t.Facts, Fact{Name: "lit at", Value: hourOf(k, st, lit), Unit: "o'clock"})
		if done.After(lit) {
			t.Facts = append(t.Facts, Fact{Name: "time on the fire", Value: done.Sub(lit).Hours(), Unit: "h"})
		}
	}
	if batches != 1 || lit.IsZero() {
		t.Facts = append(t.Facts, Fact{Name: "batches", Value: batches, Unit: "batches"})
	}
	for _, out := range st.Gives {
		if amount, ok := litres[out.Item]; ok {
			t.Facts = append(t.Facts, Fact{Name: k.Graph.Items[out.Item].Name + " out", Value: amount / (out.Amount * batches), Unit: "of the card"})
		}
	}
}

// What stands behind the name of a line's first choice in the names of two facts: which of its choices went in, and how much of its strength was drawn, as
// package batch counts it.
const (
	WentIn = ", which"
	Drawn  = " drawn"
)

// strength is what went in of a strong thing: grams times their strength.
type strength struct {
	at    time.Time
	grams float64
}

// drawnOf is what a strong line gave to each litre: grams, times strength, times the hours that it was in; 0 where that is not known. What the card takes out
// again is in for as long as the card has it.
func drawnOf(l graph.Line, puts []strength, lit, done time.Time, litres float64) (sum float64) {
	if litres <= 0 || lit.IsZero() {
		return 0
	}
	for _, p := range puts {
		from, to := p.at, done
		if by := lit.Add(time.Duration(l.InAt) * time.Minute); p.at.Equal(lit) {
			from = by // it was written with the fire, and goes in by the card
		}
		if by := from.Add(time.Duration(l.OutAt-l.InAt) * time.Minute); l.OutAt > 0 && (to.IsZero() || by.Before(to)) {
			to = by
		}
		sum += p.grams * max(0, to.Sub(from).Hours()) / litres
	}
	return sum
}

// litresOf is how much liquid a batch gave: what was weighed, else by the card.
func litresOf(k *kitchen.Kitchen, st *graph.Step, weighed map[int]float64, batches float64) (litres float64) {
	for _, o := range st.Gives {
		if k.Graph.Items[o.Item].Unit.Kind != measure.Volume {
			continue
		}
		amount, ok := weighed[o.Item]
		if !ok {
			amount = o.Amount * batches
		}
		litres += amount / 1000
	}
	return litres
}

// hourOf is the hour of a moment next to that at which a step is to start, counted on past midnight: a kettle that was lit at half past
// midnight was lit late, and not early. Of a step without an hour it is next to midnight.
func hourOf(k *kitchen.Kitchen, st *graph.Step, t time.Time) float64 {
	h, near := float64(t.Hour())+float64(t.Minute())/60, 24.0
	if step, err := k.FindStep(st.Name); err == nil && k.Steps[step].Starts != flow.Untimed {
		near = float64(k.Steps[step].Starts) / 60
	}
	return h + 24*math.Round((near-h)/24)
}

// String says a fact: "marrow bones 0.8 of the card", "age of hen 3 days", "neck bones for marrow bones".
func (f Fact) String() string {
	figure := measure.FormatNumber(math.Round(f.Value*100) / 100)
	switch {
	case f.Word != "" && strings.HasSuffix(f.Name, WentIn):
		return f.Word + " for " + strings.TrimSuffix(f.Name, WentIn)
	case f.Word != "":
		return f.Name + " " + f.Word
	case f.Unit == "o'clock":
		return f.Name + " " + clockOf(f.Value)
	case figure == "1" && singular[f.Unit] != "":
		return f.Name + " 1 " + singular[f.Unit]
	}
	return strings.TrimSpace(f.Name + " " + figure + " " + f.Unit)
}

// singular is what a unit is called of one.
var singular = map[string]string{"days": "day", "times": "time", "batches": "batch"}

// Said says a fact beside what is usual: "marrow bones 0.8 of the card, usually 1".
func (f Fact) Said(usual float64) string {
	if f.Unit == "o'clock" {
		return f.String() + ", usually " + clockOf(usual)
	}
	return f.String() + ", usually " + measure.FormatNumber(math.Round(usual*100)/100)
}

// clockOf is an hour counted on past midnight as the clock shows it.
func clockOf(hours float64) string {
	return measure.FormatClock((int(math.Round(hours*60))%(24*60) + 24*60) % (24 * 60))
}
