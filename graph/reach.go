package graph

// What comes of a node, what it comes from, and what stands loose.

import (
	"maps"
	"slices"

	dag "github.com/dominikbraun/graph"
)

// Downstream is every node that comes of node, in the order of their numbers, without node itself unless it feeds itself
// through a carried line.
func (g *Graph) Downstream(node int) []int {
	down, _ := g.edges()
	return down.reach(node)
}

// Upstream is every node that node comes from, in the order of their numbers, without node itself unless it feeds itself
// through a carried line.
func (g *Graph) Upstream(node int) []int {
	_, up := g.edges()
	return up.reach(node)
}

// reach is every node that edges lead to from a node. The library visits them in any order.
func (d directed) reach(node int) (found []int) {
	seen := map[int]bool{}
	_ = dag.DFS(d, node+1, func(n int) bool { // fails only for a node that is none
		for m := range d.next[n] {
			seen[m-1] = true
		}
		return false
	})
	return slices.Sorted(maps.Keys(seen))
}

// Unused lists the items that a step gives and nothing uses, portions aside.
func (g *Graph) Unused() []int {
	used := make([]bool, len(g.Items))
	for _, st := range g.Steps {
		for _, l := range st.Takes {
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
func (g *Graph) Groundless() (loose []int) {
	_, up := g.edges()
	for i, it := range g.Items {
		grounded := it.Role != Sold
		if !grounded {
			_ = dag.DFS(up, i+1, func(n int) bool {
				grounded = n <= len(g.Items) && g.Items[n-1].Role == Bought
				return grounded
			})
		}
		if !grounded {
			loose = append(loose, i)
		}
	}
	return loose
}
