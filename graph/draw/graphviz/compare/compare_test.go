// Package compare holds package graphviz against the Go side of the module that its code is from. It has a package of its own because
// that module starts the code in every program that imports it, and keeps it in the system's temporary folder.
package compare

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	reference "github.com/goccy/go-graphviz"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/draw/graphviz"
)

// Any graph is laid out as the module does.
func TestAsTheModuleDoes(t *testing.T) {
	module, err := reference.New(t.Context())
	require.NoError(t, err)
	engine := graphviz.New()
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		b.WriteString("digraph{rankdir=LR;splines=none;node[shape=box,fixedsize=true,width=0.1]\n")
		boxes := rapid.IntRange(1, 20).Draw(t, "boxes")
		for i := range boxes {
			fmt.Fprintf(&b, "%d[height=%.4f]\n", i, rapid.Float64Range(0.01, 2).Draw(t, "height"))
		}
		for range rapid.IntRange(0, 2*boxes).Draw(t, "lines") {
			fmt.Fprintf(&b, "%d->%d[weight=%d]\n", rapid.IntRange(0, boxes-1).Draw(t, "from"), rapid.IntRange(0, boxes-1).Draw(t, "to"),
				rapid.IntRange(1, 8).Draw(t, "weight"))
		}
		b.WriteString("}\n")
		graph, err := reference.ParseBytes([]byte(b.String()))
		require.NoError(t, err)
		var want bytes.Buffer
		require.NoError(t, module.Render(context.Background(), graph, "plain", &want))
		require.NoError(t, graph.Close())
		is, err := engine.Plain(context.Background(), []byte(b.String()))
		require.NoError(t, err)
		require.Equal(t, want.String(), string(is))
	})
}
