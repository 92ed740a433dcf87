//go:build browser

package main

// At the counter at ten at night: 900 in hand, eight things on offer, tapped in one after the other, and their prices changed. Each answer is
// that of the command line.

import (
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/counter"
)

// atNight is a kitchen before a counter.
type atNight struct {
	board  func(*testing.T) *served
	args   []string // as the board was started
	money  string
	offers [][3]string // what hangs there: what it is, its price, and what there is
	each   []string    // of that, what is counted
	haggle [3]string   // the prices of the second, the first and the fourth, as they are typed later
	many   map[string]string
	behind bool // and what lies behind the answer
}

var cantina = atNight{fromList, []string{"--from", "2026-11-23", "--on-hand", filepath.Join("..", "..", "examples", "three-kettles", "on-hand.csv")}, "USD", [][3]string{
	{"pork trotters", "3.60", "60 kg, packs of 5 kg"},
	{"pork shoulder", "4.80", "pieces of 8.6 9.1 9.4 8.8 9.0 9.7 8.9 9.2 kg"},
	{"pork neck bones", "2.40", "40"},
	{"stewing hen", "8.90", "40"},
	{"smoked ham bones", "5.00", "pieces of 2.4 2.6 2.2 2.8 kg"},
	{"epazote", "9.50", "3"},
	{"avocado", "0.90", "80"},
	{"cilantro", "6", "4"},
}, []string{"stewing hen", "avocado"}, [3]string{"5.40", "6,90", "12.80"}, map[string]string{"stewing hen": "stewing hens", "avocado": "avocados"}, true}

// anInn is the inn of the nights, without a log book: of its shoulders more was said than was weighed.
var anInn = atNight{func(t *testing.T) *served {
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join("testdata", "inn"))))
	return serveFolder(t, folder, "--from", "2026-11-24")
}, []string{"--from", "2026-11-24"}, "EUR", [][3]string{
	{"mutton shoulder", "5.60", "60 kg, pieces of 4.2 3.9 4.4 4.1 4.6 3.8 4 kg"},
	{"mutton bones", "0.90", "40"},
	{"pearl barley", "1.50", "10 kg, packs of 2.5 kg"},
	{"turnips", "1.10", "20"},
	{"leeks", "2.20", "12"},
	{"flour", "0.80", "10"},
	{"egg", "0.28", "120"},
	{"mint", "1.00", "6 bunch"},
}, []string{"egg"}, [3]string{"1.30", "7,40", "2.60"}, nil, false}

// awaits is sees, for what takes longer to work out.
func (b *tab) awaits(words string) {
	b.t.Helper()
	require.Eventually(b.t, func() bool { return evaluate[bool](b, fmt.Sprintf("(%s).includes(%q)", saidNow, words)) },
		2*time.Minute, 100*time.Millisecond, "the page says %q", words)
}

// agreesWithCommand holds what the page says against the command line, asked what stands in the page's fields.
func (b *tab) agreesWithCommand(at atNight) *counter.Answer {
	b.t.Helper()
	args := append(slices.Clone(at.args), "--spend", "900")
	for n, offer := range at.offers {
		price := strings.Replace(evaluate[string](b, fmt.Sprintf("document.getElementById('price%d').value", n)), ",", ".", 1)
		unit := map[bool]string{true: "each", false: "kg"}[slices.Contains(at.each, offer[0])]
		there := offer[2]
		if strings.Contains(there, "bunch") {
			unit = "bunch"
		} else if !strings.Contains(there, "kg") {
			there += " " + unit
		}
		args = append(args, "--offer", fmt.Sprintf("%s=%s/%s, %s", offer[0], price, unit, there))
	}
	a := answers[counter.Answer](b.o, "buy", args...)
	m := show.MoneyOf(at.money)
	if len(a.Batches) > 0 {
		b.awaits(fmt.Sprintf("%s more than buying nothing here with the batches as they stand.", m.Name(a.Brings)))
	} else {
		b.awaits(fmt.Sprintf("Once it is paid, that earns %s more than buying nothing here.", m.Name(a.Brings)))
	}
	b.sees(fmt.Sprintf("%s of %s", m.Show(a.Costs), m.Name(a.Spend)))
	for _, line := range slices.Concat(show.CounterAsks(&a), show.CounterBatches(&a), show.CounterCut(&a)) {
		b.sees(line)
	}
	said := evaluate[string](b, saidNow)
	for _, l := range a.Lines {
		if l.Buy > 0 {
			buy := strings.TrimSuffix(show.Amount(l.Buy, l.Unit), " each")
			assert.Contains(b.t, said, fmt.Sprintf("buy %s, %s", buy, m.Show(l.Costs)), l.Item)
			assert.Contains(b.t, said, fmt.Sprintf("%s %s", buy, m.Show(l.UpTo)), l.Item)
		}
	}
	for n := range a.Swaps {
		assert.Contains(b.t, said, show.SwapText(&a.Swaps[n], m))
	}
	return &a
}

func TestBrowserCounter(t *testing.T) { cantina.haggles(t) }

func TestBrowserCounterOfAnInn(t *testing.T) { anInn.haggles(t) }

func (at atNight) haggles(t *testing.T) {
	b := openTab(t, at.board(t), phone)
	b.o.t = t
	b.open("/buy")
	b.tap("At the counter, with money in hand")
	b.sees("Something else on offer")
	b.types("Money in hand", "900")
	for _, offer := range at.offers {
		b.types("What is it?", offer[0])
		b.types("Price, for one", offer[1])
		b.do(chromedp.SetValue(chromedp.Search(`//input[@id="there"]`), offer[2]))
		b.tap("Note it, and go on")
		b.sees("Take away " + offer[0])
		assert.Empty(t, evaluate[string](b, `document.getElementById("ask").value + document.getElementById("there").value`), "the fields are for the next thing")
	}
	b.sound("noted")
	b.tap("What to buy")
	b.agreesWithCommand(at)
	b.sound("answered")

	// Prices change, as one haggles; Enter in a field asks, and takes nothing away.
	for k, price := range at.haggle {
		id := fmt.Sprintf("price%d", []int{1, 0, 3}[k])
		field := chromedp.Search(fmt.Sprintf(`//input[@id=%q]`, id))
		evaluate[bool](b, fmt.Sprintf("document.getElementById(%q).select(), true", id)) // what is typed takes the place of what stood there
		b.do(chromedp.SendKeys(field, price+kb.Enter))
		b.until(fmt.Sprintf("location.search.includes(%q)", id+"="+url.QueryEscape(price)), "the price is asked about")
		b.agreesWithCommand(at)
	}
	b.sound("haggled")
	b.dark()
	b.sound("dark")
	if !at.behind {
		return
	}

	// What lies behind the answer, when it is asked for.
	b.tap("Look further: risk, parts, what to ask")
	b.awaits(show.RiskHead)
	a := b.agreesWithCommand(at)
	for n, lot := range a.Risk.Least { // which JSON leaves out
		a.Risk.Least[n].Many = at.many[lot.Item]
	}
	said := evaluate[string](b, saidNow)
	for _, line := range slices.Concat(show.CounterRisk(a), show.CounterDoubts(a), show.WholeText(&a.Wholes[0], show.MoneyOf(at.money))) {
		assert.Contains(t, said, line)
	}
	b.sound("deeper")
	assert.Len(t, evaluate[[]string](b, `[...document.querySelectorAll("button[name=drop]")].map(e => e.value)`), len(at.offers))
}
