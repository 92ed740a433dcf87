package board

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
)

// It is Tuesday 24 November, in the afternoon.
func TestBoardOpensWeekdaysAsDates(t *testing.T) {
	o := openBoard(t, "first-pot")
	for path, to := range map[string]string{
		"/plan?day=wed":               "/plan?day=2026-11-25",
		"/plan?day=Tuesday&days=7":    "/plan?day=2026-11-24&days=7",
		"/clock?on=mon":               "/clock?on=2026-11-23",
		"/day?day=mon":                "/day?day=2026-11-23",
		"/log?kind=out&day=tue":       "/log?day=2026-11-24&kind=out",
		"/map?from=fri&item=a+of+b":   "/map?from=2026-11-27&item=a+of+b",
		"/counter":                    "/buy",
		"/counter?from=2026-11-24&x=": "/buy?from=2026-11-24&x=",
	} {
		got := o.ask(http.MethodGet, path, nil, nil)
		assert.Contains(t, []int{http.StatusFound, http.StatusMovedPermanently}, got.Code, path)
		assert.Equal(t, to, got.Header().Get("Location"), path)
	}
	for _, path := range []string{"/plan?day=week", "/clock?on=all", "/buy?day=wed"} { // none of them names a day that the page takes
		status, _, _ := o.get(path)
		assert.Equal(t, 200, status, path)
	}
}
