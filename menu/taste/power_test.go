package taste

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// things can make the colour of a pot: what the cook weighs, times and notes, and what is one way or the other.
var things = []struct{ name, unit, one, other string }{
	{"bones", ofTheCard, "", ""}, {"onion", ofTheCard, "", ""}, {"age of bones", "days", "", ""}, {"hock", ofTheCard, "", ""},
	{"hock in at", "h", "", ""}, {"to the boil", "min", "", ""}, {"skims", "times", "", ""}, {"stock out", ofTheCard, "", ""},
	{"bones from", "", "hill farm", "river farm"}, {"neck" + logbook.WentIn, "", "back", "neck"}, {"cook", "", "Ana", "Bo"},
}

// pots are batches whose colour one of the things makes, or none for -1: a share of how it varies is made by that, the rest by nothing. Salt and clarity go with nothing.
func pots(r *rand.Rand, batches, cause int, share float64) (list []logbook.Tasting) {
	halves := make([][]int, len(things))
	for i := range halves {
		halves[i] = r.Perm(batches)
	}
	for n := range batches {
		at := first.AddDate(0, 0, 2*n)
		b := logbook.Tasting{At: at, Begins: at, Batches: 1}
		dark := r.NormFloat64()
		for i, one := range things {
			x := r.Float64()
			f := logbook.Fact{Name: one.name, Unit: one.unit, Value: 0.7 + 0.6*x}
			switch {
			case one.unit == "":
				if x = float64(halves[i][n] % 2); x > 0 {
					f.Word = one.other
				} else {
					f.Word = one.one
				}
			case one.unit == "min":
				f.Value = math.Round(50 + 40*x)
			case one.unit == "times":
				f.Value = math.Round(2 + 6*x)
			}
			if i == cause {
				spread := math.Sqrt(1.0 / 12)
				if one.unit == "" {
					spread = 0.5
				}
				dark = (x-0.5)/spread*math.Sqrt(share) + dark*math.Sqrt(1-share)
			}
			b.Facts = append(b.Facts, f)
		}
		value := func(v float64) *float64 { return &v }
		b.Tastes = []logbook.Taste{{Name: "colour", Value: value(max(1, min(5, math.Round(3+1.1*dark))))}, {Name: "salt", Value: value(math.Round(100+10*r.NormFloat64()) / 100)},
			{Name: "clarity", Value: value(float64(1 + r.IntN(5)))}}
		list = append(list, b)
	}
	return list
}

// What chance there is to find a cause, by how many batches were measured: a table, for -journals log books of each kind. Without a cause at most one in twenty
// may name anything; the bound of the test is where a fair program gets to in one run of 10,000.
func TestPower(t *testing.T) {
	measures := []kitchen.Measure{{Name: "colour", Sort: kitchen.Judged, Low: 1, High: 5, Aim: &kitchen.Range{Low: 3, High: 4}},
		{Name: "salt", Sort: kitchen.Gauged, Unit: "%", Aim: &kitchen.Range{Low: 0.9, High: 1.1}}, {Name: "clarity", Sort: kitchen.Judged, Low: 1, High: 5}}
	seed := rand.Uint64()
	named := func(batches, cause int, share float64, n uint64) (cast, other bool) {
		r := rand.New(rand.NewPCG(seed, n<<16|uint64(batches)<<8|uint64(cause+1)))
		list, _, err := measuredOver(t.Context(), measures, pots(r, batches, cause, share))
		require.NoError(t, err)
		for _, m := range list {
			for _, g := range m.Goes {
				is := g.Found && cause >= 0 && m.Name == "colour" && g.Thing == things[cause].name
				cast, other = cast || is, other || g.Found && !is
			}
		}
		return cast, other
	}
	// By how much of the colour's variance the cause makes, and whether it is a figure or a word.
	kinds := []struct {
		says  string
		share float64
		word  bool
	}{{"figure, 9/10", 0.9, false}, {"figure, 2/3", 2.0 / 3, false}, {"figure, 1/2", 0.5, false}, {"word, 9/10", 0.9, true}, {"word, 2/3", 2.0 / 3, true}}
	sizes := []int{8, 12, 16, 20, 24}
	draws := max(1, *journals/4)
	table, power := fmt.Sprintf("%14s %5d %5d %5d %5d %5d\n", "batches", 8, 12, 16, 20, 24), map[string][]float64{}
	for _, kind := range kinds {
		for _, batches := range sizes {
			found, all := 0, 0
			for cause, one := range things {
				if (one.unit == "") != kind.word {
					continue
				}
				for n := range uint64(draws) {
					cast, _ := named(batches, cause, kind.share, n)
					if all++; cast {
						found++
					}
				}
			}
			power[kind.says] = append(power[kind.says], 100*float64(found)/float64(all))
		}
		table += fmt.Sprintf("%14s %5.0f %5.0f %5.0f %5.0f %5.0f\n", kind.says, power[kind.says][0], power[kind.says][1], power[kind.says][2], power[kind.says][3], power[kind.says][4])
	}
	none := 8 * draws
	table += fmt.Sprintf("%14s", "no cause")
	for _, batches := range sizes {
		wrong := 0
		for n := range uint64(none) {
			if _, other := named(batches, -1, 0, n); other {
				wrong++
			}
		}
		table += fmt.Sprintf(" %5.1f", 100*float64(wrong)/float64(none))
		// One in twenty, and four times the spread of so many draws.
		assert.LessOrEqual(t, float64(wrong), 0.05*float64(none)+4*math.Sqrt(0.05*0.95*float64(none))+1, "%d batches, seed %d", batches, seed)
	}
	t.Logf("of a hundred log books, how many name the cause; with no cause, how many name anything:\n%s\nseed %d, %d log books for each cause", table, seed, draws)
	for _, kind := range kinds {
		assert.Zero(t, power[kind.says][0], "below twelve nothing is named")
	}
	for n, batches := range sizes { // what the page says of it
		is, says := power["figure, 2/3"][n]/10, float64(foundIn(batches))
		assert.InDelta(t, says, is, 1+40*math.Sqrt(0.25/float64(8*draws)), "%d batches, seed %d", batches, seed)
	}
	assert.Greater(t, power["word, 9/10"][1], 40.0, "seed %d", seed) // of six and six, though among so many things
	assert.Greater(t, power["figure, 9/10"][1], 40.0, "seed %d", seed)
	assert.Greater(t, power["figure, 9/10"][4], 80.0, "seed %d", seed)
	assert.Greater(t, power["word, 9/10"][4], 50.0, "seed %d", seed)
}
