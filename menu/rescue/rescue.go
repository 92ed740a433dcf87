package rescue

// What can still be done once something has gone wrong: moves, each tried by playing the week with it, and the best
// few together.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/week"
)

const (
	mostMoves    = 8
	mostTogether = 4
)

// leastGain is what a move must bring, in money: less is rounding. leastShare is what a move that is said must bring
// of what the shocks cost: less is not worth a decision.
const (
	leastGain  = 0.005
	leastShare = 0.02
)

func (a *Answer) worthTelling() float64 { return max(leastGain, leastShare*math.Abs(a.Lost)) }

// Find finds what can still be done after shocks. Moves come from the chains of causes behind the dishes that fall
// short; each is played through the walk and judged by the contribution that it brings. A mishap is known when the
// lost batch's first output should have come, when the day of a short delivery or a spoiled lot begins, or when a
// late step should have started; a loss that is written down, now; a change that is foreseen, from the beginning. A shock that strikes several times is
// known when it first does; of several shocks, all must be known. What now lies behind can't be decided any longer: moves begin
// now, where that is later and on one of the days. progress, when given, is called now and then with
// the part of the work that is done. It stops with ctx. It is an error to ask without shocks.
func Find(ctx context.Context, w *week.Week, shocks []week.Shock, progress func(done float64)) (*Answer, error) {
	if len(shocks) == 0 {
		return nil, fmt.Errorf("nothing has gone wrong that could be rescued")
	}
	if err := w.Quick("a rescue plays hundreds of weeks"); err != nil {
		return nil, err
	}
	before, after, err := w.Compare(ctx, shocks...)
	if err != nil {
		return nil, err
	}
	worth, err := w.Worth()
	if err != nil {
		return nil, err
	}
	r := &rescuing{Week: w, before: before, worth: worth}
	for _, s := range shocks {
		known := s.Written
		if known == 0 {
			known = w.KnownAt(after.Case, before.Outcome, s.Changes)
		}
		r.known = max(r.known, known)
	}
	r.known = w.NotBeforeNow(r.known)
	if r.stand, err = w.PlayCase(ctx, after.Case.Resume(after.Outcome, r.known, w.OrdersFrom(r.known)), before.Outcome); err != nil {
		return nil, err
	}
	r.look(shocks)
	a := &Answer{Known: r.Stamp(r.known), Before: before.Books.Contribution - r.unpaid(shocks), Moves: []Move{}, Cautions: []string{}}
	a.Lost = a.Before - r.stand.Books.Contribution
	all := r.find()
	if err := r.single(ctx, all, progress, a); err != nil {
		return nil, err
	}
	a.Nothing = r.nothing(all, a)
	a.Cautions = cautions(w.Code, a)
	return a, nil
}

// unpaid is what would have gone into the batches that could not begin and are asked about, at cost: in the week before the shocks they
// come out, and nothing went in.
func (r *rescuing) unpaid(shocks []week.Shock) (cost float64) {
	for _, h := range r.Happened {
		if h.What != week.Waits || slices.ContainsFunc(r.Happened, func(o week.Happening) bool { return o.What == week.Lit && o.Step == h.Step && o.Day.Equal(h.Day) }) {
			continue
		}
		for _, p := range r.Case.Schedule.Pots {
			if p.Step != h.Step || p.Day != r.DayOf(&h) || len(p.Takes) > 0 || !slices.ContainsFunc(shocks, func(s week.Shock) bool {
				return slices.ContainsFunc(s.Changes, func(c flow.Shock) bool {
					lose, ok := c.(flow.Lose)
					return ok && lose.Step == p.Step && (lose.Day == p.Day || lose.Day == flow.EveryDay)
				})
			}) {
				continue
			}
			for _, line := range r.Graph.Steps[p.Step].Takes {
				if !line.Optional {
					cost += p.Batches * line.Choices[0].Amount * r.before.Costing.Unit[line.Choices[0].Item]
				}
			}
		}
	}
	return cost
}

// rescuing looks for moves in one week.
type rescuing struct {
	*week.Week
	before  *week.Played
	worth   *week.Worth
	known   int          // minute from which anything can be decided: the mishap is known, and it is not past
	stand   *week.Played // the week with the shocks, as it stands when they are known
	vessels *week.Calendar

	lacks []lack
	// by slot: who come for what is on the menu, or was struck off by the shocks, less who went without before
	guests []float64
}

