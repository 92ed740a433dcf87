package counter

// Trade-downs: less of one thing, and what the cards take in its place, each played before it is offered.

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kettletree/menu/ask"
	"kettletree/menu/taste"
	"kettletree/menu/week"
)

// Swap is less of a thing on offer than the answer buys, and what the cards take in its place. It earns more than the answer, which keeps to
// the cards.
type Swap struct {
	Less    string  `json:"less"`             // of this
	By      float64 `json:"by"`               // in its unit
	Unit    string  `json:"unit"`             // its unit
	Share   float64 `json:"share"`            // of what the answer buys of it
	Instead string  `json:"instead"`          // what is bought more in its place, or else what goes in for it; "" where nothing does
	More    float64 `json:"more"`             // of that, to buy here; 0 where it is on hand or comes as usual
	In      string  `json:"more_unit"`        // its unit
	Saves   float64 `json:"saves"`            // what all days that were played earn more by it
	Spends  float64 `json:"spends_less"`      // at the counter; below 0: more
	Off     []Off   `json:"off_menu"`         // what goes shorter than with the answer: portions beyond its
	Gone    int     `json:"portions_fewer"`   // of all of those
	Departs []Cards `json:"departures"`       // what is then not made as its card has it, and is with the answer
	Alarms  bool    `json:"brings_allergens"` // or something of which they are not stated

	Taste []taste.Expected `json:"taste"` // what it does to the taste of what something else, or less, goes into
}

// Cards is where plates and batches are not as their cards have them.
type Cards = ask.Departure

const (
	mostSwaps = 5
	// Of a thing, a tenth less of it is tried, two tenths, and so on up to all of it.
	swapParts = 10
	// worthSaying is which part of the money in hand a swap must save to be told.
	worthSaying = 0.002
)

// swaps finds those of a purchase, best first: those by which nothing goes off the menu before others.
func (s *Search) swaps(ctx context.Context, x *purchase) (list []Swap, err error) {
	was, err := s.With(s.with(x.at, true)).Play(ctx)
	if err != nil {
		return nil, err
	}
	had := slices.Clone(s.outcome(x))
	for _, pair := range s.pairs(x) {
		if ctx.Err() != nil {
			break
		}
		w, p := s.swap(x, had, pair)
		if p == nil {
			continue
		}
		is, err := s.With(s.with(p.at, true)).Play(ctx)
		if err != nil {
			return nil, err
		}
		w.Departs = ask.Departures(s.Week, is, was, nil)
		for n := range w.Departs {
			w.Departs[n].Because = nil // it was chosen
		}
		if w.More == 0 {
			w.Instead, w.In = s.goesIn(pair.offer, was, is)
		}
		w.Alarms = slices.ContainsFunc(w.Departs, Cards.Alarms)
		w.Taste = s.o.Learned.Expect(s.Kitchen, is, was)
		list = append(list, w)
	}
	slices.SortStableFunc(list, func(a, b Swap) int {
		return cmp.Or(min(a.Gone, 1)-min(b.Gone, 1), cmp.Compare(b.Saves, a.Saves), cmp.Compare(a.More, b.More))
	})
	few := []Swap{} // of two ways to do the same, the better one
	for _, w := range list {
		if len(few) < mostSwaps && !slices.ContainsFunc(few, func(o Swap) bool {
			return o.Less == w.Less && o.By == w.By && math.Abs(o.Saves-w.Saves) < max(worthSaying*s.o.Spend, cent)
		}) {
			few = append(few, w)
		}
	}
	return few, nil
}

// goesIn is what most goes in where less of an offer or of its parts does, played before and after: a card may take something else for it than
// what the swap was looked for with. "" where nothing does.
func (s *Search) goesIn(offer int, was, is *week.Played) (item, unit string) {
	less := []int{s.o.Offers[offer].Item}
	if step := s.breaksDown(less[0]); step >= 0 {
		for _, give := range s.Graph.Steps[step].Gives {
			less = append(less, give.Item)
		}
	}
	more := make([]float64, len(s.Graph.Items))
	for k, st := range s.Graph.Steps {
		for l, line := range st.Takes {
			by := make([]float64, len(line.Choices))
			fell := false
			for c, choice := range line.Choices {
				at := s.Week.Case.Flow.Choice(k, l, c)
				by[c] = is.Outcome.Used[at] - was.Outcome.Used[at]
				fell = fell || by[c] < -nearly*choice.Amount && slices.Contains(less, choice.Item)
			}
			for c, choice := range line.Choices {
				if fell && by[c] > nearly*choice.Amount {
					more[choice.Item] += by[c]
				}
			}
		}
	}
	most := 0
	for n := range more {
		if more[n] > more[most] {
			most = n
		}
	}
	if len(more) == 0 || more[most] == 0 {
		return "", ""
	}
	return s.Graph.Items[most].Name, s.Graph.Items[most].Unit.Name
}

