package logbook

// The present: what a week goes on from, when its first day is under way, or pots that were lit before it are not out.

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Present is what a log book says at a moment, for a week that begins on the day of the moment or after it.
type Present struct {
	// Stock is what is on hand. What a pot takes is off the shelf.
	Stock *Stock
	Pots  []Pot
	// Unwritten are steps that were to be done by the first day, the day before it, and were not written down. They are not
	// counted. It is nil for a kitchen that has not written down cooking of late.
	Unwritten []int
	// Lost are steps of which a batch of one of the days before was written down as lost, when it was out or done with by
	// the first day: whatever it took or gave stands as it was written down.
	Lost []int

	from, asOf time.Time
	cooked     []float64         // by step: batches of the first day that were written down
	sold       map[plate]float64 // portions of the first day that were written down
}

// Pot is a batch that begins before the first day, is out on it, and that nobody has written down.
type Pot struct {
	Step    int
	Begins  time.Time
	Out     time.Time // the last of it
	Batches float64   // that will come out: 0 when all is lost

	took float64 // batches of which nothing is written down: what they take is gone, though some of it came to nothing
}

// plate is a dish at a service.
type plate struct{ dish, service string }

// longestPot is how many days before the first a pot may have been lit.
const longestPot = 3

// Present finds what a week goes on from that begins at the midnight from: what is on hand as of a moment, which is no
// later than the end of the first day, and the pots that were lit before the week and are out in it. What was written
// down as cooked goes to such a pot first, then to the batches of the first day.
func (j *Book) Present(ctx context.Context, k *kitchen.Kitchen, from, asOf time.Time) (*Present, error) {
	stock, err := j.OnHand(ctx, k, asOf)
	if err != nil {
		return nil, err
	}
	list, err := j.standing(ctx, `WHERE +e.kind IN ('cooked', 'sold', 'lost') AND e.at >= ? AND e.at <= ?
		ORDER BY e.at, e.id, a.place`, from.AddDate(0, 0, -longestPot).Unix(), asOf.Unix())
	if err != nil {
		return nil, err
	}
	p := &Present{Stock: stock, from: from, asOf: asOf, cooked: make([]float64, len(k.Steps)), sold: map[plate]float64{}}
	for step := range k.Steps {
		p.step(k, step, list)
	}
	for _, e := range list {
		if e.Kind == Sold && !e.At.Before(from) {
			if day, service, ok := k.ServedAt(e.At, e.Service); ok && day.Equal(from) {
				p.sold[plate{e.Dish, k.Services[service].Name}] += float64(e.Portions)
			}
		}
	}
	for n := range p.Pots {
		stock.cook(k, &p.Pots[n])
	}
	return p, nil
}

// step finds the pots of a step, and how much of what it was to do on the first day is done.
func (p *Present) step(k *kitchen.Kitchen, step int, list []Entry) {
	st, card := &k.Graph.Steps[step], k.Steps[step]
	if st.Mode != graph.OnDays {
		return
	}
	used := make([]float64, len(list)) // batches of an entry that a pot accounts for
	for back := longestPot; back > 0 && card.Starts != flow.Untimed; back-- {
		day := p.from.AddDate(0, 0, -back)
		pot := Pot{Step: step, Begins: minutesAfter(day, card.Starts), took: float64(k.BatchesOn(step, day))}
		lost := 0.0
		if pot.Out = minutesAfter(pot.Begins, st.Length()); !pot.Out.After(p.from) {
			continue
		}
		for n := range list {
			switch e := &list[n]; {
			case e.Step != st.Name:
			case e.Kind == Lost && e.On(k).Equal(day):
				lost = 1 - (1-lost)*(1-e.Share)
			case e.Kind == Cooked && !e.At.Before(pot.Begins):
				take := min(pot.took, e.Batches-used[n])
				used[n] += take
				pot.took -= take
			}
		}
		if pot.Batches = pot.took * (1 - lost); pot.took > slack {
			p.Pots = append(p.Pots, pot)
		}
	}
	yesterday, written, cooks := p.from.AddDate(0, 0, -1), 0, false
	for n, e := range list {
		cooks = cooks || e.Kind == Cooked
		if e.Step != st.Name {
			continue
		}
		if e.Kind == Cooked && !e.At.Before(p.from) {
			p.cooked[step] += e.Batches - used[n]
		}
		if e.Kind == Lost && e.On(k).Before(p.from) && !slices.ContainsFunc(p.Pots, func(pot Pot) bool { return pot.Step == step }) &&
			!slices.Contains(p.Lost, step) {
			p.Lost = append(p.Lost, step)
		}
		if e.Kind == Cooked && !e.At.Before(yesterday) || e.Kind == Lost && e.On(k).Equal(yesterday) {
			written++
		}
	}
	out := minutesAfter(yesterday, max(card.Starts, 0)+st.Length())
	if cooks && written == 0 && k.BatchesOn(step, yesterday) > 0 && !out.After(p.from) {
		p.Unwritten = append(p.Unwritten, step)
	}
}

func minutesAfter(t time.Time, minutes int) time.Time {
	return t.Add(time.Duration(minutes) * time.Minute)
}

