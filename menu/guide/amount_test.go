package guide

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/language"

	"kettletree/menu/week/weektest"
)

// Amounts stand as on the card: a bottle is no piece, half a case is no half cube, and 2 lb 2 oz are not 2.15 lb.
func TestUnitsOfTheTrade(t *testing.T) {
	const src = `
kitchen: Salt Weir
money: USD
bought:
  lamb neck: {price: 9.40/lb, raw: yes}
  red wine: {price: 9/bottle}
  stock cube: {price: 30/case}
  parsley: {price: 1.20/bunch}
  egg: {price: 3/dozen}
  water: {price: 0/L, density: 1 kg/L}
steps:
  braise:
    takes: [2 lb 2 oz lamb neck, 4 bottles red wine, 0.5 case stock cube, 1 bunch parsley, 2 dozen egg, 1 1/2 cups water]
    gives: [1 lb braised neck]
    cooks through: yes
    batches: {mon: 1}
dishes: {neck bowl: {price: 12, takes: [5 oz braised neck], sells: 3}}
`
	w := weektest.SmallWeek(t, src)
	for in, want := range map[language.Tag]string{
		language.English:           "2 lb 2 oz lamb neck, 4 bottles red wine, ½ case stock cube, 1 bunch parsley, 2 doz eggs, 1½ cups water",
		language.Spanish:           "2 lb 2 oz de lamb neck, 4 botellas de red wine, ½ caja de stock cube, 1 manojo de parsley, 2 docenas de eggs, 1½ tazas de water",
		language.SimplifiedChinese: "lamb neck 2 lb 2 oz、red wine 4 瓶、stock cube ½ 箱、parsley 1 把、eggs 2 打、water 1½ 杯",
	} {
		assert.Contains(t, strings.ReplaceAll(string(guideOf(t, w, in).Markdown()), "\u00a0", " "), want)
	}
}

// 3 lb 4 oz are no 3.25 lb: on the card, as what comes out, and of what it is made into.
func TestPoundsAndOunces(t *testing.T) {
	const src = `
kitchen: Salt Weir
money: USD
bought: {lamb neck: {price: 9.40/lb, raw: yes}, water: {price: 0/L, density: 1 kg/L}}
steps: {braise: {takes: [3 lb 4 oz lamb neck, 2 L water], gives: [2 lb 12 oz braised neck], cooks through: yes, batches: {mon: 1}}}
dishes: {neck bowl: {price: 12, takes: [5 oz braised neck], sells: 3}}
`
	text := strings.ReplaceAll(string(guideOf(t, weektest.SmallWeek(t, src), language.English).Markdown()), "\u00a0", " ")
	assert.Contains(t, text, "3 lb 4 oz lamb neck")
	assert.Contains(t, text, "2 lb 12 oz braised neck")
	assert.NotContains(t, text, "3.25 lb")
	assert.NotContains(t, text, "2.75 lb")
}

// In Chinese a blank stands between a unit and what follows it, "or" too.
func TestOrBehindAUnit(t *testing.T) {
	const src = `
kitchen: Salt Weir
language: zh
bought: {羊颈: {price: 9/kg, raw: yes}, 水: {price: 0/L, density: 1 kg/L}, 高汤: {price: 1/L, density: 1 kg/L}, 鸡蛋: {price: 1/each, each: 50 g}, 鸭蛋: {price: 1/each, each: 70 g}}
steps: {炖: {takes: [1 kg 羊颈, 2 L 水 or 2 L 高汤, 2 each 鸡蛋 or 2 each 鸭蛋], gives: [800 g 炖羊颈], cooks through: yes, batches: {mon: 1}}}
dishes: {羊颈碗: {price: 12, takes: [150 g 炖羊颈], sells: 3}}
`
	text := strings.ReplaceAll(string(guideOf(t, weektest.SmallWeek(t, src), language.SimplifiedChinese).Markdown()), "\u00a0", " ")
	assert.Contains(t, text, "水 2 L 或高汤 2 L")
	assert.Contains(t, text, "鸡蛋 2 个或鸭蛋 2 个")
}

// What goes in without a known amount is told so: a stand-in is not read as the card's.
func TestAmountsThatAreNotSaid(t *testing.T) {
	const src = `
kitchen: Salt Weir
bought:
  lamb neck: {price: 9/kg, raw: yes}
  peanuts: {price: 4/kg, allergens: [peanuts], also: {es: cacahuates tostados}}
  water: {price: 0/L, density: 1 kg/L}
steps:
  braise: {takes: [10 kg lamb neck, 12 L water, some g peanuts], gives: [6 kg braised neck], cooks through: yes, batches: {mon: 1}}
dishes: {neck bowl: {price: 12, takes: [some g peanuts, 180 g braised neck], sells: 3}}
`
	w := weektest.SmallWeek(t, src)
	for in, want := range map[language.Tag]string{
		language.English:           "peanuts (how much is not said yet)",
		language.Spanish:           "cacahuates tostados (aún no se dice cuánto)",
		language.SimplifiedChinese: "（用多少还没写）",
	} {
		text := strings.ReplaceAll(string(guideOf(t, w, in).Markdown()), "\u00a0", " ")
		assert.GreaterOrEqual(t, strings.Count(text, want), 2, "%s: on the card of the step, and of the dish", in)
		assert.NotRegexp(t, `\b1 g\b`, text, in)
	}
}