// Freely is what would bring more than the answer, off the cards where they allow it.
type Freely struct {
	Buy     []Step  `json:"buy"`              // otherwise than the answer
	Less    float64 `json:"spends_less"`      // at the counter; below 0: more
	More    float64 `json:"brings_more"`      // than the answer
	Moved   bool    `json:"moves_batches"`    // by other batches, too
	Off     []Off   `json:"off_menu"`         // what goes shorter than with the answer: portions beyond its
	Departs []Cards `json:"departures"`       // what is then not made as its card has it, and is with the answer
	Alarms  bool    `json:"brings_allergens"` // or something of which they are not stated
}

// freed is what brings most for the money in hand. Nil where the answer does.
func (s *Search) freed(ctx context.Context, x *purchase, was *week.Played) (*Freely, error) {
	p := s.mostOf(s.o.Spend)
	if s.brings(p, x) < max(worthSaying*s.o.Spend, cent) {
		return nil, nil
	}
	had := slices.Clone(s.outcome(x))
	defer s.cook(s.way)
	s.cook(p.way)
	is, err := s.With(s.with(p.at, true)).Play(ctx)
	if err != nil {
		return nil, err
	}
	f := &Freely{Buy: s.otherwise(x, p), Less: x.costs - p.costs, More: s.brings(p, x), Moved: p.way != x.way, Off: s.shorter(had, s.outcome(p)), Departs: ask.Departures(s.Week, is, was, nil)}
	for n := range f.Departs {
		f.Departs[n].Because = nil // it was chosen
	}
	f.Alarms = slices.ContainsFunc(f.Departs, Cards.Alarms)
	return f, nil
}

// pair is an offer that is bought, and what a line of a card takes in its place, or in place of a part that it is broken down into.
type pair struct {
	offer   int
	instead int     // item; -1 where the card goes on without
	other   int     // the offer that this is, or of which it is a part; -1 where it comes as usual or is on hand
	like    float64 // so much of the other as the card takes for one of the offer, base units
}

// origin is an offer that an item is, or is a part of, and how much of the offer there is to one of the item, base units.
type origin struct {
	offer int
	per   float64
}

func (s *Search) pairs(x *purchase) (list []pair) {
	behind := make([][]origin, len(s.Graph.Items)) // by item
	for n, o := range s.o.Offers {
		behind[o.Item] = append(behind[o.Item], origin{n, 1})
		if step := s.breaksDown(o.Item); step >= 0 {
			st := &s.Graph.Steps[step]
			for _, give := range st.Gives {
				behind[give.Item] = append(behind[give.Item], origin{n, st.Takes[0].Choices[0].Amount / give.Amount})
			}
		}
	}
	add := func(p pair) {
		if x.at[p.offer] > 0 && p.offer != p.other && !slices.Contains(list, p) {
			list = append(list, p)
		}
	}
	for _, st := range s.Graph.Steps {
		for _, line := range st.Takes {
			for _, a := range line.Choices {
				for _, from := range behind[a.Item] {
					for _, b := range line.Choices {
						switch {
						case b.Item == a.Item:
						case behind[b.Item] == nil:
							add(pair{from.offer, b.Item, -1, 0})
						default:
							for _, o := range behind[b.Item] {
								add(pair{from.offer, b.Item, o.offer, b.Amount * o.per / (a.Amount * from.per)})
							}
						}
					}
					if line.Optional || line.Without > 0 {
						add(pair{from.offer, -1, -1, 0})
					}
				}
			}
		}
	}
	return list
}

