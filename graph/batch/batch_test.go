package batch

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/measure"
)

func unit(t require.TestingT, name string) measure.Unit {
	q, err := measure.Parse("1 " + name)
	require.NoError(t, err)
	return q.Unit
}

// A ham stock, worked by hand: 80 L of water and 20 kg of bones boil from 1 h on, 2 L an hour, and give 62 L of stock and 4 kg of
// meat at 9 h. The ham bones are in from 4 h to 7 h.
func hamStock(t require.TestingT) ([]graph.Item, graph.Step) {
	items := []graph.Item{
		{Name: "water", Unit: unit(t, "L"), Density: 1},
		{Name: "bones", Unit: unit(t, "kg")},
		{Name: "ham bones of 24 months", Unit: unit(t, "kg"), Strength: 1},
		{Name: "ham bones of 12 months", Unit: unit(t, "kg"), Strength: 0.5},
		{Name: "stock", Unit: unit(t, "L"), Density: 1.01},
		{Name: "meat", Unit: unit(t, "kg")},
	}
	return items, graph.Step{Name: "ham stock", BoilsFrom: 60, BoilsOff: 2000,
		Takes: []graph.Line{
			{Choices: []graph.Choice{{Item: 0, Amount: 80_000}}},
			{Choices: []graph.Choice{{Item: 1, Amount: 20_000}}},
			{Choices: []graph.Choice{{Item: 2, Amount: 2500}, {Item: 3, Amount: 5000}}, InAt: 240, OutAt: 420, AtMost: 0.03, Strongest: 120},
		},
		Gives: []graph.Output{{Item: 4, Amount: 62_000, OutAt: 540}, {Item: 5, Amount: 4000, OutAt: 300}}}
}

func TestHamStockByHand(t *testing.T) {
	items, st := hamStock(t)
	assert.Equal(t, []Bound{{2, true, false, 0.03}, {2, true, true, 120}}, BoundsOf(st))
	old, young := OfRecipe(items, st, []int{0, 0, 0}), OfRecipe(items, st, []int{0, 0, 1})

	// 2.5 kg for 3 h in 62 L, and twice as much of half the strength.
	assert.InDelta(t, 2500*3/62.0, old.Drawn(2), 1e-9)
	assert.InDelta(t, 5000*0.5*3/62.0, young.Drawn(2), 1e-9)
	s, drawn, broken := old.Furthest(Bound{2, true, true, 120})
	assert.True(t, broken, "121 are more than 120")
	assert.InDelta(t, 120.967742, drawn, 1e-6)
	assert.Equal(t, []int{240, 420}, []int{s.From, s.To})
	assert.InDelta(t, 120*62/3.0, old.Keeps(Bound{2, true, true, 120}), 1e-9, "2.48 kg")
	assert.InDelta(t, 120*62/1.5, young.Keeps(Bound{2, true, true, 120}), 1e-9, "4.96 kg of the mild ones")

	// By weight it is most at 7 h, when 12 L have gone off and the meat is out: 80 + 20 + 2.5 - 4 - 12 = 86.5 kg.
	by := Bound{2, true, false, 0.02}
	s, share, broken := old.Furthest(by)
	assert.True(t, broken)
	assert.Equal(t, []int{300, 420}, []int{s.From, s.To})
	assert.InDelta(t, 2.5/86.5, share, 1e-12)
	assert.InDelta(t, 84_000*0.02/0.98, old.Keeps(by), 1e-9)
	_, share, _ = young.Furthest(by)
	assert.InDelta(t, 2.5/89, share, 1e-12, "5 kg count as 2.5, in a pot that weighs 2.5 more")
	assert.InDelta(t, 84_000*0.02/0.48, young.Keeps(by), 1e-9)

	// At least is held when the pot is fullest: at 4 h, 6 L have gone off.
	_, share, broken = old.Furthest(Bound{2, false, false, 0.04})
	assert.True(t, broken)
	assert.InDelta(t, 2.5/96.5, share, 1e-12)
}

// pots are steps with lines that go in, and stay or come out again, of several strengths, and outputs within the weight that is
// in; with how they are filled.
func pots(t *rapid.T) (items []graph.Item, st graph.Step, fills [][]float64, gives []float64) {
	number := func(name string, least, most int) int { return rapid.IntRange(least, most).Draw(t, name) }
	kg := unit(t, "kg")
	add := func(of graph.Item) int {
		items = append(items, of)
		return len(items) - 1
	}
	all := 0.0
	for range number("lines", 1, 5) {
		l := graph.Line{InAt: number("at", 0, 6)}
		var fill []float64
		for range number("choices", 1, 2) {
			it := add(graph.Item{Unit: kg, Strength: float64(number("strength", 0, 4)) / 2})
			l.Choices = append(l.Choices, graph.Choice{Item: it, Amount: float64(number("in", 1, 5000))})
			fill = append(fill, float64(number("fill", 0, 2))/2)
		}
		if rapid.Bool().Draw(t, "taken out") {
			l.OutAt = l.InAt + number("after", 1, 4)
		} else {
			for c, choice := range l.Choices {
				all += fill[c] * choice.Amount
			}
		}
		st.Takes = append(st.Takes, l)
		fills = append(fills, fill)
	}
	for range number("outputs", 1, 3) {
		part := float64(number("part", 0, 100)) / 300 * all
		st.Gives = append(st.Gives, graph.Output{Item: add(graph.Item{Unit: kg}), Amount: part, OutAt: number("out", 6, 12)})
		gives = append(gives, part)
	}
	gives = append(gives, 1000*float64(number("litres", 1, 5)))
	st.Gives = append(st.Gives, graph.Output{Item: add(graph.Item{Unit: unit(t, "L")}), OutAt: st.Length()}) // of no known weight
	st.BoilsFrom = number("boils from", 0, 6)
	st.BoilsOff = float64(number("boils off", 0, 3000))
	return items, st, fills, gives
}

