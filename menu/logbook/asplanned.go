package logbook

// From what the log book had at a midnight to the present: what was written is played, and between two entries what was
// planned and not written, by the walk that plays any week.

import (
	"context"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// asPlanned plays towards the present.
type asPlanned struct {
	*Present
	player  *player
	planned Planned
	lives   *Lives
	entries []Entry   // that happened after the clock, up to the moment
	first   time.Time // when the log book begins, where that is after the clock was set: what was due before does not count
	opens   time.Time // the midnight of yesterday: of what was to be out before, nothing is counted that was not written down
	clock   time.Time

	counts  counts         // by what was written so far
	day     *week.Week     // that of the clock, as planned
	began   map[*Life]bool // lives of which all that was left has begun as planned
	lacked  map[*Life]bool // lives that could not begin for lack of what they take; what is written next may bring it
	preps   []prep         // without a time of its own, done as early as can be
	served  map[int]bool   // slots of the day that were served as planned
	ordered []float64      // by item: what is to come on the day, or was to, and did not go into its work
	pots    []kettle       // under way
}

// kettle is a batch under way, with times as they are.
type kettle struct {
	life    *Life
	batches float64
	lost    float64
	lit     time.Time
	since   flow.Since // the earliest day 1 of what went in as planned
	takes   []kettleLine
	gives   []kettleLine
}

// kettleLine is what still goes into a batch under way, or comes out of it, and when.
type kettleLine struct {
	item   int
	amount float64
	at     time.Time
}

// play plays up to the moment, and on to the first day that is asked about where that comes later.
func (a *asPlanned) play(ctx context.Context) error {
	a.counts = counts{}
	a.began, a.lacked, a.served = map[*Life]bool{}, map[*Life]bool{}, map[int]bool{}
	for i := range a.entries {
		e := &a.entries[i]
		if e.Kind != Sold { // what was given away or dropped was no guest's
			continue
		}
		if day, service, ok := a.k.ServedAt(e.At, e.Service); ok && day.Equal(a.today) {
			a.sold[plate{e.Dish, a.k.Services[service].Name}] += float64(e.Portions)
		}
	}
	a.begin()
	a.light()
	for i := range a.entries {
		e := &a.entries[i]
		if err := a.pass(ctx, e.At.Truncate(time.Minute)); err != nil {
			return err
		}
		a.tell(e)
		a.unprepare(e.At)
		a.player.play(e)
		if e.Kind == Lost {
			a.lose(e)
		}
		a.dated(e)
		clear(a.lacked)
	}
	if err := a.pass(ctx, a.AsOf.Truncate(time.Minute)); err != nil {
		return err
	}
	a.unprepare(a.AsOf)
	if a.From.After(a.today) {
		if a.day != nil && a.day.From.Equal(midnight(a.AsOf)) { // what can still come today is ordered by what there is now
			if err := a.order(); err != nil {
				return err
			}
		}
		if err := a.pass(ctx, minutesAfter(a.From, week.GoesOn(a.k, a.From, a.AsOf.Truncate(time.Minute)))); err != nil {
			return err
		}
	}
	a.arrive()
	return nil
}

// lose takes a loss off what is still to come of a batch under way.
func (a *asPlanned) lose(e *Entry) {
	l := a.lives.settled(e)
	for n := range a.pots {
		if a.pots[n].life == l {
			a.pots[n].lost = l.lostBy(e.At)
			a.pots[n].end(e.At)
		}
	}
}

// end ends a batch of which all is known to be lost: nothing more goes into it.
func (p *kettle) end(at time.Time) {
	if p.life.knownBy(at) == 1 {
		p.takes = nil
	}
}

// unlit is a batch that was lost before anybody lit it: nothing is in it, and nothing comes out, but it can be asked about until it would have
// been out.
func (a *asPlanned) unlit(l *Life, batches float64) {
	p := kettle{life: l, batches: batches, lost: 1, lit: l.Begins}
	g := Going{At: l.Begins} // of no size
	g.card(a.lives.k, l.Step)
	p.gives = a.after(a.lines(g.Gives, g.At))
	a.pots = append(a.pots, p)
}

// light finds the batches that were lit, and those that were to be lit before the clock and are out after it.
func (a *asPlanned) light() {
	for _, l := range a.Lives {
		for n := range l.Lit {
			g := &l.Lit[n]
			p := kettle{life: l, batches: g.Batches, lost: l.lostBy(a.clock), lit: g.At}
			p.takes, p.gives = a.after(a.lines(g.Takes, g.At)), a.after(a.lines(g.Gives, g.At))
			p.end(a.clock)
			a.pots = append(a.pots, p)
		}
		left := l.Left()
		if left == 0 || l.Step < 0 || !l.Begins.Before(a.clock) {
			continue
		}
		switch {
		case l.knownBy(l.Begins) >= 1:
			a.began[l] = true
			a.unlit(l, left)
		case !a.first.IsZero() && !a.before(l):
		case !a.first.IsZero() && !l.Out.After(a.first):
			a.began[l] = true // whatever became of it
		case l.Out.After(a.opens):
			g := Going{At: l.Begins, Batches: left}
			g.card(a.lives.k, l.Step)
			p := kettle{life: l, batches: left, lost: l.lostBy(a.clock), lit: l.Begins}
			p.takes, p.gives = a.after(a.lines(g.Takes, g.At)), a.after(a.lines(g.Gives, g.At))
			p.end(a.clock)
			a.pots = append(a.pots, p)
			if a.began[l] = true; !a.first.IsZero() {
				a.inPot(l)
				continue
			}
			a.overdue(week.Happening{At: l.Begins, What: string(Lit), Step: l.Step, Day: l.Day, Batches: left})
		}
	}
}

// lines are what a card says, by the kitchen of today; what it has no longer is left out.
func (a *asPlanned) lines(card []Due, lit time.Time) (list []kettleLine) {
	for _, d := range card {
		i, ok := a.player.itemAt[d.Item]
		if !ok {
			continue
		}
		it := a.k.Graph.Items[i]
		if base, ok := it.Bridge().Convert(d.Base, d.Kind, it.Unit.Kind); ok {
			list = append(list, kettleLine{i, base, minutesAfter(lit, d.After)})
		}
	}
	return list
}

// pass lets time pass up to a moment: what was planned until then and not written down goes as planned.
func (a *asPlanned) pass(ctx context.Context, to time.Time) (err error) {
	for a.clock.Before(to) {
		if err := context.Cause(ctx); err != nil {
			return err
		}
		today := midnight(a.clock)
		if a.day == nil || !a.day.From.Equal(today) {
			if a.day, err = a.planned(today, 1); err != nil {
				return err
			}
			if a.day, err = a.led(a.day); err != nil {
				return err
			}
			clear(a.served)
			a.ordered = make([]float64, len(a.k.Graph.Items))
			if !today.Before(a.opens) {
				if err := a.order(); err != nil {
					return err
				}
			}
		}
		end := today.AddDate(0, 0, 1)
		if to.Before(end) {
			end = to
		}
		a.segment(end)
		if a.clock = end; end.Equal(today.AddDate(0, 0, 1)) {
			a.deliver(today)
		}
	}
	return nil
}

// led is a week with what is still to be served in it for the day before, when the week begins: services that begin after midnight,
// and the rest of one that goes on at the moment.
func (a *asPlanned) led(w *week.Week) (*week.Week, error) {
	if !a.k.DayBegins(w.From).After(w.From) {
		return w, nil
	}
	before, err := a.planned(w.From.AddDate(0, 0, -1), 1)
	if err != nil {
		return nil, err
	}
	w = w.Led(before)
	s := *w.Case.Schedule
	s.Slots = slices.Clone(s.Slots)
	for k := range s.Slots {
		at := &s.Slots[k]
		goesOn := !a.AsOf.Before(w.From) && minutesAfter(w.From, at.End).After(a.AsOf)
		at.Closed = at.Closed || at.Start < 0 && !goesOn || at.Day < 0 && w.Date(at.Day).Before(a.opens)
	}
	return w.With(flow.Case{Flow: w.Case.Flow, Schedule: &s}), nil
}

// ahead is how many days, the day of the clock among them, orders are placed for.
const ahead = 7

// order finds what is ordered for the day of the clock, for that day and those behind it.
func (a *asPlanned) order() error {
	w, err := a.planned(a.day.From, ahead)
	if err == nil {
		w, err = a.led(w)
	}
	if err != nil {
		return err
	}
	s := *w.Case.Schedule
	s.From = int(a.clock.Sub(w.From).Minutes())
	s.Batches = slices.Clone(s.Batches)
	for r := range s.Batches {
		b := &s.Batches[r]
		if l := a.lives.known(w.Graph.Steps[b.Step].Name, w.Date(b.Day)); l != nil {
			if b.Size = min(b.Size, l.Left()); a.began[l] {
				b.Size = 0
			}
			b.Lost = l.knownBy(a.clock) // who ordered did not know more
			b.Unlit = b.Lost >= 1
		}
	}
	a.stock(w, &s, w.From.AddDate(0, 0, ahead))
	clear(a.ordered)
	for _, d := range w.By(week.Fair).Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: &s}, nil).Deliveries {
		if d.Day == 0 {
			a.ordered[d.Item] += d.Amount
		}
	}
	return nil
}

