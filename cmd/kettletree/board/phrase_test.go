package board

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// Figures are those of the place, but the section of a code stays as it is.
func TestSectionsStay(t *testing.T) {
	es := newSpeaker(language.EuropeanSpanish, openBoard(t, "three-kettles").board.watch.state().kitchen)
	assert.Equal(t, "1,5 kg a 57 °C (3-403.11(A), (D)); 1.024,5 kg", es.Figure("1.5 kg a 57 °C (3-403.11(A), (D)); 1,024.5 kg"))
}

// Sentences that answers put together in English are found again, with names, days and amounts in them.
func TestPhrases(t *testing.T) {
	k := openBoard(t, "three-kettles").board.watch.state().kitchen
	es, zh := newSpeaker(language.Spanish, k), newSpeaker(language.SimplifiedChinese, k)
	for english, want := range map[string][2]string{
		"Tuesday's night kettle was lost":                                     {"Se perdió: olla de la noche del martes", "星期二的夜熬大锅损失了"},
		"night kettle of Sun 22 Nov was never logged, so it no longer counts": {"olla de la noche del dom 22 nov nunca se anotó, así que ya no cuenta", "11月22日（周日）的夜熬大锅一直没有记下，不再计入"},
		"3 batches of Sun 22 Nov were never logged, so they no longer count":  {"3 tandas del dom 22 nov nunca se anotaron, así que ya no cuentan", "11月22日（周日）的 3 批一直没有记下，不再计入"},
		"Tuesday's night kettle is lost":                                      {"Se pierde olla de la noche del martes", "星期二的夜熬大锅损失"},
		"Without Tuesday's night kettle, you sell the same number of portions and earn the same contribution. First to run out: red pozole, Wed 25 Nov at lunch, 12:30. Out of kettle stock.": {
			"Sin olla de la noche del martes, se venden las mismas porciones y el margen es el mismo. Lo primero que se acaba: pozole rojo, mié 25 nov almuerzo, 12:30. Se acabó: caldo de la olla.", ""},
		"buy in kettle stock from farm, within 3 h, tue wed, 3.40/L: 20 L on Wed 25 Nov": {"Compra caldo de la olla hecho a granja, en 3 h, mar, mié, 3.40/L: 20 L el mié 25 nov", ""},
		"42 portions fewer: red pozole, white pozole and 3 more dishes":                  {"42 porciones menos: pozole rojo, pozole blanco y 3 platos más", "少 42 份：红波索莱玉米汤、白波索莱玉米汤和另 3 道菜"},
		"out of kettle stock, because Tuesday's night kettle was lost":                   {"se acabó: caldo de la olla, porque se perdió: olla de la noche del martes", ""},
		"Wed 25 Nov lunch, 11:30":       {"", ""},
		"17:30 to 22:00":                {"de 17:30 a 22:00", "17:30至22:00"},
		"braise shoulder of Tue 24 Nov": {"", "11月24日（周二）的焖前腿肉"},
		"Tue 24 Nov: what to do, in order. 3 batches are overdue in the log book. 1 conflict, listed below.": {"", ""},
		"red pozole, white pozole, 2 more; Wed 25 Nov lunch":                                                 {"pozole rojo, pozole blanco, 2 más; mié 25 nov almuerzo", ""},
		"lit 08:00, 25.1 kg pulled shoulder out 11:00":                                                       {"", "08:00 点火，11:00 取出手撕猪肉 25.1 kg"},
		"one more L of kettle jelly at Tue 24 Nov dinner would bring 11.13":                                  {"", "11月24日（周二） 晚餐多 1 L 浓汤冻，可多 11.13"},
		"one more lime at Tue 24 Nov dinner would bring 11.13":                                               {"uno más de limón en mar 24 nov cena dejaría 11.13", "11月24日（周二） 晚餐多一个青柠，可多 11.13"},
		"no cooked hominy on hand":                                                                           {"", "没有熟玉米粒存货"},
		"Chance that it runs out: 90%. 25 other dishes at a service may also run out.":                       {"Probabilidad de que se acabe: 90%. 25 platos más en algún servicio también pueden acabarse.", "卖完的可能性：90%。另有 25 道次也可能卖完。"},
		"First to run out: red pozole, Wed 25 Nov at lunch, 12:30. Out of kettle stock.":                     {"Lo primero que se acaba: pozole rojo, mié 25 nov almuerzo, 12:30. Se acabó: caldo de la olla.", "最先卖完：红波索莱玉米汤、11月25日（周三） 午餐、12:30。大锅高汤用完了。"},
		"0.4 L kettle stock at 2.23/L":                                                                       {"0.4 L de caldo de la olla (2.23/L)", "大锅高汤 0.4 L（2.23/L）"},
		"2 limes at 0.22/each":                                                                               {"2 limones (0.22/pza.)", "青柠 2 个（0.22/个）"},
		"28 red pozole":                                                                                      {"", "红波索莱玉米汤 28 份"},
		"red pozole, white pozole, green pozole and 4 more":                                                  {"pozole rojo, pozole blanco, pozole verde y 4 más", "红波索莱玉米汤、白波索莱玉米汤、绿波索莱玉米汤，另 4 项"},
		"buy in kettle stock from stock house, within 3 h, tue wed, 3.40/L: 5 L on Sat 28 Nov":               {"", "向 stock house 买现成的大锅高汤，3 h 内，周二、周三、3.40/L：11月28日（周六） 5 L"},
		"14 stewing hens":          {"14 gallinas", "老母鸡 14 只"},
		"88 L water":               {"88 L de agua", ""},
		"14 stewing hens in 23:45": {"entra 14 gallinas a las 23:45", "23:45放入老母鸡 14 只"},
		"14 stewing hens in 23:45, 5 kg smoked ham bones in Wed 25 Nov 03:00": {"entra 14 gallinas a las 23:45, entra 5 kg de huesos de jamón ahumado el mié 25 nov 03:00", ""},
		"Slaked" + tongue.Lime[len("slaked"):] + ".": {"La cal apagada y la cal viva queman los ojos y la piel: gafas protectoras y guantes, y si entra en un ojo, enjuaga con agua 15 minutos y ve al médico. " +
			"Échala poco a poco en agua fría, nunca agua encima: la cal viva hierve. Solo de grado alimentario, y enjuaga bien lo que estuvo en ella.", ""},
		"Nobody lifts a full pot: ladle or draw it off, and let two people carry what is heavy.": {
			"Nadie levanta una olla llena: vacíala con cucharón o por el grifo, y que dos lleven lo pesado.", "满锅谁也不要抬：用勺舀出或从龙头放出，重物两个人抬。"},
		"Without Tuesday's night kettle, you sell 12 fewer portions and lose 120.00 USD of contribution.": {"Sin olla de la noche del martes, se venden 12 porciones menos y se pierden 120.00 USD de margen.", ""},
		"Take the temperature of kettle stock lot KS1.":                                                   {"Tome la temperatura de: caldo de la olla, lote KS1.", "请测量大锅高汤（批号 KS1）的温度。"},
		"The clock went back: entry 23 is dated later than what was logged after it, and counts before it.": {
			"El reloj se atrasó: la anotación 23 lleva una hora posterior a lo que se anotó después, y cuenta antes.", "时钟曾往回拨：第 23 条记录的时间晚于在它之后记下的，仍按记录先后计入。"},
		"The clock went back: entries 21, 22, 23 and 4 more are dated later than what was logged after them, and count before it.": {"", ""},
		"15 entries are dated after now, so they do not count yet: 15, 16, 17 and 12 more; was a clock wrong?":                     {"", ""},
		"Entry 9 is dated after now, so it does not count yet: was a clock wrong?":                                                 {"", "第 9 条记录的时间晚于现在，暂不计入：是不是时钟不准？"},
		"\"4 kg\" is not a number of portions":                                                         {"«4 kg» no es un número de porciones", "“4 kg”不是份数"},
		"nobody logged braise shoulder of Tue 24 Nov: counted as planned; log cooked, skipped or lost": {"", ""},
	} {
		for n, s := range []*speaker{es, zh} {
			got, ok := s.phrase(english, 0)
			assert.True(t, ok, english)
			assert.NotEqual(t, english, got)
			if want[n] != "" {
				assert.Equal(t, strings.ToLower(want[n]), strings.ToLower(got), english)
			}
		}
	}
	got, ok := es.phrase("ADDS ALLERGENS: MILK, WHEAT.", 0)
	assert.True(t, ok)
	assert.Equal(t, "AÑADE ALÉRGENOS: LECHE (MILK), TRIGO (WHEAT).", got, "as package tongue writes them")
	_, ok = es.phrase("the stove fell over", 0)
	assert.False(t, ok)
	for _, long := range []string{strings.Repeat("out of ", 80), strings.Repeat("a, ", 190), strings.Repeat("x because of y and ", 30), strings.Repeat("a. ", 5000)} {
		es.phrase(long, 0) // which must end, and soon
	}
}

