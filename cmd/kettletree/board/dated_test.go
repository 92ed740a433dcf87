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
		"/plan?day=wed":             "/plan?day=2026-11-25",
		"/plan?day=Tuesday&days=7":  "/plan?day=2026-11-24&days=7",
		"/clock?on=mon":             "/clock?on=2026-11-23",
		"/day?day=mon":              "/day?day=2026-11-23",
		"/log?kind=out&day=tue":     "/log?day=2026-11-24&kind=out",
		"/map?from=fri&item=a+of+b": "/map?from=2026-11-27&item=a+of+b",
		"/buy?day=wed":              "/buy?on=2026-11-25",
		"/plan?on=wed&days=3":       "/plan?day=2026-11-25&days=3",
		"/plan?on=2026-11-25":       "/plan?day=2026-11-25",
		"/counter":                  "/buy",

		"/?lose=poach+chickens@tue":                                 "/?lose=poach+chickens%402026-11-24",
		"/?lose=poach+chickens@wed=40%25":                           "/?lose=poach+chickens%402026-11-25%3D40%25",
		"/?lose=poach+chickens@wed&days=14":                         "/?days=14&lose=poach+chickens%402026-11-25&lose=poach+chickens%402026-12-02",
		"/map?strike=chicken+soup@Thursday+lunch&item=a":            "/map?item=a&strike=chicken+soup%402026-11-26+lunch",
		"/rescue?sells=chicken+soup@fri+lunch=%2B8":                 "/rescue?sells=chicken+soup%402026-11-27+lunch%3D%2B8",
		"/?yield=poach+chickens@wed/chicken+stock=-10%25":           "/?yield=poach+chickens%402026-11-25%2Fchicken+stock%3D-10%25",
		"/?short=chicken@wed=2+each&spoil=chicken+stock@2026-11-26": "/?short=chicken%402026-11-25%3D2+each&spoil=chicken+stock%402026-11-26",
		"/counter?from=2026-11-24&x=":                               "/buy?from=2026-11-24&x=",
	} {
		got := o.ask(http.MethodGet, path, nil, nil)
		assert.Contains(t, []int{http.StatusFound, http.StatusMovedPermanently}, got.Code, path)
		assert.Equal(t, to, got.Header().Get("Location"), path)
	}
	for _, path := range []string{"/plan?day=week", "/clock?on=all", "/costs?day=wed", // none of them names a day that the page takes
		"/?lose=poach+chickens@2026-11-25"} {
		status, _, _ := o.get(path)
		assert.Equal(t, 200, status, path)
	}
}