// deliver brings in, at the end of a day, what came on it for the days behind it: as it was ordered, where nobody wrote it down.
func (a *asPlanned) deliver(day time.Time) {
	written := a.notBefore(day)
	for i, amount := range a.ordered {
		if amount <= 0 || a.player.uncounted[i] || written[i] >= 1440 { // what came of it, if anything, is written down
			continue
		}
		a.player.shelves[i].Put(Lot{Item: i, Amount: amount, Made: day})
		a.player.have[i] += amount
		a.player.seen[i] = true
		if day.Before(a.today) {
			a.Undelivered = append(a.Undelivered, a.k.Quantity(i, amount).String()+" "+a.k.Graph.Items[i].Name)
		}
	}
}

// notBefore is, by item, the first minute of a day at which more of it can come. Of what came on the day no more comes on it, nor
// of what did not come, nor of what can come on every day and was counted by the clock: the cook who counts it sees what there is.
func (a *asPlanned) notBefore(day time.Time) []int {
	at := make([]int, len(a.k.Graph.Items))
	for i := range a.entries {
		e := &a.entries[i]
		if !midnight(e.At).Equal(day) {
			continue
		}
		names := []string{e.Of}
		for _, amount := range e.Gives {
			names = append(names, amount.Item)
		}
		for _, name := range names {
			i, ok := a.player.itemAt[name]
			if !ok || a.k.Graph.Items[i].Role != graph.Bought {
				continue
			}
			switch {
			case e.Kind == Received, e.Kind == NotCome,
				e.Kind == Counted && a.k.Bought[i].Arrives == kitchen.EveryDay && e.At.Hour() >= kitchen.Daybreak && !e.At.After(a.clock):
				at[i] = 1440
			case e.Kind == Late:
				at[i] = e.Until
			}
		}
	}
	return at
}

