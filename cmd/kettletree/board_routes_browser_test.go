//go:build browser

package main

// Every page that the board has, by its table of routes, held against axe, widths and sizes: in each language, by day and by night, and at
// twice the size of text. Each run has every page in two of the six ways, in turn from page to page; with -every it has all.

import (
	"context"
	"flag"
	"fmt"
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

func TestBrowserRoutes(t *testing.T) {
	o := kettles(t)
	b := openTab(t, o, phone)
	for n, path := range board.Reads() {
		if strings.HasPrefix(path, "/print/") {
			continue // paper: held to its own measures where it is laid out
		}
		for k := range 2 * len(tongue.Languages) {
			if !*everyWay && k%len(tongue.Languages) != n%len(tongue.Languages) {
				continue
			}
			l, dark := tongue.Languages[(k+k/len(tongue.Languages))%len(tongue.Languages)], k >= len(tongue.Languages)
			t.Run(fmt.Sprintf("%s %s %v", path, l, dark), func(t *testing.T) {
				b.t = t
				b.scheme(dark)
				b.open(path + "?lang=" + l.String())
				b.sound(fmt.Sprintf("%s %s", path, l))
				b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
					_, err := chromedp.Run(ctx, chromedp.Evaluate[chromedp.Void](`document.documentElement.style.fontSize = "200%"; undefined`))
					return err
				}))
				assert.LessOrEqual(t, evaluate[float64](b, "document.documentElement.scrollWidth"), float64(b.s.width), "%s is wider than the screen with large text", path)
			})
		}
	}
}
