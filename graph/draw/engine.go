package draw

// The one place where Graphviz is called.

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"sync"

	"github.com/goccy/go-graphviz"

	"kettletree/graph/draw/private"
)

func init() { // this package is initialised after go-graphviz: see package private
	private.Restore()
	if os.Getenv(asHelper) != "" {
		help(os.Stdin, os.Stdout)
		os.Exit(0)
	}
}

// engine is Graphviz, which can lay out one graph at a time. It lives as long as the program.
var engine = struct {
	turn  chan struct{} // holds one token: who has it may use the engine
	start func() (*graphviz.Graphviz, error)
}{
	turn:  make(chan struct{}, 1),
	start: sync.OnceValues(func() (*graphviz.Graphviz, error) { return graphviz.New(context.Background()) }),
}

// arrange lays out a graph written in DOT and returns where all is, in Graphviz's "plain" format. When ctx ends first,
// it returns at once; the engine finishes what it has begun before it takes the next graph.
func arrange(ctx context.Context, dot []byte) ([]byte, error) {
	select {
	case engine.turn <- struct{}{}:
	case <-ctx.Done():
		return nil, fmt.Errorf("draw: waiting for another picture: %w", context.Cause(ctx))
	}
	type answer struct {
		plain []byte
		err   error
	}
	done := make(chan answer, 1)
	go func() {
		var a answer
		defer func() {
			if fault := recover(); fault != nil { // go-graphviz panics on faults inside the WebAssembly
				a.err = fmt.Errorf("draw: the layout engine broke down: %v", fault)
			}
			<-engine.turn
			done <- a
		}()
		a.plain, a.err = layOut(dot)
	}()
	select {
	case a := <-done:
		return a.plain, a.err
	case <-ctx.Done():
		return nil, fmt.Errorf("draw: laying out the picture: %w", context.Cause(ctx))
	}
}

// layOut has a layout done where its memory comes back: the first few in this program, which are all that a command asks for,
// and all others in a helper.
func layOut(dot []byte) ([]byte, error) {
	if drawn < mostHere {
		drawn++
		return layOutHere(dot)
	}
	plain, err := assistant.layOut(dot)
	if errors.Is(err, errNoHelper) {
		return layOutHere(dot) // it costs memory, not a picture
	}
	return plain, err
}

func layOutHere(dot []byte) ([]byte, error) {
	engine, err := engine.start()
	if err != nil {
		return nil, fmt.Errorf("draw: start the layout engine: %w", err)
	}
	g, err := graphviz.ParseBytes(dot)
	if err != nil {
		return nil, fmt.Errorf("draw: hand the picture to the layout engine: %w", err)
	}
	defer func() { _ = g.Close() }() // a graph that can't be freed costs memory, not a picture
	var plain bytes.Buffer
	if err := engine.Render(context.Background(), g, "plain", &plain); err != nil {
		return nil, fmt.Errorf("draw: lay out the picture: %w", err)
	}
	return plain.Bytes(), nil
}
