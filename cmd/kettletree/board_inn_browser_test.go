//go:build browser

package main

// Two nights of an inn that boils mutton, from the first delivery to the stock-take, on two devices by a slow network: by the range one of
// the size that is tried, by the pass another. The board is killed and started again between any two hours, and once under a form; the
// network goes away; an answer is lost. After every entry the log book has it and no other, the pages and the commands say the same, and
// so does the page that stands open by the pass.

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/ask"
	"kettletree/menu/clock"
)

// slate is a size between the two others.
var slate = screen{"768x1024", 768, 1024, true}

// inn is who plays it.
type inn struct {
	*days        // by the range
	pass   *days // by the pass
	direct *days // asks without the network between
	p      *program
	slow   *network
	away   bool // the pass does not stand on Today
}

func TestBrowserInn(t *testing.T) {
	sizes, delays := []screen{phone, slate, tablet}, slowness
	if !*allNights { // others in each run
		sizes, delays = []screen{sizes[rand.IntN(len(sizes))]}, []time.Duration{delays[rand.IntN(len(delays)-1)]}
	}
	for _, size := range sizes {
		for _, delay := range delays {
			t.Run(fmt.Sprintf("%s %d ms", size.name, delay), func(t *testing.T) { openInn(t, size, delay*time.Millisecond).plays() })
		}
	}
}

// openInn opens it at eight in the morning of a Tuesday.
func openInn(t *testing.T, size screen, delay time.Duration) *inn {
	t.Helper()
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join("testdata", "inn"))))
	const now = "2026-11-24 08:00"
	t.Setenv(clockName, now)
	p := &program{t: t, folder: folder, port: "0"}
	p.starts(now)
	t.Cleanup(p.isKilled)
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	o := &served{t: t, url: p.url, folder: folder, client: &http.Client{Jar: jar, Timeout: 30 * time.Second}}
	asked := *o
	i := &inn{p: p, slow: delaying(t, o, delay)}
	o.url = i.slow.address
	i.direct = &days{tab: &tab{t: t, o: &asked}}
	i.days, i.pass = &days{tab: openTab(t, o, size)}, &days{tab: openTab(t, o, tablet)}
	t.Cleanup(func() {
		if t.Failed() {
			t.Log(evaluate[string](i.tab, saidNow))
			i.shoot("failed")
		}
	})
	return i
}

// at goes on to a later moment: the board is killed, and another is started then. The device by the pass, which stands on Today, has the
// news by itself.
func (i *inn) at(now, place string) {
	i.t.Helper()
	i.p.isKilled()
	i.t.Setenv(clockName, now)
	i.p.starts(now)
	i.days.at(now, place)
	i.pass.until(fmt.Sprintf(`document.getElementById("main").dataset.now === %q`, strings.Replace(now, " ", "T", 1)), "the page by the pass is of %s", now)
}

// wrote waits for the entries, and holds everything against everything.
func (i *inn) wrote(entries ...string) {
	i.t.Helper()
	i.want = append(i.want, entries...)
	i.days.wrote(i.want...)
	i.direct.agrees()
	i.clocks()
	i.stands()
}

// adds taps what writes something down.
func (i *inn) adds(button string, entries ...string) {
	i.t.Helper()
	i.tap(button)
	i.wrote(entries...)
	i.until(`!document.documentElement.classList.contains("waiting")`, "the page shows it")
	i.sees("Written down:")
}

// clocks holds the page of the clock against clock: what is done when.
func (i *inn) clocks() {
	i.t.Helper()
	_, page, _ := i.direct.o.get("/clock?days=1")
	page = strings.Join(strings.Fields(page), " ")
	for _, r := range answers[clock.Timetable](i.direct.o, "clock", "--days", "1").Rows {
		_, hour, _ := strings.Cut(r.At, " ")
		assert.Contains(i.t, page, hour, "%s of %s", r.Do, r.Step)
	}
}

