package board

// A search for a plan that is stopped by a tap: the best found so far is the answer then.

import (
	"context"
	"errors"
	"net/http"
	"sync"

	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// halts are the searches under way, by the frame that each is for.
type halts struct {
	mu sync.Mutex
	by map[string]context.CancelFunc
}

func (h *halts) add(frame string, stop context.CancelFunc) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.by == nil {
		h.by = map[string]context.CancelFunc{}
	}
	h.by[frame] = stop
}

func (h *halts) drop(frame string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.by, frame)
}

func (h *halts) stop(frame string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if stop := h.by[frame]; stop != nil {
		stop()
	}
}

// makePlan finds a plan, or the best until somebody stops the search.
func (h *halts) makePlan(ctx context.Context, frame string, w *week.Week, o plan.Options) (*plan.Plan, error) {
	halted, stop := context.WithCancel(ctx)
	defer stop()
	h.add(frame, stop)
	defer h.drop(frame)
	p, err := plan.Make(halted, w, o)
	if errors.Is(err, context.Canceled) && ctx.Err() == nil {
		return nil, &Refusal{Msg: "the search was stopped before any plan was found", Hint: "work it out again, for fewer days"}
	}
	return p, err
}

// halt answers the form that stops a search.
func (b *Board) halt(w http.ResponseWriter, r *http.Request) {
	if !b.mayWrite(w, r) {
		return
	}
	b.halts.stop(r.PostFormValue("frame"))
	path, q := b.back(r)
	leadTo(w, r, path, q)
}

// differs are the batches of a plan that are not as in the standing week, by day.
func differs(a *plan.Answer) (list []plan.Cook) {
	for _, c := range a.Cook {
		if c.Batches != c.Standing {
			list = append(list, c)
		}
	}
	return list
}
