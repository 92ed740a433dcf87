package flow

// Lines of which the cook does not mind which choice fills them: what is on hand, then the cheapest that can be had.

import (
	"cmp"
	"math"
	"slices"
)

// alike is how many of a line's choices, the first ones, the cook does not mind among; 1 where the first goes before all others.
func (n *net) alike(line int32) int32 {
	if n.either == nil {
		return 1
	}
	return n.either[line]
}

// mind notes which lines have choices that the cook does not mind among, and what stands in such.
func (n *net) mind() {
	for p, s := range n.step {
		for l, line := range n.g.Steps[s].Takes {
			if line.Alike < 2 {
				continue
			}
			if n.either == nil {
				n.either, n.eitherOf = make([]int32, len(n.optional)), make([]bool, len(n.g.Items))
				for k := range n.either {
					n.either[k] = 1
				}
			}
			at := n.lines[p] + int32(l)
			n.either[at] = int32(line.Alike)
			for c := n.choices[at]; c < n.choices[at]+int32(line.Alike); c++ {
				if i := n.takes[c]; !n.eitherOf[i] {
					if n.eitherOf[i] = true; n.makers[i] < n.makers[i+1] {
						n.eitherMade = append(n.eitherMade, i)
					}
				}
			}
		}
	}
}

// dear is what a choice costs beside others: bought at its price; made at its worth, which is what it would cost to buy in, or, without
// one, at what it costs to make. Of what can't be costed nobody can tell.
func (f *Flow) dear(c int32) float64 {
	i := f.net.takes[c]
	switch worth := f.terms.Worth[i]; {
	case f.net.makers[i] == f.net.makers[i+1]:
		return f.takes[c] * f.terms.Price[i]
	case !math.IsNaN(worth):
		return f.takes[c] * worth
	case f.made != nil:
		return f.takes[c] * f.made[i]
	}
	return math.Inf(1)
}

// Dear is what a choice of a step's line costs for one batch beside the others of which the cook does not mind: the less goes first.
func (f *Flow) Dear(step, line, choice int) float64 {
	return f.dear(int32(f.Choice(step, line, choice)))
}

// atPar is the share by which two costs may differ and count as equal: the same sum comes out otherwise in another order.
const atPar = 1e-9

// ByCost orders what choices cost.
func ByCost(a, b float64) int {
	if math.Abs(a-b) <= atPar*math.Abs(b) {
		return 0
	}
	return cmp.Compare(a, b)
}

// usual is the choice by which a line is costed: the first, or the cheapest that the cook does not mind.
func (f *Flow) usual(line int32) int32 {
	first := f.net.choices[line]
	best := first
	for c := first + 1; c < first+f.net.alike(line); c++ {
		if ByCost(f.dear(c), f.dear(best)) < 0 {
			best = c
		}
	}
	return best
}

// Costed is the choice of a step's line by which it is costed.
func (f *Flow) Costed(step, line int) int {
	at := f.net.lines[f.net.place[step]] + int32(line)
	return int(f.usual(at) - f.net.choices[at])
}

// settle finds by what the lines are costed. What a choice costs that is made may hang on what the lines before it are costed by, so that
// is found again as long as it changes a line; each time at least one more of such lines, one behind the other, is right for good. A line
// that what it takes is carried back to could change for ever: it stays where it then is.
func (f *Flow) settle() {
	f.made = nil
	f.cheapest()
	if !slices.ContainsFunc(f.net.eitherMade, func(i int32) bool { return math.IsNaN(f.terms.Worth[i]) }) {
		return
	}
	for range f.net.eitherMade {
		c, err := f.Cost(nil)
		if err != nil { // whoever asks what anything costs hears it
			return
		}
		was := f.costed
		f.made = c.Unit
		if f.cheapest(); slices.Equal(was, f.costed) {
			return
		}
	}
}

