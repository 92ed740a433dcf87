package board

import (
	"context"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/plan"
)

// A search is stopped by a tap; what it has found by then is the plan.
func TestBoardStopsASearch(t *testing.T) {
	o := openBoard(t, "first-pot", from("2026-11-23"))
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	o.board.halts.add("days=7", stop)
	status, _, _ := o.send(http.MethodPost, "/stop", url.Values{"frame": {"days=3"}, "back": {"/plan"}}, nil)
	assert.Equal(t, 200, status, "there is none to stop")
	require.NoError(t, ctx.Err())
	status, _, _ = o.send(http.MethodPost, "/stop", url.Values{"frame": {"days=7"}, "back": {"/plan"}}, nil)
	assert.Equal(t, 200, status)
	require.Error(t, ctx.Err())
}

func TestAPlanDiffers(t *testing.T) {
	a := &plan.Answer{Cook: []plan.Cook{{Step: "kettle", Batches: 1, Standing: 1}, {Step: "braise", Batches: 2, Standing: 1}, {Step: "corn", Standing: 1}}}
	assert.Equal(t, a.Cook[1:], differs(a))
}
