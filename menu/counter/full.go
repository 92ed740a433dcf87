package counter

// Full pots: a trifle that a batch lacks is bought, where that costs next to nothing.

import (
	"context"
	"slices"
)

// hair is which part of the money in hand a set may bring less than the best, and still be as good to a cook whose pots it fills.
const hair = 0.005

// full goes from the best set to one that is as good to within a hair and fills pots: batch by batch, what one that is lit is short of is bought,
// as far as that is on offer and there is money for it. Where that is dearer than a hair, a smaller batch is what pays: loses is by batch
// what is earned less with all of it.
func (s *Search) full(ctx context.Context, best *purchase) (x *purchase, loses map[int]float64) {
	defer s.cook(s.way)
	s.cook(best.way)
	x, loses = best, map[int]float64{}
	list := s.shortBatches(best)
	for _, b := range list {
		p := s.filled(x, b.batch)
		switch {
		case ctx.Err() != nil:
			return best, nil
		case p == nil || lacking(s.shortBatches(p)) > lacking(s.shortBatches(x))-nearly: // it would take from another
		case p.counts < best.counts-hair*s.o.Spend:
			loses[b.batch] = s.brings(x, p)
		default:
			x = p
		}
	}
	return x, loses
}

// filled is a purchase with what else one of the batches takes; nil where that can't be had.
func (s *Search) filled(p *purchase, batch int) *purchase {
	for range len(s.o.Offers) + 1 {
		short := s.shortBatches(p)
		k := slices.IndexFunc(short, func(b shortBatch) bool { return b.batch == batch })
		if k < 0 {
			return p
		}
		n := slices.IndexFunc(s.o.Offers, func(o Offer) bool { return o.Item == short[k].item })
		if n < 0 {
			return nil
		}
		l, enough := s.ladders[n], p.at[n]
		for _, line := range s.Graph.Steps[s.base.Schedule.Batches[batch].Step].Takes {
			if line.Choices[0].Item == short[k].item {
				enough += short[k].less * line.Choices[0].Amount
			}
		}
		r := floor(l, enough)
		if l[r].amount < enough*(1-nearly) {
			r++
		}
		if r == len(l) || r <= p.rungs[n] {
			return nil
		}
		if p = s.try(set(p.rungs, n, r)); !s.fits(p, s.o.Spend) {
			return nil
		}
	}
	return nil
}

// shortBatch is a batch that is lit and not all made.
type shortBatch struct {
	batch int
	less  float64
	item  int // that it is short of; below 0 for none
}

// shortBatches are those of a purchase, on the days asked about. What is not lit at all lacks nothing.
func (s *Search) shortBatches(p *purchase) (list []shortBatch) {
	c := s.with(p.at, false)
	o := s.Player().Play(c, nil)
	for r, b := range c.Schedule.Batches {
		if ran := o.Ran[r]; b.Day < s.Days && b.Size-ran.Batches > 0.005 && ran.Batches > nearly {
			list = append(list, shortBatch{r, b.Size - ran.Batches, ran.Limit})
		}
	}
	return list
}

func lacking(list []shortBatch) (batches float64) {
	for _, b := range list {
		batches += b.less
	}
	return batches
}
