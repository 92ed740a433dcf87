package logbook

// From what the log book had at a midnight to the present: what was written is played, and between two entries what was
// planned and not written, by the walk that plays any week.

import (
	"context"
	"slices"
	"strconv"
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
	first   time.Time // when the log book begins, where that is after the clock: what was to be done before, nobody is asked to log
	opens   time.Time // the midnight of yesterday: of what was to be out before, nothing is counted that was not written down
	clock   time.Time

	day     *week.Week     // that of the clock, as planned
	began   map[*Life]bool // lives of which all that was left has begun as planned
	lacked  map[*Life]bool // lives that could not begin for want of what they take; what is written next may bring it
	preps   []prep         // without a time of its own, done as early as can be
	served  map[int]bool   // slots of the day that were served as planned
	ordered []float64      // by item: what is to come on the day, or was to, and did not go into its work
	pots    []kettle
}

// kettle is a batch under way, with times as they are.
type kettle struct {
	life    *Life
	batches float64
	lost    float64
	lit     time.Time
	takes   []kettleLine
	gives   []kettleLine
}

type kettleLine struct {
	item   int
	amount float64
	at     time.Time
}

func (a *asPlanned) play(ctx context.Context) error {
	a.began, a.lacked, a.served = map[*Life]bool{}, map[*Life]bool{}, map[int]bool{}
	for i := range a.entries {
		e := &a.entries[i]
		if e.Kind != Sold { // what was given away or dropped was no guest's
			continue
		}
		if day, service, ok := a.k.ServedAt(e.At, e.Service); ok && day.Equal(midnight(a.AsOf)) {
			a.sold[plate{e.Dish, a.k.Services[service].Name}] += float64(e.Portions)
		}
	}
	if a.player.stock.Entries == 0 && len(a.entries) > 0 {
		a.first = a.entries[0].At
	}
	a.light()
	for i := range a.entries {
		e := &a.entries[i]
		if err := a.pass(ctx, e.At.Truncate(time.Minute)); err != nil {
			return err
		}
		a.tell(e)
		a.player.play(e)
		clear(a.lacked)
	}
	if err := a.pass(ctx, a.AsOf.Truncate(time.Minute)); err != nil {
		return err
	}
	a.unprepare()
	if a.From.After(a.AsOf) {
		if a.day != nil && a.day.From.Equal(midnight(a.AsOf)) { // what can still come today is ordered by what there is now
			if err := a.order(); err != nil {
				return err
			}
		}
		if err := a.pass(ctx, a.From); err != nil {
			return err
		}
	}
	a.arrive()
	return nil
}

