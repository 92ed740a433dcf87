package board

// Rows of the clock and of sheets, in the languages: the kitchen's own names in what they caution against, and no line that ends between a
// figure and its unit.

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// confitCounter is a counter that keeps garlic in oil and warms a stock through.
const confitCounter = `kitchen: Confit Counter
money: USD
open: mon-sun
services: {dinner: 17:30-21:30}
hands: {07:00-15:00: [dayhand]}
also: {es: {range: fogón}, zh: {range: 灶台}}
bought:
  garlic:    {price: 6/kg, keeps: 30 days, allergens: [], also: {es: ajo, zh: 大蒜}}
  olive oil: {price: 7/L, density: 0.916 kg/L, allergens: [], also: {es: aceite de oliva, zh: 橄榄油}}
  neck:      {price: 7/kg, raw: yes, keeps: 3 days, allergens: [], also: {es: pescuezo, zh: 羊颈}}
steps:
  confit garlic:
    station: range
    starts: "08:00"
    takes: [1 kg garlic, 1.5 L olive oil]
    gives: [1.3 L garlic oil, 0.9 kg soft garlic]
    batches: {mon-sun: 1}
    also: {es: confitar ajo, zh: 油浸大蒜}
  braise neck:
    station: range
    starts: "09:00"
    takes: [2 kg neck, 50 mL garlic oil]
    gives: ["1.5 kg soft neck, out at 2 h"]
    cooks through: yes
    batches: {mon-sun: 1}
    also: {es: guisar pescuezo, zh: 焖羊颈}
made:
  garlic oil:  {keeps: 4 days, density: 0.92 kg/L, also: {es: aceite de ajo, zh: 蒜油}}
  soft garlic: {keeps: 4 days, worth: 9/kg, also: {es: ajo confitado, zh: 油浸蒜瓣}}
  soft neck:   {keeps: 4 days, worth: 9/kg, also: {es: pescuezo guisado, zh: 焖好的羊颈}}
dishes:
  neck plate: {price: 14, takes: [150 g soft neck, 15 g soft garlic, 5 mL garlic oil], sells: {dinner: 8}, also: {es: plato de pescuezo, zh: 羊颈饭}}
`

var inkedRow = regexp.MustCompile(`<p class="ink">.*?</p>`)

func TestRowsSayWhatLiesInOil(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(confitCounter), 0o600))
	o := openFolder(t, folder)
	for path, want := range map[string]string{
		"/clock?lang=es":                    "ajo en aceite o grasa",
		"/sheets?for=station+range&lang=es": "ajo en aceite o grasa",
		"/clock?lang=zh":                    "大蒜浸在油脂里",
		"/sheets?for=station+range&lang=zh": "大蒜浸在油脂里",
	} {
		_, text, _ := o.get(path)
		assert.Contains(t, text, want, path)
		assert.NotContains(t, text, "garlic en aceite", path)
		assert.NotContains(t, text, "garlic 浸", path)
	}
}

// A row keeps each figure beside its unit, and degrees and sections of the code whole.
func TestRowsBreakInNoFigure(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(confitCounter), 0o600))
	o := openFolder(t, folder)
	for _, lang := range []string{"en", "es", "zh"} {
		for _, path := range []string{"/sheets?for=station+range&lang=", "/clock?lang="} {
			_, text, _ := o.get(path + lang)
			rows := inkedRow.FindAllString(text, -1)
			require.NotEmpty(t, rows, path+lang)
			for _, row := range rows {
				assert.NotRegexp(t, `\d (?:kg|g|mL|L|°C|°F)\b`, row, path+lang)
				assert.NotRegexp(t, `[^>]3-[45]0[13]\.1`, row, path+lang)
			}
		}
	}
}
