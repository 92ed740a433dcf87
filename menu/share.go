package menu

// Bounds on shares of a batch, held against every batch that a walk makes.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// ShareCheck is what bounds on shares have to say of the batches that a walk makes.
type ShareCheck struct {
	Broken  []BrokenShare  `json:"broken"`
	Smaller []SmallerBatch `json:"smaller"`
}

// BrokenShare is a bound that a batch breaks, told at the stage at which it is furthest broken.
type BrokenShare struct {
	Step    string  `json:"step"`
	Begins  string  `json:"begins"`  // 2006-01-02 15:04
	Number  int     `json:"number"`  // of the batches that begin together, from 1; 0 where there is one
	Batches float64 `json:"batches"` // of the recipe: 1 for a whole batch
	Item    string  `json:"item"`    // of the line that carries the bound: its first choice
	From    int     `json:"from_minutes"`
	To      int     `json:"to_minutes"` // minutes after it begins; as From when it is at one moment
	Share   float64 `json:"share"`      // of what is in by weight then, 0 to 1
	Bound   string  `json:"bound"`      // "at most" or "at least"
	Limit   float64 `json:"limit"`      // the share that is written, 0 to 1
	Beyond  float64 `json:"beyond"`     // how far the one is from the other, on the wrong side
	// Keeps is how much of the line keeps the bound, all else being as it is, against the amount that goes in.
	Keeps float64 `json:"keeps"`
	In    float64 `json:"in"`
	Unit  string  `json:"unit"`
	// Scale is the part of a batch at which, all lines being cut down to what is short, the bound holds; null when
	// nothing is short, or that does not help.
	Scale   *float64 `json:"scale"`
	Because []string `json:"because"` // how the batch differs from the recipe
	Before  *float64 `json:"before"`  // the share without the change, where that breaks the bound too; null where not

	when string // in words
	key  shareKey
}

// SmallerBatch is a batch that is made smaller for want of something, with an item of which the whole recipe's amount
// would then be too much.
type SmallerBatch struct {
	Step   string  `json:"step"`
	Begins string  `json:"begins"` // 2006-01-02 15:04
	Scale  float64 `json:"scale"`  // of a batch
	Lacks  string  `json:"lacks"`  // what it wants for
	Item   string  `json:"item"`
	Keeps  float64 `json:"keeps"` // of the item, which keeps its share
	Whole  float64 `json:"whole"` // of the item, in a whole batch
	Unit   string  `json:"unit"`
	Share  float64 `json:"share"` // that the whole amount would come to, 0 to 1
	Limit  float64 `json:"limit"` // at most

	when string // in words
	key  shareKey
}

// shareKey tells a bound of a batch from all others of its week, and finds it again in the week with a change.
type shareKey struct {
	bound
	step, run, number, at int // at: of work without a run, else 0
}

// filled is a batch of a walk, or what a step makes of all there is, or to order, at one moment.
type filled struct {
	step, run, number, at int
	batches               float64
	fills                 [][]float64 // by line, then choice, in batches of the recipe
	lacks                 int         // the item that kept it small; -1 for none
}

// bounds tells whether any recipe bounds a share.
func (k *Kitchen) bounds() bool {
	return slices.ContainsFunc(k.Graph.Steps, func(st graph.Step) bool { return len(boundsOf(st)) > 0 })
}

// Shares plays a schedule and holds its batches against the bounds that their recipes carry; nil when there is nothing
// to say. Batches that a run makes one after another are looked at one by one, each line on its first choice until that is
// used up; what a plan directs otherwise, what a step makes of all there is, and what it makes to order at one moment are
// taken to go into one pot.
func (w *Week) Shares(f *flow.Flow, s *flow.Schedule) *ShareCheck {
	if !w.bounds() {
		return nil
	}
	a := &ShareCheck{Broken: []BrokenShare{}, Smaller: []SmallerBatch{}}
	for _, b := range w.filled(f, s) {
		st := w.Graph.Steps[b.step]
		gives := w.gives(f, s, b)
		p := potOf(w.Graph.Items, st, b.fills, gives)
		for _, on := range boundsOf(st) {
			if stage, share, broken := p.furthest(on); broken {
				a.Broken = append(a.Broken, w.broken(b, p, on, stage, share))
			} else if small, ok := w.smaller(b, p, on); ok {
				a.Smaller = append(a.Smaller, small)
			}
		}
	}
	if len(a.Broken)+len(a.Smaller) == 0 {
		return nil
	}
	return a
}

