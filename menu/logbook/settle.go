package logbook

// Which batch an entry means, and what of it is by the card: found when it is written, and kept with it.

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Settle fills in what entries about batches leave out, before they are kept together: the step where only an item was written, the
// day on which the batch was to begin, how many batches were lit, the card, and what is by the card. Each is settled by those that
// are kept and those before it. Where something went in or came out of a batch that nobody lit, the entry that lit it as planned
// stands before it. Entries of other kinds stay as they are; one that decides about a service that the day does not have is
// refused. What can't be settled is an [*EntryError].
func (j *Book) Settle(ctx context.Context, k *kitchen.Kitchen, planned Planned, entries ...Entry) (settled []Entry, err error) {
	for _, e := range entries {
		if e.Kind == Measured && e.Step != "" {
			e, err := j.measuredBatch(ctx, k, planned, e)
			if err != nil {
				return nil, err
			}
			settled = append(settled, e)
			continue
		}
		if !e.Kind.OfBatch() {
			if err := e.decides(k); err != nil {
				return nil, err
			}
			settled = append(settled, e)
			continue
		}
		s := &settling{k: k, e: e}
		if e.Corrects != 0 {
			if err := s.corrected(ctx, j); err != nil {
				return nil, err
			}
		}
		w, err := planned.around(s.e.At)
		if err != nil {
			return nil, err
		}
		list, err := j.ofBatches(ctx, w.From, s.e.At)
		if err != nil {
			return nil, err
		}
		list = slices.DeleteFunc(list, func(o Entry) bool { return o.ID == e.Corrects })
		for _, o := range settled {
			if o.Kind.OfBatch() && !o.At.After(s.e.At) {
				list = append(list, o)
			}
		}
		s.lives = livesOf(w, list)
		if e.Kind == Lost {
			if s.lives.counts, err = j.countedBy(ctx, w.From, s.e.At); err != nil {
				return nil, err
			}
			for n := range settled {
				s.lives.counts.note(&settled[n])
			}
		}
		s.fills = func(step int) (fills, error) { return j.byOnHand(ctx, k, step, s.e.At) }
		if err := s.settle(); err != nil {
			return nil, err
		}
		if s.lit != nil {
			settled = append(settled, *s.lit)
		}
		settled = append(settled, s.e)
	}
	return settled, nil
}

// ofBatches are the entries about batches that stand, from a moment up to another.
func (j *Book) ofBatches(ctx context.Context, from, until time.Time) ([]Entry, error) {
	return j.standing(ctx, byMoment, between(from, until, Cooked, Lit, PutIn, Out, Done, Skipped, Lost))
}

// settling is the settling of one entry.
type settling struct {
	k     *kitchen.Kitchen
	e     Entry
	lives *Lives
	lit   *Entry // that lit the batch, where nobody wrote so
	fills func(step int) (fills, error)
}

// corrected takes over from the entry that is corrected when it happened and which batch it was about, unless another is named.
func (s *settling) corrected(ctx context.Context, j *Book) error {
	old, err := j.entry(ctx, s.e.Corrects)
	if err != nil {
		return err
	}
	if old != nil { // none where the number is wrong: that is said when it is kept
		if s.e.At.IsZero() {
			s.e.At = old.At
		}
		if s.e.Step = cmp.Or(s.e.Step, old.Step); s.e.Day == "" && s.e.Step == old.Step {
			s.e.Begins = old.Begins
		}
	}
	return nil
}

// settle finds the batch, then what of the entry is by the card.
func (s *settling) settle() error {
	l, err := s.batch()
	if err != nil {
		return err
	}
	e := &s.e
	e.Step, e.Begins = l.Name, l.Day
	if l.Step < 0 {
		return nil // the file has it no longer: the entry says all that is known
	}
	st := s.k.Graph.Steps[l.Step]
	by, err := s.fills(l.Step)
	if err != nil {
		return err
	}
	switch e.Kind {
	case Lit:
		s.light(e, l, st, by)
	case Cooked:
		written := slices.DeleteFunc(slices.Clone(e.Takes), func(a Amount) bool { return a.Typed == "" })
		e.Takes = takenByCard(s.k, st, e.Batches, written, by, func(graph.Line) bool { return true })
	case PutIn, Out, Done:
		if len(l.Lit) == 0 {
			s.lit = &Entry{Kind: Lit, At: e.At, Written: e.Written, Zone: e.Zone, Step: l.Name, Begins: l.Day}
			if l.Begins.Before(e.At) {
				s.lit.At = l.Begins
			}
			s.light(s.lit, l, st, by)
			s.lit.Text = fmt.Sprintf("%s x%s of %s", l.Name, measure.FormatNumber(s.lit.Batches), l.Day.Format(time.DateOnly))
			s.lives.write(s.lit)
		}
		if e.Kind == Done {
			s.rest(l)
		}
	}
	return nil
}

