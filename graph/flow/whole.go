package flow

// Whole portions: what is over one is cut off, and what that frees is offered round, a portion at a time.

import (
	"cmp"
	"math"
	"slices"
)

// trim takes what is over a whole portion out of the last rounds, and tells whether there was any.
func (w *Walker) trim() (cut bool) {
	for _, k := range w.in.wants {
		over := -math.Floor(w.share[k] + whole)
		w.share[k] = -over
		for _, r := range w.rounds {
			over += r.got[k]
		}
		cut = cut || over > whole
		for r := len(w.rounds) - 1; r >= 0 && over > 0; r-- {
			part := min(over, w.rounds[r].got[k])
			w.rounds[r].got[k] -= part
			over -= part
		}
	}
	return cut
}

// handOut gives what rounding freed to whoever is short, and what is then left of first choices to those who have
// others, until nothing more can be done with it.
func (w *Walker) handOut(slot int, rule Ration) {
	for more := true; more; more = w.better() {
		w.offer(slot, rule)
	}
}

// offer gives what rounding freed, a portion at a time, to whoever has the smallest share (under First, to the first rank
// that is short).
func (w *Walker) offer(slot int, rule Ration) {
	for changed := true; changed; {
		changed = false
		w.active = w.active[:0]
		for _, k := range w.in.wants {
			if w.share[k]+1 <= w.asked(k, slot)+whole {
				w.active = append(w.active, k)
			}
		}
		order := func(a, b int32) int {
			byRank := 0
			if rule == First {
				byRank = cmp.Compare(w.rank(a), w.rank(b))
			}
			x, y := w.asked(a, slot), w.asked(b, slot)
			return cmp.Or(byRank, cmp.Compare(w.share[a]/x, w.share[b]/y), cmp.Compare(a, b))
		}
		for len(w.active) > 0 {
			best := 0
			for k := range w.active {
				if order(w.active[k], w.active[best]) < 0 {
					best = k
				}
			}
			k := w.active[best]
			if w.makePortion(k, 1) {
				w.share[k]++
				w.keepPortion(k, 1)
				changed = true
				if w.share[k]+1 <= w.asked(k, slot)+whole {
					continue
				}
			}
			w.active = slices.Delete(w.active, best, best+1)
		}
	}
}

// reach is all that a want can need.
func (w *Walker) reach(k int32) *cone {
	if w.each[k] == nil {
		c := w.f.net.cone([]int32{w.wanted[k]})
		w.each[k] = &c
	}
	return w.each[k]
}

// keepPortion notes a portion, or part of one, that was made with the choices at hand.
func (w *Walker) keepPortion(k int32, part float64) {
	if n := len(w.rounds); n > 0 {
		if last := &w.rounds[n-1]; last.alone == k+1 && last.alike(w.pick, w.held, w.reach(k)) {
			last.got[k] += part
			return
		}
	}
	r := w.newRound()
	r.got[k], r.alone = part, k+1
}

// alike tells whether all that a want can need was filled in a round as picks say.
func (r *round) alike(pick, held []int32, in *cone) bool {
	for _, line := range in.ways {
		if r.pick[line] != pick[line] {
			return false
		}
	}
	for _, p := range in.orders {
		if (r.held[p] < 0) != (held[p] < 0) {
			return false
		}
	}
	return true
}

// mostTries is how many ways to make one portion are tried: to find out whether there is one is a problem of packing
// (NP-hard), but a kitchen whose lines have so many ways that matter at once is none.
const mostTries = 4096

// makePortion serves a portion of a want, or part of one, if it can be made with one choice for each line: the first
// choices as far as that goes, those of the dish before those of what is made to order for it.
func (w *Walker) makePortion(k int32, part float64) bool {
	n, in := w.f.net, w.reach(k)
	for _, i := range in.items {
		w.dry[i] = false
	}
	if w.choose(in, nil); w.lacking(w.wanted[k]) {
		return false
	}
	w.asks = append(w.asks[:0], w.portions(k, part))
	for _, bringIn := range []bool{false, true} {
		stepsHeld := false
		for _, p := range in.orders {
			w.held[p] = -1
			if bringIn && w.canBringIn(p) {
				w.held[p], stepsHeld = n.gives[n.outputs[p]], true
			}
			for line := n.lines[p]; line < n.lines[p+1]; line++ {
				w.pick[line], w.blamed[line] = w.way(line, 0), false
			}
		}
		if bringIn && !stepsHeld {
			break
		}
		if w.tries = 0; w.findWays(in, 0) {
			w.move(in)
			return true
		}
	}
	return false
}

// canBringIn tells whether something that a step makes to order can be bought in where it can't be made.
func (w *Walker) canBringIn(p int32) bool {
	for _, i := range w.f.net.gives[w.f.net.outputs[p]:w.f.net.outputs[p+1]] {
		if w.source[i] >= 0 {
			return true
		}
	}
	return false
}

