//go:build browser

package main

// Every page that the board has, by its table of routes, and its forms: at twice the size of text in each language, and held against axe,
// widths and sizes in each language by day and by night. Of those six ways each run has two, in turn from page to page; with -every it has all.

import (
	"context"
	"flag"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kettletree/cmd/kettletree/board"
	"kettletree/menu/tongue"
)

var everyWay = flag.Bool("every", false, "hold each page in every language by day and by night")

// scheme asks for dark pages or light ones.
func (b *tab) scheme(dark bool) {
	b.t.Helper()
	value := "light"
	if dark {
		value = "dark"
	}
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: value}}})
		return chromedp.Void{}, err
	})
}

// filledPages are pages with a form or with something that was asked.
var filledPages = []string{"/?lose=night+kettle@tue", "/log?kind=received", "/log?kind=sold", "/log?kind=counted", "/log?kind=temperature", "/log?kind=cooked&step=night+kettle", "/log?corrects=1",
	"/kitchen?list=steps&name=night+kettle", "/kitchen?list=dishes&name=red+pozole", "/kitchen?list=bought&new=yes", "/buy?check=all", "/buy?line=smoked+ham+bones", "/map?item=kettle+stock",
	"/draw?pick=steps/night+kettle", "/weigh?step=bone+out+shoulder", "/taste?of=night+kettle", "/costs?why=red+pozole", "/rescue?lose=night+kettle@tue", "/sheets?for=station+big+kettle"}

// readPages are all pages that somebody reads on a screen. What is printed is held to its own measures where it is laid out.
func readPages() []string {
	return append(slices.DeleteFunc(board.Reads(), func(path string) bool { return strings.HasPrefix(path, "/print/") }), filledPages...)
}

// in is the address of a page in a language.
func in(path string, l fmt.Stringer) string {
	if strings.Contains(path, "?") {
		return path + "&lang=" + l.String()
	}
	return path + "?lang=" + l.String()
}

// enlarges makes the text of the page so many per cent of its size.
func (b *tab) enlarges(percent int) {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.documentElement.style.fontSize = "%d%%"; undefined`, percent)))
		return err
	}))
}

func TestBrowserRoutes(t *testing.T) {
	o := kettles(t)
	b := openTab(t, o, phone)
	for n, path := range readPages() {
		t.Run(path+" large", func(t *testing.T) {
			b.t = t
			for _, l := range tongue.Languages {
				b.open(in(path, l))
				b.enlarges(200)
				assert.LessOrEqual(t, evaluate[float64](b, "document.documentElement.scrollWidth"), float64(b.s.width), "%s in %s is wider than the screen", path, l)
				assert.Empty(t, evaluate[[]string](b, torn), "%s in %s tears names into letters", path, l)
				assert.Empty(t, evaluate[[]string](b, glued), "%s in %s runs words together", path, l)
			}
		})
		for k := range 2 * len(tongue.Languages) {
			if !*everyWay && k%len(tongue.Languages) != n%len(tongue.Languages) {
				continue
			}
			l, dark := tongue.Languages[(k+k/len(tongue.Languages))%len(tongue.Languages)], k >= len(tongue.Languages)
			t.Run(fmt.Sprintf("%s %s %v", path, l, dark), func(t *testing.T) {
				b.t = t
				b.scheme(dark)
				b.open(in(path, l))
				b.sound(fmt.Sprintf("%s %s", path, l))
			})
		}
	}
}
