package clock

// Backwards: when all must begin at the latest for one service.

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Latest is when work must begin at the latest so that all that a service needs of it is there, and what other services
// need of it before.
type Latest struct {
	Step    string  `json:"step"`
	Vessel  string  `json:"vessel"` // "" for none
	Batches float64 `json:"batches"`
	At      string  `json:"at"`            // 2006-01-02T15:04, the latest start that keeps this service, and those before it
	Planned *string `json:"planned"`       // 2006-01-02T15:04; null when the file sets no time
	Spare   int     `json:"spare_minutes"` // from what is planned; below zero, it is too late already
	Because string  `json:"because"`       // what must be out by then, and for whom
	Alone   *string `json:"alone"`         // 2006-01-02T15:04, the latest for this service alone, when others need it sooner; else null

	Nobody bool `json:"nobody_there,omitempty"` // nobody is there to begin it then

	minute int
}

// Slot finds the one service that a text names: "fri dinner".
func Slot(w *week.Week, text string) (int, error) {
	slots, err := w.SlotsNamed(text)
	if err != nil {
		return 0, err
	}
	if len(slots) > 1 {
		first := w.Sittings[slots[0]]
		return 0, fmt.Errorf("%q names %d services: write one, such as %q", text, len(slots),
			w.Date(first.Day).Format(time.DateOnly)+" "+w.Services[first.Service].Name)
	}
	return slots[0], nil
}

// ToBeReady is the timetable of all that a service rests on, each work as late as that service, and what must be out
// before, allow, by the amounts of the week as it is planned.
func ToBeReady(ctx context.Context, w *week.Week, slot int) (*Timetable, error) {
	t, err := newTable(ctx, w, w.Case)
	if err != nil {
		return nil, err
	}
	n := t.night
	alone, _ := t.latest(slot, itAlone)
	if len(alone) == 0 {
		return nil, fmt.Errorf("nothing is served at %s", w.SittingName(slot))
	}
	chain, because := t.latest(slot, othersToo)
	planned := slices.Clone(t.times)
	for i, at := range chain {
		t.times[i] = at
	}
	for i, x := range n.works {
		at, in := chain[i]
		if !in || x.kind == plate {
			continue
		}
		l := Latest{Step: t.Graph.Steps[x.step].Name, Batches: x.batches, At: stamp(w, at), Because: because[i],
			Spare: at - planned[i], minute: at, Nobody: x.kind != order && len(t.Kitchen.Shifts) > 0 && !t.begunAt(i, at)}
		if v := t.Steps[x.step].Vessel; v >= 0 {
			l.Vessel = t.Vessels[v].Name
		}
		if x.fixed {
			l.Planned = new(stamp(w, planned[i]))
		}
		if alone[i] > at {
			l.Alone = new(stamp(w, alone[i]))
		}
		t.Latest = append(t.Latest, l)
	}
	slices.SortStableFunc(t.Latest, func(a, b Latest) int { return cmp.Compare(a.minute, b.minute) })
	t.Timetable.Ready = &Service{t.SittingName(slot), stamp(w, n.schedule.Slots[slot].Start)}
	t.made = make([]bool, len(n.works)) // latest starts have no earliest
	if err := t.fill(ctx, func(i int) bool { _, in := chain[i]; return in }, nil); err != nil {
		return nil, err
	}
	// that is none of lateness
	t.Conflicts = slices.DeleteFunc(t.Conflicts, func(c Conflict) bool { return c.Kind == Lacking })
	t.Rows = slices.DeleteFunc(t.Rows, func(r Row) bool { return r.work < 0 && r.minute != n.schedule.Slots[slot].Start })
	return t.Timetable, t.tryOut(ctx, slot, chain)
}

// needer names who takes something: a dish at a service, or a step and, where dishes rest on it, the first of their
// services.
func (t *table) needer(i int) string {
	w := &t.night.works[i]
	if w.kind == plate {
		return t.voice().Say("%[1]s at %[2]s", t.Kitchen.Dishes[w.step-len(t.Steps)].Name, t.SittingName(w.slot))
	}
	if u := t.night.users(i, -1); w.kind != batch && w.kind != pot && u.first >= 0 {
		return t.voice().Say("%[1]s for %[2]s", t.Graph.Steps[w.step].Name, t.SittingName(u.first))
	}
	return t.called(i)
}

