package week_test

// What is decided once something went wrong, or by whoever planned: another choice first, what is scarce given out otherwise at some
// services, buying elsewhere, lines filled by directions.

import (
	"iter"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// moves are such decisions.
type moves struct {
	prefers []flow.Prefer
	turns   []flow.Turn
	offers  []flow.Offer
	mixes   map[int][]number    // by sitting: by choice
	inRuns  map[[2]int][]number // by step and day, of batches
	inAll   map[int][]number    // by sitting, of steps that take all there is
}

// likes is the choice that is to go first into a line now; below 0 where nobody said. Of what is said twice the later counts.
func (w *walk) likes(step, line int) int {
	for _, p := range slices.Backward(w.prefers) {
		if p.Step == step && p.Line == line {
			if p.From <= w.now {
				return p.Choice
			}
			return -1
		}
	}
	return -1
}

// liked are the choices of a line in the order in which they go: what is to go first before the others.
func (w *walk) liked(step, line int) (order []int) {
	first := w.likes(step, line)
	if first >= 0 {
		order = append(order, first)
	}
	for c := range w.Graph.Steps[step].Takes[line].Choices {
		if c != first {
			order = append(order, c)
		}
	}
	return order
}

// byRank tells whether one rank of dishes after another is served at a sitting.
func (w *walk) byRank(sitting int) bool {
	is := w.rankFirst
	for n, t := range w.turns {
		switch {
		case slices.Contains(t.Slots, sitting):
			is = t.Rule == flow.First
		case n == 0:
			is = t.Else == flow.First
		}
	}
	return is
}

// fromElsewhere is the day on which an item that its supplier does not bring could have been bought elsewhere for today; below 0 for none.
func (w *walk) fromElsewhere(item int) int {
	for _, o := range slices.Backward(w.offers) {
		if o.Item != item {
			continue
		}
		for day := w.today; day >= 0; day-- {
			if keeps := w.Terms.Keeps[item]; keeps > 0 && day+keeps-1 < w.today {
				break
			}
			if o.Days[day] {
				return day
			}
		}
		break
	}
	return -1
}

// packNow is what an item is bought in from whom it would come now.
func (w *walk) packNow(item int) number {
	if w.fromUsual(item) >= 0 {
		return w.pack(item)
	}
	for _, o := range slices.Backward(w.offers) {
		if o.Item == item {
			return exact(o.Pack)
		}
	}
	return whole(0)
}

// boughtIn has all that is made to order and can be bought bought instead; false where there is nothing of the kind.
func (s *service) boughtIn(h *how) (any bool) {
	for p, st := range s.Graph.Steps {
		if st.Mode == graph.ToOrder && slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return s.comesOn(o.Item) >= 0 }) {
			h.stuck[p], any = true, true
		}
	}
	return any
}

// shares are the choices that fill a line, each with the part of it.
func (h *how) shares(step, line int) iter.Seq2[int, number] {
	return func(yield func(int, number) bool) {
		if h.mix == nil {
			if c := h.choice[step][line]; c >= 0 {
				yield(c, whole(1))
			}
			return
		}
		for c := h.first[step][line]; c < h.end(step, line); c++ {
			if h.mix[c].Sign() > 0 && !yield(c-h.first[step][line], h.mix[c]) {
				return
			}
		}
	}
}

func (h *how) end(step, line int) int {
	if line+1 < len(h.first[step]) {
		return h.first[step][line+1]
	}
	for _, lines := range h.first[step+1:] {
		if len(lines) > 0 {
			return lines[0]
		}
	}
	return len(h.mix)
}

// asDirected serves all whom a sitting asks in as somebody directed, if there is enough for it.
func (t *table) asDirected(sitting int, guests []int) bool {
	if t.mixes[sitting] == nil {
		return false
	}
	h := t.directed(t.mixes[sitting])
	asked := asking{portions: nothing(len(t.Dishes))}
	for d, n := range guests {
		asked.portions[d] = whole(n)
	}
	if !t.enough(h, asked) {
		return false
	}
	t.move(h, asked, whole(1))
	copy(t.out.served[sitting], guests)
	t.enter()
	return true
}

// directed fills lines as somebody directed; what is taken from yesterday is taken apart.
func (t *table) directed(mix []number) *how {
	h := &how{stuck: make([]bool, len(t.Graph.Steps)), capped: make([]bool, len(t.Graph.Items)), mix: slices.Clone(mix)}
	place := 0
	for _, st := range t.Graph.Steps {
		var first []int
		for _, line := range st.Takes {
			first = append(first, place)
			for range line.Choices {
				if line.Carried {
					h.mix[place] = whole(0)
				}
				place++
			}
		}
		h.first = append(h.first, first)
	}
	return h
}