// What ends as its language ends a sentence gets no second full stop.
func TestSentenceEndsOnce(t *testing.T) {
	for text, want := range map[string]string{"it boils": "It boils.", "It boils.": "It boils.", "水开了。": "水开了。", "水开了吗？": "水开了吗？", "": ""} {
		assert.Equal(t, want, sentence(text))
	}
}

// What is to be found again is what the program says: each fixed part of a form stands somewhere in its source.
func TestAnswersAreSaid(t *testing.T) {
	var source strings.Builder
	for _, root := range []string{"../../../menu", "../../../graph/draw", "../../../graph/measure", ".."} {
		require.NoError(t, filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || strings.Contains(path, "tongue") {
				return err
			}
			src, err := os.ReadFile(path)
			source.WriteString(strings.ToLower(strings.ReplaceAll(string(src), `\"`, `"`)))
			return err
		}))
	}
	template, err := htmlFiles.ReadFile("html/log.html") // its labels
	require.NoError(t, err)
	source.Write([]byte(strings.ToLower(string(template))))
	said := source.String()
	for _, w := range tongue.Answers {
		for _, part := range tongue.Place.Split(w[0], -1) {
			if part = strings.Trim(strings.ToLower(part), `"`); strings.ContainsFunc(part, unicode.IsLetter) {
				words := strings.Fields(part) // which are put together of parts, here and there
				assert.True(t, strings.Contains(said, part) || !slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(said, word) }), "nobody says %q of %q", part, w[0])
			}
		}
	}
}

