package draw

// The one place where Graphviz is called.

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
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
	if plain, ok := before.find(dot); ok {
		<-engine.turn
		return plain, nil
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
		if a.plain, a.err = layOut(dot); a.err == nil {
			before.keep(dot, a.plain)
		}
	}()
	select {
	case a := <-done:
		return a.plain, a.err
	case <-ctx.Done():
		return nil, fmt.Errorf("draw: laying out the picture: %w", context.Cause(ctx))
	}
}

// layouts are those that were done last: a board lays out the same flow again and again, where only figures in its boxes are others.
// Whoever has the engine's turn uses them.
type layouts []layout

type layout struct {
	dot   string
	plain []byte
}

// mostLayouts is how many are kept; one of a large kitchen is some 100 kB.
const mostLayouts = 16

var before layouts

func (l *layouts) find(dot []byte) (plain []byte, ok bool) {
	at := slices.IndexFunc(*l, func(o layout) bool { return o.dot == string(dot) })
	if at < 0 {
		return nil, false
	}
	found := (*l)[at]
	*l = append(slices.Delete(*l, at, at+1), found) // the last used last
	return found.plain, true
}

func (l *layouts) keep(dot, plain []byte) {
	if *l = append(*l, layout{string(dot), plain}); len(*l) > mostLayouts {
		*l = slices.Delete(*l, 0, 1)
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
