package logbook

// The present: what a week goes on from at a moment.

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Planned are days as they are planned, with what was decided about them: the kitchen file's, or those of a plan. It is how
// [Book.Present] learns what was to be done.
type Planned func(from time.Time, days int) (*week.Week, error)

// around are the days round a moment, as [Book.Lives] takes them.
func (p Planned) around(at time.Time) (*week.Week, error) {
	return p(midnight(at).AddDate(0, 0, -livesBack), livesBack+1+livesAhead)
}

// Present is what a kitchen has and does at a moment, by its log book; where nothing is written, by what was planned.
type Present struct {
	From   time.Time // the midnight of the first day that is asked about
	AsOf   time.Time // the moment: on the first day or before it
	Begins time.Time // when the log book begins, where that is no more than two days ago; else zero
	Stock  *Stock    // on hand when the week goes on: at the moment, or at From where that is later
	Lives  []*Life   // the batches of the days round the moment, by when they were to begin

	// Overdue is what was planned for yesterday and today up to the moment, and not written down: it counts as planned.
	Overdue []week.Happening
	// Unwritten are services of yesterday and today that are over, and of which nothing was written down as sold: they count
	// as planned.
	Unwritten []string
	// Undelivered is what was to come yesterday for the days behind it, and was not written down: it counts as ordered.
	Undelivered []string
	InPot       []string // batches that are taken to have been in the pot when the log book began
	Unknown     []bool   // by item: made, and never counted, made or taken: it counts as none
	Gone        []string // batches under way whose step is gone from the kitchen file: what they give counts as on hand
	Renamed     []string // batches that are done, of steps that the kitchen file has no longer: under another name they may count again
	Lacked      []string // batches that could not begin, for what they take is not on hand
	Dropped     []string // batches of the day before yesterday that nobody wrote down: they do not count

	k        *kitchen.Kitchen
	today    time.Time           // the kitchen's day at the moment
	counted  bool                // something was counted since the log book began
	now      int                 // minute of the first day from which the week goes on
	happened []week.Happening    // since the midnight of yesterday
	pots     []flow.Pot          // by the midnight From
	done     map[batchOf]float64 // batches that have begun, or are not to be made
	sold     map[plate]float64   // portions of the day of AsOf that were written down
	later    []int               // by item: the minute of the day of AsOf before which no more of it comes
}

// batchOf is a step on a day.
type batchOf struct {
	step int
	day  time.Time
}

// plate is a dish at a service of the day of the moment.
type plate struct{ dish, service string }

// Present finds what a week goes on from that begins at the midnight from: as of a moment on its first day, or before it.
//
// It begins with the first entry, or with what the log book has two midnights before that of the kitchen's day, and plays from there on what was written and,
// where nothing was, what was planned, each at its time: all that was planned for yesterday and today, and of the day before
// the batches that were out later. What was written of a batch or a service is all that happened to it.
func (j *Book) Present(ctx context.Context, k *kitchen.Kitchen, planned Planned, from, asOf time.Time) (*Present, error) {
	begins := k.DayAt(asOf).AddDate(0, 0, -2)
	all, err := planned.around(asOf)
	if err != nil {
		return nil, err
	}
	lives, err := j.Lives(ctx, all, asOf)
	if err != nil {
		return nil, err
	}
	player, err := j.playerAt(ctx, k, begins)
	if err != nil {
		return nil, err
	}
	list, err := j.standing(ctx, byMoment, between(begins.Add(time.Second), asOf))
	if err != nil {
		return nil, err
	}
	for i := range list { // in an hour that the clock goes through twice, time goes on
		if e := &list[i]; e.At.After(asOf) {
			e.At = asOf
		} else if i > 0 && e.At.Before(list[i-1].At) {
			e.At = list[i-1].At
		}
	}
	p := &Present{From: from, AsOf: asOf, today: k.DayAt(asOf), Lives: lives.All(), k: k, done: map[batchOf]float64{}, sold: map[plate]float64{}}
	a := &asPlanned{Present: p, player: player, planned: planned, opens: begins.AddDate(0, 0, 1), clock: begins, entries: list, lives: lives}
	if err := a.play(ctx); err != nil {
		return nil, err
	}
	return p, nil
}

// playerAt is a player of its own that has played what happened up to a moment.
func (j *Book) playerAt(ctx context.Context, k *kitchen.Kitchen, asOf time.Time) (*player, error) {
	j.turn.Lock()
	defer j.turn.Unlock()
	w, err := j.playedUpTo(ctx, &j.before, k, asOf)
	if err != nil {
		return nil, err
	}
	p, err := newPlayer(k)
	if err != nil {
		return nil, err
	}
	p.goOnFrom(w.p)
	return p, nil
}

