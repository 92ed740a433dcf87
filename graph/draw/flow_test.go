package draw

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph"
	"kettletree/graph/measure"
)

func find(t testing.TB, p Picture, id string) Node {
	t.Helper()
	i := slices.IndexFunc(p.Nodes, func(n Node) bool { return n.ID == id })
	require.GreaterOrEqual(t, i, 0, "there is no %s", id)
	return p.Nodes[i]
}

func TestAStepWithItsPortionIsOneDish(t *testing.T) {
	g := cantinaGraph(t)
	p := FromGraph(g, nil, inUnits(g))
	sold := 0
	for _, it := range g.Items {
		if it.Role == graph.Sold {
			sold++
		}
	}
	assert.Equal(t, 12, sold)
	assert.Len(t, p.Nodes, len(g.Items)+len(g.Steps)-sold)
	dish := find(t, p, "dish-red-pozole")
	assert.Equal(t, Dish, dish.Kind)
	assert.Equal(t, "red pozole", g.Items[dish.Item].Name)
	assert.Equal(t, "red pozole", g.Steps[dish.Step].Name)
	assert.Equal(t, Bought, find(t, p, "item-pork-trotters").Kind)
	assert.Equal(t, Made, find(t, p, "item-red-chile-base").Kind)
	assert.Equal(t, Step, find(t, p, "step-red-chile-base").Kind)
}

func TestLinesOfAGraph(t *testing.T) {
	p := FromGraph(cantinaGraph(t), nil, inUnits(cantinaGraph(t)))
	line := func(from, to string) Edge {
		i := slices.IndexFunc(p.Edges, func(e Edge) bool { return e.From == from && e.To == to })
		require.GreaterOrEqual(t, i, 0, "%s -> %s", from, to)
		return p.Edges[i]
	}
	assert.Equal(t, "450 mL", line("item-pozole-broth", "dish-red-pozole").words())
	assert.Equal(t, "or 110 g", line("item-pulled-hen", "dish-red-pozole").words())
	assert.Equal(t, "6 L from yesterday", line("item-kettle-stock", "step-night-kettle").words())
	assert.Equal(t, "optional 200 g", line("item-cracklings", "step-refry-beans").words())
	assert.Equal(t, "(200 g)", p.mark(line("item-cracklings", "step-refry-beans")), "the dots of the line tell the rest")
	assert.Equal(t, "or 110 g", p.mark(line("item-pulled-hen", "dish-red-pozole")))
	spoken := p
	spoken.Words = strings.ToUpper
	assert.Equal(t, "110 g", spoken.mark(line("item-pulled-hen", "dish-red-pozole")), "no English in a sheet of another language")
	assert.Equal(t, "6 L", spoken.mark(line("item-kettle-stock", "step-night-kettle")))
	assert.Equal(t, "8 each", line("item-stewing-hen", "step-night-kettle").words())
	back := line("step-bone-out-shoulder", "item-back-fat")
	assert.InDelta(t, 0.8/(6.3+1.6+0.8), back.Share, 1e-12)
	assert.Equal(t, -1, back.Choice)
	assert.Equal(t, 2, back.Line)
	assert.Equal(t, 1, line("item-pulled-hen", "dish-red-pozole").Choice)

	// What goes into a batch, first choices only, and what comes out of it, are wholes.
	in, out := map[int]float64{}, map[int]float64{}
	for _, e := range p.Edges {
		switch {
		case e.Choice == 0:
			in[e.Step] += e.Share
		case e.Choice < 0:
			out[e.Step] += e.Share
		}
	}
	require.NotEmpty(t, in)
	for s := range in {
		assert.InDelta(t, 1, in[s], 1e-9)
	}
	for s := range out {
		assert.InDelta(t, 1, out[s], 1e-9)
	}
}

func TestAroundAnItem(t *testing.T) {
	g := cantinaGraph(t)
	lard := slices.IndexFunc(g.Items, func(it graph.Item) bool { return it.Name == "lard" })
	whole, part := FromGraph(g, nil, inUnits(g)), FromGraph(g, Around(g, lard), inUnits(g))
	var ids []string
	for _, n := range part.Nodes {
		ids = append(ids, n.ID)
		assert.Equal(t, n, find(t, whole, n.ID), "a part shows the same boxes as the whole")
	}
	assert.Subset(t, ids, []string{"item-pork-shoulder", "step-bone-out-shoulder", "item-lard", "step-fry-tostadas",
		"dish-hen-tostadas"})
	assert.NotContains(t, ids, "item-shoulder-meat")
	assert.NotContains(t, ids, "item-corn-tortillas", "what else goes into a step that lard goes into isn't around lard")
	for _, e := range part.Edges {
		assert.Contains(t, ids, e.From)
		assert.Contains(t, ids, e.To)
	}
	_, err := Render(t.Context(), part)
	require.NoError(t, err)
}

// inUnits writes amounts in the units of a graph; what cards say is the caller's business.
func inUnits(g *graph.Graph) Amount {
	return func(_, _, item int, base float64) string {
		u := g.Items[item].Unit
		return measure.Quantity{Amount: base / u.Factor, Unit: u}.Handy().String()
	}
}
