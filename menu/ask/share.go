package ask

// Bounds on how strong a line is in a batch, held against every batch that a walk makes.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/batch"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// ShareCheck is what bounds on strong lines have to say of the batches that a walk makes.
type ShareCheck struct {
	Broken  []BrokenShare  `json:"broken"`
	Smaller []SmallerBatch `json:"smaller"`
}

// BrokenShare is a bound that a batch breaks, at the stage at which it is furthest broken.
type BrokenShare struct {
	Step    string   `json:"step"`
	Begins  string   `json:"begins"`       // 2006-01-02 15:04
	Number  int      `json:"number"`       // of the batches that begin together, from 1; 0 where there is one
	Batches float64  `json:"batches"`      // of the recipe: 1 for a whole batch
	Item    string   `json:"item"`         // of the line that carries the bound: its first choice
	From    int      `json:"from_minutes"` // minutes after the batch begins
	To      int      `json:"to_minutes"`   // as from_minutes when it is at one moment
	Measure string   `json:"measure"`      // what is bounded: "share" of what is in by weight, or what is "drawn" from it
	Share   float64  `json:"share"`        // of what is in by weight then, 0 to 1, weighed as the first choice; or drawn, in g h/L
	Bound   string   `json:"bound"`        // "at most" or "at least"
	Limit   float64  `json:"limit"`        // that is written: a share, 0 to 1, or in g h/L
	Beyond  float64  `json:"beyond"`       // how far the one is from the other, on the wrong side
	Keeps   float64  `json:"keeps"`        // how much of the line keeps the bound, all else being as it is
	In      float64  `json:"in"`           // how much goes in
	Unit    string   `json:"unit"`
	Scale   *float64 `json:"scale"`          // the part of a batch at which, all lines being cut down to what is short, the bound holds; null when nothing is short, or that does not help
	OutBy   *int     `json:"out_by_minutes"` // when all of it would have to be out, minutes after the batch begins; null for a share, and for at least
	Because []string `json:"because"`        // how the batch differs from the recipe
	Before  *float64 `json:"before"`         // the share without the change, where that breaks the bound too; null where not

	when string // in words
	key  shareKey
	in   bool // all of it is in
}

// SmallerBatch is a batch that is smaller because something runs short. Of one of its items, the whole recipe's amount
// would then be too much.
type SmallerBatch struct {
	Step    string  `json:"step"`
	Begins  string  `json:"begins"` // 2006-01-02 15:04
	Scale   float64 `json:"scale"`  // of a batch
	Lacks   string  `json:"lacks"`  // what runs short
	Item    string  `json:"item"`
	Keeps   float64 `json:"keeps"` // of the item, which keeps its share
	Whole   float64 `json:"whole"` // of the item, in a whole batch
	Unit    string  `json:"unit"`
	Measure string  `json:"measure"` // "share" or "drawn"
	Share   float64 `json:"share"`   // that the whole amount would come to: a share, 0 to 1, or drawn, in g h/L
	Limit   float64 `json:"limit"`   // at most

	when string // in words
	key  shareKey
}

// shareKey tells a bound of a batch from all others of its week, and finds it again in the week with a change.
type shareKey struct {
	batch.Bound
	step, run, number, pot, at int // at: of work without a run, else 0
}

// filled is a batch of a walk, or what a step makes of all there is, or to order, at one moment.
type filled struct {
	step, run, number, at int
	batches               float64
	fills                 [][]float64 // by line, then choice, in batches of the recipe
	lacks                 int         // the item that kept it small; -1 for none

	pot   int       // of those under way, from 1; 0 for other work
	gives []float64 // of a batch under way, by output; nil for other work
	later []bool    // of a batch under way, by line: some of it still goes in
}

// bounds tells whether any recipe bounds a share.
func bounds(k *kitchen.Kitchen) bool {
	return slices.ContainsFunc(k.Graph.Steps, func(st graph.Step) bool { return len(batch.BoundsOf(st)) > 0 })
}

