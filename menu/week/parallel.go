package week

import (
	"context"
	"runtime"
	"sync"

	"kettletree/graph/flow"
)

// Parallel calls try for 0..n-1 on all processors, each with a walker of its own.
func Parallel(ctx context.Context, n int, progress func(float64), try func(*flow.Walker, int), f *flow.Flow) error {
	workers := max(1, min(runtime.GOMAXPROCS(0), n/16))
	var group sync.WaitGroup
	for at := range workers {
		group.Go(func() {
			walker := flow.NewWalker(f)
			for k := at; k < n && ctx.Err() == nil; k += workers {
				try(walker, k)
				if progress != nil && at == 0 {
					progress(float64(k) / float64(n))
				}
			}
		})
	}
	group.Wait()
	return context.Cause(ctx)
}
