package graph

// Loops: items that would need themselves on the same day.

import (
	"slices"
)

// Arc is one turn of a loop: Step takes, on a line's choice, what the arc before it gives, and gives what the arc after it
// takes. The first arc follows the last.
type Arc struct {
	Step, Line, Choice int
	Output             int
}

// Loops names circles that are not carried over time, so many that every item that lies on a circle lies on one of
// them. Each is the shortest through its lowest-numbered item, and begins with the step that takes that item.
func (g *Graph) Loops() [][]Arc {
	next, before := g.connect(false)
	var loops [][]Arc
	named, loose := make([]bool, len(next)), make([]bool, len(next))
	peel(next, loose)
	peel(before, loose)
	for i := range g.Items {
		if loose[i] || named[i] {
			continue
		}
		circle := shortestCircle(next, i)
		if circle == nil {
			continue // between two circles, on none
		}
		for _, n := range circle {
			named[n] = true
		}
		loops = append(loops, g.arcs(circle))
	}
	return loops
}

// peel adds to the loose nodes, which lie on no circle, those from which every way ends. (The library's own search for strongly
// connected components is no help: it never takes a node numbered 0 off its stack.)
func peel(next [][]int, loose []bool) {
	ahead, behind := make([]int, len(next)), make([][]int, len(next)) // by node: ways on, and nodes with a way to it
	var ends []int
	for n, near := range next {
		if loose[n] {
			continue
		}
		for _, m := range near {
			if !loose[m] {
				ahead[n]++
				behind[m] = append(behind[m], n)
			}
		}
		if ahead[n] == 0 {
			ends = append(ends, n)
		}
	}
	for len(ends) > 0 {
		n := ends[len(ends)-1]
		ends = ends[:len(ends)-1]
		loose[n] = true
		for _, m := range behind[n] {
			if ahead[m]--; ahead[m] == 0 {
				ends = append(ends, m)
			}
		}
	}
}

// shortestCircle is the nodes of a shortest way from node back to itself, node first; ties go to lower numbers.
func shortestCircle(next [][]int, node int) []int {
	from := map[int]int{}
	for todo := []int{node}; len(todo) > 0; todo = todo[1:] {
		n := todo[0]
		for _, m := range next[n] {
			if m == node {
				circle := []int{n}
				for n != node {
					n = from[n]
					circle = append(circle, n)
				}
				slices.Reverse(circle)
				return circle
			}
			if _, seen := from[m]; !seen {
				from[m] = n
				todo = append(todo, m)
			}
		}
	}
	return nil
}

// arcs names the lines and outputs along a circle of nodes item, step, item, step.
func (g *Graph) arcs(circle []int) []Arc {
	var arcs []Arc
	for k := 0; k+1 < len(circle); k += 2 {
		takes, s, gives := circle[k], circle[k+1]-len(g.Items), circle[(k+2)%len(circle)]
		a := Arc{Step: s}
		for l, line := range g.Steps[s].Takes {
			if c := slices.IndexFunc(line.Choices, func(c Choice) bool { return c.Item == takes }); c >= 0 && !line.Carried {
				a.Line, a.Choice = l, c
				break
			}
		}
		a.Output = slices.IndexFunc(g.Steps[s].Gives, func(o Output) bool { return o.Item == gives })
		arcs = append(arcs, a)
	}
	return arcs
}
