package graph

// The nodes and edges of a kitchen's flow, and the graph built from them.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	dag "github.com/dominikbraun/graph"

	"kettletree/graph/measure"
)

// Role says where an item stands in the flow.
type Role uint8

const (
	Bought Role = iota // comes from outside
	Made               // given by a step
	Sold               // a portion: given by a dish, used by nothing
)

// Item is anything that has a quantity.
type Item struct {
	Name    string
	Many    string // what several of it are called, where it is counted: "stewing hens"; Name where nothing else is known
	Role    Role
	Unit    measure.Unit // the unit it is written in; its kind is the one that the item is counted in
	Density float64      // grams per millilitre; 0 when unknown
	Each    float64      // grams in one; 0 when unknown
	Holds   float64      // millilitres in one; 0 when unknown

	Strength float64 // how strongly a gram tastes beside other things of its kind; 0 when not given, which counts as 1
}

// Strong is how strongly a gram of the item tastes beside other things of its kind.
func (it Item) Strong() float64 { return cmp.Or(it.Strength, 1) }

// Bridge is what is known to convert the item between weight, volume and count.
func (it Item) Bridge() measure.Bridge {
	return measure.Bridge{Density: it.Density, Each: it.Each, Holds: it.Holds}
}

// Grams is the weight of an amount of the item in base units; ok is false when no bridge leads to a weight.
func (it Item) Grams(amount float64) (grams float64, ok bool) {
	return it.Bridge().Convert(amount, it.Unit.Kind, measure.Weight)
}

// Mode says what makes a step run.
type Mode uint8

const (
	OnDays  Mode = iota // on set days, in whole batches
	AllOf               // takes all there is of its first input, each day
	ToOrder             // as much as is asked for, or whole batches of it: see Step.Lot
)

// Choice is one item that can fill a line, with the amount for one batch in base units of the item.
type Choice struct {
	Item   int
	Amount float64
}

// Line is one thing that a step takes: its first choice, then its substitutes in order of preference.
type Line struct {
	Choices  []Choice
	Alike    int     // how many of the choices, the first ones, the cook does not mind among: the cheapest that can be had is taken, what is on hand first; 0 as 1, for a first choice
	Optional bool    // the step goes on without it
	Without  float64 // the share of its amount that a batch goes without before it is cut: 0.2 for give or take 20 %, 1 for what is to taste, which is Optional too
	Carried  bool    // taken from what an earlier day left ("from yesterday")
	AtLeast  float64 // least share of the batch by weight, 0 to 1; 0 is no bound
	AtMost   float64 // greatest share of the batch by weight, 0 to 1; 0 is no bound

	// How strong the line may and must make a batch: grams, times the item's strength, times the hours that it is in, per
	// litre of what the batch gives; 0 is no bound. See package batch.
	Weakest, Strongest float64

	InAt  int // minutes after the step starts
	OutAt int // when it is taken out again, to be thrown away, later than InAt; 0 when it stays in
}

// Output is one thing that a step gives, with the amount for one batch in base units of the item.
type Output struct {
	Item   int
	Amount float64
	Spread float64 // half width of what the yield varies by (the 4 of "55 L ± 4 L"); 0 when not given
	OutAt  int     // minutes after the step starts
}

// Step turns items into items.
type Step struct {
	Name  string
	Mode  Mode
	Lot   float64 // ToOrder: what it is made in, 1 for whole batches and 0.5 for halves, the rest of which stays on hand; 0 for as much as is asked for
	Takes []Line
	Gives []Output

	BoilsFrom int     // minutes after the start at which steam begins to go off
	BoilsOff  float64 // millilitres an hour that go off as steam of one batch
}

// AsNeeded tells whether the step is made when what is on hand would not do, in whole batches or halves of them.
func (st Step) AsNeeded() bool { return st.Mode == ToOrder && st.Lot > 0 }

// Steam is what has gone off of one batch, in millilitres, some minutes after the start.
func (st Step) Steam(minutes int) float64 {
	return st.BoilsOff * float64(max(0, min(minutes, st.Length())-st.BoilsFrom)) / 60
}

