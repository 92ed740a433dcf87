package flow

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of Tuesday's kettle half is lost: 4 g of stock and 1 g of fat, which are taken away at the price of waste as what is binned
// is.
func TestWhatIsLostIsTakenAwayForMoney(t *testing.T) {
	const perGram = 0.25
	spent := func(disposal float64) float64 {
		k := only(t, shocked)
		k.terms.Disposal = disposal
		c := k.compile().With(Lose{Step: 0, Day: 1, Share: 0.5})
		o := c.Flow.Walk(c.Schedule, Fair, nil)
		require.Zero(t, o.Binned[0])
		costing, err := c.Flow.Cost(o)
		require.NoError(t, err)
		return c.Books(o, costing).Spent
	}
	assert.InDelta(t, perGram*(4+1), spent(perGram)-spent(0), 1e-9)
}