// light finds the batches that were lit, and those that were to be lit before the clock and are out after it.
func (a *asPlanned) light() {
	for _, l := range a.Lives {
		for n := range l.Lit {
			g := &l.Lit[n]
			p := kettle{life: l, batches: g.Batches, lost: l.Lost, lit: g.At}
			p.takes, p.gives = a.lines(g.Takes, g.At), a.lines(g.Gives, g.At)
			a.pots = append(a.pots, p)
		}
		left := l.Left()
		if left == 0 || l.Step < 0 || !l.Begins.Before(a.clock) {
			continue
		}
		switch {
		case l.Out.After(a.opens):
			g := Going{At: l.Begins, Batches: left}
			g.card(a.lives.k, l.Step)
			p := kettle{life: l, batches: left, lost: l.Lost, lit: l.Begins}
			p.takes, p.gives = a.lines(g.Takes, g.At), a.lines(g.Gives, g.At)
			a.pots = append(a.pots, p)
			a.began[l] = true
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

// ahead is how many days, the day of the clock among them, orders are placed for.
const ahead = 7

// order finds what is ordered for the day of the clock, for that day and those behind it.
func (a *asPlanned) order() error {
	w, err := a.planned(a.day.From, ahead)
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
		if day.Before(midnight(a.AsOf)) {
			a.Undelivered = append(a.Undelivered, a.k.Quantity(i, amount).String()+" "+a.k.Graph.Items[i].Name)
		}
	}
}

// segment plays what was planned from the clock to a moment no later than the next midnight.
func (a *asPlanned) segment(end time.Time) {
	w, from := a.day, a.day.From
	now, upTo := int(a.clock.Sub(from).Minutes()), int(end.Sub(from).Minutes())
	s := *w.Case.Schedule
	s.From = now
	future := !a.clock.Before(a.AsOf)

	// Work that was to begin by then and has not, be it by the plan or by the log book.
	s.Batches = nil
	var works []*Life
	due := map[*Life]float64{} // the batches of a step may be written in parts
	for _, batch := range w.Case.Schedule.Batches {
		day := w.Date(batch.Day)
		l := a.lives.of(w.Graph.Steps[batch.Step].Name, day)
		if batch.Day >= 1 {
			s.Batches, works = append(s.Batches, batch), append(works, nil) // seed is kept back for it
			continue
		}
		if l.Planned == 0 && future { // behind the days of which lives are known
			l.Planned = batch.Size
		}
		if from.Before(a.opens) && l.Left() > 0 && !l.Out.After(a.opens) {
			a.drop(l)
			continue
		}
		if batch.Size = min(batch.Size, l.Left()-due[l]); batch.Size <= 0 || a.began[l] || a.lacked[l] || !l.Begins.Before(end) {
			continue
		}
		due[l] += batch.Size
		s.Batches, works = append(s.Batches, batch), append(works, l)
	}

	// Services of which nothing was written down.
	s.Slots, s.Wants = slices.Clone(s.Slots), slices.Clone(s.Wants)
	for d := range s.Wants {
		s.Wants[d].Forecast = slices.Clone(s.Wants[d].Forecast)
	}
	open := false
	if from.Before(a.opens) {
		s.Slots = nil
	}
	for slot := range s.Slots {
		at, sit := &s.Slots[slot], w.Sittings[slot]
		if sit.Service < 0 {
			continue
		}
		begins, ends := minutesAfter(from, at.Start), minutesAfter(from, at.End)
		switch {
		case future && ends.After(a.AsOf): // what is left of it comes
			for d, dish := range w.Dishes {
				if midnight(a.AsOf).Equal(from) {
					f := &s.Wants[d].Forecast[slot]
					*f = max(0, *f-a.sold[plate{dish.Name, w.Services[sit.Service].Name}])
				}
			}
		case a.served[slot] || ends.After(a.AsOf) || a.written(from, sit.Service, ends):
			at.Closed = true
		}
		at.Closed = at.Closed || a.served[slot] || !begins.Before(end)
		open = open || !at.Closed
	}

	// Nothing to do?
	idle := !open && len(due) == 0 && !a.takesAll()
	for n := range a.pots {
		for _, l := range slices.Concat(a.pots[n].takes, a.pots[n].gives) {
			idle = idle && !l.at.Before(end)
		}
	}
	if idle {
		return
	}
	a.walk(w, &s, works, upTo, end)
}

// takesAll tells whether a step of the kitchen takes all there is at services.
func (a *asPlanned) takesAll() bool {
	return slices.ContainsFunc(a.k.Graph.Steps, func(st graph.Step) bool { return st.Mode == graph.AllOf })
}

// written tells whether something was written down as sold at a service of a day, or at any of the day where nobody said which.
func (a *asPlanned) written(day time.Time, service int, ends time.Time) bool {
	for i := range a.entries {
		e := &a.entries[i]
		if e.Kind != Sold {
			continue
		}
		on, at, ok := a.k.ServedAt(e.At, e.Service)
		if ok && at == service && on.Equal(day) || !ok && midnight(e.At).Equal(day) && !e.At.Before(ends) {
			return true
		}
	}
	return false
}

// stock lays what is on hand and under way into a schedule that is played up to a moment. What goes into a pot later is held back
// on its shelf.
func (a *asPlanned) stock(w *week.Week, s *flow.Schedule, end time.Time) (on []onShelf) {
	held := map[int]float64{}
	s.Pots = nil
	minute := func(t time.Time) int { return int(t.Sub(w.From).Minutes()) }
	for _, pot := range a.pots {
		if !pot.lit.Before(end) {
			continue
		}
		f := flow.Pot{Step: max(pot.life.Step, 0), Day: int(pot.life.Day.Sub(w.From).Hours() / 24), Start: minute(pot.lit), Batches: pot.batches,
			Lost: pot.lost}
		for _, l := range pot.takes {
			if l.at.Before(end) {
				f.Takes = append(f.Takes, flow.PotLine{Item: l.item, Amount: l.amount, Minute: minute(l.at)})
			} else {
				held[l.item] += l.amount
			}
		}
		for _, l := range pot.gives {
			if l.at.Before(end) {
				f.Gives = append(f.Gives, flow.PotLine{Item: l.item, Amount: l.amount, Minute: minute(l.at)})
			}
		}
		if len(f.Takes)+len(f.Gives) > 0 {
			s.Pots = append(s.Pots, f)
		}
	}
	s.OnHand, s.Arrives = nil, slices.Clone(s.Arrives)
	s.NotBefore = a.notBefore(w.From)
	for i := range a.k.Graph.Items {
		if a.player.uncounted[i] {
			s.Arrives[i] = nil
			continue
		}
		keeps := a.k.Terms.Keeps[i]
		for n, l := range a.player.shelves[i].Lots() {
			made := int(l.Made.Sub(w.From).Hours() / 24)
			if keeps > 0 && made+keeps <= 0 {
				continue
			}
			back := min(held[i], l.Amount)
			held[i] -= back
			if l.Amount-back > 0 {
				s.OnHand = append(s.OnHand, flow.Lot{Item: i, Amount: l.Amount - back, Made: made})
				on = append(on, onShelf{i, n, back})
			}
		}
	}
	return on
}

// boil takes off the pots what went in and came out by a moment, and notes it.
func (a *asPlanned) boil(end time.Time) {
	for n := range a.pots {
		pot := &a.pots[n]
		by := func(l kettleLine) bool { return l.at.Before(end) }
		for _, l := range pot.takes {
			if by(l) {
				a.overdue(week.Happening{At: l.at, What: string(PutIn), Step: pot.life.Step, Day: pot.life.Day,
					In: []week.Measured{{Item: l.item, Amount: l.amount, Made: a.oldest(l.item, "", end)}}})
			}
		}
		for _, l := range pot.gives {
			if by(l) {
				a.overdue(week.Happening{At: l.at, What: string(Out), Step: pot.life.Step, Day: pot.life.Day,
					Out: []week.Measured{{Item: l.item, Amount: l.amount * (1 - pot.lost)}}})
			}
		}
		pot.takes, pot.gives = slices.DeleteFunc(pot.takes, by), slices.DeleteFunc(pot.gives, by)
	}
}

// onShelf says of which lot of the book a lot of a walk is.
type onShelf struct {
	item, lot int
	held      float64 // of it, held back from the walk for what goes into a pot later
}

// walk plays a schedule of the day of the clock up to a minute, and puts what came of it on the shelves.
func (a *asPlanned) walk(w *week.Week, s *flow.Schedule, works []*Life, upTo int, end time.Time) {
	p := a.player

	on := a.stock(w, s, end)
	a.boil(end)

	rec := &flow.Record{Movements: true}
	o := w.By(week.Fair).Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: s}, rec)

	// Batches that began, with what goes into them and comes out of them later.
	var putBack []flow.Entry
	for r, l := range works {
		ran := o.Ran[r]
		if l == nil || ran.Start >= upTo {
			continue
		}
		if ran.Batches <= 0 {
			a.lacked[l] = true
			continue
		}
		a.began[l] = true
		if a.clock.Before(a.AsOf) {
			a.prepared(w, l, r, on, s, o, rec)
		}
		st := &a.k.Graph.Steps[s.Batches[r].Step]
		pot := kettle{life: l, batches: ran.Batches, lost: s.Batches[r].Lost, lit: minutesAfter(w.From, ran.Start)}
		for n, out := range st.Gives {
			if at := ran.Start + out.OutAt; out.OutAt > 0 && at >= upTo {
				pot.gives = append(pot.gives, kettleLine{out.Item, ran.Batches * w.Case.Flow.Gives(s.Batches[r].Step, n), minutesAfter(w.From, at)})
			}
		}
		for n, e := range rec.Entries {
			if e.What == flow.Took && e.Run == r && e.Line >= 0 && e.Line < len(st.Takes) && ran.Start+st.Takes[e.Line].InAt >= upTo && e.Step == s.Batches[r].Step {
				pot.takes = append(pot.takes, kettleLine{e.Item, e.Amount, minutesAfter(w.From, ran.Start+st.Takes[e.Line].InAt)})
				putBack = append(putBack, rec.Entries[n])
			}
		}
		for _, h := range a.asBegun(w, s, l, r, upTo, o, rec) {
			a.overdue(h)
		}
		if len(pot.takes)+len(pot.gives) > 0 {
			a.pots = append(a.pots, pot)
		}
	}
	a.pots = slices.DeleteFunc(a.pots, func(p kettle) bool { return len(p.takes)+len(p.gives) == 0 })
	a.services(w, s, upTo)

	// What is left of each lot goes back to its shelf; what came lies behind.
	n := slices.IndexFunc(rec.Entries, func(e flow.Entry) bool { return e.At >= upTo })
	if n < 0 {
		n = len(rec.Entries)
	}
	left := make([]float64, len(rec.Lots))
	for _, part := range rec.Left(n) {
		left[part.Lot] += part.Amount
	}
	for _, e := range putBack {
		for _, part := range e.Lots {
			left[part.Lot] += part.Amount
		}
	}
	for k, l := range rec.Lots {
		switch {
		case k < len(on):
			if p.uncounted[l.Item] {
				continue
			}
			p.shelves[l.Item].Lots()[on[k].lot].Amount = left[k] + on[k].held
		case l.At < upTo && l.Origin == flow.Delivered:
			if a.ordered[l.Item] -= l.Amount; left[k] > 0 && !p.uncounted[l.Item] {
				p.shelves[l.Item].Put(Lot{Item: l.Item, Amount: left[k], Made: w.Date(l.Made)})
			}
		case l.At < upTo && left[k] > 0 && !p.uncounted[l.Item] && a.k.Graph.Items[l.Item].Role != graph.Sold:
			p.shelves[l.Item].Put(Lot{Item: l.Item, Amount: left[k], Made: w.Date(l.Made)})
			p.seen[l.Item] = true
		}
	}
	for i := range a.k.Graph.Items {
		p.shelves[i].tidy()
		p.have[i] = 0
		for _, l := range p.shelves[i].Lots() {
			p.have[i] += l.Amount
		}
	}
}

