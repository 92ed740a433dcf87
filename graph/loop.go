package graph

// Loops: items that would need themselves on the same day.

import (
	"maps"
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
//
// An item lies on a circle when its strongly connected component has another node, for no node leads to itself.
func (g *Graph) Loops() (loops [][]Arc) {
	down, _ := g.connect(false)
	parts, _ := dag.StronglyConnectedComponents(down) // fails only for a graph that is not directed
	open := map[int]bool{}                            // nodes on circles of which none is named yet
	for _, part := range parts {
		for _, n := range part {
			open[n-1] = len(part) > 1
		}
	}
	for i := range g.Items {
		if !open[i] {
			continue
		}
		circle := down.shortestCircle(i)
		for _, n := range circle {
			open[n] = false
		}
		loops = append(loops, g.arcs(circle))
	}
	return loops
}

// shortestCircle is the nodes of a shortest way from a node on a circle back to itself, the node first: breadth first, with
// ties to lower numbers. (Of several shortest paths, the library finds one or another from run to run.)
func (d directed) shortestCircle(node int) []int {
	from := map[int]int{}
	for queue := []int{node}; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		for _, m := range slices.Sorted(maps.Keys(d.next[n+1])) {
			m--
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
				queue = append(queue, m)
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