// findWays goes through the ways to make what is asked for, those of the last line first, with the lines before a place in
// the cone's row as they are. Of a line that had no part in any lack, no other way is tried.
func (w *Walker) findWays(in *cone, from int) bool {
	if w.tries++; w.tries > mostTries {
		return false
	}
	w.explode(in, w.asks, 1)
	short := w.shortOf(in)
	if short < 0 {
		return true
	}
	if len(in.ways) > 0 {
		w.blame(in, short)
	}
	for at := len(in.ways) - 1; at >= from; at-- {
		line := in.ways[at]
		if !w.blamed[line] {
			continue
		}
		for number := range w.f.net.ways(line) - 1 {
			if w.pick[line] = w.way(line, number+1); w.findWays(in, at+1) {
				return true
			}
		}
		w.pick[line] = w.way(line, 0)
	}
	return false
}

// shortOf is an item of which explode found that too little is there; -1 when all is.
func (w *Walker) shortOf(in *cone) int32 {
	for _, i := range in.items {
		if w.source[i] < 0 && !w.makes(i) && w.need[i] > w.free(i)+w.crumb(i) {
			return i
		}
	}
	return -1
}

// blame marks the lines by which an item is needed.
func (w *Walker) blame(in *cone, short int32) {
	n := w.f.net
	for _, i := range in.items {
		w.leads[i] = i == short
	}
	for _, p := range in.orders {
		if w.runs[p] == 0 {
			continue
		}
		leads := false
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if c := w.pick[line]; c >= 0 && w.leads[n.takes[c]] {
				w.blamed[line], leads = true, true
			}
		}
		for e := n.outputs[p]; e < n.outputs[p+1] && leads; e++ {
			w.leads[n.gives[e]] = true
		}
	}
}

// better makes a portion again, or less where no whole one did, that went out on a substitute, or without something, if what
// is left does for more of what comes before that. It tells whether there was one.
func (w *Walker) better() bool {
	n := w.f.net
	if len(w.in.ways) == 0 {
		return false
	}
	for _, i := range w.in.items {
		w.dry[i] = false
	}
	w.choose(&w.in.cone, nil)
	any := false
	for _, line := range w.in.ways {
		number, last := int32(0), n.ways(line)-1
		if last < n.alike(line) { // no way is better than another
			w.there[line] = last
			continue
		}
		for number < last && w.lacking(n.takes[w.way(line, number)]) {
			number++
		}
		w.there[line] = number
		any = any || number < last
	}
	if !any {
		return false
	}
	for _, k := range w.in.wants {
		if w.share[k] < 1 {
			continue
		}
		in := w.reach(k)
		for r := range w.rounds {
			if w.rounds[r].got[k] > 0 && w.couldBeBetter(k, &w.rounds[r]) && !w.hadLike(k, r, in) && (w.makeAnew(k, r, 1) || w.makeAnew(k, r, w.broken(k, r))) {
				return true
			}
		}
	}
	return false
}

// hadLike tells whether a want had a part in a round before one, filled in the same way.
func (w *Walker) hadLike(k int32, r int, in *cone) bool {
	for q := range w.rounds[:r] {
		if w.rounds[q].got[k] > 0 && w.rounds[q].alike(w.rounds[r].pick, w.rounds[r].held, in) {
			return true
		}
	}
	return false
}

// couldBeBetter tells whether something is left of what comes before one of the picks of a part, and, of what the dish takes
// itself and nothing else of it does, enough for the least that would be taken back; or else, whether what is made for it could spare a
// substitute.
func (w *Walker) couldBeBetter(k int32, r *round) bool {
	n, in := w.f.net, w.reach(k)
	own := n.toOrder[w.wanted[k]]
	spares := own < 0 || w.offFirst(in, own)
	for _, line := range in.ways {
		for number := w.there[line] + 1; number < n.ways(line); number++ {
			if w.way(line, number) != r.pick[line] || number < n.alike(line) && n.alike(line) > 1 {
				continue
			}
			if spares || n.placeOf(line) != own {
				return true
			}
			for before := w.there[line]; before < number; before++ {
				if w.enoughFor(k, w.way(line, before), r) {
					return true
				}
			}
		}
	}
	return false
}

// offFirst tells whether any step of a cone but one works off its first choices. Made again behind the others, a portion may take what
// came beside theirs, so that less is made, and less of a substitute goes into it, though the portion itself is still on one.
func (w *Walker) offFirst(in *cone, but int32) bool {
	n := w.f.net
	for _, line := range in.ways {
		p := n.placeOf(line)
		if p == but {
			continue
		}
		rest := w.did[p] // batches that none of the choices that come first fill
		for number := range n.alike(line) {
			c := w.way(line, number)
			rest -= w.took[c] / w.f.takes[c]
		}
		if rest > whole {
			return true
		}
	}
	return false
}