// Shares holds the batches of a played week against the bounds that their recipes carry; nil when there is nothing
// to say. Batches that a run makes one after another are looked at one by one, each line on its first choice until that is
// used up; what a plan directs otherwise, what a step makes of all there is, and what it makes to order at one moment are
// taken to go into one pot.
func Shares(w *week.Week, p *week.Played) *ShareCheck {
	if !bounds(w.Kitchen) {
		return nil
	}
	a := &ShareCheck{Broken: []BrokenShare{}, Smaller: []SmallerBatch{}}
	for _, b := range slices.Concat(potsOf(w, p), batchesOf(w, p)) {
		st := w.Graph.Steps[b.step]
		gives := gives(w, p, b)
		pot := batch.Of(w.Graph.Items, st, b.batches, b.fills, gives)
		for _, on := range batch.BoundsOf(st) {
			if stage, share, broken := pot.Furthest(on); broken {
				a.Broken = append(a.Broken, brokenBy(w, b, gives, pot, on, stage, share))
			} else if small, ok := smallerFor(w, b, gives, pot, on); ok {
				a.Smaller = append(a.Smaller, small)
			}
		}
	}
	if len(a.Broken)+len(a.Smaller) == 0 {
		return nil
	}
	return a
}

// SharesOf is [Shares] of a case of the week, under a rule that does not plan.
func SharesOf(w *week.Week, c flow.Case) *ShareCheck {
	if !bounds(w.Kitchen) {
		return nil
	}
	p := &week.Played{Case: c, Schedule: c.Schedule, Record: &flow.Record{Movements: true}}
	p.Outcome = w.Player().Play(c, p.Record)
	return Shares(w, p)
}

// batchesOf are the works of a walk whose recipes carry bounds, by time, then step.
func batchesOf(w *week.Week, p *week.Played) []filled {
	s, o := p.Schedule, p.Outcome
	type key struct{ run, at, step int }
	took := map[key][][]float64{}
	var keys []key
	used := func(k key) [][]float64 {
		if took[k] == nil {
			keys = append(keys, k)
			for _, l := range w.Graph.Steps[k.step].Takes {
				took[k] = append(took[k], make([]float64, len(l.Choices)))
			}
		}
		return took[k]
	}
	for r, ran := range o.Ran { // a batch may take nothing at all of what it can do without
		if step := s.Batches[r].Step; s.Batches[r].Day < w.Days && ran.Batches > 0 && len(batch.BoundsOf(w.Graph.Steps[step])) > 0 {
			used(key{r, ran.Start, step})
		}
	}
	for _, e := range p.Record.Entries {
		if e.What == flow.Took && e.Pot < 0 && len(batch.BoundsOf(w.Graph.Steps[e.Step])) > 0 {
			used(key{e.Run, e.At, e.Step})[e.Line][e.Choice] += e.Amount / w.Graph.Steps[e.Step].Takes[e.Line].Choices[e.Choice].Amount
		}
	}
	slices.SortFunc(keys, func(a, b key) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.step, b.step), cmp.Compare(a.run, b.run))
	})
	var list []filled
	for _, k := range keys {
		whole := filled{step: k.step, run: k.run, at: k.at, fills: took[k], lacks: -1}
		if k.run < 0 {
			for _, line := range whole.fills {
				whole.batches = max(whole.batches, sum(line))
			}
			list = append(list, whole)
			continue
		}
		whole.batches = o.Ran[k.run].Batches
		if whole.batches < s.Batches[k.run].Size*(1-kitchen.Slack) {
			whole.lacks = o.Ran[k.run].Limit
		}
		directed := s.Directions != nil && k.run < len(s.Directions.Run) && s.Directions.Run[k.run] != nil
		list = append(list, whole.apart(directed)...)
	}
	return list
}

func sum(list []float64) (all float64) {
	for _, v := range list {
		all += v
	}
	return all
}

// apart parts the batches of a run: each line's choices are used up one after another, or, when evenly is set, side by
// side in every batch.
func (f filled) apart(evenly bool) (list []filled) {
	for from := 0.0; from < f.batches*(1-kitchen.Slack); from++ {
		to := min(from+1, f.batches)
		one := f
		one.number, one.batches, one.fills = len(list)+1, to-from, make([][]float64, len(f.fills))
		for l, line := range f.fills {
			one.fills[l] = make([]float64, len(line))
			begin := 0.0 // of the choice
			for c, amount := range line {
				part := max(0, min(to, begin+amount)-max(from, begin))
				if evenly {
					part = amount * (to - from) / f.batches
				}
				one.fills[l][c] = part
				begin += amount
			}
		}
		list = append(list, one)
	}
	if len(list) == 1 {
		list[0].number = 0
	}
	return list
}

