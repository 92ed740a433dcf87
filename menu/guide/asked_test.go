package guide

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Words on which kitchens asked for a certain translation, for they are a matter of safety, or what people say at the stove: common
// practice, no source. In Spanish each stands with the word of another region behind it.
func TestWordsAsAsked(t *testing.T) {
	said := slices.Concat(words, tongue.Board)
	of := func(english string) [3]string {
		at := slices.IndexFunc(said, func(w [3]string) bool { return w[0] == english })
		require.GreaterOrEqual(t, at, 0, "nobody says %q", english)
		return said[at]
	}
	for _, c := range []struct{ english, es, zh string }{
		{"walnut", "nuez de Castilla (nuez de nogal)", ""},
		{"tree nuts", "nueces de árbol (frutos de cáscara)", ""},
		{"lupin", "altramuz (lupino)", ""},
		{"crab", "cangrejo (jaiba)", ""},
		{"shrimp", "camarón (gamba)", ""},
		{"lobster", "langosta (bogavante)", ""},
		{"cashew", "anacardo (nuez de la India, marañón)", ""},
		{"mustard", "", "芥子（黄芥末、芥菜籽）"},
		{"almond", "", "扁桃仁（巴旦木）"},
		{"milk", "", "乳及乳制品"},
		{"egg", "", "蛋类"},
		{"eggs", "", "蛋类"},
		{"molluscs", "", "软体动物（贝类、鱿鱼等）"},
		{"special", "", "今日特色"},
		{"service", "", "餐段"},
		{"Service", "", "餐段"},
		{"station", "", "档口"},
		{"Stations", "Estaciones", "档口"},
		{"gives", "rinde", "产出"},
		{"86", "", "沽清"},
		{"struck", "", "沽清"},
		{"off the menu", "", "沽清"},
		{"Items", "Productos", ""},
		{"to order", "a la orden", ""},
		{"1 day", "1 día", "1 天"},
		{"%[1]s min", "", "%[1]s 分钟"},
		{"%[1]s h", "", "%[1]s 小时"},
	} {
		w := of(c.english)
		if c.es != "" {
			assert.Equal(t, c.es, w[1], c.english)
		}
		if c.zh != "" {
			assert.Equal(t, c.zh, w[2], c.english)
		}
	}
	for english, part := range map[string][2]string{ // what stands in a sentence
		"CAUTION: this adds %[1]s. Tell whoever takes the orders.":                                                 {"", "务必告知负责点单的服务员"},
		"Steam burns before you see it: lift a lid away from you, and stand back when a pot is opened or drained.": {"", "蒸汽还没看见就能烫伤人：揭盖时让开口背向自己，揭盖或沥水时人往后站"},
		"Lower things into a boiling pot, do not drop them: it splashes.":                                          {"", "不要直接丢进去，以免溅出烫伤"},
		"Hold hot at %[1]s or above (%[2]s).":                                                                      {"", "保温存放（热藏）"},
		"cool it, or hold it at %[1]s or hotter (%[2]s)":                                                           {"", "保温存放（热藏）"},
		"Station: %[1]s":               {"Estación: %[1]s", "档口：%[1]s"},
		"A batch gives":                {"rinde", ""},
		"gives %[1]s":                  {"rinde %[1]s", ""},
		"%[1]s (in after %[2]s)":       {"entra a las %[2]s", ""},
		"%[1]s (out after %[2]s)":      {"sale a las %[2]s de empezar", ""},
		"%[1]s is 86'd":                {"", "沽清"},
		"OUT, struck off":              {"", "沽清"},
		"strike %[1]s at %[2]s":        {"", "沽清"},
		"with %[1]s 86'd at %[2]s":     {"", "沽清"},
		"86'd once you write it down.": {"", "沽清"},
	} {
		w := of(english)
		assert.Contains(t, w[1], part[0], english)
		assert.Contains(t, w[2], part[1], english)
	}
	for _, w := range said {
		assert.NotContains(t, w[2], "停卖，", "what is struck off is 沽清: %q", w[0])
		assert.NotContains(t, w[2], "工位", w[0])
		assert.NotContains(t, w[2], "。 ", "no blank after a Chinese full stop: %q", w[0])
		assert.NotRegexp(t, `(?:\p{Han}|\]s|[）”]): `, w[2], "one colon: %q", w[0]) // behind a word of the file, as in raw: yes, it is the file's
	}
}