// What stands behind a plan is said in the language of the page too, as package plan puts it together.
func TestNotesOfAPlanSpeak(t *testing.T) {
	k := openBoard(t, "three-kettles").board.watch.state().kitchen
	es, zh := newSpeaker(language.Spanish, k), newSpeaker(language.SimplifiedChinese, k)
	for english, want := range map[string][2]string{
		"the same cooking earns 80.00 more where what is scarce goes to the dish that earns most, with a stand-in first where that helps: --rule best says how, and tonight for one service": {
			"lo mismo cocinado deja 80.00 más si lo escaso va al plato que más deja, usando antes el sustituto donde conviene: qué vender esta noche dice cómo, servicio por servicio",
			"做同样的东西，紧缺的用在最赚钱的菜上、必要时先用替代料，能多赚 80.00：今晚卖什么会逐餐说明"},
		"kettle stock from farm, within 3 h, tue wed, 3.40/L would bring 8.00 more: 20 L on Wed 25 Nov": {
			"caldo de la olla de granja, en 3 h, mar, mié, 3.40/L daría 8.00 más: 20 L el mié 25 nov", ""},
		"night kettle takes kettle stock from yesterday, and none is on hand: say with --on-hand what there is, or name something bought after \"or\" (kitchen.yaml:40:5)": {
			"olla de la noche lleva de ayer: caldo de la olla, y no hay: cuenta lo que haya, o nombra algo comprado después de «or» (kitchen.yaml:40:5)", ""},
		"nothing can be sold: night kettle takes kettle stock from yesterday, and none is on hand: say with --on-hand what there is, or name something bought after \"or\" (kitchen.yaml:40:5)": {"", ""},
		"sales":               {"ventas", ""},
		"change in inventory": {"", "存货变动"},
		"kettle stock can't be carried over to the batch after the last day: that one has to start fresh": {"", ""},
		"the standing week earns 2.00 more, and leaves too little kettle stock for the batch after the last day: this plan carries it on": {
			"", "常规的一周多赚 2.00，但给最后一天之后那一批留的大锅高汤不够：这个计划会把它续下去"},
		"the search was stopped: this is the best plan found by then":                                                                           {"", ""},
		"what is holding you back could not be worked out":                                                                                      {"", ""},
		"88 L kettle stock in the bin, as what is made with it is worth more: see whether you can sell it":                                      {"88 L de caldo de la olla a la basura, porque lo que se hace con ello vale más: mira si se puede vender", ""},
		"night kettle on Tue 24 Nov is cut: pork trotters for 1.5 of 2 batches":                                                                 {"", ""},
		"Tue 24 Nov lunch is full: 1 guest would find no seat (12 seats)":                                                                       {"", "11月24日（周二） 午餐客满：1 位客人没有座位（12 个座位）"},
		"Tue 24 Nov lunch is full: 14 guests would find no seat (12 seats, turned twice)":                                                       {"mar 24 nov almuerzo: lleno; 14 comensales no hallarían sitio (12 asientos, dos turnos)", ""},
		"Tue 24 Nov lunch is full: 14 guests would find no seat (12 seats, turned 1.5 times)":                                                   {"", ""},
		"specials were not looked for at all services of so many days: ask for fewer, with --days":                                              {"", ""},
		"this is the standing week, as no plan was found: none was found within the work that is allowed for":                                   {"", ""},
		"this is the standing week, as no plan was found: 31 days of so many dishes are too much to search at once; ask for fewer, with --days": {"", ""},
		"this is the standing week, as no plan was found: the search for one came to figures that could not be trusted":                         {"", ""},
		"this is the standing week, as no plan was found: none can meet all that is wished for; it does not meet red pozole never out, at Tue 24 Nov lunch  kitchen.yaml:90:3; a par of 20 L of kettle stock  kitchen.yaml:70:3; kettle stock kept for Thu 26 Nov  kitchen.yaml:40:5": {
			"esta es la semana habitual, pues no se encontró ningún plan: ninguno puede cumplir todo lo que se pide; no cumple: nunca debe faltar pozole rojo, mar 24 nov almuerzo  kitchen.yaml:90:3; un nivel de 20 L de caldo de la olla  kitchen.yaml:70:3; para el jue 26 nov hay que dejar caldo de la olla  kitchen.yaml:40:5", ""},
		"by the plan kept Mon 23 Nov 15:00 for Tue 24 Nov to Sun 29 Nov":                                              {"", ""},
		"the plan for Tue 24 Nov: there is no step \"day kettle\" any more, so its batches are left out":              {"el plan para mar 24 nov: ya no existe el paso «day kettle», así que sus tandas se omiten", ""},
		"the plan for Tue 24 Nov and Wed 25 Nov: nobody works then, so its batches are left out":                      {"", ""},
		"the plan for Tue 24 Nov: no pork trotters arrives on a Tuesday any more, so the order for 20 kg is left out": {"", ""},
	} {
		for n, s := range []*speaker{es, zh} {
			said := string(s.Said(sentence(english)))
			assert.NotContains(t, said, `lang="en"`, english)
			if want[n] != "" {
				assert.Equal(t, strings.ToLower(want[n]), strings.ToLower(strings.TrimRight(said, ".。")), english)
			}
		}
	}
}

