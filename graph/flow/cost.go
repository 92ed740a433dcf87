package flow

// What everything costs: one pass that pays each step's bill and shares it among what the step gives.

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"kettletree/graph"
)

// Costing is what a flow costs. It never changes.
//
// The bill of one batch is the first choices of its lines at their unit cost, plus labour and fuel. Each output bears
// rate*bill + fixed of it; the shares add up to the bill. An item that several steps give costs the mean over them.
type Costing struct {
	Unit  []float64 // by item: cost of one base unit; a portion's is its plate cost
	Notes []CostNote

	f     *Flow
	unit  []float64 // Unit by slot, and behind it the costs of the seeds as they are carried in
	bill  []float64 // by place
	share []float64 // by output: part of the bill, 0 to 1
	fixed []float64 // by output: money added to it; over a step these add up to 0
	rate  []float64 // by output: share, per base unit of the item over all its makers
	base  []float64 // by output: fixed, per base unit of the item over all its makers
}

// CostNote is something about a bill that its reader must know.
type CostNote struct {
	Step, Output int // of the graph
	Kind         NoteKind
	Amount       float64 // money
}

// NoteKind says what a CostNote is about.
type NoteKind uint8

const (
	BelowZero NoteKind = iota // final value: brings less downstream than it costs to finish (Amount a batch); it counts as zero
	Negative                  // even margin, main: its share is below zero (Amount)
	Capped                    // final value: brings more downstream (Amount for a base unit, above its own cost to finish) than it costs to buy in; it counts at that
	Worthless                 // nothing that the step gives has a value by its rule: the bill is shared by weight instead
)

// Bill is the cost of one batch of a step.
func (c *Costing) Bill(step int) float64 { return c.bill[c.f.net.place[step]] }

// Share is what output o of a step bears of the bill of one batch, in money.
func (c *Costing) Share(step, o int) float64 {
	p := c.f.net.place[step]
	e := c.f.net.outputs[p] + int32(o)
	return c.share[e]*c.bill[p] + c.fixed[e]
}

// Cost shares every bill. Where an item has several makers, or final value several uses, they are weighted by the
// amounts of w; with a nil w by one batch each, and final value takes the best use.
//
// Sharing follows the usual treatment of joint costs (Horngren, Datar and Rajan, Cost Accounting: A Managerial Emphasis,
// chapter 16). A carried line makes the cost circular: the carried items' costs c obey c = Mc + d, which is solved
// exactly (Leontief's system; Miller and Blair, Input-Output Analysis, 2nd edition, section 2.2). It fails when no
// solution is non-negative: a batch that takes as much seed as it gives never pays its bill (Hawkins and Simon 1949).
func (f *Flow) Cost(w *Outcome) (*Costing, error) {
	n := f.net
	c := &Costing{
		f: f, unit: make([]float64, len(n.g.Items)+len(n.seeds)), bill: make([]float64, len(n.step)),
		share: make([]float64, len(n.gives)), fixed: make([]float64, len(n.gives)),
		rate: make([]float64, len(n.gives)), base: make([]float64, len(n.gives)),
	}
	c.Unit = make([]float64, len(n.g.Items))
	if f.shareAtSplit(c) {
		f.rates(c, w)
		if err := c.solve(); err != nil {
			return nil, err
		}
		f.shareInTheEnd(c, w)
	}
	f.rates(c, w)
	if err := c.solve(); err != nil {
		return nil, err
	}
	for e, s := range n.owner {
		step, o := int(n.step[s]), e-int(n.outputs[s])
		rule := f.terms.Share[step]
		if (rule == ByEvenMargin || rule == ByMain) && len(n.g.Steps[step].Gives) > 1 && c.Share(step, o) < 0 {
			c.Notes = append(c.Notes, CostNote{Step: step, Output: o, Kind: Negative, Amount: c.Share(step, o)})
		}
	}
	return c, nil
}