// Amounts, dates and figures as they are said: by the Unicode CLDR where a region decides, else common practice, no source.
func TestGrammarAsAsked(t *testing.T) {
	const counted = `
kitchen: Cuatro
money: MONEY
services: {lunch: 12:00-14:00}
bought:
  water: {price: 0/L, density: 1 kg/L, allergens: [], also: {es: agua, zh: 水}}
  hen:   {price: 4/each, allergens: [], also: {es: gallina, zh: 母鸡}}
  lime:  {price: 0.2/each, allergens: [], also: {es: limón, zh: 青柠}}
  egg:   {price: 0.2/each, allergens: [], also: {es: huevo, zh: 鸡蛋}}
  fat:   {price: 3/kg, allergens: [], also: {es: grasa dorsal de cerdo, zh: 猪背膘}}
steps:
  boil: {takes: [88 L water, 14 each hen, 40 each egg, "1.5 kg fat, in at 4 h 30 min"], gives: ["60 L broth, out at 9 h"], starts: "02:00", batches: {tue: 4, thu: 5}, also: {es: hervir, zh: 煮}}
  stew: {station: range, takes: [2 L water, "1.5 kg fat, in at 4 h 30 min"], gives: ["1 L sauce, out at 9 h"], batches: {mon: 1}, also: {es: guisar, zh: 炖}}
made: {sauce: {keeps: 2 days, also: {es: salsa, zh: 酱}}, broth: {keeps: 1 day, also: {es: caldo, zh: 汤}}}
dishes: {soup: {price: 3, takes: [400 mL broth, 10 mL sauce, 0.5 each lime], sells: 2, also: {es: sopa, zh: 汤面}}}
`
	from := time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC)
	told := func(in, money string) string {
		w := weektest.Stocked(t, strings.Replace(counted, "MONEY", money, 1), "", week.Period{From: from, Days: 7})
		return strings.ReplaceAll(string(guideOf(t, w, language.MustParse(in)).Markdown()), "\u00a0", " ")
	}
	for _, c := range []struct {
		in, money string
		has       []string
	}{
		{"es-MX", "MXN", []string{"88 L de agua", "14 gallinas", "½ limón", "1.5 kg de grasa dorsal de cerdo", "23 de noviembre de 2026", "Estación", "Productos", "Una tanda rinde",
			"entra a las 4 h 30 min de empezar", "sale a las 9 h de empezar", "tandas: 4 el martes, 5 el jueves"}},
		{"es-US", "USD", []string{"1.5 kg de grasa dorsal de cerdo"}},
		{"es-ES", "EUR", []string{"1,5 kg de grasa dorsal de cerdo"}},
		{"zh-Hans", "CNY", []string{"鸡蛋 40 个", "水 88 L", "青柠 ½ 个", "4 小时 30 分钟", "2026年11月23日", "档口", "批数：星期二 4 批、星期四 5 批"}},
		{"zh-Hant", "TWD", []string{"雞蛋", "2026年11月23日", "4 小時 30 分鐘"}},
	} {
		page := told(c.in, c.money)
		for _, text := range c.has {
			if c.in == "zh-Hant" && text == "雞蛋" { // the file's own names are not put into other characters
				continue
			}
			assert.Contains(t, page, text, c.in)
		}
		if strings.HasPrefix(c.in, "zh") {
			assert.NotContains(t, page, "。 ", "no blank after a full stop")
		}
	}
	w := exampleWeek(t, "three-kettles")
	timetable, err := clock.Of(t.Context(), w, nil)
	require.NoError(t, err)
	require.NotEmpty(t, timetable.Rows)
	page := string(guideOf(t, w, language.MustParse("es-MX")).Markdown())
	assert.Contains(t, page, "grasa dorsal de cerdo")
}

// Chinese has no blank behind its full stop, in whatever way sentences come together.
func TestNoBlankBehindAChineseStop(t *testing.T) {
	for _, name := range weektest.Examples {
		assert.NotContains(t, string(guideOf(t, exampleWeek(t, name), language.SimplifiedChinese).Markdown()), "。 ", name)
	}
}
