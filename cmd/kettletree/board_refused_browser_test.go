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

// A page for which there is no stream of events says so; it is renewed by tap.
func TestBrowserTooManyStreams(t *testing.T) {
	atBothSizes(t, pot, func(b *tab) {
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
		b.open("/")
		b.sees("Too many devices are connected already. Reload this page by hand.")
		b.seesNot("Offline")
		b.sound("too-many-streams")
		b.dark()
		b.sound("too-many-streams-dark")
		b.goes("Costs")
		b.sees("Plate cost")
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