// What pages showed in English beside Spanish and Chinese, found by looking at each.
func TestPhrasesOnceInEnglish(t *testing.T) {
	fish := openBoard(t, "fish-house").board.watch.state().kitchen
	for english, want := range map[string]string{
		"Cod fillet of fillet cod would bring 122.25/kg downstream, but costs 22.00/kg to buy in: it counts at that.": "Filete de bacalao de filetear bacalao dejaría después 122.25/kg, pero comprado hecho cuesta 22.00/kg: cuenta a ese precio.",
		"Lobster shells of cook lobster bears less than nothing: its dishes earn less than the even margin.":          "Caparazones de langosta de cocer langosta carga con menos que nada: sus platos dejan menos que el margen parejo.",
		"Limit 41 °F (5 °C) or colder, US FDA Food Code 2022, 3-501.16(A): MET.":                                      "Límite 41 °F (5 °C) o menos, US FDA Food Code 2022, 3-501.16(A): CUMPLIDO.",
		"41 °F (5 °C) or colder, 3-501.16(A)":                                                                         "41 °F (5 °C) o menos, 3-501.16(A)",
		"Fish House, Tue 24 Nov: 1 temperature logged; none breaks the limit beside it.":                              "Fish House, mar 24 nov: 1 temperatura anotada; ninguna incumple el límite que tiene al lado.",
	} {
		got, ok := newSpeaker(language.Spanish, fish).phrase(english, 0)
		assert.True(t, ok, english)
		assert.Equal(t, want, got)
	}
}

// A name of the kitchen that holds "and" is one thing, be it without a name in the language.
func TestNamesAreNotCut(t *testing.T) {
	k, found := kitchen.Read("kitchen.yaml", []byte(`kitchen: Pier
services: {lunch: 11:30-14:30}
bought:
  squid: {price: 9/kg, allergens: [molluscs], also: {es: calamar}}
  chips: {price: 2/kg, allergens: [], also: {es: papas}}
dishes:
  squid and chips: {price: 11, takes: [120 g squid, 200 g chips], sells: 8}
  burger: {price: 9, takes: [200 g chips], sells: 8}
`))
	require.Empty(t, found)
	for english, want := range map[string]string{
		"squid and chips":              "squid and chips",
		"burger, squid and chips":      "burger, squid and chips",
		"burger, squid and 2 kg chips": "burger, calamar y 2 kg de papas",
	} {
		got, ok := newSpeaker(language.Spanish, k).phrase(english, 0)
		assert.True(t, ok, english)
		assert.Equal(t, want, got)
	}
}

// An item keeps its own name where a step is called like it in the file's language: fumet is no "make the fumet".
func TestItemKeepsItsNameBesideItsStep(t *testing.T) {
	k := openBoard(t, "fish-house").board.watch.state().kitchen
	assert.Equal(t, "fumet", newSpeaker(language.Spanish, k).Called("fumet"))
	assert.Equal(t, "鱼高汤", newSpeaker(language.SimplifiedChinese, k).Called("fumet"))
}
