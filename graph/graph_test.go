package graph

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	gonum "gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
	"gonum.org/v1/gonum/graph/traverse"
	"pgregory.net/rapid"
)

// cow is a flow of 18 items and 21 edges. What follows from it in these tests was found with python3-networkx 2.8.8.
const cow = `cow>brisket cow>shank cow>bones brisket>pot shank>pot bones>pot mirepoix>pot water>pot pot>stock pot>pulled_beef
pot>fat stock>demi stock>soup wine>demi pulled_beef>taco fat>confit demi>short_rib fat>roux flour>roux roux>soup
pulled_beef>soup`

// plain is a directed graph of items: names, and edges between them.
type plain struct {
	names []string
	edges [][2]int
}

func readPlain(text string) (p plain) {
	node := func(name string) int {
		if i := slices.Index(p.names, name); i >= 0 {
			return i
		}
		p.names = append(p.names, name)
		return len(p.names) - 1
	}
	for edge := range strings.FieldsSeq(text) {
		from, to, _ := strings.Cut(edge, ">")
		p.edges = append(p.edges, [2]int{node(from), node(to)})
	}
	return p
}

// byEdge makes every edge a step of its own; byItem gives every item one step that takes all its forerunners. Both keep
// which item comes of which.
func (p plain) byEdge(t require.TestingT) *Graph { return p.graph(t, false) }

func (p plain) byItem(t require.TestingT) *Graph { return p.graph(t, true) }

func (p plain) graph(t require.TestingT, byItem bool) *Graph {
	items, stepOf := make([]Item, len(p.names)), map[int]int{}
	for i, name := range p.names {
		items[i] = Item{Name: name}
	}
	var steps []Step
	for _, e := range p.edges {
		s, known := stepOf[e[1]]
		if !byItem || !known {
			s = len(steps)
			stepOf[e[1]] = s
			steps = append(steps, Step{Name: p.names[e[1]], Gives: []Output{{Item: e[1], Amount: 1}}})
			items[e[1]].Role = Made
		}
		steps[s].Takes = append(steps[s].Takes, Line{Choices: []Choice{{Item: e[0], Amount: 1}}})
	}
	g, err := New(items, steps)
	require.NoError(t, err)
	return g
}

func (g *Graph) itemNames(nodes []int) string {
	var names []string
	for _, n := range nodes {
		if n < len(g.Items) {
			names = append(names, g.Items[n].Name)
		}
	}
	slices.Sort(names)
	return strings.Join(names, " ")
}

func TestReach(t *testing.T) {
	p := readPlain(cow)
	require.Len(t, p.names, 18)
	require.Len(t, p.edges, 21)
	for _, g := range []*Graph{p.byEdge(t), p.byItem(t)} {
		at := func(name string) int { return slices.Index(p.names, name) }
		for name, want := range map[string]string{
			"pot": "confit demi fat pulled_beef roux short_rib soup stock taco",
			"fat": "confit roux soup",
		} {
			require.Equal(t, want, g.itemNames(g.Downstream(at(name))), name)
		}
		for name, want := range map[string]string{
			"soup":      "bones brisket cow fat flour mirepoix pot pulled_beef roux shank stock water",
			"short_rib": "bones brisket cow demi mirepoix pot shank stock water wine",
		} {
			require.Equal(t, want, g.itemNames(g.Upstream(at(name))), name)
		}
		closure := 0
		for i := range g.Items {
			closure += len(strings.Fields(g.itemNames(g.Downstream(i))))
		}
		require.Equal(t, 86, closure)
		require.Empty(t, g.Loops())
	}
}

// With soup led back into the pot, the items on a circle are those of the one strongly connected component.
func TestLoopIsNamedWhole(t *testing.T) {
	p := readPlain(cow + " soup>pot")
	for _, g := range []*Graph{p.byEdge(t), p.byItem(t)} {
		loops := g.Loops()
		var on []int
		for _, loop := range loops {
			on = append(on, itemsOf(t, g, loop)...)
		}
		slices.Sort(on)
		require.Equal(t, "fat pot pulled_beef roux soup stock", g.itemNames(slices.Compact(on)))
	}
}

