//go:build browser

package show

// Timetables, cooling curves and labels of the examples in a real browser: go test -tags browser -run Browser
// ./cmd/kettletree/show. Debian's chromium is used.

import (
	"context"
	_ "embed"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/draw"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

//go:embed testdata/words.js
var measureWords string

// inPage is what words.js finds.
type inPage struct {
	Wide, Overlaps, Boxes []string
	Lines                 int
	Smallest, Scroll      float64 // px
}

const htmlHead = "<!doctype html><meta charset=utf-8><meta name=viewport content='width=device-width'><body style='margin:0'>"

// pagesOfExamples are what the commands write to files, by name.
func pagesOfExamples(t *testing.T) map[string][]byte {
	pages := map[string][]byte{}
	for _, name := range weektest.Examples {
		w := weektest.ExampleWeek(t, name)
		a, err := clock.Of(t.Context(), w, nil)
		require.NoError(t, err)
		pages[name+" week"] = append([]byte(htmlHead), draw.RenderLanes(Lanes(a))...)
		day := 1
		a, err = clock.Of(t.Context(), w, &day)
		require.NoError(t, err)
		pages[name+" day"] = append([]byte(htmlHead), draw.RenderLanes(Lanes(a))...)
		days, err := clock.MadeDays(t.Context(), w)
		require.NoError(t, err)
		labels, err := clock.LabelsOn(t.Context(), w, days, tongue.Voice{})
		require.NoError(t, err)
		for _, tag := range tongue.Languages {
			page := Page{Voice: tongue.In(tag)}
			pages[name+" labels "+tag.String()], err = LabelPage(page, labels)
			require.NoError(t, err)
			pages[name+" grid "+tag.String()], err = GridPage(page, ask.Grid(w.Kitchen), true)
			require.NoError(t, err)
		}
	}
	for name, air := range map[string]*kitchen.Degrees{"cooling": {Value: 38, Scale: "F"}, "cooling without air": nil} {
		log, err := os.ReadFile("../../../examples/three-kettles/cooling.csv")
		require.NoError(t, err)
		logs, faults := kitchen.ReadCooling("cooling.csv", log, nil, air)
		require.Empty(t, faults)
		curves := CoolingCurves(tongue.Voice{}, clock.JudgeCooling(&kitchen.Codes[0], logs, air, nil, time.Time{}, tongue.Voice{}))
		pages[name] = append([]byte(htmlHead), curves...)
	}
	return pages
}

// forPrint makes what is written for print count, and says how many rules that is.
const forPrint = `[...document.styleSheets].flatMap(s => [...s.cssRules]).filter(r => r instanceof CSSMediaRule).map(
	r => r.media.mediaText = "all").length`

// tornWords are the cells of a table that are too narrow for a word of theirs.
const tornWords = `[...document.querySelectorAll("th, td")].filter(c => { c.style.overflowWrap = "normal"; c.style.hyphens = "none"; return c.scrollWidth > c.clientWidth }).map(c => c.innerText)`

func TestBrowserPages(t *testing.T) {
	pages := pagesOfExamples(t)
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath("/usr/bin/chromium"), chromedp.UserDataDir(t.TempDir()), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.NoFirstRun, chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	allocator, stop := chromedp.NewExecAllocator(t.Context(), options...)
	defer stop()
	browser, stop := chromedp.NewContext(allocator)
	defer stop()
	browser, stop = context.WithTimeout(browser, 4*time.Minute)
	defer stop()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write(pages[strings.TrimPrefix(r.URL.Path, "/")])
	}))
	defer server.Close()
	const printed = 733 // px at 96 to the inch: A4 less margins of 8 mm
	for name := range pages {
		widths := []int64{360, 1100}
		if strings.HasSuffix(name, "labels") {
			widths = append(widths, printed)
		}
		for _, width := range widths {
			t.Run(fmt.Sprintf("%s at %d", name, width), func(t *testing.T) {
				require.NoError(t, chromedp.Do(browser, chromedp.EmulateViewport(width, 1123), chromedp.Navigate(server.URL+"/"+strings.ReplaceAll(name, " ", "%20"))))
				if width == printed {
					rules, err := chromedp.Run(browser, chromedp.Evaluate[int](forPrint))
					require.NoError(t, err)
					require.Positive(t, rules)
				}
				got, err := chromedp.Run(browser, chromedp.Evaluate[inPage](measureWords))
				require.NoError(t, err)
				picture, err := chromedp.Run(browser, chromedp.FullScreenshot(100))
				require.NoError(t, err)
				require.NoError(t, os.WriteFile(filepath.Join(t.ArtifactDir(), strings.ReplaceAll(name, " ", "-")+fmt.Sprintf("-%d.png", width)), picture, 0o644))
				if !strings.Contains(name, " grid ") { // a table has no lines of the kind that are counted
					assert.Positive(t, got.Lines)
				}
				if strings.Contains(name, " grid ") && width > 1000 {
					torn, err := chromedp.Run(browser, chromedp.Evaluate[[]string](tornWords))
					require.NoError(t, err)
					assert.Empty(t, torn, "words torn in the middle, for a column is too narrow")
				}
				assert.Empty(t, got.Wide, "words that run over their box or the sheet")
				assert.Empty(t, got.Overlaps, "words that lie on each other")
				assert.Empty(t, got.Boxes, "labels that lie on each other")
				assert.LessOrEqual(t, got.Scroll, float64(width), "nothing sticks out of the page")
				assert.GreaterOrEqual(t, got.Smallest, 8.0, "letters that can be read")
			})
		}
	}
}