// gives is what a batch gives by output, in base units, lost or not.
func gives(w *week.Week, p *week.Played, b filled) []float64 {
	if b.pot > 0 {
		return b.gives
	}
	st, s := w.Graph.Steps[b.step], p.Schedule
	list := make([]float64, len(st.Gives))
	for o := range st.Gives {
		list[o] = b.batches * p.Case.Flow.Gives(b.step, o)
		if b.run >= 0 && s.Batches[b.run].Yields != nil {
			list[o] *= s.Batches[b.run].Yields[o]
		}
	}
	return list
}

// brokenBy tells of a bound that a batch breaks.
func brokenBy(w *week.Week, b filled, gives []float64, p batch.Weights, on batch.Bound, s batch.Stage, share float64) BrokenShare {
	st := w.Graph.Steps[b.step]
	line := st.Takes[on.Line]
	most := 0 // the choice that fills most of the line
	for c, part := range b.fills[on.Line] {
		if part > b.fills[on.Line][most] {
			most = c
		}
	}
	it := w.Graph.Items[line.Choices[most].Item]
	perUnit, _ := it.Grams(it.Unit.Factor)
	a := BrokenShare{Step: st.Name, Begins: w.Stamp(b.at), Number: b.number, Batches: b.batches,
		Item: w.Graph.Items[line.Choices[0].Item].Name, From: s.From, To: s.To, Measure: measureOf(on), Share: share, Bound: on.Words(),
		Limit: on.Limit, Beyond: on.Beyond(share), Keeps: p.Keeps(on) / perUnit, In: p.Ins[on.Line].Grams / perUnit,
		Unit: it.Unit.Name, Because: unlike(w, b, p, on, s), when: whenOf(w, b), key: keyOf(b, on)}
	if on.Drawn && on.Most {
		a.OutBy = new(s.From + int(float64(s.To-s.From)*on.Limit/share))
	}
	if b.pot == 0 {
		a.Scale = keepingScale(w, b, gives, on)
	} else if a.in = !b.later[on.Line]; a.OutBy != nil && b.at+*a.OutBy <= w.Now {
		a.OutBy = nil
	}
	return a
}

// whenOf names work by when it begins: the day's batch of a step, or the moment of other work.
func whenOf(w *week.Week, b filled) string {
	if b.pot > 0 {
		return w.OfDay(w.Case.Schedule.Pots[b.pot-1].Day, w.Graph.Steps[b.step].Name)
	}
	if b.run < 0 {
		return w.Graph.Steps[b.step].Name + " at " + w.Moment(b.at)
	}
	return w.OfDay(b.at/1440, w.Graph.Steps[b.step].Name)
}

func keyOf(b filled, on batch.Bound) shareKey {
	k := shareKey{Bound: on, step: b.step, run: b.run, number: b.number, pot: b.pot}
	if b.run < 0 {
		k.at = b.at
	}
	return k
}

// measureOf names what a bound is of.
func measureOf(on batch.Bound) string {
	if on.Drawn {
		return "drawn"
	}
	return "share"
}

// little is the part of a line that no scale shows.
const little = 1e-6

// unlike says how a batch differs from its recipe, as far as it tells at a stage.
func unlike(w *week.Week, b filled, p batch.Weights, on batch.Bound, s batch.Stage) []string {
	list := []string{}
	st := w.Graph.Steps[b.step]
	for l, line := range st.Takes {
		first := w.Graph.Items[line.Choices[0].Item].Name
		if p.Ins[l].In > s.From || on.Drawn && l != on.Line { // what is drawn goes by its own line and the litres only
			continue
		}
		there := sum(b.fills[l]) / b.batches
		for c, choice := range line.Choices[1:] {
			if b.fills[l][c+1] > little*b.batches {
				list = append(list, fmt.Sprintf("%s replaces %s", w.Graph.Items[choice.Item].Name, first))
			}
		}
		switch {
		case there < little:
			list = append(list, first+" is missing")
		case there > 1+little:
			list = append(list, fmt.Sprintf("%s of the card's %s is in", kitchen.FormatPercent(math.Round(1000*there)/1000), first))
		case there < 1-little:
			list = append(list, fmt.Sprintf("only %s of the %s is there", kitchen.FormatPercent(math.Round(1000*there)/1000), first))
		}
	}
	for o, out := range st.Gives {
		grams, _ := w.Graph.Items[out.Item].Grams(out.Amount * b.batches)
		if out.OutAt > s.From || math.Abs(p.Outs[o].Grams-grams) <= little*grams {
			continue
		}
		more := "more"
		if p.Outs[o].Grams < grams {
			more = "less"
		}
		list = append(list, fmt.Sprintf("it gives %s %s than the recipe", more, w.Graph.Items[out.Item].Name))
	}
	return list
}

