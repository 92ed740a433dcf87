package draw

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cantinaPicture is the whole cantina with words in its boxes, as a caller would set them.
func cantinaPicture(t testing.TB) Picture {
	t.Helper()
	p := FromGraph(cantinaGraph(t), nil, inUnits(cantinaGraph(t)))
	p.Title = "Three Kettles: the flow"
	p.Caption = "What comes of what, for one batch or portion."
	for i := range p.Nodes {
		n := &p.Nodes[i]
		switch n.Kind {
		case Bought:
			n.Lines = []string{"$4.20/kg"}
		case Step:
			n.Lines = []string{"Tue, Fri"}
		case Dish:
			n.Lines = []string{"40 portions, $3.12"}
			if slices.Contains(specials, n.Name) {
				n.Kind = Special
			}
		}
	}
	return p
}

// shockedPicture is the cantina after its night kettle is lost. What is out and short is set by hand.
func shockedPicture(t testing.TB) Picture {
	t.Helper()
	p := cantinaPicture(t)
	p.Title = "Three Kettles: Tuesday's night kettle is lost"
	out := []string{"night kettle", "kettle stock", "cooked trotters"}
	short := []string{"pozole broth", "pulled hen", "red pozole", "green pozole", "white pozole", "hen tostadas"}
	for i := range p.Nodes {
		n := &p.Nodes[i]
		n.Tone = float64(i%7) / 6
		switch {
		case slices.Contains(out, n.Name):
			n.State, n.StateWords = Out, "OUT from 19:10 Wed"
		case slices.Contains(short, n.Name):
			n.State, n.StateWords = Short, "short 12 of 40"
		default:
			n.State = Untouched
		}
	}
	return p
}

// nasty holds names that break what doesn't escape them, or measures letters badly.
var nasty = []string{
	`"quoted" 'both' ways`, `back\slash\n and \`, "two\nlines\r\n\tand a tab", "<script>alert(1)</script>",
	"salt & pepper &amp; &lt;",
	"]]> <!-- --> <?xml?>", "a\x00b\x1b[31m\x7f", "broken \xff\xfe UTF-8", "🌶️ chile 👩🏽‍🍳", "مرق العظام",
	"מרק \u202e reversed",
	"骨のスープと豚足", "e\u0301\u0302\u0303\u0304 marks", "", "   ", strings.Repeat("pozole ", 200), strings.Repeat("W", 1000),
	"%d %s {x} ${y}",
}

// nastyPicture has the nasty texts in every place that takes one.
func nastyPicture() Picture {
	p := Picture{Title: nasty[3] + nasty[0], Caption: nasty[2] + nasty[5], WidthMeans: nasty[3], ToneMeans: nasty[1]}
	taken := names{}
	for i, s := range nasty {
		p.Nodes = append(p.Nodes, Node{
			ID: taken.id("item", s), Name: s, Kind: kinds[i%len(kinds)], Lines: []string{s, s}, State: Short, StateWords: s,
		})
		if i >= 6 {
			p.Edges = append(p.Edges, Edge{From: p.Nodes[i-6].ID, To: p.Nodes[i].ID, Label: s, Share: 0.5, Optional: i%2 == 0})
		}
	}
	return p
}

func TestFaultsOfAPictureAreTold(t *testing.T) {
	a, b := Node{ID: "a", Kind: Made}, Node{ID: "b", Kind: Dish}
	for name, c := range map[string]struct {
		picture Picture
		want    string
	}{
		"no such node": {Picture{Nodes: []Node{a}, Edges: []Edge{{From: "a", To: "x"}}},
			`edge 0: there is no node with the id "x"`},
		"same id twice": {Picture{Nodes: []Node{a, a}}, `node 1: the id "a" is taken by another node`},
		"the title's id": {Picture{Nodes: []Node{{ID: titleID, Kind: Made}}},
			`node 0: the id "map-title" is the sheet's own`},
		"no id":         {Picture{Nodes: []Node{{Kind: Made}}}, `node 0: the id "" must be`},
		"id with space": {Picture{Nodes: []Node{{ID: "a b", Kind: Made}}}, `node 0: the id "a b" must be`},
		"unknown kind": {Picture{Nodes: []Node{{ID: "a", Kind: "soup"}}},
			`node "a": unknown kind "soup"; want one of ["bought" "made"`},
		"unknown state": {Picture{Nodes: []Node{{ID: "a", Kind: Made, State: "gone"}}}, `node "a": unknown state "gone"`},
		"tone NaN": {Picture{Nodes: []Node{{ID: "a", Kind: Made, Tone: math.NaN()}}},
			`node "a": tone NaN is not between 0 and 1`},
		"share above 1": {Picture{Nodes: []Node{a, b}, Edges: []Edge{{From: "a", To: "b", Share: 1.5}}},
			`share 1.5 is not between 0 and 1`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Render(t.Context(), c.picture)
			require.ErrorContains(t, err, c.want)
			require.ErrorContains(t, WriteDOT(&strings.Builder{}, c.picture), c.want)
		})
	}
}

func TestPictureIsPlainData(t *testing.T) {
	text, err := json.Marshal(Picture{
		Title: "One pot", Nodes: []Node{{ID: "item-stock", Name: "stock", Kind: Made, State: Out, StateWords: "OUT",
			Item: 3, Step: -1}},
		Edges: []Edge{{From: "item-stock", To: "item-stock", Label: "6 L", Share: 0.5, Carried: true}},
	})
	require.NoError(t, err)
	assert.JSONEq(t, `{"title": "One pot",
		"nodes": [{"id": "item-stock", "name": "stock", "kind": "made", "state": "out", "state_words": "OUT", "tone": 0}],
		"edges": [{"from": "item-stock", "to": "item-stock", "label": "6 L", "share": 0.5, "carried": true}]}`, string(text))
}

func TestIDsAreUniqueAndStable(t *testing.T) {
	taken := names{}
	for _, c := range []struct{ kind, name, want string }{
		{"item", "Kettle  Stock", "item-kettle-stock"},
		{"item", "kettle-stock", "item-kettle-stock-2"},
		{"item", "kettle stock 2", "item-kettle-stock-2-2"},
		{"item", "(kettle stock)", "item-kettle-stock-3"},
		{"step", "kettle stock", "step-kettle-stock"},
		{"item", "crème fraîche", "item-crème-fraîche"},
		{"item", "🌶️", "item"},
		{"item", "<&>", "item-2"},
	} {
		got := taken.id(c.kind, c.name)
		assert.Equal(t, c.want, got, c.name)
		assert.True(t, validID(got), got)
	}
}
