package week_test

// What portions, or batches, take of what there is, and how far their common share can rise.

import (
	"maps"
	"math"
	"math/big"
	"slices"

	"kettletree/graph"
)

// table is work that is laid out and not entered yet: it can be cleared and done again.
type table struct {
	*walk
	have   []number // by item: on hand, with what was made for this work
	used   []number // by item
	bought []number // by item
	did    []number // by step: batches made to order
	took   [][][]number
	of     []bool // by step: it has a part in the work, or may have
}

// lay clears the table.
func (w *walk) lay() *table {
	items := len(w.Graph.Items)
	t := &table{walk: w, have: make([]number, items), used: nothing(items), bought: nothing(items),
		did: nothing(len(w.Graph.Steps)), took: noneTaken(w.Graph)}
	for i := range t.have {
		t.have[i] = w.onHand(i)
	}
	return t
}

// copied is the same table, to go on with.
func (t *table) copied() *table {
	c := *t
	c.have, c.used, c.bought, c.did = slices.Clone(t.have), slices.Clone(t.used), slices.Clone(t.bought), slices.Clone(t.did)
	c.took = nil
	for _, lines := range t.took {
		var copies [][]number
		for _, amounts := range lines {
			copies = append(copies, slices.Clone(amounts))
		}
		c.took = append(c.took, copies)
	}
	return &c
}

// reach is all that some items can need, themselves as well, and the steps that can work for them to order.
func (w *walk) reach(items ...int) (needed, steps []bool) {
	needed, steps = make([]bool, len(w.Graph.Items)), make([]bool, len(w.Graph.Steps))
	for _, i := range items {
		needed[i] = true
	}
	for _, p := range slices.Backward(w.order) { // what takes something comes before what makes it
		st := w.Graph.Steps[p]
		if st.Mode != graph.ToOrder || !slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return needed[o.Item] && w.makerToOrder(o.Item) == p }) {
			continue
		}
		steps[p] = true
		for _, i := range takes(st) {
			needed[i] = true
		}
		for _, o := range st.Gives {
			needed[o.Item] = true
		}
	}
	return needed, steps
}

// layFor clears the table for batches of a step.
func (w *walk) layFor(step int) *table {
	t := w.lay()
	t.concern(step)
	return t
}

// concern tells that work is batches of a step.
func (t *table) concern(step int) {
	_, t.of = t.reach(takes(t.Graph.Steps[step])...)
	t.of[step] = true
}

// free is what can be taken of an item beyond what is kept as a seed.
func (t *table) free(item int) number { return greater(minus(t.have[item], t.kept[item]), whole(0)) }

// makerToOrder is the step that makes an item to order; below 0 when none does.
func (w *walk) makerToOrder(item int) int {
	for p, st := range w.Graph.Steps {
		for o, out := range st.Gives {
			if out.Item == item && st.Mode == graph.ToOrder && w.gives[p][o].Sign() > 0 {
				return p
			}
		}
	}
	return -1
}

// how says how lines are filled: by step and line the choice, below 0 for none.
type how struct {
	choice [][]int
	stuck  []bool   // by step: it lacks something
	capped []bool   // by item: no more of it is bought or made, for something else would then be taken instead
	mix    []number // by choice, in the order of the steps and their lines: the part of a line that it fills, as somebody directed; nil for choice
	first  [][]int  // by step and line: the place of its first choice in mix
}

// firstChoices fills every line with the first of its choices of which something can be had, or with the one that it is
// asked to have, as long as that can.
func (t *table) firstChoices(asked *how) *how {
	h := &how{stuck: make([]bool, len(t.Graph.Steps)), capped: make([]bool, len(t.Graph.Items))}
	for range t.Graph.Steps {
		h.choice = append(h.choice, nil)
	}
	for _, p := range t.order { // what makes something comes before what takes it
		for l, line := range t.Graph.Steps[p].Takes {
			like := -1
			if asked != nil {
				like = asked.choice[p][l]
			}
			var choice int
			switch can := func(c graph.Choice) bool { return !t.usedUp(c.Item, h) }; {
			case asked != nil && (like < 0 || can(line.Choices[like])):
				choice = like
			case line.Alike > 1 && t.of[p]:
				choice = t.anyOf(line, h)
			case t.likes(p, l) >= 0 && can(line.Choices[t.likes(p, l)]):
				choice = t.likes(p, l)
			default:
				choice = slices.IndexFunc(line.Choices, can)
			}
			if line.Carried {
				choice = -1 // it is no part of what is there today
			} else if choice < 0 && !line.Optional {
				choice, h.stuck[p] = 0, true
			}
			h.choice[p] = append(h.choice[p], choice)
		}
	}
	return h
}

