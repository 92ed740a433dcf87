package draw

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
)

// flowing is a random picture whose lines lead ahead, but for some from yesterday.
func flowing(t *rapid.T) (p Picture) {
	n := rapid.IntRange(1, 40).Draw(t, "boxes")
	for i := range n {
		k := rapid.SampledFrom([]Kind{Bought, Made, Made, Step, Dish, Special}).Draw(t, "kind")
		p.Nodes = append(p.Nodes, Node{ID: fmt.Sprint("n", i), Name: fmt.Sprint("box ", i), Kind: k,
			Lines: rapid.SliceOfN(rapid.Just("with salt, water and a bay leaf"), 0, 3).Draw(t, "lines")})
	}
	for range rapid.IntRange(0, 3*n).Draw(t, "lines") {
		from, to := rapid.IntRange(0, n-1).Draw(t, "from"), rapid.IntRange(0, n-1).Draw(t, "to")
		e := Edge{From: p.Nodes[min(from, to)].ID, To: p.Nodes[max(from, to)].ID, Label: "1 L", Share: 0.5}
		if e.Carried = from == to || rapid.IntRange(0, 9).Draw(t, "carried") == 0; e.Carried {
			e.From, e.To = e.To, e.From
		}
		p.Edges = append(p.Edges, e)
	}
	return p
}

func placed(t require.TestingT, p Picture, w, h float64) *plan {
	l, err := arranged(context.Background(), &p)
	require.NoError(t, err)
	l.fit(w, h)
	return l
}

func TestColumnsKeepTheOrderOfTheFlow(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		p := flowing(t)
		l := placed(t, p, 1100, 700)
		last := len(l.columns) - 1
		for _, ln := range l.lines {
			if !ln.edge.Carried {
				assert.Less(t, l.boxes[ln.from].column, l.boxes[ln.to].column)
			}
		}
		for _, b := range l.boxes {
			if (b.node.Kind == Dish || b.node.Kind == Special) && len(b.outs) == 0 {
				assert.GreaterOrEqual(t, b.column, last-1)
			}
		}
	})
}

// Nothing lies on anything else, nothing sticks out, and lines pass between the boxes.
func TestNothingOverlaps(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		l := placed(t, flowing(t), 1100, 700)
		const slack = 1e-6
		for k := range l.columns {
			c := &l.columns[k]
			assert.GreaterOrEqual(t, c.left, -slack)
			assert.LessOrEqual(t, c.left+c.width(), l.w+slack)
			if k > 0 {
				before := &l.columns[k-1]
				assert.GreaterOrEqual(t, c.left, before.left+before.width()+leastGap-slack)
			}
			foot := 0.0
			for n, i := range c.places {
				s := l.places[i]
				assert.GreaterOrEqual(t, s.y-s.half, foot-slack)
				foot = s.y + s.half
				if n+1 < len(c.places) {
					assert.GreaterOrEqual(t, l.places[c.places[n+1]].y-s.y, l.room(i, c.places[n+1])-slack)
				}
			}
			assert.LessOrEqual(t, foot, l.h+slack)
		}
		for _, ln := range l.lines {
			from, to := &l.boxes[ln.from], &l.boxes[ln.to]
			assert.Equal(t, 1, len(ln.way)%3, "a start, and three points for each curve")
			assert.InDelta(t, from.mid.x+from.halfW+from.padR, ln.way[0].x, slack)
			assert.LessOrEqual(t, max(ln.slotFrom, -ln.slotFrom), from.halfH)
			assert.InDelta(t, to.mid.x-to.halfW-to.padL, ln.way[len(ln.way)-1].x, slack)
			assert.LessOrEqual(t, max(ln.slotTo, -ln.slotTo), to.halfH)
		}
	})
}

// Thirty boxes that go into one dish each, and nothing else, need not stand in the column before the dishes, which a chain
// of others makes the fourth.
func TestCrowdedColumnsAreRelieved(t *testing.T) {
	p := chain(5, 0)
	p.Nodes[4].Kind = Dish
	for i := range 30 {
		item, dish := fmt.Sprint("item", i), fmt.Sprint("dish", i)
		p.Nodes = append(p.Nodes, Node{ID: item, Name: item, Kind: Made}, Node{ID: dish, Name: dish, Kind: Dish})
		p.Edges = append(p.Edges, Edge{From: item, To: dish})
	}
	l := placed(t, p, 1100, 700)
	var counts []int
	for _, c := range l.columns {
		counts = append(counts, len(c.boxes))
	}
	require.Len(t, counts, 5)
	assert.Less(t, counts[3], 30, "some items moved to the left: %v", counts)
	assert.Less(t, counts[4], 31, "the dishes stand in two columns: %v", counts)

	few := chain(5, 0)
	few.Nodes[4].Kind = Dish
	few.Nodes = append(few.Nodes, Node{ID: "dish", Kind: Dish})
	few.Edges = append(few.Edges, Edge{From: "n0", To: "dish"})
	l = placed(t, few, 1100, 700)
	assert.Len(t, l.columns[4].boxes, 2, "few dishes stand in one")
}

// A step takes, from yesterday, what another column gave long before: that line leads ahead all the same.
func TestCarriedLinesThatLeadAhead(t *testing.T) {
	p := chain(4, 0)
	p.Edges = append(p.Edges, Edge{From: "n0", To: "n3", Carried: true}, Edge{From: "n3", To: "n0", Carried: true})
	l := placed(t, p, 1100, 700)
	ahead, back := l.lines[3], l.lines[4]
	assert.True(t, ahead.ahead)
	assert.Len(t, ahead.passes, 2)
	assert.False(t, back.ahead)
	assert.Len(t, back.passes, 4, "it goes round both of its ends")
	for k := 1; k < len(back.passes); k++ {
		assert.Less(t, l.places[back.passes[k]].column, l.places[back.passes[k-1]].column)
	}
}
