//go:build browser

package main

// One night on two devices by a slow network, with a server that is killed and started again and a network that is lost, and the log
// book read back entry by entry. The board is a program of its own here, so that it can be killed: SIGKILL, with whatever it was about.

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/logbook"
)

// allNights plays the night at both sizes and all delays: go test -tags browser -run BrowserMishaps -nights ./cmd/kettletree
var allNights = flag.Bool("nights", false, "play TestBrowserMishaps at both sizes and five delays, not at one of them")

// program is a board that runs by itself.
type program struct {
	t      *testing.T
	folder string
	port   string
	url    string
	now    *exec.Cmd // nil while it is dead
}

// starts starts it, at the port that it had before, by a clock that stands still.
func (p *program) starts(now string) {
	p.t.Helper()
	p.now = exec.Command("kettletree", "serve", p.folder, "--port", p.port)
	p.now.Env = append(os.Environ(), clockName+"="+now)
	p.now.Stderr = os.Stderr
	out, err := p.now.StdoutPipe()
	require.NoError(p.t, err)
	require.NoError(p.t, p.now.Start())
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if at := regexp.MustCompile(`http://localhost:(\d+)`).FindStringSubmatch(lines.Text()); at != nil {
			p.url, p.port = at[0], at[1]
			return
		}
	}
	require.Fail(p.t, "the board says no address")
}

// isKilled kills it at once.
func (p *program) isKilled() {
	if p.now != nil {
		_ = p.now.Process.Kill()
		_ = p.now.Wait()
		p.now = nil
	}
}

// alone is the pozole cantina with its log book, served by a program of its own.
func alone(t *testing.T) (*served, *program) {
	p := &program{t: t, folder: copyOfExamples(t) + "/three-kettles", port: "0"}
	p.starts(tuesday)
	t.Cleanup(p.isKilled)
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	o := &served{t: t, url: p.url, folder: p.folder, client: &http.Client{Jar: jar, Timeout: 30 * time.Second}}
	return o.counted(), p
}

// fills types into a field of the form that is open, letter by letter.
func (b *tab) fills(field, text string) {
	b.t.Helper()
	b.focuses(field)
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[chromedp.Void](`document.activeElement.select?.(); undefined`))
		return err
	}))
	b.keys(text)
}

func TestBrowserMishaps(t *testing.T) {
	sizes, delays := []screen{phone}, []time.Duration{200}
	if *allNights {
		sizes, delays = []screen{phone, tablet}, slowness
	}
	for _, size := range sizes {
		for _, delay := range delays {
			t.Run(fmt.Sprintf("%s %d ms", size.name, delay), func(t *testing.T) { mishaps(t, size, delay*time.Millisecond) })
		}
	}
}

