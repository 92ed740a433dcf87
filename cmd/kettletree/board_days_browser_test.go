//go:build browser

package main

// Three days of a creamery by thumb: what comes, what is short and what is taken instead; what is set, put in and weighed; readings; what
// is 86'd and put back; sales, meals, losses; corrections; a vat that is lost and what is decided then; a stock-take. At each step the
// pages and the commands say the same.

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
	"kettletree/menu/logbook"
)

// days is whoever plays them.
type days struct {
	*tab
	want []string // what the log book should say
}

// at goes on to a later moment, and opens a place of the bar there.
func (d *days) at(now, place string) {
	d.t.Helper()
	d.t.Setenv(clockName, now)
	d.tap(place)
	d.until(fmt.Sprintf(`document.getElementById("main").dataset.now === %q && !document.documentElement.classList.contains("waiting")`, strings.Replace(now, " ", "T", 1)), "the page is of %s", now)
}

// adds taps what writes something down: these entries are in the log book then, and no others.
func (d *days) adds(button string, entries ...string) {
	d.t.Helper()
	d.tap(button)
	d.want = append(d.want, entries...)
	d.wrote(d.want...)
	d.until(`!document.documentElement.classList.contains("waiting")`, "the page shows it")
	d.sees("Written down:")
}

// unfolds opens the line of a form on the shopping list, and gives what finds its fields.
func (d *days) unfolds(of string) (form string) {
	d.t.Helper()
	form = fmt.Sprintf(`form[data-keep$=" %s"] `, of)
	d.until(fmt.Sprintf(`(() => { for (let e = document.querySelector(%q); e = e.parentElement && e.parentElement.closest("details");) e.open = true; return true })()`, form+"input:not([type=hidden])"), "the line of %s is open", of)
	return form
}

// kind opens the form of a kind of entry, behind "Something else" where it is seldom.
func (d *days) kind(name string, seldom bool) {
	d.t.Helper()
	if seldom {
		d.until(`(() => { const e = [...document.querySelectorAll("main details")].find((e) => e.querySelector(":scope > nav.kinds")); if (e) e.open = true; return !!e })()`, "all kinds are seen")
	}
	d.tap(name)
	d.until(fmt.Sprintf(`(document.querySelector("#entry-form input[name=kind]") || {}).value === %q`, strings.ToLower(name)), "the form is there")
}

var (
	servicePart = regexp.MustCompile(`(?s)<h2 id="service-\d">\w{3} (\d+) Nov, (\w+) <small>.*?</section>`)
	dishRow     = regexp.MustCompile(`(?s)<div class="what"><strong>([^<]+)</strong>.*?<p class="figure"><b>(\d+)</b> of (\d+)</p>`)
	bookRow     = regexp.MustCompile(`(?s)name="item" value="([^"]+)">(.*?)</li>`)
	bookSays    = regexp.MustCompile(`log book: ([^<]+)<`)
)

// agrees holds Today against whatif, Tonight against tonight, and the stock-take against on-hand.
func (d *days) agrees() {
	d.t.Helper()
	asked := answers[ask.Consequences](d.o, "whatif")
	_, today, _ := d.o.get("/")
	services := servicePart.FindAllStringSubmatch(today, -1)
	require.NotEmpty(d.t, services)
	for _, s := range services {
		date := fmt.Sprintf("2026-11-%02s", s[1])
		want, got := map[string]string{}, map[string]string{}
		for _, x := range asked.Dishes {
			if x.Date == date && x.Service == s[2] {
				want[x.Name] = fmt.Sprintf("%d of %d", x.After, x.Forecast)
			}
		}
		for _, row := range dishRow.FindAllStringSubmatch(s[0], -1) {
			got[row[1]] = row[2] + " of " + row[3]
		}
		assert.Equal(d.t, want, got, "Today and whatif, %s %s", date, s[2])
	}
	said := runIn(d.t, nil, "tonight", d.o.folder)
	first, _, _ := strings.Cut(said.stdout, "\n")
	if said.code != 0 { // the last service of the day is over
		require.Regexp(d.t, `error: \w+ of \w+ \d+ Nov is over:`, said.stderr)
		_, fault, _ := strings.Cut(said.stderr, "error: ")
		first, _, _ = strings.Cut(show.Capital(fault), ":")
	}
	_, tonight, _ := d.o.get("/tonight")
	assert.Contains(d.t, strings.Join(strings.Fields(tonight), " "), strings.TrimSpace(first))

	_, count, _ := d.o.get("/stock-take")
	book, page := map[string]string{}, map[string]string{}
	for _, it := range answers[logbook.OnHand](d.o, "on-hand").Items {
		if !it.NoBook && !it.Unknown {
			book[it.Item] = show.Amount(it.Amount, it.Unit)
		}
	}
	for _, row := range bookRow.FindAllStringSubmatch(count, -1) {
		if says := bookSays.FindStringSubmatch(row[2]); says != nil {
			page[row[1]] = says[1]
		}
	}
	assert.Equal(d.t, book, page, "the stock-take and on-hand")
}

