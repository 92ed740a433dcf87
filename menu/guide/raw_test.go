package guide

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

const rawKitchen = `services: {lunch: 12:00-14:00}
bought:
  trout: {price: 9/kg, raw: yes, allergens: [fish: trout]}
  egg: {price: 0.3/each, each: 50 g, raw: yes, allergens: [eggs]}
  hen: {price: 4/kg, raw: yes, allergens: []}
  bread: {price: 2/kg, allergens: [wheat]}
steps:
  cut trout: {takes: [1 kg trout], gives: [0.9 kg trout cubes], batches: as needed, station: cold side, cooks through: no}
  whisk: {takes: [10 each egg], gives: [450 g dressing], batches: as needed, station: bench, cooks through: no}
  roast: {takes: [2 kg hen], gives: [1.4 kg roast hen], batches: as needed, station: oven, cooks through: yes}
dishes:
  trout cup: {price: 9, takes: [90 g trout cubes], sells: {lunch: 10}, cooks through: no}
  salad: {price: 7, takes: [30 g dressing, 50 g roast hen], sells: {lunch: 10}}
  hen plate: {price: 8, takes: [150 g roast hen, 50 g bread], sells: {lunch: 10}}
`

// A dish that is raw when it is served says so on the page of the station that gives what is raw in it, among the cautions and where the
// dish stands, with the reminder of 3-603.11(C) (from memory); raw eggs say that nobody stated whether they are pasteurised (3-302.13, from
// memory), raw fish whether it was frozen against parasites (3-402.11, from memory). A dish that is cooked through says nothing of it.
func TestDishesServedRaw(t *testing.T) {
	for _, told := range []struct {
		in                        language.Tag
		undercooked, eggs, unsaid string
	}{
		{language.English, "Served raw or undercooked: trout; raw fish, NOT STATED whether it was frozen against parasites", "raw eggs, NOT STATED whether pasteurised: egg", "does not say whether it is cooked through at the pass: egg"},
		{language.Spanish, "Se sirve crudo o poco hecho: trout; pescado crudo, NO CONSTA si se congeló contra los parásitos", "huevos crudos, NO CONSTA si son pasteurizados: egg", "no dice si se cocina por completo al pedirlo: egg"},
		{language.SimplifiedChinese, "上菜时是生的或未熟透：trout；生鱼，没有写明是否为杀灭寄生虫冷冻过", "生蛋，没有写明是否经巴氏杀菌：egg", "厨房文件没有写明出菜时是否做熟：egg"},
	} {
		g, err := Of(t.Context(), weektest.SmallDays(t, rawKitchen, 2), told.in)
		require.NoError(t, err)
		for _, d := range g.Dishes {
			if d.Name == "hen plate" {
				assert.Nil(t, d.Raw)
			} else {
				assert.NotNil(t, d.Raw, d.Name)
			}
		}
		served := map[string][]string{}
		for _, st := range g.Stations {
			for _, x := range st.Served {
				served[st.Name] = append(served[st.Name], x.Dish)
			}
		}
		assert.Equal(t, map[string][]string{"cold side": {"trout cup"}, "bench": {"salad"}}, served)
		page := strings.NewReplacer("\u00a0", " ", "\\", "").Replace(string(g.Markdown()))
		assert.Equal(t, 3, strings.Count(strings.ToLower(page), strings.ToLower(told.undercooked)), "its station, the cautions and the dish: %s", told.in)
		stop := tongue.In(told.in).Word(".")
		assert.Contains(t, page, "trout"+stop+"\n", "it ends as its language ends a sentence")
		assert.Equal(t, 3, strings.Count(page, told.eggs), told.in)
		assert.Equal(t, 3, strings.Count(page, told.unsaid), told.in)
		assert.Equal(t, 2, strings.Count(page, tongue.In(told.in).Word(tongue.Reminder)), "among the cautions, and over the dishes: %s", told.in)
		assert.Equal(t, 2, strings.Count(page, "3-603.11"), told.in)
	}
}

// Where every dish is cooked through, nothing is said of it.
func TestNoDishServedRaw(t *testing.T) {
	src := strings.NewReplacer("trout cubes], sells: {lunch: 10}, cooks through: no", "trout cubes], sells: {lunch: 10}, cooks through: yes",
		"50 g roast hen], sells: {lunch: 10}", "50 g roast hen], sells: {lunch: 10}, cooks through: yes").Replace(rawKitchen)
	g, err := Of(t.Context(), weektest.SmallDays(t, src, 2), language.English)
	require.NoError(t, err)
	for _, not := range []string{"undercooked", "3-603.11", "pasteurised", "parasites"} {
		assert.NotContains(t, string(g.Markdown()), not)
	}
}

// Where a food code has no figure, the pages of the pot and the stations say for what, and in which code; the other pages say the same.
func TestNoFigureSaysOfWhat(t *testing.T) {
	for tag, want := range map[language.Tag][]string{
		language.English: {"For cooking, no figure is in UK temperature rules of England, Wales and Northern Ireland: ask the person in charge.", "For cooling, no figure is in UK"},
		language.Spanish: {"Para la cocción no hay ninguna cifra en normas de temperatura del Reino Unido (Inglaterra, Gales e Irlanda del Norte): pregunta a la persona responsable.",
			"Para el enfriamiento no hay ninguna cifra en normas"},
		language.SimplifiedChinese: {"英国（英格兰、威尔士和北爱尔兰）温度规定没有给出做熟的温度：请问负责人。", "温度规定没有给出冷却的数字"},
	} {
		g, err := Of(t.Context(), weektest.SmallDays(t, "food code: UK\n"+rawKitchen, 2), tag)
		require.NoError(t, err)
		page := strings.NewReplacer("\u00a0", " ", "\\", "").Replace(string(g.Markdown()))
		for _, w := range want {
			assert.Contains(t, page, w)
		}
		assert.NotContains(t, page, "It gives no figure here")
		assert.NotContains(t, page, "No da ninguna cifra aquí")
		assert.NotContains(t, page, "其中没有给出数字")
	}
}

// Sections that have words, and not numbers, are said in the language.
func TestSectionsAreSaid(t *testing.T) {
	g, err := Of(t.Context(), weektest.SmallDays(t, "food code: Codex\n"+rawKitchen, 2), language.Spanish)
	require.NoError(t, err)
	page := strings.NewReplacer("\u00a0", " ", "\\", "").Replace(string(g.Markdown()))
	assert.Contains(t, page, "(enfriamiento)")
	assert.NotContains(t, page, "(cooling)")
	assert.NotContains(t, page, "(storage)")
}
