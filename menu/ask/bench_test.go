package ask

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// threeKettles is the example's week, the kitchen copied so many times side by side.
func threeKettles(tb testing.TB, copies int) *week.Week {
	one := weektest.ExampleWeek(tb, "three-kettles")
	w, err := week.Over(side(tb, one.Kitchen, copies), one.Period)
	require.NoError(tb, err)
	return w
}

// side puts copies of a kitchen side by side. Items and steps of one role stay together, as Kitchen.Graph wants it.
func side(tb testing.TB, k *kitchen.Kitchen, copies int) *kitchen.Kitchen {
	if copies == 1 {
		return k
	}
	out := *k
	out.Bought, out.Steps, out.Dishes, out.Terms = nil, nil, nil, flow.Terms{}
	var items []graph.Item
	var steps []graph.Step
	at := make([][]int, copies) // by copy and item: its number in the whole
	for c := range at {
		at[c] = make([]int, len(k.Graph.Items))
	}
	for _, role := range []graph.Role{graph.Bought, graph.Made, graph.Sold} {
		for c := range copies {
			for i, it := range k.Graph.Items {
				if it.Role != role {
					continue
				}
				at[c][i] = len(items)
				items = append(items, it)
				out.Terms.Price = append(out.Terms.Price, k.Terms.Price[i])
				out.Terms.Worth = append(out.Terms.Worth, k.Terms.Worth[i])
				out.Terms.Keeps = append(out.Terms.Keeps, k.Terms.Keeps[i])
			}
		}
	}
	copied := func(c, s int) {
		st := k.Graph.Steps[s]
		st.Takes, st.Gives = append([]graph.Line(nil), st.Takes...), append([]graph.Output(nil), st.Gives...)
		for l := range st.Takes {
			st.Takes[l].Choices = append([]graph.Choice(nil), st.Takes[l].Choices...)
			for n := range st.Takes[l].Choices {
				st.Takes[l].Choices[n].Item = at[c][st.Takes[l].Choices[n].Item]
			}
		}
		for o := range st.Gives {
			st.Gives[o].Item = at[c][st.Gives[o].Item]
		}
		steps = append(steps, st)
		out.Terms.Cost = append(out.Terms.Cost, k.Terms.Cost[s])
		out.Terms.Share = append(out.Terms.Share, k.Terms.Share[s])
	}
	for c := range copies {
		out.Bought, out.Steps = append(out.Bought, k.Bought...), append(out.Steps, k.Steps...)
		for s := range k.Steps {
			copied(c, s)
		}
	}
	for c := range copies {
		for d, dish := range k.Dishes {
			dish.Item = at[c][dish.Item]
			out.Dishes = append(out.Dishes, dish)
			copied(c, len(k.Steps)+d)
		}
	}
	g, err := graph.New(items, steps)
	require.NoError(tb, err)
	out.Graph = g
	return &out
}

// Targets: a whatif under 1 ms, on ten kitchens side by side under 10 ms; weak under 50 ms. Measured on two cores of a
// 2.x GHz x86-64 machine of 2026.
func BenchmarkWhatIf(b *testing.B) {
	for name, copies := range map[string]int{"three-kettles": 1, "ten times three-kettles": 10} {
		b.Run(name, func(b *testing.B) {
			w := threeKettles(b, copies)
			shock, err := w.Shock("lose", "night kettle@tue")
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				_, err := WhatIf(b.Context(), w, []week.Shock{shock})
				require.NoError(b, err)
			}
		})
	}
}

func BenchmarkWeakPoints(b *testing.B) {
	w := threeKettles(b, 1)
	b.ReportAllocs()
	for b.Loop() {
		_, err := Weak(context.Background(), w, nil)
		require.NoError(b, err)
	}
}

func BenchmarkOver(b *testing.B) {
	w := threeKettles(b, 1)
	b.ReportAllocs()
	for b.Loop() {
		_, err := week.Over(w.Kitchen, w.Period)
		require.NoError(b, err)
	}
}
