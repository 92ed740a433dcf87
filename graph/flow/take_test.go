package flow

// What is taken off the shelves by what happened, against sums done by hand.

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
)

func TestTake(t *testing.T) {
	cases := []struct{ name, kitchen, take, want string }{
		{"a plain dish", "buy hen 2\ndish plate 10: 3 hen\nhand hen 20 made 0", "2 plate", "hen -6"},
		{"more than there is", "buy hen 2\ndish plate 10: 3 hen\nhand hen 5 made 0", "2 plate", "hen -6"},
		{"what is on hand of an item before its step is asked",
			"item stock\norder broth: 10 stock -> 8 broth\ndish soup 10: 2 broth\nhand stock 100 made 0\nhand broth 4 made 0",
			"10 soup", "broth -4, stock -20"},
		{"what a step gives beside stays",
			"item bird\norder carve: 1 bird -> 2 meat + 3 skin\ndish plate 10: 1 meat\nhand bird 5 made 0", "4 plate",
			"bird -2, skin +6"},
		{"the substitute when the first choice is used up",
			"item hen\nitem duck\ndish plate 10: 3 hen or 2 duck\nhand hen 6 made 0\nhand duck 100 made 0", "5 plate",
			"duck -6, hen -6"},
		{"the first choice when all are used up",
			"item hen\nitem duck\ndish plate 10: 3 hen or 2 duck\nhand hen 6 made 0\nhand duck 2 made 0", "5 plate",
			"duck -2, hen -12"},
		{"optional lines as far as they go", "item hen\nitem herb\ndish plate 10: 3 hen + 1 herb?\nhand hen 30 made 0\n" +
			"hand herb 4 made 0", "10 plate", "hen -30, herb -4"},
		{"what nobody counts does not move", "buy salt 0\nitem hen\ndish plate 10: 3 hen + 1 salt\nhand hen 30 made 0",
			"10 plate", "hen -30"},
		{"an item itself", "item stock\norder broth: 10 stock -> 8 broth\nhand stock 100 made 0\nhand broth 4 made 0",
			"12 broth", "broth -4, stock -10"},
		{"nothing at all is there", "item stock\norder broth: 10 stock -> 8 broth\ndish soup 10: 2 broth", "4 soup",
			"stock -10"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			k := readScript(t, c.kitchen)
			f, have := k.shelves(t)
			uncounted := make([]bool, len(have))
			if i, ok := k.itemAt["salt"]; ok {
				uncounted[i] = true
			}
			amount, item, _ := strings.Cut(c.take, " ")
			taker := NewTaker(f)
			for range 2 { // what is taken leaves no trace in the taker
				assert.Equal(t, c.want, k.told(taker.Take(k.itemAt[item], number(amount), have, uncounted)))
			}
		})
	}
}

// shelves compiles the kitchen and gives what is on hand by item.
func (k *script) shelves(t require.TestingT) (*Flow, []float64) {
	g, err := graph.New(k.items, k.steps)
	require.NoError(t, err)
	f, err := Compile(g, k.terms)
	require.NoError(t, err)
	have := make([]float64, len(k.items))
	for _, l := range k.sched.OnHand {
		have[l.Item] += l.Amount
	}
	return f, have
}

func (k *script) told(moved []Moved) string {
	var list []string
	for name, i := range k.itemAt {
		for _, m := range moved {
			if m.Item == i {
				list = append(list, fmt.Sprintf("%s %+.6g", name, m.Amount))
			}
		}
	}
	return strings.Join(slices.Sorted(slices.Values(list)), ", ")
}

// A kitchen that can serve all its forecast takes from its shelves in one go what the walk takes.
func TestTakeAgreesWithTheWalk(t *testing.T) {
	const kitchen = "item stock\nitem bird\norder broth: 10 stock + 1 fat? -> 8 broth\n" +
		"order carve: 1 bird -> 2 meat + 3 fat\n" +
		"dish soup 10: 2 broth + 1 meat or 1 fat\nopen 0 11:30\n"
	rapid.Check(t, func(t *rapid.T) {
		portions := rapid.IntRange(1, 20).Draw(t, "portions")
		k := readScript(nil, kitchen+fmt.Sprintf("want soup %d\n", portions))
		for _, name := range []string{"stock", "bird", "broth", "meat", "fat"} {
			least := map[string]int{"stock": 50, "bird": 10}[name]
			k.line("hand", fmt.Sprintf("%s %d made 0", name, rapid.IntRange(least, 90).Draw(t, name)))
		}
		f, have := k.shelves(t)
		out := f.Walk(&k.sched, Fair, nil)
		require.EqualValues(t, portions, out.Served[0])
		left := append([]float64{}, have...)
		for _, m := range NewTaker(f).Take(k.itemAt["soup"], float64(portions), have, make([]bool, len(have))) {
			left[m.Item] += m.Amount
		}
		assert.InDeltaSlice(t, out.Left, left, 1e-9)
	})
}