// cheapest lets each line be costed by its usual choice.
func (f *Flow) cheapest() {
	n := f.net
	f.first, f.costed = make([]float64, len(n.first)), n.first
	for line := range f.first {
		f.first[line] = f.takes[n.choices[line]]
	}
	if n.either == nil {
		return
	}
	f.costed = make([]int32, len(n.first))
	for line := range f.first {
		f.costed[line] = n.first[line]
		if n.alike(int32(line)) > 1 {
			c := f.usual(int32(line))
			f.first[line], f.costed[line] = f.takes[c], n.slot[n.takes[c]]
		}
	}
}

// standing says how a choice stands of which the cook does not mind: on hand, or can be had, or neither. least is how much of it must
// be on hand to count.
type standing struct {
	rank  int   // 0 on hand, 1 it can be had, 2 neither
	until int32 // of what is on hand, the last day of the oldest; math.MaxInt32 for no end
	cost  float64
}

func (w *Walker) standing(c int32, least float64) standing {
	i := w.f.net.takes[c]
	s := standing{rank: 2, until: math.MaxInt32, cost: w.f.dear(c)}
	switch free := w.free(i); {
	case !w.dry[i] && free > w.crumb(i) && free >= least:
		s.rank = 0
		if lots := w.lots[i].Lots(); len(lots) > 0 && w.f.terms.Keeps[i] > 0 {
			s.until = lots[0].made + int32(w.f.terms.Keeps[i]) - 1
		}
	case !w.lacking(i):
		s.rank = 1
	}
	return s
}

// before tells whether a choice goes before another that stands behind it in the line.
func (s standing) before(o standing) bool {
	switch {
	case s.rank != o.rank:
		return s.rank < o.rank
	case s.rank == 0 && s.until != o.until:
		return s.until < o.until
	}
	return ByCost(s.cost, o.cost) <= 0
}

// any is the choice that a line of which the cook does not mind is filled with now; -1 when none of those can be had. Of what is
// on hand no more is bought or made than that, where another would go first if there were none of it.
func (w *Walker) any(line int32) int32 {
	first, end := w.f.net.choices[line], w.f.net.choices[line]+w.f.net.alike(line)
	best, is := first, w.standing(first, 0)
	for c := first + 1; c < end; c++ {
		if s := w.standing(c, 0); !is.before(s) {
			best, is = c, s
		}
	}
	i := w.f.net.takes[best]
	switch {
	case is.rank == 2:
		return -1
	case is.rank == 1 || w.source[i] < 0 && !w.makes(i) || w.f.net.comesBeside(i): // of which more may come unasked
		return best
	}
	is.rank = 1
	for c := first; c < end; c++ {
		if s := w.standing(c, 0); w.f.net.takes[c] != i && (c < best && s.before(is) || c > best && !is.before(s)) {
			w.capped[i] = true
		}
	}
	return best
}

// comesBeside tells whether an item is made to order with something else.
func (n *net) comesBeside(i int32) bool {
	p := n.toOrder[i]
	return p >= 0 && n.outputs[p+1]-n.outputs[p] > 1
}

// nth is the choice of a line that comes at a place among those of which the cook does not mind, for a portion made alone: what is on
// hand of it must do for a whole one.
func (w *Walker) nth(line, number int32) int32 {
	first, count := w.f.net.choices[line], w.f.net.alike(line)
	for c := first; c < first+count; c++ {
		place, s := int32(0), w.standing(c, w.f.takes[c]*(1-whole))
		for o := first; o < first+count; o++ {
			switch other := w.standing(o, w.f.takes[o]*(1-whole)); {
			case o < c && other.before(s), o > c && !s.before(other):
				place++
			}
		}
		if place == number {
			return c
		}
	}
	return first + number
}

// sameChoice tells whether the choices of which the cook does not mind cost the same in another flow of the same net: a walk of one can
// then be a part of a walk of the other.
func (f *Flow) sameChoice(o *Flow) bool {
	return f.net.either == nil || slices.Equal(f.terms.Price, o.terms.Price) && slices.Equal(f.made, o.made)
}
