package clock

// The rows: what is to be done for a work, and for whom.

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// order of what is done at one minute: what is out goes before what is in, but no batch is out before it is lit, and what waits until
// something is cold comes when that was read.
var turns = map[string]int{TakeOut: 0, Make: 1, Turn: 2, Start: 3, PutIn: 5, Work: 6, Read: 7, Serve: 9}

const outAsLit, onceCold = 4, 8

func (r *Row) turn() int {
	switch {
	case r.Do == TakeOut && cmp.Or(r.Card, r.At) == r.Begun:
		return outAsLit
	case r.Cold:
		return onceCold
	}
	return turns[r.Do]
}

// inTime are rows in the order of time. A row is large, so it is moved once.
func inTime(rows []Row) []Row {
	order := make([]*Row, len(rows))
	for i := range rows {
		order[i] = &rows[i]
	}
	slices.SortStableFunc(order, func(a, b *Row) int {
		return cmp.Or(cmp.Compare(a.minute, b.minute), cmp.Compare(a.turn(), b.turn()), cmp.Compare(a.work, b.work))
	})
	list := make([]Row, len(rows))
	for i, r := range order {
		list[i] = *r
	}
	return list
}

// rows are what is to be done for a work, in order.
func (t *table) rows(i int) []Row {
	w, begin := &t.night.works[i], t.times[i]
	card := t.Steps[w.step]
	base := Row{Latest: !w.fixed, Step: t.Graph.Steps[w.step].Name, Begun: stamp(t.Week, begin), Batches: w.batches,
		Station: card.Station, Needed: t.Graph.Steps[w.step].AsNeeded(), work: i}
	if card.Vessel >= 0 {
		base.Vessel = t.Vessels[card.Vessel].Name
	}
	base.Station = cmp.Or(base.Station, base.Vessel, kitchen.Bench)
	if card.Unsaid.Any() && w.kind == batch {
		return t.unsaid(base)
	}
	if w.kind == pot {
		base.Day = t.Date(w.day).Format(time.DateOnly)
	}
	if !w.fixed && t.made[i] && t.early[i] < begin {
		base.Earliest = new(stamp(t.Week, t.early[i]))
	}
	moments := map[int]bool{w.length: true}
	for _, x := range w.takes {
		moments[x.in] = true
		if x.out > 0 { // else it stays in
			moments[x.out] = true
		}
	}
	for _, x := range w.gives {
		moments[x.out] = true
	}
	for _, p := range card.Phases {
		moments[p.From] = w.kind != pot || begin+p.From >= t.night.schedule.From
	}
	if w.kind != pot {
		moments[0] = true
	}
	var list []Row
	for _, after := range slices.Sorted(maps.Keys(moments)) {
		if moments[after] {
			list = append(list, t.rowsAt(base, after)...)
		}
	}
	list[len(list)-1].Ends = true
	return list
}

// rowsAt are what is to be done for a work some minutes after its start.
func (t *table) rowsAt(base Row, after int) (list []Row) {
	w := &t.night.works[base.work]
	base.minute = t.times[base.work] + after
	base.At = stamp(t.Week, base.minute)
	in, out, phase := []Part{}, []Part{}, ""
	for _, x := range w.takes {
		if x.in == after {
			in = append(in, t.part(w.step, x.line, x.item, x.amount))
		}
		if x.out > 0 && x.out == after {
			out = append(out, t.part(w.step, x.line, x.item, x.amount))
		}
	}
	for _, x := range w.gives {
		if x.out == after && x.amount > 0 {
			out = append(out, t.part(w.step, kitchen.AnyLine, x.item, x.amount))
		}
	}
	for _, p := range t.Steps[w.step].Phases {
		if p.From == after {
			phase = p.Name
		}
	}
	add := func(do, phase string, in, out []Part, of users) {
		r := base
		r.Do, r.Phase, r.In, r.Out = do, phase, in, out
		r.For, r.More, r.First = t.forWhom(of)
		if len(r.Out) > 0 {
			r.Until = t.until(w, of)
		}
		if w.fixed && w.kind != pot && r.Vessel != "" { // what is in a pot already is not told
			in := after
			if do == TakeOut { // it goes out before anything else goes in
				in--
			}
			level := t.level(base.work, after, in)
			r.Litres, r.InPot = new(level/1000), t.InPot(level)
		}
		r.Heat = t.heat(&r, w.step)
		list = append(list, r)
	}
	none := []Part{}
	whole := t.night.users(base.work, -1)
	switch {
	case w.length == 0 && w.kind != pot:
		add(Make, phase, in, out, whole)
		return list
	case len(out) > 0 || after == w.length:
		var of users
		for _, x := range w.gives {
			if x.out == after {
				of = of.and(t.night.users(base.work, x.item))
			}
		}
		add(TakeOut, "", none, out, of)
	}
	switch {
	case after == 0 && w.kind != pot:
		add(Start, phase, in, none, whole)
	case len(in) > 0:
		add(PutIn, "", in, none, whole)
		fallthrough
	default:
		if phase != "" {
			add(Turn, phase, none, none, whole)
		}
	}
	return list
}

