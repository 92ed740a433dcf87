package week

// Many cases at once.

import (
	"context"
	"runtime"
	"sync"
)

// Parallel calls try for 0..n-1 on all processors, each with a player of its own. progress, when given, is called now and
// then with the part of the work that is done. It ends with ctx, whose cause is then the error.
func (w *Week) Parallel(ctx context.Context, n int, progress func(float64), try func(*Player, int)) error {
	workers := max(1, min(runtime.GOMAXPROCS(0), n/16))
	var group sync.WaitGroup
	for at := range workers {
		player := w.Player()
		group.Go(func() {
			for k := at; k < n && ctx.Err() == nil; k += workers {
				try(player, k)
				if progress != nil && at == 0 {
					progress(float64(k) / float64(n))
				}
			}
		})
	}
	group.Wait()
	return context.Cause(ctx)
}