// usedUp tells that nothing more can be had of an item: none is free, it can't be bought, and it is not made to order, or
// the step that does that is stuck.
func (t *table) usedUp(item int, h *how) bool {
	maker := t.makerToOrder(item)
	return t.free(item).Sign() == 0 && t.comesOn(item) < 0 && (maker < 0 || h.stuck[maker])
}

// asking is what is asked for: portions by dish, or batches of a step.
type asking struct {
	portions []number // nil when it is batches
	step     int
	batches  number
	of       func(graph.Line) number // of a batch, the part of a line that it takes
}

// amount is what one batch takes of a line's choice.
func (a asking) amount(step int, line graph.Line, choice int) number {
	amount := exact(line.Choices[choice].Amount)
	if a.portions == nil && step == a.step {
		return times(amount, a.of(line))
	}
	return amount
}

// needs is what a share of what is asked for needs, with what a little more of that would add.
type needs struct {
	of, rise   []number   // by item
	runs, pace []number   // by step: batches of it
	each, push [][]number // by step to order and output: batches that this output asks for
}

func (t *table) needs(h *how, asked asking, share number) *needs {
	items, steps := len(t.Graph.Items), len(t.Graph.Steps)
	n := &needs{of: nothing(items), rise: nothing(items), runs: nothing(steps), pace: nothing(steps),
		each: make([][]number, steps), push: make([][]number, steps)}
	for d, portions := range asked.portions {
		item := t.Dishes[d].Item
		n.of[item], n.rise[item] = times(portions, share), portions
	}
	for _, p := range slices.Backward(t.order) { // what takes something comes before what makes it
		switch st := t.Graph.Steps[p]; {
		case asked.portions == nil && p == asked.step:
			n.runs[p], n.pace[p] = times(asked.batches, share), asked.batches
		case st.Mode == graph.ToOrder && !h.stuck[p]:
			// What is on hand is taken first. Of several outputs the one that asks for most says how much is made.
			n.each[p], n.push[p] = nothing(len(st.Gives)), nothing(len(st.Gives))
			for o, out := range st.Gives {
				if t.gives[p][o].Sign() == 0 {
					continue
				}
				each := over(minus(n.of[out.Item], t.free(out.Item)), t.gives[p][o])
				push := over(n.rise[out.Item], t.gives[p][o])
				n.each[p][o], n.push[p][o] = each, push
				if more := each.Cmp(n.runs[p]); more > 0 || more == 0 && push.Cmp(n.pace[p]) > 0 {
					n.runs[p], n.pace[p] = each, push
				}
			}
		}
		for l, line := range t.Graph.Steps[p].Takes {
			for choice, share := range h.shares(p, l) {
				c := line.Choices[choice]
				sumTo(&n.of[c.Item], times(share, times(n.runs[p], asked.amount(p, line, choice))))
				sumTo(&n.rise[c.Item], times(share, times(n.pace[p], asked.amount(p, line, choice))))
			}
		}
	}
	return n
}

// limited tells whether an item can be used up.
func (t *table) limited(h *how, item int) bool { return t.comesOn(item) < 0 && !t.canMake(h, item) }

// canMake tells whether an item is made to order.
func (t *table) canMake(h *how, item int) bool {
	maker := t.makerToOrder(item)
	return maker >= 0 && !h.stuck[maker]
}

// rise is how far the share of what is asked for can rise, at most to a limit, before something is used up. It goes from
// one place to the next at which the needs begin to rise otherwise.
func (t *table) rise(h *how, asked asking, limit number) number {
	share := whole(0)
	for {
		n := t.needs(h, asked, share)
		step, usedUp := minus(limit, share), false
		for i := range t.have {
			if (t.limited(h, i) || h.capped[i]) && n.rise[i].Sign() > 0 {
				if far := over(minus(t.free(i), n.of[i]), n.rise[i]); far.Cmp(step) <= 0 {
					step, usedUp = far, true
				}
			}
		}
		for p := range n.each {
			for o := range n.each[p] {
				if faster := minus(n.push[p][o], n.pace[p]); faster.Sign() > 0 {
					if far := over(minus(n.runs[p], n.each[p][o]), faster); far.Cmp(step) < 0 {
						step, usedUp = far, false
					}
				}
			}
		}
		if sumTo(&share, step); usedUp || share.Cmp(limit) == 0 {
			return share
		}
	}
}

