//go:build browser

package main

// A tamal shop entered from a spreadsheet: recipes in a workbook, prices in a supplier's list, no editor.

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// sends chooses a file, and sends it.
func (b *tab) sendsFile(name string) {
	b.t.Helper()
	b.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{name}))
	b.tap("Show what it changes")
}

func TestBrowserSpreadsheet(t *testing.T) {
	folder := t.TempDir()
	book := excelize.NewFile()
	for sheet, rows := range map[string][][]any{
		"Masa pot":    {{"Masa pot"}, {"Yield: 20 kg"}, {"Zutat (roh)", "Menge", "Einheit"}, {"masa flour", 8, "kg"}, {"broth", 10, "L"}, {"lard", 2, "kg"}},
		"Broth":       {{"Broth"}, {"Yield", 40, "L"}, {"Zutat (roh)", "Menge", "Einheit"}, {"pork bones", 12, "kg"}, {"water", 50, "L"}},
		"Tamal plate": {{"Tamal plate"}, {"Portions", 10}, {"Menu price", 9.5}, {"Zutat (roh)", "Menge", "Einheit"}, {"masa pot", 1.5, "kg"}, {"broth", 1, "L"}},
	} {
		_, err := book.NewSheet(sheet)
		require.NoError(t, err)
		for n, row := range rows {
			require.NoError(t, book.SetSheetRow(sheet, fmt.Sprintf("A%d", n+1), &row))
		}
	}
	require.NoError(t, book.DeleteSheet("Sheet1"))
	recipes, prices := filepath.Join(folder, "cards.xlsx"), filepath.Join(folder, "list.csv")
	require.NoError(t, book.SaveAs(recipes))
	require.NoError(t, os.WriteFile(prices, []byte("item;price;unit;pack\nPork bones;3,20;kg;\nMasa flour;22,00;sack;20 kg\nLard;4,10;kg;\n"), 0o600))

	for _, s := range []screen{phone, tablet} {
		t.Run(s.name, func(t *testing.T) {
			home := t.TempDir()
			b := openTab(t, serveFolder(t, home), s)
			b.open("/")
			b.do(chromedp.SendKeys(chromedp.CSS("input[name=name]"), "Corn Row"), chromedp.SendKeys(chromedp.CSS("input[name=open]"), "tue-sun"),
				chromedp.SendKeys(chromedp.CSS("input[name=dinner]"), "17:00-21:00"))
			b.tap("My recipes are in a spreadsheet")
			b.sees("Recipes from a file")
			b.sound("recipes-1")
			b.sendsFile(recipes)
			b.sees("Which column is which?")
			b.sound("recipes-2")
			b.tap("Go on")
			b.sees("1 new dish, 2 new steps")
			b.sound("recipes-3")
			b.tap("Write it into the kitchen file")
			b.sees("Written into the kitchen file")
			b.sound("recipes-4")

			b.goes("Prices from a list")
			b.sound("prices-1")
			b.sendsFile(prices)
			b.sees("3 prices change")
			b.dark()
			b.sound("prices-2")
			b.tap("Write it into the kitchen file")
			b.sees("Written into the kitchen file")

			for _, told := range [][3]string{{"dishes&name=Tamal+plate", "sells", "30"}, {"steps&name=Broth", "batches", "{tue: 1, fri: 1}"}} {
				b.open("/kitchen?list=" + told[0])
				b.types(told[1], told[2])
				b.tap("What follows?")
				b.sees("Nothing is written yet")
				b.tap("Write it into the kitchen file")
				b.sees("Written into the kitchen file")
			}
			b.open("/?lose=Broth@fri")
			b.sees("Broth is lost")
			b.sees("Tamal plate")
			src, err := os.ReadFile(filepath.Join(home, "kitchen.yaml"))
			require.NoError(t, err)
			assert.Contains(t, string(src), "masa flour: {price: 22.00 for 20 kg, pack: 20 kg}")
		})
	}
}