// filled are the works of a walk whose recipes carry bounds, by time, then step.
func (w *Week) filled(f *flow.Flow, s *flow.Schedule) []filled {
	rec := &flow.Record{Movements: true}
	o := f.Walk(s, w.Rule, rec)
	type key struct{ run, at, step int }
	took := map[key][][]float64{}
	var keys []key
	used := func(k key) [][]float64 {
		if took[k] == nil {
			keys = append(keys, k)
			for _, l := range w.Graph.Steps[k.step].Uses {
				took[k] = append(took[k], make([]float64, len(l.Choices)))
			}
		}
		return took[k]
	}
	for r, ran := range o.Ran { // a batch may take nothing at all of what it can do without
		if step := s.Runs[r].Step; s.Runs[r].Day < w.Days && ran.Batches > 0 && len(boundsOf(w.Graph.Steps[step])) > 0 {
			used(key{r, ran.Start, step})
		}
	}
	for _, e := range rec.Entries {
		if e.What == flow.Took && len(boundsOf(w.Graph.Steps[e.Step])) > 0 {
			used(key{e.Run, e.At, e.Step})[e.Line][e.Choice] += e.Amount / w.Graph.Steps[e.Step].Uses[e.Line].Choices[e.Choice].Amount
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
		if whole.batches < s.Runs[k.run].Batches*(1-slack) {
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
	for from := 0.0; from < f.batches*(1-slack); from++ {
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
func (w *Week) gives(f *flow.Flow, s *flow.Schedule, b filled) []float64 {
	st := w.Graph.Steps[b.step]
	list := make([]float64, len(st.Gives))
	for o := range st.Gives {
		list[o] = b.batches * f.Gives(b.step, o)
		if b.run >= 0 && s.Runs[b.run].Yields != nil {
			list[o] *= s.Runs[b.run].Yields[o]
		}
	}
	return list
}

// broken tells of a bound that a batch breaks.
func (w *Week) broken(b filled, p pot, on bound, s potStage, share float64) BrokenShare {
	st := w.Graph.Steps[b.step]
	line := st.Uses[on.line]
	most := 0 // the choice that fills most of the line
	for c, part := range b.fills[on.line] {
		if part > b.fills[on.line][most] {
			most = c
		}
	}
	it := w.Graph.Items[line.Choices[most].Item]
	perUnit, _ := it.Grams(it.Unit.Factor)
	a := BrokenShare{Step: st.Name, Begins: w.stamp(b.at), Number: b.number, Batches: b.batches,
		Item: w.Graph.Items[line.Choices[0].Item].Name, From: s.from, To: s.to, Share: share, Bound: on.words(),
		Limit: on.share, Beyond: on.beyond(share), Keeps: p.keeps(on) / perUnit, In: p.ins[on.line].grams / perUnit,
		Unit: it.Unit.Name, Because: w.unlike(b, p, s), when: w.whenOf(b), key: w.keyOf(b, on)}
	a.Scale = w.keepingScale(b, p, on)
	return a
}

// whenOf is when work begins, in words: the day of a batch, or the moment of other work.
func (w *Week) whenOf(b filled) string {
	if b.run < 0 {
		return w.Moment(b.at)
	}
	return w.DayName(b.at / 1440)
}

func (w *Week) keyOf(b filled, on bound) shareKey {
	k := shareKey{bound: on, step: b.step, run: b.run, number: b.number}
	if b.run < 0 {
		k.at = b.at
	}
	return k
}

// little is the part of a line that no scale shows.
const little = 1e-6

// unlike says how a batch differs from its recipe, as far as it tells at a stage.
func (w *Week) unlike(b filled, p pot, s potStage) []string {
	list := []string{}
	st := w.Graph.Steps[b.step]
	for l, line := range st.Uses {
		first := w.Graph.Items[line.Choices[0].Item].Name
		if p.ins[l].in > s.from {
			continue
		}
		there := sum(b.fills[l]) / b.batches
		for c, choice := range line.Choices[1:] {
			if b.fills[l][c+1] > little*b.batches {
				list = append(list, fmt.Sprintf("%s is in place of %s", w.Graph.Items[choice.Item].Name, first))
			}
		}
		switch {
		case there < little:
			list = append(list, first+" is missing")
		case there < 1-little:
			list = append(list, fmt.Sprintf("only %s of the %s is there", formatPercent(math.Round(1000*there)/1000), first))
		}
	}
	for o, out := range st.Gives {
		grams, _ := w.Graph.Items[out.Item].Grams(out.Amount * b.batches)
		if out.OutAt > s.from || math.Abs(p.outs[o].grams-grams) <= little*grams {
			continue
		}
		more := "more"
		if p.outs[o].grams < grams {
			more = "less"
		}
		list = append(list, fmt.Sprintf("it gives %s %s than written", more, w.Graph.Items[out.Item].Name))
	}
	return list
}

// keepingScale is the part of a whole batch at which a bound holds when every line is cut down to the one that is
// shortest; nil when none is short, nothing would be left, or the bound breaks all the same.
func (w *Week) keepingScale(b filled, p pot, on bound) *float64 {
	shortest := 1.0
	for _, line := range b.fills {
		shortest = min(shortest, sum(line)/b.batches)
	}
	if shortest > 1-little || shortest < little {
		return nil
	}
	cut := pot{ins: slices.Clone(p.ins), outs: slices.Clone(p.outs)}
	for l, line := range b.fills {
		grams, left := 0.0, shortest*b.batches
		for c, choice := range w.Graph.Steps[b.step].Uses[l].Choices {
			part := min(left, line[c])
			each, _ := w.Graph.Items[choice.Item].Grams(choice.Amount)
			grams, left = grams+part*each, left-part
		}
		cut.ins[l].grams = grams
	}
	for o := range cut.outs {
		cut.outs[o].grams *= shortest
	}
	if _, _, broken := cut.furthest(on); broken {
		return nil
	}
	return new(shortest * b.batches)
}

// smaller tells of a line of which the recipe's whole amount would be too much in a batch that is made smaller.
func (w *Week) smaller(b filled, p pot, on bound) (a SmallerBatch, ok bool) {
	if b.lacks < 0 || b.batches >= 1-slack || !on.most || p.ins[on.line].grams == 0 {
		return a, false
	}
	st := w.Graph.Steps[b.step]
	choice := st.Uses[on.line].Choices[0]
	if choice.Item == b.lacks {
		return a, false
	}
	whole := pot{ins: slices.Clone(p.ins), outs: p.outs}
	whole.ins[on.line].grams /= b.batches
	_, share, broken := whole.furthest(on)
	if !broken {
		return a, false
	}
	it := w.Graph.Items[choice.Item]
	perUnit, _ := it.Grams(it.Unit.Factor)
	return SmallerBatch{Step: st.Name, Begins: w.stamp(b.at), Scale: b.batches, Lacks: w.Graph.Items[b.lacks].Name, Item: it.Name,
		Keeps: p.ins[on.line].grams / perUnit, Whole: whole.ins[on.line].grams / perUnit, Unit: it.Unit.Name, Share: share,
		Limit: on.share, when: w.whenOf(b), key: w.keyOf(b, on)}, true
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
		if b.Before == nil || b.Beyond > (bound{most: b.key.most, share: b.key.share}).beyond(*b.Before)+little {
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
	batch := b.Step + " of " + whenMark
	if b.Number > 0 {
		batch = fmt.Sprintf("batch %d of %s", b.Number, batch)
	}
	text := fmt.Sprintf("%s is %s of %s by weight%s, and should be %s %s", b.Item, formatPercent(b.Share), batch,
		potStage{from: b.From, to: b.To}.text(), b.Bound, formatPercent(b.Limit))
	if far := measure.FormatNumber(100*b.Beyond) + " points too "; b.Bound == "at most" {
		text += ": " + far + "much"
	} else {
		text += ": " + far + "little"
	}
	if len(b.Because) > 0 {
		text += ", as " + strings.Join(b.Because, ", and ")
	}
	quantity := func(v float64) string { return measure.FormatNumber(v) + " " + b.Unit }
	switch {
	case b.Keeps <= little*b.In:
	case b.Bound == "at most":
		text += fmt.Sprintf("; put in %s at most, not %s", quantity(b.Keeps), quantity(b.In))
	default:
		text += fmt.Sprintf("; put in %s at least, not %s", quantity(b.Keeps), quantity(b.In))
	}
	if b.Scale != nil {
		text += fmt.Sprintf("; or make it at %s of a batch, with all else cut down alike", measure.FormatNumber(*b.Scale))
	}
	if b.Before != nil {
		text += fmt.Sprintf("; without the change it is %s", formatPercent(*b.Before))
	}
	return text
}

func (b SmallerBatch) words() string {
	return fmt.Sprintf("%s of %s is made at %s of a batch for want of %s: put in %s %s of %s, not %s %s, which would be %s "+
		"of it by weight and should be at most %s", b.Step, whenMark, measure.FormatNumber(b.Scale), b.Lacks,
		measure.FormatNumber(b.Keeps), b.Unit, b.Item, measure.FormatNumber(b.Whole), b.Unit, formatPercent(b.Share),
		formatPercent(b.Limit))
}
