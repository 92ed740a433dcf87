package tongue

// Finished sentences: answers and faults come in English, put together where they are found. What they were made of is read off them
// again, by the forms in [Answers], of the timetable and of cooling, and said in the language.

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// form is a sentence of Answers as a finished one is held against it.
type form struct {
	key     string
	longest string // the longest of its fixed parts, which a finished sentence must hold
	fixed   int    // letters of all of them
	pattern *regexp.Regexp
	takes   []int // by group of the pattern: the number of what is put in there
}

// Place is where something is put into a sentence: "%[1]s".
var Place = regexp.MustCompile(`%\[(\d+)\]s`)

// counts are sentences that begin with a number.
var counts = regexp.MustCompile(`^%\[1\]s (?:portions?|more dishes|batch|batches|conflicts|changes|of 1 batch|of %\[2\]s batches|more$)`)

// forms are those of Answers that something is put into, the most particular first: made once somebody asks, for most commands never do.
var forms = sync.OnceValue(func() (list []form) {
	for _, w := range slices.Concat(Answers, timetable, coolingShown) {
		f := form{key: w[0]}
		pattern, at := `(?s)\A`, 0
		fixed := func(text string) {
			pattern += regexp.QuoteMeta(text)
			f.fixed += len(text)
			if len(text) > len(f.longest) {
				f.longest = text
			}
		}
		for _, m := range Place.FindAllStringSubmatchIndex(w[0], -1) {
			fixed(w[0][at:m[0]])
			n, _ := strconv.Atoi(w[0][m[2]:m[3]]) // the pattern takes digits only
			what := `(.+?)`
			if n == 1 && counts.MatchString(w[0]) {
				what = `([\d.,]+)`
			}
			pattern, at = pattern+what, m[1]
			f.takes = append(f.takes, n)
		}
		if fixed(w[0][at:]); len(f.takes) > 0 {
			f.pattern = regexp.MustCompile(pattern + `\z`)
			list = append(list, f)
		}
	}
	slices.SortStableFunc(list, func(a, b form) int { return b.fixed - a.fixed })
	return list
})

// sure is from how many fixed letters on a sentence is known by its form alone.
const sure = 12

// Find says a finished sentence of [Answers] in the language; inner says what was put into it, and
// whether it knows it: what little is fixed of a short form would else be found in any sentence.
func (v Voice) Find(text string, inner func(string) (string, bool)) (string, bool) {
	for _, f := range forms() {
		if !strings.Contains(text, f.longest) {
			continue
		}
		bare, stop := text, ""
		if strings.HasSuffix(f.key, place(f.takes[len(f.takes)-1])) && strings.HasSuffix(text, ".") { // its full stop is the sentence's, not what is put in last
			if f.fixed < sure {
				continue // it may be the end of more than that: the text is asked for without it, too
			}
			bare, stop = strings.TrimSuffix(text, "."), v.Word(".")
		}
		m := f.pattern.FindStringSubmatch(bare)
		if m == nil {
			continue
		}
		args, known := make([]string, len(m)), true
		for i, n := range f.takes {
			var ok bool
			args[n-1], ok = inner(m[i+1])
			known = known && ok
		}
		if !known && f.fixed < sure {
			continue
		}
		return strings.TrimSuffix(Fill(v.Word(f.key), args...), stop) + stop, true
	}
	return "", false
}

func place(n int) string { return "%[" + strconv.Itoa(n) + "]s" }

// Fill puts texts into the places of a sentence.
func Fill(sentence string, texts ...string) string {
	if !strings.Contains(sentence, "%[") {
		return OneOClock(sentence)
	}
	var b strings.Builder
	end := 0
	for _, at := range Place.FindAllStringIndex(sentence, -1) {
		n, err := strconv.Atoi(sentence[at[0]+2 : at[1]-2])
		if err != nil || n < 1 || n > len(texts) {
			panic("mistake: too little is put into " + strconv.Quote(sentence))
		}
		b.WriteString(sentence[end:at[0]])
		end = at[1]
		b.WriteString(Blank(b.String(), texts[n-1]) + texts[n-1] + Blank(texts[n-1], sentence[end:]))
	}
	b.WriteString(sentence[end:])
	return OneOClock(b.String())
}

// Blank is what stands between two texts: a blank where Chinese and Latin letters touch, as where a name has no Chinese.
func Blank(before, after string) string {
	left, _ := utf8.DecodeLastRuneInString(before)
	right, _ := utf8.DecodeRuneInString(after)
	if unicode.Is(unicode.Han, left) && unicode.Is(unicode.Latin, right) || unicode.Is(unicode.Latin, left) && unicode.Is(unicode.Han, right) {
		return " "
	}
	return ""
}

// oneOClock is one o'clock, or one hour, behind the article of several; onADay is a day, and someMinutes are minutes, behind that of hours.
var (
	oneOClock   = regexp.MustCompile(`\b([Ll])as (0?1:[0-9]{2}\b|1 h\b)`)
	onADay      = regexp.MustCompile(`\b(?:a |(d)e )?las ((?:lun|mar|mié|jue|vie|sáb|dom) \d)`)
	someMinutes = regexp.MustCompile(`\b([Ll])as ([0-9]+ min\b)`)
)

// OneOClock mends the Spanish article before one o'clock, before minutes and before a day: "a la 1 h", "a la 01:15", "a los 30 min", "el
// mar 24 nov 07:00". In no other language it finds anything.
func OneOClock(text string) string {
	if !strings.Contains(text, "as ") { // most texts, and a page has hundreds
		return text
	}
	text = onADay.ReplaceAllString(text, "${1}el $2")
	return someMinutes.ReplaceAllString(oneOClock.ReplaceAllString(text, "${1}a $2"), "${1}os $2")
}