// mishaps plays the night. At the counter is one device, of the size that is tried, by the pass another.
func mishaps(t *testing.T, size screen, delay time.Duration) {
	o, program := alone(t)
	slow := delaying(t, o, delay)
	t.Setenv(clockName, tuesday) // of the commands that look at the log book
	asked := *o
	o.url = slow.address
	counter, pass := openTab(t, o, size), openTab(t, o, tablet)
	const unheard = "No answer came, so this may not be written down."
	wrote := func(text string) {
		t.Helper()
		asked.t = t
		require.Eventually(t, func() bool { return slices.Contains(asked.news(), text) }, tabPatience, 20*time.Millisecond, "%q is not in the log book: %q", text, asked.news())
	}
	unanswered := func(b *tab, entry string) { // it is written, the answer is lost, and the news of it reach the page: that stays said
		t.Helper()
		slow.deaf.Store(true)
		b.tap("Write it down")
		b.sees(unheard)
		wrote(entry)
		_, page, _ := asked.get("/")
		mark := regexp.MustCompile(`data-mark="(\w+)"`).FindStringSubmatch(page)
		require.NotNil(t, mark)
		b.until(fmt.Sprintf(`document.getElementById("main").dataset.mark === %q`, mark[1]), "the page has the news")
		b.sees(unheard)
		slow.deaf.Store(false)
	}
	later := func(now string) { // the program is killed, and another is started at that time
		t.Helper()
		program.isKilled()
		program.starts(now)
	}

	// 14:05. By the pass a dish goes off; the answer to the writing is lost on its way.
	pass.open("/")
	counter.open("/buy")
	pass.tap("86 head cheese torta")
	pass.sees("What if: head cheese torta, Tue 24 Nov lunch, is 86'd")
	unanswered(pass, "struck head cheese torta at 2026-11-24 lunch")
	pass.tap("Send again")
	pass.sees("Already written down, so not written again")

	// At the counter, the scale says less than was wanted. The network is gone when it is sent, and what was typed stays.
	counter.opensLine("pork shoulder")
	line := `form[data-keep$=" pork shoulder"] `
	counter.fills(line+"input[name=amount]", "34.02")
	counter.fills(line+"input[name=ask]", "5,60")
	slow.cut.Store(true)
	counter.tap("Received pork shoulder")
	counter.sees(unheard)
	slow.cut.Store(false)
	counter.until(fmt.Sprintf(`document.querySelector(%q).value === "34.02"`, line+"input[name=amount]"), "what was typed is still there")
	counter.tap("Received pork shoulder")
	received := `received 34.02 kg pork shoulder for 190.51 from "butcher"`
	counter.sees("Written down:")
	wrote(received)

	// 16:10. The board dies under a form that is being filled in, and is there again when it is sent once more.
	later("2026-11-24 16:10")
	counter.tap("Log")
	counter.sees("Latest entries")
	counter.tap("Binned")
	counter.fills("#entry-form input[name=item]", "LARD")
	program.isKilled()
	counter.fills("#entry-form input[name=amount]", "1,25")
	counter.tap("Write it down")
	counter.sees(unheard)
	program.starts("2026-11-24 16:10")
	counter.until(`document.querySelector("#entry-form input[name=amount]").value === "1,25"`, "what was typed is still there")
	counter.tap("Write it down")
	counter.sees("Written down:")
	wrote("binned 1.25 kg lard")

	// 22:05. Two devices write at the same time. Then the answer is lost, and the board dies before it is sent again: it asks.
	later("2026-11-24 22:05")
	for _, b := range []*tab{counter, pass} {
		b.tap("Log")
		b.sees("Latest entries")
	}
	counter.tap("Sold")
	pass.tap("Counted")
	counter.until(`!!document.querySelector("#entry-form select[name=service]")`, "the form is there")
	pass.until(`!!document.querySelector("#entry-form input[name=amount]")`, "the form is there")
	counter.types("Service", "dinner")
	counter.types("red pozole", "18")
	pass.fills("#entry-form input[name=item]", "kettle stock")
	pass.fills("#entry-form input[name=amount]", "21")
	counter.tap("Write it down")
	pass.tap("Write it down")
	counter.sees("sold 18 red pozole at dinner")
	pass.sees("counted 21 L kettle stock")
	pass.tap("Binned")
	pass.until(`document.querySelector("#entry-form input[name=kind]").value === "binned"`, "the form is there")
	pass.fills("#entry-form input[name=item]", "lime")
	pass.fills("#entry-form input[name=amount]", "3")
	unanswered(pass, "binned 3 each lime")
	later("2026-11-24 22:05") // it has forgotten what that device sent
	pass.tap("Write it down")
	pass.sees("written already a moment ago")
	pass.tap("Log")

	// 02:30. The kettle is lost; written, taken back, written again.
	later("2026-11-25 02:30")
	counter.tap("Today")
	counter.sees("Wed 25 Nov, lunch")
	for again := range 2 {
		counter.tap("Another batch was lost")
		counter.tap("night kettle of Tue 24 Nov")
		counter.sees("What if: night kettle of Tue 24 Nov is lost")
		counter.tap("Write it down")
		counter.sees("lost night kettle of 2026-11-24")
		require.Eventually(t, func() bool { return len(asked.news()) == 7+2*again }, tabPatience, 20*time.Millisecond, "the loss is written")
		if again == 0 {
			counter.tap("Undo")
			counter.sees("undone undo")
			counter.open("/")
		}
	}

	// What the log book says is what was tapped, entry by entry, each once, at its time.
	n := asked.before
	two := []string{"sold 18 red pozole at dinner", "counted 21 L kettle stock"} // of one moment
	got := asked.news()
	require.Len(t, got, 9, "%q", got)
	assert.ElementsMatch(t, two, got[3:5])
	want := slices.Concat([]string{"struck head cheese torta at 2026-11-24 lunch", received, "binned 1.25 kg lard"}, got[3:5],
		[]string{"binned 3 each lime", "lost night kettle of 2026-11-24", fmt.Sprintf("undone undo %d", n+7), "lost night kettle of 2026-11-24"})
	assert.Equal(t, want, got)
	last := answers[logbook.Log](&asked, "log", "show", "--last", "9")
	var at []string
	for _, e := range last.Entries {
		at = append(at, strings.TrimSuffix(e.At, ":00"))
	}
	assert.Equal(t, []string{tuesday, tuesday, "2026-11-24 16:10", "2026-11-24 22:05", "2026-11-24 22:05", "2026-11-24 22:05",
		"2026-11-25 02:30", "2026-11-25 02:30", "2026-11-25 02:30"}, at)
	sound := runIn(t, nil, "log", o.folder, "check")
	require.Zero(t, sound.code, sound.stderr)
}