// light fills in what lit a batch: its size, what went in at once, and the card of the rest.
func (s *settling) light(e *Entry, l *Life, st graph.Step, by fills) {
	if e.Batches == 0 {
		e.Batches = cmp.Or(l.Left(), 1)
	}
	written := e.Takes
	e.Takes = takenByCard(s.k, st, e.Batches, written, by, func(line graph.Line) bool { return line.InAt == 0 })
	e.Card = cardOf(s.k, st, e.Batches, written, by)
}

// cardOf is what still goes into a batch that is lit, of which some was written, and what comes out of it, by time.
func cardOf(k *kitchen.Kitchen, st graph.Step, batches float64, written []Amount, by fills) (card []Due) {
	due := func(item int, amount float64, out bool, after int) {
		it := k.Graph.Items[item]
		card = append(card, Due{it.Name, amount, it.Unit.Kind, out, after})
	}
	for l, line := range st.Takes {
		said := slices.ContainsFunc(line.Choices, func(c graph.Choice) bool { return names(written, k.Graph.Items[c.Item].Name) })
		if line.InAt > 0 && !said {
			for _, p := range by(l, line, batches) {
				due(p.item, p.base, false, line.InAt)
			}
		}
	}
	for _, out := range st.Gives {
		due(out.Item, out.Amount*batches, true, out.OutAt)
	}
	slices.SortStableFunc(card, func(a, b Due) int { return cmp.Compare(a.After, b.After) })
	return card
}

// rest fills in what a batch that is done took and gave by the card: what was neither put in nor taken out, less what was lost.
func (s *settling) rest(l *Life) {
	for _, g := range l.Lit {
		for _, d := range g.Takes {
			s.e.Takes = add(s.e.Takes, Amount{Item: d.Item, Base: d.Base, Kind: d.Kind}, 0)
		}
		for _, d := range g.Gives {
			if left := d.Base * (1 - l.Lost); left > 0 {
				s.e.Gives = add(s.e.Gives, Amount{Item: d.Item, Base: left, Kind: d.Kind}, 0)
			}
		}
	}
}

// batch finds the batch that the entry is about.
func (s *settling) batch() (*Life, error) {
	e := &s.e
	switch {
	case e.Step == "":
		return s.byItem()
	case e.Day != "" || !e.Begins.IsZero():
		l := s.lives.of(e.Step, e.On(s.k))
		if e.Kind == Skipped && l.Left() == 0 {
			return nil, s.nothingPlanned(" of " + measure.FormatDay(l.Day))
		}
		return l, nil
	}
	if e.Kind == Skipped {
		if err := s.whichSkipped(); err != nil {
			return nil, err
		}
	}
	if l := s.lives.Meant(e.Kind, e.Step, s.item(), e.At); l != nil {
		return l, nil
	}
	last := s.last(func(l *Life) bool { return l.Name == e.Step })
	switch e.Kind {
	case PutIn, Out, Done:
		if last == nil {
			return nil, &EntryError{fmt.Sprintf("no %s is under way or due", e.Step),
				fmt.Sprintf("log when it was lit: lit %s; or name its day: %s of tue", e.Step, e.Step)}
		}
		return last, nil
	case Cooked:
		if last != nil && last.Open() {
			return nil, &EntryError{fmt.Sprintf("%s is under way, lit %s", batchName(last), measure.FormatMoment(last.Lit[len(last.Lit)-1].At)),
				fmt.Sprintf("log what comes out of it, or: done %s; another batch is named by its day: %s of %s", e.Step, e.Step,
					kitchen.Weekdays[e.At.Weekday()])}
		}
	case Skipped:
		return nil, s.nothingPlanned("")
	case Lost:
		return s.lives.of(e.Step, e.On(s.k)), nil
	}
	return s.lives.of(e.Step, midnight(e.At)), nil
}

// whichSkipped asks which of several batches will not be made: the nearest one may be the wrong one, and nobody would see it.
func (s *settling) whichSkipped() error {
	var list []string
	var first *Life
	for _, l := range s.lives.All() {
		if l.Name != s.e.Step || l.Left() == 0 || !l.near(s.e.At) {
			continue
		}
		if first == nil {
			first = l
		}
		list = append(list, batchName(l))
	}
	if len(list) < 2 {
		return nil
	}
	return &EntryError{fmt.Sprintf("%s are left to be made: which is meant?", measure.FormatList(list)),
		fmt.Sprintf("name the batch: %s %s", Skipped, batchAsTyped(first))}
}

