package graph

// What comes of a node, what it comes from, and what stands loose.

import (
	"slices"

	dag "github.com/dominikbraun/graph"
)

// Downstream is every node that comes of node, in the order of their numbers, without node itself unless it feeds itself
// through a carried line.
func (g *Graph) Downstream(node int) []int { return reach(g.down, node) }

// Upstream is every node that node comes from, in the order of their numbers, without node itself unless it feeds itself
// through a carried line.
func (g *Graph) Upstream(node int) []int { return reach(g.up, node) }

func reach(d dag.Graph[int, int], node int) []int {
	next, err := d.AdjacencyMap()
	if err != nil || next[node] == nil {
		return nil
	}
	var found []int
	seen := map[int]bool{}
	for todo := []int{node}; len(todo) > 0; {
		n := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for m := range next[n] {
			if !seen[m] {
				seen[m] = true
				found = append(found, m)
				todo = append(todo, m)
			}
		}
	}
	slices.Sort(found)
	return found
}

// Unused lists the items that a step gives and nothing uses, portions aside.
func (g *Graph) Unused() []int {
	used := make([]bool, len(g.Items))
	for _, st := range g.Steps {
		for _, l := range st.Uses {
			for _, c := range l.Choices {
				used[c.Item] = true
			}
		}
	}
	var loose []int
	for i, it := range g.Items {
		if it.Role == Made && !used[i] {
			loose = append(loose, i)
		}
	}
	return loose
}

// Groundless lists the portions that nothing bought leads to.
func (g *Graph) Groundless() []int {
	var loose []int
	for i, it := range g.Items {
		bought := func(n int) bool { return n < len(g.Items) && g.Items[n].Role == Bought }
		if it.Role == Sold && !slices.ContainsFunc(g.Upstream(i), bought) {
			loose = append(loose, i)
		}
	}
	return loose
}
