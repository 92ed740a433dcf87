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
// made item having one step that takes all that it comes from. Within one, steps with fewer lines stand first.
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
		var names []string
		for _, s := range k.compile().Flow.net.step {
			names = append(names, k.steps[s].Name)
		}
		require.Equal(t, want, strings.Join(names, " "), kitchen)
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
