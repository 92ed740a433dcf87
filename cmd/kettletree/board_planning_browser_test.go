//go:build browser

package main

// The pages Plan, Specials, Costs and Clock in a real browser, by tapping.

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

func TestBrowserPlan(t *testing.T) {
	atBothSizes(t, pot, func(b *tab) {
		b.open("/plan")
		b.sees("Keep this plan")
		b.sound("plan")
		b.tap("Week")
		b.sees("Sat 28 Nov")
		b.tap("Keep this plan")
		b.sees("Every page and command goes by this plan")
		b.sound("kept")
		b.tap("Take the kept plan back")
		b.sees("Keep this plan")
		b.dark()
		b.sound("week")
	})
}

// A large kitchen's plan may take long: the page shows it when it is there.
func TestBrowserLongPlan(t *testing.T) {
	b := openTab(t, fromList(t), phone)
	b.open("/plan")
	require.Eventually(t, func() bool { return evaluate[bool](b, "document.body.innerText.includes('Keep this plan')") },
		2*time.Minute, 200*time.Millisecond, "the plan is there")
	b.sound("found")
	b.tap("Thu 26")
	b.sees("Thu 26 Nov")
	b.sound("thursday")
	b.o.t = t
	b.o.write("binned 200 g lard")
	b.sees("things have changed since")
	b.dark()
	b.sound("old")
}

func TestBrowserSpecials(t *testing.T) {
	atBothSizes(t, fromList, func(b *tab) {
		b.open("/specials")
		b.sees("Trotter tostadas")
		b.sound("specials")
		b.dark()
		b.sound("dark")
	})
}

// A special that is accepted by tapping stands on Today.
func TestBrowserAccept(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/specials")
		b.sees("Left over")
		b.types("Tue 24 Nov, dinner", "7")
		b.tap("Accept lard shortbread")
		b.sees("offered 7 lard shortbread at 2026-11-24 dinner")
		b.sound("accepted")
		b.tap("Today")
		b.sees("Tue 24 Nov, lunch")
	})
}

func TestBrowserGuide(t *testing.T) {
	atBothSizes(t, fromList, func(b *tab) {
		b.open("/guide")
		b.sees("Guide for new cooks: Three Kettles")
		b.sound("guide")
		b.tap("español")
		b.until("document.querySelector('.guide').lang === 'es'", "it is in Spanish")
		b.dark()
		b.sound("dark")
	})
}

func TestBrowserCosts(t *testing.T) {
	atBothSizes(t, fromList, func(b *tab) {
		b.open("/costs")
		b.sees("red pozole")
		b.tap("Plate cost")
		b.until("document.querySelector('.costs .name').textContent.includes('red pozole')", "the dearest plate comes first")
		b.sound("costs")
		b.do(chromedp.Click(chromedp.CSS(".costs summary"), chromedp.NodeVisible))
		b.sees("Plate cost if a price moves by 10%")
		b.sound("open")
		b.tap("How it adds up: red pozole")
		b.sees("Plate cost of red pozole: 3.21 USD")
		b.sound("why")
		b.types("What if a price changes", "pork trotters")
		b.types("by, %", "25")
		b.tap("Show")
		b.sees("What if: pork trotters at +25%")
		b.dark()
		b.sound("dearer")
	})
}

func TestBrowserClock(t *testing.T) {
	atBothSizes(t, fromList, func(b *tab) {
		b.open("/clock")
		b.sees(" after dinner, ")
		b.seesNot("START night kettle")
		b.sound("clock")
		b.do(chromedp.Click(chromedp.CSS("#after-2026-11-24 > summary")))
		b.sees("START night kettle")
		b.tap("As lanes")
		b.until("!!document.querySelector('.lanes svg')", "lanes are drawn")
		b.sound("lanes")
		b.tap("As a list")
		b.until("!document.querySelector('.lanes')", "it is a list")
		b.tap("Latest starts, and what if one runs late")
		b.types("Latest starts for", "2026-11-27 dinner")
		b.tap("Show latest starts")
		b.sees("Latest starts")
		b.sound("ready")
		b.types("What if", "night kettle@2026-11-24")
		b.types("starts at", "04:40")
		b.tap("Show what runs late")
		b.sees("Too late")
		b.dark()
		b.sound("late")
	})
}
