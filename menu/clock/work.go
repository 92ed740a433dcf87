package clock

// The works of a walk, and the lots that go from one to another.

import (
	"context"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// kind says what makes work happen.
type kind uint8

const (
	batch kind = iota // a step on set days
	pot               // a batch that is under way when the walk begins: what is still to be done of it
	all               // a step takes all there is
	order             // a step makes to order
	plate             // a dish is served
)

// work is what a step does at one moment of the walk, or a dish at one service. Runs of a step that begin at one moment
// are one work.
type work struct {
	kind    kind
	step    int // of the graph
	slot    int // all, plate: the service; else -1
	day     int
	at      int // when the walk has it
	fixed   bool
	over    bool  // all of it is lost, and nobody tends it, or any longer
	runs    []int // batch: of the schedule
	batches float64
	takes   []take // by line, then choice
	gives   []give // by output
	length  int    // minutes from its start to its end

	from, to []int // edges, of the night
}

// take is what a work takes by one line of its step.
type take struct {
	line     int // kitchen.AnyLine where that is not known
	item, in int // in: minutes after the start
	out      int // when it is taken out again and thrown away; 0 when it stays in
	amount   float64
}

// give is what a work gives.
type give struct {
	item, out int // out: minutes after the start
	amount    float64
}

// edge is a lot that goes from one work to another. Edges lead from works with lower numbers to higher ones.
type edge struct {
	from, to int // from: -1 for what is bought or was on hand
	item     int
	out, in  int // minutes after the start of the two
	amount   float64
	carried  bool // from what an earlier day left
	until    int  // the last day on which the lot may be taken; noEnd when it keeps
}

const noEnd = 1 << 30

// night is a walk with its works, in the order in which they begin in it, and the lots between them.
type night struct {
	*week.Week
	schedule *flow.Schedule
	outcome  *flow.Outcome
	record   *flow.Record
	flow     *flow.Flow
	vessels  *week.Calendar
	works    []work
	edges    []edge
}

// source is where a lot comes from.
type source struct {
	work int // -1 for what is bought or was on hand
	out  int
	day  int
}

// follow plays a case and follows its lots, first in, first out, as the walk does.
func follow(ctx context.Context, w *week.Week, c flow.Case) (*night, error) {
	p, err := w.PlayCase(ctx, c, nil)
	if err != nil {
		return nil, err
	}
	s, rec := p.Schedule, p.Record
	n := &night{Week: w, schedule: s, outcome: p.Outcome, record: rec, flow: c.Flow, vessels: w.Calendar(s, p.Outcome, rec)}
	f := &following{night: n, at: map[[2]int]int{}, starts: map[[2]int][]int{}}
	for r, ran := range n.outcome.Ran {
		if run := s.Batches[r]; run.Day < s.Days && ran.Batches > 0 {
			f.starts[[2]int{ran.Start, run.Step}] = append(f.starts[[2]int{ran.Start, run.Step}], r)
		}
	}
	for range rec.Lots {
		f.lots = append(f.lots, source{work: -1})
	}
	for k := range s.Pots {
		n.works = append(n.works, n.underWay(&s.Pots[k]))
	}
	for _, e := range rec.Entries {
		f.enter(e)
	}
	for r, ran := range n.outcome.Ran { // a batch that takes nothing but what it can do without
		if s.Batches[r].Day < s.Days && ran.Batches > 0 {
			f.workAt(ran.Start, s.Batches[r].Step)
		}
	}
	n.addTakenOut()
	for i := range n.works {
		n.fill(i)
	}
	return n, nil
}

// underWay is the work of a batch under way. What is overdue of it is to be done when the walk begins.
func (n *night) underWay(p *flow.Pot) work {
	w := work{kind: pot, step: p.Step, slot: -1, day: p.Day, at: p.Start, fixed: true, batches: p.Batches}
	if w.over = p.Over(); w.over {
		return w
	}
	after := func(minute int) int { return max(minute, n.schedule.From) - p.Start }
	for _, t := range p.Takes {
		w.takes = append(w.takes, take{line: n.lineOf(p, t, w.takes), item: t.Item, in: after(t.Minute), amount: t.Amount})
		w.length = max(w.length, after(t.Minute))
	}
	for line, g := range p.Gives {
		amount := g.Amount * (1 - p.Lost)
		if p.Yields != nil {
			amount *= p.Yields[line]
		}
		w.gives = append(w.gives, give{g.Item, after(g.Minute + p.Late), amount})
		w.length = max(w.length, after(g.Minute+p.Late))
	}
	return w
}

// lineOf is the line of its card by which something still goes into a batch under way: the first that has it at that minute and is
// none of those before.
func (n *night) lineOf(p *flow.Pot, t flow.PotLine, before []take) int {
	for l, line := range n.Graph.Steps[p.Step].Takes {
		has := slices.ContainsFunc(line.Choices, func(c graph.Choice) bool { return c.Item == t.Item })
		gone := slices.ContainsFunc(before, func(x take) bool { return x.line == l })
		if has && !gone && p.Start+line.InAt == t.Minute {
			return l
		}
	}
	return kitchen.AnyLine
}

// following is the state of one following.
type following struct {
	*night
	at     map[[2]int]int   // work by minute and step
	starts map[[2]int][]int // runs by minute and step
	lots   []source         // by lot of the record
}

// enter follows one movement.
func (f *following) enter(e flow.Entry) {
	switch e.What {
	case flow.Took:
		to := e.Pot
		if e.Pot < 0 {
			to = f.workAt(e.At, e.Step)
			f.works[to].takes = append(f.works[to].takes, take{line: kitchen.AnyLine, item: e.Item, amount: e.Amount})
		}
		for _, p := range e.Lots {
			f.link(f.lots[p.Lot], e.Item, p.Amount, to)
		}
	case flow.Came:
		from, out := f.giver(e)
		if k := f.works[from].kind; k != batch && k != pot {
			f.works[from].gives = append(f.works[from].gives, give{e.Item, out, e.Amount})
		}
		for _, p := range e.Lots {
			f.lots[p.Lot] = source{from, out, e.At / 1440}
		}
	}
}

// giver is the work that gave what came in, and after how many minutes it was out.
func (f *following) giver(e flow.Entry) (from, out int) {
	if e.Pot >= 0 {
		return e.Pot, e.At - f.works[e.Pot].at
	}
	st := f.Graph.Steps[e.Step]
	for _, g := range st.Gives {
		if g.Item == e.Item {
			out = g.OutAt
		}
	}
	if st.Mode == graph.OnDays {
		return f.workAt(e.At-out, e.Step), out
	}
	return f.workAt(e.At, e.Step), out
}

// workAt is the work of a step that begins at a moment of the walk.
func (f *following) workAt(at, step int) int {
	key := [2]int{at, step}
	if i, ok := f.at[key]; ok {
		return i
	}
	w := work{step: step, slot: -1, day: at / 1440, at: at, length: f.Graph.Steps[step].Length()}
	switch mode := f.Graph.Steps[step].Mode; {
	case step >= len(f.Steps):
		w.kind, w.slot = plate, f.slotAt(at)
	case mode == graph.OnDays:
		w.runs = f.starts[key]
		w.day, w.fixed = f.schedule.Batches[w.runs[0]].Day, f.Steps[step].Starts != flow.Untimed
		w.over = true
		for _, r := range w.runs {
			w.batches += f.outcome.Ran[r].Batches
			w.over = w.over && f.schedule.Batches[r].Lost >= 1
		}
	case mode == graph.AllOf:
		w.kind, w.slot = all, f.slotAt(at)
	default:
		w.kind = order
	}
	f.works = append(f.works, w)
	f.at[key] = len(f.works) - 1
	return len(f.works) - 1
}

// slotAt is the service, or the noon of a day without one, at a moment.
func (n *night) slotAt(at int) int {
	for k := range n.schedule.Slots {
		if n.schedule.ServedAt(k) == at && n.schedule.Slots[k].End > n.schedule.From {
			return k
		}
	}
	return -1
}

// link notes that a part of a lot goes to a work.
func (f *following) link(l source, item int, amount float64, to int) {
	e := edge{from: l.work, to: to, item: item, out: l.out, in: noEnd, amount: amount, until: noEnd}
	if k := f.Terms.Keeps[item]; k > 0 && l.work >= 0 {
		e.until = l.day + k - 1
	}
	for _, line := range f.Graph.Steps[f.works[to].step].Takes {
		for _, c := range line.Choices {
			if c.Item == item {
				e.in, e.carried = min(e.in, line.InAt), e.carried || line.Carried
			}
		}
	}
	f.edges = append(f.edges, e)
	k := len(f.edges) - 1
	f.works[to].from = append(f.works[to].from, k)
	if l.work >= 0 {
		f.works[l.work].to = append(f.works[l.work].to, k)
	}
}

// fill lays a work's takes out by line, and says what a batch gives and how many batches others did.
func (n *night) fill(i int) {
	w := &n.works[i]
	if w.kind == pot {
		return
	}
	st := n.Graph.Steps[w.step]
	took, written := map[int]float64{}, map[int]float64{} // by item
	for _, t := range w.takes {
		took[t.item] += t.amount
	}
	for _, line := range st.Takes {
		for _, c := range line.Choices {
			written[c.Item] += c.Amount
		}
	}
	w.takes = w.takes[:0:0]
	for l, line := range st.Takes {
		filled := 0.0
		for _, c := range line.Choices {
			if amount := took[c.Item] * c.Amount / written[c.Item]; amount > 0 {
				w.takes = append(w.takes, take{l, c.Item, line.InAt, line.OutAt, amount})
				filled += amount / c.Amount
			}
		}
		if l == 0 && w.kind == all {
			w.batches = filled
		}
	}
	switch w.kind {
	case batch:
		for o, g := range st.Gives {
			amount := 0.0
			for _, r := range w.runs {
				run := n.schedule.Batches[r]
				part := n.outcome.Ran[r].Batches * n.flow.Gives(w.step, o) * (1 - run.Lost)
				if run.Yields != nil {
					part *= run.Yields[o]
				}
				amount += part
			}
			w.gives = append(w.gives, give{g.Item, g.OutAt, amount})
		}
	case order:
		for _, g := range w.gives {
			for o, out := range st.Gives {
				if out.Item == g.item {
					w.batches = g.amount / n.flow.Gives(w.step, o)
				}
			}
		}
	case plate:
		for _, g := range w.gives {
			w.batches = g.amount
		}
	}
}
