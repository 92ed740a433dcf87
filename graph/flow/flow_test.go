package flow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// sketch builds small flows in tests by name.
type sketch struct {
	t     testing.TB
	items []graph.Item
	steps []graph.Step
	terms Terms
	names map[string]int
}

func newSketch(t testing.TB) *sketch { return &sketch{t: t, names: map[string]int{}} }

var gram = func() measure.Unit {
	u, err := measure.UnitNamed("g")
	if err != nil {
		panic(err)
	}
	return u
}()

func (k *sketch) item(name string, role graph.Role, price float64) int {
	if i, ok := k.names[name]; ok {
		return i
	}
	k.names[name] = len(k.items)
	k.items = append(k.items, graph.Item{Name: name, Role: role, Unit: gram})
	k.terms.Price = append(k.terms.Price, price)
	k.terms.Worth = append(k.terms.Worth, math.NaN())
	k.terms.Keeps = append(k.terms.Keeps, 0)
	return len(k.items) - 1
}

func (k *sketch) step(name string, mode graph.Mode, cost float64, rule Rule, uses []graph.Line, gives ...graph.Output) int {
	k.steps = append(k.steps, graph.Step{Name: name, Mode: mode, Uses: uses, Gives: gives})
	k.terms.Cost = append(k.terms.Cost, cost)
	k.terms.Share = append(k.terms.Share, rule)
	return len(k.steps) - 1
}

func (k *sketch) compile() *Flow {
	g, err := graph.New(k.items, k.steps)
	require.NoError(k.t, err)
	f, err := Compile(g, k.terms)
	require.NoError(k.t, err)
	return f
}

func uses(pairs ...float64) (lines []graph.Line) {
	for k := 0; k < len(pairs); k += 2 {
		lines = append(lines, graph.Line{Choices: []graph.Choice{{Item: int(pairs[k]), Amount: pairs[k+1]}}})
	}
	return lines
}

// C1.5 and C1.6: Horngren, Datar and Rajan, Cost Accounting: A Managerial Emphasis, chapter 16, Farmers' Dairy (inputs
// and outputs from memory, and plain arithmetic from each other).
func TestFinalValue(t *testing.T) {
	for _, tc := range []struct {
		rule        Rule
		cream, skim float64
	}{{ByFinalValue, 110_000, 290_000}, {ByEvenMargin, 95_000, 305_000}} {
		k := newSketch(t)
		milk := k.item("milk", graph.Bought, 400_000.0/110_000)
		cream, skim := k.item("cream", graph.Made, 0), k.item("skim", graph.Made, 0)
		butter, cond := k.item("buttercream", graph.Sold, 25), k.item("condensed", graph.Sold, 22)
		sep := k.step("separate", graph.OnDays, 0, tc.rule, uses(float64(milk), 110_000),
			graph.Output{Item: cream, Amount: 25_000}, graph.Output{Item: skim, Amount: 75_000})
		k.step("churn", graph.ToOrder, 280_000, ByWorth, uses(float64(cream), 25_000), graph.Output{Item: butter, Amount: 20_000})
		k.step("condense", graph.ToOrder, 520_000, ByWorth, uses(float64(skim), 75_000), graph.Output{Item: cond, Amount: 50_000})
		c, err := k.compile().Cost(nil)
		require.NoError(t, err)
		require.InDelta(t, tc.cream, c.Share(sep, 0), 0.005)
		require.InDelta(t, tc.skim, c.Share(sep, 1), 0.005)
	}
}
