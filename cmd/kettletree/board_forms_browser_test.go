//go:build browser

package main

// The forms of the kitchen file and the open questions on a phone, by tapping and typing: what follows is seen before it is written, and
// what is refused keeps every field.

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inForm types into a field of the form that does something, in the place of what stands there.
func (b *tab) inForm(act, name, text string) {
	b.t.Helper()
	field := fmt.Sprintf(`form:has(input[name="act"][value=%q]) [name=%q]`, act, name)
	b.until(fmt.Sprintf(`(() => { const f = document.querySelector(%q); if (!f) return false; for (let d = f.closest("details"); d; d = d.parentElement.closest("details")) d.open = true;
		f.scrollIntoView({block: "center"}); f.focus(); f.select && f.select(); return document.activeElement === f })()`, field), "%s can be typed into", name)
	b.do(chromedp.SendKeys(chromedp.CSS(field), text))
}

// decides taps a button of a form, and waits for what the page says then.
func (b *tab) decides(act, do, says string) {
	b.t.Helper()
	b.until(fmt.Sprintf(`(() => { const f = [...document.querySelectorAll('form:has(input[name="act"][value="%s"]) button[value="%s"]')][0]; if (!f) return false;
		f.scrollIntoView({block: "center"}); f.click(); return true })()`, act, do), "the button %s is there", do)
	b.sees(says)
}

// amends looks at what a form would do, and does it.
func (b *tab) amends(act, says string) {
	b.t.Helper()
	b.decides(act, "look", "Nothing is written yet.")
	b.decides(act, "write", "Written into the kitchen file: "+says)
}

func TestBrowserForms(t *testing.T) {
	o := openBoard(t, "first-pot", "--from", "2026-11-23")
	b := openTab(t, o, phone)
	text := func() string {
		src, err := os.ReadFile(filepath.Join(o.folder, "kitchen.yaml"))
		require.NoError(t, err)
		return string(src)
	}
	b.open("/kitchen")
	b.sound("lists")
	b.open("/kitchen?list=bought&new=yes")
	b.inForm("enter", "as", "parsley")
	b.inForm("enter", "blank price", "dear")
	b.inForm("enter", "blank each", "two metres")
	b.decides("enter", "look", "Not yet: something does not fit.")
	b.until(`(() => { const f = (n) => document.querySelector('[name="' + n + '"]'); const wrong = (n) => f(n).closest(".field").querySelector(".says-wrong");
		return f("as").value === "parsley" && f("blank price").value === "dear" && f("blank each").value === "two metres" && wrong("blank price") && wrong("blank each") && !wrong("as") })()`,
		"every field is kept, and each fault stands beside its own")
	b.sound("refused")
	b.inForm("enter", "blank price", "12/kg")
	b.inForm("enter", "blank each", "20 g")
	b.decides("enter", "look", "Nothing is written yet.")
	b.sound("follows")
	b.decides("enter", "write", "new bought item: parsley")
	b.sound("written")
	assert.Contains(t, text(), "parsley: {price: 12/kg, each: 20 g}")

	b.open("/kitchen?list=bought&name=chicken")
	b.inForm("save", "blank price", "9.60/each")
	b.amends("save", "chicken: price 9.60/each, was 8.40/each")
	b.inForm("save", "as", "hen")
	b.amends("save", "chicken is now called hen; 1 line that uses it")
	b.open("/kitchen?list=dishes&name=chicken+soup")
	b.inForm("copy", "as", "small soup")
	b.amends("copy", "new dish: small soup")
	b.open("/kitchen?list=steps&name=poach+chickens")
	b.until(`(() => { const box = document.querySelector('input[name="gives line"]'); box.closest("details").open = true; box.click(); return box.checked })()`, "a line is ticked")
	b.inForm("split", "through", "3 kg boiled hen")
	b.inForm("split", "as", "pick")
	b.sound("split")
	b.amends("split", "poach chickens: now gives 3 kg boiled hen, out at 1 h 15 min too; and 2 more")
	b.open("/kitchen?list=dishes&name=chicken+roll")
	b.amends("drop", "dish taken away: chicken roll")
	b.dark()
	b.open("/kitchen?list=steps&name=pick")
	b.sound("form dark")
	for _, says := range []string{"hen:", "small soup:", "pick:"} {
		assert.Contains(t, text(), says)
	}
	assert.NotContains(t, text(), "chicken roll")
}

func TestBrowserOpenQuestions(t *testing.T) {
	o := openBoard(t, "first-pot", "--from", "2026-11-23")
	file := filepath.Join(o.folder, "kitchen.yaml")
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, append(src, "  broth: {takes: [something], price: 3}\n"...), 0o600))
	b := openTab(t, o, phone)
	b.open("/open")
	b.sees("What is in a portion of broth, and how much?")
	b.sound("questions")
	b.until(`(() => { const f = document.querySelector('.asks input[name="value"]'); f.value = "200 mL chicken stock"; f.dispatchEvent(new Event("input", {bubbles: true}));
		f.form.querySelector('button[value="write"]').click(); return true })()`, "the answer is typed")
	b.sees("Nothing is written yet.")
	b.sound("question follows")
	b.tap("Write it into the kitchen file")
	b.sees("Written into the kitchen file:")
	b.dark()
	b.sound("questions dark")
	now, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Contains(t, string(now), "broth: {takes: [200 mL chicken stock], price: 3}")
}