// whom says for whom a work must be in time.
type whom uint8

const (
	itAlone   whom = iota // one service
	othersToo             // and all who take of the work before it
)

// latest is, for every work that a service rests on and the plates of that service, when it begins at the latest, and
// why; with what all others take of it before, at the times that are planned for them, or for the service alone.
func (t *table) latest(slot int, whom whom) (chain map[int]int, because map[int]string) {
	n := t.night
	chain, because = map[int]int{}, map[int]string{}
	perpetual := n.perpetual()
	for i, w := range slices.Backward(n.works) {
		if w.kind == plate {
			if w.slot == slot {
				chain[i] = w.at
			}
			continue
		}
		if w.kind == pot { // it is lit
			continue
		}
		at, by, member := noEnd, -1, false
		for _, k := range w.to {
			e := n.edges[k]
			begins, in := chain[e.to]
			if member = member || in; !in {
				begins = t.times[e.to]
			}
			if !in && whom == itAlone {
				continue
			}
			need := begins + e.in - e.out
			if e.carried { // it is only from yesterday when it is out by midnight
				need = begins - begins%1440 - 1 - e.out
			}
			if need < at {
				at, by = need, k
			}
		}
		for _, k := range n.heldBack(i, perpetual) {
			e := n.edges[k]
			begins, in := chain[e.to]
			if !in {
				begins = t.times[e.to]
			}
			if member = member || in; (in || whom == othersToo) && begins+e.in-e.out < at {
				at, by = begins+e.in-e.out, k
			}
		}
		if !member || by < 0 {
			continue
		}
		e := n.edges[by]
		because[i] = t.voice().Say("%[1]s at %[2]s, for %[3]s", t.Graph.Items[e.item].Name, t.Moment(at+e.out), t.needer(e.to))
		if w.kind != order { // what is made to order is bought and made when it is asked for
			at = t.before(i, at, because)
		}
		chain[i] = t.atWork(i, at, because)
	}
	return chain, because
}

// perpetual are the takings of each item of which something is carried from one day to the next, in the order of the edges.
func (n *night) perpetual() map[int][]int {
	list := map[int][]int{}
	for _, x := range n.edges {
		if x.carried {
			list[x.item] = nil
		}
	}
	for k, x := range n.edges {
		if _, ok := list[x.item]; ok {
			list[x.item] = append(list[x.item], k)
		}
	}
	return list
}

// heldBack are the takings of a perpetual stock that wait for a batch of it, though they draw on an older lot: once the
// batch has begun, what is left of that is held back as the seed of the next, until this one is out.
func (n *night) heldBack(i int, perpetual map[int][]int) (edges []int) {
	w := &n.works[i]
	if w.kind != batch {
		return nil
	}
	for _, g := range w.gives {
		until := noEnd // when the next batch begins
		for _, k := range perpetual[g.item] {
			if at := n.works[n.edges[k].to].at; n.edges[k].carried && at > w.at {
				until = min(until, at)
			}
		}
		for _, k := range perpetual[g.item] {
			x := &n.edges[k]
			if at := n.works[x.to].at; !x.carried && x.from != i && x.out == g.out && at >= w.at+g.out && at < until {
				edges = append(edges, k)
			}
		}
	}
	return edges
}

// before is a start, or the last minute of the day on which what the work takes can still be taken, if that is sooner.
func (t *table) before(i, at int, because map[int]string) int {
	n := t.night
	for _, k := range n.works[i].from {
		e := n.edges[k]
		last := e.until
		if e.from < 0 {
			last = t.lastDay(e.item, n.works[i].at/1440, at/1440)
		}
		if last < at/1440 {
			at = (last+1)*1440 - 1
			because[i] = t.voice().Say("%[1]s, which keeps until the end of %[2]s", t.Graph.Items[e.item].Name, t.DayName(last))
		}
	}
	return at
}

