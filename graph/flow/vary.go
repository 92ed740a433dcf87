package flow

// Yields and guests that differ from walk to walk, for chance: the same case over and over, without a copy for each.

import (
	"slices"
)

// Varying is a copy of a case whose yields and forecasts are set again before each walk. What is set replaces what was
// set before; it comes on top of the shocks of the case. Setting takes no memory. It must not be shared between
// goroutines, and its own flow must be walked, not that of the case it is a copy of.
type Varying struct {
	Case
	given  []float64   // by output: what a batch gives, after shocks
	yields [][]float64 // by run, by output: factors after shocks
	pots   [][]float64 // by batch under way, by line of what it gives: factors after shocks
}

// Varying is a copy of the case that can be varied. The case itself is unchanged.
func (c Case) Varying() *Varying {
	v := &Varying{Case: c.With(), given: slices.Clone(c.Flow.gives)}
	s := v.Schedule
	for r := range s.Batches {
		run := &s.Batches[r]
		if run.Yields == nil {
			run.Yields = slices.Repeat([]float64{1}, len(c.Flow.net.g.Steps[run.Step].Gives))
		}
		v.yields = append(v.yields, run.Yields)
		run.Yields = slices.Clone(run.Yields)
	}
	for k := range s.Pots {
		p := &s.Pots[k]
		if p.Yields == nil {
			p.Yields = slices.Repeat([]float64{1}, len(p.Gives))
		}
		v.pots = append(v.pots, p.Yields)
		p.Yields = slices.Clone(p.Yields)
	}
	for k := range s.Wants {
		s.Wants[k].Forecast = slices.Clone(s.Wants[k].Forecast)
	}
	return v
}

// Run multiplies what one run gives of an output; the factor must be above 0.
func (v *Varying) Run(run, output int, factor float64) {
	v.Schedule.Batches[run].Yields[output] = v.yields[run][output] * factor
}

// Pot multiplies what a line of a batch under way gives; the factor must be above 0.
func (v *Varying) Pot(pot, line int, factor float64) {
	v.Schedule.Pots[pot].Yields[line] = v.pots[pot][line] * factor
}

// Step multiplies what every batch of a step gives of an output, throughout; the factor must be above 0.
func (v *Varying) Step(step, output int, factor float64) {
	n := v.Flow.net
	e := n.outputs[n.place[step]] + int32(output)
	v.Flow.gives[e] = v.given[e] * factor
}

// Ask sets the forecast of a want in a slot.
func (v *Varying) Ask(want, slot int, portions float64) {
	v.Schedule.Wants[want].Forecast[slot] = portions
}
