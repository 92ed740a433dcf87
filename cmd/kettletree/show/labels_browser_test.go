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

	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

// papers are in inches.
var papers = map[string][2]float64{"A4": {8.27, 11.69}, "letter": {8.5, 11}}

// tagged are the parts of a page in a PDF with tags: the number of each, what it is, what it is a part of and on which page it stands.
var tagged = regexp.MustCompile(`(\d+) 0 obj\n<</Type /StructElem\n/S /(\w+)\n(?:/P (\d+) 0 R\n)?(?:/Pg (\d+) 0 R)?`)

// pagesOfLabels are the pages on which each label of a PDF stands, and how many stand on each page.
func pagesOfLabels(pdf []byte) (labels map[string]map[string]bool, on map[string]int) {
	of, is, labels, on := map[string]string{}, map[string]string{}, map[string]map[string]bool{}, map[string]int{}
	all := tagged.FindAllStringSubmatch(string(pdf), -1)
	for _, m := range all {
		is[m[1]], of[m[1]] = m[2], m[3]
	}
	for _, m := range all {
		for at := m[1]; m[4] != "" && at != ""; at = of[at] {
			if is[at] == "Art" {
				if labels[at] == nil {
					labels[at] = map[string]bool{}
				}
				labels[at][m[4]] = true
			}
		}
	}
	for _, pages := range labels {
		for p := range pages {
			on[p]++
		}
	}
	return labels, on
}

// No printed label is cut by the end of a page, none but the last has a page to itself, and no page has the cautions alone: on A4 and on US letter paper, in each language.
func TestBrowserLabelsOnPaper(t *testing.T) {
	browser := printing(t)
	leaf := regexp.MustCompile(`/Type\s*/Page[^s]`)
	for _, name := range weektest.Examples {
		for _, tag := range tongue.Languages {
			w, _ := weektest.ExampleWeek(t, name).InLanguage(tag)
			days, err := clock.MadeDays(t.Context(), w)
			require.NoError(t, err)
			for n := 1; n <= len(days); n += max(1, len(days)-1) { // of one day, and of all
				a, err := clock.LabelsOn(t.Context(), w, days[:n], tongue.In(tag))
				require.NoError(t, err)
				text, err := LabelPage(Page{Voice: tongue.In(tag)}, a)
				require.NoError(t, err)
				for paper, pdf := range printed(t, browser, text) {
					of := fmt.Sprintf("%d labels of %s in %s on %s", len(a.Labels), name, tag, paper)
					labels, on := pagesOfLabels(pdf)
					assert.Len(t, labels, len(a.Labels), of)
					for _, pages := range labels {
						assert.Len(t, pages, 1, "%s: one is cut", of)
					}
					alone := 0
					for _, many := range on {
						if many == 1 {
							alone++
						}
					}
					assert.LessOrEqual(t, alone, 1, "%s: none but the last has a page to itself", of)
					assert.Len(t, on, len(leaf.FindAll(pdf, -1)), "%s: a page without any", of)
				}
			}
		}
	}
}

// Labels stand in rows, three on a sheet of A4, so that a sheet is cut along its whole width.
func TestBrowserLabelsInRows(t *testing.T) {
	browser := printing(t)
	a, err := clock.LabelsOn(t.Context(), weektest.ExampleWeek(t, "three-kettles"), []int{1}, tongue.Voice{})
	require.NoError(t, err)
	text, err := LabelPage(Page{}, a)
	require.NoError(t, err)
	const printed = 733 // px at 96 to the inch: A4 less margins of 8 mm
	require.NoError(t, chromedp.Do(browser, chromedp.EmulateViewport(printed, 1123), chromedp.Navigate("file://"+onFile(t, text))))
	rules, err := chromedp.Run(browser, chromedp.Evaluate[int](forPrint))
	require.NoError(t, err)
	require.Positive(t, rules)
	got, err := chromedp.Run(browser, chromedp.Evaluate[[][2]float64](`[...document.querySelectorAll("article")].map(e => e.getBoundingClientRect()).map(r => [r.top, r.bottom])`))
	require.NoError(t, err)
	require.Greater(t, len(got), 6)
	for n, box := range got {
		assert.Equal(t, got[n-n%3][0], box[0], "label %d", n+1)
		if n >= 3 {
			assert.Greater(t, box[0], got[n-n%3-1][1])
		}
	}
}

