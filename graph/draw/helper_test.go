package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Behind the first twenty layouts stands a helper: it lays out alike, is replaced when it has done its part or breaks down, and
// says what it can't lay out.
func TestHelperLaysOutAlike(t *testing.T) {
	var h helper
	t.Cleanup(func() {
		if h.command != nil {
			h.end()
		}
	})
	dot := []byte("digraph { stock -> soup }")
	here, err := layOutHere(dot)
	require.NoError(t, err)
	again := func() {
		t.Helper()
		there, err := h.layOut(dot)
		require.NoError(t, err)
		assert.Equal(t, string(here), string(there))
	}
	again()
	first := h.command
	again()
	assert.Same(t, first, h.command)

	_, err = h.layOut([]byte("digraph { stock -> "))
	require.Error(t, err)
	assert.Same(t, first, h.command, "it goes on after what it can't read")
	again()

	require.NoError(t, h.command.Process.Kill())
	_ = h.command.Process.Release()
	again()
	assert.NotSame(t, first, h.command, "one that breaks down is replaced")

	h.drawn = mostOfHelper - 1
	again()
	assert.Nil(t, h.command, "and one that has done its part")
}
