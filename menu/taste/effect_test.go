package taste

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
)

// NIST/SEMATECH e-Handbook of Statistical Methods, 5.3.3.4.1, the full design of speed, feed and depth before it is halved, and the pilot
// plant of Box, Hunter and Hunter, Statistics for Experimenters (1978), chapter 10, with its effects of 23, -5 and 1.5. Both from memory.
func TestMainEffects(t *testing.T) {
	for _, c := range []struct {
		values  []float64
		effects []float64
	}{
		{[]float64{33, 63, 41, 57, 57, 51, 59, 53}, []float64{8.5, 1.5, 6.5}},
		{[]float64{60, 72, 54, 68, 52, 83, 45, 80}, []float64{23, -5, 1.5}},
	} {
		design, err := Design(3)
		require.NoError(t, err)
		for at, want := range c.effects {
			signs := make([]int, TrialBatches)
			for n := range signs {
				signs[n] = design[n][at]
			}
			less, more, chance := MainEffect(c.values, signs)
			assert.InDelta(t, want, more-less, 1e-9)
			assert.True(t, chance >= 2.0/70 && chance <= 1)
		}
	}
	// The pilot plant's temperature: its four higher yields are the four highest of all, so that only 2 ways of 70 part them as far.
	_, _, chance := MainEffect([]float64{60, 72, 54, 68, 52, 83, 45, 80}, []int{-1, 1, -1, 1, -1, 1, -1, 1})
	assert.InDelta(t, 2.0/70, chance, 1e-12)
	_, _, chance = MainEffect([]float64{1, 2}, []int{1, 1})
	assert.True(t, math.IsNaN(chance))
}

func TestMainEffectTurned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0, 5), 8, 8).Draw(t, "values")
		signs, turned := make([]int, 8), make([]int, 8)
		for n := range signs {
			signs[n] = 2*(n&1) - 1
			turned[n] = -signs[n]
		}
		less, more, chance := MainEffect(values, signs)
		l, m, c := MainEffect(values, turned)
		assert.InDelta(t, more-less, l-m, 1e-12)
		assert.InDelta(t, chance, c, 1e-9)
	})
}

// A trial through eight batches: the file that keeps it, the next batch at the stove, a batch made otherwise, and what it tells.
func TestTrialUnderWay(t *testing.T) {
	k, of := gumbo(t)
	j := book(t)
	_, err := j.Append(t.Context(), entries(t, k, 0, [3]string{"07:00", "lit", "seafood stock: 14 kg chicken backs, 4 kg onion, 60 L water"},
		[3]string{"13:20", "measured", "seafood stock: colour 3, to the boil 60"})...)
	require.NoError(t, err)
	begun := first.Add(20 * time.Hour)
	a, err := Of(t.Context(), k, j, of, begun, Ask{Vary: []string{"onion", "to the boil"}})
	require.NoError(t, err)
	kept := a.Trial.Begin(a.Of, begun)
	text, err := kept.Text()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "kitchen.trial")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	kept, err = Read(file)
	require.NoError(t, err)
	assert.Equal(t, a.Trial.Begin(a.Of, begun), kept)
	for n, levels := range kept.Batches {
		now := first.AddDate(0, 0, n+1)
		under, err := kept.Trialled(t.Context(), k, j, now)
		require.NoError(t, err)
		assert.Equal(t, n+1, under.Next)
		told, err := Tell(t.Context(), k, j, kept, now)
		require.NoError(t, err)
		rows := []clock.Row{{Step: "seafood stock", Do: clock.Start}, {Step: "seafood stock", Do: clock.TakeOut, Out: []clock.Part{{Item: "gumbo stock"}}}, {Step: "seafood stock", Do: clock.Start}}
		marked := told.Marked(k, rows)
		assert.Equal(t, under.Runs[n].Levels, marked[0].Try)
		assert.Empty(t, marked[2].Try, "only the next one")
		assert.Empty(t, rows[0].Try, "rows that others see stay as they are")
		require.Len(t, marked[1].Aims, 3)
		assert.Equal(t, "3 to 4 of 5", marked[1].Aims[0].Text)
		onion, boil := 4+0.4*float64(levels[0]), 60+6*levels[1]
		if n == 2 {
			boil = 60 - 6*levels[1] // made otherwise
		}
		shade := 3
		if boil > 60 {
			shade = 5
		}
		_, err = j.Append(t.Context(), entries(t, k, n+1,
			[3]string{"07:00", "lit", fmt.Sprintf("seafood stock: 14 kg chicken backs, %.1f kg onion, 60 L water", onion)},
			[3]string{"13:20", "measured", fmt.Sprintf("seafood stock: colour %d, to the boil %d", shade, boil)})...)
		require.NoError(t, err)
	}
	under, err := kept.Trialled(t.Context(), k, j, first.AddDate(0, 0, 20))
	require.NoError(t, err)
	assert.Zero(t, under.Next)
	assert.Equal(t, TrialBatches, under.Measured)
	assert.Equal(t, []string{"to the boil"}, under.Runs[2].Other)
	require.NotEmpty(t, under.Effects)
	e := under.Effects[0]
	assert.Equal(t, "colour to the boil 2", fmt.Sprintf("%s %s %v", e.Measure, e.Thing, e.Effect))
	assert.True(t, e.Plain())
	// Under new names the same trial goes on.
	renamed := strings.NewReplacer("  seafood stock:", "  levee stock:\n    was: [seafood stock]", "  onion: {price: 1.2/kg}", "  yellow onion: {price: 1.2/kg, was: [onion]}", "4 kg onion", "4 kg yellow onion").Replace(gumboHouse)
	later, faults := kitchen.Read("kitchen.yaml", []byte(renamed))
	require.NoError(t, faults.Err())
	j.Know(later)
	again, err := Of(t.Context(), later, j, of, first.AddDate(0, 0, 20), Ask{Kept: kept})
	require.NoError(t, err)
	require.NotNil(t, again.Under)
	assert.Equal(t, "levee stock", again.Under.Of)
	assert.Equal(t, TrialBatches, again.Under.Measured)
	assert.Equal(t, under.Effects[0].Effect, again.Under.Effects[0].Effect)
	assert.Contains(t, again.Under.Runs[0].Levels[0], "yellow onion")
	for text, fault := range map[string]string{"of: x": "not a moment", "begun: 2026-11-24 14:05:00\nof: x": "varies 2 to 4 things", "- a": "can't be read", "\x00": "can't be read"} {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		_, err := Read(file)
		assert.ErrorContains(t, err, fault)
	}
}
