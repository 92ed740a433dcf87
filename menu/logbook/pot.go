package logbook

// Pots: batches between what went in and what comes out, as the log book is played. A pot is known by its step and the day on which
// it was to begin.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// pot is a batch into which something was put.
type pot struct {
	step   string
	begins time.Time
	ends   time.Time  // nothing is expected of it from then on
	filled []int64    // the entries that put something in, in the order in which they did
	since  flow.Since // the earliest day 1 of what they put in
	money  *potMoney  // where book is kept of money
}

// expects is how long after the day on which a pot was to be empty something may still come out of it.
const expects = 2 * 24 * time.Hour

// potOf is the pot that an entry is about; nil where the entry neither fills nor empties one.
func (p *player) potOf(e *Entry) *pot {
	switch e.Kind {
	case Lit, PutIn, Out, Done, Lost:
	default:
		return nil
	}
	begins := e.On(p.k)
	at := slices.IndexFunc(p.pots, func(o *pot) bool { return o.step == e.Step && o.begins.Equal(begins) })
	if at >= 0 {
		return p.pots[at]
	}
	if e.Kind == Lost {
		return nil
	}
	length := 0
	if step, err := p.k.FindStep(e.Step); err == nil {
		length = p.k.Graph.Steps[step].Length()
	}
	o := &pot{step: e.Step, begins: begins, ends: midnight(minutesAfter(e.At, length)).Add(expects), money: p.till.pot(e.Step)}
	p.pots = append(p.pots, o)
	if e.Kind != Lit {
		p.odd(e, e.Step, 0, "nobody logged that %s was lit: what went in before is not counted", e.Step)
	}
	return o
}

// giveUp lets go of the pots of which nothing more is expected.
func (p *player) giveUp(now time.Time) {
	p.pots = slices.DeleteFunc(p.pots, func(o *pot) bool {
		over := !now.Before(o.ends)
		if over {
			p.till.close(o.money)
		}
		return over
	})
}

// potItem stands for what is in the pots of a step, beside the items of the kitchen; steps that are no longer in the kitchen file
// share one.
func (p *player) potItem(step string) int {
	items := len(p.k.Graph.Items)
	if s, err := p.k.FindStep(step); err == nil {
		return items + s
	}
	return items + len(p.k.Steps)
}

// shelfItems is how many items there are in movements: those of the kitchen, and what is in pots.
func shelfItems(items, steps int) int { return items + steps + 1 }

// fill tells that an entry put something into a pot: a lot of its own, which all goes into whatever comes out later.
func (p *player) fill(e *Entry, o *pot) {
	o.filled = append(o.filled, e.ID)
	o.since = o.since.Or(p.went)
	p.moved(Came, e, p.potItem(o.step), 0, 1)
	p.till.fill(e, o.money)
}

// empty tells that an entry took something out of a pot, of all that went in before.
func (p *player) empty(e *Entry, o *pot) {
	for _, from := range o.filled {
		if from != e.ID {
			p.moved(Alone, e, p.potItem(o.step), from, 1)
		}
	}
}

// potMoney is what a pot cost, beside what it is worth at the file's unit costs.
type potMoney struct {
	step    int // of the kitchen's graph; negative where the file has it no longer
	item    int // under which it is booked; negative before anything went in
	said    float64
	main    float64 // batches by how much of the main input went in
	cost    float64 // that is in it
	book    float64 // that is in it and for which no output or variance stands yet
	labour  float64
	taken   []worthOf // what went in, by item
	used    []worthOf // usage that was booked, by item
	yielded []float64 // by output: what of the file's bill it was to bear, as far as it was booked
	came    []bool    // by output
}

// worthOf is an amount of money that stands for an item.
type worthOf struct {
	item  int
	worth float64
}

// put adds to what stands for an item.
func put(list []worthOf, item int, worth float64) []worthOf {
	for i := range list {
		if list[i].item == item {
			list[i].worth += worth
			return list
		}
	}
	return append(list, worthOf{item, worth})
}

// pot is a new pot of a step.
func (t *till) pot(step string) *potMoney {
	if t == nil {
		return nil
	}
	m := &potMoney{step: -1, item: -1}
	if s, ok := t.stepAt[step]; ok {
		st := &t.p.k.Graph.Steps[s]
		m.step, m.yielded, m.came = s, make([]float64, len(st.Gives)), make([]bool, len(st.Gives))
		if by := st.MainLine(); by >= 0 {
			m.item = st.Takes[by].Choices[0].Item
		}
	}
	return m
}

// batches is how many batches of the kitchen file are in a pot: by how much of the main input went in or, before it did, the number
// that was said.
func (m *potMoney) batches() float64 {
	if m.main > 0 {
		return m.main
	}
	return m.said
}

// fill takes what an entry took into a pot.
func (t *till) fill(e *Entry, m *potMoney) {
	if t == nil {
		return
	}
	if m.item < 0 {
		m.item = max(t.first, 0)
	}
	if e.Kind == Lit {
		m.said += e.Batches
	}
	for _, w := range t.asked {
		m.taken = put(m.taken, w.item, w.worth)
	}
	labour := 0.0
	if m.step >= 0 {
		m.main += t.mainShare(&t.p.k.Graph.Steps[m.step], e)
		labour = m.batches()*t.p.k.Terms.Cost[m.step] - m.labour
	}
	m.labour += labour
	t.of(m.item)[labourIn] += labour
	t.pour(m, t.spent+labour, t.book+labour)
	t.spent, t.book, t.asked = 0, 0, t.asked[:0]
}

// pour adds to what is in a pot.
func (t *till) pour(m *potMoney, cost, book float64) {
	m.cost += cost
	m.book += book
	of := t.of(m.item)
	of[potCost] += cost
	of[potBook] += book
}

