package guide

// Words: sentences in the guide's language, with names, amounts and days set into them.

import (
	"maps"
	"math"
	"regexp"
	"strings"
	"time"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"

	"kettletree/graph/measure"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// span is a piece of text.
type span struct {
	Text string
	Lang string // "" when it is in the guide's language
}

// line is a text.
type line []span

func (l line) plain() string {
	var b strings.Builder
	for _, s := range l {
		b.WriteString(s.Text)
	}
	return b.String()
}

// What stands in another language is carried through a sentence between these two signs of the private use area, which no name of
// a kitchen file can hold; texts of other kinds lose them.
const opens, closes = "\uE000", "\uE001"

var unmarked = strings.NewReplacer(opens, "", closes, "")

// teller speaks the guide's language.
type teller struct {
	*message.Printer
	voice   tongue.Voice
	figures *message.Printer // numbers as they are written where the kitchen is
	tag     language.Tag
	own     string            // language of what has no translation
	same    bool              // which is the guide's
	foreign map[string]bool   // names that have none
	many    map[string]string // by name: what several are called
	kitchen *kitchen.Kitchen
}

func newTeller(g *Guide) *teller {
	own := language.Make(g.Own)
	t := &teller{Printer: message.NewPrinter(g.tag, message.Catalog(sentences)), voice: tongue.In(g.region), figures: message.NewPrinter(g.region),
		tag: g.tag, own: g.Own, same: kitchen.InLanguage(own, g.tag), foreign: map[string]bool{}, many: g.many, kitchen: g.kitchen}
	for _, n := range g.Missing {
		t.foreign[n] = true
	}
	maps.Copy(t.foreign, g.other)
	return t
}

// say puts a sentence, named by its English, into the language. Arguments are strings and lines.
func (t *teller) say(english string, args ...any) line {
	texts := make([]any, len(args))
	for i, a := range args {
		switch a := a.(type) {
		case line:
			var b strings.Builder
			for _, s := range a {
				if s.Lang != "" {
					b.WriteString(opens + s.Lang + "\n" + s.Text + closes)
				} else {
					b.WriteString(s.Text)
				}
			}
			texts[i] = b.String()
		case string:
			texts[i] = unmarked.Replace(a)
		default:
			panic("mistake: a sentence takes texts only")
		}
	}
	said := tongue.OneOClock(t.Sprintf(english, texts...))
	said = unitBefore.ReplaceAllString(said, "$1 或")
	said = namedAfter.ReplaceAllString(namedBefore.ReplaceAllString(said, "$1 $2"), "$1 $2")
	var l line
	for rest := said; rest != ""; {
		before, after, found := strings.Cut(rest, opens)
		if before != "" {
			l = append(l, span{before, ""})
		}
		if !found {
			break
		}
		marked, behind, _ := strings.Cut(after, closes)
		lang, text, _ := strings.Cut(marked, "\n")
		l, rest = append(l, span{text, lang}), behind
	}
	return l
}

// unitBefore is where a unit or a figure touches the Chinese "or": a blank goes between, as with all else in Latin letters.
var unitBefore = regexp.MustCompile(`([0-9A-Za-z¼½¾])或`)

// namedBefore and namedAfter are where a name that is not Chinese touches Chinese: a blank goes between.
var (
	namedBefore = regexp.MustCompile(`(\p{Han})(` + opens + `[^\n]*\n\p{Latin})`)
	namedAfter  = regexp.MustCompile(`(\p{Latin}` + closes + `)(\p{Han})`)
)

func (t *teller) plain(english string, args ...any) string { return t.say(english, args...).plain() }

// name is a name of the kitchen.
func (t *teller) name(s string) line {
	if t.foreign[s] {
		return t.free(s)
	}
	return line{{unmarked.Replace(s), ""}}
}

// free is text of the file that is no name of an item, step or vessel: phases, stations and the like, as the file has it in the
// language, if it does.
func (t *teller) free(s string) line {
	if said, ok := t.kitchen.WordIn(s, t.tag); ok {
		return line{{unmarked.Replace(said), ""}}
	}
	if t.same {
		return line{{unmarked.Replace(s), ""}}
	}
	return line{{unmarked.Replace(s), t.own}}
}

// cited is a food code, or a section of one: a number stays as it is, and what has words in the language is said in them.
func (t *teller) cited(s string) line {
	if said := t.voice.Section(s); said != s {
		return line{{said, ""}}
	}
	if kitchen.InLanguage(language.English, t.tag) {
		return line{{s, ""}}
	}
	return line{{s, "en"}}
}

// trade is a word of the file that the guide knows in its own languages, such as lunch; else it stands as it is.
func (t *teller) trade(s string) line {
	if _, ok := t.kitchen.WordIn(s, t.tag); ok {
		return t.free(s)
	}
	if known[s] && kitchen.InLanguage(language.Make(t.own), language.English) {
		return t.say(s)
	}
	return t.free(s)
}

// allergen is a code, with the word of the file behind it, for that is what stands on labels.
func (t *teller) allergen(allergen string) line {
	code, kind := kitchen.CodeAndKind(allergen)
	told := t.trade(code)
	if told.plain() == code {
		return t.free(allergen)
	}
	if kind == "" {
		return t.say("%[1]s (%[2]s)", told, t.free(code))
	}
	if known[kind] {
		told = t.say("%[1]s: %[2]s", told, t.trade(kind))
	}
	return t.say("%[1]s (%[2]s)", told, t.free(code+": "+kind))
}

// list puts texts one after another.
func (t *teller) list(texts []line) (l line) {
	for i, text := range texts {
		if i > 0 {
			l = append(l, t.say(", ")...)
		}
		l = append(l, text...)
	}
	return l
}

func (t *teller) names(list []string) line {
	var texts []line
	for _, n := range list {
		texts = append(texts, t.name(n))
	}
	return t.list(texts)
}

func (t *teller) allergens(list []string) line {
	var texts []line
	for _, a := range list {
		texts = append(texts, t.allergen(a))
	}
	return t.list(texts)
}

// weekday names a [time.Weekday].
func (t *teller) weekday(d int) string { return t.plain(time.Weekday(d).String()) }

// days names weekdays that stand from Monday on: three and more in a row from the first to the last.
func (t *teller) days(days []int) string {
	if len(days) == 7 {
		return t.plain("every day")
	}
	var texts []line
	for i := 0; i < len(days); {
		end := i
		for end+1 < len(days) && days[end+1] == (days[end]+1)%7 {
			end++
		}
		if end >= i+2 {
			texts = append(texts, t.say("%[1]s to %[2]s", t.weekday(days[i]), t.weekday(days[end])))
			i = end + 1
			continue
		}
		texts = append(texts, line{{t.weekday(days[i]), ""}})
		i++
	}
	return t.list(texts).plain()
}

// weekdayOf is the weekday of a moment.
func (t *teller) weekdayOf(at string) string {
	date, err := time.Parse(time.DateOnly, at[:len(time.DateOnly)])
	if err != nil {
		panic("mistake: a moment has no date: " + err.Error())
	}
	return t.weekday(int(date.Weekday()))
}

// clockOf is the time of day of a moment.
func clockOf(at string) string { return at[len(at)-len("15:04"):] }

// number is a figure.
func (t *teller) number(x float64) string {
	return t.figures.Sprint(number.Decimal(x, number.MaxFractionDigits(4)))
}

func (t *teller) whole(n int) string { return t.figures.Sprint(number.Decimal(n)) }

// pieces is how many of what is counted: quarters as a cook writes them.
func (t *teller) pieces(x float64) string {
	whole, part := math.Modf(x)
	for quarters, sign := range []string{"", "¼", "½", "¾"} {
		switch {
		case quarters == 0 || math.Abs(part-float64(quarters)/4) > 1e-6:
		case whole == 0:
			return sign
		default:
			return t.number(whole) + sign
		}
	}
	return t.number(x)
}

// lasts is a time in hours and minutes.
func (t *teller) lasts(minutes int) string { return t.voice.Lasts(minutes) }

// date is a day of the calendar, written out.
func (t *teller) date(day string) string {
	d, err := time.Parse(time.DateOnly, day)
	if err != nil {
		panic("mistake: a date of our own that is none: " + err.Error())
	}
	return t.voice.Date(d)
}

// measure is a quantity as its card has it, and as a scale shows it; what is counted one by one has no unit.
func (t *teller) measure(x float64, name string) string {
	u, err := measure.UnitNamed(name)
	if err != nil { // portions
		return t.pieces(x)
	}
	q := measure.Quantity{Amount: x, Unit: u}.Handy().OnScale()
	text := q.String()
	switch {
	case u == measure.Each:
		return t.pieces(q.Amount)
	case u.Kind == measure.Count:
		text = measure.FormatPieces(x) + " " + u.Of(x)
	}
	return strings.ReplaceAll(t.voice.Amount(text), " ", "\u00a0")
}

// weighed tells whether something goes by weight, volume, the bottle or the bunch, not by the piece.
func weighed(unit string) bool {
	u, err := measure.UnitNamed(unit)
	return err == nil && u != measure.Each
}

// counted is what so much of a thing is called: of more than one, in the plural.
func (t *teller) counted(x float64, unit, item string) line {
	u, err := measure.UnitNamed(unit)
	many, ok := t.many[item]
	dozens := err == nil && u.Kind == measure.Count && u.Factor > 1
	if weighed(unit) && !dozens || err == nil && x*u.Factor <= 1 || err != nil && x <= 1 || !ok {
		return t.name(item)
	}
	if t.foreign[item] {
		return t.free(many)
	}
	return line{{unmarked.Replace(many), ""}}
}

// part is a quantity of an item: "14 hens", "88 L de agua", "鸡蛋 40 个".
func (t *teller) part(x float64, unit, item string) line {
	amount, name := line{{t.measure(x, unit), ""}}, t.counted(x, unit, item)
	switch {
	case tongue.Chinese(t.tag) && !weighed(unit):
		return t.say("%[1]s %[2]s", name, line{{t.voice.Pieces(t.measure(x, unit), name.plain()), ""}})
	case tongue.Chinese(t.tag):
		return t.say("%[1]s %[2]s", name, amount)
	case t.tag == language.Spanish && weighed(unit):
		return t.say("%[1]s %[2]s", append(amount, span{" de", ""}), name)
	}
	return t.say("%[1]s %[2]s", amount, name)
}

// takes is what a card takes of an item; an amount that nobody has said shows as that.
func (t *teller) takes(a Amount) line {
	if a.Unsaid {
		return t.say("%[1]s (how much is not said yet)", t.name(a.Item))
	}
	return t.part(a.Amount, a.shownIn(), a.Item)
}

func (t *teller) parts(list []clock.Part) line {
	var texts []line
	for _, p := range list {
		texts = append(texts, t.part(p.Amount, p.ShownIn(), p.Item))
	}
	return t.list(texts)
}
