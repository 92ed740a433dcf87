//go:build browser

package main

// A pie shop drawn on a tablet held upright: four things go into the pot, four come out, three dishes are sold. The folder holds a file
// with the kitchen's name and nothing else.

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

var upright = screen{"768x1024", 768, 1024, true}

// byHand is the same kitchen as somebody would write it.
const byHand = `kitchen: Corner Pies
bought:
  beef shin: {price: 9.80/kg}
  water:     {price: 0/L}
  onion:     {price: 1.40/kg}
  thyme:     {price: 12/kg}
  bread:     {price: 0.30/each}
steps:
  shin pot:
    batches: {tue: 1, fri: 1}
    starts: "06:00"
    takes: [20 kg beef shin, 26 L water, 3 kg onion, 200 g thyme]
    gives: [30 L stock, 9 kg shin meat, 1 kg dripping, 2 kg bones]
made:
  stock:     {keeps: 4 days}
  shin meat: {keeps: 4 days}
  dripping:  {keeps: 30 days}
dishes:
  shin pie:       {price: 8.50, sells: 40, takes: [150 g shin meat, 100 mL stock]}
  cup of broth:   {price: 4, sells: 15, takes: [250 mL stock]}
  dripping toast: {price: 3, sells: 8, takes: [20 g dripping, 1 each bread]}
`

// penned counts taps on buttons and boxes, and fields that are filled.
type penned struct {
	*tab
	touched int
}

func (p *penned) press(what string) {
	p.touched++
	p.tap(what)
}

// box taps a box of the drawing.
func (p *penned) box(list, name string) {
	p.t.Helper()
	p.touched++
	q := fmt.Sprintf(`//*[@id="sheet"]//*[starts-with(@id, "box-%s-") and .//*[contains(., %q)]]/*[local-name()="a"]`, list, name)
	p.do(chromedp.ScrollIntoView(chromedp.Search(q)), chromedp.Click(chromedp.Search(q), chromedp.NodeVisible))
}

func (p *penned) fill(name, text string) {
	p.t.Helper()
	p.touched++
	p.do(chromedp.SendKeys(chromedp.CSS(fmt.Sprintf(".pen input[name=%q]", name)), text))
}

// writes looks at what follows, and writes it.
func (p *penned) writes(says string) {
	p.t.Helper()
	p.press("What follows?")
	p.sees("Nothing is written yet.")
	p.press("Write it into the kitchen file")
	p.sees("Written into the kitchen file: " + says)
}

// adds draws a new box; fields are names and texts.
func (p *penned) adds(one string, fields ...string) {
	p.t.Helper()
	p.press("+ " + one)
	p.sees("New: " + one)
	for i := 0; i < len(fields); i += 2 {
		if fields[i] == "into" || fields[i] == "out of" {
			p.touched++
			evaluate[bool](p.tab, fmt.Sprintf(`(() => { const s = document.querySelector('.pen select[name="%s"]'); s.value = %q;
				for (const e of ["input", "change"]) s.dispatchEvent(new Event(e, {bubbles: true})); return true })()`, fields[i], fields[i+1]))
			continue
		}
		p.fill(fields[i], fields[i+1])
	}
	if fields[1] == "beef shin" || fields[1] == "dripping toast" {
		p.sound("new " + one)
	}
	p.writes("")
}

// pulls draws a line with a finger.
func (p *penned) pulls(from, to string) {
	p.t.Helper()
	p.touched++
	at := evaluate[[]float64](p.tab, fmt.Sprintf(`(() => { const box = (name) => [...document.querySelectorAll("#sheet g[id^=box-]")].find((g) => g.textContent.includes(name));
		box(%[1]q).scrollIntoView({block: "center"});
		return [%[1]q, %[2]q].flatMap((n) => { const r = box(n).getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; }) })()`, from, to))
	require.Len(p.t, at, 4)
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) error {
			_, err := chromedp.Call(ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: append([]*input.TouchPoint{}, points...)})
			return err
		}
		if err := touch("touchStart", &input.TouchPoint{X: at[0], Y: at[1]}); err != nil {
			return err
		}
		for n := 1; n <= 8; n++ {
			part := float64(n) / 8
			if err := touch("touchMove", &input.TouchPoint{X: at[0] + part*(at[2]-at[0]), Y: at[1] + part*(at[3]-at[1])}); err != nil {
				return err
			}
		}
		p.shoot("pulling")
		return touch("touchEnd")
	}))
}

