package graphviz

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// instance is the code with memory of its own.
type instance struct {
	module  api.Module
	gvc     uint64 // GVC_t *
	engine  uint64 // "dot"
	format  uint64 // "plain"
	results uint64 // room for a char * and an unsigned int
}

// The list of what is linked in: how many there are, and the bytes of one, which is a name and an address.
const (
	plugins = 3
	symbol  = 8
)

func newInstance(ctx context.Context, r wazero.Runtime, compiled wazero.CompiledModule) (*instance, error) {
	module, err := r.InstantiateModule(ctx, compiled, wazero.NewModuleConfig().WithName(""))
	if err != nil {
		return nil, err
	}
	i := &instance{module: module}
	c := &calls{instance: i, ctx: ctx}
	// The layouts and formats that are linked in, as a list that ends in an empty one; the 1 asks for what is not, too, as
	// Graphviz's own program does.
	symbols := module.ExportedGlobal("lt_preloaded_symbols")
	if symbols == nil {
		return nil, errors.Join(errors.New("the code has no layouts"), module.Close(ctx))
	}
	linked := c.memory(symbols.Get(), plugins*symbol)
	i.gvc = c.call("gvContextPlugins", c.put(append(linked, make([]byte, symbol)...)), 1)
	i.engine, i.format, i.results = c.text("dot"), c.text("plain"), c.call("malloc", 8)
	if c.err != nil {
		return nil, errors.Join(c.err, module.Close(ctx))
	}
	return i, nil
}

// plain lays out a graph. After an error the instance can't be used again.
func (i *instance) plain(ctx context.Context, dot []byte) ([]byte, error) {
	c := &calls{instance: i, ctx: ctx}
	text := c.text(string(dot))
	graph := c.call("agmemread", text)
	if c.err == nil && graph == 0 {
		return nil, errors.New("the layout engine can't read the picture")
	}
	c.done("gvLayout", i.gvc, graph, i.engine)
	c.done("gvRenderData", i.gvc, graph, i.format, i.results, i.results+4)
	plain := c.memory(c.number(i.results), c.number(i.results+4))
	c.call("gvFreeRenderData", c.number(i.results))
	c.done("gvFreeLayout", i.gvc, graph)
	c.done("agclose", graph)
	c.call("free", text)
	return plain, c.err
}

// calls are calls of the code's functions, one after another; after the first fault nothing is called.
type calls struct {
	*instance
	ctx context.Context
	err error
}

// call calls a function; its result is 0 when it has none.
func (c *calls) call(name string, args ...uint64) uint64 {
	if c.err != nil {
		return 0
	}
	f := c.module.ExportedFunction(name)
	if f == nil {
		c.err = fmt.Errorf("the code has no function %s", name)
		return 0
	}
	results, err := f.Call(c.ctx, args...)
	if err != nil {
		c.err = fmt.Errorf("%s: %w", name, err)
	}
	if err != nil || len(results) == 0 {
		return 0
	}
	return results[0]
}

// done calls a function that returns 0 when all went well.
func (c *calls) done(name string, args ...uint64) {
	if result := c.call(name, args...); c.err == nil && result != 0 {
		c.err = fmt.Errorf("%s failed with %d", name, int32(result))
	}
}

// put copies bytes into the instance's memory.
func (c *calls) put(bytes []byte) (at uint64) {
	at = c.call("malloc", uint64(len(bytes)))
	if c.err == nil && (at == 0 || !c.module.Memory().Write(uint32(at), bytes)) {
		c.err = errors.New("no memory for the picture")
	}
	return at
}

// text puts a text there, with the NUL at its end.
func (c *calls) text(text string) (at uint64) { return c.put(append([]byte(text), 0)) }

// memory copies what stands in the instance's memory.
func (c *calls) memory(at, long uint64) []byte {
	if c.err != nil {
		return nil
	}
	held, ok := c.module.Memory().Read(uint32(at), uint32(long))
	if !ok {
		c.err = errors.New("an address is outside of the memory")
	}
	return bytes.Clone(held)
}

// number is a number that stands there.
func (c *calls) number(at uint64) uint64 {
	b := c.memory(at, 4)
	if c.err != nil {
		return 0
	}
	return uint64(binary.LittleEndian.Uint32(b))
}
