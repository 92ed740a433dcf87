package flow

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
	"pgregory.net/rapid"

	"kettletree/graph"
)

// Figures of these benchmarks in the reports are from a virtual machine with two cores of an AMD EPYC (L2 1 MB a core, L3
// 32 MB) under Go 1.26, which other work shared; so the metrics are of the fastest turn.

// fastest is the time of the fastest turn of a benchmark.
func fastest(b *testing.B, turn func()) time.Duration {
	best := time.Duration(math.MaxInt64)
	b.ReportAllocs()
	for b.Loop() {
		begin := time.Now()
		turn()
		best = min(best, time.Since(begin))
	}
	return best
}

// layered is a made-up network of about so many steps in so many layers, the same for the same size. A step takes one to
// four items of the two layers before it, or bought ones, and gives one or two; the last layer are portions. They are
// declared layer by layer, or shuffled.
func layered(tb testing.TB, steps, layers int, shuffled bool) (*graph.Graph, Terms) {
	rng := rand.New(rand.NewPCG(uint64(steps), 20))
	var items []graph.Item
	var terms Terms
	add := func(role graph.Role) int {
		items = append(items, graph.Item{Role: role, Unit: gram})
		terms.Price = append(terms.Price, float64(1+rng.IntN(9)))
		terms.Worth = append(terms.Worth, float64(1+rng.IntN(9)))
		terms.Keeps = append(terms.Keeps, 0)
		return len(items) - 1
	}
	for range steps / 10 {
		add(graph.Bought)
	}
	list := make([]graph.Step, 0, steps)
	before, last := 0, 0 // where the items of the last two layers begin
	for layer := range layers {
		from, role := len(items), graph.Made
		if layer == layers-1 {
			role = graph.Sold
		}
		for range steps / layers {
			st := graph.Step{Mode: graph.ToOrder}
			for range 1 + rng.IntN(4) {
				c := graph.Choice{Item: before + rng.IntN(from-before), Amount: 0.1 + rng.Float64()}
				st.Takes = append(st.Takes, graph.Line{Choices: []graph.Choice{c}})
			}
			gives := 1
			if role == graph.Made {
				gives += rng.IntN(2)
			}
			for range gives {
				st.Gives = append(st.Gives, graph.Output{Item: add(role), Amount: 0.5 + rng.Float64()})
			}
			list = append(list, st)
		}
		before, last = last, from
	}
	terms.Cost, terms.Share = make([]float64, len(list)), make([]Rule, len(list))
	if shuffled {
		rng.Shuffle(len(list), func(a, b int) { list[a], list[b] = list[b], list[a] })
		for s := range list { // read in the order declared, so that lines lie in memory by it
			list[s].Takes, list[s].Gives = slices.Clone(list[s].Takes), slices.Clone(list[s].Gives)
			for l := range list[s].Takes {
				list[s].Takes[l].Choices = slices.Clone(list[s].Takes[l].Choices)
			}
		}
	}
	g, err := graph.New(items, list)
	require.NoError(tb, err)
	return g, terms
}

func edges(f *Flow) int { return len(f.net.first) + len(f.net.gives) }

// gonumSort times the reference library's topological sort of the same items and steps.
func gonumSort(tb testing.TB, g *graph.Graph) time.Duration {
	d := simple.NewDirectedGraph()
	for n := range len(g.Items) + len(g.Steps) {
		d.AddNode(simple.Node(n))
	}
	for s, st := range g.Steps {
		for _, l := range st.Takes {
			d.SetEdge(d.NewEdge(simple.Node(l.Choices[0].Item), simple.Node(g.Node(s))))
		}
		for _, o := range st.Gives {
			d.SetEdge(d.NewEdge(simple.Node(g.Node(s)), simple.Node(o.Item)))
		}
	}
	best := time.Duration(math.MaxInt64)
	for range 5 {
		begin := time.Now()
		_, err := topo.Sort(d)
		require.NoError(tb, err)
		best = min(best, time.Since(begin))
	}
	return best
}

// sortOnly times the part of Compile that gonum's sort does.
func sortOnly(tb testing.TB, g *graph.Graph) time.Duration {
	best := time.Duration(math.MaxInt64)
	for range 20 {
		begin := time.Now()
		r, _, _ := read(g)
		_, err := r.order(len(g.Items))
		require.NoError(tb, err)
		best = min(best, time.Since(begin))
	}
	return best
}

// wide is the number of layers of a network whose layers grow with it; what a step takes lies the further apart in memory,
// the wider they are.
const wide = 20

var sizes = []int{1_000, 10_000, 100_000, 1_000_000}