// What stands below the grid never has a page to itself: the last dish comes along.
func TestBrowserGridOnPaper(t *testing.T) {
	browser := printing(t)
	for _, tag := range tongue.Languages {
		w, _ := weektest.ExampleWeek(t, "fish-house").InLanguage(tag)
		text, err := GridPage(Page{Voice: tongue.In(tag)}, ask.Grid(w.Kitchen), false)
		require.NoError(t, err)
		for paper, pdf := range printed(t, browser, text) {
			of, is, cells, below := map[string]string{}, map[string]string{}, map[string]bool{}, map[string]bool{}
			all := tagged.FindAllStringSubmatch(string(pdf), -1)
			for _, m := range all {
				is[m[1]], of[m[1]] = m[2], m[3]
			}
			for _, m := range all {
				if m[4] == "" {
					continue
				}
				at := m[1]
				for at != "" && is[at] != "TD" && is[at] != "TH" {
					at = of[at]
				}
				cells[m[4]], below[m[4]] = cells[m[4]] || at != "", true
			}
			assert.NotEmpty(t, below)
			for page := range below {
				assert.True(t, cells[page], "in %s on %s, a page without a dish", tag, paper)
			}
			if paper == "A4" {
				assert.Len(t, below, 1, "in %s", tag)
			}
		}
	}
}

// No head and no answer of the grid breaks inside a word, on the narrower paper, either.
func TestBrowserGridHeads(t *testing.T) {
	browser := printing(t)
	for _, name := range weektest.Examples {
		for _, tag := range tongue.Languages {
			w, _ := weektest.ExampleWeek(t, name).InLanguage(tag)
			text, err := GridPage(Page{Voice: tongue.In(tag)}, ask.Grid(w.Kitchen), false)
			require.NoError(t, err)
			const letter = 1018 // px: 279.4 mm less the margins
			require.NoError(t, chromedp.Do(browser, chromedp.EmulateViewport(letter, 740), chromedp.Navigate("file://"+onFile(t, text))))
			broken, err := chromedp.Run(browser, chromedp.Evaluate[[]string](`[...document.querySelectorAll('thead th, td .what')].flatMap(th => {
				const node = th.firstChild, range = document.createRange();
				return [...node.data.matchAll(/[\p{Script=Latin}()]+/gu)].filter(m => {
					range.setStart(node, m.index); range.setEnd(node, m.index + m[0].length);
					return new Set([...range.getClientRects()].map(r => Math.round(r.top))).size > 1;
				}).map(m => m[0]);
			})`))
			require.NoError(t, err)
			assert.Empty(t, broken, "%s in %s", name, tag)
		}
	}
}

// printing is a browser that prints.
func printing(t *testing.T) context.Context {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("/usr/bin/chromium"), chromedp.UserDataDir(t.TempDir()),
		chromedp.NoSandbox, chromedp.DisableGPU)
	allocator, stop := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(stop)
	browser, stop := chromedp.NewContext(allocator)
	t.Cleanup(stop)
	browser, stop = context.WithTimeout(browser, 3*time.Minute)
	t.Cleanup(stop)
	return browser
}

func onFile(t *testing.T, text []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	return file
}

// printed is a page as a PDF with tags, by paper. SHOTS names a folder for those that are to be looked at.
func printed(t *testing.T, browser context.Context, text []byte) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	require.NoError(t, chromedp.Do(browser, chromedp.Navigate("file://"+onFile(t, text))))
	for paper, size := range papers {
		pdf, err := chromedp.Run(browser, chromedp.PrintToPDF(func(p *page.PrintToPDFParams) {
			p.PaperWidth, p.PaperHeight, p.GenerateTaggedPDF = size[0], size[1], new(true)
		}))
		require.NoError(t, err)
		all[paper] = pdf
		if folder := os.Getenv("SHOTS"); folder != "" {
			name := strings.NewReplacer("/", "-", " ", "-").Replace(fmt.Sprintf("%s-%s-%d.pdf", t.Name(), paper, len(pdf)))
			require.NoError(t, os.WriteFile(filepath.Join(folder, name), pdf, 0o600))
		}
	}
	return all
}