// stands waits until Today, which stands open by the pass, says of the next service what whatif says.
func (i *inn) stands() {
	i.t.Helper()
	dishes := answers[ask.Consequences](i.direct.o, "whatif").Dishes
	if i.away || len(dishes) == 0 {
		return
	}
	next := dishes[0]
	for _, d := range dishes {
		if d.Date == next.Date && d.Service == next.Service {
			i.pass.until(fmt.Sprintf(`[...document.querySelectorAll("main .row")].some(r => r.innerText.includes(%q) && r.innerText.replace(/\s+/g, " ").includes("%d of %d"))`,
				d.Name, d.After, d.Forecast), "by the pass there are %d of %d %s", d.After, d.Forecast, d.Name)
		}
	}
}

// unanswered writes something of which the answer is lost, and sends it again.
func (i *inn) unanswered(button, again string, entries ...string) {
	i.t.Helper()
	i.slow.deaf.Store(true)
	i.tap(button)
	i.sees("No answer came, so this may not be written down.")
	i.want = append(i.want, entries...)
	i.days.wrote(i.want...)
	i.slow.deaf.Store(false)
	i.tap(again)
	i.sees("Already written down, so not written again")
	i.wrote()
}

func (i *inn) plays() {
	i.open("/stock-take")
	i.pass.open("/")
	for label, amount := range map[string]string{"pulled mutton, kg": "3,2", "mutton fat, kg": "2.5", "mutton broth, L": "19", "leeks, kg": "1", "turnips, kg": "6", "flour, kg": "5", "egg, each": "24", "pearl barley, kg": "5"} {
		i.puts(label, amount)
	}
	i.adds("Write down what was counted", "counted 3.2 kg pulled mutton", "counted 2.5 kg mutton fat", "counted 19 L mutton broth", "counted 5 kg pearl barley", "counted 6 kg turnips", "counted 1 kg leeks",
		"counted 5 kg flour", "counted 24 each egg")
	i.delivery()
	i.lunch()
	i.copper()
	i.dawn()
	i.loss()
	i.supper()

	// What the log book says is what was tapped, entry by entry, each once.
	assert.Equal(i.t, i.want, i.direct.o.logged())
	sound := runIn(i.t, nil, "log", i.p.folder, "check")
	require.Zero(i.t, sound.code, sound.stderr)
}

// delivery comes by a shepherd who has less than was ordered; the network is gone when it is sent.
func (i *inn) delivery() {
	i.at("2026-11-24 08:20", "Buy")
	bones := i.unfolds("mutton bones")
	i.fills(bones+"input[name=amount]", "27,5")
	i.fills(bones+"input[name=ask]", "1.15")
	i.slow.cut.Store(true)
	i.tap("Received mutton bones")
	i.sees("No answer came, so this may not be written down.")
	i.slow.cut.Store(false)
	i.until(fmt.Sprintf(`document.querySelector(%q).value === "27,5"`, bones+"input[name=amount]"), "what was typed is still there")
	i.adds("Received mutton bones", `received 27.5 kg mutton bones for 31.63 from "shepherd"`)
	i.fills(i.unfolds("mutton shoulder")+"input[name=amount]", "30.4")
	i.adds("Less came: that is all: mutton shoulder", "did not come 1.1 kg mutton shoulder", `received 30.4 kg mutton shoulder for 194.56 from "shepherd"`)
	i.unfolds("leeks")
	i.adds("Did not come: leeks", "did not come leeks")
	i.adds("Undo", fmt.Sprintf("undone undo %d", len(i.want)))
	i.fills(i.unfolds("leeks")+"input[name=amount]", "2")
	i.adds("Received leeks", `received 2 kg leeks for 5.20 from "carrier"`)
}

