package batch

// One batch by weight, stage by stage, and the bounds on a line's share of it: "at most 6%", "at least 2%".

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
// What is in the pot is all that went in, less what was taken out. What boils off is not taken away: the file does not
// tell steam from spent bones, and both leave a strong item's part of what is in much as it was.
type Weights struct {
	Ins, Outs []Part
}

// Part is what goes into a pot or comes out of it.
type Part struct {
	Grams   float64
	In, Out int // minutes after the start; a line with no "out at" has stays for out, an output 0 for in
}

// Stays is when what is not taken out is out.
const Stays = math.MaxInt

// Stage is a time between two changes of what is in the pot.
type Stage struct {
	From, To int // minutes after the start; the same for what is whole at one moment only
	Grams    float64
	In       []bool // by line
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

// Share is a line's part of a stage, 0 to 1.
func (p Weights) Share(s Stage, line int) float64 {
	own := p.Ins[line].Grams
	if own == 0 {
		return 0
	}
	return own / max(s.Grams, own) // yields above the recipe's can take out more than is in
}

// Bound is one bound of one line.
type Bound struct {
	Line  int
	Most  bool // at most; else at least
	Share float64
}

// BoundsOf are the bounds that a step's lines carry.
func BoundsOf(st graph.Step) (list []Bound) {
	for l, line := range st.Takes {
		if line.AtMost > 0 {
			list = append(list, Bound{l, true, line.AtMost})
		}
		if line.AtLeast > 0 {
			list = append(list, Bound{l, false, line.AtLeast})
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

// Beyond is how far a share is from a bound on its wrong side; 0 on the right one.
func (b Bound) Beyond(share float64) float64 {
	by := share - b.Share
	if !b.Most {
		by = -by
	}
	if by <= b.Share*rounding {
		return 0
	}
	return by
}

// Furthest is the stage at which a bound is furthest broken, and the share then; ok is false when it holds throughout.
func (p Weights) Furthest(b Bound) (s Stage, share float64, ok bool) {
	by := 0.0
	for _, at := range p.Stages() {
		if !at.In[b.Line] {
			continue
		}
		is := p.Share(at, b.Line)
		if x := b.Beyond(is); x > by*(1+rounding) {
			s, share, by = at, is, x
		}
	}
	return s, share, by > 0
}

// Keeps is the weight of a line at which its bound just holds at every stage, all else being as it is.
func (p Weights) Keeps(b Bound) (grams float64) {
	if b.Most {
		grams = math.Inf(1)
	}
	for _, s := range p.Stages() {
		if !s.In[b.Line] {
			continue
		}
		w := max(0, s.Grams-p.Ins[b.Line].Grams) * b.Share / (1 - b.Share) // w / (w + others) is the bound
		if b.Share == 1 {
			w = p.Ins[b.Line].Grams
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
	return Of(items, st, fills, gives)
}

// WithLess is a batch as a recipe has it, but that one line lacks a share of its amount.
func WithLess(items []graph.Item, st graph.Step, line int, share float64) Weights {
	p := OfRecipe(items, st, make([]int, len(st.Takes)))
	p.Ins[line].Grams *= 1 - share
	return p
}

// Of is a batch with its lines filled by choices, in batches of the recipe, that gives amounts by output. What has no
// known weight is left out; a recipe with bounds has none (no-bridge).
func Of(items []graph.Item, st graph.Step, fills [][]float64, gives []float64) (p Weights) {
	for l, line := range st.Takes {
		part := Part{In: line.InAt, Out: cmp.Or(line.OutAt, Stays)}
		for c, choice := range line.Choices {
			grams, _ := items[choice.Item].Grams(choice.Amount)
			part.Grams += fills[l][c] * grams
		}
		p.Ins = append(p.Ins, part)
	}
	for o, out := range st.Gives {
		grams, _ := items[out.Item].Grams(gives[o])
		p.Outs = append(p.Outs, Part{Grams: grams, Out: out.OutAt})
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
