package tongue

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

var verb = regexp.MustCompile(`%(\[\d\])?s`)

// pronouns are sentences of which Chinese leaves the only word out.
var pronouns = []string{"%[1]s, you %[2]s", "%[1]s on %[2]s"}

// Every sentence stands in every language once, takes the same arguments in each, and in Chinese is written in Chinese.
func TestSharedIsWhole(t *testing.T) {
	seen := map[string][3]string{}
	for _, w := range slices.Concat(Shared, Board) {
		if before, twice := seen[w[0]]; twice {
			assert.Equal(t, before, w, "one sentence is told in one way, wherever it stands")
		}
		seen[w[0]] = w
		want := verb.FindAllString(w[0], -1)
		slices.Sort(want)
		for n := range Languages {
			require.NotEmpty(t, w[n], w[0])
			got := verb.FindAllString(w[n], -1)
			slices.Sort(got)
			assert.Equal(t, want, got, "%q in %s", w[0], Languages[n])
		}
		if strings.ContainsFunc(verb.ReplaceAllString(w[0], ""), unicode.IsLetter) {
			assert.NotContains(t, w[2], ", ", "Chinese has its own signs")
			if slices.Contains(pronouns, w[0]) {
				continue
			}
			assert.True(t, strings.ContainsFunc(w[2], func(r rune) bool { return unicode.Is(unicode.Han, r) }), w[2])
		}
	}
}

// What the packages that speak say is in the table, and nothing else is.
func TestEverythingSaidIsShared(t *testing.T) {
	var said []string
	for _, folder := range []string{".", "../clock", "../guide", "../../cmd/kettletree/show"} {
		files, err := filepath.Glob(filepath.Join(folder, "*.go"))
		require.NoError(t, err)
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") || strings.HasSuffix(name, "sentences.go") {
				continue
			}
			src, err := os.ReadFile(name)
			require.NoError(t, err)
			file, err := parser.ParseFile(token.NewFileSet(), name, src, 0)
			require.NoError(t, err)
			speaks := strings.Contains(string(src), "oice.Say")
			ast.Inspect(file, func(n ast.Node) bool {
				if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
					text, err := strconv.Unquote(lit.Value)
					require.NoError(t, err)
					said = append(said, text)
				}
				call, ok := n.(*ast.CallExpr)
				if !ok || len(call.Args) == 0 {
					return true
				}
				is := ""
				switch f := call.Fun.(type) {
				case *ast.SelectorExpr:
					is = f.Sel.Name
				case *ast.Ident:
					is = f.Name
				}
				for _, arg := range call.Args {
					if lit, ok := arg.(*ast.BasicLit); ok && is == "heads" && lit.Kind == token.STRING {
						text, err := strconv.Unquote(lit.Value)
						require.NoError(t, err)
						assert.True(t, Known(text), "%s heads a column with %q, which is not in the table", name, text)
					}
				}
				if lit, ok := call.Args[0].(*ast.BasicLit); ok && (is == "Say" || is == "Word" || is == "say" && speaks) && folder != "../guide" {
					text, err := strconv.Unquote(lit.Value)
					require.NoError(t, err)
					assert.True(t, Known(text), "%s says %q, which is not in the table", name, text)
				}
				return true
			})
		}
	}
	require.Greater(t, len(said), 100)
	src, err := os.ReadFile("../ask/grid.go")
	require.NoError(t, err)
	codes, lists := []string{}, []string{"the kitchen's own list"}
	for _, l := range kitchen.AllergenLists {
		assert.True(t, Known(l.Title), "no translation of %q", l.Title)
		lists = append(lists, l.Title, l.Source)
		for _, c := range l.Codes {
			codes = append(append(codes, c.Name), c.Kinds...)
		}
	}
	for _, c := range codes {
		assert.True(t, Known(c), "no translation of %q", c)
	}
	for _, w := range Shared {
		key := w[0]
		if _, err := measure.UnitNamed(strings.TrimPrefix(key, "%[1]s ")); err == nil {
			continue // of units, whatever an amount is in
		}
		if key != kitchen.Caution && key != kitchen.AllergenCaution && !slices.Contains(slices.Concat(codes, lists), key) {
			cell := strconv.Quote(strings.TrimSuffix(key, " %[1]s")) // which the grid says with an allergen behind it
			assert.True(t, slices.Contains(said, key) || strings.Contains(string(src), cell), "nobody says %q", key)
		}
	}
}