// lunch is made at the bench, sold and counted: two devices write at once.
func (i *inn) lunch() {
	i.at("2026-11-24 10:40", "Today")
	i.adds("Done boil barley", "cooked boil barley x1 of 2026-11-24")
	i.adds("Done leek hash", "cooked leek hash x1 of 2026-11-24")
	i.tap("86 cup of broth")
	i.sees("What if: cup of broth, Tue 24 Nov lunch, is 86'd")
	i.unanswered("Write it down", "Send again", "struck cup of broth at 2026-11-24 lunch")
	i.tap("Today")
	i.adds("Put back cup of broth", fmt.Sprintf("undone undo %d", len(i.want)))

	i.at("2026-11-24 14:40", "Log")
	i.away = true
	i.pass.tap("Log")
	i.pass.sees("Latest entries")
	i.kind("Sold", false)
	i.types("Service", "lunch")
	i.types("barley broth", "15")
	i.types("mutton pudding", "9")
	i.pass.kind("Binned", false)
	i.pass.fills("#entry-form input[name=item]", "Hash")
	i.pass.fills("#entry-form input[name=amount]", "0,3")
	i.tap("Write it down")
	i.pass.tap("Write it down")
	sold, binned := []string{"sold 15 barley broth at lunch", "sold 9 mutton pudding at lunch"}, []string{"binned 0.3 kg leek hash"}
	require.Eventually(i.t, func() bool { return len(i.o.news()) == len(i.want)+3 }, tabPatience, 20*time.Millisecond, "both are written: %q", i.o.news())
	if i.o.news()[len(i.want)] == binned[0] {
		sold, binned = binned, sold
	}
	i.wrote(slices.Concat(sold, binned)...)
	i.sees("Written down:")
	i.pass.sees("Written down:")
	i.pass.tap("Today")
	i.away = false
}

// copper is lit at half past ten; what goes in and comes out is weighed, and a reading is taken.
func (i *inn) copper() {
	i.at("2026-11-24 22:25", "Today")
	i.adds("Lit night copper", "lit night copper x1 of 2026-11-24")
	i.at("2026-11-25 00:05", "Today")
	i.tap("Put in 16 kg mutton shoulder?")
	i.sees("Or type it on one line")
	i.fills("#entry-form #amount", "15")
	i.adds("Write it down", "put in 15 kg mutton shoulder of night copper of 2026-11-24")
	i.at("2026-11-25 03:40", "Today")
	i.tap("Out 7.5 kg pulled mutton?")
	i.fills("#entry-form #amount", "6,9")
	i.unanswered("Write it down", "Write it down", "out 6.9 kg pulled mutton of night copper of 2026-11-24")
	i.kind("Temperature", false)
	i.fills("#entry-form #item", "Pulled")
	i.fills("#entry-form #reading", "58")
	i.types("Scale", "C")
	i.adds("Write it down", "temperature pulled mutton 58 C")
}

// dawn empties the copper; the board dies under the form.
func (i *inn) dawn() {
	i.at("2026-11-25 06:40", "Today")
	i.tap("Out 2.4 kg mutton fat?")
	i.fills("#entry-form #amount", "2,1")
	i.p.isKilled()
	i.fills("#entry-form #amount", "2,2")
	i.tap("Write it down")
	i.sees("No answer came, so this may not be written down.")
	i.p.starts("2026-11-25 06:40")
	i.until(`document.querySelector("#entry-form #amount").value === "2,2"`, "what was typed is still there")
	i.adds("Write it down", "out 2.2 kg mutton fat of night copper of 2026-11-24")
	i.at("2026-11-25 07:10", "Today")
	i.tap("Out 44 L mutton broth?")
	i.fills("#entry-form #amount", "40,5")
	i.adds("Write it down", "out 40.5 L mutton broth of night copper of 2026-11-24")
	i.tap("Today")
	i.adds("Done night copper of Tue 24 Nov", "done night copper of 2026-11-24")
}

// loss is of a hash that burns: written, taken back, written again. By the pass a special takes its place.
func (i *inn) loss() {
	i.at("2026-11-25 11:20", "Today")
	for again := range 2 {
		if again == 0 { // what was opened stays open
			i.tap("Another batch was lost")
		}
		i.tap("Wednesday's leek hash")
		i.sees("What if: Wednesday's leek hash is lost")
		i.adds("Write it down", "lost leek hash of 2026-11-25")
		if again == 0 {
			i.adds("Undo", fmt.Sprintf("undone undo %d", len(i.want)))
			i.tap("Today")
		}
	}
}

// supper is served; then all is counted.
func (i *inn) supper() {
	i.at("2026-11-25 21:40", "Log")
	i.kind("Sold", false)
	i.types("Service", "supper")
	i.types("barley broth", "10")
	i.types("cup of broth", "7")
	i.adds("Write it down", "sold 10 barley broth at supper", "sold 7 cup of broth at supper")
	i.open("/stock-take")
	i.puts("pulled mutton, kg", "4,6")
	i.puts("mutton broth, L", "0")
	i.adds("Write down what was counted", "counted 4.6 kg pulled mutton", "counted 0 L mutton broth")
}
