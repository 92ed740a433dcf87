package week

// Work for which there are never hands enough: what it gives is counted in a walk all the same.

import (
	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// NeverThereSaid says that so many people as some work needs are never there for as long as it takes: what is done, how many and how long.
const NeverThereSaid = "%[1]s takes %[2]s pairs of hands at once for %[3]s, but so many people are never there together that long: what it gives is counted on, and nobody can make it"

// hands is an act that needs more people at once than are ever there for so long.
type hands struct {
	step    int
	act     kitchen.Act
	minutes int
}

// neverThere are the acts of what is cooked for which so many people are never there, by step: the longest of each.
func (w *Week) neverThere(s *flow.Schedule, o *flow.Outcome) (list []hands) {
	if len(w.Shifts) == 0 {
		return nil
	}
	type lit struct{ step, at int }
	together := map[lit]float64{}
	for r, ran := range o.Ran {
		if b := s.Batches[r]; b.Day < w.Days && b.Lost < 1 && ran.Batches > 0 {
			together[lit{b.Step, ran.Start}] += ran.Batches
		}
	}
	most := make([]float64, len(w.Steps))
	for l, batches := range together {
		most[l.step] = max(most[l.step], batches)
	}
	for step, batches := range most {
		if w.Graph.Steps[step].Mode != graph.OnDays { // as needed: as far as one batch goes
			batches = min(1, o.Batches[step])
		}
		if batches == 0 {
			continue
		}
		for _, a := range w.Acts(step) {
			if minutes := a.Minutes(batches); a.People > 1 && minutes > 0 && !w.EverThere(a.People, minutes) {
				list = append(list, hands{step, a, minutes})
			}
		}
	}
	return list
}

// EverThere tells whether so many people are there together for so many minutes, at some time of a week.
func (w *Week) EverThere(people, minutes int) bool {
	const week = 7 * 1440
	run := 0
	for m := range min(2*week, week+minutes) { // a shift may pass the end of the week
		if w.People(m/1440%7, m%1440) < people {
			run = 0
		} else if run++; run >= min(minutes, week) {
			return true
		}
	}
	return false
}