// enoughFor tells whether what is left, and would be taken back, may do for a choice of a line of the dish itself.
func (w *Walker) enoughFor(k, choice int32, r *round) bool {
	n, in := w.f.net, w.reach(k)
	i := n.takes[choice]
	if w.source[i] >= 0 || n.toOrder[i] >= 0 {
		return true
	}
	for _, p := range in.orders {
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if c := r.pick[line]; c >= 0 && n.takes[c] == i {
				return true
			}
		}
	}
	part := 0.0
	for q := range w.rounds {
		if w.rounds[q].got[k] > 0 && w.rounds[q].alike(r.pick, r.held, in) {
			part += w.rounds[q].got[k]
		}
	}
	if over := part - math.Floor(part+whole); over > whole {
		part = over
	}
	return w.free(i) >= min(1, part)*w.size[k]*w.f.takes[choice]*(1-whole)
}

// broken is what a want had in the way of a round over whole portions, where it had more than one: the part of a portion whose other part
// went out in another way.
func (w *Walker) broken(k int32, r int) float64 {
	had := 0.0
	for q := range w.rounds {
		if w.rounds[q].got[k] > 0 && w.rounds[q].alike(w.rounds[r].pick, w.rounds[r].held, w.reach(k)) {
			had += w.rounds[q].got[k]
		}
	}
	if had < 1 {
		return 0 // that was tried
	}
	return max(0, had-math.Floor(had+whole))
}

// makeAnew takes back what a want had that was filled as in a round, up to a portion or a part of one, and makes it again, if all others can
// go out as they did, and less then goes off first choices, of the first line where that differs, from the dishes back.
func (w *Walker) makeAnew(k int32, r int, most float64) bool {
	if most <= whole {
		return false
	}
	n, in := w.f.net, w.reach(k)
	for _, p := range in.orders {
		from, end := n.choices[n.lines[p]], n.choices[n.lines[p+1]]
		copy(w.before[from:end], w.took[from:end])
		w.didBefore[p] = w.did[p]
	}
	w.back = zeros(w.back, len(w.rounds))
	part := 0.0
	for q := len(w.rounds) - 1; q >= r && part < most; q-- {
		if from := &w.rounds[q]; from.got[k] > 0 && from.alike(w.rounds[r].pick, w.rounds[r].held, in) {
			w.back[q] = from.got[k]
			less := min(most-part, from.got[k])
			part += less
			if from.got[k] -= less; from.got[k] < whole {
				from.got[k] = 0
			}
		}
	}
	if part > whole && w.again() && w.makePortion(k, part) && w.improved(in) {
		w.keepPortion(k, part)
		return true
	}
	for q, got := range w.back {
		if got > 0 {
			w.rounds[q].got[k] = got
		}
	}
	w.again()
	return false
}

// again serves all rounds again as they were, and tells whether there was enough for it.
func (w *Walker) again() (enough bool) {
	enough = true
	w.rewind()
	for _, r := range w.rounds {
		w.asks = w.asks[:0]
		for k, portions := range r.got {
			if portions > 0 {
				w.asks = append(w.asks, w.portions(int32(k), portions))
			}
		}
		if len(w.asks) == 0 {
			continue
		}
		copy(w.pick, r.pick)
		copy(w.held, r.held)
		w.explode(&w.in.cone, w.asks, 1)
		enough = enough && w.shortOf(&w.in.cone) < 0
		w.move(&w.in.cone)
	}
	return enough
}

// placeOf is the place of the step that has a line.
func (n *net) placeOf(line int32) int32 {
	after, _ := slices.BinarySearch(n.lines, line+1) // the first that begins behind it
	return int32(after) - 1
}

// improved tells whether the first line of which otherwise much is filled off its first choice than before has less of what comes last.
// What is filled with a first choice is no more than what else is made asks for.
func (w *Walker) improved(in *cone) bool {
	n := w.f.net
	for _, line := range in.ways {
		first, end := n.choices[line], n.choices[line+1]
		p := n.placeOf(line)
		by := w.did[p] - w.didBefore[p] // batches without it
		for c := first; c < end; c++ {
			by -= (w.took[c] - w.before[c]) / w.f.takes[c]
		}
		if math.Abs(by) > whole {
			return by < 0
		}
		for number := end - first - 1; number > 0 && (number >= n.alike(line) || n.alike(line) == 1); number-- {
			c := w.way(line, number)
			if by := (w.took[c] - w.before[c]) / w.f.takes[c]; math.Abs(by) > whole {
				return by < 0
			}
		}
	}
	return false
}