// tidy takes off the lots of which nothing is left.
func (s *shelf) tidy() {
	for n := 0; n < len(s.Lots()); {
		if l := s.Lots()[n]; l.Amount > 0 {
			n++
			continue
		}
		s.last = s.Lots()[n]
		s.Remove(n)
	}
}

// daybreak is the hour before which a count still belongs to the night before, and says nothing of what comes in the morning.
const daybreak = 5

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
				e.Kind == Counted && a.k.Bought[i].Arrives == kitchen.EveryDay && e.At.Hour() >= daybreak && !e.At.After(a.clock):
				at[i] = 1440
			case e.Kind == Late:
				at[i] = e.Until
			}
		}
	}
	return at
}

// overdue notes work that counts as planned and that nobody wrote down.
func (a *asPlanned) overdue(h week.Happening) {
	h.Overdue = !h.At.After(a.AsOf)
	a.happened = append(a.happened, h)
}

// settle takes out of what is overdue the batches of which all was lost, and says until when the rest may be done in time.
func (a *asPlanned) settle() {
	lost := map[batchOf]bool{}
	for _, l := range a.Lives {
		lost[batchOf{l.Step, l.Day}] = l.Lost == 1
	}
	for n := range a.happened {
		h := &a.happened[n]
		if h.Overdue = h.Overdue && !lost[batchOf{h.Step, h.Day}]; !h.Overdue {
			continue
		}
		if h.By = a.by(h); !h.By.After(a.AsOf) {
			a.Overdue = append(a.Overdue, *h)
		}
	}
}

