//go:build browser

package main

// Every page in every language: on a phone in light and at twice the size of text, on a tablet at night.

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/tongue"
)

// inEveryLanguage are pages with something on them.
var inEveryLanguage = []string{"/", "/?lose=night+kettle@tue", "/buy", "/log", "/log?kind=received", "/log?kind=cooked&step=night+kettle", "/map?item=kettle+stock", "/more", "/clock", "/stock-take",
	"/rescue?lose=night+kettle@tue", "/costs", "/devices", "/allergens", "/labels", "/on-hand", "/tonight", "/weak", "/popularity", "/day", "/trace", "/forecast"}

func TestBrowserLanguages(t *testing.T) {
	for _, l := range tongue.Languages {
		t.Run(l.String(), func(t *testing.T) {
			o := kettles(t)
			small, wide := openTab(t, o, phone), openTab(t, o, tablet)
			wide.dark()
			for _, path := range inEveryLanguage {
				with := in(path, l)
				for _, b := range []*tab{small, wide} {
					b.t = t
					b.open(with)
					b.until(`document.querySelector("main").dataset.mark !== "" && !document.querySelector("[data-again]")`, "%s is answered", with)
					assert.Equal(t, l.String(), evaluate[string](b, "document.documentElement.lang"))
					b.sound(b.s.name + " " + path)
				}
				small.enlarges(200)
				assert.Empty(t, evaluate[[]string](small, `[...document.querySelectorAll("nav a")].filter(a => a.scrollWidth > a.clientWidth + 1).map(a => a.textContent)`), "the bar's words fit")
				assert.LessOrEqual(t, evaluate[float64](small, "document.documentElement.scrollWidth"), float64(small.s.width), "%s is wider than the screen with large text", with)
				small.shoot("large " + path)
			}
		})
	}
}

// A language that is chosen under More is that of the device from then on, with and without a script.
func TestBrowserChoosesLanguage(t *testing.T) {
	for _, script := range []bool{true, false} {
		b := openTab(t, kettles(t), phone)
		if !script {
			b.noScript()
		}
		b.open("/more")
		b.tap("español")
		b.sees("Nuevo en la cocina")
		b.tap("Anotar")
		b.sees("Últimas anotaciones")
		b.tap("Más")
		b.tap("简体中文")
		b.sees("新来的人")
		b.tap("今天")
		b.sees("接下来两小时")
	}
}
