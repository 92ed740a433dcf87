package graph

// Loops: items that would need themselves on the same day.

import (
	"slices"

	dag "github.com/dominikbraun/graph"
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
	down, up := g.connect(false)
	next, err := down.AdjacencyMap()
	if err != nil {
		return nil
	}
	before, err := up.AdjacencyMap()
	if err != nil {
		return nil
	}
	var loops [][]Arc
	named := map[int]bool{}
	loose := map[int]bool{}
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
func peel(next map[int]map[int]dag.Edge[int], loose map[int]bool) {
	ahead := map[int]int{} // ways on from a node
	behind := map[int][]int{}
	var ends []int
	for n, edges := range next {
		if loose[n] {
			continue
		}
		for m := range edges {
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
func shortestCircle(next map[int]map[int]dag.Edge[int], node int) []int {
	from := map[int]int{}
	for todo := []int{node}; len(todo) > 0; todo = todo[1:] {
		n := todo[0]
		var ahead []int
		for m := range next[n] {
			ahead = append(ahead, m)
		}
		slices.Sort(ahead)
		for _, m := range ahead {
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
		for l, line := range g.Steps[s].Uses {
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
