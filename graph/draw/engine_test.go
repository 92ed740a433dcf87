package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A flow of which only the words are others is not laid out again.
func TestTheSameFlowIsLaidOutOnce(t *testing.T) {
	laidOut := func(stock string) string {
		t.Helper()
		sheet, err := Render(t.Context(), Picture{Title: "Layouts", Nodes: []Node{{ID: "s", Name: stock, Kind: Made}, {ID: "t", Name: "tamales", Kind: Dish}},
			Edges: []Edge{{From: "s", To: "t", Label: "3 L"}}})
		require.NoError(t, err)
		return string(sheet)
	}
	count := func() (n int, last string) {
		engine.turn <- struct{}{}
		defer func() { <-engine.turn }()
		return drawn + assistant.drawn, before[len(before)-1].dot
	}
	laidOut("pork stock")
	made, dot := count()
	second := laidOut("hen stock")
	again, same := count()
	assert.Equal(t, made, again)
	assert.Equal(t, dot, same)
	engine.turn <- struct{}{}
	before = nil
	<-engine.turn
	assert.Equal(t, laidOut("hen stock"), second)
}

func TestFewLayoutsAreKept(t *testing.T) {
	var l layouts
	for n := range byte(mostLayouts + 1) {
		l.keep([]byte{n}, []byte{n})
		if n == 5 {
			_, ok := l.find([]byte{0})
			require.True(t, ok)
		}
	}
	assert.Len(t, l, mostLayouts)
	_, ok := l.find([]byte{1})
	assert.False(t, ok, "used longest ago")
	plain, ok := l.find([]byte{0})
	assert.True(t, ok)
	assert.Equal(t, []byte{0}, plain)
}