func (s *settling) nothingPlanned(when string) error {
	return &EntryError{fmt.Sprintf("no %s%s is left to be made", s.e.Step, when), fmt.Sprintf("name the day that it was planned for: skipped %s of tue", s.e.Step)}
}

// item is what was put in or taken out first; "" of other entries.
func (s *settling) item() string {
	for _, list := range [][]Amount{s.e.Takes, s.e.Gives} {
		if len(list) > 0 {
			return list[0].Item
		}
	}
	return ""
}

// last is the batch that was lit last of those that something holds for; nil where none was.
func (s *settling) last(holds func(*Life) bool) (last *Life) {
	for _, l := range s.lives.All() {
		if holds(l) && len(l.Lit) > 0 && (last == nil || !l.Lit[len(l.Lit)-1].At.Before(last.Lit[len(last.Lit)-1].At)) {
			last = l
		}
	}
	return last
}

// byItem finds the one batch that what was put in or taken out belongs to: one under way that awaits it, or else one that is due, or
// the last that took or gave it.
func (s *settling) byItem() (*Life, error) {
	e, what, does := &s.e, s.e.Takes, "takes"
	if e.Kind == Out {
		what, does = e.Gives, "gives"
	}
	var items []string
	for _, a := range what {
		items = append(items, a.Item)
	}
	fits := func(l *Life) bool {
		return l.Step >= 0 && !slices.ContainsFunc(items, func(item string) bool { return !s.has(l.Step, item) })
	}
	var awaiting, due []*Life
	for _, l := range s.lives.All() {
		switch {
		case !fits(l):
		case slices.ContainsFunc(l.Lit, func(g Going) bool { return s.lives.awaits(l, &g, e.Kind, items[0]) }):
			awaiting = append(awaiting, l)
		case s.passed(l): // a later one was lit
		case len(l.Lit) == 0 && l.Left() > 0 && !l.Begins.After(e.At) && e.At.Before(midnight(l.Out).Add(expects)):
			due = append(due, l)
		}
	}
	if len(due) > 1 && !slices.ContainsFunc(due, func(l *Life) bool { return l.Step != due[0].Step }) {
		due = []*Life{s.lives.Meant(e.Kind, due[0].Name, items[0], e.At)} // of one step, as if the step were named
	}
	for _, candidates := range [][]*Life{awaiting, due} {
		switch len(candidates) {
		case 0:
			continue
		case 1:
			return candidates[0], nil
		}
		var list []string
		for _, l := range candidates {
			list = append(list, batchName(l))
		}
		return nil, &EntryError{fmt.Sprintf("%s %s %s: which is meant?", measure.FormatList(list), strings.TrimSuffix(does, "s"),
			measure.FormatList(items)), fmt.Sprintf("name the batch: %s %s of %s", e.Kind, e.Text, batchAsTyped(candidates[0]))}
	}
	if last := s.last(fits); last != nil {
		return last, nil
	}
	var steps []string
	for step, st := range s.k.Graph.Steps[:len(s.k.Steps)] {
		if st.Mode != graph.ToOrder && !slices.ContainsFunc(items, func(item string) bool { return !s.has(step, item) }) {
			steps = append(steps, st.Name)
		}
	}
	if len(steps) == 0 {
		return nil, &EntryError{fmt.Sprintf("no step %s %s", does, measure.FormatList(items)), "write it as " + string(e.Kind) + " " + Form(s.k, e.Kind)}
	}
	return nil, &EntryError{fmt.Sprintf("no batch that %s %s is under way or due", does, measure.FormatList(items)),
		fmt.Sprintf("log what was lit: lit %s; or name the batch: %s %s of %s of tue", steps[0], e.Kind, e.Text, steps[0])}
}

// passed tells whether a later batch of the same step was lit.
func (s *settling) passed(l *Life) bool {
	last := s.lives.lastLit(l.Name)
	return last != nil && last.Begins.After(l.Begins)
}

// has tells whether a step takes an item that was put in, or gives one that was taken out.
func (s *settling) has(step int, item string) bool {
	st, items := s.k.Graph.Steps[step], s.k.Graph.Items
	if s.e.Kind == Out {
		return slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return items[o.Item].Name == item })
	}
	return slices.ContainsFunc(st.Takes, func(line graph.Line) bool {
		return slices.ContainsFunc(line.Choices, func(c graph.Choice) bool { return items[c.Item].Name == item })
	})
}

// batchName names a batch for people, and batchAsTyped as it can be written.
func batchName(l *Life) string { return l.Name + " of " + measure.FormatDay(l.Day) }

func batchAsTyped(l *Life) string { return l.Name + " of " + l.Day.Format(time.DateOnly) }
