//go:build browser

package ask

// The maps of the examples in a real browser: go test -tags browser -run Browser ./menu. Debian's chromium is used.

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/draw"
	"kettletree/menu/week/weektest"
)

func TestBrowserMaps(t *testing.T) {
	measure, err := os.ReadFile("../../graph/draw/testdata/measure.js")
	require.NoError(t, err)
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath("/usr/bin/chromium"), chromedp.UserDataDir(t.TempDir()), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.NoFirstRun, chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	allocator, stop := chromedp.NewExecAllocator(t.Context(), options...)
	defer stop()
	browser, stop := chromedp.NewContext(allocator)
	defer stop()
	browser, stop = context.WithTimeout(browser, 2*time.Minute)
	defer stop()
	for _, name := range weektest.Examples {
		for kind, p := range maps(t, name) {
			for _, width := range []int64{1588, 360} {
				t.Run(fmt.Sprintf("%s by %s at %d", name, kind, width), func(t *testing.T) {
					sheet, err := draw.Render(t.Context(), p)
					require.NoError(t, err)
					page := fmt.Appendf(nil, "<!doctype html><meta name=viewport content='width=device-width'><body style='margin:0'>%s", sheet)
					server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
						w.Header().Set("Content-Type", "text/html; charset=utf-8")
						_, _ = w.Write(page)
					}))
					defer server.Close()
					require.NoError(t, chromedp.Do(browser, chromedp.EmulateViewport(width, 1123), chromedp.Navigate(server.URL)))
					got, err := chromedp.Run(browser, chromedp.Evaluate[struct {
						Wide, Overlaps   []string
						Smallest, Scroll float64
						Nodes            int
					}](string(measure)))
					require.NoError(t, err)
					assert.Equal(t, len(p.Nodes), got.Nodes)
					assert.Empty(t, got.Wide, "words that run over their box or the sheet")
					assert.Empty(t, got.Overlaps, "boxes that lie on each other")
					assert.GreaterOrEqual(t, got.Smallest, 6.0, "points on A3")
					assert.LessOrEqual(t, got.Scroll, float64(width), "nothing sticks out of the page")
				})
			}
		}
	}
}
