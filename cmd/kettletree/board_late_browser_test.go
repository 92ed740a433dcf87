//go:build browser

package main

// What is sent long after it was tapped or typed says so, and is asked for its time.

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/logbook"
)

// The network goes in the middle of a delivery and of a batch; a quarter of an hour later what was tapped then is sent.
func TestBrowserLate(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		o := b.o
		o.t = b.t
		slow := delaying(b.t.(*testing.T), o, 20*time.Millisecond)
		o.url = slow.address
		const unheard, asksWhen = "No answer came, so this may not be written down.", "This was typed at 14:05. When did it happen?"
		b.open("/")
		slow.cut.Store(true)
		b.tap("86 red pozole")
		slow.cut.Store(false) // it is asked for until it is there
		b.sees("What if: red pozole")
		slow.cut.Store(true)
		b.tap("Write it down")
		b.sees(unheard)
		b.sees("struck red pozole at 2026-11-24 lunch 14:05")
		b.sound("unsent")
		slow.cut.Store(false)
		b.tap("Buy")
		b.opensLine("pork shoulder")
		line := `form[data-keep$=" pork shoulder"] `
		b.fills(line+"input[name=amount]", "34.02")
		slow.cut.Store(true)
		b.tap("Received pork shoulder")
		b.until(`document.querySelectorAll("#unsent .unsent").length === 2`, "both are there to be sent again")
		slow.cut.Store(false)

		// A quarter of an hour later, by the device's clock and by the kitchen's.
		b.t.Setenv(clockName, "2026-11-24 14:20")
		b.until(`(() => { const was = Date.now; Date.now = () => was() + 15 * 60000; return true })()`, "the clock goes on")
		b.tap("Received pork shoulder")
		b.sees(asksWhen)
		assert.Equal(b.t, "2026-11-24T14:05", evaluate[string](b, `document.querySelector('`+line+`[name=at]').value`))
		b.sound("late line")
		b.tap("Received pork shoulder")
		b.sees("Written down:")
		b.until(`document.querySelectorAll("#unsent .unsent").length === 1`, "one is there to be sent again")
		b.tap("Send again")
		b.sees(asksWhen)
		b.sound("late tap")
		assert.Len(b.t, o.news(), 1)
		b.tap("Send again")
		b.until(`document.querySelector("#unsent").hidden`, "nothing is left to be sent")
		assert.Equal(b.t, []string{`received 34.02 kg pork shoulder for 173.50 from "butcher"`, "struck red pozole at 2026-11-24 lunch"}, o.news())
		for _, e := range answers[logbook.Log](o, "log", "show", "--last", "2").Entries {
			assert.Equal(b.t, "2026-11-24 14:05:00", e.At, e.Text)
			assert.Equal(b.t, "2026-11-24 14:20:00", e.Written, e.Text)
		}

		// What got no answer though it was written is not written twice, whichever of its buttons is tapped, and what is discarded is not sent.
		b.open("/")
		b.tap("86 hen tortilla soup")
		b.sees("What if: hen tortilla soup")
		slow.deaf.Store(true)
		b.tap("Write it down")
		b.sees(unheard)
		slow.deaf.Store(false)
		require.Eventually(b.t, func() bool { return len(o.news()) == 3 }, tabPatience, 20*time.Millisecond)
		b.open("/?strike=hen+tortilla+soup@tue+lunch")
		b.tap("Write it down")
		b.sees("Already written down")
		assert.Len(b.t, o.news(), 3)
		b.open("/?strike=head+cheese+torta@tue+lunch")
		slow.cut.Store(true)
		b.tap("Write it down")
		b.sees(unheard)
		slow.cut.Store(false)
		b.tap("Discard")
		b.seesNot(unheard)
		assert.Len(b.t, o.news(), 3)
	})
}
