package flow

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
)

// The generations of the reference flow of package graph's tests (python3-networkx 2.8.8, topological_generations), each
// made item having one step that takes all that it comes from. Within one, steps with fewer lines lie first in memory.
func TestOrderIsByGeneration(t *testing.T) {
	k := only(t, `
buy cow 1
buy mirepoix 1
buy water 1
buy wine 1
buy flour 1
order short_rib: 1 demi -> 1 short_rib
order soup: 1 stock + 1 roux + 1 pulled_beef -> 1 soup
order confit: 1 fat -> 1 confit
order roux: 1 fat + 1 flour -> 1 roux
order taco: 1 pulled_beef -> 1 taco
order demi: 1 stock + 1 wine -> 1 demi
order stock: 1 pot -> 1 stock
order pulled_beef: 1 pot -> 1 pulled_beef
order fat: 1 pot -> 1 fat
order pot: 1 brisket + 1 shank + 1 bones + 1 mirepoix + 1 water -> 1 pot
order bones: 1 cow -> 1 bones
order brisket: 1 cow -> 1 brisket
order shank: 1 cow -> 1 shank`)
	var names []string
	for _, s := range k.compile().Flow.net.step {
		names = append(names, k.steps[s].Name)
	}
	require.Equal(t, "bones brisket shank pot stock pulled_beef fat confit taco roux demi short_rib soup", strings.Join(names, " "))
}

// A step that takes all waits for the steps on set days that take the same, but not to a deadlock.
func TestOrderOfStepsThatTakeAll(t *testing.T) {
	for kitchen, want := range map[string]string{
		"all render: 1 fat -> 1 lard\nbatch confit: 1 fat + 1 x + 1 y -> 1 meat":                  "confit render",
		"all render: 1 fat -> 1 lard\nbatch confit: 1 fat + 1 lard -> 1 meat":                     "render confit",
		"all a: 1 fat -> 1 lard\nall b: 1 fat -> 1 oil\nbatch c: 1 fat + 1 lard -> 1 meat":        "a c b",
		"all a: 1 fat -> 1 lard\norder o: 1 fat -> 1 meat":                                        "a o",
		"batch kettle: 1 bones -> 1 stock + 1 fat\nall a: 1 fat -> 1 lard\nbatch c: 2 fat -> 1 x": "kettle c a",
	} {
		k := only(t, kitchen)
		require.Equal(t, want, inTurn(k.compile().Flow), kitchen)
	}
}

// inTurn names the steps in the order in which they work at one minute.
func inTurn(f *Flow) string {
	names := make([]string, len(f.net.step))
	for p, s := range f.net.step {
		names[f.net.turn[p]] = f.net.g.Steps[s].Name
	}
	return strings.Join(names, " ")
}

// The first step of the file is as early as what it takes allows, then the next; how many lines one has, how deep what it
// takes lies, and where steps to order stand is nothing to it.
func TestStepsWorkAsDeclared(t *testing.T) {
	for kitchen, want := range map[string]string{
		"batch a: 1 x + 1 y + 1 z -> 1 u\nbatch b: 1 x -> 1 v + 1 w":                             "a b",
		"batch a: 1 x + 1 s -> 1 u\nbatch b: 1 x -> 1 v\nbatch c: 1 r -> 1 s":                    "c a b",
		"batch a: 1 x -> 1 u\nbatch b: 1 x -> 1 v\nbatch c: 1 v -> 1 s":                          "a b c",
		"order o: 1 v -> 1 q\ndish d 1: 1 q -> \nbatch a: 1 x -> 1 u\nbatch b: 1 x -> 1 v":       "a b o d",
		"batch a: 1 q + 1 x -> 1 u\nbatch b: 1 x -> 1 v\norder o: 1 r -> 1 q\ndish d 1: 1 v -> ": "o a b d",
		"batch a: 1 x -> 1 u\nall b: 1 u -> 1 v\nbatch c: 1 u + 1 x -> 1 w\nbatch d: 1 v -> 1 y": "a c b d",
	} {
		require.Equal(t, want, inTurn(only(t, kitchen).compile().Flow), kitchen)
	}
}

// Two roasts want the last of the drippings: the one that stands first has them, whatever else it takes.
func TestWhoGetsTheLast(t *testing.T) {
	for _, salt := range []string{"", " + 1 salt"} {
		for _, other := range []string{"", " + 1 salt + 1 pepper"} {
			k := only(t, `
buy salt 0
buy pepper 0
buy shin 2
batch roast: 1 shin + 2 fat`+salt+` -> 4 roast
batch hash: 1 shin + 2 fat`+other+` -> 1 hash
hand fat 20 made 0
open 0 11:30
run hash 0 x10
run roast 0 x10`)
			c := k.compile()
			o := c.Flow.Walk(c.Schedule, Fair, nil)
			require.Equal(t, []float64{10, 0}, o.Batches, "%q, %q", salt, other)
		}
	}
}

// Every step stands behind all that give what it takes, and rows tell what the graph says.
func TestOrderHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		c := r.compile(t)
		n := c.Flow.net
		require.Equal(t, upTo(len(r.steps)), sorted(n.step))
		for p, s := range n.step {
			st := r.steps[s]
			require.Equal(t, int32(p), n.place[s])
			for l, line := range st.Takes {
				at := n.lines[p] + int32(l)
				require.Equal(t, line.Carried, n.carried[at])
				require.Equal(t, line.Optional, n.optional[at])
				for k, choice := range line.Choices {
					require.Equal(t, choice.Item, int(n.takes[c.Flow.Choice(int(s), l, k)]))
					require.Equal(t, choice.Amount, c.Flow.takes[c.Flow.Choice(int(s), l, k)])
					for _, e := range n.madeBy[n.makers[choice.Item]:n.makers[choice.Item+1]] {
						require.Equal(t, choice.Item, int(n.gives[e]))
						require.True(t, line.Carried || int(n.owner[e]) < p)
					}
				}
			}
			require.Equal(t, len(st.Gives), int(n.outputs[p+1]-n.outputs[p]))
		}
	})
}

func sorted(v []int32) (ints []int) {
	for _, x := range v {
		ints = append(ints, int(x))
	}
	slices.Sort(ints)
	return ints
}

func TestCompileRefuses(t *testing.T) {
	for kitchen, want := range map[string]string{
		"order a: 1 x -> 1 y\norder b: 1 y -> 1 x":     "the flow has a loop that is not carried over time",
		"all a: 1 x -> 1 y\nbatch b: 1 y + 1 x -> 1 x": "the flow has a loop that is not carried over time",
		"order a: 1 x -> 1 y\norder b: 1 z -> 1 y":     `"y" is made to order by two steps, "a" and "b"`,
		"order pot: 1 bones + 1 stock< -> 4 stock":     `"pot" is made to order, so it can't take "stock" from yesterday`,
	} {
		k := only(t, kitchen)
		g, err := graph.New(k.items, k.steps)
		require.NoError(t, err)
		_, err = Compile(g, k.terms)
		require.EqualError(t, err, want)
	}
	k := only(t, "order a: 1 x -> 1 y")
	g, err := graph.New(k.items, k.steps)
	require.NoError(t, err)
	k.terms.Keeps = k.terms.Keeps[1:]
	_, err = Compile(g, k.terms)
	require.EqualError(t, err, "terms do not fit a graph of 2 items and 1 steps")
	g, err = graph.New(nil, nil)
	require.NoError(t, err)
	_, err = Compile(g, Terms{})
	require.NoError(t, err, "an empty flow")
}
