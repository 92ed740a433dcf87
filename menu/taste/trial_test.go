package taste

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// NIST/SEMATECH e-Handbook of Statistical Methods, 5.3.3.4.2 (from memory): the half fraction of three factors takes the rows of the full
// design of two, with the third the product of both. Ours of four takes the rows of three, in the same way.
func TestDesign(t *testing.T) {
	four, err := Design(4)
	require.NoError(t, err)
	assert.Equal(t, [][]int{
		{-1, -1, -1, -1}, {1, -1, -1, 1}, {-1, 1, -1, 1}, {1, 1, -1, -1}, {-1, -1, 1, 1}, {1, -1, 1, -1}, {-1, 1, 1, -1}, {1, 1, 1, 1}}, four)
	two, err := Design(2)
	require.NoError(t, err)
	assert.Equal(t, two[:4], two[4:], "each pair twice")
	for things := 2; things <= 4; things++ {
		design, err := Design(things)
		require.NoError(t, err)
		for a := range things {
			sum := 0
			for _, run := range design {
				sum += run[a]
			}
			assert.Zero(t, sum, "each level as often")
			for b := range a {
				cross := 0
				for _, run := range design {
					cross += run[a] * run[b]
				}
				assert.Zero(t, cross, "no two are mixed up")
			}
		}
	}
	for _, n := range []int{0, 1, 5} {
		_, err := Design(n)
		assert.Error(t, err)
	}
}

func TestShuffled(t *testing.T) {
	order := Shuffled("night kettle")
	assert.Equal(t, order, Shuffled("night kettle"))
	slices.Sort(order)
	assert.Equal(t, []int{0, 1, 2, 3, 4, 5, 6, 7}, order)
}

// No thing of a trial rises or falls with time.
func TestSpread(t *testing.T) {
	for things := 2; things <= MostVaried; things++ {
		design, err := Design(things)
		require.NoError(t, err)
		for _, by := range []string{"broth", "night kettle", "daily braise"} {
			order := spread(by, design)
			for at := range things {
				early := 0
				for _, run := range order[:TrialBatches/2] {
					early += design[run][at]
				}
				assert.LessOrEqual(t, early*early, 4, "at most three of four at one level in either half")
			}
		}
	}
}