func TestBrowserDraw(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "kitchen.yaml")
	require.NoError(t, os.WriteFile(file, []byte("kitchen: Corner Pies\n"), 0o600))
	p := &penned{tab: openTab(t, serveFolder(t, folder), upright)}
	p.open("/map")
	p.press("Draw")
	p.sees("Nothing is drawn yet.")
	p.sound("empty")
	p.adds("step", "as", "shin pot", "blank batches", "tue fri", "blank starts", "06:00")
	p.adds("bought item", "as", "beef shin", "blank price", "9.80/kg", "amount", "20 kg") // into the pot, which is the only one
	p.adds("bought item", "as", "water", "blank price", "0/L", "amount", "26 L")
	p.adds("bought item", "as", "onion", "blank price", "1.40/kg", "amount", "3 kg")
	p.adds("made item", "as", "stock", "amount", "30 L", "blank keeps", "4 days")
	p.adds("made item", "as", "shin meat", "amount", "9 kg", "blank keeps", "4 days")
	p.adds("made item", "as", "dripping", "amount", "1 kg", "blank keeps", "30 days")
	p.adds("made item", "as", "bones", "amount", "2 kg")
	p.adds("bought item", "as", "thyme", "blank price", "12/kg", "into", "") // goes nowhere yet
	p.pulls("thyme", "shin pot")
	p.sees("shin pot takes thyme")
	p.sound("line")
	p.fill("amount", "a little")
	p.press("What follows?")
	p.sees(`"a little" is no amount`)
	p.sound("no amount")
	evaluate[bool](p.tab, `(() => { const f = document.querySelector("#amount"); f.value = ""; f.dispatchEvent(new Event("input", {bubbles: true})); return true })()`)
	p.fill("amount", "200 g")
	p.writes("shin pot: now takes 200 g thyme too")

	p.adds("dish", "as", "shin pie", "blank price", "8.50", "blank sells", "40", "out of", "made/shin meat", "amount", "150 g")
	p.box("made", "stock") // the pie is chosen, for it is new
	p.sees("shin pie takes stock")
	p.fill("amount", "100 mL")
	p.writes("shin pie: now takes 100 mL stock too")
	p.adds("dish", "as", "cup of broth", "blank price", "4", "blank sells", "15", "out of", "")
	p.box("dishes", "cup of broth") // let go
	p.sees("Tap a box, then another")
	p.box("made", "stock")
	p.sees("stock is chosen.")
	p.sound("chosen")
	p.box("dishes", "cup of broth")
	p.sees("cup of broth takes stock")
	p.fill("amount", "250 mL")
	p.writes("cup of broth: now takes 250 mL stock too")
	p.adds("dish", "as", "dripping toast", "blank price", "3", "blank sells", "8", "out of", "made/dripping", "amount", "20 g")
	p.adds("bought item", "as", "bread", "blank price", "0.30/each", "amount", "1 each")
	drawn := p.touched

	// No line leads from one bought item to another: the second is chosen, and the next tap leads from there, as the address says.
	p.box("bought", "bread") // let go
	p.sees("Tap a box, then another")
	p.pulls("thyme", "onion")
	p.sees("onion is chosen.")
	p.until(`location.search === "?pick=bought%2Fonion"`, "the address says what the page says")
	p.box("dishes", "shin pie")
	p.sees("shin pie takes onion")
	p.press("Cancel")
	p.sees("Tap a box, then another")

	evaluate[bool](p.tab, "scrollTo(0, 0), true")
	p.sound("drawn")
	p.dark()
	p.sound("drawn dark")
	p.open("/?lose=shin+pot@fri")
	p.sees("shin pot is lost")
	p.sees("of contribution")
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	differs, err := kitchen.Alterations("by hand", []byte(byHand), file, src)
	require.NoError(t, err)
	assert.Empty(t, differs, "%s", src)
	hand := filepath.Join(t.TempDir(), "kitchen.yaml")
	require.NoError(t, os.WriteFile(hand, []byte(byHand), 0o600))
	lost := func(file string) string {
		return runIn(t, nil, "whatif", file, "--lose", "shin pot@fri", "--from", "2026-11-23").stdout
	}
	assert.Equal(t, lost(hand), lost(file))
	assert.Contains(t, lost(file), "shin pie")
	t.Logf("%d taps and fields from a kitchen with a name to the whole of it", drawn)
}

