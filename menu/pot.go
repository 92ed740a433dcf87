package menu

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

// pot is one batch by weight, as it is written or as a walk made it: what goes in by line, what comes out by output.
//
// What is in the pot is all that went in, less what was taken out. What boils off is not taken away: the file does not
// tell steam from spent bones, and both leave a strong item's part of what is in much as it was.
type pot struct {
	ins, outs []potPart
}

// potPart is what goes into a pot or comes out of it.
type potPart struct {
	grams   float64
	in, out int // minutes after the start; a line with no "out at" has stays for out, an output 0 for in
}

// stays is when what is not taken out is out.
const stays = math.MaxInt

// potStage is a time between two changes of what is in the pot.
type potStage struct {
	from, to int // minutes after the start; the same for what is whole at one moment only
	grams    float64
	in       []bool // by line
}

// stages are the times between what goes in and what comes out, in order. What goes in at the last minute, or in a step
// without times, is in together with all that comes out then.
func (p pot) stages() (list []potStage) {
	row := []int{0}
	for _, l := range p.ins {
		if row = append(row, l.in); l.out != stays {
			row = append(row, l.out)
		}
	}
	for _, o := range p.outs {
		row = append(row, o.out)
	}
	slices.Sort(row)
	row = slices.Compact(row)
	last := row[len(row)-1]
	stage := func(from, to, outBefore int) {
		s := potStage{from: from, to: to, in: make([]bool, len(p.ins))}
		for n, l := range p.ins {
			if s.in[n] = l.in <= from && l.out >= outBefore; s.in[n] {
				s.grams += l.grams
			}
		}
		for _, o := range p.outs {
			if o.out < outBefore {
				s.grams -= o.grams
			}
		}
		list = append(list, s)
	}
	for k, from := range row[:len(row)-1] {
		stage(from, row[k+1], from+1)
	}
	if len(row) == 1 || slices.ContainsFunc(p.ins, func(l potPart) bool { return l.in == last }) {
		stage(last, last, last)
	}
	return list
}

// share is a line's part of a stage, 0 to 1.
func (p pot) share(s potStage, line int) float64 {
	own := p.ins[line].grams
	if own == 0 {
		return 0
	}
	return own / max(s.grams, own) // yields above the recipe's can take out more than is in
}

// bound is one bound of one line.
type bound struct {
	line  int
	most  bool // at most; else at least
	share float64
}

// boundsOf are the bounds that a step's lines carry.
func boundsOf(st graph.Step) (list []bound) {
	for l, line := range st.Uses {
		if line.AtMost > 0 {
			list = append(list, bound{l, true, line.AtMost})
		}
		if line.AtLeast > 0 {
			list = append(list, bound{l, false, line.AtLeast})
		}
	}
	return list
}

// words are "at most" or "at least".
func (b bound) words() string {
	if b.most {
		return "at most"
	}
	return "at least"
}

// beyond is how far a share is from a bound on its wrong side; 0 on the right one.
func (b bound) beyond(share float64) float64 {
	by := share - b.share
	if !b.most {
		by = -by
	}
	if by <= b.share*rounding {
		return 0
	}
	return by
}

// furthest is the stage at which a bound is furthest broken, and the share then; ok is false when it holds throughout.
func (p pot) furthest(b bound) (s potStage, share float64, ok bool) {
	by := 0.0
	for _, at := range p.stages() {
		if !at.in[b.line] {
			continue
		}
		is := p.share(at, b.line)
		if x := b.beyond(is); x > by*(1+rounding) {
			s, share, by = at, is, x
		}
	}
	return s, share, by > 0
}

// keeps is the weight of a line at which its bound just holds at every stage, all else being as it is.
func (p pot) keeps(b bound) (grams float64) {
	if b.most {
		grams = math.Inf(1)
	}
	for _, s := range p.stages() {
		if !s.in[b.line] {
			continue
		}
		w := max(0, s.grams-p.ins[b.line].grams) * b.share / (1 - b.share) // w / (w + others) is the bound
		if b.share == 1 {
			w = p.ins[b.line].grams
		}
		if b.most {
			grams = min(grams, w)
		} else {
			grams = max(grams, w)
		}
	}
	return grams
}

// recipePot is a batch as a recipe has it, its lines filled by some of their choices; -1 leaves a line out.
func recipePot(items []graph.Item, st graph.Step, choices []int) pot {
	fills := make([][]float64, len(st.Uses))
	gives := make([]float64, len(st.Gives))
	for l, line := range st.Uses {
		fills[l] = make([]float64, len(line.Choices))
		if choices[l] >= 0 {
			fills[l][choices[l]] = 1
		}
	}
	for o, out := range st.Gives {
		gives[o] = out.Amount
	}
	return potOf(items, st, fills, gives)
}

// potOf is a batch with its lines filled by choices, in batches of the recipe, that gives amounts by output. What has no
// known weight is left out; a recipe with bounds has none (no-bridge).
func potOf(items []graph.Item, st graph.Step, fills [][]float64, gives []float64) (p pot) {
	for l, line := range st.Uses {
		part := potPart{in: line.InAt, out: cmp.Or(line.OutAt, stays)}
		for c, choice := range line.Choices {
			grams, _ := items[choice.Item].Grams(choice.Amount)
			part.grams += fills[l][c] * grams
		}
		p.ins = append(p.ins, part)
	}
	for o, out := range st.Gives {
		grams, _ := items[out.Item].Grams(gives[o])
		p.outs = append(p.outs, potPart{grams: grams, out: out.OutAt})
	}
	return p
}

// text is when a stage is: " from 1 h to 4 h 30 min", " at 4 h"; nothing for a step without times.
func (s potStage) text() string {
	switch {
	case s.to > s.from:
		return fmt.Sprintf(" from %s to %s", measure.FormatDuration(s.from), measure.FormatDuration(s.to))
	case s.from > 0:
		return " at " + measure.FormatDuration(s.from)
	}
	return ""
}
