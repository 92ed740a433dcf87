package logbook

// What is said beside entries: as the log book has it, and of the last days with what counts as planned, as all other answers do.

import (
	"context"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// AsTold is [Book.OnHand], but that what does not add up, and what was counted against the log book, goes by [Book.Present] from
// two midnights before that of the kitchen's day on: of food that nobody logged as cooked, what counts as planned is there.
func (j *Book) AsTold(ctx context.Context, k *kitchen.Kitchen, planned Planned, asOf time.Time) (*Stock, error) {
	stock, err := j.OnHand(ctx, k, asOf)
	if err != nil || len(stock.Odd)+len(stock.Counts) == 0 {
		return stock, err
	}
	today := k.DayAt(asOf)
	list, err := j.standing(ctx, byMoment, between(today.AddDate(0, 0, -2).Add(time.Second), asOf))
	if err != nil {
		return nil, err
	}
	late := map[int64]bool{}
	for i := range list {
		late[list[i].ID] = true
	}
	if !slices.ContainsFunc(stock.Odd, func(o Oddity) bool { return late[o.Entry] }) &&
		!slices.ContainsFunc(stock.Counts, func(c Count) bool { return late[c.Entry] }) {
		return stock, nil
	}
	present, err := j.Present(ctx, k, planned, today, asOf)
	if err != nil {
		return nil, err
	}
	said := *stock
	said.Odd = slices.DeleteFunc(slices.Clone(stock.Odd), func(o Oddity) bool { return late[o.Entry] })
	for _, o := range present.Stock.Odd {
		if late[o.Entry] {
			said.Odd = append(said.Odd, o)
		}
	}
	said.Counts = slices.DeleteFunc(slices.Clone(stock.Counts), func(c Count) bool { return late[c.Entry] })
	for _, c := range present.Stock.Counts {
		if late[c.Entry] {
			said.Counts = append(said.Counts, c)
		}
	}
	return &said, nil
}

// wanting says which bought items the batches under way still take more of than there is, where none of it can come that day:
// two pots were lit with food for one.
func (p *Present) wanting() (list []string) {
	needs := make([]float64, len(p.k.Graph.Items))
	for _, pot := range p.pots {
		for _, t := range pot.Takes {
			line := slices.IndexFunc(p.k.Graph.Steps[pot.Step].Takes, func(l graph.Line) bool { return l.Choices[0].Item == t.Item })
			if line < 0 || p.k.Graph.Steps[pot.Step].Takes[line].Optional {
				continue // what it can do without, or what somebody chose
			}
			if i := t.Item; i < len(p.k.Bought) && !p.Stock.NoBook[i] && !p.k.Bought[i].Arrives[p.today.Weekday()] {
				needs[i] += t.Amount
			}
		}
	}
	for _, l := range p.Stock.Lots {
		needs[l.Item] -= l.Amount
	}
	for i, missing := range needs {
		if missing > dust {
			list = append(list, p.k.Counted(i, missing))
		}
	}
	return list
}

// dust is an amount, in base units, that only the rounding of sums leaves.
const dust = 1e-3