// crowded is a kitchen of 96 dishes out of eight pots: more boxes than are drawn at once.
func crowded() string {
	var b strings.Builder
	b.WriteString("kitchen: Long Card\nbought:\n  water: {price: 0/L}\n")
	for n := range 8 {
		fmt.Fprintf(&b, "  meat %d: {price: 9/kg}\n  root %[1]d: {price: 2/kg}\n", n+1)
	}
	b.WriteString("steps:\n")
	for n := range 8 {
		fmt.Fprintf(&b, "  pot %d: {takes: [12 kg meat %[1]d, 3 kg root %[1]d, 20 L water], gives: [18 L stock %[1]d, 7 kg braise %[1]d], batches: {tue: 1, fri: 1}}\n", n+1)
	}
	b.WriteString("made:\n")
	for n := range 8 {
		fmt.Fprintf(&b, "  stock %d: {keeps: 4 days, density: 1.01 kg/L}\n  braise %[1]d: {keeps: 3 days}\n", n+1)
	}
	b.WriteString("dishes:\n")
	for n := range 96 {
		fmt.Fprintf(&b, "  plate %d: {price: 14, takes: [120 g braise %d, 150 mL stock %d], sells: 4}\n", n+1, n%8+1, (n/8)%8+1)
	}
	return b.String()
}

// On a phone and on a tablet a kitchen of 96 dishes is drawn on: the pots are there at once, and what is around the chosen box.
func TestBrowserDrawLarge(t *testing.T) {
	board := func(t *testing.T) *served {
		folder := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(crowded()), 0o600))
		return serveFolder(t, folder)
	}
	atBothSizes(t, board, func(b *tab) {
		p := &penned{tab: b}
		p.open("/draw")
		p.sees("Too many boxes to draw at once")
		p.sound("large")
		p.box("steps", "pot 3")
		p.sees("pot 3 is chosen.")
		p.until(`document.querySelectorAll("#sheet g[id^=box-]").length === 6`, "what is around it is drawn")
		p.box("made", "stock 3")
		p.sees("pot 3 gives stock 3")
		p.sound("large line")
		p.press("Cancel")
		p.box("made", "braise 8")
		p.sees("braise 8 is chosen.")
		p.until(`document.querySelectorAll("#sheet g[id^=box-]").length === 14`, "what is around it is drawn")
		p.sound("large made")
		evaluate[bool](p.tab, `(() => { document.querySelector("#to").value = "bought/root 1"; return true })()`)
		p.press("Go on") // to what no line leads to
		p.sees("root 1 is chosen.")
		evaluate[bool](p.tab, `(() => { document.querySelector("#to").value = "dishes/plate 7"; return true })()`)
		p.press("Go on")
		p.sees("plate 7 takes root 1")
		p.fill("amount", "20 g")
		p.writes("plate 7: now takes 20 g root 1 too")
		p.dark()
		p.sound("large dark")
	})
}