// move takes, makes and buys what a share of what is asked for needs.
func (t *table) move(h *how, asked asking, share number) {
	n := t.needs(h, asked, share)
	for p, st := range t.Graph.Steps {
		if asked.portions != nil || p != asked.step { // a batch gives when it is out
			sumTo(&t.did[p], n.runs[p])
			for o, out := range st.Gives {
				sumTo(&t.have[out.Item], times(n.runs[p], t.gives[p][o]))
			}
		}
		for l, line := range st.Takes {
			for choice, share := range h.shares(p, l) {
				sumTo(&t.took[p][l][choice], times(share, times(n.runs[p], asked.amount(p, line, choice))))
			}
		}
	}
	for i, need := range n.of {
		sumTo(&t.used[i], need)
		if t.have[i] = minus(t.have[i], need); t.have[i].Sign() < 0 {
			if t.comesOn(i) < 0 {
				panic("mistake: " + t.Graph.Items[i].Name + " is overdrawn")
			}
			t.bought[i] = minus(t.bought[i], t.have[i])
			t.have[i] = whole(0)
		}
	}
}

// enough tells whether there is enough for all that is asked for.
func (t *table) enough(h *how, asked asking) bool {
	n := t.needs(h, asked, whole(1))
	for i, need := range n.of {
		if t.limited(h, i) && need.Cmp(t.free(i)) > 0 {
			return false
		}
	}
	return true
}

// enter enters what was done: what was there is used first, the oldest of it first; what is over of what was made is of
// today, and what is over of a pack or a piece of the day on which it came.
func (t *table) enter() {
	t.makeWholeBatches()
	for p, st := range t.Graph.Steps {
		t.tell(p, t.did[p])
		sumTo(&t.out.batches[p], t.did[p])
		for o, out := range st.Gives {
			sumTo(&t.out.made[out.Item], times(t.did[p], t.gives[p][o]))
		}
		for l := range st.Takes {
			for c, amount := range t.took[p][l] {
				sumTo(&t.out.used[p][l][c], amount)
			}
		}
	}
	for i := range t.have {
		over := whole(0)
		if t.bought[i].Sign() > 0 {
			over = minus(t.buy(i, t.bought[i]), t.bought[i])
		}
		there := t.onHand(i)
		old := lesser(t.used[i], there)
		t.draw(i, old)
		t.put(i, minus(t.have[i], minus(there, old)))
		t.shelve(i, over, t.comesOn(i))
	}
}

// makeWholeBatches makes the rest of what is made as needed, once the work has what it needs: of the last batch, or half of one, what
// there is enough for. What takes something comes before what makes it.
func (t *table) makeWholeBatches() {
	for _, p := range slices.Backward(t.order) {
		st := t.Graph.Steps[p]
		if !st.AsNeeded() || t.did[p].Sign() == 0 {
			continue
		}
		lots := over(t.did[p], exact(st.Lot))
		up := whole(int(new(big.Int).Div(new(big.Int).Add(lots.Num(), new(big.Int).Sub(lots.Denom(), big.NewInt(1))), lots.Denom()).Int64()))
		asked := asking{step: p, batches: times(minus(up, lots), exact(st.Lot)), of: func(graph.Line) number { return whole(1) }}
		done := whole(0)
		t.concern(p)
		for asked.batches.Sign() > 0 && done.Cmp(whole(1)) < 0 {
			how := t.firstChoices(nil)
			if how.stuck[p] {
				break
			}
			part := t.rise(how, asked, minus(whole(1), done))
			t.move(how, asked, part)
			sumTo(&done, part)
		}
		sumTo(&t.did[p], times(asked.batches, done))
		for o, out := range st.Gives {
			sumTo(&t.have[out.Item], times(times(asked.batches, done), t.gives[p][o]))
		}
	}
}

// tell notes what so much work of a step went without, of what it says it can go without.
func (t *table) tell(step int, batches number) {
	for l, line := range t.Graph.Steps[step].Takes {
		if line.Without == 0 || batches.Sign() == 0 {
			continue
		}
		lacks := times(batches, exact(line.Choices[0].Amount))
		for c, choice := range line.Choices {
			lacks = minus(lacks, times(over(t.took[step][l][c], exact(choice.Amount)), exact(line.Choices[0].Amount)))
		}
		sumTo(&t.out.lacks[step][l], lacks)
	}
}