// keepingScale is the part of a whole batch at which a bound holds when every line is cut down to the one that is
// shortest; nil when none is short, nothing would be left, or the bound breaks all the same.
func keepingScale(w *week.Week, b filled, gives []float64, on batch.Bound) *float64 {
	shortest := 1.0
	for _, line := range b.fills {
		shortest = min(shortest, sum(line)/b.batches)
	}
	if shortest > 1-little || shortest < little {
		return nil
	}
	fills := make([][]float64, len(b.fills))
	for l, line := range b.fills {
		left := shortest * b.batches
		for _, part := range line {
			fills[l] = append(fills[l], min(left, part))
			left -= fills[l][len(fills[l])-1]
		}
	}
	less := slices.Clone(gives)
	for o := range less {
		less[o] *= shortest
	}
	cut := batch.Of(w.Graph.Items, w.Graph.Steps[b.step], shortest*b.batches, fills, less)
	if _, _, broken := cut.Furthest(on); broken {
		return nil
	}
	return new(shortest * b.batches)
}

// smallerFor tells of a line of which the recipe's whole amount would be too much in a batch that is made smaller.
func smallerFor(w *week.Week, b filled, gives []float64, p batch.Weights, on batch.Bound) (a SmallerBatch, ok bool) {
	if b.lacks < 0 || b.batches >= 1-kitchen.Slack || !on.Most || p.Ins[on.Line].Grams == 0 {
		return a, false
	}
	st := w.Graph.Steps[b.step]
	choice := st.Takes[on.Line].Choices[0]
	if choice.Item == b.lacks {
		return a, false
	}
	all := slices.Clone(b.fills)
	all[on.Line] = slices.Clone(all[on.Line])
	for c := range all[on.Line] {
		all[on.Line][c] /= b.batches
	}
	whole := batch.Of(w.Graph.Items, st, b.batches, all, gives)
	_, share, broken := whole.Furthest(on)
	if !broken {
		return a, false
	}
	it := w.Graph.Items[choice.Item]
	perUnit, _ := it.Grams(it.Unit.Factor)
	return SmallerBatch{Step: st.Name, Begins: w.Stamp(b.at), Scale: b.batches, Lacks: w.Graph.Items[b.lacks].Name, Item: it.Name,
		Keeps: p.Ins[on.Line].Grams / perUnit, Whole: whole.Ins[on.Line].Grams / perUnit, Unit: it.Unit.Name, Measure: measureOf(on),
		Share: share, Limit: on.Limit, when: whenOf(w, b), key: keyOf(b, on)}, true
}

// Against is what a check says of a change, with what is broken before it beside: what was broken further, or as far,
// says so. Batches that are as small without the change are left out. It is nil when nothing is left to say.
func (a *ShareCheck) Against(before *ShareCheck) *ShareCheck {
	if a == nil || before == nil {
		return a
	}
	was := map[shareKey]float64{}
	for _, b := range before.Broken {
		was[b.key] = b.Share
	}
	small := map[shareKey]float64{}
	for _, b := range before.Smaller {
		small[b.key] = b.Scale
	}
	told := &ShareCheck{Broken: slices.Clone(a.Broken), Smaller: []SmallerBatch{}}
	for n := range told.Broken {
		if share, ok := was[told.Broken[n].key]; ok {
			told.Broken[n].Before = new(share)
		}
	}
	for _, b := range a.Smaller {
		if scale, ok := small[b.key]; !ok || math.Abs(scale-b.Scale) > little {
			told.Smaller = append(told.Smaller, b)
		}
	}
	if len(told.Broken)+len(told.Smaller) == 0 {
		return nil
	}
	return told
}