// lack is a dish that falls short at a service after the mishap is known, with the items behind it.
type lack struct {
	slot, dish int
	items      []int
}

// look finds what falls short because of the shocks.
func (r *rescuing) look(shocks []week.Shock) {
	wants := len(r.Dishes)
	sched := r.stand.Case.Schedule
	asks, asked := sched.Asked(), r.before.Case.Schedule.Asked()
	r.guests = make([]float64, len(sched.Slots))
	stops := map[[2]int]flow.Stop{}
	for _, st := range r.stand.Record.Stops {
		stops[[2]int{st.Slot, st.Want}] = st
	}
	for slot := range sched.Slots {
		for d := range r.Dishes {
			forecast, sold := asks[slot*wants+d], r.stand.Outcome.Served[slot*wants+d]
			was, had := asked[slot*wants+d], r.before.Outcome.Served[slot*wants+d]
			r.guests[slot] += forecast - (was - had)
			if sold >= forecast || forecast == was && sold >= had || sched.ServedAt(slot) < r.known {
				continue
			}
			l := lack{slot: slot, dish: d}
			if st, ok := stops[[2]int{slot, d}]; ok {
				for _, c := range r.stand.Case.Because(r.stand.Outcome, st) {
					if c.Item >= 0 && !slices.Contains(l.items, c.Item) {
						l.items = append(l.items, c.Item)
					}
				}
			}
			r.lacks = append(r.lacks, l)
		}
	}
	for _, s := range shocks {
		for _, c := range s.Changes {
			if ask, ok := c.(flow.Ask); ok && s.Kind == "strike" {
				for _, slot := range ask.Slots {
					r.guests[slot] += asked[slot*wants+ask.Want]
				}
			}
		}
	}
}

// missing is how many guests of a service after the mishap get nothing in an outcome.
func (r *rescuing) missing(o *flow.Outcome, slot int) float64 {
	if r.stand.Case.Schedule.ServedAt(slot) < r.known {
		return 0
	}
	n := r.guests[slot]
	for d := range r.Dishes {
		n -= o.Served[slot*len(r.Dishes)+d]
	}
	return max(n, 0)
}

// tried is a case with some moves, and what it came to. The outcome is a player's: valid until it plays again.
type tried struct {
	flow.Case
	out   *flow.Outcome
	books week.Books
}

// try plays a case.
func (r *rescuing) try(player *week.Player, c flow.Case) tried {
	out := player.Play(c, nil)
	return tried{c, out, r.worth.Books(c, out)}
}

// on plays moves, in the order of their kinds, on the week as it stands: what is bought in, or offered to those who
// get nothing, is fitted to all that is done besides.
func (r *rescuing) on(player *week.Player, moves ...*move) tried {
	c, _ := r.with(player, moves)
	return r.try(player, c)
}

// with is the week as it stands with moves, and how each was fitted.
func (r *rescuing) with(player *week.Player, moves []*move) (flow.Case, []fitted) {
	c, fits := r.stand.Case, make([]fitted, len(moves))
	for kind := range MoveKinds {
		for k, m := range moves {
			if int(m.kind) == kind {
				fits[k] = m.fit(r, player, c)
				c = c.With(fits[k].changes...)
			}
		}
	}
	for k, m := range moves { // once it is known what all of them take
		if m.kind == aBatch {
			c = c.With(r.supply(player, c, &fits[k], moves)...)
		}
	}
	return c, fits
}

// gain is the contribution that a case brings beyond the week as it stands; nothing where no more is sold for it.
func (r *rescuing) gain(t tried) float64 {
	if t.books.Sales <= r.stand.Books.Sales+leastGain {
		return 0
	}
	return t.books.Contribution - r.stand.Books.Contribution
}

// leastBatch is the part of a further batch that must come off for it to be worth lighting. Common practice, no source.
const leastBatch = 0.5

// comesOff tells whether a move does what it says: of a further batch there is enough to be worth lighting.
func (r *rescuing) comesOff(t tried, m *move) bool {
	if m.kind != aBatch {
		return true
	}
	for k := len(r.stand.Case.Schedule.Batches); k < len(t.Schedule.Batches); k++ {
		if b := t.Schedule.Batches[k]; b.Step == m.run.Step && b.Day == m.run.Day && b.Start == m.run.Start {
			return t.out.Ran[k].Batches >= leastBatch*b.Size
		}
	}
	return true
}

