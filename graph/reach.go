package graph

// What comes of a node, what it comes from, and what stands loose.

import (
	"slices"
)

// Downstream is every node that comes of node, in the order of their numbers, without node itself unless it feeds itself
// through a carried line.
func (g *Graph) Downstream(node int) []int { return reach(g.down, node) }

// Upstream is every node that node comes from, in the order of their numbers, without node itself unless it feeds itself
// through a carried line.
func (g *Graph) Upstream(node int) []int { return reach(g.up, node) }

// reach is every node that edges lead to from any of the nodes given.
func reach(next [][]int, from ...int) []int {
	var found []int
	seen := make([]bool, len(next))
	for todo := slices.Clone(from); len(todo) > 0; {
		n := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, m := range next[n] {
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
func (g *Graph) Groundless() []int {
	var bought []int
	for i, it := range g.Items {
		if it.Role == Bought {
			bought = append(bought, i)
		}
	}
	grounded := reach(g.down, bought...)
	var loose []int
	for i, it := range g.Items {
		if _, ok := slices.BinarySearch(grounded, i); it.Role == Sold && !ok {
			loose = append(loose, i)
		}
	}
	return loose
}