// goOnFrom takes what another player has played, of which no book of money was kept: it stays as it is.
func (p *player) goOnFrom(from *player) {
	p.stock = from.stock
	p.stock.Odd, p.stock.Counts = slices.Clone(from.stock.Odd), slices.Clone(from.stock.Counts)
	copy(p.have, from.have)
	copy(p.uncounted, from.uncounted)
	copy(p.seen, from.seen)
	for i := range from.shelves {
		on := &from.shelves[i]
		p.shelves[i] = shelf{last: on.last, first: on.first, mixed: on.mixed, over: on.over}
		for _, l := range on.Lots() {
			p.shelves[i].Put(l)
		}
	}
	for _, o := range from.pots {
		c := *o
		c.filled = slices.Clone(o.filled)
		p.pots = append(p.pots, &c)
	}
}

func minutesAfter(t time.Time, minutes int) time.Time {
	return t.Add(time.Duration(minutes) * time.Minute)
}

// Continue is a week that begins on the first day, going on from the present: services that are over are closed, of one
// that goes on only what is left of its forecast is asked for from now on, batches that have begun are not begun again, and
// what is under way goes on.
func (p *Present) Continue(w *week.Week) *week.Week {
	return w.Continued(p.happened, func(s *flow.Schedule) {
		s.From, s.Pots = p.now, p.pots
		if slices.ContainsFunc(p.later, func(at int) bool { return at > 0 }) {
			s.NotBefore = p.later
		}
		p.goOn(w, s)
	})
}

// goOn takes out of a schedule what is over or has begun.
func (p *Present) goOn(w *week.Week, s *flow.Schedule) {
	done := map[batchOf]float64{}
	week.Without(s, func(b *flow.Batch) bool {
		of := batchOf{b.Step, w.Date(b.Day)}
		take := min(b.Size, p.done[of]-done[of])
		if take <= 0 {
			return false
		}
		done[of] += take
		b.Size -= take
		return b.Size < slack
	})
	today := int(p.today.Sub(w.From).Hours() / 24)
	now := int(p.AsOf.Sub(w.From).Minutes())
	s.Slots, s.Wants = slices.Clone(s.Slots), slices.Clone(s.Wants)
	for d := range s.Wants {
		s.Wants[d].Forecast = slices.Clone(s.Wants[d].Forecast)
	}
	for slot, sit := range w.Sittings {
		at := &s.Slots[slot]
		if sit.Day != today || sit.Service < 0 {
			continue
		}
		at.Closed = at.Closed || at.End <= now
		for d, dish := range w.Dishes {
			f, sold := &s.Wants[d].Forecast[slot], p.sold[plate{dish.Name, w.Services[sit.Service].Name}]
			if *f, s.House = max(0, *f-sold), s.House.Having(d, slot, sold); at.Closed {
				*f = 0
			}
		}
	}
}

// Stores is a week with what it asks for on hand, until the first delivery that can come, of bought items that nobody keeps book
// of: they are taken to be in the store, and so is what the portions and batches would take that something else cuts short, or
// they would seem to be cut short by the crackers as well. A week that was changed by [Book.Decisions] asks as it is then.
func (p *Present) Stores(w *week.Week) *week.Week {
	s := *w.Case.Schedule
	s.Arrives = slices.Clone(s.Arrives)
	until := make([]int, len(s.Arrives)) // by item: the first day on which it can come
	for i, days := range s.Arrives {
		if p.Stock.NoBook[i] && days != nil {
			if until[i] = slices.Index(days, true); until[i] < 0 {
				until[i] = w.Days
			}
			s.Arrives[i] = nil
		}
	}
	needs := make([]float64, len(s.Arrives))
	takes := func(day, item int, amount float64) {
		if keeps := w.Terms.Keeps[item]; day < until[item] && (keeps == 0 || day < keeps) {
			needs[item] += amount
		}
	}
	o := w.By(week.Fair).Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: &s}, nil)
	for _, d := range o.Deliveries {
		takes(d.Day, d.Item, d.Amount)
	}

	// What was cut short, down to what its work to order takes.
	toOrder := map[int]int{} // by item: the step that makes it, of the graph
	for n, st := range w.Graph.Steps {
		for _, out := range st.Gives {
			if st.Mode == graph.ToOrder {
				toOrder[out.Item] = n
			}
		}
	}
	var cut func(step, day int, batches float64)
	lacked := func(item, day int, amount float64) {
		if step, is := toOrder[item]; !is {
			takes(day, item, amount)
		} else {
			gives := w.Graph.Steps[step].Gives
			of := slices.IndexFunc(gives, func(out graph.Output) bool { return out.Item == item })
			cut(step, day, amount/gives[of].Amount)
		}
	}
	cut = func(step, day int, batches float64) {
		for _, l := range w.Graph.Steps[step].Takes {
			if !l.Carried {
				lacked(l.Choices[0].Item, day, batches*l.Choices[0].Amount)
			}
		}
	}
	for n, asked := range s.Asked() {
		slot, want := n/len(s.Wants), s.Wants[n%len(s.Wants)]
		if more := asked - o.Served[n]; more > slack {
			if want.Size != nil {
				more *= want.Size[slot]
			}
			lacked(want.Item, s.Slots[slot].Day, more)
		}
	}
	for n, b := range s.Batches {
		if more := b.Size - o.Ran[n].Batches; more > slack {
			cut(b.Step, b.Day, more)
		}
	}
	var stored []flow.Lot
	for i, amount := range needs {
		if amount > 0 {
			stored = append(stored, flow.Lot{Item: i, Amount: amount})
		}
	}
	to := w.Stocked(stored...)
	to.Stored = p.Stock.NoBook
	return to
}