// single tries every move alone, and then together.
func (r *rescuing) single(ctx context.Context, all []*move, progress func(float64), a *Answer) error {
	part := func(from, share float64) func(float64) { // of the whole work
		if progress == nil {
			return nil
		}
		return func(done float64) { progress(from + share*done) }
	}
	err := r.Parallel(ctx, len(all), part(0, 1.0/mostTogether), func(player *week.Player, k int) {
		if t := r.on(player, all[k]); r.comesOff(t, all[k]) {
			all[k].gain = r.gain(t)
		}
	})
	if err != nil {
		return err
	}
	best := bestOfGroups(all, a.worthTelling())
	player := r.Player()
	for _, m := range best[:min(mostMoves, len(best))] {
		a.Moves = append(a.Moves, r.tell([]*move{m}, 0))
		r.widen(player, m, &a.Moves[len(a.Moves)-1])
	}
	if len(best) == 0 {
		return nil
	}
	chosen, total := []*move{best[0]}, best[0].gain
	for n := 1; n < mostTogether; n++ {
		sums := make([]float64, len(all))
		err := r.Parallel(ctx, len(all), part(float64(n)/mostTogether, 1.0/mostTogether), func(player *week.Player, k int) {
			if r.goTogether(all[k], chosen) {
				if t := r.on(player, append(slices.Clone(chosen), all[k])...); r.comesOff(t, all[k]) {
					sums[k] = r.gain(t)
				}
			}
		})
		if err != nil {
			return err
		}
		next := -1
		for k, sum := range sums {
			if sum > total+a.worthTelling() && (next < 0 || sum > sums[next]) {
				next = k
			}
		}
		if next < 0 {
			break
		}
		chosen, total = append(chosen, all[next]), sums[next]
	}
	if len(chosen) == 1 {
		return nil
	}
	a.Together = &Together{Gained: total}
	for k := range chosen {
		told := r.tell(chosen, k)
		told.Buy, told.Less = []ExtraOrder{}, []string{}
		a.Together.Moves = append(a.Together.Moves, told)
		a.Together.Cash += told.Cash
		a.Together.Portions += told.Portions
	}
	was, now := r.on(r.Player()), r.on(player, chosen...)
	a.Together.Buy, a.Together.Less = r.orders(was, now), r.less(was, now)
	slices.SortStableFunc(a.Together.Buy, func(a, b ExtraOrder) int { return cmp.Compare(a.Day, b.Day) })
	return nil
}

// bestOfGroups has the best move of each group that brings something worth telling, the best first.
func bestOfGroups(all []*move, least float64) (best []*move) {
	for _, m := range all {
		if m.gain < least {
			continue
		}
		k := slices.IndexFunc(best, func(b *move) bool { return b.group == m.group })
		switch {
		case k < 0:
			best = append(best, m)
		case m.gain > best[k].gain+leastGain:
			best[k] = m
		}
	}
	slices.SortStableFunc(best, func(a, b *move) int { return cmp.Compare(b.gain, a.gain) })
	return best
}

// widen finds the earliest start of a batch that does as well as the latest.
func (r *rescuing) widen(player *week.Player, m *move, told *Move) {
	if m.kind != aBatch {
		return
	}
	earliest := r.known
	for _, o := range told.Buy { // what comes for it on a set day must be there
		if r.setDay(o) && o.Day*1440 <= m.start && r.uses(m.run.Step, o.Index) {
			earliest = max(earliest, o.Day*1440)
		}
	}
	start := r.vessels.FreeSince(m.run.Step, m.start, earliest)
	for at := m.start - 1; at >= start; at -= 60 { // beside another work it begins with that
		if r.vessels.Refuses(m.run.Step, at/1440, at%1440, m.run.Batches) != "" {
			start = at + 1
		}
	}
	for ; start < m.start; start += 60 { // on the hour, as a chef would say it
		early := *m
		early.start, early.run.Day, early.run.Start = start, start/1440, start%1440
		if r.atWork(start) && r.gain(r.on(player, &early)) >= m.gain-leastGain {
			told.From = r.Stamp(start)
			return
		}
	}
}
