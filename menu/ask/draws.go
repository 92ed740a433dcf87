package ask

// The draws of chance, for other questions that play a week as it may come out.

import (
	"math"
	"math/rand/v2"

	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// Draws are weeks as they may come out, with yields and guests drawn as [Chance] draws them: the same seed draws the same. They must not be
// shared between goroutines.
type Draws struct {
	l       *lottery
	varying *flow.Varying
	source  rand.PCG
	factors []float64
}

// DrawsOf makes ready to draw cases with the batches and the dishes of this one, of a week.
func DrawsOf(w *week.Week, c flow.Case, seed uint64) *Draws {
	l := &lottery{w: w, c: c, seed: seed}
	l.yields()
	l.guests()
	return &Draws{l: l, varying: c.Varying(), factors: make([]float64, len(l.strays))}
}

// Varies is how many things are drawn.
func (d *Draws) Varies() int { return len(d.l.strays) }

// Case is the case as a draw has it. It is valid until the next.
func (d *Draws) Case(draw int) flow.Case {
	d.l.draw(draw, &d.source, d.factors)
	d.l.set(d.varying, d.factors)
	return d.varying.Case
}

// set lets everything stray as it was drawn.
func (l *lottery) set(v *flow.Varying, factors []float64) {
	for n := range l.strays {
		switch s, f := &l.strays[n], factors[n]; {
		case s.pot >= 0:
			v.Pot(s.pot, s.line, f)
		case s.run >= 0:
			v.Run(s.run, s.output, f)
		case s.step >= 0:
			v.Step(s.step, s.output, f)
		default:
			v.Ask(s.want, s.slot, min(math.Round(s.mean*f), s.most))
		}
	}
}
