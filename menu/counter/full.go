package counter

// Full pots: a trifle that a batch lacks is bought, where that costs next to nothing.

import (
	"context"
	"slices"
)

// hair is which part of the money in hand a set may bring less than the best, and still be as good to a cook whose pots it fills.
const hair = 0.005

// mostFills is how often more of each thing is taken for one batch at most.
const mostFills = 3

// trifling is of which part of a batch a cook makes none: common practice, no source.
const trifling = 0.05

// Why no more is bought of what a batch is short of, though more of it hangs there.
const (
	WhyPays   = "does not pay"
	WhyMoney  = "money"       // there is not enough in hand
	WhyCar    = "car"         // it carries no more
	WhyFew    = "not enough"  // all that is on offer does not do
	WhyShort  = "short of it" // the batch is then short of something else, which is not on offer
	WhyOthers = "others"      // another batch is then short of something
)

// scant is why a batch is short of something.
type scant struct {
	why   string  // "" where what it is short of is not on offer
	loses float64 // what is earned less with all of it
}

// full goes from the best set to one that is as good to within a hair and fills pots: batch by batch, what one that is lit is short of is bought,
// as far as that is on offer and there is money for it. Where that is dearer than a hair, a smaller batch is what pays. What is not lit at all is
// lit only where that is the better. It says by batch why one is still short.
func (s *Search) full(ctx context.Context, best *purchase) (x *purchase, why map[int]scant) {
	defer s.cook(s.way)
	s.cook(best.way)
	x, why = best, map[int]scant{}
	for _, b := range s.shortBatches(best) {
		p, is := s.filled(x, b.batch)
		if p != nil && b.lit {
			p = s.suited(ctx, p, b.batch)
		}
		switch {
		case ctx.Err() != nil:
			return best, nil
		case p == nil:
			why[b.batch] = scant{why: is}
		case b.lit && lacking(s.shortBatches(p)) > lacking(s.shortBatches(x))-nearly: // it would take from another
			why[b.batch] = scant{why: WhyOthers}
		case b.lit && min(p.counts-best.counts, s.brings(p, best)) >= -hair*s.o.Spend, p.counts > x.counts+better:
			x = p
		default:
			why[b.batch] = scant{WhyPays, s.brings(x, p)}
		}
	}
	return x, why
}

// filled is a purchase with what else one of the batches takes; nil where that can't be had, and why.
func (s *Search) filled(p *purchase, batch int) (*purchase, string) {
	for turn := range mostFills * len(s.o.Offers) {
		short := s.shortBatches(p)
		k := slices.IndexFunc(short, func(b shortBatch) bool { return b.batch == batch })
		if k < 0 {
			return p, ""
		}
		n := slices.IndexFunc(s.o.Offers, func(o Offer) bool { return o.Item == short[k].item })
		switch {
		case n < 0 && turn == 0:
			return nil, ""
		case n < 0:
			return nil, WhyShort
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
		switch {
		case p.rungs[n] == len(l)-1:
			return nil, WhyFew
		case r == len(l):
			r-- // what there is of it: the rest is seen by the next turn
		case r <= p.rungs[n]:
			return nil, ""
		}
		p = s.try(set(p.rungs, n, r))
		switch {
		case p.weighs > s.carries():
			return nil, WhyCar
		case !s.fits(p, s.o.Spend):
			return nil, WhyMoney
		}
	}
	return nil, ""
}

// rounds is how often a set that fills a batch is made better at most.
const rounds = 4

// suited goes from a set that fills a batch to better ones that fill it, by a little more or less of one thing at a time: what a full batch takes of what is
// made here, another goes without, and a handful more of what that is made of may cost next to nothing.
func (s *Search) suited(ctx context.Context, p *purchase, batch int) *purchase {
	for range rounds {
		var list [][]int
		for n, l := range s.ladders {
			for _, step := range []int{1, -1, 4, -4} {
				if r := p.rungs[n] + step; r >= 0 && r < len(l) {
					list = append(list, set(p.rungs, n, r))
				}
			}
		}
		s.play(list)
		was := p
		for _, y := range list {
			if q := s.try(y); s.fits(q, s.o.Spend) && s.beats(q, p) &&
				!slices.ContainsFunc(s.shortBatches(q), func(b shortBatch) bool { return b.batch == batch }) {
				p = q
			}
		}
		if p == was || ctx.Err() != nil {
			break
		}
	}
	return p
}

// shortBatch is a batch that is not all made.
type shortBatch struct {
	batch int
	less  float64
	item  int // that it is short of; below 0 for none
	lit   bool
}

// shortBatches are those of a purchase, on the days asked about.
func (s *Search) shortBatches(p *purchase) (list []shortBatch) {
	c := s.with(p.at, false)
	o := s.Player().Play(c, nil)
	for r, b := range c.Schedule.Batches {
		if ran := o.Ran[r]; b.Day < s.Days && b.Size-ran.Batches > 0.005 {
			list = append(list, shortBatch{r, b.Size - ran.Batches, ran.Limit, ran.Batches > nearly})
		}
	}
	return list
}

// lacking is by how much those that are lit are too small. What is not lit at all lacks nothing.
func lacking(list []shortBatch) (batches float64) {
	for _, b := range list {
		if b.lit {
			batches += b.less
		}
	}
	return batches
}
