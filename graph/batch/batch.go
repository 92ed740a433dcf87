package batch

// One batch by weight, stage by stage, and the bounds of a line: "at most 6%", "at least 2%", "at most 120 g h/L".

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// rounding is the relative error that sums of converted weights may carry without breaking a bound.
const rounding = 1e-9

// Weights is one batch by weight, as it is written or as a walk made it: what goes in by line, what comes out by output.
//
// What is in the pot is all that went in, less what was taken out and what has gone off as steam.
type Weights struct {
	Ins, Outs []Part
	Litres    float64 // of what the batch is for: the most of any output that is counted by volume; 0 where none is

	step    graph.Step
	batches float64
}

// Part is what goes into a pot or comes out of it.
type Part struct {
	Grams    float64
	Strength float64 // of a gram
	Alike    float64 // grams of the line's first choice that are as strong as a gram
	In, Out  int     // minutes after the start; a line with no "out at" has stays for out, an output 0 for in
}

// Stays is when what is not taken out is out.
const Stays = math.MaxInt

// Stage is a time between two changes of what is in the pot.
type Stage struct {
	From, To int     // minutes after the start; the same for what is whole at one moment only
	Grams    float64 // when it begins
	Late     float64 // grams when it ends: less by the steam
	In       []bool  // by line
}

// Stages are the times between what goes in and what comes out, in order. What goes in at the last minute, or in a step
// without times, is in together with all that comes out then.
func (p Weights) Stages() (list []Stage) {
	row := []int{0}
	for _, l := range p.Ins {
		if row = append(row, l.In); l.Out != Stays {
			row = append(row, l.Out)
		}
	}
	for _, o := range p.Outs {
		row = append(row, o.Out)
	}
	slices.Sort(row)
	row = slices.Compact(row)
	last := row[len(row)-1]
	stage := func(from, to, outBefore int) {
		s := Stage{From: from, To: to, In: make([]bool, len(p.Ins))}
		for n, l := range p.Ins {
			if s.In[n] = l.In <= from && l.Out >= outBefore; s.In[n] {
				s.Grams += l.Grams
			}
		}
		for _, o := range p.Outs {
			if o.Out < outBefore {
				s.Grams -= o.Grams
			}
		}
		s.Grams, s.Late = s.Grams-p.batches*p.step.Steam(from), s.Grams-p.batches*p.step.Steam(to) // a millilitre of water weighs a gram
		list = append(list, s)
	}
	for k, from := range row[:len(row)-1] {
		stage(from, row[k+1], from+1)
	}
	if len(row) == 1 || slices.ContainsFunc(p.Ins, func(l Part) bool { return l.In == last }) {
		stage(last, last, last)
	}
	return list
}

// Bound is one bound of one line.
type Bound struct {
	Line  int
	Most  bool    // at most; else at least
	Drawn bool    // of what is drawn from it, in g h/L; else of its share by weight, 0 to 1
	Limit float64 // in these
}

// BoundsOf are the bounds that a step's lines carry.
func BoundsOf(st graph.Step) (list []Bound) {
	for l, line := range st.Takes {
		for _, b := range []Bound{{l, true, false, line.AtMost}, {l, false, false, line.AtLeast}, {l, true, true, line.Strongest},
			{l, false, true, line.Weakest}} {
			if b.Limit > 0 {
				list = append(list, b)
			}
		}
	}
	return list
}

// Words are "at most" or "at least".
func (b Bound) Words() string {
	if b.Most {
		return "at most"
	}
	return "at least"
}

// Beyond is how far a value is from a bound on its wrong side; 0 on the right one.
func (b Bound) Beyond(value float64) float64 {
	by := value - b.Limit
	if !b.Most {
		by = -by
	}
	if by <= b.Limit*rounding {
		return 0
	}
	return by
}

// others is the weight of all but a line at the end of a stage that a bound looks at: the most and the least are both
// where they hurt.
func (p Weights) others(b Bound, s Stage) float64 {
	all := s.Grams
	if b.Most {
		all = s.Late
	}
	return max(0, all-p.Ins[b.Line].Grams) // yields above the recipe's can take out more than is in
}

// share is a line's part of what is in at a stage, 0 to 1, weighed as its first choice.
func (p Weights) share(b Bound, s Stage) float64 {
	own := p.Ins[b.Line]
	if own.Grams == 0 {
		return 0
	}
	return min(1, own.Grams*own.Alike/(own.Grams+p.others(b, s)))
}

