//go:build browser

package show

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

// Each sheet of the examples is one page, on A4 and on US letter paper, and nothing sticks out of a phone.
func TestBrowserSheets(t *testing.T) {
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("/usr/bin/chromium"), chromedp.UserDataDir(t.TempDir()),
		chromedp.NoSandbox, chromedp.DisableGPU)
	allocator, stop := chromedp.NewExecAllocator(t.Context(), options...)
	defer stop()
	browser, stop := chromedp.NewContext(allocator)
	defer stop()
	browser, stop = context.WithTimeout(browser, 3*time.Minute)
	defer stop()
	leaf := regexp.MustCompile(`/Type\s*/Page[^s]`)
	for _, name := range weektest.Examples {
		for n, tag := range tongue.Languages {
			w, _ := weektest.ExampleWeek(t, name).InLanguage(tag)
			a, err := clock.SheetsOn(t.Context(), w, 1+n)
			require.NoError(t, err)
			require.NotEmpty(t, a.Sheets, name)
			text, err := SheetsPage(Page{Voice: tongue.In(tag)}, a, w.Kitchen, nil)
			require.NoError(t, err)
			assert.NotContains(t, string(text), "%!")
			file := filepath.Join(t.TempDir(), strings.ReplaceAll(name, " ", "-")+".html")
			require.NoError(t, os.WriteFile(file, text, 0o600))
			require.NoError(t, chromedp.Do(browser, chromedp.EmulateViewport(360, 740), chromedp.Navigate("file://"+file)))
			wide, err := chromedp.Run(browser, chromedp.Evaluate[float64]("document.documentElement.scrollWidth"))
			require.NoError(t, err)
			assert.LessOrEqual(t, wide, 360.0, "%s in %s scrolls sideways", name, tag)
			for paper, size := range map[string][2]float64{"A4": {8.27, 11.69}, "letter": {8.5, 11}} {
				pdf, err := chromedp.Run(browser, chromedp.PrintToPDF(func(p *page.PrintToPDFParams) { p.PaperWidth, p.PaperHeight = size[0], size[1] }))
				require.NoError(t, err)
				assert.Len(t, leaf.FindAll(pdf, -1), strings.Count(string(text), "<article"), fmt.Sprintf("%s in %s on %s", name, tag, paper))
			}
		}
	}
}
