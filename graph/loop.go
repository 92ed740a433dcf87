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
	live, _ := g.connect(false)
	parts, err := dag.StronglyConnectedComponents(live)
	if err != nil {
		return nil
	}
	next, err := live.AdjacencyMap()
	if err != nil {
		return nil
	}
	var items []int
	for _, part := range parts {
		if len(part) > 1 { // an item never touches itself, so a circle has at least two nodes
			items = append(items, part...)
		}
	}
	slices.Sort(items)
	var loops [][]Arc
	named := map[int]bool{}
	for _, i := range items {
		if i >= len(g.Items) || named[i] {
			continue
		}
		circle := shortestCircle(next, i)
		for _, n := range circle {
			named[n] = true
		}
		loops = append(loops, g.arcs(circle))
	}
	return loops
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