// since is the earliest day 1 of what went into a batch under way, as planned or as it was written.
func (a *asPlanned) since(p *kettle) flow.Since {
	for _, o := range a.player.pots {
		if o.step == p.life.Name && o.begins.Equal(p.life.Day) {
			return p.since.Or(o.since)
		}
	}
	return p.since
}

// arrive is the state in which the week goes on.
func (a *asPlanned) arrive() {
	for _, l := range a.Lives {
		if l.Step < 0 {
			if !l.Day.Before(a.opens) && !l.Open() && (l.Cooked > 0 || len(l.Lit) > 0) {
				a.Renamed = append(a.Renamed, l.Name+" of "+measure.FormatDay(l.Day))
			}
			continue
		}
		done := l.Planned - l.Left()
		if a.began[l] || a.lacked[l] {
			done = l.Planned
		}
		if a.lacked[l] && !l.Begins.After(a.AsOf) {
			a.Lacked = append(a.Lacked, l.Name+" of "+measure.FormatDay(l.Day))
			if a.k.Graph.Steps[l.Step].Mode == graph.OnDays {
				a.happened = append(a.happened, week.Happening{At: l.Begins, What: week.Waits, Step: l.Step, Day: l.Day, Batches: l.Left()})
			}
		}
		if done > 0 {
			a.done[batchOf{l.Step, l.Day}] = done
		}
	}
	minute := func(t time.Time) int { return int(t.Sub(a.From).Minutes()) }
	lines := func(list []kettleLine) (lines []flow.PotLine) {
		for _, l := range list {
			lines = append(lines, flow.PotLine{Item: l.item, Amount: l.amount, Minute: minute(l.at)})
		}
		return lines
	}
	for _, p := range a.pots {
		if len(p.takes)+len(p.gives) == 0 {
			continue // done
		}
		if p.life.Step < 0 { // its step is gone from the file: what comes out of it is on hand by then
			for _, g := range p.gives {
				a.player.shelves[g.item].Put(Lot{Item: g.item, Amount: g.amount * (1 - p.lost), Made: midnight(g.at),
					Since: a.player.days.Begun(g.item, dayNumber(g.at), a.since(&p))})
			}
			a.Gone = append(a.Gone, p.life.Name+" of "+measure.FormatDay(p.life.Day))
			continue
		}
		a.Present.pots = append(a.Present.pots, flow.Pot{Step: p.life.Step, Day: int(p.life.Day.Sub(a.From).Hours() / 24), Start: minute(p.lit),
			Batches: p.batches, Lost: p.lost, Takes: lines(p.takes), Gives: lines(p.gives), Since: a.since(&p).Later(-dayNumber(a.From))})
	}
	a.now = max(0, minute(a.AsOf.Truncate(time.Minute)))
	if a.From.After(a.today) {
		a.now = week.GoesOn(a.k, a.From, a.AsOf.Truncate(time.Minute))
	}
	if a.From.Equal(a.today) {
		a.later = a.notBefore(a.From)
		if a.now >= 24*60 { // what came since midnight came on the day that follows
			for i, at := range a.notBefore(a.From.AddDate(0, 0, 1)) {
				if at > 0 {
					a.later[i] = 24*60 + at
				}
			}
		}
	}
	a.Stock = a.player.shown()
	a.unknown(a.player.seen)
	slices.SortStableFunc(a.happened, func(x, y week.Happening) int { return x.At.Compare(y.At) })
	a.settle()
}
