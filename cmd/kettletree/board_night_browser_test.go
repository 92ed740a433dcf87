//go:build browser

package main

// The job of one night, played through the board by tapping, and read back by the commands.

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kettletree/menu/ask"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
)

// dishAt finds a dish at a service of Tuesday.
func dishAt(w ask.Consequences, dish, service string) *ask.DishAt {
	for _, d := range w.Dishes {
		if d.Name == dish && d.Service == service && d.Date == "2026-11-24" {
			return &d
		}
	}
	return nil
}

// opens the line of an item on the list.
func (b *tab) opensLine(item string) {
	b.t.Helper()
	line := chromedp.Search(fmt.Sprintf(`//summary[span[contains(@class,"name") and starts-with(normalize-space(.), %q)]]`, item))
	b.do(chromedp.ScrollIntoView(line), chromedp.Click(line, chromedp.NodeVisible))
}

// puts types into a field whose label begins with some words.
func (b *tab) puts(label, text string) {
	b.t.Helper()
	b.do(chromedp.SetValue(chromedp.Search(fmt.Sprintf(`//*[@id=//label[starts-with(normalize-space(.), %q)]/@for]`, label)), text))
}

func TestBrowserNight(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		o := b.o
		o.t = b.t
		other := openTab(b.t, o, tablet) // by the pass
		other.open("/")
		other.sees("Tue 24 Nov, lunch")

		// At the counter: the scale says less than was wanted, and the price has gone up.
		b.t.Setenv(clockName, "2026-11-24 14:40")
		b.open("/buy")
		b.opensLine("pork shoulder")
		b.types("Scale says, kg of pork shoulder", "34.02")
		b.sees("portions with these amounts and prices")
		b.types("Price per kg of pork shoulder", "5.60")
		b.sees("Plate costs that change")
		b.tap("Received pork shoulder")
		b.sees(fmt.Sprintf(`Written down: %d. received 34.02 kg pork shoulder for 190.51 from "butcher"`, o.before+1))

		// The shoulders are boned out; what came is weighed.
		b.t.Setenv(clockName, "2026-11-24 16:10")
		b.tap("Log")
		b.sees("Latest entries")
		b.tap("Cooked")
		b.types("Step", "Bone out")
		b.tap("Next")
		b.types("Batches", "3.78")
		b.puts("shoulder meat, kg", "22.4")
		b.puts("back fat, kg", "2.5")
		b.puts("shoulder bones, kg", "5.6")
		b.puts("pork skin, kg", "2.1")
		b.tap("Write it down")
		b.sees("cooked bone out shoulder x3.78 gives")

		// A special takes up what would be left; a dish goes off the menu.
		b.goes("Specials")
		b.sees("Left over")
		b.types("Tue 24 Nov, dinner", "6")
		b.tap("Accept lard shortbread")
		b.sees("offered 6 lard shortbread at 2026-11-24 dinner")
		b.tap("Today")
		b.sees("Tue 24 Nov, dinner")
		b.sees("lard shortbread")
		b.tap("86 head cheese torta")
		b.sees("What if: head cheese torta, Tue 24 Nov dinner, is 86'd")
		b.tap("Write it down")
		b.sees("86'd: head cheese torta")

		// Dinner is served and counted.
		b.t.Setenv(clockName, "2026-11-24 22:05")
		b.tap("Log")
		b.sees("Latest entries")
		b.tap("Sold")
		b.types("Service", "dinner")
		b.types("red pozole", "18")
		b.types("lard shortbread", "6")
		b.tap("Write it down")
		b.sees("sold 18 red pozole at dinner")
		b.tap("Counted")
		b.types("Item", "kettle stock")
		b.types("Amount", "6")
		b.types("Unit", "cm in big kettle")
		b.tap("Write it down")
		b.sees("counted kettle stock 6 cm in big kettle")

		// Half past two: the kettle that was lit at 22:30 is lost. What follows is said before it is written, and it can be taken back.
		b.t.Setenv(clockName, "2026-11-25 02:30")
		b.tap("Today")
		b.sees("Wed 25 Nov, lunch")
		b.tap("Another batch was lost")
		b.tap("night kettle of Tue 24 Nov")
		b.sees("What if: night kettle of Tue 24 Nov is lost")
		b.sees("because night kettle of Tue 24 Nov was lost")
		asked := answers[ask.Consequences](o, "whatif", "--lose", "night kettle@tue")
		lost := asked.Totals.PortionsAfter - asked.Totals.PortionsBefore
		assert.Less(b.t, lost, -10)
		b.sees(fmt.Sprintf("%+d portions", lost))
		b.tap("Write it down")
		b.sees("lost night kettle of 2026-11-24")
		b.tap("Undo")
		b.sees("undone undo")
		b.tap("night kettle of Tue 24 Nov") // what was openBoard stays open
		b.sees("What if: night kettle of Tue 24 Nov is lost")
		b.tap("Write it down")
		b.sees("lost night kettle of 2026-11-24")
		b.sound("after the night")

		// The log book says the same, to the word, and so do the commands.
		n := o.before
		assert.Equal(b.t, []string{
			`received 34.02 kg pork shoulder for 190.51 from "butcher"`,
			"cooked bone out shoulder x3.78 gives 22.4 kg shoulder meat, 2.5 kg back fat, 5.6 kg shoulder bones, 2.1 kg pork skin",
			"offered 6 lard shortbread at 2026-11-24 dinner", "offered 6 lard shortbread at 2026-11-26 lunch",
			"offered 6 lard shortbread at 2026-11-26 dinner", "offered 6 lard shortbread at 2026-11-28 lunch", "struck head cheese torta at 2026-11-24 dinner",
			"sold 18 red pozole at dinner", "sold 6 lard shortbread at dinner", "counted kettle stock 6 cm in big kettle",
			"lost night kettle of 2026-11-24", fmt.Sprintf("undone undo %d", n+11), "lost night kettle of 2026-11-24",
		}, o.news())
		last := answers[logbook.Log](o, "log", "show", "--last", "13")
		assert.Equal(b.t, "2026-11-24 14:40:00", last.Entries[0].At)
		assert.Equal(b.t, "2026-11-25 02:30:00", last.Entries[12].At)

		// Tuesday, asked again: the special is on, the torta is off.
		tuesday := answers[ask.Consequences](o, "whatif", "--from", "2026-11-24")
		assert.Nil(b.t, dishAt(tuesday, "head cheese torta", "dinner"))
		assert.Equal(b.t, 6, dishAt(tuesday, "lard shortbread", "dinner").Forecast)

		// Wednesday's lunch: the page, the command and the other device have the same figures.
		night := answers[ask.Consequences](o, "whatif")
		for _, d := range night.Dishes {
			if d.Date == "2026-11-25" && d.Service == "lunch" {
				b.sees(fmt.Sprintf("%d of %d", d.After, d.Forecast))
				other.until(fmt.Sprintf(`[...document.querySelectorAll("main .row")].some(r => r.innerText.includes(%q) && r.innerText.replace(/\s+/g, " ").includes("%d of %d"))`,
					d.Name, d.After, d.Forecast), "the other device has %d of %d %s", d.After, d.Forecast, d.Name)
			}
		}
		lunch := answers[plan.Tonight](o, "tonight", "--at", "lunch")
		assert.Equal(b.t, "2026-11-25", lunch.Date)
	})
}