// part is an amount of an item as a line of the card of a step writes it; the line is -1 for what it gives.
func (t *table) part(step, line, item int, amount float64) Part {
	q := t.QuantityIn(step, line, item, amount)
	p := Part{Item: t.Graph.Items[item].Name, Amount: q.Amount, Unit: q.Unit.Name, As: q.Unit.ShownAs(), Many: t.Graph.Items[item].Many}
	if q.Unit == measure.Each {
		made := slices.ContainsFunc(t.Graph.Steps[step].Gives, func(o graph.Output) bool { return o.Item == item })
		p.Pieces = t.Shown(item, q.Amount, made)
	}
	return p
}

// serving is the row of a service; ok is false when nothing is served.
func (t *table) serving(slot int) (r Row, ok bool) {
	s := t.night.schedule.Slots[slot]
	if s.Closed {
		return Row{}, false
	}
	r = Row{At: stamp(t.Week, s.Start), Begun: stamp(t.Week, s.Start), Station: "pass",
		Step: t.Services[t.Sittings[slot].Service].Name, Do: Serve, In: []Part{},
		Out: []Part{}, For: []string{}, work: -1, minute: s.Start}
	var names []string
	for d, dish := range t.Kitchen.Dishes {
		if n := t.night.outcome.Served[slot*len(t.night.schedule.Wants)+d]; n > 0 {
			r.Out = append(r.Out, Part{Item: dish.Name, Amount: n, Unit: "portion"})
			names = append(names, dish.Name)
		}
	}
	r.Heat = t.served(names)
	return r, len(r.Out) > 0
}

// users are who rests on something: portions by dish, steps that take it, and the first service.
type users struct {
	portions map[int]float64 // by dish
	steps    []int
	first    int   // slot; -1 for none
	slots    []int // all of them
}

func (u users) and(o users) users {
	if u.portions == nil {
		return o
	}
	for d, n := range o.portions {
		u.portions[d] += n
	}
	u.steps = append(u.steps, o.steps...)
	if u.first < 0 || o.first >= 0 && o.first < u.first {
		u.first = o.first
	}
	u.slots = append(u.slots, o.slots...)
	return u
}

// users are who rests on what a work gives of an item; of all that it gives for -1. What a later day takes "from
// yesterday" is followed no further: else a perpetual stock would be for every dish of the year.
func (n *night) users(i, item int) users {
	u := users{portions: map[int]float64{}, first: -1}
	seen := map[int]bool{i: true}
	for queue := []int{i}; len(queue) > 0; queue = queue[1:] {
		for _, k := range n.works[queue[0]].to {
			e := n.edges[k]
			if queue[0] == i && item >= 0 && e.item != item || seen[e.to] {
				continue
			}
			to := &n.works[e.to]
			if queue[0] == i && to.kind != plate && !slices.Contains(u.steps, to.step) {
				u.steps = append(u.steps, to.step)
			}
			seen[e.to] = true
			if to.kind == plate {
				u.portions[to.step-len(n.Steps)] += to.batches
				if u.first < 0 || to.slot < u.first {
					u.first = to.slot
				}
				u.slots = append(u.slots, to.slot)
				continue
			}
			if !e.carried {
				queue = append(queue, e.to)
			}
		}
	}
	return u
}

// until is the last service that what is made as needed is enough for, where it is for more than one; "" where some of it is left when
// the days asked about end.
func (t *table) until(w *work, u users) string {
	if !t.Graph.Steps[w.step].AsNeeded() || u.first < 0 {
		return ""
	}
	next := noEnd // when the next batch is made
	for k := range t.night.works {
		if o := &t.night.works[k]; o.step == w.step && o.at > w.at {
			next = min(next, o.at)
		}
	}
	if next == noEnd {
		for _, g := range w.gives {
			taken := 0.0
			for _, k := range w.to {
				if e := t.night.edges[k]; e.item == g.item {
					taken += e.amount
				}
			}
			if keeps := t.Terms.Keeps[g.item]; g.amount-taken > 1e-6*g.amount && (keeps == 0 || w.at/1440+keeps-1 >= t.Days) {
				return ""
			}
		}
	}
	last := u.first
	for _, slot := range u.slots {
		if t.night.schedule.ServedAt(slot) < next {
			last = max(last, slot)
		}
	}
	if last == u.first {
		return ""
	}
	return t.SittingName(last)
}

// forWhom names users: the dishes with the most portions, and the first service.
func (t *table) forWhom(u users) (names []string, more int, first string) {
	const most = 3
	dishes := slices.SortedFunc(maps.Keys(u.portions), func(a, b int) int {
		return cmp.Or(-cmp.Compare(u.portions[a], u.portions[b]), cmp.Compare(a, b))
	})
	names = []string{}
	for _, d := range dishes {
		names = append(names, t.Kitchen.Dishes[d].Name)
	}
	if len(dishes) == 0 {
		for _, s := range u.steps {
			names = append(names, t.Graph.Steps[s].Name)
		}
		names = slices.Compact(slices.Sorted(slices.Values(names)))
	}
	if len(names) > most {
		more, names = len(names)-most, names[:most]
	}
	if u.portions != nil && u.first >= 0 {
		first = t.SittingName(u.first)
	}
	return names, more, first
}