// ladle values what comes out of a pot. It bears the part of what is in there that the file has it bear of what is still to come:
// what goes in later is borne by what comes out later.
func (t *till) ladle(m *potMoney, lots []Lot) {
	if t == nil || len(lots) == 0 {
		return
	}
	if m.item < 0 {
		m.item = lots[0].Item
	}
	weights, rest := make([]float64, len(lots)), 0.0
	for i, l := range lots {
		weights[i] = t.worth(l.Item, l.Amount)
	}
	if m.step >= 0 {
		n, bill := m.batches(), t.file.Bill(m.step)
		for o, out := range t.p.k.Graph.Steps[m.step].Gives {
			due := n * t.file.Share(m.step, o)
			at := slices.IndexFunc(lots, func(l Lot) bool { return l.Item == out.Item })
			switch {
			case at >= 0 && !m.came[o]:
				weights[at] = t.file.Share(m.step, o) / out.Amount * lots[at].Amount
				t.expect(m, o)
			case !m.came[o] && bill > 0:
				rest += max(due, 0)
			}
		}
	}
	total := 0.0
	for _, w := range weights {
		total += max(w, 0)
	}
	share := 1.0
	if total+rest > 0 {
		share = total / (total + rest)
	}
	cost := m.cost * share
	for i, c := range t.apportioned(cost, weights, lots) {
		lots[i].Cost = c
		t.shelve(lots[i].Item, lots[i].Amount, c)
		t.of(lots[i].Item)[yieldOver] -= t.worth(lots[i].Item, lots[i].Amount)
	}
	t.pour(m, -cost, 0)
	if m.step >= 0 && !slices.Contains(m.came, false) {
		t.close(m)
	}
}

// none notes that nothing of an item comes out of a pot.
func (t *till) none(m *potMoney, item int) {
	if t == nil || m.step < 0 || m.item < 0 {
		return
	}
	for o, out := range t.p.k.Graph.Steps[m.step].Gives {
		if out.Item == item && !m.came[o] {
			t.expect(m, o)
		}
	}
}

// expect books what an output was to bear, once it is known how much of it came.
func (t *till) expect(m *potMoney, o int) {
	due := m.batches() * t.file.Share(m.step, o)
	m.came[o] = true
	m.yielded[o] += due
	t.of(t.p.k.Graph.Steps[m.step].Gives[o].Item)[yieldOver] += due
	t.pour(m, 0, -due)
}

// close ends a pot: what never came is missed, what went in beside the card was used. It may be closed again when more went in.
func (t *till) close(m *potMoney) {
	if t == nil || m.item < 0 {
		return
	}
	if m.step >= 0 {
		n := m.batches()
		for o, out := range t.p.k.Graph.Steps[m.step].Gives {
			due := n*t.file.Share(m.step, o) - m.yielded[o]
			m.yielded[o] += due
			t.of(out.Item)[yieldOver] += due
			t.pour(m, 0, -due)
		}
		for _, u := range t.usage(m.step, n, m.taken) {
			due := u.worth
			if at := slices.IndexFunc(m.used, func(w worthOf) bool { return w.item == u.item }); at >= 0 {
				due -= m.used[at].worth
			}
			m.used = put(m.used, u.item, due)
			t.of(u.item)[usageOver] += due
			t.pour(m, 0, -due)
		}
	}
	of := t.of(m.item)
	of[usageOver] += m.book // what rounding left, and of a step that the file has no longer, all that went in
	of[lostOut] += m.cost
	t.pour(m, -m.cost, -m.book)
}

// lose ends a pot of which nothing more comes.
func (t *till) lose(m *potMoney) {
	if t == nil || m.item < 0 {
		return
	}
	of := t.of(m.item)
	of[usageOver] += m.book
	of[lostOut] += m.cost
	t.pour(m, -m.cost, -m.book)
}

// usage is what went into so many batches of a step less what the card has go in, by item, at the file's unit costs.
func (t *till) usage(step int, batches float64, taken []worthOf) (list []worthOf) {
	list = slices.Clone(taken)
	for _, line := range t.p.k.Graph.Steps[step].Takes {
		c := line.Choices[0]
		list = put(list, c.Item, -batches*t.worth(c.Item, c.Amount))
	}
	slices.SortFunc(list, func(a, b worthOf) int { return cmp.Compare(a.item, b.item) })
	return list
}

// mainShare is how many batches of the kitchen file the main input of an entry is enough for.
func (t *till) mainShare(st *graph.Step, e *Entry) (batches float64) {
	by := st.MainLine()
	for _, a := range e.Takes {
		if line, share := lineOf(t.p.k, t.p.itemAt, st, a); line == by && line >= 0 && !math.IsNaN(share) {
			batches += share
		}
	}
	return batches
}

// potNow is a pot between two entries, as it is kept.
type potNow struct {
	Step         string
	Begins, Ends int64
	Filled       []int64
	Since        flow.Since
}

func (p *player) shelvedPots() (list []potNow) {
	for _, o := range p.pots {
		list = append(list, potNow{o.step, o.begins.Unix(), o.ends.Unix(), o.filled, o.since})
	}
	return list
}

func (p *player) restorePots(list []potNow) {
	for _, o := range list {
		p.pots = append(p.pots, &pot{step: o.Step, begins: time.Unix(o.Begins, 0).UTC(), ends: time.Unix(o.Ends, 0).UTC(), filled: o.Filled, since: o.Since})
	}
}

// potName names what is in the pots of a step.
func potName(steps []string, at int) string {
	if at < len(steps) {
		return fmt.Sprintf("%s, in the pot", steps[at])
	}
	return "in a pot"
}