// shareAtSplit shares what is known without looking downstream. It reports whether some step must look.
func (f *Flow) shareAtSplit(c *Costing) (downstream bool) {
	n := f.net
	weights := make([]float64, 0, 8)
	for p, s := range n.step {
		first, end := n.outputs[p], n.outputs[p+1]
		rule := f.terms.Share[s]
		if end-first == 1 {
			c.share[first] = 1
			continue
		}
		if rule == ByMain {
			c.share[first] = 1
			for e := first + 1; e < end; e++ {
				if worth := f.terms.Worth[n.gives[e]]; !math.IsNaN(worth) {
					c.fixed[e] = worth * f.gives[e]
					c.fixed[first] -= c.fixed[e]
				}
			}
			continue
		}
		if rule == ByFinalValue || rule == ByEvenMargin {
			downstream = true
		}
		weights = weights[:0]
		for e := first; e < end; e++ {
			worth := f.terms.Worth[n.gives[e]]
			if math.IsNaN(worth) {
				worth = 0
			}
			weights = append(weights, worth*f.gives[e])
		}
		if rule == ByWeight || sum(weights) <= 0 {
			if rule == ByWorth {
				c.Notes = append(c.Notes, CostNote{Step: int(s), Kind: Worthless})
			}
			weights = f.physical(weights[:0], p)
		}
		apportion(c.share[first:end], weights)
	}
	return downstream
}

// physical is the weight of each output of the step at place p; where a weight is not known, its amount.
func (f *Flow) physical(into []float64, p int) []float64 {
	n := f.net
	known := true
	for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
		grams, ok := n.g.Items[n.gives[e]].Grams(f.gives[e])
		known = known && ok
		into = append(into, grams)
	}
	if !known {
		copy(into, f.gives[n.outputs[p]:n.outputs[p+1]])
	}
	return into
}

// apportion scales weights to add up to 1; where there are none, each counts alike.
func apportion(into, weights []float64) {
	total := sum(weights)
	for i, w := range weights {
		if into[i] = w / total; total == 0 {
			into[i] = 1 / float64(len(weights))
		}
	}
}

func sum(v []float64) (total float64) {
	for _, x := range v {
		total += x
	}
	return total
}

// declared is what the graph says of an output's amount, before any change of yield.
func (f *Flow) declared(e int32) float64 {
	p := f.net.owner[e]
	return f.net.g.Steps[f.net.step[p]].Gives[e-f.net.outputs[p]].Amount
}

// rates turns shares of a bill into cost per base unit of an item, over all its makers.
func (f *Flow) rates(c *Costing, w *Outcome) {
	n := f.net
	for i := range n.g.Items {
		makers := n.madeBy[n.makers[i]:n.makers[i+1]]
		made := 0.0 // base units over all makers, by batches of each
		batches := func(e int32) float64 { return 1 }
		if w != nil && w.madeOf(f, makers) > 0 {
			batches = func(e int32) float64 { return w.Batches[n.step[n.owner[e]]] }
		}
		for _, e := range makers {
			made += batches(e) * f.gives[e]
		}
		if made == 0 { // it gives none at all any more, and costs what it did when it gave some
			for _, e := range makers {
				made += batches(e) * f.declared(e)
			}
		}
		for _, e := range makers {
			c.rate[e], c.base[e] = batches(e)*c.share[e]/made, batches(e)*c.fixed[e]/made
		}
	}
}

// solve finds the unit costs and bills: one pass, and with carried items two more and one for each of them.
func (c *Costing) solve() error {
	n := c.f.net
	items := len(n.g.Items)
	run := func(on float64, seed []float64) {
		clear(c.unit)
		for i, it := range n.g.Items {
			if it.Role == graph.Bought {
				c.unit[n.slot[i]] = on * c.f.terms.Price[i]
			}
		}
		copy(c.unit[items:], seed)
		c.pass(on)
		for i, slot := range n.slot {
			c.Unit[i] = c.unit[slot]
		}
	}
	k := len(n.seeds)
	seed := make([]float64, k)
	run(1, seed)
	if k == 0 {
		return nil
	}
	d := n.atSeeds(c.Unit)
	m := mat.NewDense(k, k, nil)
	for j := range k {
		seed[j] = 1
		run(0, seed)
		m.SetCol(j, n.atSeeds(c.Unit))
		seed[j] = 0
	}
	seed, err := n.solveCarried(m, d)
	if err != nil {
		return err
	}
	run(1, seed)
	return nil
}

