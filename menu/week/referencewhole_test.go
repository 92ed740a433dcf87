package week_test

// Whole portions: what is over is cut off, and offered round.

import (
	"math/big"
	"slices"

	"kettletree/graph"
)

// down is the whole number of something.
func down(x number) number {
	return new(big.Rat).SetInt(new(big.Int).Div(x.Num(), x.Denom())) // Euclidean: for what is not below zero, down
}

// clear takes back all that was done in this part of the service.
func (s *service) clear() { s.table = s.before.copied() }

// makeWhole cuts off what is over whole portions where the shares rose last, and serves the rest again, helping by helping,
// as it was; what can't be had so is cut off too.
func (s *service) makeWhole() {
	for {
		cut := false
		for d := range s.share {
			sum := whole(0)
			for _, h := range s.helped {
				sumTo(&sum, h.got[d])
			}
			s.share[d] = down(s.share[d])
			left := minus(sum, s.share[d])
			cut = cut || left.Sign() > 0
			for n := len(s.helped) - 1; n >= 0; n-- {
				part := lesser(left, s.helped[n].got[d])
				left, s.helped[n].got[d] = minus(left, part), minus(s.helped[n].got[d], part)
			}
		}
		if !cut {
			return
		}
		were := s.helped
		s.helped = nil
		s.clear()
		for _, h := range were {
			s.helpAgain(h)
		}
	}
}

// helpAgain serves a helping again, as it was made as far as that goes. A dish that comes to less has less.
func (s *service) helpAgain(was helping) {
	got := slices.Clone(was.got)
	share := whole(0)
	for share.Cmp(whole(1)) < 0 {
		h := s.firstChoices(was.how)
		none := true
		for d := range got {
			if got[d].Sign() > 0 && s.usedUp(s.Dishes[d].Item, h) {
				s.share[d] = minus(s.share[d], times(got[d], minus(whole(1), share)))
				got[d] = whole(0)
			}
			none = none && got[d].Sign() == 0
		}
		if none {
			return
		}
		sumTo(&share, s.help(h, asking{portions: got}, minus(whole(1), share)))
	}
}

// offerRound offers what is left a portion at a time, each to the dish with the smallest share of its forecast.
func (s *service) offerRound(rank func(dish int) int) {
	for served := true; served; {
		served = false
		refused := make([]bool, len(s.share))
		for {
			next := -1
			for d := range s.share {
				if refused[d] || s.share[d].Cmp(whole(s.guests[d])) >= 0 {
					continue
				}
				if next < 0 || rank(d) < rank(next) ||
					rank(d) == rank(next) && over(s.share[d], whole(s.guests[d])).Cmp(over(s.share[next], whole(s.guests[next]))) < 0 {
					next = d
				}
			}
			if next < 0 {
				break
			}
			if !s.makePortion(next, whole(1)) {
				refused[next] = true
				continue
			}
			served = true
			sumTo(&s.share[next], whole(1))
		}
	}
}

// A wayLine is a line that a dish, or what is made to order for it, can fill in several ways.
type wayLine struct{ step, line, ways int }

// madeFor are the steps that work to order for a dish, its own first: of those that work at one minute, the later first.
func (s *service) madeFor(dish int) (steps []int) {
	wanted := map[int]bool{s.Dishes[dish].Item: true}
	for _, p := range slices.Backward(s.order) {
		st := s.Graph.Steps[p]
		if st.Mode == graph.ToOrder && slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return s.makerToOrder(o.Item) == p && wanted[o.Item] }) {
			steps = append(steps, p)
			for _, item := range takes(st) {
				wanted[item] = true
			}
		}
	}
	return steps
}

func (s *service) ways(dish int) (list []wayLine) {
	for _, p := range s.madeFor(dish) {
		for l, line := range s.Graph.Steps[p].Takes {
			ways := len(line.Choices)
			if line.Optional {
				ways++
			}
			if ways > 1 {
				list = append(list, wayLine{p, l, ways})
			}
		}
	}
	return list
}

// way is a way to fill a line: its choices in their order, then without it. Of those that the cook does not mind one is on hand when
// there is enough of it for all that the line asks for at once.
func (s *service) way(of wayLine, number int, h *how) (choice int) {
	line := s.Graph.Steps[of.step].Takes[of.line]
	switch {
	case number == len(line.Choices):
		return -1
	case line.Alike > 1:
		return s.inOrder(line, h, func(c graph.Choice) bool { return s.free(c.Item).Cmp(exact(c.Amount)) >= 0 })[number]
	}
	return s.liked(of.step, of.line)[number]
}

