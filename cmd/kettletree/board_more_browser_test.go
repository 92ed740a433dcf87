//go:build browser

package main

// More, and what stands under it.

import "testing"

func TestBrowserMore(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/more")
		b.sees("Inspector")
		b.sound("more")
		b.dark()
		b.sound("more-dark")
		for page, says := range map[string]string{"Allergens": "red pozole", "On hand, lot by lot": "lard", "What to sell": "red pozole", "The inspector's day": "counted",
			"Devices": "No other device is paired", "Labels": "use by", "What sells and what earns": "red pozole", "What hurts most if it fails": "night kettle"} {
			b.goes(page)
			b.sees(says)
			b.sound(page)
		}
	})
}