// pass pays the bills in order. Before it, unit holds by slot the prices of what is bought, the costs of the seeds, and zero for
// what steps give. With on = 0 it leaves out labour, fuel and fixed shares: the rest is linear in prices and seeds.
func (c *Costing) pass(on float64) {
	f, n, unit := c.f, c.f.net, c.unit
	line, e := int32(0), int32(0)
	for p := range c.bill {
		bill := on * f.cost[p]
		for end := n.lines[p+1]; line < end; line++ {
			bill += f.first[line] * unit[f.costed[line]]
		}
		c.bill[p] = bill
		for end := n.outputs[p+1]; e < end; e++ {
			unit[n.puts[e]] += c.rate[e]*bill + on*c.base[e]
		}
	}
}

// atSeeds picks the values of the carried items out of those of all.
func (n *net) atSeeds(values []float64) []float64 {
	out := make([]float64, len(n.seeds))
	for k, i := range n.seeds {
		out[k] = values[i]
	}
	return out
}

// solveCarried solves c = Mc + d for the carried items, where M says how much of each comes back for one unit carried in.
func (n *net) solveCarried(m mat.Matrix, d []float64) ([]float64, error) {
	k := len(n.seeds)
	a := mat.NewDense(k, k, nil)
	ones := mat.NewVecDense(k, nil)
	for j := range k {
		a.Set(j, j, 1)
		ones.SetVec(j, 1)
	}
	a.Sub(a, m)
	// For non-negative M, x = Mx + 1 has a solution x >= 1 exactly when the spectral radius of M is below 1 (Collatz and
	// Wielandt): then, and only then, the loop gives more than it takes.
	var x, c mat.VecDense
	err := x.SolveVec(a, ones)
	for j := range k {
		if err != nil || !(x.AtVec(j) >= 1-1e-9) {
			return nil, &UnproductiveError{Item: int(n.seeds[j])}
		}
	}
	if err := c.SolveVec(a, mat.NewVecDense(k, d)); err != nil {
		return nil, fmt.Errorf("cost of what is carried over: %w", err)
	}
	return c.RawVector().Data, nil
}

// UnproductiveError tells of a perpetual item whose batches take as much of it as they give, or more.
type UnproductiveError struct{ Item int }

func (e *UnproductiveError) Error() string {
	return fmt.Sprintf("item %d takes as much from yesterday as it gives: it has no cost", e.Item)
}

// Weights is what one base unit of an item needs, all the way up and at the shares of this costing.
type Weights struct {
	Bought  []float64 // by item: base units paid for, which is also the change of cost for one unit of money on its price
	Batches []float64 // by step of the graph: batches paid for, which is also the change of cost for one unit of money on its labour
}

// Sensitivity is the derivative of the unit cost of item by every price and every labour cost, from one backward pass
// (with carried items one more for each, and one to close). Shares of a bill are held as they are: by worth, weight and
// main they don't move with a price; by final value and even margin they do, and that part is not in it.
func (c *Costing) Sensitivity(item int) (*Weights, error) {
	n := c.f.net
	items, k := len(n.g.Items), len(n.seeds)
	w := &Weights{Batches: make([]float64, len(n.step))}
	unit := make([]float64, items+k)
	unit[n.slot[item]] = 1
	c.back(unit, w)
	if k > 0 {
		// What falls on the seeds is paid by the batches before, and so on without end: y = M'y + b.
		b := slices.Clone(unit[items:])
		m := mat.NewDense(k, k, nil)
		for j, i := range n.seeds {
			clear(unit)
			unit[n.slot[i]] = 1
			c.back(unit, w)
			m.SetCol(j, unit[items:]) // row j of M
		}
		y, err := n.solveCarried(m, b)
		if err != nil {
			return nil, err
		}
		clear(unit)
		unit[n.slot[item]] = 1
		for j, i := range n.seeds {
			unit[n.slot[i]] += y[j]
		}
		c.back(unit, w)
	}
	w.Bought = make([]float64, items)
	for i, it := range n.g.Items {
		if it.Role == graph.Bought {
			w.Bought[i] = unit[n.slot[i]]
		}
	}
	return w, nil
}

// back is pass in reverse: unit holds the weight on each item, by slot, and gathers it on prices and seeds.
func (c *Costing) back(unit []float64, w *Weights) {
	f, n := c.f, c.f.net
	for p := len(n.step) - 1; p >= 0; p-- {
		bill := 0.0
		for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
			bill += unit[n.puts[e]] * c.rate[e]
		}
		w.Batches[n.step[p]] = bill
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			unit[f.costed[line]] += bill * f.first[line]
		}
	}
}