// atWork is a start, or the last before it at which somebody works whenever the work must be seen to, and is there to begin it; where that
// is not so at the planned start either, the start.
func (t *table) atWork(i, at int, because map[int]string) int {
	if at == noEnd {
		return at
	}
	w := &t.night.works[i]
	planned := max(t.times[i], 0)
	alone := func(minute int) (when int, yes bool) { return t.Unattended(w.step, minute/1440, minute%1440) }
	if when, yes := alone(max(at, 0)); yes {
		if _, also := alone(planned); !also {
			for before := at - 1; before >= 0; before-- {
				if _, yes := alone(before); !yes {
					because[i] = t.voice().Say("nobody works on %[1]s", t.DayName(when/1440))
					at = before
					break
				}
			}
		}
	}
	if w.kind == order || len(t.Kitchen.Shifts) == 0 || w.fixed && !t.begunAt(i, planned) || t.begunAt(i, at) {
		return at
	}
	for before := at - 1; before >= max(0, at-1440); before-- {
		if _, yes := alone(before); !yes && t.begunAt(i, before) {
			because[i] = t.voice().Say("nobody is there to begin it at %[1]s", t.Moment(at))
			return before
		}
	}
	return at
}

// begunAt tells whether enough people are there to begin a work at a minute, for as long as that takes.
func (t *table) begunAt(i, minute int) bool {
	w := &t.night.works[i]
	people, until := 1, minute+1
	for _, a := range t.Acts(w.step) {
		if a.When == kitchen.AtStart {
			people, until = max(people, a.People), until+a.Minutes(w.batches)
		}
	}
	for m := minute; m < max(until-1, minute+1); m++ {
		if t.People(int(t.Date(dayOf(m)).Weekday()), m-1440*dayOf(m)) < people {
			return false
		}
	}
	return true
}

// lastDay is the last day, of those from one to another, up to which an item that is bought for the first can be had.
func (t *table) lastDay(item, from, to int) int {
	keeps, arrives := t.Terms.Keeps[item], t.night.schedule.Arrives[item]
	if t.Graph.Items[item].Role != graph.Bought || keeps == 0 || arrives == nil {
		return noEnd
	}
	for day := from + 1; day <= min(to, t.Days-1); day++ {
		a := day
		for a >= 0 && !arrives[a] {
			a--
		}
		if a < 0 || a+keeps-1 < day {
			return day - 1
		}
	}
	return noEnd
}

// tryOut plays the week with the batches at their latest, and notes what other services lack then, or what this one
// does.
func (t *table) tryOut(ctx context.Context, slot int, chain map[int]int) error {
	n := t.night
	var delays []flow.Shock
	for i, at := range chain {
		if w := n.works[i]; w.fixed && at != w.at {
			delays = append(delays, flow.Delay{Step: w.step, Day: w.day, Minutes: at - w.at})
		}
	}
	c := t.Case.Ordering(n.outcome).With(delays...)
	p, err := t.PlayCase(ctx, c, nil)
	if err != nil {
		return err
	}
	s, after := p.Schedule, p.Outcome
	wants := len(s.Wants)
	var others []string
	for k := range s.Slots {
		fewer := 0.0
		for d := range wants {
			fewer += max(0, n.outcome.Served[k*wants+d]-after.Served[k*wants+d])
		}
		switch {
		case fewer == 0:
		case k == slot:
			t.Timetable.Notes = append(t.Timetable.Notes,
				t.voice().Say("cooked this late, the week serves %[1]s fewer portions at %[2]s, as other batches shift too", t.count(fewer), t.SittingName(k)))
		default:
			others = append(others, t.voice().Say("%[1]s (%[2]s)", t.SittingName(k), t.voice().Say("%[1]s portions", t.count(fewer))))
		}
	}
	if len(others) > 0 {
		t.Timetable.Notes = append(t.Timetable.Notes, t.voice().Say("cooked this late, other services go short: %[1]s", t.list(others)))
	}
	return nil
}