// A service.

// helping is what some dishes got at once, and how it was made.
type helping struct {
	*how
	got []number // by dish
}

// service is a service that is being decided, or a part of it that has nothing scarce in common with the others.
type service struct {
	*table
	before *table // as it was laid out for the parts before
	guests []int
	share  []number // by dish: portions so far
	helped []helping
}

// serve decides a service.
func (w *walk) serve(sitting int) {
	guests, t := w.asked(sitting), w.lay()
	if t.asDirected(sitting, guests) {
		return
	}
	rank := func(d int) int {
		switch {
		case !w.byRank(sitting):
			return 0
		case w.Dishes[d].Rank == 0:
			return math.MaxInt
		}
		return w.Dishes[d].Rank
	}
	for _, dishes := range w.apart(guests) {
		s := &service{before: t, guests: make([]int, len(guests)), share: nothing(len(guests))}
		var portions []int
		for d := range dishes {
			s.guests[d] = guests[d]
			portions = append(portions, w.Dishes[d].Item)
		}
		_, t.of = w.reach(portions...)
		s.clear()
		s.decide(rank)
		for d := range dishes {
			w.out.served[sitting][d] = int(s.share[d].Num().Int64())
		}
		t = s.table
	}
	t.enter()
}

// apart parts the dishes that guests ask for: together are those that can need something in common that can't be bought for now, or
// is made to order, or stands in a line of which the cook does not mind.
func (w *walk) apart(guests []int) (parts []map[int]bool) {
	decides := make([]bool, len(w.Graph.Items))
	for i := range decides {
		decides[i] = w.comesOn(i) < 0 || w.makerToOrder(i) >= 0
	}
	for _, st := range w.Graph.Steps {
		for _, line := range st.Takes {
			for _, c := range line.Choices {
				decides[c.Item] = decides[c.Item] || line.Alike > 1
			}
		}
	}
	together := func(a, b int) bool {
		x, _ := w.reach(w.Dishes[a].Item)
		y, _ := w.reach(w.Dishes[b].Item)
		for i := range decides {
			if decides[i] && x[i] && y[i] {
				return true
			}
		}
		return false
	}
	for d := range guests {
		if guests[d] == 0 {
			continue
		}
		all := map[int]bool{d: true}
		parts = slices.DeleteFunc(parts, func(part map[int]bool) bool {
			for other := range part {
				if together(d, other) {
					maps.Copy(all, part)
					return true
				}
			}
			return false
		})
		parts = append(parts, all)
	}
	return parts
}

// decide decides a part of a service.
func (s *service) decide(rank func(dish int) int) {
	groups := map[int][]int{} // by rank: dishes
	var ranks []int
	for d, guests := range s.guests {
		if guests > 0 {
			groups[rank(d)] = append(groups[rank(d)], d)
			ranks = append(ranks, rank(d))
		}
	}
	slices.Sort(ranks)
	for _, rank := range slices.Compact(ranks) {
		s.fill(groups[rank])
	}
	s.makeWhole()
	for s.offerRound(rank); s.better(); {
		s.offerRound(rank)
	}
}

// fill lets the shares of some dishes rise together, each until it is served in full or something is used up.
func (s *service) fill(dishes []int) {
	share := whole(0)
	for share.Cmp(whole(1)) < 0 {
		h := s.firstChoices(nil)
		dishes = slices.DeleteFunc(slices.Clone(dishes), func(d int) bool { return s.usedUp(s.Dishes[d].Item, h) })
		if len(dishes) == 0 {
			return
		}
		asked := asking{portions: nothing(len(s.Dishes))}
		for _, d := range dishes {
			asked.portions[d] = whole(s.guests[d])
		}
		part := s.help(h, asked, minus(whole(1), share))
		for _, d := range dishes {
			sumTo(&s.share[d], times(part, asked.portions[d]))
		}
		sumTo(&share, part)
	}
}

// help serves what is asked for as far as it goes.
func (s *service) help(h *how, asked asking, limit number) (share number) {
	share = s.rise(h, asked, limit)
	s.move(h, asked, share)
	if share.Sign() > 0 {
		got := make([]number, len(asked.portions))
		for d, portions := range asked.portions {
			got[d] = times(portions, share)
		}
		s.helped = append(s.helped, helping{h, got})
	}
	return share
}
