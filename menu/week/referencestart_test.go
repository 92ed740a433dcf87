package week_test

// When steps work, and in which order.

import (
	"slices"

	"kettletree/graph"
)

// makersOf are the steps that give an item.
func (s *plain) makersOf(item int) (steps []int) {
	for p, st := range s.Graph.Steps {
		if slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == item }) {
			steps = append(steps, p)
		}
	}
	return steps
}

// takes are the items that a step takes of what there is today, substitutes too.
func takes(st graph.Step) (items []int) {
	for _, line := range st.Takes {
		for _, c := range line.Choices {
			if !line.Carried {
				items = append(items, c.Item)
			}
		}
	}
	return items
}

// order is the order in which steps work that work at one minute.
func (s *plain) order() []int {
	steps := s.Graph.Steps
	before := make([][]int, len(steps)) // by step: those that must have worked before it
	for p, st := range steps {
		for _, item := range takes(st) {
			before[p] = append(before[p], s.makersOf(item)...)
		}
	}
	var allBefore func(p int, seen []bool)
	allBefore = func(p int, seen []bool) {
		for _, q := range before[p] {
			if !seen[q] {
				seen[q] = true
				allBefore(q, seen)
			}
		}
	}
	// A step that takes all there is lets those on set days go first, unless they need what it gives.
	for p, st := range steps {
		if st.Mode != graph.AllOf {
			continue
		}
		for q, other := range steps {
			if other.Mode == graph.OnDays && slices.Contains(takes(other), st.Takes[0].Choices[0].Item) {
				seen := make([]bool, len(steps))
				if allBefore(q, seen); !seen[p] {
					before[p] = append(before[p], q)
				}
			}
		}
	}
	// The first is as early as can be, then the second, and so on; steps to order come after all others that let them.
	var declared []int
	for _, late := range []bool{false, true} {
		for p, st := range steps {
			if late == (st.Mode == graph.ToOrder) {
				declared = append(declared, p)
			}
		}
	}
	var order []int
	var place func(p int)
	place = func(p int) {
		seen := make([]bool, len(steps))
		allBefore(p, seen)
		for _, q := range declared {
			if seen[q] && !slices.Contains(order, q) {
				place(q)
			}
		}
		order = append(order, p)
	}
	for _, p := range declared {
		if !slices.Contains(order, p) {
			place(p)
		}
	}
	return order
}

// starts says of every run when it begins, and when it would if nothing were late.
func (s *plain) starts(order []int) (ran []plainRan) {
	ran = make([]plainRan, len(s.runs))
	for _, p := range order {
		for r, run := range s.runs {
			if run.step != p {
				continue
			}
			is := &ran[r]
			switch midnight := run.day * 1440; {
			case run.clock >= 0:
				is.start, is.due = midnight+run.clock, midnight+run.clock
			case run.day >= s.days:
				is.start, is.due = midnight, midnight
			default:
				is.start, is.due = s.thereAt(takes(s.Graph.Steps[p]), run.day, ran)
			}
			is.start = max(is.start+run.late, s.from)
		}
	}
	return ran
}

// thereAt is when all of some items has come that a step without a clock waits for on a day, and when it would have if
// nothing were late.
func (s *plain) thereAt(items []int, day int, ran []plainRan) (comes, due int) {
	midnight := day * 1440
	service := s.sittings[slices.IndexFunc(s.sittings, func(sit plainSitting) bool { return sit.day == day })].start
	comes, due = s.dayBegins(day), s.dayBegins(day)
	// What was due before the service is waited for; what was due on an earlier day, if it comes before the service.
	await := func(isDue, isOut int) {
		if isDue <= service && (isDue >= midnight || isOut <= service) {
			comes, due = max(comes, isOut), max(due, isDue)
		}
	}
	for _, item := range items {
		for _, pot := range s.pots {
			for _, part := range pot.gives {
				if part.item == item {
					await(part.minute, part.minute+pot.late)
				}
			}
		}
		for _, maker := range s.makersOf(item) {
			st := s.Graph.Steps[maker]
			switch st.Mode {
			case graph.AllOf: // it works at the service
				comes, due = max(comes, service), max(due, service)
			case graph.ToOrder: // it has what it takes when that is there
				c, d := s.thereAt(takes(st), day, ran)
				comes, due = max(comes, c), max(due, d)
			}
			for _, out := range st.Gives {
				for r, run := range s.runs {
					if out.Item == item && run.step == maker {
						await(ran[r].due+out.OutAt, ran[r].start+out.OutAt)
					}
				}
			}
		}
	}
	return comes, due
}
