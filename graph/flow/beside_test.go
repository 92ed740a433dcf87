package flow

// What a taking moves beside the shelves: items that nobody counts, and work to order.

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBeside(t *testing.T) {
	k := readScript(t, "buy salt 0\nitem stock\norder broth cost 3: 10 stock + 2 salt -> 8 broth\ndish soup 10: 2 broth + 1 salt\n"+
		"hand stock 15 made 0")
	f, have := k.shelves(t)
	uncounted := make([]bool, len(have))
	uncounted[k.itemAt["salt"]] = true
	taker := NewTaker(f)
	for range 2 { // what is taken leaves no trace in the taker
		// 8 soups take 16 broth, which is two batches; the stock is enough for one and a half, and is overdrawn
		assert.Equal(t, "stock -20", k.told(taker.Take(k.itemAt["soup"], 8, have, uncounted)))
		salt, labour := taker.Beside()
		assert.Equal(t, "salt -12", k.told(salt))
		assert.InDelta(t, 6, labour, 1e-9)
	}
}