// swap is the best of a pair: of those by which nothing more goes off the menu, or else of all, that which saves most. Nil where none saves
// anything.
func (s *Search) swap(x *purchase, had []float64, of pair) (best Swap, found *purchase) {
	o := s.o.Offers[of.offer]
	for _, y := range s.insteadOf(x, of) {
		p := s.try(y)
		saves := s.brings(p, x)
		if saves < max(worthSaying*s.o.Spend, cent) || !s.fits(p, s.o.Spend) || found != nil && best.Gone == 0 && saves <= best.Saves {
			continue
		}
		off := s.shorter(had, s.outcome(p))
		gone := 0
		for _, f := range off {
			gone += f.Short
		}
		if found != nil && (gone > 0 && best.Gone == 0 || min(gone, 1) == min(best.Gone, 1) && saves <= best.Saves) {
			continue
		}
		it := s.Graph.Items[o.Item]
		best = Swap{Less: it.Name, By: (x.at[of.offer] - p.at[of.offer]) / it.Unit.Factor, Unit: it.Unit.Name, Share: 1 - p.at[of.offer]/x.at[of.offer],
			Saves: saves, Spends: x.costs - p.costs, Off: off, Gone: gone}
		if of.instead >= 0 {
			best.Instead, best.In = s.Graph.Items[of.instead].Name, s.Graph.Items[of.instead].Unit.Name
		}
		if of.other >= 0 {
			more := s.Graph.Items[s.o.Offers[of.other].Item]
			best.Instead, best.In = more.Name, more.Unit.Name
			best.More = max(0, p.at[of.other]-x.at[of.other]) / more.Unit.Factor
		}
		found = p
	}
	return best, found
}

// insteadOf are the sets with a tenth less of one thing of a pair, with two tenths and so on, each with as much more of the other as is of use, and as
// the card takes for it.
func (s *Search) insteadOf(x *purchase, of pair) (list [][]int) {
	for part := 1; part <= swapParts; part++ {
		r := floor(s.ladders[of.offer], x.at[of.offer]*float64(swapParts-part)/swapParts)
		if r == x.rungs[of.offer] {
			continue
		}
		y := set(x.rungs, of.offer, r)
		if of.other < 0 {
			list = append(list, y)
			continue
		}
		list = append(list, s.madeUp(y, of.other))
		l := s.ladders[of.other]
		more := floor(l, x.at[of.other]+of.like*(x.at[of.offer]-s.ladders[of.offer][r].amount))
		list = append(list, set(y, of.other, more), set(y, of.other, min(more+1, len(l)-1)))
	}
	return list
}

// tradeDowns tries what the cards take in place of what a purchase holds.
func (s *Search) tradeDowns(ctx context.Context, x *purchase) {
	defer s.cook(s.way)
	s.cook(x.way)
	for _, of := range s.pairs(x) {
		for _, y := range s.insteadOf(x, of) {
			if ctx.Err() != nil {
				return
			}
			s.try(y)
		}
	}
}

// madeUp takes as much more of another thing as is of use: the least that is as good as all there is.
func (s *Search) madeUp(y []int, n int) []int {
	low, high := y[n], len(s.ladders[n])-1
	all := s.gross(s.try(set(y, n, high)))
	for low < high {
		mid := (low + high) / 2
		if s.gross(s.try(set(y, n, mid))) >= all-better {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return set(y, n, high)
}

// outcome is what is served of all dishes, on all days that are played; valid until the next.
func (s *Search) outcome(p *purchase) []float64 {
	_, o := s.onward.Play(s.with(p.at, false))
	return o.Served
}

// shorter is what is served less than before, by dish.
func (s *Search) shorter(had, is []float64) (list []Off) {
	dishes := s.Kitchen.Dishes
	for d := range dishes {
		off := Off{Dish: dishes[d].Name}
		for slot, sit := range s.Sittings {
			off.Of += int(had[slot*len(dishes)+d] + 0.5)
			less := int(math.Round(had[slot*len(dishes)+d] - is[slot*len(dishes)+d]))
			if off.Short += less; less > 0 && off.Date == "" && sit.Service >= 0 {
				off.Date, off.Service = s.Date(sit.Day).Format("2006-01-02"), s.Services[sit.Service].Name
			}
		}
		if off.Short > 0 {
			list = append(list, off)
		}
	}
	return list
}