func TestBrowserThreeDays(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join("testdata", "creamery"))))
	t.Setenv(clockName, "2026-11-24 05:30")
	o := serveFolder(t, folder)
	d := &days{tab: openTab(t, o, phone)}

	d.open("/stock-take")
	for label, amount := range map[string]string{"ricotta, kg": "4", "butter, kg": "1,2", "buttermilk, L": "2", "salt, kg": "2", "egg, each": "30"} {
		d.puts(label, amount)
	}
	d.adds("Write down what was counted", "counted 4 kg ricotta", "counted 1.2 kg butter", "counted 2 L buttermilk", "counted 2 kg salt", "counted 30 each egg")
	d.sees("5 counted for the first time")
	d.tuesday()
	d.wednesday()
	d.thursday()

	assert.Equal(t, d.want, o.logged())
	sound := runIn(t, nil, "log", folder, "check")
	require.Zero(t, sound.code, sound.stderr)
}

func (d *days) tuesday() {
	// Less milk comes, and dearer; sesame in place of hazelnuts; bread that first was said not to come. The invoice is held against it.
	d.at("2026-11-24 05:40", "Buy")
	milk := d.unfolds("raw milk")
	d.fills(milk+"input[name=amount]", "78,5")
	d.fills(milk+"input[name=ask]", "1.15")
	d.adds("Less came: that is all: raw milk", "did not come 1.5 L raw milk", `received 78.5 L raw milk for 90.28 from "dairy"`)
	d.sees("Without 1.5 L raw milk no dish runs short, as it stands.")
	d.adds("Received cream", `received 6 L cream for 31.20 from "dairy"`)
	d.tap("Something else instead")
	d.sees("Allergens it brings: SESAME.")
	d.fills(d.unfolds("sesame for hazelnuts")+"input[name=amount]", "1")
	d.shoot("instead")
	d.adds("Took sesame instead", "did not come hazelnuts", `received 1 kg sesame for 6.00 from "miller"`)
	d.unfolds("bread")
	d.adds("Did not come: bread", "did not come bread")
	d.sees("Without bread: 26 portions fewer; curds on toast")
	d.adds("Undo", "undone undo 11")
	d.fills(d.unfolds("bread")+"input[name=amount]", "2,2")
	d.adds("Received bread", `received 2.2 kg bread for 8.80 from "miller"`)
	d.fills(d.unfolds("2026-11-24 dairy")+"input[name=sum]", "123,00")
	d.tap("Compare with the invoice of dairy")
	d.sees("The invoice is 1.52 USD above what is written down.")
	d.shoot("invoice")
	d.agrees()

	// The vat: lit, rennet put in late, curd and whey weighed, read.
	d.at("2026-11-24 06:00", "Today")
	d.adds("Lit set the vat", "lit set the vat x0.98125 of 2026-11-24")
	d.at("2026-11-24 06:45", "Today")
	d.tap("Put in 20 mL rennet?")
	d.sees("Or type it on one line")
	d.adds("Write it down", "put in 19.62 mL rennet of set the vat of 2026-11-24")
	d.at("2026-11-24 07:20", "Today")
	d.adds("Done churn", "cooked churn x1 of 2026-11-24")
	d.at("2026-11-24 08:05", "Today")
	d.shoot("vat")
	d.tap("Out 8.83 kg curd?")
	d.fills("#entry-form #amount", "8,8")
	d.adds("Write it down", "out 8.8 kg curd of set the vat of 2026-11-24")
	d.fills("#entry-form #amount", "66,5") // before it is said of what
	d.tap("whey 66.72 L")
	d.until(`document.querySelector("#entry-form #item").value === "whey" && document.querySelector("#entry-form #amount").value === "66,5"`, "what was typed is taken along")
	d.adds("Write it down", "out 66.5 L whey of set the vat of 2026-11-24")
	d.kind("Temperature", false)
	d.fills("#entry-form #item", "CURD")
	d.fills("#entry-form #reading", "38")
	d.types("Scale", "C")
	d.adds("Write it down", "temperature curd 38 C")
	d.agrees()
	d.rings()

	// A dish goes off, and is put back; a batch at the bench.
	d.at("2026-11-24 08:30", "Today")
	d.tap("86 ricotta pancakes")
	d.sees("What if: ricotta pancakes, Tue 24 Nov breakfast, is 86'd")
	d.shoot("what follows")
	d.adds("Write it down", "struck ricotta pancakes at 2026-11-24 breakfast")
	d.sees("86'd: ricotta pancakes")
	d.agrees()
	d.adds("Put back ricotta pancakes", "undone undo 20")
	d.tap("1 to make at the bench")
	d.adds("Done bake biscuits", "cooked bake biscuits x1")

	// Breakfast: sold, a number put right, a staff meal, one on the floor, the bin, a count.
	d.at("2026-11-24 11:05", "Log")
	d.kind("Sold", false)
	d.types("curds on toast", "9")
	d.types("ricotta pancakes", "12")
	d.types("biscuit and butter", "11")
	d.adds("Write it down", "sold 9 curds on toast at breakfast", "sold 12 ricotta pancakes at breakfast", "sold 11 biscuit and butter at breakfast")
	d.tap("Correct entry 23")
	d.until(`(document.querySelector("#entry-form input[name=portions]") || {}).value === "9"`, "the form is filled in")
	d.types("curds on toast", "10")
	d.adds("Write it down", "sold 10 curds on toast at breakfast")
	for _, kind := range []string{"Gave", "Dropped"} {
		d.kind(kind, true)
		d.fills("#entry-form #dish", map[string]string{"Gave": "curd", "Dropped": "PANCAKES"}[kind])
		d.fills("#entry-form #portions", "1")
		d.adds("Write it down", map[string]string{"Gave": "gave 1 curds on toast at breakfast", "Dropped": "dropped 1 ricotta pancakes at breakfast"}[kind])
	}
	d.kind("Binned", false)
	d.fills("#entry-form #item", "Ricotta")
	d.fills("#entry-form #amount", "0,2")
	d.adds("Write it down", "binned 0.2 kg ricotta")
	d.kind("Counted", false)
	d.fills("#entry-form #item", "Curd")
	d.fills("#entry-form #amount", "7,4")
	d.adds("Write it down", "counted 7.4 kg curd")
	d.agrees()
}