// BenchmarkCompile orders and lays out a network, the graph being built. x-gonum is how many times longer gonum's topo.Sort
// takes than our sort, both from a built graph to the order; x-gonum-all is against the whole of Compile, which lays out the
// arrays as well. Both are measured in the same run, at their best.
func BenchmarkCompile(b *testing.B) {
	for _, size := range sizes {
		for _, shuffled := range []bool{false, true} {
			b.Run(fmt.Sprintf("%d/%s", size, map[bool]string{false: "in-order", true: "shuffled"}[shuffled]), func(b *testing.B) {
				g, terms := layered(b, size, wide, shuffled)
				reference := time.Duration(0)
				if size <= 100_000 { // beyond, its maps take gigabytes
					reference = gonumSort(b, g)
				}
				best := fastest(b, func() {
					if _, err := Compile(g, terms); err != nil {
						b.Fatal(err)
					}
				})
				b.ReportMetric(float64(best)/1e6, "best-ms")
				if reference > 0 {
					b.ReportMetric(float64(reference)/float64(sortOnly(b, g)), "x-gonum")
					b.ReportMetric(float64(reference)/float64(best), "x-gonum-all")
				}
			})
		}
	}
}

// BenchmarkCostPass pays all bills once, the shares of them being known: in a network of twenty layers, and in one that is
// as deep as it is wide.
func BenchmarkCostPass(b *testing.B) {
	for _, size := range sizes {
		for _, shape := range []struct {
			name   string
			layers int
		}{{"wide", wide}, {"deep", int(math.Sqrt(float64(size)))}} {
			b.Run(fmt.Sprintf("%d/%s", size, shape.name), func(b *testing.B) {
				f, err := Compile(layered(b, size, shape.layers, false))
				require.NoError(b, err)
				c, err := f.Cost(nil)
				require.NoError(b, err)
				fresh := make([]float64, len(c.unit))
				for i, it := range f.net.g.Items {
					if it.Role == graph.Bought {
						fresh[f.net.slot[i]] = f.terms.Price[i]
					}
				}
				best := fastest(b, func() {
					copy(c.unit, fresh)
					c.pass(1)
				})
				b.ReportMetric(float64(best)/float64(edges(f)), "ns/edge")
			})
		}
	}
}

// BenchmarkService walks one service: with all that it needs for every dish of the network (so that every step works), for a
// dozen dishes, and for a dozen when a tenth of what they need to buy comes a tenth short.
func BenchmarkService(b *testing.B) {
	for _, size := range sizes[:3] {
		for _, house := range []struct {
			name   string
			dishes int
			scarce bool
		}{{"all", size, false}, {"dozen", 12, false}, {"scarce", 12, true}} {
			b.Run(fmt.Sprintf("%d/%s", size, house.name), func(b *testing.B) {
				f, s := service(b, size, house.dishes, house.scarce)
				w := NewWalker(f)
				w.Walk(s, Fair, nil)
				best := fastest(b, func() { w.Walk(s, Fair, nil) })
				b.ReportMetric(float64(best)/1e6, "ms/service")
			})
		}
	}
}

// service is a network with one service that asks for some of its dishes.
func service(tb testing.TB, size, dishes int, scarce bool) (*Flow, *Schedule) {
	f, err := Compile(layered(tb, size, wide, false))
	require.NoError(tb, err)
	s := &Schedule{Days: 1, Slots: []Slot{{Start: 690, End: 870}}}
	for i, it := range f.net.g.Items {
		if it.Role == graph.Sold && len(s.Wants) < dishes {
			s.Wants = append(s.Wants, Want{Item: i, Forecast: []float64{40}})
		}
	}
	if scarce {
		o := f.Walk(s, Fair, nil)
		s.Short = make([]bool, len(f.net.g.Items))
		for k, d := range o.Deliveries {
			if k%10 == 0 {
				s.Short[d.Item] = true
				s.Deliveries = append(s.Deliveries, Delivery{Item: d.Item, Amount: d.Amount * 0.9, Ordered: d.Amount})
			}
		}
	}
	return f, s
}

// BenchmarkWalk walks kitchens over some days, with batches, substitutes, perpetual stocks and mishaps.
func BenchmarkWalk(b *testing.B) {
	var cases []Case
	var walkers []*Walker
	k := everything
	k.underWay = false
	for seed := range 40 {
		c := rapid.Custom(k.draw).Example(seed).compile(b)
		cases, walkers = append(cases, c), append(walkers, NewWalker(c.Flow))
	}
	best := fastest(b, func() {
		for k, c := range cases {
			walkers[k].Walk(c.Schedule, Fair, nil)
		}
	})
	b.ReportMetric(float64(best)/1e3/float64(len(cases)), "us/walk")
}