// Declared free and unknown are opposite claims, and stay so in every language; what may be in there is told apart from what is.
func TestStatedInThreeLanguages(t *testing.T) {
	es, zh := In(language.MustParse("es-MX")), In(language.MustParse("zh"))
	free := kitchen.Stated{}
	assert.Equal(t, "No listed allergens, per kitchen file", Voice{}.Stated(free))
	assert.Equal(t, "Según el archivo, ninguno de los alérgenos de la lista", es.Stated(free))
	assert.Equal(t, "按厨房资料：不含清单所列过敏原", zh.Stated(free))
	unknown := kitchen.Stated{Unknown: []string{"chicken", "water"}}
	assert.Equal(t, "UNKNOWN: chicken, water. Read the package", Voice{}.Stated(unknown))
	assert.Equal(t, "SIN DATOS: chicken, water, lee el envase", es.Stated(unknown))
	assert.Equal(t, "资料未填：chicken、water，请看包装", zh.Stated(unknown))
	all := kitchen.Stated{Has: []string{"milk", "fish (cod)", "crustacean shellfish (shrimp)", "pork"}, May: []string{"walnut"}, Unknown: []string{"cubes"}}
	assert.Equal(t, "MILK, FISH (COD), CRUSTACEAN SHELLFISH (SHRIMP), PORK; may contain WALNUT; UNKNOWN: cubes. Read the package", Voice{}.Stated(all))
	assert.Equal(t, "LECHE (MILK), PESCADO: BACALAO (FISH: COD), MARISCOS CRUSTÁCEOS: CAMARÓN (GAMBA) (CRUSTACEAN SHELLFISH: SHRIMP), PORK; "+
		"puede contener NUEZ DE CASTILLA (NUEZ DE NOGAL) (WALNUT); SIN DATOS: cubes, lee el envase", es.Stated(all))
	assert.Contains(t, zh.Stated(all), "可能含有核桃（WALNUT）")
}

func TestVoice(t *testing.T) {
	day := time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)
	for tag, want := range map[string][4]string{"en": {"Tue 24 Nov", "1 day", "7 days", "1 h 30 min"}, "es-ES": {"mar 24 nov", "1 día", "7 días", "1 h 30 min"},
		"zh-Hans": {"11月24日（周二）", "1 天", "7 天", "1 小时 30 分钟"}, "zh-TW": {"11月24日（週二）", "1 天", "7 天", "1 小時 30 分鐘"}, "fr": {"Tue 24 Nov", "1 day", "7 days", "1 h 30 min"}} {
		v := In(language.MustParse(tag))
		assert.Equal(t, want, [4]string{v.Day(day), v.Days(1), v.Days(7), v.Lasts(90)}, tag)
	}
	assert.Equal(t, "en, es, zh-Hans or zh-Hant", Offered())
	assert.Equal(t, "zh-Hant", In(language.MustParse("zh-HK")).Lang())
	assert.Equal(t, "zh-Hans", In(language.Chinese).Lang())
	assert.Panics(t, func() { Voice{}.Word("no such sentence") })
}

// Figures are those of the place, as the Unicode CLDR has them: a point in Mexico and the United States, a comma in Spain.
func TestFigures(t *testing.T) {
	for tag, want := range map[string][3]string{"en": {"1.5 kg", "12,345.60 USD", "24 kg"}, "es-MX": {"1.5 kg", "12,345.60 USD", "24 kg"}, "es-US": {"1.5 kg", "12,345.60 USD", "24 kg"},
		"es-ES": {"1,5 kg", "12.345,60 USD", "24 kg"}, "zh-Hans": {"1.5 kg", "12,345.60 USD", "24 kg"}, "zh-Hant": {"1.5 kg", "12,345.60 USD", "24 kg"}} {
		v := In(language.MustParse(tag))
		assert.Equal(t, want, [3]string{v.Figure("1.5 kg"), v.Figure("12,345.60 USD"), v.Figure("24 kg")}, tag)
		assert.Equal(t, "3-501.16(A)(1)", v.Figure("3-501.16(A)(1)"), "the section of a code is no figure")
	}
	es, zh := In(language.MustParse("es-ES")), In(language.Chinese)
	for text, want := range map[string][2]string{"2 bunches": {"2 manojos", "2 把"}, "1 bunch": {"1 manojo", "1 把"}, "0.5 bunches": {"0,5 manojos", "0.5 把"}, "14 each": {"14 piezas", "14 个"}, "1 each": {"1 pieza", "1 个"}, "0.5 each": {"½ pieza", "½ 个"}, "+1 each": {"+1 pieza", "+1 个"},
		"1.5 cups": {"1,5 tazas", "1.5 杯"}, "2 pinches": {"2 pizcas", "2 撮"}, "3.25 lb": {"3,25 lb", "3.25 lb"}} {
		assert.Equal(t, want, [2]string{es.Amount(text), zh.Amount(text)}, text)
	}
	assert.Equal(t, "es-MX", Region(language.Spanish, "MXN").String())
	assert.Equal(t, "es", Region(language.Spanish, "EUR").String())
}

