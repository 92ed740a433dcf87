package flow

// Sharing a bill by what comes of it in the end: final value (net realisable value) and even margin.

import (
	"math"

	"kettletree/graph"
)

// shareInTheEnd sets the shares of the steps that share by final value or even margin, from what the dishes downstream
// bring. The unit costs of c must be those of a first sharing; only those of items outside the joint flow are read.
//
// One backward pass finds, for a base unit of each joint item, the gross value that it brings in the end and what it
// still costs to finish. A step or dish that joins several joint items splits both among them by worth, or, where none
// is known, by weight.
func (f *Flow) shareInTheEnd(c *Costing, w *Outcome) {
	n := f.net
	joint := f.joint()
	gross, finish := make([]float64, len(n.g.Items)), make([]float64, len(n.g.Items))
	uses := make([]ends, len(n.g.Items))
	for p := len(n.step) - 1; p >= 0; p-- {
		s := n.step[p]
		value, cost := 0.0, f.terms.Cost[s]
		for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
			i := n.gives[e]
			gross[i], finish[i] = f.endsOf(i, uses[i])
			value += f.gives[e] * gross[i]
			cost += f.gives[e] * finish[i]
		}
		if f.terms.Share[s] == ByFinalValue && n.outputs[p+1]-n.outputs[p] > 1 {
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				i := n.gives[e]
				if worth, net := f.terms.Worth[i], gross[i]-finish[i]; worth > 0 && net > worth*(1+slack) { // nobody pays more for it than it costs to buy in
					c.Notes = append(c.Notes, CostNote{Step: int(s), Output: int(e - n.outputs[p]), Kind: Capped, Amount: net})
					value -= f.gives[e] * (net - worth)
					gross[i] = finish[i] + worth
				}
			}
		}
		if rule := f.terms.Share[s]; n.outputs[p+1]-n.outputs[p] > 1 && (rule == ByFinalValue || rule == ByEvenMargin) {
			f.shareByEnds(c, p, gross, finish)
		}
		total, weights := 0.0, [2]float64{} // what the joint lines split: by worth, or by weight
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			choice := n.choices[line]
			i := n.takes[choice]
			switch {
			case n.carried[line]: // its value was its own batch's
			case joint[i]:
				worth, weight := f.standing(choice)
				weights[0] += worth
				weights[1] += weight
			default:
				cost += f.takes[choice] * c.Unit[i]
			}
		}
		byWeight := weights[0] <= 0
		if total = weights[0]; byWeight {
			total = weights[1]
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			choice := n.choices[line]
			i := n.takes[choice]
			if n.carried[line] || !joint[i] {
				continue
			}
			part, weight := f.standing(choice)
			if byWeight {
				part = weight
			}
			per := part / total / f.takes[choice]
			used := 0.0
			if w != nil {
				used = w.Used[choice]
			}
			uses[i].add(value*per, cost*per, used)
		}
	}
}

// joint marks the items that come of a step whose bill is shared by what comes of it in the end.
func (f *Flow) joint() []bool {
	n := f.net
	joint := make([]bool, len(n.g.Items))
	for p, s := range n.step {
		rule := f.terms.Share[s]
		mark := n.outputs[p+1]-n.outputs[p] > 1 && (rule == ByFinalValue || rule == ByEvenMargin)
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			mark = mark || !n.carried[line] && joint[n.takes[n.choices[line]]]
		}
		if mark {
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				joint[n.gives[e]] = true
			}
		}
	}
	return joint
}

// standing is what a line counts for among the joint lines of its step: by worth (0 when not known), and by weight (its
// amount where the weight is not known).
func (f *Flow) standing(choice int32) (worth, weight float64) {
	i, amount := f.net.takes[choice], f.takes[choice]
	if worth = f.terms.Worth[i] * amount; math.IsNaN(worth) {
		worth = 0
	}
	weight, ok := f.net.g.Items[i].Grams(amount)
	if !ok {
		weight = amount
	}
	return worth, weight
}

// ends gathers what the uses of an item bring and cost for one base unit of it.
type ends struct {
	amount, gross, finish float64 // sums over the uses of the week
	bestGross, bestFinish float64 // of the use that brings most
	any                   bool
}

func (e *ends) add(gross, finish, amount float64) {
	e.amount += amount
	e.gross += amount * gross
	e.finish += amount * finish
	if !e.any || gross-finish > e.bestGross-e.bestFinish {
		e.bestGross, e.bestFinish, e.any = gross, finish, true
	}
}

// endsOf is what one base unit of item i brings in the end and still costs to finish: a portion brings its price; other
// items the mean of their uses over the week, or their best use without a week; what nothing uses, its worth.
func (f *Flow) endsOf(i int32, e ends) (gross, finish float64) {
	switch {
	case f.net.g.Items[i].Role == graph.Sold:
		return f.terms.Price[i], 0
	case e.amount > 0:
		return e.gross / e.amount, e.finish / e.amount
	case e.any:
		return e.bestGross, e.bestFinish
	case math.IsNaN(f.terms.Worth[i]):
		return 0, 0
	}
	return f.terms.Worth[i], 0
}

// shareByEnds shares the bill of the step at place p by what its outputs bring in the end.
func (f *Flow) shareByEnds(c *Costing, p int, gross, finish []float64) {
	n, s := f.net, int(f.net.step[p])
	first, end := n.outputs[p], n.outputs[p+1]
	net := make([]float64, 0, 8)
	totalGross, totalFinish := 0.0, 0.0
	for e := first; e < end; e++ {
		i := n.gives[e]
		value := f.gives[e] * (gross[i] - finish[i])
		if value < 0 && f.terms.Share[s] == ByFinalValue {
			c.Notes = append(c.Notes, CostNote{Step: s, Output: int(e - first), Kind: BelowZero, Amount: value})
			value = 0
		}
		net = append(net, value)
		totalGross += f.gives[e] * gross[i]
		totalFinish += f.gives[e] * finish[i]
	}
	if f.terms.Share[s] == ByFinalValue {
		if sum(net) <= 0 {
			c.Notes = append(c.Notes, CostNote{Step: s, Kind: Worthless})
			net = f.physical(net[:0], p)
		}
		apportion(c.share[first:end], net)
		return
	}
	if totalGross <= 0 {
		c.Notes = append(c.Notes, CostNote{Step: s, Kind: Worthless})
		apportion(c.share[first:end], f.physical(net[:0], p))
		return
	}
	// With the margin m even over the outputs, share = gross*(1-m) - finish, and 1-m = (bill + all finish) / all gross.
	for e := first; e < end; e++ {
		i := n.gives[e]
		c.share[e] = f.gives[e] * gross[i] / totalGross
		c.fixed[e] = c.share[e]*totalFinish - f.gives[e]*finish[i]
	}
}
