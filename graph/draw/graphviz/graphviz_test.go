package graphviz

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The code is that of the module that it was copied from.
func TestCodeIsOfTheModule(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/goccy/go-graphviz").Output()
	require.NoError(t, err)
	want, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "internal", "wasm", "graphviz.wasm"))
	require.NoError(t, err)
	require.True(t, string(want) == string(code), "copy the module's internal/wasm/graphviz.wasm here, and look at what is drawn")
}

// layers is a graph in which every box of a column leads to every box of the next: the larger, the longer it takes.
func layers(columns, boxes int) []byte {
	var b strings.Builder
	b.WriteString("digraph{rankdir=LR\n")
	for c := 1; c < columns; c++ {
		for from := range boxes {
			for to := range boxes {
				fmt.Fprintf(&b, "%d->%d\n", (c-1)*boxes+from, c*boxes+to)
			}
		}
	}
	b.WriteString("}\n")
	return []byte(b.String())
}

// What an instance has grown to is given back: a new one takes its place, and draws the same.
func TestInstanceIsReplaced(t *testing.T) {
	e := New()
	first, err := e.Plain(t.Context(), layers(3, 4))
	require.NoError(t, err)
	was := e.instance
	again, err := e.Plain(t.Context(), layers(3, 4))
	require.NoError(t, err)
	assert.Equal(t, string(first), string(again))
	require.Same(t, was, e.instance, "it is used again")

	_, grown := was.module.Memory().Grow(mostMemory >> 16)
	require.True(t, grown)
	again, err = e.Plain(t.Context(), layers(3, 4))
	require.NoError(t, err)
	assert.Equal(t, string(first), string(again))
	assert.Nil(t, e.instance, "it is closed")
	assert.True(t, was.module.IsClosed())
	again, err = e.Plain(t.Context(), layers(3, 4))
	require.NoError(t, err)
	assert.Equal(t, string(first), string(again), "by a new one")
}

// Whoever asks for a picture need not wait until it is finished; what follows waits, and is drawn.
func TestGivesUp(t *testing.T) {
	e := New()
	_, err := e.Plain(t.Context(), layers(2, 2))
	require.NoError(t, err)
	ctx, cancel := context.WithCancelCause(t.Context())
	gone := errors.New("the page was closed")
	time.AfterFunc(time.Millisecond, func() { cancel(gone) })
	_, err = e.Plain(ctx, layers(9, 9)) // some 100 ms
	require.ErrorIs(t, err, gone)
	_, err = e.Plain(ctx, layers(2, 2))
	require.ErrorIs(t, err, gone)
	_, err = e.Plain(t.Context(), layers(2, 2))
	require.NoError(t, err, "the next one is drawn")

	<-e.turn // another is being drawn
	_, err = e.Plain(ctx, layers(2, 2))
	require.ErrorIs(t, err, gone)
	assert.ErrorContains(t, err, "wait for another picture")
	e.turn <- struct{}{}
}

func TestUnreadable(t *testing.T) {
	e := New()
	_, err := e.Plain(t.Context(), []byte("digraph { stock -> "))
	require.ErrorContains(t, err, "can't read the picture")
	_, err = e.Plain(t.Context(), layers(2, 2))
	require.NoError(t, err)
}