// Drawn is what a line gives to each litre of a batch, in g h/L: its grams, times their strength, times the hours that it is
// in. It is NaN where a batch gives nothing that is counted by volume.
func (p Weights) Drawn(line int) float64 {
	if p.Litres == 0 {
		return math.NaN()
	}
	return p.Ins[line].Grams * p.Ins[line].Strength * p.hours(line) / p.Litres
}

func (p Weights) hours(line int) float64 {
	return float64(min(p.Ins[line].Out, p.step.Length())-p.Ins[line].In) / 60
}

// Furthest is the stage at which a bound is furthest broken, and the value then; ok is false when it holds throughout.
func (p Weights) Furthest(b Bound) (s Stage, value float64, ok bool) {
	if own := p.Ins[b.Line]; b.Drawn {
		value = p.Drawn(b.Line)
		return Stage{From: own.In, To: min(own.Out, p.step.Length())}, value, b.Beyond(value) > 0
	}
	by := 0.0
	for _, at := range p.Stages() {
		if !at.In[b.Line] {
			continue
		}
		is := p.share(b, at)
		if x := b.Beyond(is); x > by*(1+rounding) {
			s, value, by = at, is, x
		}
	}
	return s, value, by > 0
}

// Keeps is the weight of a line at which its bound just holds at every stage, all else being as it is, whatever it is filled
// with.
func (p Weights) Keeps(b Bound) (grams float64) {
	own := p.Ins[b.Line]
	if b.Drawn {
		return b.Limit * p.Litres / (p.hours(b.Line) * own.Strength)
	}
	if b.Most {
		grams = math.Inf(1)
	}
	for _, s := range p.Stages() {
		if !s.In[b.Line] {
			continue
		}
		w := own.Grams
		if own.Alike > b.Limit {
			w = p.others(b, s) * b.Limit / (own.Alike - b.Limit) // own.Alike * w / (w + others) is the bound
		}
		if b.Most {
			grams = min(grams, w)
		} else {
			grams = max(grams, w)
		}
	}
	return grams
}

// OfRecipe is a batch as a recipe has it, its lines filled by some of their choices; -1 leaves a line out.
func OfRecipe(items []graph.Item, st graph.Step, choices []int) Weights {
	fills := make([][]float64, len(st.Takes))
	gives := make([]float64, len(st.Gives))
	for l, line := range st.Takes {
		fills[l] = make([]float64, len(line.Choices))
		if choices[l] >= 0 {
			fills[l][choices[l]] = 1
		}
	}
	for o, out := range st.Gives {
		gives[o] = out.Amount
	}
	return Of(items, st, 1, fills, gives)
}

// WithLess is a batch as a recipe has it, but that one line lacks a share of its amount.
func WithLess(items []graph.Item, st graph.Step, line int, share float64) Weights {
	p := OfRecipe(items, st, make([]int, len(st.Takes)))
	p.Ins[line].Grams *= 1 - share
	return p
}

// Of is work of so many batches with its lines filled by choices, in batches of the recipe, that gives amounts by output. What
// has no known weight is left out; a recipe with bounds has none (no-bridge).
func Of(items []graph.Item, st graph.Step, batches float64, fills [][]float64, gives []float64) Weights {
	p := Weights{step: st, batches: batches}
	for l, line := range st.Takes {
		part, strong := Part{In: line.InAt, Out: cmp.Or(line.OutAt, Stays)}, 0.0
		for c, choice := range line.Choices {
			it := items[choice.Item]
			grams, _ := it.Grams(choice.Amount)
			part.Grams += fills[l][c] * grams
			strong += fills[l][c] * grams * it.Strong()
		}
		first := items[line.Choices[0].Item].Strong()
		if part.Strength = first; part.Grams > 0 {
			part.Strength = strong / part.Grams
		}
		part.Alike = part.Strength / first
		p.Ins = append(p.Ins, part)
	}
	for o, out := range st.Gives {
		it := items[out.Item]
		grams, _ := it.Grams(gives[o])
		p.Outs = append(p.Outs, Part{Grams: grams, Out: out.OutAt})
		if it.Unit.Kind == measure.Volume {
			p.Litres = max(p.Litres, gives[o]/1000)
		}
	}
	return p
}

// Text is when a stage is: " from 1 h to 4 h 30 min", " at 4 h"; nothing for a step without times.
func (s Stage) Text() string {
	switch {
	case s.To > s.From:
		return fmt.Sprintf(" from %s to %s", measure.FormatDuration(s.From), measure.FormatDuration(s.To))
	case s.From > 0:
		return " at " + measure.FormatDuration(s.From)
	}
	return ""
}
