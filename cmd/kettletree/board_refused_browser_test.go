//go:build browser

package main

// What the board refuses, as it is seen in a browser.

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// A page that has to make room for others says so, and hears again by tap.
func TestBrowserTooManyStreams(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/costs")
		b.hears("binned 100 g kettle fat")
		for device := range 16 { // of four tabs each
			for range 4 {
				r, err := http.NewRequestWithContext(b.t.Context(), http.MethodGet, b.o.url+"/events", nil)
				require.NoError(b.t, err)
				r.AddCookie(&http.Cookie{Name: "kettletree", Value: fmt.Sprint("device", device)})
				got, err := http.DefaultClient.Do(r)
				require.NoError(b.t, err)
				require.Equal(b.t, http.StatusOK, got.StatusCode)
				b.t.Cleanup(func() { _ = got.Body.Close() })
			}
		}
		b.sees("The board is open in too many places: here, changes are no longer shown by themselves.")
		b.seesNot("Offline")
		b.sound("too-many-streams")
		b.dark()
		b.sound("too-many-streams-dark")
		b.tap("Show them here")
		b.until("document.getElementById('line').hidden", "nothing is wrong any more")
		b.hears("binned 200 g kettle fat")
	})
}

// A question that another site asks is put before who sits at the browser.
func TestBrowserFromAnotherSite(t *testing.T) {
	atBothSizes(t, pot, func(b *tab) {
		site := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "text/html")
			_, _ = io.WriteString(w, `<a href="`+b.o.url+`/costs?sort=name">the costs</a>`)
		}))
		b.t.Cleanup(site.Close)
		b.do(chromedp.Navigate(site.URL))
		b.tap("the costs")
		b.sees("Another site led here")
		b.sound("another-site")
		b.dark()
		b.sound("another-site-dark")
		b.tap("Open Costs")
		b.sees("chicken roll")
	})
}