// by is until when something may be done in time: of a step without a clock, until the first service of its day.
func (a *asPlanned) by(h *week.Happening) time.Time {
	w := a.lives.k
	if day := int(h.Day.Sub(w.From).Hours() / 24); a.k.Steps[h.Step].Starts == flow.Untimed && day >= 0 && day < w.Days {
		if last := minutesAfter(h.Day, w.Begins(day)-a.k.Graph.Steps[h.Step].Length()); h.What == string(Lit) && last.After(h.At) {
			return last
		}
	}
	return h.At
}

// drop notes a batch that was to be out the day before yesterday and that nobody wrote down.
func (a *asPlanned) drop(l *Life) {
	if name := l.Name + " of " + measure.FormatDay(l.Day); !slices.Contains(a.Dropped, name) {
		a.Dropped = append(a.Dropped, name)
	}
}

// asBegun is a batch that began as planned: what it took as it began, what went in and came out of it by a minute. The record is
// that of the walk.
func (a *asPlanned) asBegun(w *week.Week, s *flow.Schedule, l *Life, r, upTo int, o *flow.Outcome, rec *flow.Record) []week.Happening {
	start, st := o.Ran[r].Start, &a.k.Graph.Steps[l.Step]
	begun := week.Happening{At: minutesAfter(w.From, start), What: string(Lit), Step: l.Step, Day: l.Day, Batches: o.Ran[r].Batches}
	var later []week.Happening
	for _, e := range rec.Entries {
		if e.What != flow.Took || e.Run != r || e.Step != l.Step || e.Line < 0 {
			continue
		}
		m := week.Measured{Item: e.Item, Amount: e.Amount}
		for _, part := range e.Lots {
			if made := w.Date(rec.Lots[part.Lot].Made); m.Made.IsZero() || made.Before(m.Made) {
				m.Made = made
			}
		}
		switch in := st.Takes[e.Line].InAt; {
		case in == 0:
			begun.In = append(begun.In, m)
		case start+in < upTo:
			later = append(later, week.Happening{At: minutesAfter(w.From, start+in), What: string(PutIn), Step: l.Step, Day: l.Day, In: []week.Measured{m}})
		}
	}
	for n, out := range st.Gives {
		amount := o.Ran[r].Batches * w.Case.Flow.Gives(l.Step, n) * (1 - s.Batches[r].Lost)
		if y := s.Batches[r].Yields; y != nil {
			amount *= y[n]
		}
		m := week.Measured{Item: out.Item, Amount: amount}
		switch {
		case amount <= 0:
		case out.OutAt == 0:
			begun.Out = append(begun.Out, m)
		case start+out.OutAt < upTo:
			later = append(later, week.Happening{At: minutesAfter(w.From, start+out.OutAt), What: string(Out), Step: l.Step, Day: l.Day, Out: []week.Measured{m}})
		}
	}
	return append([]week.Happening{begun}, later...)
}

