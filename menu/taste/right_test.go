package taste

import (
	"kettletree/graph/measure"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Mass balances worked by hand.
func TestBalances(t *testing.T) {
	litre, err := measure.UnitNamed("L")
	require.NoError(t, err)
	assert.InDelta(t, 18.6, Thin(62, 1.3, 1), 1e-9, "62 L at 1.3 % hold 0.806 kg: 80.6 L at 1 %")
	assert.Zero(t, Thin(62, 0.9, 1))
	assert.InDelta(t, 12.4, Reduce(62, 3, 3.75), 1e-9, "62 L at 3 hold 186: 49.6 L at 3.75")
	assert.Zero(t, Reduce(62, 4, 3.75))
	assert.InDelta(t, 0.2/0.99, Add(50, 0.006, 0.01), 1e-9, "0.3 kg in 50 kg; 0.3 + x = 1 % of 50 + x")
	assert.Equal(t, []float64{0.15, 7, 18}, []float64{jugRound(litre, 0.19), jugRound(litre, 7.4), jugRound(litre, 18.6)})
}

func TestBalancesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, reads, aim := rapid.Float64Range(1, 200).Draw(t, "v"), rapid.Float64Range(0.1, 9).Draw(t, "reads"), rapid.Float64Range(0.1, 9).Draw(t, "aim")
		assert.InEpsilon(t, v*reads, (v+Thin(v, reads, aim)-Reduce(v, reads, aim))*aim, 1e-9, "what is dissolved stays")
		x := Add(v, reads/100, aim/100)
		if reads < aim {
			assert.InEpsilon(t, (v+x)*aim/100, v*reads/100+x, 1e-9)
		}
	})
}