// makePortion serves a portion of a dish, or a part of one, with one choice for each line, if that can be: the first choices
// as far as that goes, of the lines of the dish before those of what is made to order for it.
func (s *service) makePortion(dish int, part number) bool {
	asked := asking{portions: nothing(len(s.Dishes))}
	asked.portions[dish] = part
	h := &how{stuck: make([]bool, len(s.Graph.Steps)), capped: make([]bool, len(s.Graph.Items))}
	for _, st := range s.Graph.Steps {
		h.choice = append(h.choice, make([]int, len(st.Takes)))
	}
	lines := s.ways(dish)
	var try func(n int) bool
	try = func(n int) bool {
		if n == len(lines) {
			return s.enough(h, asked)
		}
		for number := range lines[n].ways {
			if h.choice[lines[n].step][lines[n].line] = s.way(lines[n], number, h); try(n + 1) {
				return true
			}
		}
		return false
	}
	if !try(0) && !(s.boughtIn(h) && try(0)) {
		return false
	}
	s.move(h, asked, whole(1))
	s.helped = append(s.helped, helping{h, asked.portions})
	return true
}

// better makes a portion again that went out on a substitute, or without something that is optional, if more of what comes
// before that can go into it. It tells whether there was one.
func (s *service) better() bool {
	for d := range s.share {
		var tried []helping
		for _, h := range s.helped {
			alike := func(other helping) bool { return s.alike(d, h, other) }
			if h.got[d].Sign() == 0 || slices.ContainsFunc(tried, alike) {
				continue
			}
			if tried = append(tried, h); !s.somethingLeft(d, h) {
				continue
			}
			had := whole(0)
			for _, other := range s.helped {
				if alike(other) {
					sumTo(&had, other.got[d])
				}
			}
			if s.makeAnew(d, alike, whole(1)) || had.Cmp(whole(1)) > 0 && s.makeAnew(d, alike, minus(had, down(had))) {
				return true
			}
		}
	}
	return false
}

// alike tells whether all that a dish takes was filled in one way in two helpings.
func (s *service) alike(dish int, a, b helping) bool {
	for _, line := range s.ways(dish) {
		if a.choice[line.step][line.line] != b.choice[line.step][line.line] {
			return false
		}
	}
	for _, p := range s.madeFor(dish) {
		if a.stuck[p] != b.stuck[p] {
			return false
		}
	}
	return true
}

// somethingLeft tells whether more can be had of what comes before a choice that a helping was made with.
func (s *service) somethingLeft(dish int, h helping) bool {
	now := s.firstChoices(nil)
	for _, line := range s.ways(dish) {
		choices, had := s.Graph.Steps[line.step].Takes[line.line].Choices, h.choice[line.step][line.line]
		for _, c := range s.liked(line.step, line.line) {
			if c == had || s.Graph.Steps[line.step].Takes[line.line].Alike > 1 && had >= 0 { // of those that are all one none comes before another
				break
			}
			if !s.usedUp(choices[c].Item, now) {
				return true
			}
		}
	}
	return false
}

// makeAnew takes back a portion of what a dish had in one way, the last of it first, or what there is where that is less,
// and makes it again, if all others can go out as they did and less then goes off first choices.
// Where that can't be of a whole portion, it is tried with what there is over whole ones.
func (s *service) makeAnew(dish int, alike func(helping) bool, most number) bool {
	if most.Sign() == 0 {
		return false
	}
	was := *s
	s.helped = slices.Clone(s.helped)
	part := whole(0)
	for n := len(s.helped) - 1; n >= 0; n-- {
		if h := s.helped[n]; alike(h) {
			less := lesser(h.got[dish], minus(most, part))
			got := slices.Clone(h.got)
			got[dish] = minus(got[dish], less)
			sumTo(&part, less)
			s.helped[n].got = got
		}
	}
	s.clear()
	for _, h := range s.helped {
		asked := asking{portions: h.got}
		if !s.enough(h.how, asked) {
			*s = was
			return false
		}
		s.move(h.how, asked, whole(1))
	}
	if !s.makePortion(dish, part) || !s.improves(dish, was.table) {
		*s = was
		return false
	}
	return true
}

// improves tells whether less goes off first choices than before, of the first line where that differs: less of what comes last.
func (s *service) improves(dish int, was *table) bool {
	for _, line := range s.ways(dish) {
		is := s.Graph.Steps[line.step].Takes[line.line]
		by := make([]number, len(is.Choices)) // batches filled with each choice
		without := minus(s.did[line.step], was.did[line.step])
		for c, choice := range is.Choices {
			by[c] = over(minus(s.took[line.step][line.line][c], was.took[line.step][line.line][c]), exact(choice.Amount))
			without = minus(without, by[c])
		}
		if without.Sign() != 0 {
			return without.Sign() < 0
		}
		for place, c := range slices.Backward(s.liked(line.step, line.line)) {
			if place > 0 && (is.Alike < 2 || c >= is.Alike) && by[c].Sign() != 0 {
				return by[c].Sign() < 0
			}
		}
	}
	return false
}