// oldest is the day on which the oldest lot of an item was made that is on its shelf at a moment, or the lot of a mark.
func (a *asPlanned) oldest(item int, mark string, at time.Time) time.Time {
	lots := a.player.shelves[item].Lots()
	for _, l := range lots {
		if mark != "" && (l.Mark == mark || strconv.FormatInt(l.Entry, 10) == mark) {
			return l.Made
		}
	}
	if len(lots) == 0 {
		return midnight(at)
	}
	return lots[0].Made
}

// services notes the services that were served as planned by a minute.
func (a *asPlanned) services(w *week.Week, s *flow.Schedule, upTo int) {
	for slot, at := range s.Slots {
		if at.Closed || at.Start >= upTo || w.Sittings[slot].Service < 0 {
			continue
		}
		a.served[slot] = true
		if !a.clock.Before(a.AsOf) || minutesAfter(w.From, at.End).Before(a.first) {
			continue
		}
		for d := range s.Wants {
			if s.Wants[d].Forecast[slot] > 0 {
				a.Unwritten = append(a.Unwritten, w.SittingName(slot))
				break
			}
		}
	}
}

// tell notes what was written of a batch.
func (a *asPlanned) tell(e *Entry) {
	switch e.Kind {
	case Lit, PutIn, Out, Done, Cooked, Skipped, Lost:
	default:
		return
	}
	l := a.lives.settled(e)
	if l.Step < 0 {
		return
	}
	h := week.Happening{At: e.At, What: string(e.Kind), Step: l.Step, Day: l.Day, Batches: e.Batches, Share: e.Share, Entry: e.ID}
	parts := func(list []Amount) (parts []week.Measured) {
		for _, m := range list {
			if i, ok := a.player.itemAt[m.Item]; ok {
				parts = append(parts, week.Measured{Item: i, Amount: m.Base, Mark: m.Mark, Card: m.Typed == "", Made: a.oldest(i, m.Mark, e.At)})
			}
		}
		return parts
	}
	h.In, h.Out = parts(e.Takes), parts(e.Gives)
	for n := range h.Out {
		h.Out[n].Made = midnight(e.At)
	}
	a.happened = append(a.happened, h)
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
				a.player.shelves[g.item].Put(Lot{Item: g.item, Amount: g.amount * (1 - p.lost), Made: midnight(g.at)})
			}
			a.Gone = append(a.Gone, p.life.Name+" of "+measure.FormatDay(p.life.Day))
			continue
		}
		a.Present.pots = append(a.Present.pots, flow.Pot{Step: p.life.Step, Day: int(p.life.Day.Sub(a.From).Hours() / 24), Start: minute(p.lit),
			Batches: p.batches, Lost: p.lost, Takes: lines(p.takes), Gives: lines(p.gives)})
	}
	a.now = max(0, minute(a.AsOf.Truncate(time.Minute)))
	if a.From.After(a.AsOf) {
		a.now = 0
	}
	if a.From.Equal(midnight(a.AsOf)) {
		a.later = a.notBefore(a.From)
	}
	a.Stock = a.player.shown()
	slices.SortStableFunc(a.happened, func(x, y week.Happening) int { return x.At.Compare(y.At) })
	a.settle()
}