// itemsOf checks that a loop is a real circle of lines that are not carried, and lists the items along it.
func itemsOf(t require.TestingT, g *Graph, loop []Arc) (items []int) {
	require.NotEmpty(t, loop)
	gave := func(a Arc) int { return g.Steps[a.Step].Gives[a.Output].Item }
	last := gave(loop[len(loop)-1])
	for _, a := range loop {
		line := g.Steps[a.Step].Takes[a.Line]
		require.False(t, line.Carried)
		require.Equal(t, last, line.Choices[a.Choice].Item)
		items = append(items, last)
		last = gave(a)
	}
	require.Equal(t, len(items), len(slices.Compact(slices.Sorted(slices.Values(items)))), "an item comes twice")
	return items
}

// anyGraph draws a graph with substitutes, several outputs, carried lines, and circles.
func anyGraph(t *rapid.T) *Graph {
	items := make([]Item, rapid.IntRange(1, 12).Draw(t, "items"))
	item := rapid.IntRange(0, len(items)-1)
	steps := make([]Step, rapid.IntRange(0, 14).Draw(t, "steps"))
	for s := range steps {
		for range rapid.IntRange(0, 3).Draw(t, "lines") {
			l := Line{Carried: rapid.IntRange(0, 3).Draw(t, "carried") == 0}
			for range rapid.IntRange(1, 2).Draw(t, "choices") {
				l.Choices = append(l.Choices, Choice{Item: item.Draw(t, "takes"), Amount: 1})
			}
			steps[s].Takes = append(steps[s].Takes, l)
		}
		for range rapid.IntRange(1, 2).Draw(t, "outputs") {
			steps[s].Gives = append(steps[s].Gives, Output{Item: item.Draw(t, "gives"), Amount: 1})
		}
	}
	g, err := New(items, steps)
	require.NoError(t, err)
	return g
}

// reference is the graph in gonum, the library held against.
func (g *Graph) reference(carried bool) *simple.DirectedGraph {
	d := simple.NewDirectedGraph()
	for n := range len(g.Items) + len(g.Steps) {
		d.AddNode(simple.Node(n))
	}
	for s, st := range g.Steps {
		for _, l := range st.Takes {
			for _, c := range l.Choices {
				if carried || !l.Carried {
					d.SetEdge(d.NewEdge(simple.Node(c.Item), simple.Node(g.Node(s))))
				}
			}
		}
		for _, o := range st.Gives {
			d.SetEdge(d.NewEdge(simple.Node(g.Node(s)), simple.Node(o.Item)))
		}
	}
	return d
}

// reached is all that gonum reaches over at least one edge.
func reached(d gonum.Directed, next func(int64) gonum.Nodes, from int) (nodes []int) {
	seen := map[int64]bool{}
	for it := next(int64(from)); it.Next(); {
		if seen[it.Node().ID()] {
			continue
		}
		var w traverse.BreadthFirst
		w.Walk(turned{d, next}, it.Node(), func(n gonum.Node, _ int) bool {
			seen[n.ID()] = true
			return false
		})
	}
	for n := range seen {
		nodes = append(nodes, int(n))
	}
	slices.Sort(nodes)
	return nodes
}

// turned is a graph with its edges followed in one direction or the other.
type turned struct {
	gonum.Directed
	next func(int64) gonum.Nodes
}

func (t turned) From(id int64) gonum.Nodes { return t.next(id) }

func (t turned) Edge(u, v int64) gonum.Edge { return simple.Edge{F: simple.Node(u), T: simple.Node(v)} }

func (t turned) HasEdgeFromTo(u, v int64) bool { return t.Directed.HasEdgeBetween(u, v) }

func TestReachAgreesWithGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGraph(t)
		d := g.reference(true)
		for n := range len(g.Items) + len(g.Steps) {
			require.Equal(t, reached(d, d.From, n), g.Downstream(n))
			require.Equal(t, reached(d, d.To, n), g.Upstream(n))
		}
	})
}

func TestLoopsAgreeWithGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGraph(t)
		d := g.reference(false)
		_, err := topo.Sort(d)
		loops := g.Loops()
		require.Equal(t, err == nil, len(loops) == 0)
		var named, onCircle []int
		for _, loop := range loops {
			named = append(named, itemsOf(t, g, loop)...)
		}
		for _, part := range topo.TarjanSCC(d) {
			for _, n := range part {
				if len(part) > 1 && n.ID() < int64(len(g.Items)) {
					onCircle = append(onCircle, int(n.ID()))
				}
			}
		}
		slices.Sort(named)
		slices.Sort(onCircle)
		require.Equal(t, onCircle, slices.Compact(named))
		require.Equal(t, loops, g.Loops(), "the same each time")
	})
}

func TestLoose(t *testing.T) {
	items := []Item{{Name: "bones"}, {Name: "stock", Role: Made}, {Name: "fat", Role: Made}, {Name: "air", Role: Made},
		{Name: "soup", Role: Sold}, {Name: "breath", Role: Sold}, {Name: "toast", Role: Sold}}
	take := func(i int) []Line { return []Line{{Choices: []Choice{{Item: i, Amount: 1}}}} }
	give := func(items ...int) (out []Output) {
		for _, i := range items {
			out = append(out, Output{Item: i, Amount: 1})
		}
		return out
	}
	g, err := New(items, []Step{{Name: "kettle", Takes: take(0), Gives: give(1, 2)}, {Name: "soup", Takes: take(1), Gives: give(4)},
		{Name: "draw", Gives: give(3)}, {Name: "breath", Takes: take(3), Gives: give(5)}})
	require.NoError(t, err)
	require.Equal(t, []int{2}, g.Unused())
	require.Equal(t, []int{5, 6}, g.Groundless())
}

func TestFaultsOfGraph(t *testing.T) {
	items := []Item{{Name: "bones"}, {Name: "stock", Role: Made}}
	line := func(item int, amount float64) []Line {
		return []Line{{Choices: []Choice{{Item: item, Amount: amount}}}}
	}
	give := []Output{{Item: 1, Amount: 1}}
	for _, tc := range []struct {
		step Step
		want string
	}{
		{Step{Name: "kettle"}, `step "kettle" gives nothing`},
		{Step{Name: "kettle", Takes: []Line{{}}, Gives: give}, `step "kettle" has a line without an item`},
		{Step{Name: "kettle", Mode: AllOf, Gives: give}, `step "kettle" takes all of its first line, but has none`},
		{Step{Name: "kettle", Takes: line(2, 1), Gives: give}, `step "kettle" names item 2 of 2`},
		{Step{Name: "kettle", Takes: line(-1, 1), Gives: give}, `step "kettle" names item -1 of 2`},
		{Step{Name: "kettle", Takes: line(0, 0), Gives: give}, `step "kettle" has 0 of "bones": an amount must be positive and finite`},
		{Step{Name: "kettle", Takes: line(0, -1), Gives: give}, `step "kettle" has -1 of "bones": an amount must be positive and finite`},
		{Step{Name: "kettle", Takes: line(0, math.NaN()), Gives: give},
			`step "kettle" has NaN of "bones": an amount must be positive and finite`},
		{Step{Name: "kettle", Gives: []Output{{Item: 1, Amount: math.Inf(1)}}},
			`step "kettle" has +Inf of "stock": an amount must be positive and finite`},
	} {
		_, err := New(items, []Step{tc.step})
		require.EqualError(t, err, tc.want)
	}
}