// Traditional Chinese, as OpenCC 1.1.6 writes it for Taiwan: words of the trade and of safety.
func TestTraditionalChinese(t *testing.T) {
	assert.Equal(t, len([]rune(simplifiedRunes)), len([]rune(traditionalRunes)))
	for simplified, want := range map[string]string{"按厨房资料：不含清单所列过敏原": "按廚房資料：不含清單所列過敏原", "冷冻存放": "冷凍存放", "制作时间": "製作時間",
		"复热到 74 °C (165 °F)": "復熱到 74 °C (165 °F)", "小麦": "小麥", "面粉": "麵粉", "沥干": "瀝乾", "日期标识经甲批准": "日期標識經甲批准", "为准": "為準"} {
		assert.Equal(t, want, traditional.Replace(simplified))
	}
	v := In(language.TraditionalChinese)
	assert.Equal(t, "可能含有花生（PEANUTS）", v.Say("may contain %[1]s", v.Allergens([]string{"peanuts"})))
	assert.Contains(t, v.Say(Unreviewed), "字表")
}

// What a batch takes of hands without the file's word is said in every language.
func TestActsAreSaid(t *testing.T) {
	for _, act := range []string{kitchen.PutInAct, kitchen.TakeOutAct, kitchen.CoolAct, kitchen.WashAct} {
		assert.True(t, Known(act), act)
	}
}

// In Chinese, whole animals are counted by 只, fish and long loaves by 条, flat cakes by 张, all else by 个, eggs and what is made of a hen among it.
func TestPieces(t *testing.T) {
	for name, want := range map[string]string{"老母鸡": "3 只", "月桂叶": "3 片", "整鸡": "3 只", "鸭": "3 只", "兔子": "3 只", "活龙虾": "3 只", "整条鳕鱼": "3 条", "开口长面包": "3 条",
		"玉米薄饼": "3 张", "脆玉米饼": "3 张", "馄饨皮": "3 张", "鸡蛋": "3 个", "鸡肉夹包": "3 个", "小面包": "3 个", "鱼饼": "3 个", "garlic": "3 个"} {
		assert.Equal(t, want, In(language.SimplifiedChinese).Pieces("3", name), name)
	}
	assert.Equal(t, "3 隻", In(language.TraditionalChinese).Pieces("3", "老母雞"))
	assert.Equal(t, "3", In(language.Spanish).Pieces("3", "gallina"))
}

// A name that has no Chinese stands apart from the sentence around it; and Spanish has one o'clock, and one hour, in the singular.
func TestBlanksAndArticles(t *testing.T) {
	assert.Equal(t, "取出 garlic oil", Fill("取出%[1]s", "garlic oil"))
	assert.Equal(t, "garlic 浸在油脂里", Fill("%[1]s浸在油脂里", "garlic"))
	assert.Equal(t, "大蒜浸在油脂里", Fill("%[1]s浸在油脂里", "大蒜"))
	assert.Equal(t, "周一午餐", Fill("%[1]s%[2]s", "周一", "午餐"))
	assert.Equal(t, "周一 lunch 宴席", Fill("%[1]s%[2]s宴席", "周一", "lunch"))
	assert.Equal(t, "empieza a la 01:30", Fill("empieza a las %[1]s", "01:30"))
	assert.Equal(t, "empieza a las 11:30", Fill("empieza a las %[1]s", "11:30"))
	assert.Equal(t, "sale el mar 24 nov 07:00", Fill("sale a las %[1]s", "mar 24 nov 07:00"))
	assert.Equal(t, "antes del mié 25 nov 07:00", Fill("antes de las %[1]s", "mié 25 nov 07:00"))
	assert.Equal(t, "hasta el dom 29 nov 07:00", Fill("hasta las %[1]s", "dom 29 nov 07:00"))
	assert.Equal(t, "a la 1 h 30 min", OneOClock("a las 1 h 30 min"))
	assert.Equal(t, "sale a los 30 min de empezar", OneOClock("sale a las 30 min de empezar"))
	assert.Equal(t, "sale a las 9 h de empezar", OneOClock("sale a las 9 h de empezar"))
}

// A kitchen that serves two of these has two words for them in each language: dinner and supper were one.
func TestServicesHaveWordsOfTheirOwn(t *testing.T) {
	for _, tag := range Languages {
		of := map[string]string{}
		for _, name := range []string{"breakfast", "brunch", "lunch", "dinner", "supper"} {
			word := In(tag).Trade(name)
			assert.Empty(t, of[word], "%s in %s", name, tag)
			of[word] = name
		}
	}
}
