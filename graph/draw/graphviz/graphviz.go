// Package graphviz runs Graphviz, compiled to WebAssembly, within this program.
//
// The code, graphviz.wasm, is the very file that github.com/goccy/go-graphviz v0.2.10 has within it (Graphviz 12.1.2 and Expat
// 2.6.3, built with wasi-sdk 24); a test holds the two together. That module's own Go side is not linked, but is what the tests
// compare with: it starts the code when it is imported, in every program and for every command; it has one instance of it, for
// ever, to which each picture adds some 26 kB that nothing gives back.
//
// Here an [Engine] starts the code when it is first asked to lay something out, in 7 ms (and 0.5 s of processor time where its
// machine code is not kept, see package private). An instance that has grown past [mostMemory] is closed, which gives all of its
// memory back, and the next layout has a new one, in less than 1 ms. The code has no access to files, to the clock or to anything
// else of the machine.
//
// A layout that has begun is not stopped: code that looks whether it is to stop takes twice as long.
package graphviz

import (
	"context"
	_ "embed"
	"errors"
	"fmt"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/imports/wasi_snapshot_preview1"

	"kettletree/graph/draw/private"
)

//go:embed graphviz.wasm
var code []byte

// mostMemory is how large an instance may have grown for another layout, in bytes: a kitchen of twelve dishes begins with 2 MB.
const mostMemory = 24 << 20

// Engine lays out graphs, one at a time. Its zero value is ready to use.
type Engine struct {
	turn     chan struct{} // holds a token when nobody lays out
	runtime  wazero.Runtime
	compiled wazero.CompiledModule
	instance *instance // nil when the next layout is to have a new one
}

// New is an engine that has not started.
func New() *Engine {
	e := &Engine{turn: make(chan struct{}, 1)}
	e.turn <- struct{}{}
	return e
}

// Plain lays out a graph that is written in DOT, and returns where all is in Graphviz's format "plain". When ctx ends first, it
// returns at once; the engine finishes what it has begun before it takes the next graph.
func (e *Engine) Plain(ctx context.Context, dot []byte) ([]byte, error) {
	select {
	case <-e.turn:
	case <-ctx.Done():
		return nil, fmt.Errorf("wait for another picture: %w", context.Cause(ctx))
	}
	type answer struct {
		plain []byte
		err   error
	}
	done := make(chan answer, 1)
	go func() {
		plain, err := e.layOut(dot)
		e.turn <- struct{}{}
		done <- answer{plain, err}
	}()
	select {
	case a := <-done:
		return a.plain, a.err
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

func (e *Engine) layOut(dot []byte) (plain []byte, err error) {
	defer func() {
		if fault := recover(); fault != nil { // of the code: the program, and whoever else draws, goes on
			e.instance, err = nil, fmt.Errorf("the layout engine broke down: %v", fault)
		}
	}()
	ctx := context.Background() // whoever asked may go away: what is started is for all
	if err := e.ready(ctx); err != nil {
		return nil, fmt.Errorf("start the layout engine: %w", err)
	}
	plain, err = e.instance.plain(ctx, dot)
	if err != nil || e.instance.module.Memory().Size() > mostMemory {
		err = errors.Join(err, e.instance.module.Close(ctx))
		e.instance = nil
	}
	return plain, err
}

// ready sees to it that there is an instance. What can't be started now is tried again the next time.
func (e *Engine) ready(ctx context.Context) (err error) {
	if e.compiled == nil {
		if e.runtime, e.compiled, err = start(ctx); err != nil {
			return err
		}
	}
	if e.instance == nil {
		e.instance, err = newInstance(ctx, e.runtime, e.compiled)
	}
	return err
}

// start takes the machine code that is kept, or compiles the code.
func start(ctx context.Context) (r wazero.Runtime, compiled wazero.CompiledModule, err error) {
	folder, kept := private.Folder()
	defer kept()
	if folder != "" {
		cache, err := wazero.NewCompilationCacheWithDir(folder)
		if err == nil {
			r, compiled, err = compile(ctx, wazero.NewRuntimeConfig().WithCompilationCache(cache))
		}
		if err == nil {
			return r, compiled, nil
		}
	}
	return compile(ctx, wazero.NewRuntimeConfig()) // for this program alone
}

func compile(ctx context.Context, config wazero.RuntimeConfig) (wazero.Runtime, wazero.CompiledModule, error) {
	r := wazero.NewRuntimeWithConfig(ctx, config)
	fail := func(err error) (wazero.Runtime, wazero.CompiledModule, error) {
		return nil, nil, errors.Join(err, r.Close(ctx))
	}
	if _, err := wasi_snapshot_preview1.Instantiate(ctx, r); err != nil {
		return fail(err)
	}
	compiled, err := r.CompileModule(ctx, code)
	if err != nil {
		return fail(err)
	}
	if err := callbacks(ctx, r, compiled); err != nil {
		return fail(err)
	}
	return r, compiled, nil
}

// callbacks gives the code the functions by which it would call plugins that are written in Go. There are none, so none of them
// is ever called.
func callbacks(ctx context.Context, r wazero.Runtime, compiled wazero.CompiledModule) error {
	env := r.NewHostModuleBuilder("env")
	for _, f := range compiled.ImportedFunctions() {
		module, name, _ := f.Import()
		if module != "env" {
			continue
		}
		never := api.GoModuleFunc(func(context.Context, api.Module, []uint64) { panic("mistake: " + name + " was called") })
		env.NewFunctionBuilder().WithGoModuleFunction(never, f.ParamTypes(), f.ResultTypes()).Export(name)
	}
	_, err := env.Instantiate(ctx)
	return err
}
