package board

// Sentences that come finished, in English, from the packages that answer: said again in the language of the page.

import (
	"html/template"
	"regexp"
	"strings"
	"sync"
	"time"
	"unicode"

	"golang.org/x/text/language"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// Said are sentences of an answer or a fault in the language where the table has them, else as they are, marked as English.
func (s *speaker) Said(text string) template.HTML {
	text = tapped(text)
	said, ok := s.phrase(text, 0)
	if ok || text == "" {
		return tongue.Whole(escaped(said))
	}
	var all []string
	for _, one := range sentences(text) {
		if said, ok := s.phrase(one, 0); ok {
			all = append(all, escaped(said))
			continue
		}
		all = append(all, `<span lang="en">`+escaped(one)+`</span>`)
	}
	return tongue.Whole(s.voice.Sentences(all...))
}

// ends is where a sentence ends and the next begins.
var ends = regexp.MustCompile(`[.!?] [A-Z0-9]`)

// sentences are those of a text, each with what ends it.
func sentences(text string) (list []string) {
	for {
		at := ends.FindStringIndex(text)
		if at == nil {
			return append(list, text)
		}
		list, text = append(list, text[:at[0]+1]), text[at[0]+2:]
	}
}

// Phrases says finished sentences in a language: those that the table has, with the names of a kitchen in them. Others stay as they are.
func Phrases(tag language.Tag, k *kitchen.Kitchen) func(string) string {
	s := newSpeaker(tag, k)
	return s.Phrase
}

// Phrase is a short text of an answer in the language where the table has it, else as it is.
func (s *speaker) Phrase(text string) string {
	said, _ := s.phrase(text, 0)
	return said
}

// Phrases says one sentence after another: each in the language where the table has it, else as it is.
func (s *speaker) Phrases(text string) string {
	if said, ok := s.phrase(text, 0); ok {
		return said
	}
	list := sentences(text)
	for i := range list {
		list[i] = s.Phrase(list[i])
	}
	return s.voice.Sentences(list...)
}

// deepest is how often something may be put into something else, in a sentence; longest is how long one may be.
const (
	deepest = 6
	longest = 1200
)

// phrase finds what a finished text says: as it stands, or without the capital that begins it and the full stop that ends it. What it
// can't find it gives back.
func (s *speaker) phrase(text string, depth int) (string, bool) {
	if s.voice.English() || text == "" {
		return text, true
	}
	if !strings.ContainsFunc(text, unicode.IsLetter) { // 86 portions are no dish struck off
		if figure, ends := strings.CutSuffix(text, "."); ends && figure != "" {
			return figure + s.voice.Word("."), true
		}
		return text, true
	}
	if depth > deepest || len(text) > longest {
		return text, false
	}
	return s.found.get(foundKey{text, depth}, func() (string, bool) { return s.search(text, depth) })
}

// found are texts that were looked for, with what was found: parts of a long text are come upon in many ways, and pages say the same again
// and again.
type found struct {
	mu  sync.Mutex
	all map[foundKey]foundText
}

type (
	foundKey struct {
		text  string
		depth int
	}
	foundText struct {
		said string
		ok   bool
	}
)

// mostFound is how many are kept; then they are dropped and begin again.
const mostFound = 20_000

func (f *found) get(key foundKey, search func() (string, bool)) (string, bool) {
	f.mu.Lock()
	known, ok := f.all[key]
	f.mu.Unlock()
	if ok {
		return known.said, known.ok
	}
	known.said, known.ok = search()
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.all == nil || len(f.all) >= mostFound {
		f.all = map[foundKey]foundText{}
	}
	f.all[key] = known
	return known.said, known.ok
}

// search is [speaker.phrase] of what was not looked for before.
func (s *speaker) search(text string, depth int) (string, bool) {
	whole := tongue.Known(text) || tongue.Known(lower(strings.TrimSuffix(text, "."))) // some sentences are said only with those that follow
	if list := sentences(text); len(list) > 1 && !whole {
		all := true
		for i := range list {
			var ok bool
			list[i], ok = s.phrase(list[i], depth+1)
			all = all && ok
		}
		if !all {
			return text, false
		}
		return s.voice.Sentences(list...), true
	}
	if said, ok := s.plainly(text, depth); ok {
		return said, true
	}
	bare := strings.TrimSuffix(text, ".")
	small := lower(bare)
	for _, form := range []string{bare, small} {
		if form == text {
			continue
		}
		said, ok := s.plainly(form, depth)
		if !ok {
			continue
		}
		if form != bare {
			said = show.Capital(said)
		}
		if bare != text && !strings.HasSuffix(said, s.voice.Word(".")) { // some are whole sentences in one language only
			said += s.voice.Word(".")
		}
		return said, true
	}
	return text, false
}

var (
	dayWords  = regexp.MustCompile(`^(Mon|Tue|Wed|Thu|Fri|Sat|Sun) (\d{1,2}) (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)((?: \d{2}:\d{2})?)$`)
	dayTime   = regexp.MustCompile(`^(Mon|Tue|Wed|Thu|Fri|Sat|Sun) (\d{2}:\d{2})$`)
	dayAnd    = regexp.MustCompile(`^((?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]{2}),? (.+)$`)
	dayAt     = regexp.MustCompile(`^((?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]{2}) at ([^,;]+)$`)
	priced    = regexp.MustCompile(`^(.+) at ([\d.,]+/\S+)$`)
	isoDay    = regexp.MustCompile(`^(\d{4}-\d{2}-\d{2})(?:[ T](\d{2}:\d{2}))?$`)
	weighing  = regexp.MustCompile(`^([\d.,½¼¾⅓⅔⅛⅜⅝⅞]+) (kg|g|mg|L|mL|cL|lb|oz|gal|qt|pt|cups?|tbsp|tsp) (.+)$`)
	measuring = regexp.MustCompile(`^\d{1,2}:\d{2}$|^(?:kg|g|mg|L|mL|cL|lb|oz|gal|qt|pt|h|min|°C|°F|[A-Z]{3})$|^[-+]?[\d.,]+(?: ?(?:%|kg|g|mg|L|mL|cL|lb|oz|gal|qt|pt|h|min|°C|°F|[A-Z]{3}|/[a-zA-Z]+))?$`)
	someDays  = regexp.MustCompile(`^(?:mon|tue|wed|thu|fri|sat|sun)(?: (?:mon|tue|wed|thu|fri|sat|sun))*$`)
	ofDay     = regexp.MustCompile(`^([^,;]+) of ((?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]{2})$`)
	ofDays    = regexp.MustCompile(` of (?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]{2} and .* of `) // of one thing and of another
	daysOwn   = regexp.MustCompile(`^((?:Mon|Tues|Wednes|Thurs|Fri|Satur|Sun)day)'s (.*[^.])$`)            // no whole sentence
	hours     = regexp.MustCompile(`^(\d{2}:\d{2}) to (\d{2}:\d{2})$`)
	putIn     = regexp.MustCompile(`^([^:]+) in (?:((?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]{2}) )?(\d{2}:\d{2})$`)
	shareOf   = regexp.MustCompile(`^([-+][\d.]+%) (.+)$`)
	counting  = regexp.MustCompile(`^([\d.,½¼¾⅓⅔⅛⅜⅝⅞]+) (.+)$`)
	eachOf    = regexp.MustCompile(`^([\d.,½¼¾⅓⅔⅛⅜⅝⅞]+) each (.+)$`)
	ofLot     = regexp.MustCompile(`^(.+) lot (\S*[^\s.,;:])$`)
	runsLate  = regexp.MustCompile(`^with (.+) (\d+ (?:h|min)(?: \d+ min)?) late$`)
	cited     = regexp.MustCompile(`^(?:, [\dA-Z][\w.()-]*)?$`)
	amounts   = regexp.MustCompile(`^(?:[\d.,½¼¾⅓⅔⅛⅜⅝⅞]+|no) [^:]*(?:, | and )(?:[\d.,½¼¾⅓⅔⅛⅜⅝⅞]+|no) [^:]*$`) // of one thing after another
	placed    = regexp.MustCompile(`  \S+:\d+:\d+; `)                                                          // one thing with its place in a file, then another
	dayToDay  = regexp.MustCompile(`^((?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]{2}) to ((?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]{2})$`)
)

// plainly finds a text that is one thing: a name, a day, an amount, a sentence, or a list of such.
func (s *speaker) plainly(text string, depth int) (string, bool) {
	if said := s.Called(text); said != text || s.own[text] {
		return said, true
	}
	if tongue.Known(text) {
		return s.voice.Word(text), true
	}
	inner := func(part string) (string, bool) { return s.phrase(part, depth+1) }
	if amounts.MatchString(text) { // "9 kg pork shoulder and 4 hens" is no 9 kg of all that follows
		if said, ok := s.inTurn(text, inner); ok {
			return said, true
		}
	}
	if at := placed.FindStringIndex(text); at != nil {
		one, okOne := inner(text[:at[1]-2])
		rest, okRest := inner(text[at[1]:])
		return one + s.between("; ", rest) + rest, okOne && okRest
	}
	if m := dayAt.FindStringSubmatch(text); m != nil { // else it would be a thing at a service
		if rest, ok := inner(m[2]); ok {
			return s.sameDay(m[1]) + " " + rest, true
		}
	}
	if m := priced.FindStringSubmatch(text); m != nil {
		name, okName := inner(m[1])
		price, okPrice := inner(m[2])
		return s.T("%[1]s (%[2]s)", name, price), okName && okPrice
	}
	if said, ok := s.voice.Find(text, inner); ok {
		return said, true
	}
	if m := dayWords.FindStringSubmatch(text); m != nil {
		return s.sameDay(m[1]+" "+m[2]+" "+m[3]) + m[4], true
	}
	if m := dayTime.FindStringSubmatch(text); m != nil {
		return s.voice.Weekday(time.Date(2026, 11, 22+int(kitchen.WeekdayNamed(strings.ToLower(m[1]))), 0, 0, 0, 0, time.UTC)) + " " + m[2], true // a Sunday, and on
	}
	if m := dayAnd.FindStringSubmatch(text); m != nil {
		if rest, ok := inner(m[2]); ok {
			return s.sameDay(m[1]) + " " + rest, true
		}
	}
	if m := ofDay.FindStringSubmatch(text); m != nil && !ofDays.MatchString(text) {
		name, _ := inner(m[1])
		return s.T("%[1]s begun %[2]s", name, s.sameDay(m[2])), true
	}
	if m := putIn.FindStringSubmatch(text); m != nil {
		if what, ok := inner(m[1]); ok {
			if m[2] != "" {
				return s.T("%[1]s put in on %[2]s", what, s.sameDay(m[2])+" "+m[3]), true
			}
			return s.T("%[1]s put in at %[2]s", what, m[3]), true
		}
	}
	if m := hours.FindStringSubmatch(text); m != nil {
		return s.T("%[1]s to %[2]s", m[1], m[2]), true
	}
	if someDays.MatchString(text) {
		var all []string
		for word := range strings.FieldsSeq(text) {
			all = append(all, s.voice.Weekday(time.Date(2026, 11, 22+int(kitchen.WeekdayNamed(word)), 0, 0, 0, 0, time.UTC))) // a Sunday, and on
		}
		return s.voice.List(all), true
	}
	if m := daysOwn.FindStringSubmatch(text); m != nil {
		if name, ok := inner(m[2]); ok {
			return s.T(m[1]+"'s %[1]s", name), true
		}
	}
	if m := ofLot.FindStringSubmatch(text); m != nil {
		if name, ok := inner(m[1]); ok {
			return s.T("%[1]s lot %[2]s", name, m[2]), true
		}
	}
	if m := runsLate.FindStringSubmatch(text); m != nil {
		if name, ok := inner(m[1]); ok {
			return s.T("with %[1]s %[2]s late", name, m[2]), true
		}
	}
	if s.kitchen != nil && s.kitchen.Code != nil {
		if section, ok := strings.CutPrefix(text, s.kitchen.Code.Title); ok && cited.MatchString(section) {
			return text, true // by its own name
		}
	}
	if allergen := strings.ToLower(text); allergen != text && text == strings.ToUpper(text) && tongue.Known(allergen) {
		return strings.ToUpper(s.voice.Allergen(allergen)), true
	}
	if m := isoDay.FindStringSubmatch(text); m != nil {
		return strings.TrimSpace(s.Day(m[1]) + " " + m[2]), true
	}
	if measuring.MatchString(text) {
		if of, each := strings.CutSuffix(text, "/each"); each {
			return s.Figure(of) + "/" + s.Unit("each"), true
		}
		return s.Figure(text), true
	}
	if m := dayToDay.FindStringSubmatch(text); m != nil {
		return s.T("%[1]s to %[2]s", s.sameDay(m[1]), s.sameDay(m[2])), true
	}
	if m := eachOf.FindStringSubmatch(text); m != nil {
		if name, ok := inner(m[2]); ok {
			return s.pieces(s.Figure(m[1]), name), true
		}
	}
	if m := weighing.FindStringSubmatch(text); m != nil {
		if name, ok := inner(m[3]); ok {
			return s.part(s.Figure(m[1])+" "+m[2], name), true
		}
	}
	if m := shareOf.FindStringSubmatch(text); m != nil {
		if name, ok := inner(m[2]); ok {
			return s.part(s.Figure(m[1]), name), true
		}
	}
	if m := counting.FindStringSubmatch(text); m != nil {
		if countedIn[m[2]] != "" {
			return s.counted(m[1], m[2]), true
		}
		if name := s.Called(m[2]); s.dishes[m[2]] {
			return s.portionsOf(s.Figure(m[1]), name), true
		} else if name != m[2] || s.own[m[2]] {
			return s.pieces(s.Figure(m[1]), name), true
		}
	}
	return s.inTurn(text, inner)
}

// inTurn finds one thing after another.
func (s *speaker) inTurn(text string, inner func(string) (string, bool)) (string, bool) {
	if said, ok := s.list(text, inner); ok {
		return said, true
	}
	for _, sep := range []string{"; ", ", ", " and ", " + "} {
		if before, after, ok := strings.Cut(text, sep); ok {
			a, okA := inner(before)
			b, okB := inner(after)
			if okA && okB {
				return a + s.between(sep, b) + b, true
			}
		}
	}
	return text, false
}

// list finds a list of three or more, each of which is known by itself, however many there are.
func (s *speaker) list(text string, inner func(string) (string, bool)) (string, bool) {
	before, last, and := strings.Cut(text, " and ")
	list := strings.Split(before, ", ")
	whole := list[len(list)-1] + " and " + last
	switch {
	case and && s.own[whole]: // "burger, squid and chips" are two dishes
		list[len(list)-1], and = whole, false
	case and:
		list = append(list, last)
	}
	if len(list) < 3 && (and || !s.own[whole]) {
		return "", false
	}
	for i, one := range list {
		var ok bool
		if list[i], ok = inner(one); !ok {
			return "", false
		}
	}
	if !and {
		return s.voice.List(list), true
	}
	end := len(list) - 1
	return s.voice.List(list[:end]) + s.between(" and ", list[end]) + list[end], true
}

// between is what parts two things of a list, the second of which is known.
func (s *speaker) between(sep, second string) string {
	if sep == " + " {
		return sep
	}
	if sep != " and " {
		return s.voice.Word(sep)
	}
	if s.voice.Language() == language.Spanish {
		return and(second)
	}
	return "和"
}

// and is the Spanish word before what follows it.
func and(what string) string {
	if first := strings.ToLower(what); strings.HasPrefix(first, "i") || strings.HasPrefix(first, "hi") && !strings.HasPrefix(first, "hie") {
		return " e "
	}
	return " y "
}

// part is a weight or volume of something: "88 L de agua", "水 88 L".
func (s *speaker) part(amount, name string) string {
	if s.voice.Language() == language.Spanish {
		return s.voice.Say("%[1]s of %[2]s", amount, name)
	}
	return s.voice.Say("%[1]s %[2]s", name, amount)
}

// pieces is a count of something, by what several of it are called: "14 gallinas", "鸡 14 个".
func (s *speaker) pieces(count, name string) string {
	if s.voice.Language() == language.Spanish {
		return s.voice.Say("%[1]s %[2]s", count, name)
	}
	return s.voice.Say("%[1]s %[2]s", name, s.voice.Pieces(count, name))
}

// portionsOf is a count of a dish: "14 pozole rojo", "红汤 14 份".
func (s *speaker) portionsOf(count, dish string) string {
	if tongue.Chinese(s.voice.Language()) {
		return s.voice.Say("%[1]s %[2]s", dish, count+" "+s.voice.Word("portions"))
	}
	return s.pieces(count, dish)
}

// sameDay is a day as answers write it, "Tue 24 Nov", in the language. It names no year; any in which the weekday is right will do.
func (s *speaker) sameDay(text string) string {
	for year := 2020; year < 2048; year++ { // the calendar begins again after 28 years
		t, err := time.Parse("Mon 2 Jan 2006", text+time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC).Format(" 2006"))
		if err == nil && measure.FormatDay(t) == text {
			return s.voice.Day(t)
		}
	}
	return text
}

// lower begins a text with a small letter.
func lower(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}