// rings waits on the cooling log until it rings, which it does while the page is open.
func (d *days) rings() {
	d.t.Helper()
	d.open("/cooling")
	d.sees("A reading is written down.")
	d.until(`(() => { window.tones = 0; const made = AudioContext.prototype.createOscillator; AudioContext.prototype.createOscillator = function () { tones++; return made.call(this) }; return true })()`, "tones are counted")
	d.tap("Ring when it is time")
	d.sees("It rings only while this page is open")
	d.until(`tones === 0 && document.querySelector("[data-ring] .left").textContent.startsWith("2:")`, "it is quiet, two hours to go")
	d.until(`(() => { const was = Date.now; Date.now = () => was() + 121 * 60000; return true })()`, "two hours go by")
	d.until(`tones > 0 && !!document.querySelector("[data-ring].due")`, "it rings")
}

// wednesday has bread that is late, and a dish that goes off for a service to come.
func (d *days) wednesday() {
	d.at("2026-11-25 07:00", "Log")
	d.kind("Late", true)
	d.fills("#entry-form #item", "bread")
	d.types("Until", "10:30")
	d.adds("Write it down", "late bread until 10:30")
	d.sees("Without bread: 10 portions fewer; curds on toast")
	d.tap("Today")
	d.sees("No bread comes before Wed 25 Nov 10:30")
	d.shoot("late")
	d.agrees()
	d.at("2026-11-25 10:40", "Buy")
	d.fills(d.unfolds("bread")+"input[name=amount]", "1,5")
	d.adds("Received bread", `received 1.5 kg bread for 6.00 from "miller"`)
	d.agrees()
}

// thursday loses its vat: what can be done is taken, by one tap, and stands on the plan; then all is counted.
func (d *days) thursday() {
	d.at("2026-11-26 07:35", "Today")
	d.adds("Lost set the vat of Thu 26 Nov", "lost set the vat of 2026-11-26")
	d.agrees()
	d.tap("What can be done")
	d.sees("Make another batch of set the vat, started by Fri 27 Nov 06:00")
	d.sound("what can be done")
	d.tap("Do this")
	d.sees("Decided, and kept with the plan.")
	d.agrees()
	_, friday, _ := d.o.get("/buy?on=2026-11-27")
	says(d.t.(*testing.T), friday, "raw milk")
	d.at("2026-11-26 14:50", "Today")
	d.goes("Stock-take")
	d.sees("Write what there is.")
	d.puts("ricotta, kg", "0")
	d.puts("butter, kg", "2")
	d.adds("Write down what was counted", "counted 0 kg ricotta", "counted 2 kg butter")
	d.sees("as the log book had")
	d.sound("taken")
	d.agrees()
}
