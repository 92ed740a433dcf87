package draw

// The picture of a graph.

import (
	"slices"

	"kettletree/graph"
)

// Around is a node of the graph with all that it comes from and all that comes of it, for [FromGraph].
func Around(g *graph.Graph, node int) []int {
	nodes := slices.Concat(g.Upstream(node), []int{node}, g.Downstream(node))
	slices.Sort(nodes)
	return slices.Compact(nodes)
}

// FromGraph makes a picture of the nodes of the graph that are in only (their numbers: items first, then steps), or of
// all when only is nil. Items come before steps, both in the order of the graph. A step that gives a portion and
// nothing else is drawn with it as one box, a dish.
//
// Names, kinds and ids are filled in, and on the lines the amounts for one batch or portion, as amount writes them; a line's share is its
// share of the weight of the batch, going in or coming out, 0 when a weight is unknown. Ids don't depend on only. The
// caller sets the rest, finding its place by the Item and Step of nodes and edges; to tell specials from dishes is up
// to it.
func FromGraph(g *graph.Graph, only []int, amount Amount) Picture {
	f := flow{
		graph: g, amount: amount, picture: Picture{WidthMeans: "share of the batch's weight"},
		ids: make([]string, len(g.Items)+len(g.Steps)), kept: make([]bool, len(g.Items)+len(g.Steps)),
	}
	for n := range f.kept {
		f.kept[n] = only == nil
	}
	for _, n := range only {
		f.kept[n] = true
	}
	f.nodes()
	for s := range g.Steps {
		f.edges(s)
	}
	return f.picture
}

// Amount writes an amount of an item, in base units, as a line of the card of a step or dish has it; the line is -1 for what it gives.
type Amount func(step, line, item int, base float64) string

type flow struct {
	graph   *graph.Graph
	amount  Amount
	picture Picture
	ids     []string // of every node of the graph; a portion has the id of its dish
	kept    []bool   // by number of node
}

// portion is the item that makes a step a dish; ok is false when the step isn't one.
func (f *flow) portion(s int) (item int, ok bool) {
	gives := f.graph.Steps[s].Gives
	if len(gives) != 1 || f.graph.Items[gives[0].Item].Role != graph.Sold {
		return -1, false
	}
	return gives[0].Item, true
}

func (f *flow) nodes() {
	taken := names{}
	plated := make([]bool, len(f.graph.Items))
	for s := range f.graph.Steps {
		if item, ok := f.portion(s); ok {
			plated[item] = true
		}
	}
	for i, it := range f.graph.Items {
		if plated[i] {
			continue
		}
		f.ids[i] = taken.id("item", it.Name)
		kind := Made
		if it.Role == graph.Bought {
			kind = Bought
		}
		if f.kept[i] {
			f.picture.Nodes = append(f.picture.Nodes, Node{ID: f.ids[i], Name: it.Name, Kind: kind, Item: i, Step: -1})
		}
	}
	for s, st := range f.graph.Steps {
		n := len(f.graph.Items) + s
		item, isDish := f.portion(s)
		node := Node{Name: st.Name, Kind: Step, Item: -1, Step: s}
		if isDish {
			node.Kind, node.Item = Dish, item
			f.kept[n] = f.kept[n] || f.kept[item]
		}
		node.ID = taken.id(string(node.Kind), st.Name)
		f.ids[n] = node.ID
		if f.kept[n] {
			f.picture.Nodes = append(f.picture.Nodes, node)
		}
	}
}

func (f *flow) edges(s int) {
	step := len(f.graph.Items) + s
	if !f.kept[step] {
		return
	}
	st := f.graph.Steps[s]
	used, given := 0.0, 0.0 // weight of the batch, in and out, substitutes aside
	for _, l := range st.Takes {
		used += f.grams(l.Choices[0].Item, l.Choices[0].Amount)
	}
	for _, o := range st.Gives {
		given += f.grams(o.Item, o.Amount)
	}
	for l, line := range st.Takes {
		for c, choice := range line.Choices {
			if f.kept[choice.Item] {
				f.picture.Edges = append(f.picture.Edges, Edge{
					From: f.ids[choice.Item], To: f.ids[step], Label: f.amount(s, l, choice.Item, choice.Amount),
					Share:   part(f.grams(choice.Item, choice.Amount), used),
					Carried: line.Carried, Substitute: c >= max(1, line.Alike), Optional: line.Optional,
					Item: choice.Item, Step: s, Line: l, Choice: c,
				})
			}
		}
	}
	if _, isDish := f.portion(s); isDish {
		return
	}
	for o, out := range st.Gives {
		if f.kept[out.Item] {
			f.picture.Edges = append(f.picture.Edges, Edge{
				From: f.ids[step], To: f.ids[out.Item], Label: f.amount(s, -1, out.Item, out.Amount),
				Share: part(f.grams(out.Item, out.Amount), given),
				Item:  out.Item, Step: s, Line: o, Choice: -1,
			})
		}
	}
}

// grams is the weight of an amount of an item, 0 when it is unknown.
func (f *flow) grams(item int, amount float64) float64 {
	grams, ok := f.graph.Items[item].Grams(amount)
	if !ok {
		return 0
	}
	return grams
}

func part(of, whole float64) float64 {
	if whole <= 0 {
		return 0
	}
	return min(of/whole, 1)
}