// cook takes off the shelves what a pot takes, first choices and as far as it is there.
func (s *Stock) cook(k *kitchen.Kitchen, pot *Pot) {
	st := k.Graph.Steps[pot.Step]
	for _, line := range st.Takes {
		item, left := line.Choices[0].Item, line.Choices[0].Amount*pot.took
		for n := range s.Lots {
			if l := &s.Lots[n]; l.Item == item {
				part := min(left, l.Amount)
				l.Amount -= part
				left -= part
			}
		}
	}
	s.Lots = slices.DeleteFunc(s.Lots, func(l Lot) bool { return l.Amount <= 0 })
}

// Continue is a week that begins on the first day, going on from the present: services that are over are closed, of one that
// goes on only what is left of its forecast is asked for from now on, and batches that were written down are not made
// again.
func (p *Present) Continue(w *week.Week) *week.Week {
	s := *w.Case.Schedule
	for _, pot := range p.Pots {
		if pot.Batches > 0 {
			s.Pots = append(s.Pots, p.underWay(w, pot))
		}
	}
	now := int(p.asOf.Sub(p.from).Minutes())
	if now <= 0 {
		return w.GoingOn(flow.Case{Flow: w.Case.Flow, Schedule: &s})
	}
	s.Batches, s.Slots, s.Wants = slices.Clone(s.Batches), slices.Clone(s.Slots), slices.Clone(s.Wants)
	done := slices.Clone(p.cooked)
	for r := range s.Batches {
		if run := &s.Batches[r]; run.Day == 0 {
			take := min(run.Size, done[run.Step])
			run.Size -= take
			done[run.Step] -= take
		}
	}
	for d := range s.Wants {
		s.Wants[d].Forecast = slices.Clone(s.Wants[d].Forecast)
	}
	for slot, sit := range w.Sittings {
		at := &s.Slots[slot]
		if sit.Day != 0 || sit.Service < 0 {
			continue
		}
		at.Closed = at.End <= now
		for d, dish := range w.Dishes {
			f := &s.Wants[d].Forecast[slot]
			if *f = max(0, *f-p.sold[plate{dish.Name, w.Services[sit.Service].Name}]); at.Closed {
				*f = 0
			}
		}
		if !at.Closed {
			at.Start = max(at.Start, now)
		}
	}
	return w.GoingOn(flow.Case{Flow: w.Case.Flow, Schedule: &s})
}

// underWay is a pot as the schedule of a week has it.
func (p *Present) underWay(w *week.Week, pot Pot) flow.Pot {
	minute := int(pot.Begins.Sub(p.from).Minutes())
	out := flow.Pot{Step: pot.Step, Day: int(midnight(pot.Begins).Sub(p.from).Hours() / 24), Start: minute, Batches: pot.Batches}
	for _, g := range w.Graph.Steps[pot.Step].Gives {
		out.Gives = append(out.Gives, flow.PotLine{Item: g.Item, Amount: g.Amount * pot.Batches, Minute: minute + g.OutAt})
	}
	return out
}

// Stores is a week with what it needs on hand, until the first delivery that can come, of bought items that nobody keeps book
// of: they are taken to be in the store. A week that was changed by [Book.Decisions] needs it as it is then.
func (p *Present) Stores(w *week.Week) *week.Week {
	s := *w.Case.Schedule
	s.Arrives = slices.Clone(s.Arrives)
	until := make([]int, len(s.Arrives)) // by item: the first day on which it can come
	for i, days := range s.Arrives {
		if p.Stock.NoBook[i] && days != nil {
			if until[i] = slices.Index(days, true); until[i] < 0 {
				until[i] = w.Days
			}
			s.Arrives[i] = nil
		}
	}
	needs := make([]float64, len(s.Arrives))
	for _, d := range w.By(week.Fair).Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: &s}, nil).Deliveries {
		if keeps := w.Terms.Keeps[d.Item]; d.Day < until[d.Item] && (keeps == 0 || d.Day < keeps) {
			needs[d.Item] += d.Amount
		}
	}
	var stored []flow.Lot
	for i, amount := range needs {
		if amount > 0 {
			stored = append(stored, flow.Lot{Item: i, Amount: amount})
		}
	}
	return w.Stocked(stored...)
}

// Told says of each pot that it is counted, and what is not.
func (p *Present) Told(k *kitchen.Kitchen) (list []string) {
	for _, pot := range p.Pots {
		if pot.Batches <= 0 {
			continue
		}
		list = append(list, fmt.Sprintf("nobody logged %s on %s; it is counted as planned, out by %s",
			k.Graph.Steps[pot.Step].Name, measure.FormatDay(pot.Begins), measure.FormatMoment(pot.Out)))
	}
	if len(p.Unwritten) > 0 {
		list = append(list, fmt.Sprintf("planned for %s, but not in the log book, so not counted: %s",
			measure.FormatDay(p.from.AddDate(0, 0, -1)), stepNames(k, p.Unwritten)))
	}
	if len(p.Lost) > 0 {
		list = append(list, "lost, so no longer counted: "+stepNames(k, p.Lost)+
			"; what it took and gave is as logged: count it, or log what was binned")
	}
	return list
}

func stepNames(k *kitchen.Kitchen, steps []int) string {
	var names []string
	for _, step := range steps {
		names = append(names, k.Graph.Steps[step].Name)
	}
	return strings.Join(names, ", ")
}
