//go:build browser

package main

// Devices that are away, wrong or at odds: the same thing written by two at the same moment, a receipt sent again to a board that was killed
// meanwhile, a device whose clock is an hour wrong, a phone that comes back after three hours with five entries. Nothing is doubled and
// nothing lost; what is late is asked for its time.

import (
	"context"
	"fmt"
	"testing"

	cdpage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/logbook"
)

const noAnswer = "No answer came, so this may not be written down."

// bins fills in what was binned.
func (d *days) bins(item, amount string) {
	d.t.Helper()
	d.fills("#entry-form input[name=item]", item)
	d.fills("#entry-form input[name=amount]", amount)
}

// ahead has every page of a device go by a clock that is so many minutes ahead.
func (b *tab) ahead(minutes int) {
	b.t.Helper()
	b.do(func(ctx context.Context, _ *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Call(ctx, cdpage.AddScriptToEvaluateOnNewDocument, cdpage.AddScriptToEvaluateOnNewDocumentParams{
			Source: fmt.Sprintf(`const real = Date.now; window.gone = 0; Date.now = () => real() + (%d + window.gone) * 60000`, minutes)})
		return chromedp.Void{}, err
	})
}

func TestBrowserAway(t *testing.T) {
	for _, size := range []screen{phone, tablet} {
		t.Run(size.name, func(t *testing.T) { goesAway(openInn(t, size, 0)) })
	}
}

func goesAway(i *inn) {
	t := i.t
	i.days.ahead(60)
	i.open("/stock-take")
	i.pass.open("/")
	i.puts("pulled mutton, kg", "3,2")
	i.puts("mutton fat, kg", "2.5")
	i.puts("mutton broth, L", "19")
	i.adds("Write down what was counted", "counted 3.2 kg pulled mutton", "counted 2.5 kg mutton fat", "counted 19 L mutton broth")

	// Both write the same at the same moment: one is written, the other asked.
	i.away = true
	i.pass.tap("Log")
	i.tap("Log")
	for _, d := range []*days{i.days, i.pass} {
		d.sees("Latest entries")
		d.kind("Binned", false)
		d.bins("mutton fat", "0,4")
	}
	i.tap("Write it down")
	i.pass.tap("Write it down")
	i.wrote("binned 0.4 kg mutton fat")
	twice := i.pass
	if evaluate[bool](i.tab, fmt.Sprintf(`(%s).includes("written already a moment ago")`, saidNow)) {
		twice = i.days
	}
	twice.sees("written already a moment ago")
	twice.tap("Log")

	// A receipt: its answer is lost, the board is killed, and it is sent again.
	i.tap("Buy")
	i.unfolds("mutton bones")
	bones := i.unfolds("mutton bones")
	i.fills(bones+"input[name=amount]", "27,5")
	i.slow.deaf.Store(true)
	i.tap("Received mutton bones")
	i.sees(noAnswer)
	i.want = append(i.want, `received 27.5 kg mutton bones for 30.25 from "shepherd"`)
	i.days.wrote(i.want...)
	i.slow.deaf.Store(false)
	i.p.isKilled()
	i.p.starts("2026-11-24 08:01")
	i.t.Setenv(clockName, "2026-11-24 08:01")
	i.tap("Received mutton bones")
	i.sees("moment ago")
	i.days.wrote(i.want...)
	for _, e := range answers[logbook.Log](i.direct.o, "log", "show", "--last", "9").Entries { // by the kitchen's clock, not by the device's
		assert.Equal(t, "2026-11-24 08:00:00", e.At, e.Text)
	}

	// Three hours without a network: five entries, two of them by one form.
	for _, kind := range []string{"temperature", "counted", "binned"} {
		i.open("/log?kind=" + kind)
	}
	i.until("!!navigator.serviceWorker.controller", "the worker that keeps copies is there")
	i.slow.cut.Store(true)
	gone := func(minutes, unsent int) {
		t.Helper()
		i.tap("Write it down")
		i.until(fmt.Sprintf(`document.querySelectorAll("#unsent .unsent").length === %d && !document.documentElement.classList.contains("waiting")`, unsent), "%d are kept to be sent", unsent)
		i.until(fmt.Sprintf(`(window.gone = %d, true)`, minutes), "time goes by")
	}
	i.bins("mutton fat", "0,1")
	gone(30, 1)
	i.bins("pulled mutton", "0,2") // typed over it
	gone(60, 2)
	i.bins("mutton broth", "1,5")
	gone(90, 3)
	i.kind("Counted", false)
	i.bins("turnips", "4")
	gone(120, 4)
	i.kind("Temperature", false)
	i.fills("#entry-form #item", "Broth")
	i.fills("#entry-form #reading", "4")
	i.types("Scale", "C")
	gone(180, 5)
	i.shoot("five kept")

	i.p.isKilled()
	i.t.Setenv(clockName, "2026-11-24 11:01")
	i.p.starts("2026-11-24 11:01")
	i.slow.cut.Store(false)
	for left := 5; left > 0; left-- {
		form := evaluate[bool](i.tab, `[...document.querySelectorAll("#unsent .unsent")][0].matches("form")`)
		if form {
			i.until(`(() => { document.querySelector("#unsent .unsent button:not([data-discards])").click(); return true })()`, "it is sent again")
			i.sees("When did it happen?")
			i.until(`(() => { document.querySelector("#unsent .unsent button:not([data-discards])").click(); return true })()`, "it is sent")
		} else {
			i.tap("Open the form")
			i.until(`!!document.querySelector("#entry-form") && !document.documentElement.classList.contains("waiting")`, "the form is there")
			i.tap("Write it down")
			i.sees("When did it happen?")
			i.tap("Write it down")
		}
		i.until(fmt.Sprintf(`document.querySelectorAll("#unsent .unsent").length === %d`, left-1), "%d are left", left-1)
	}
	require.Len(t, i.o.news(), len(i.want)+5, "%q", i.o.news())
	at := map[string]string{}
	for _, e := range answers[logbook.Log](i.direct.o, "log", "show", "--last", "5").Entries {
		at[string(e.Kind)+" "+e.Text] = e.At
		assert.Equal(t, "2026-11-24 11:01:00", e.Written)
	}
	assert.Equal(t, map[string]string{"binned 0.1 kg mutton fat": "2026-11-24 08:01:00", "binned 0.2 kg pulled mutton": "2026-11-24 08:31:00", "binned 1.5 L mutton broth": "2026-11-24 09:01:00",
		"counted 4 kg turnips": "2026-11-24 09:31:00", "temperature mutton broth 4 C": "2026-11-24 10:01:00"}, at)
}