// Length is how long the step takes: the minutes after its start at which the last of it is in or out.
func (st Step) Length() (minutes int) {
	for _, l := range st.Takes {
		minutes = max(minutes, l.InAt, l.OutAt)
	}
	for _, o := range st.Gives {
		minutes = max(minutes, o.OutAt)
	}
	return minutes
}

// MainLine is the line by which batches of the step are counted: the first that it can't do without. It is negative
// when the step takes nothing.
func (st Step) MainLine() int {
	if at := slices.IndexFunc(st.Takes, func(l Line) bool { return !l.Optional && !l.Carried }); at >= 0 {
		return at
	}
	return len(st.Takes) - 1
}

// Graph is the flow of one kitchen. Build it with [New]; it must not be changed afterwards.
type Graph struct {
	Items []Item
	Steps []Step

	edges func() (down, up directed) // drawn when somebody follows them
}

// New builds the graph. Items and steps are taken over, not copied. It fails when a line or an output names an item that
// does not exist, when a step gives nothing, when a line has no choice, when a step that takes all takes nothing, or when
// an amount is not a positive finite number.
func New(items []Item, steps []Step) (*Graph, error) {
	g := &Graph{Items: items, Steps: steps}
	for s, st := range steps {
		if len(st.Gives) == 0 {
			return nil, fmt.Errorf("step %q gives nothing", st.Name)
		}
		if st.Mode == AllOf && len(st.Takes) == 0 {
			return nil, fmt.Errorf("step %q takes all of its first line, but has none", st.Name)
		}
		for _, l := range st.Takes {
			if len(l.Choices) == 0 {
				return nil, fmt.Errorf("step %q has a line without an item", st.Name)
			}
			for _, c := range l.Choices {
				if err := g.check(s, c.Item, c.Amount); err != nil {
					return nil, err
				}
			}
		}
		for _, o := range st.Gives {
			if err := g.check(s, o.Item, o.Amount); err != nil {
				return nil, err
			}
		}
	}
	g.edges = sync.OnceValues(func() (down, up directed) { return g.connect(true) })
	return g, nil
}

func (g *Graph) check(step, item int, amount float64) error {
	if item < 0 || item >= len(g.Items) {
		return fmt.Errorf("step %q names item %d of %d", g.Steps[step].Name, item, len(g.Items))
	}
	if !(amount > 0) || math.IsInf(amount, 1) {
		return fmt.Errorf("step %q has %v of %q: an amount must be positive and finite",
			g.Steps[step].Name, amount, g.Items[item].Name)
	}
	return nil
}

// Node numbers a step among all nodes: items come first, then steps.
func (g *Graph) Node(step int) int { return len(g.Items) + step }

// A directed is a graph of the library, followed along its edges or against them. Its nodes are ours plus one: the
// library's search for strongly connected components never takes a node off its stack that is its type's zero.
type directed struct {
	dag.Graph[int, int]
	next map[int]map[int]dag.Edge[int] // by node: those that the next edge leads to
}

// AdjacencyMap is made once, not with every question as in the library's own store. Nobody may change it.
func (d directed) AdjacencyMap() (map[int]map[int]dag.Edge[int], error) { return d.next, nil }

// connect draws the edges, with or without those that are carried over time: along them, and against them.
func (g *Graph) connect(carried bool) (down, up directed) {
	d := dag.New(func(node int) int { return node + 1 }, dag.Directed())
	for n := range len(g.Items) + len(g.Steps) {
		_ = d.AddVertex(n) // fails only for a vertex that exists
	}
	edge := func(from, to int) { _ = d.AddEdge(from+1, to+1) } // an item that a step takes twice is one edge; the amounts stand in the lines
	for s, st := range g.Steps {
		for _, l := range st.Takes {
			for _, c := range l.Choices {
				if carried || !l.Carried {
					edge(c.Item, g.Node(s))
				}
			}
		}
		for _, o := range st.Gives {
			edge(g.Node(s), o.Item)
		}
	}
	ahead, _ := d.AdjacencyMap() // neither fails for a graph in memory
	behind, _ := d.PredecessorMap()
	return directed{d, ahead}, directed{d, behind}
}