func bound(t *rapid.T, lines int) Bound {
	return Bound{Line: rapid.IntRange(0, lines-1).Draw(t, "line"), Most: rapid.Bool().Draw(t, "most"),
		Limit: float64(rapid.IntRange(1, 99).Draw(t, "bound")) / 100}
}

// Minute by minute, what is in is weighed again, as the minute begins and as it ends; the stages must find the same worst share.
func TestSharesMinuteByMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items, st, fills, gives := pots(t)
		b := bound(t, len(st.Takes))
		end, lastIn := st.Length(), false
		grams, alike := make([]float64, len(st.Takes)), 0.0
		for l, line := range st.Takes {
			lastIn = lastIn || line.InAt == end
			first := max(items[line.Choices[0].Item].Strength, 0.5)
			if items[line.Choices[0].Item].Strength == 0 {
				first = 1
			}
			for c, choice := range line.Choices {
				part, strong := fills[l][c]*choice.Amount, items[choice.Item].Strength
				if strong == 0 {
					strong = 1
				}
				grams[l] += part
				if l == b.Line {
					alike += part * strong / first
				}
			}
		}
		worst, out := 0.0, func(l graph.Line) int {
			if l.OutAt == 0 {
				return math.MaxInt
			}
			return l.OutAt
		}
		for minute := 0; minute <= end; minute++ {
			if minute == end && !lastIn {
				break
			}
			total := 0.0
			for l, line := range st.Takes {
				if line.InAt <= minute && (out(line) > minute || minute == end && out(line) == minute) {
					total += grams[l]
				}
			}
			for o, from := range st.Gives[:len(st.Gives)-1] {
				if from.OutAt < minute || from.OutAt == minute && minute < end {
					total -= gives[o]
				}
			}
			own := st.Takes[b.Line]
			if own.InAt > minute || out(own) < minute || out(own) == minute && minute < end || grams[b.Line] == 0 {
				continue
			}
			for _, at := range []int{minute, minute + 1} {
				steam := st.BoilsOff / 60 * float64(max(0, min(at, end)-st.BoilsFrom))
				worst = max(worst, b.Beyond(min(1, alike/max(total-steam, grams[b.Line]))))
			}
		}
		if grams[b.Line] == 0 && !b.Most {
			worst = b.Limit
		}
		_, share, broken := Of(items, st, 1, fills, gives).Furthest(b)
		assert.Equal(t, worst > 0, broken)
		if broken {
			assert.InDelta(t, worst, b.Beyond(share), 1e-9)
		}
	})
}

// Scaling a batch changes no share and nothing that is drawn, and what keeps a bound is the edge of it.
func TestSharesOfAScaledBatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items, st, fills, gives := pots(t)
		b := bound(t, len(st.Takes))
		if b.Drawn = rapid.Bool().Draw(t, "drawn") && st.Takes[b.Line].InAt < st.Length(); b.Drawn {
			b.Limit *= 100
		}
		times := func(scale, line float64) Weights {
			more, many := make([][]float64, len(fills)), make([]float64, len(gives))
			for l := range fills {
				more[l] = slices.Clone(fills[l])
				for c := range more[l] {
					if more[l][c] *= scale; l == b.Line {
						more[l][c] *= line
					}
				}
			}
			for o := range gives {
				many[o] = gives[o] * scale
			}
			return Of(items, st, scale, more, many)
		}
		p := times(1, 1)
		_, was, wasBroken := p.Furthest(b)
		_, is, isBroken := times(rapid.Float64Range(0.01, 10).Draw(t, "scale"), 1).Furthest(b)
		assert.Equal(t, wasBroken, isBroken)
		assert.InDelta(t, was, is, 1e-9*(1+was))

		own := p.Ins[b.Line]
		edge := p.Keeps(b)
		if own.Grams == 0 || math.IsInf(edge, 0) || edge == 0 {
			return // it is never in, or nothing of it would keep it
		}
		for _, s := range p.Stages() {
			if !b.Drawn && s.In[b.Line] && (p.others(b, s) == 0 || own.Alike <= b.Limit) {
				return // all else is out, or no amount of it is too much
			}
		}
		kept := edge / own.Grams
		at := times(1, kept)
		if _, _, broken := at.Furthest(b); broken { // by a rounding at most
			_, value, _ := at.Furthest(b)
			assert.InDelta(t, b.Limit, value, 1e-9*b.Limit, "%v keeps it", edge)
		}
		if b.Most {
			kept *= 1.01
		} else {
			kept *= 0.99
		}
		_, _, broken := times(1, kept).Furthest(b)
		assert.True(t, broken, "%v is just enough", edge)
	})
}
