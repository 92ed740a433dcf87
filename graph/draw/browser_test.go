//go:build browser

package draw

// The sheet in a real browser: go test -tags browser -run Browser ./graph/draw. Debian's chromium is used.

import (
	"context"
	_ "embed"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

//go:embed testdata/measure.js
var measureSheet string

type inBrowser struct {
	Wide, Overlaps                  []string
	Smallest, Width, Height, Scroll float64
	Nodes                           int
}

func TestBrowser(t *testing.T) {
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

	tone := shockedPicture(t)
	tone.ToneMeans = "plate cost"
	pictures := map[string]Picture{"cantina": cantinaPicture(t), "shocked": shockedPicture(t), "tone": tone,
		"nasty": nastyPicture()}
	sheets := map[string][]byte{}
	for name, p := range pictures {
		sheet, err := Render(t.Context(), p)
		require.NoError(t, err)
		sheets["/"+name+".svg"] = sheet
		sheets["/"+name+".html"] = fmt.Appendf(nil, "<!doctype html><meta name=viewport content='width=device-width'>"+
			"<body style='margin:0'>%s", sheet)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		types := map[string]string{".svg": "image/svg+xml", ".html": "text/html; charset=utf-8"}
		w.Header().Set("Content-Type", types[filepath.Ext(r.URL.Path)])
		_, _ = w.Write(sheets[r.URL.Path])
	}))
	defer server.Close()

	for name, p := range pictures {
		for _, view := range []struct {
			ending        string
			width, height int64
		}{{".svg", 1588, 1123}, {".html", 1588, 1123}, {".html", 360, 740}} {
			t.Run(fmt.Sprintf("%s%s at %d", name, view.ending, view.width), func(t *testing.T) {
				require.NoError(t, chromedp.Do(browser, chromedp.EmulateViewport(view.width, view.height),
					chromedp.Navigate(server.URL+"/"+name+view.ending)))
				got, err := chromedp.Run(browser, chromedp.Evaluate[inBrowser](measureSheet))
				require.NoError(t, err)
				picture, err := chromedp.Run(browser, chromedp.CaptureScreenshot())
				require.NoError(t, err)
				require.NoError(t, os.WriteFile(filepath.Join(t.ArtifactDir(), "sheet.png"), picture, 0o644))
				assert.Equal(t, len(p.Nodes), got.Nodes)
				assert.Empty(t, got.Wide, "words that run over their box or the sheet")
				assert.Empty(t, got.Overlaps, "boxes that lie on each other")
				assert.InDelta(t, 420.0/297, got.Width/got.Height, 0.01, "the proportions of A3")
				assert.LessOrEqual(t, got.Scroll, float64(view.width), "nothing sticks out of the page")
				if name != "nasty" {
					assert.GreaterOrEqual(t, got.Smallest, smallest, "points on A3")
				}
				t.Logf("smallest print %.2f points", got.Smallest)
			})
		}
	}
}
