package tongue

// A voice in one of the languages.

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/message/catalog"
	"golang.org/x/text/number"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Languages are those that sentences stand in. The first is that of the keys. Traditional Chinese is made of the Simplified.
var Languages = []language.Tag{language.English, language.Spanish, language.SimplifiedChinese}

// Spoken are the languages to choose among.
var Spoken = append(slices.Clone(Languages), language.TraditionalChinese)

// Matched is the one of Languages, or Traditional Chinese, that speakers of another read as theirs.
func Matched(in language.Tag) (language.Tag, bool) {
	if kitchen.InLanguage(in, language.TraditionalChinese) {
		return language.TraditionalChinese, true
	}
	at := slices.IndexFunc(Languages, func(l language.Tag) bool { return kitchen.InLanguage(in, l) })
	if at < 0 {
		return language.Und, false
	}
	return Languages[at], true
}

// Speaks tells whether sentences stand in a language.
func Speaks(in language.Tag) bool {
	_, ok := Matched(in)
	return ok
}

// Offered names the languages: "en, es, zh-Hans or zh-Hant".
func Offered() string {
	var names []string
	for _, l := range Spoken {
		names = append(names, l.String())
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// Sentences is a table of sentences: English, Spanish, Chinese (Simplified).
type Sentences [][3]string

// Catalog is the tables as a printer reads them.
func Catalog(tables ...Sentences) *catalog.Builder {
	b := catalog.NewBuilder(catalog.Fallback(language.English))
	for _, w := range slices.Concat(tables...) {
		for n, l := range Languages {
			if err := b.SetString(l, w[0], w[n]); err != nil {
				panic(fmt.Sprintf("mistake: %q can't be told in %s: %v", w[0], l, err))
			}
		}
		if err := b.SetString(language.TraditionalChinese, w[0], inTraditional(w)); err != nil {
			panic(fmt.Sprintf("mistake: %q can't be told in Traditional Chinese: %v", w[0], err))
		}
	}
	return b
}

// said are [Shared] and [Board] for a printer, and known has their keys, each with its sentence in every language: both made once somebody
// asks, for most commands speak English only.
var (
	said  = sync.OnceValue(func() *catalog.Builder { return Catalog(Shared, Board) })
	known = sync.OnceValue(func() map[string][3]string {
		keys := map[string][3]string{}
		for _, w := range slices.Concat(Shared, Board) {
			keys[w[0]] = w
		}
		return keys
	})
)

// Unreviewed stands on all that is shown in a translation.
const Unreviewed = "No native speaker who works in a kitchen has reviewed this translation."

// InOil is the caution on what lies in oil; its days are [kitchen.InOilDays].
const InOil = "%[1]s in oil or fat: the toxin of botulism can form there without a sign; into the cold at once, at %[2]s or colder, never left out; use it within 4 days of going into the oil, or freeze it; local code comes first"

// Histamine is the caution on fish in which it forms: common practice, no source.
const Histamine = "%[1]s: histamine forms when it warms, without a sign, and no cooking takes it out; hold it at %[2]s or colder without a break (common practice)"

// TakeInCold is what is said of it where it comes in: the limit is the code's, or common practice.
const TakeInCold = "%[1]s: take it in at %[2]s or colder (%[3]s) and put it into the cold at once; histamine forms when it warms, without a sign, and no cooking takes it out"

// The usual cautions on what is hot or heavy: common practice, no source.
const (
	Steam   = "Steam burns before you see it: lift a lid away from you, and stand back when a pot is opened or drained."
	HotFat  = "Hot fat catches fire and spits: nothing wet goes in, never leave it alone, never put it out with water."
	Lower   = "Lower things into a boiling pot, do not drop them: it splashes."
	FullPot = "nobody lifts a full pot: ladle or draw it off, and let two people carry what is heavy"
)

// Lime is the caution on it. That it burns eyes and skin: OSHA, Chemical Sampling Information, "Calcium hydroxide", after the NIOSH Pocket Guide;
// food grade: 21 CFR 184.1205 and 184.1210, the second from memory; the rest: common practice, no source.
const Lime = "slaked lime and quicklime burn eyes and skin: wear goggles and gloves. In an eye: rinse with water for 15 minutes and get a doctor. Stir it into cold water a little at a time, never water onto it: quicklime boils up. Food grade only, and rinse the food well"

// Lye is the caution on it. Goggles and gloves, water for 15 minutes and a doctor: DOE-HDBK-1015/2-93, Corrosives (acids and alkalies); that water
// heats it, and that it eats aluminium, tin and zinc: NIOSH Pocket Guide, Sodium hydroxide, from memory; food grade: 21 CFR 184.1763 and 184.1631,
// from memory; the rest: common practice, no source.
const Lye = "lye burns eyes and skin, and may blind: wear goggles, gloves and long sleeves. In an eye or on the skin: rinse with water for 15 minutes at once, and get a doctor. Stir it into cold water a little at a time, never water onto lye: it boils up. No aluminium, tin or zinc: it eats them and gives off a gas that burns. Food grade only, labelled, locked up and apart from food; rinse the food well"

// Burns stands on the label of a bath of lye or lime: see [Lye].
const Burns = "NOT FOOD: it burns eyes and skin. Goggles and gloves. In an eye or on the skin: rinse with water for 15 minutes at once, and get a doctor"

// Voice says the sentences of [Shared] and [Board] in a language, with the figures of a region. The zero Voice speaks English.
type Voice struct {
	Tag     language.Tag
	printer *message.Printer
	figures *message.Printer
}

// In is a voice in a language that is one of [Languages], or is read as one. Figures are those of the place that the tag names.
func In(tag language.Tag) Voice {
	is, ok := Matched(tag)
	if !ok || is == language.English {
		return Voice{}
	}
	return Voice{is, message.NewPrinter(is, message.Catalog(said())), message.NewPrinter(tag)}
}

// chinese tells whether it speaks Chinese, in either script.
func (v Voice) chinese() bool { return Chinese(v.Tag) }

// figure is a number as answers print it in English: "1,024", "1.5"; or the section of a code, "3-501.16", which stays as it is.
var figure = regexp.MustCompile(`\d-\d{3}\.\d+|\d+(?:,\d{3})*(?:\.\d+)?`)

// Figure writes the numbers of an amount or a price as the region does: "1,5 kg" in Spain, "1.5 kg" in Mexico and the United States
// (Unicode CLDR).
func (v Voice) Figure(text string) string {
	if v.English() {
		return text
	}
	return figure.ReplaceAllStringFunc(text, func(s string) string {
		x, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
		if err != nil { // more digits than a number has
			return s
		}
		_, digits, _ := strings.Cut(s, ".")
		return v.figures.Sprint(number.Decimal(x, number.MinFractionDigits(len(digits)), number.MaxFractionDigits(len(digits))))
	})
}

// English tells whether it speaks English.
func (v Voice) English() bool { return v.printer == nil }

// Language is the one of [Languages] that it speaks.
func (v Voice) Language() language.Tag {
	if v.English() {
		return language.English
	}
	return v.Tag
}

// Lang is its language, as pages name theirs: "en".
func (v Voice) Lang() string {
	return v.Language().String()
}

// Say puts a sentence, named by its English, into the language.
func (v Voice) Say(english string, args ...any) string {
	if !Known(english) {
		panic(fmt.Sprintf("mistake: there is no sentence %q", english))
	}
	if v.English() {
		return fmt.Sprintf(english, args...)
	}
	texts := make([]string, len(args))
	for i, a := range args {
		texts[i] = v.printer.Sprint(a)
	}
	return Fill(strings.ReplaceAll(v.Word(english), "%%", "%"), texts...)
}

// Word is a word or sentence that nothing is put into.
func (v Voice) Word(english string) string {
	if !Known(english) {
		panic(fmt.Sprintf("mistake: there is no sentence %q", english))
	}
	if v.Tag == language.TraditionalChinese {
		return inTraditional(known()[english])
	}
	return known()[english][slices.Index(Languages, v.Language())]
}

// Known tells whether a sentence stands in every language.
func Known(english string) bool {
	_, ok := known()[english]
	return ok
}

// List puts texts one after another.
func (v Voice) List(texts []string) string { return strings.Join(texts, v.Say(", ")) }

// Sentences puts whole sentences one after another.
func (v Voice) Sentences(texts ...string) string {
	between := " "
	if v.chinese() {
		between = ""
	}
	return strings.Join(slices.DeleteFunc(slices.Clone(texts), func(text string) bool { return text == "" }), between)
}

// Allergen is an allergen, with the code of the file behind it where that is in another language, for the code stands on packages.
func (v Voice) Allergen(allergen string) string {
	if v.English() {
		return allergen
	}
	code, kind := kitchen.CodeAndKind(allergen)
	if !Known(code) {
		return allergen
	}
	if kind == "" && v.Word(code) == code {
		return code
	}
	if kind == "" {
		return v.Say("%[1]s (%[2]s)", v.Word(code), code)
	}
	if Known(kind) {
		return v.Say("%[1]s (%[2]s)", v.Say("%[1]s: %[2]s", v.Word(code), v.Word(kind)), code+": "+kind)
	}
	return v.Say("%[1]s (%[2]s)", v.Word(code), code+": "+kind)
}

// Allergens are several, in capitals where the script has any: they must be seen.
func (v Voice) Allergens(list []string) string {
	var texts []string
	for _, a := range list {
		texts = append(texts, strings.ToUpper(v.Allergen(a)))
	}
	return v.List(texts)
}

// Stated is what is stated of the allergens in something, and of what nothing is.
func (v Voice) Stated(s kitchen.Stated) string {
	var parts []string
	if len(s.Has) > 0 {
		parts = append(parts, v.Allergens(s.Has))
	}
	return v.More(parts, s.May, s.Unknown)
}

// More adds to what is said what it may contain, and what is unknown. Where there is nothing of all of it, the file declares it
// free of its list.
func (v Voice) More(parts, may, unknown []string) string {
	if len(may) > 0 {
		parts = append(parts, v.Say("may contain %[1]s", v.Allergens(may)))
	}
	if len(unknown) > 0 {
		parts = append(parts, v.Unknown(unknown))
	}
	if len(parts) == 0 {
		return v.Say("No listed allergens, per kitchen file")
	}
	return strings.Join(parts, v.Say("; "))
}

// Unknown is of what nothing is stated.
func (v Voice) Unknown(names []string) string {
	return v.Say("UNKNOWN: %[1]s. Read the package", v.List(names))
}

// weekdays and months in short, as labels have them.
var (
	weekdays = map[language.Tag][]string{language.Spanish: {"dom", "lun", "mar", "mié", "jue", "vie", "sáb"},
		language.SimplifiedChinese: {"周日", "周一", "周二", "周三", "周四", "周五", "周六"}}
	longMonths = []string{"enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"}
	months     = []string{"ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic"}
)

// Day is a date as a label shows it: "Tue 24 Nov", "mar 24 nov", "11月24日（周二）".
func (v Voice) Day(t time.Time) string {
	switch {
	case v.Tag == language.Spanish:
		return fmt.Sprintf("%s %d %s", v.Weekday(t), t.Day(), months[t.Month()-1])
	case v.chinese():
		return fmt.Sprintf("%d月%d日（%s）", t.Month(), t.Day(), v.Weekday(t))
	}
	return measure.FormatDay(t)
}

// On is a time or a service of a day: "Tue 24 Nov 07:30", "mar 24 nov cena", "11月24日（周二）晚餐".
func (v Voice) On(t time.Time, what string) string {
	if v.chinese() {
		return v.Day(t) + what
	}
	return v.Day(t) + " " + what
}

// Date is a date written out: "Tue 24 Nov 2026", "24 de noviembre de 2026", "2026年11月24日".
func (v Voice) Date(t time.Time) string {
	switch {
	case v.Tag == language.Spanish:
		return fmt.Sprintf("%d de %s de %d", t.Day(), longMonths[t.Month()-1], t.Year())
	case v.chinese():
		return fmt.Sprintf("%d年%d月%d日", t.Year(), t.Month(), t.Day())
	}
	return measure.FormatDay(t) + fmt.Sprintf(" %d", t.Year())
}

// Region is the language with the place whose figures it uses: as asked for, else where the money is. Spanish writes 1.5 in Mexico
// and the United States, 1,5 in Spain (Unicode CLDR).
func Region(asked language.Tag, money string) language.Tag {
	if _, sure := asked.Region(); sure == language.Exact || !kitchen.InLanguage(asked, language.Spanish) {
		return asked
	}
	switch money {
	case "USD":
		return language.MustParse("es-US")
	case "MXN":
		return language.MustParse("es-MX")
	}
	return asked
}

// Days is a number of days: "1 day".
func (v Voice) Days(n int) string {
	if n == 1 {
		return v.Say("1 day")
	}
	return v.Say("%[1]s days", fmt.Sprint(n))
}

// Lasts is a time in hours and minutes: "1 h 30 min".
func (v Voice) Lasts(minutes int) string {
	if !v.chinese() {
		return measure.FormatDuration(minutes)
	}
	var parts []string
	if h := minutes / 60; h > 0 {
		parts = append(parts, v.Say("%[1]s h", fmt.Sprint(h)))
	}
	if m := minutes % 60; m > 0 || minutes == 0 {
		parts = append(parts, v.Say("%[1]s min", fmt.Sprint(m)))
	}
	return strings.Join(parts, " ")
}