// Begun tells whether a batch had begun by the moment, or is not to be made.
func (p *Present) Begun(step int, day time.Time) bool { return p.done[batchOf{step, day}] > 0 }

// Told says what is counted as planned because nobody wrote it down, and what is not counted.
func (p *Present) Told() (list []string) {
	var whole, out, in []string // batches of which nothing is written, or not what came out, or only not what went in
	for _, h := range p.Overdue {
		name := fmt.Sprintf("%s of %s", p.k.Graph.Steps[h.Step].Name, measure.FormatDay(h.Day))
		list := &whole
		switch {
		case h.What == week.PutIn:
			list = &in
		case h.What == week.Out || h.What == week.Done:
			list = &out
		}
		if !slices.Contains(*list, name) {
			*list = append(*list, name)
		}
	}
	out = slices.DeleteFunc(out, func(name string) bool { return slices.Contains(whole, name) })
	in = slices.DeleteFunc(in, func(name string) bool { return slices.Contains(whole, name) || slices.Contains(out, name) })
	if len(whole) > 0 {
		list = append(list, "nobody logged "+some3(whole)+": counted as planned; log cooked, skipped or lost")
	}
	if len(out) > 0 {
		list = append(list, "nobody logged what came out of "+some3(out)+": counted as planned; log out, done or lost")
	}
	if len(in) > 0 {
		list = append(list, "nobody logged what went into "+some3(in)+": counted as planned; log put in, done or lost")
	}
	if len(p.InPot) > 0 {
		list = append(list, "taken to have been in the pot when the log book began: "+some3(p.InPot)+"; if it was not, log it as skipped")
	}
	if len(p.Undelivered) > 0 {
		list = append(list, "nobody logged what came on "+measure.FormatDay(p.today.AddDate(0, 0, -1))+": counted as ordered, "+some3(p.Undelivered))
	}
	var missed []string
	for i := range p.later {
		if p.missed(i) {
			missed = append(missed, p.k.Graph.Items[i].Name)
		}
	}
	if len(missed) > 0 {
		list = append(list, "did not come today and never counted, so taken to be none until it comes: "+some3(missed)+"; log counted with what there is")
	}
	if len(p.Unwritten) > 0 {
		list = append(list, "nobody logged what was sold at "+some3(p.Unwritten)+": counted as forecast")
	}
	if len(p.Gone) > 0 {
		list = append(list, "no longer in the kitchen file, so what comes out counts as on hand: "+some3(p.Gone))
	}
	if len(p.Renamed) > 0 {
		list = append(list, "logged, but no longer in the kitchen file: "+some3(p.Renamed)+"; if the step has another name now, log that as skipped")
	}
	if len(p.Lacked) > 0 {
		list = append(list, "what they take was not on hand, so not counted: "+some3(p.Lacked))
	}
	if short := p.wanting(); len(short) > 0 {
		list = append(list, "the pots on the stove still take more than there is: short of "+some3(short))
	}
	switch n := len(p.Dropped); {
	case n == 1:
		list = append(list, p.Dropped[0]+" was never logged, so it no longer counts")
	case n > 1:
		list = append(list, fmt.Sprintf("%d batches of %s were never logged, so they no longer count", n, measure.FormatDay(p.today.AddDate(0, 0, -2))))
	}
	return list
}

// some3 are the first three of some names.
func some3(names []string) string {
	if len(names) > 4 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:3], ", "), len(names)-3)
	}
	return strings.Join(names, ", ")
}
