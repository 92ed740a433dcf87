package board

// Rows of the clock and of sheets, in the languages: the kitchen's own names in what they caution against, and no line that ends between a
// figure and its unit.

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
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

// Units of the trade have words on Buy, and no scale shows a case of lemons.
func TestBuySpeaksOfCases(t *testing.T) {
	folder := t.TempDir()
	src := strings.NewReplacer("steps:\n", "  lemons:    {price: 30/case, allergens: [], also: {es: limones, zh: 柠檬}}\n  red wine:  {price: 9/bottle, each: 750 mL, allergens: [], also: {es: vino tinto, zh: 红葡萄酒}}\nsteps:\n",
		"[2 kg neck, 50 mL garlic oil]", "[2 kg neck, 50 mL garlic oil, 1 case lemons, 4 bottles red wine]").Replace(confitCounter)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(src), 0o600))
	o := openFolder(t, folder)
	for lang, want := range map[string][]string{
		"en": {"<b>1</b> case<b>", "<b>4</b> bottles<b>", "Count, cases", "Price per case", "30.00/case", "Scale says, kg"},
		"es": {"<b>1</b> caja<b>", "<b>4</b> botellas<b>", "Cantidad, cajas", "Precio por caja", "30.00/caja", "La báscula dice, kg"},
		"zh": {"<b>1</b> 箱<b>", "<b>4</b> 瓶<b>", "数量，箱", "每箱价格", "30.00/箱", "秤上读数，kg"},
	} {
		_, text, _ := o.get("/buy?lang=" + lang)
		for _, w := range want {
			assert.Contains(t, text, w, lang)
		}
		assert.NotContains(t, text, "Scale says, case")
	}
}

// Who approved a date mark is named in the words that the file has for it.
func TestLabelsNameTheApproval(t *testing.T) {
	o := openBoard(t, "evergreen-braise", func(o *menu.Options) {
		o.From, o.OnHand = time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), menu.File(filepath.Join("..", "..", "..", "examples", "evergreen-braise", "on-hand.csv"))
	})
	for lang, want := range map[string]string{"en": "county health authority by letter", "es": "autoridad sanitaria del condado por carta", "zh": "县卫生主管部门"} {
		for _, path := range []string{"/labels?lang=", "/print/labels?lang="} {
			_, text, _ := o.get(path + lang)
			assert.Contains(t, text, want, path+lang)
			assert.Equal(t, lang == "en", strings.Contains(text, "county health authority"), path+lang)
		}
	}
}

// What is served raw is named in the language of the page, with its dish; hours stand behind a day with the comma of the language, and supper
// is the evening's meal.
func TestRowsNameWhatIsRaw(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(`kitchen: Pie Gate
open: mon-sun
services: {supper: 17:00-21:00}
hands: {07:00-22:00: [baker]}
also: {es: {baker: panadero}, zh: {baker: 面点师}}
bought:
  cured salmon: {price: 18/kg, raw: yes, allergens: [fish: salmon], also: {es: salmón curado, zh: 腌三文鱼}}
  eggs:         {price: 4/kg, raw: yes, allergens: [egg], also: {es: huevos, zh: 鸡蛋}}
dishes:
  salmon plate: {price: 15, takes: [80 g cured salmon, 20 g eggs], cooks through: no, sells: {supper: 8}, also: {es: plato de salmón, zh: 三文鱼盘}}
`), 0o600))
	o := openFolder(t, folder)
	for path, want := range map[string][]string{
		"/sheets?for=person+baker&lang=es": {"plato de salmón: se sirve crudo o poco hecho: salmón curado, huevos", "NO CONSTA si son pasteurizados: huevos", ", 07:00–22:00", "cena"},
		"/sheets?for=person+baker&lang=zh": {"三文鱼盘：上菜时是生的或未熟透：腌三文鱼", "，07:00–22:00", "晚饭"},
		"/clock?lang=zh":                   {"三文鱼盘：上菜时是生的或未熟透：腌三文鱼", "晚饭"},
	} {
		_, text, _ := o.get(path)
		text = unmarked(text)
		for _, w := range want {
			says(t, text, w)
		}
		assert.NotContains(t, text, "crudo o poco hecho: cured", path)
		assert.NotContains(t, text, "未熟透：cured", path)
	}
}

// A temperature that nobody is there to read is said once a row, in each language.
func TestNobodyToReadIsSaidOnce(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(`kitchen: Broth Gate
open: mon-sun
services: {lunch: 11:30-14:30}
hands: {07:00-12:00: [baker]}
bought: {bones: {price: 2/kg, raw: yes, allergens: []}}
steps: {broth: {takes: [10 kg bones], gives: ["8 kg broth, out at 2 h"], cooks through: yes, starts: "09:30", batches: {mon-sun: 1}}}
made: {broth: {keeps: 4 days}}
dishes: {bowl: {price: 15, takes: [300 g broth], sells: {lunch: 2}}}
`), 0o600))
	o := openFolder(t, folder)
	for lang, want := range map[string]string{"en": "obody is there to read it then", "es": "no hay nadie para leerla", "zh": "没有人在场测温"} {
		_, text, _ := o.get("/clock?on=tue&lang=" + lang)
		rows := 0
		for _, row := range strings.Split(text, "</li>") {
			if n := strings.Count(row, want); n > 0 {
				rows++
				assert.Equal(t, 1, n, "%s: %s", lang, row)
			}
		}
		assert.Positive(t, rows, lang)
	}
}
