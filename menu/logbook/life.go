package logbook

// Batches with a life: what was planned, lit, put in, taken out, done, skipped and lost of each.

import (
	"cmp"
	"context"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// Life is a batch: a step on the day on which it was to begin, with what was planned and written of it. Several batches of
// a step that were to begin on one day are one life.
type Life struct {
	Name    string    // of the step
	Step    int       // of the kitchen; -1 when its file has the step no longer
	Day     time.Time // on which it was to begin, at midnight
	Planned float64   // batches; 0 when nobody planned it
	Begins  time.Time // when it was to begin
	Out     time.Time // when the last of it was to be out
	Lit     []Going   // what was lit of it, one by one
	Cooked  float64   // batches that were written down all at once
	Skipped bool      // what has not begun will not be made
	Lost    float64   // share of what is still to come
	losses  []loss    // that were written, in the order in which they happened
}

// loss is the loss of a share of what was still to come of a batch.
type loss struct {
	at    time.Time
	share float64
	all   bool // it was written when all was to be out: it is of all that nobody wrote down
}

// lostBy is the share that is lost of what was to come out at a moment, as far as nobody wrote it down. What came before a loss came
// whole, unless the loss was written when all of the batch was to be out: then it can mean nothing else.
func (l *Life) lostBy(t time.Time) float64 {
	return l.lost(func(lost loss) bool { return lost.all || !lost.at.After(t) })
}

// knownBy is the share of the batch that was known to be lost at a moment.
func (l *Life) knownBy(t time.Time) float64 {
	return l.lost(func(lost loss) bool { return !lost.at.After(t) })
}

func (l *Life) lost(counts func(loss) bool) (share float64) {
	for _, lost := range l.losses {
		if counts(lost) {
			share = 1 - (1-share)*(1-lost.share)
		}
	}
	return share
}

// reach finds how far losses reach back, once all that was written of the batch is known.
func (l *Life) reach() {
	var last time.Time // of what was to come and nobody wrote down
	if l.Left() > 0 {
		last = l.Out
	}
	for _, g := range l.Lit {
		for _, d := range g.Gives {
			if at := minutesAfter(g.At, d.After); at.After(last) {
				last = at
			}
		}
	}
	for n := range l.losses {
		l.losses[n].all = !last.IsZero() && last.Before(l.losses[n].at)
	}
}

// Going is what was lit at one time: what still goes into it and comes out of it.
type Going struct {
	At      time.Time
	Batches float64
	Takes   []Due // by time
	Gives   []Due
	Entry   int64 // that lit it; 0 when nobody wrote so, though something was put in or taken out
}

// Left is how many batches have not begun, and are to. Where some have, less than a half is no batch that is left: the cook made
// a smaller one.
func (l *Life) Left() float64 {
	if l.Skipped {
		return 0
	}
	begun := l.Cooked
	for _, g := range l.Lit {
		begun += g.Batches
	}
	if left := l.Planned - begun; begun == 0 || left > 0.5 {
		return max(0, left)
	}
	return 0
}

// Open tells whether something still goes into it or comes out of it.
func (l *Life) Open() bool {
	return slices.ContainsFunc(l.Lit, func(g Going) bool { return len(g.Takes)+len(g.Gives) > 0 })
}

// Lives are the batches of some days: those that were planned for them, and those that something was written of.
type Lives struct {
	k      *week.Week // as planned, over the days that are looked at
	list   []*Life
	counts counts // for what is written now; nil where batches are only looked at
}

// livesBack is how many days before a moment batches are looked at.
const livesBack = 4

// livesAhead is how many days after it.
const livesAhead = 8

// Lives finds the batches that were to begin in the days round a moment, and what was written of
// them by then. planned are the days as planned, the first one four days before that of the moment.
func (j *Book) Lives(ctx context.Context, planned *week.Week, asOf time.Time) (*Lives, error) {
	list, err := j.ofBatches(ctx, planned.From, asOf)
	if err != nil {
		return nil, err
	}
	return livesOf(planned, list), nil
}

func livesOf(w *week.Week, list []Entry) *Lives {
	ls := &Lives{k: w}
	s := w.Case.Schedule
	for _, m := range w.Case.Flow.Moments(s) {
		if m.Kind != flow.Works || m.Run < 0 || s.Batches[m.Run].Size <= 0 {
			continue
		}
		b := s.Batches[m.Run]
		st := &w.Graph.Steps[b.Step]
		l := ls.of(st.Name, w.Date(b.Day))
		begins := minutesAfter(w.From, m.At)
		if l.Planned == 0 || begins.Before(l.Begins) {
			l.Begins = begins
		}
		if out := minutesAfter(begins, st.Length()); l.Planned == 0 || out.After(l.Out) {
			l.Out = out
		}
		l.Planned += b.Size
	}
	slices.SortStableFunc(ls.list, func(a, b *Life) int { return a.Begins.Compare(b.Begins) })
	for i := range list {
		ls.write(&list[i])
	}
	for _, l := range ls.list {
		l.reach()
	}
	return ls
}

// known is the life of a step and day; nil where there is none.
func (ls *Lives) known(step string, day time.Time) *Life {
	for _, l := range ls.list {
		if l.Name == step && l.Day.Equal(day) {
			return l
		}
	}
	return nil
}

// of is the life of a step and day, a new one where there is none.
func (ls *Lives) of(step string, day time.Time) *Life {
	if l := ls.known(step, day); l != nil {
		return l
	}
	l := &Life{Name: step, Step: -1, Day: day, Begins: day, Out: day}
	if i, err := ls.k.FindStep(step); err == nil {
		l.Step = i
		if starts := ls.k.Steps[i].Starts; starts != flow.Untimed {
			l.Begins = minutesAfter(day, starts)
		}
		l.Out = minutesAfter(l.Begins, ls.k.Graph.Steps[i].Length())
	}
	ls.list = append(ls.list, l)
	return l
}

// Meant is the batch that an entry of a step means which names no day: one that is lit, or else the one that was to be lit, or
// to be out, next to the moment. item is what was put in or taken out, "" otherwise. It is nil when no batch is meant.
func (ls *Lives) Meant(kind Kind, step, item string, at time.Time) *Life {
	var best *Life
	least := time.Duration(1<<63 - 1)
	near := func(l *Life, when time.Time) {
		if !l.near(at) {
			return
		}
		if off := when.Sub(at).Abs(); off < least {
			best, least = l, off
		}
	}
	switch kind {
	case Lit, Skipped:
		for _, l := range ls.list {
			if l.Name == step && l.Left() > 0 {
				near(l, l.Begins)
			}
		}
	case Cooked:
		for _, l := range ls.list {
			if l.Name == step && l.Left() > 0 {
				near(l, l.Out)
			}
		}
	case PutIn, Out, Done:
		for _, l := range ls.list {
			if l.Name == step && slices.ContainsFunc(l.Lit, func(g Going) bool { return ls.awaits(l, &g, kind, item) }) {
				return l
			}
		}
		last := ls.lastLit(step)
		for _, l := range ls.list { // one that nobody lit, unless a later one was
			if l.Name == step && l.Left() > 0 && !l.Begins.After(at) && (last == nil || !l.Begins.Before(last.Begins)) {
				near(l, l.Out)
			}
		}
		if best == nil {
			return last
		}
	case Lost:
		for _, l := range ls.list { // the last that began by then, today or the day before
			began := l.Planned > 0 && !l.Begins.After(at) || len(l.Lit) > 0
			if l.Name == step && began && !l.Day.Before(midnight(at).AddDate(0, 0, -1)) && !ls.counts.over(ls.k, l, at) {
				near(l, l.Begins)
			}
		}
		for _, l := range ls.list {
			if best == nil && l.Name == step && l.Left() > 0 && !ls.counts.over(ls.k, l, at) {
				near(l, l.Begins)
			}
		}
		if best != nil || !slices.ContainsFunc(ls.list, func(l *Life) bool { return l.Name == step && ls.counts.over(ls.k, l, at) }) {
			return best
		}
		for _, l := range ls.list { // the last is over: the next that is to come
			if l.Name == step && l.Left() > 0 && l.Begins.After(at) && (best == nil || l.Begins.Before(best.Begins)) {
				best = l
			}
		}
	}
	return best
}

// lastLit is the last batch of a step that was lit; nil for none.
func (ls *Lives) lastLit(step string) (last *Life) {
	for _, l := range ls.list {
		if l.Name == step && len(l.Lit) > 0 && (last == nil || l.Begins.After(last.Begins)) {
			last = l
		}
	}
	return last
}

// near tells whether a batch may be meant without its day: it is not of a later day, and somebody still waits for it.
func (l *Life) near(at time.Time) bool {
	return !(l.Day.After(midnight(at)) && l.Begins.Sub(at) > early) && at.Before(midnight(l.Out).Add(expects))
}

// early is how long before a batch was to begin it may be meant without its day.
const early = 6 * time.Hour

// awaits tells whether something that was lit still waits for an item, or for anything.
func (ls *Lives) awaits(l *Life, g *Going, kind Kind, item string) bool {
	switch kind {
	case PutIn:
		return slices.ContainsFunc(g.Takes, func(d Due) bool { return ls.fills(l, item, d.Item) })
	case Out:
		return slices.ContainsFunc(g.Gives, func(d Due) bool { return d.Item == item })
	}
	return len(g.Takes)+len(g.Gives) > 0
}

// fills tells whether an item fills the line of a step whose first choice is another.
func (ls *Lives) fills(l *Life, item, first string) bool {
	if item == first || l.Step < 0 {
		return item == first
	}
	g := ls.k.Graph
	for _, line := range g.Steps[l.Step].Takes {
		named := func(name string) bool {
			return slices.ContainsFunc(line.Choices, func(c graph.Choice) bool { return g.Items[c.Item].Name == name })
		}
		if g.Items[line.Choices[0].Item].Name == first && named(item) {
			return true
		}
	}
	return false
}

// settled is the batch that an entry is about: the one that was settled when it was written, or, of entries that older
// versions wrote, the one that is meant.
func (ls *Lives) settled(e *Entry) *Life {
	if !e.Begins.IsZero() {
		return ls.of(e.Step, e.Begins)
	}
	if e.Kind == Lost {
		return ls.of(e.Step, e.On(ls.k.Kitchen))
	}
	if l := ls.Meant(e.Kind, e.Step, "", e.At); l != nil {
		return l
	}
	return ls.of(e.Step, midnight(e.At))
}

// write makes an entry part of the lives.
func (ls *Lives) write(e *Entry) {
	l := ls.settled(e)
	switch e.Kind {
	case Cooked:
		for rest := e.Batches; rest > 0; { // older entries may stand for the batches of two days
			take := rest
			if e.Begins.IsZero() && l.Left() > 0 {
				take = min(rest, l.Left())
			}
			l.Cooked += take
			rest -= take
			if next := ls.Meant(Cooked, e.Step, "", e.At); rest > 0 && next != nil && next != l {
				l = next
			} else {
				l.Cooked += rest
				rest = 0
			}
		}
	case Lit:
		g := Going{At: e.At, Batches: e.Batches, Entry: e.ID}
		for _, d := range e.Card {
			if d.Out {
				g.Gives = append(g.Gives, d)
			} else {
				g.Takes = append(g.Takes, d)
			}
		}
		l.Lit = append(l.Lit, g)
	case Skipped:
		l.Skipped = true
	case Lost:
		l.Lost = 1 - (1-l.Lost)*(1-e.Share)
		l.losses = append(l.losses, loss{at: e.At, share: e.Share})
	case PutIn, Out, Done:
		ls.goOn(l, e)
	}
}

// goOn writes down what was put into a batch or taken out of it. One that nobody lit was lit as planned.
func (ls *Lives) goOn(l *Life, e *Entry) {
	if len(l.Lit) == 0 {
		g := Going{At: l.Begins, Batches: cmp.Or(l.Left(), 1)}
		if g.At.After(e.At) {
			g.At = e.At
		}
		if l.Step >= 0 {
			g.card(ls.k, l.Step)
		}
		l.Lit = append(l.Lit, g)
	}
	if e.Kind == Done {
		for n := range l.Lit {
			l.Lit[n].Takes, l.Lit[n].Gives = nil, nil
		}
		return
	}
	amounts := e.Takes
	if e.Kind == Out {
		amounts = e.Gives
	}
	for _, a := range amounts {
		for n := range l.Lit {
			g := &l.Lit[n]
			list := &g.Takes
			if e.Kind == Out {
				list = &g.Gives
			}
			had := len(*list)
			*list = slices.DeleteFunc(slices.Clone(*list), func(d Due) bool {
				return d.Item == a.Item || e.Kind == PutIn && ls.fills(l, a.Item, d.Item)
			})
			if len(*list) < had {
				break
			}
		}
	}
}

// card is what goes in and comes out by the file.
func (g *Going) card(w *week.Week, step int) {
	for _, line := range w.Graph.Steps[step].Takes {
		c := line.Choices[0]
		it := &w.Graph.Items[c.Item]
		g.Takes = append(g.Takes, Due{Item: it.Name, Base: c.Amount * g.Batches, Kind: it.Unit.Kind, After: line.InAt})
	}
	for _, out := range w.Graph.Steps[step].Gives {
		it := &w.Graph.Items[out.Item]
		g.Gives = append(g.Gives, Due{Item: it.Name, Base: out.Amount * g.Batches, Kind: it.Unit.Kind, Out: true, After: out.OutAt})
	}
	byTime := func(a, b Due) int { return cmp.Compare(a.After, b.After) }
	slices.SortStableFunc(g.Takes, byTime)
	slices.SortStableFunc(g.Gives, byTime)
}

// All are the lives, by when they were to begin.
func (ls *Lives) All() []*Life { return ls.list }
