//go:build browser

package guide

// The guides in a real browser: go test -tags browser -run Browser ./menu/guide. Debian's chromium is used.

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// look measures a page: how wide it wants to be, what sticks out of the window, what runs, and what its headings say. What lies in a
// box that scrolls by itself, as the map does, sticks out of nothing.
const look = `(() => {
	const own = e => e.closest('figure') && e.tagName !== 'FIGURE';
	return {
		Scroll: document.documentElement.scrollWidth,
		Wide: [...document.body.querySelectorAll('*')].filter(e => !own(e) && e.getBoundingClientRect().right > innerWidth + 0.5)
			.map(e => e.tagName + ' ' + e.textContent.slice(0, 40)),
		Scripts: document.querySelectorAll('script, [onload], [onclick], iframe, object, embed').length,
		Headings: [...document.querySelectorAll('h2')].map(e => e.textContent.trim()),
		Lang: document.documentElement.lang,
	};
})()`

func TestBrowserGuides(t *testing.T) {
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
	headings := [][]string{
		{"Cautions", "The map", "Items", "Dishes", "Where the kitchen is weak", "Questions", "Answers"},
		{"Precauciones", "El mapa", "Productos", "Platos", "Dónde es débil la cocina", "Preguntas", "Respuestas"},
		{"安全提示", "总图", "物料", "菜品", "厨房的薄弱之处", "练习题", "答案"},
	}
	for _, name := range append(slices.Clone(weektest.Examples), "dairy") {
		w := dairyWeek(t)
		if name != "dairy" {
			w = exampleWeek(t, name)
		}
		for n, in := range tongue.Languages {
			page, err := guideOf(t, w, in).Page(t.Context(), nil)
			require.NoError(t, err)
			onePageEach(t, browser, fmt.Sprintf("%s in %s", name, in), page)
			for _, width := range []int64{1100, 360} {
				t.Run(fmt.Sprintf("%s in %s at %d", name, in, width), func(t *testing.T) {
					var asked atomic.Int32
					server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
						if r.URL.Path != "/" && r.URL.Path != "/favicon.ico" { // the browser asks for the latter itself
							asked.Add(1)
						}
						w.Header().Set("Content-Type", "text/html; charset=utf-8")
						// Whatever the page would fetch, from here or from elsewhere, is refused and told on the page's own console.
						w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'")
						_, _ = w.Write(page)
					}))
					defer server.Close()
					require.NoError(t, chromedp.Do(browser, chromedp.EmulateViewport(width, 900), chromedp.Navigate(server.URL)))
					got, err := chromedp.Run(browser, chromedp.Evaluate[struct {
						Scroll         float64
						Wide, Headings []string
						Scripts        int
						Lang           string
					}](look))
					require.NoError(t, err)
					fetched, err := chromedp.Run(browser, chromedp.Evaluate[[]string](
						`performance.getEntriesByType('resource').map(e => e.name).filter(n => !n.endsWith('/favicon.ico'))`))
					require.NoError(t, err)
					assert.LessOrEqual(t, got.Scroll, float64(width), "the page scrolls sideways")
					assert.Empty(t, got.Wide, "sticks out of the window")
					assert.Zero(t, got.Scripts)
					assert.Empty(t, fetched, "asked for from outside")
					assert.Zero(t, asked.Load())
					assert.Subset(t, got.Headings, headings[n])
					assert.Equal(t, in.String(), got.Lang)
				})
			}
		}
	}
}

// onePageEach measures the pages in front as they are printed: each is one, on A4 and on US letter paper.
func onePageEach(t *testing.T, browser context.Context, name string, page []byte) {
	file := filepath.Join(t.TempDir(), "guide.html")
	require.NoError(t, os.WriteFile(file, page, 0o600))
	for paper, size := range map[string][2]float64{"A4": {210, 297}, "letter": {215.9, 279.4}} {
		dots := func(mm float64) float64 { return (mm - 22) * 96 / 25.4 } // less the margins
		require.NoError(t, chromedp.Do(browser, chromedp.EmulateViewport(int64(dots(size[0])), int64(dots(size[1]))), chromedp.Navigate("file://"+file), media("print")))
		high, err := chromedp.Run(browser, chromedp.Evaluate[[]float64](`[...document.querySelectorAll('.front')].map((e, n) => e.getBoundingClientRect().bottom -
			(n ? e.getBoundingClientRect().top : 0))`))
		require.NoError(t, err)
		require.NotEmpty(t, high)
		for n, h := range high {
			assert.LessOrEqual(t, h, dots(size[1]), "%s: page %d on %s", name, n+1, paper)
		}
	}
	require.NoError(t, chromedp.Do(browser, media("")))
}

func media(name string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: name})
		return err
	})
}
