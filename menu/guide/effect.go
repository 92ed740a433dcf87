package guide

// Items and dishes: where they come from and go to, and what follows when something is missing.

import (
	"context"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/batch"
	"kettletree/graph/flow"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// effect is what the week with a mishap sells, against the week without.
func effect(ctx context.Context, w *week.Mishaps, s week.Shock) (Effect, error) {
	e := Effect{Stops: []string{}, Fewer: []Fewer{}, GoesOn: []string{}}
	before, after, err := w.Compare(ctx, s)
	if err != nil {
		return e, err
	}
	was, is := portions(w.Week, before), portions(w.Week, after)
	for d, dish := range w.Dishes {
		switch {
		case was[d] == 0:
		case is[d] == 0:
			e.Stops = append(e.Stops, dish.Name)
		case is[d] < was[d]:
			e.Fewer = append(e.Fewer, Fewer{dish.Name, int(was[d]), int(is[d])})
		default:
			e.GoesOn = append(e.GoesOn, dish.Name)
		}
	}
	return e, nil
}

// portions are how many of each dish are sold over the period.
func portions(w *week.Week, o *flow.Outcome) []float64 {
	sum := make([]float64, len(w.Dishes))
	for at, n := range o.Served {
		sum[at%len(sum)] += n
	}
	return sum
}

// items tells of every bought and made item.
func (b *builder) items(ctx context.Context) error {
	var err error
	if b.mishaps, err = b.Mishaps(ctx); err != nil {
		return err
	}
	latest, err := b.latestStarts(ctx)
	if err != nil {
		return err
	}
	b.guide.Items = []Item{}
	b.effects = make([]Effect, len(b.Graph.Items))
	for i, it := range b.Graph.Items {
		if it.Role == graph.Sold {
			continue
		}
		if err := context.Cause(ctx); err != nil {
			return err
		}
		if b.effects[i], err = effect(ctx, b.mishaps, b.Missing(i)); err != nil {
			return err
		}
		item := Item{Name: it.Name, Bought: it.Role == graph.Bought, Keeps: b.Terms.Keeps[i], Makers: []Maker{}, Uses: []Use{},
			Arrives: []int{}, Swaps: []Swap{}, LeaveOut: []string{}, Without: b.effects[i]}
		if item.Bought {
			card := b.Bought[i]
			item.Supplier = card.From
			for d := range 7 {
				if day := (d + 1) % 7; card.Arrives[day] && b.Works[day] {
					item.Arrives = append(item.Arrives, day)
				}
			}
			if card.Pack > 0 {
				item.Pack = new(b.amount(i, card.Pack))
			}
		}
		for s, st := range b.Graph.Steps {
			for _, o := range st.Gives {
				if o.Item != i {
					continue
				}
				a := b.amountOn(s, kitchen.AnyLine, i, o.Amount)
				m := Maker{Step: st.Name, Amount: a.Amount, Unit: a.Unit, How: how(st), OutAt: o.OutAt, as: a.as}
				if l, ok := latest[st.Name]; ok && st.Mode == graph.OnDays {
					m.Latest, m.Service, m.Begins, m.Nobody = &l.at, l.service, l.begins, l.nobody
				}
				item.Makers = append(item.Makers, m)
			}
			b.uses(&item, s, i)
		}
		b.guide.Items = append(b.guide.Items, item)
	}
	return nil
}

// sameStrength is how far the card's amount may be from one that tastes as strong before that is said. Common practice, no source.
const sameStrength = 0.1

// uses adds what a step or dish does with an item.
func (b *builder) uses(item *Item, step, i int) {
	st := b.Graph.Steps[step]
	for at, l := range st.Takes {
		for n, c := range l.Choices {
			if c.Item != i {
				continue
			}
			a := b.amountOn(step, at, i, c.Amount)
			use := Use{In: st.Name, Dish: step >= len(b.Steps), Amount: a.Amount, Unit: a.Unit, Unsaid: b.Unsaid(step, at), as: a.as}
			if n > 0 {
				use.Substitute = b.Graph.Items[l.Choices[0].Item].Name
			}
			item.Uses = append(item.Uses, use)
		}
		if l.Choices[0].Item != i {
			continue
		}
		if l.Optional {
			item.LeaveOut = append(item.LeaveOut, st.Name)
		}
		for n, c := range l.Choices[1:] {
			more := b.Stated(c.Item).Beyond(b.Stated(i))
			swap := Swap{In: st.Name, Instead: b.amountOn(step, at, c.Item, c.Amount), Allergens: more.Has, May: more.May, Unstated: more.Unknown}
			if one, ok := batch.AsStrong(b.Graph.Items, l, n+1, 1); ok {
				first := l.Choices[0]
				if alike := first.Amount / one; math.Abs(alike-c.Amount) > sameStrength*alike {
					swap.For, swap.Alike = new(b.amountOn(step, at, i, first.Amount)), new(b.amountOn(step, at, c.Item, alike))
				}
			}
			item.Swaps = append(item.Swaps, swap)
		}
	}
}

// start is the latest start of a step for a service.
type start struct {
	at, service, begins string
	nobody              bool // is there to begin it then
}

// mostServices bounds for how many services the timetable is asked back from.
const mostServices = 28

// latestStarts are the latest starts of the steps on set days, each for the first service of the period that rests on it.
func (b *builder) latestStarts(ctx context.Context) (map[string]start, error) {
	found := map[string]start{}
	wanted := map[string]bool{}
	for s := range b.Steps {
		if len(b.runs(s)) > 0 {
			wanted[b.Graph.Steps[s].Name] = true
		}
	}
	played, err := b.Play(ctx)
	if err != nil {
		return nil, err
	}
	sold := played.Outcome.Served
	for slot, sit := range b.Sittings[:min(len(b.Sittings), mostServices)] {
		wants := len(b.Dishes)
		if sit.Service < 0 || len(found) >= len(wanted) || !slices.ContainsFunc(sold[slot*wants:(slot+1)*wants],
			func(n float64) bool { return n > 0 }) {
			continue
		}
		if err := context.Cause(ctx); err != nil {
			return nil, err
		}
		t, err := clock.ToBeReady(ctx, b.Week, slot)
		if err != nil {
			return nil, err
		}
		for _, l := range t.Latest {
			if _, ok := found[l.Step]; !ok && wanted[l.Step] {
				found[l.Step] = start{l.At, b.Services[sit.Service].Name, t.Ready.Begins, l.Nobody}
			}
		}
	}
	return found, nil
}

// dishes tells what lies on each plate.
func (b *builder) dishes(context.Context) error {
	sheet := ask.Allergens(b.Week.Kitchen)
	b.guide.Dishes = []Dish{}
	raw := map[string]*kitchen.RawServed{}
	for n := range sheet.Raw {
		raw[sheet.Raw[n].Dish] = &sheet.Raw[n]
	}
	for d, dish := range b.Dishes {
		told := Dish{Name: dish.Name, Special: dish.Special, Telling: b.telling(len(b.Steps) + d), Lines: b.lines(len(b.Steps) + d), Allergens: sheet.Dishes[d].Allergens,
			May: sheet.Dishes[d].May, Unstated: sheet.Dishes[d].Unstated, Raw: raw[dish.Name], RestsOn: []string{}}
		for i, it := range b.Graph.Items {
			if it.Role != graph.Sold && slices.Contains(b.effects[i].Stops, dish.Name) {
				told.RestsOn = append(told.RestsOn, it.Name)
			}
		}
		b.guide.Dishes = append(b.guide.Dishes, told)
	}
	return nil
}
