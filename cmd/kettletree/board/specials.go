package board

// Specials: what would be left or binned, and the dishes that would use it up. One that is accepted is written down, and then
// stands on Today.

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/specials"
)

var specialsPage = &page{Path: "/specials", Name: "Specials", File: "specials", Studies: true, Answer: theSpecials}

// specialsAnswer is what the page shows.
type specialsAnswer struct {
	*studied
	Says   string
	Offers *specials.Offers // nil when they are not there yet
	Over   []heap           // what is binned, and what is left
	Kept   []specials.Surplus
}

// heap is what goes the same way on the same day.
type heap struct {
	Head string
	Lots []specials.Surplus
}

func theSpecials(ctx context.Context, a *asked) (any, error) {
	week := a.Week
	s, err := a.study(ctx, a.board.long, a.frameKey(), func(ctx context.Context, say func(string)) (any, error) {
		return specials.Specials(ctx, week, nil, func(done float64) { say(fmt.Sprintf("%.0f%% of the dishes tried", 100*done)) })
	})
	if err != nil {
		return nil, err
	}
	p := &specialsAnswer{studied: s}
	var ok bool
	if p.Offers, ok = s.Found.(*specials.Offers); !ok {
		return p, nil
	}
	p.Says = show.SpecialsAnswer(p.Offers)
	own := *p.Offers // the finding is shared
	own.Proposals = slices.Clone(own.Proposals)
	slices.SortStableFunc(own.Proposals, func(x, y specials.Proposal) int { return cmp.Compare(firstDay(x), firstDay(y)) })
	p.Offers = &own
	for _, x := range p.Offers.Surplus {
		if x.Binned == nil {
			p.Kept = append(p.Kept, x)
			continue
		}
		head := "Binned on " + show.Weekday(*x.Binned) + ", at midnight"
		if x.Left {
			head = "Left over, and binned on " + show.Weekday(*x.Binned)
		}
		if n := len(p.Over); n == 0 || p.Over[n-1].Head != head {
			p.Over = append(p.Over, heap{Head: head})
		}
		at := &p.Over[len(p.Over)-1]
		at.Lots = append(at.Lots, x)
	}
	return p, nil
}

// HeapOf says of a heap which day it is of, what it costs and what it is.
func (v *view) HeapOf(h heap) string {
	cost, names := 0.0, make([]string, 0, len(h.Lots))
	for _, l := range h.Lots {
		cost += l.Cost
		if !slices.Contains(names, l.Item) {
			names = append(names, l.Item)
		}
	}
	return v.T("%[1]s: %[2]s", v.Phrase(h.Head), v.T("%[1]s, %[2]s", v.Money.Name(cost), v.firstOf(names)))
}

// firstDay is the day of the first service at which a special would be offered: those of the next services come first.
func firstDay(p specials.Proposal) string {
	if len(p.Offer.Services) == 0 {
		return "9"
	}
	return p.Offer.Services[0].Date
}