// Newly is what a check finds broken that is not, or not as far, before a change: what an offer or a move must say.
// Smaller batches keep their shares and are left out.
func (a *ShareCheck) Newly(before *ShareCheck) *ShareCheck {
	told := a.Against(before)
	if told == nil {
		return nil
	}
	fresh := &ShareCheck{Broken: []BrokenShare{}, Smaller: []SmallerBatch{}}
	for _, b := range told.Broken {
		if b.Before == nil || b.Beyond > b.key.Beyond(*b.Before)+little {
			fresh.Broken = append(fresh.Broken, b)
		}
	}
	if len(fresh.Broken) == 0 {
		return nil
	}
	return fresh
}

// Sentences put a check into words, what is alike but for its day told once. A nil check says nothing.
func (a *ShareCheck) Sentences() (list []string) {
	if a == nil {
		return nil
	}
	type told struct {
		text, when string
		more       int
	}
	var all []told
	add := func(text, when string) {
		if k := slices.IndexFunc(all, func(t told) bool { return t.text == text }); k >= 0 {
			all[k].more++
			return
		}
		all = append(all, told{text, when, 0})
	}
	for _, b := range a.Broken {
		add(b.words(), b.when)
	}
	for _, b := range a.Smaller {
		add(b.words(), b.when)
	}
	for _, t := range all {
		if t.more > 0 {
			t.when += fmt.Sprintf(" (and %d more)", t.more)
		}
		list = append(list, strings.Replace(t.text, whenMark, t.when, 1))
	}
	return list
}

// whenMark stands for the day in a sentence; no name holds it.
const whenMark = "\x00"

func (b BrokenShare) words() string {
	theBatch := whenMark
	if b.Number > 0 {
		theBatch = fmt.Sprintf("batch %d of %s", b.Number, theBatch)
	}
	on := b.key.Bound
	text := fmt.Sprintf("%s %s%s, and should be %s %s", b.Item, kitchen.Comes(on, theBatch, b.Share),
		batch.Stage{From: b.From, To: b.To}.Text(), b.Bound, kitchen.FormatBounded(on, b.Limit))
	far := measure.FormatNumber(100*b.Beyond) + " points"
	if on.Drawn {
		far = kitchen.FormatDrawn(b.Beyond)
	}
	if on.Most {
		text += ": " + far + " too much"
	} else {
		text += ": " + far + " too little"
	}
	if len(b.Because) > 0 {
		text += ", because " + strings.Join(b.Because, " and ")
	}
	quantity := func(v float64) string { return measure.FormatNumber(v) + " " + b.Unit }
	switch {
	case b.Keeps <= little*b.In || b.in:
	case b.Bound == "at most":
		text += fmt.Sprintf("; put in %s at most, not %s", quantity(b.Keeps), quantity(b.In))
	default:
		text += fmt.Sprintf("; put in %s at least, not %s", quantity(b.Keeps), quantity(b.In))
	}
	if b.OutBy != nil && *b.OutBy > b.From {
		between := ", or "
		if b.in {
			between = "; "
		}
		text += between + "take it out at " + measure.FormatDuration(*b.OutBy)
	}
	if b.Scale != nil {
		text += fmt.Sprintf("; or make %s of a batch, with everything cut down alike", measure.FormatNumber(*b.Scale))
	}
	if b.Before != nil {
		text += fmt.Sprintf("; without the change it is %s", kitchen.FormatBounded(on, *b.Before))
	}
	return text
}

func (b SmallerBatch) words() string {
	return fmt.Sprintf("%s is only %s of a batch: not enough %s. Put in %s %s of %s, not %s %s: that %s, and should be at most %s",
		whenMark, measure.FormatNumber(b.Scale), b.Lacks, measure.FormatNumber(b.Keeps), b.Unit, b.Item,
		measure.FormatNumber(b.Whole), b.Unit, kitchen.Comes(b.key.Bound, "it", b.Share), kitchen.FormatBounded(b.key.Bound, b.Limit))
}
