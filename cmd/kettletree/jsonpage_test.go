package main

// The page that "kettletree help json" shows is made from the structs that the commands encode: their fields, in order,
// with the comments that stand at them in the source (see jsonsource_test.go). The program only carries the page.

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/draw"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/counter"
	"kettletree/menu/guide"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/rescue"
	"kettletree/menu/shop"
	"kettletree/menu/specials"
	"kettletree/menu/takeover"
	"kettletree/menu/taste"
)

// jsonAnswers are what the commands give as JSON, in the order of the page, with questions that are answered by it.
var jsonAnswers = []struct {
	command string
	gives   any
	asked   []string
}{
	{"check", show.Faults{}, []string{"check"}},
	{"check --open", ask.OpenQuestions{}, []string{"check --open"}},
	{"check --open --into-file", show.Amendment{}, nil},
	{"change", show.Amendment{}, []string{`change set chicken price 9/each`}},
	{"diff", ask.Difference{}, []string{"diff was.yaml kitchen.yaml"}},
	{"whatif", rescue.WhatIf{}, []string{`whatif --lose "poach chickens@sat" --rescue`, "whatif --chance"}},
	{"why", []ask.Derivation{}, []string{`why "chicken soup"`}},
	{"weak", ask.WeakPoints{}, []string{"weak"}},
	{"plan", plan.Answer{}, []string{"plan --chance"}},
	{"buy", shop.List{}, []string{"buy", `buy --need "chicken soup=60" --at "sat lunch"`}},
	{"buy --offer", counter.Answer{}, []string{`buy --spend 40 --offer "chicken=8.20/each, 12 each" --offer "bread roll=0.40/each, 40 each, packs of 10 each"`}},
	{"tonight", plan.Tonight{}, []string{`tonight --at lunch --from 2026-11-28`}},
	{"on-hand", logbook.OnHand{}, []string{"on-hand"}},
	{"clock", clock.Timetable{}, []string{"clock", `clock --ready "sat lunch"`}},
	{"clock --station", clock.Sheets{}, []string{"clock --station stove --on tue"}},
	{"specials", specials.Offers{}, []string{"specials"}},
	{"cost", ask.CostSheet{}, []string{"cost"}},
	{"cost --kilos", ask.KiloSheet{}, []string{"cost --kilos"}},
	{"cost --as-it-was", logbook.AsItWas{}, []string{"cost --as-it-was"}},
	{"popularity", ask.Ranking{}, []string{"popularity"}},
	{"forecast", logbook.Forecast{}, []string{"forecast"}},
	{"trace", ask.Lineage{}, []string{`trace "chicken stock"`}},
	{"trace --lot", logbook.LotTrace{}, []string{"trace --lot A1"}},
	{"cooling", clock.Cooling{}, []string{"cooling"}},
	{"labels", clock.Labels{}, []string{"labels --on sat"}},
	{"allergens", ask.AllergenSheet{}, []string{"allergens"}},
	{"allergens --grid", ask.AllergenGrid{}, []string{"allergens --grid --ways"}},
	{"allergens --html", ask.AllergenGrid{}, []string{"allergens --html grid.html"}},
	{"map", draw.Picture{}, []string{"map", `map --lose "poach chickens@sat"`}},
	{"guide", guide.Guide{}, []string{"guide"}},
	{"log", logbook.Log{}, []string{"log show", "log undo 5"}},
	{"log day", show.DayRecord{}, []string{"log day"}},
	{"log export", logbook.Line{}, []string{"log export"}},
	{"log check", logbook.Checked{}, []string{"log check"}},
	{"log import", logbook.Takeover{}, []string{"log import till.csv"}},
	{"restore", logbook.Restored{}, []string{"restore copy.logbook"}},
	{"yields", logbook.Yields{}, []string{"yields"}},
	{"taste", taste.Answer{}, []string{"taste"}},
	{"plan --into-file", plan.Proposal{}, []string{"plan --into-file"}},
	{"yields --into-file", logbook.Proposal{}, []string{"yields --into-file"}},
	{"recipes", takeover.Taking{}, []string{"recipes cards.csv"}},
	{"prices", takeover.Taking{}, []string{"prices list.csv"}},
	{"licences", show.Licences{}, []string{"licences", "licences graphviz"}},
}

// jsonWidth is the longest line of the page.
const jsonWidth = 120

const jsonHead = `The JSON of all answers

With --json a command gives its answer to other programs, as an object or a list of objects. Each kind of object stands
here once, where it first occurs, with its keys in the order in which they are written. {Dish} is such an object,
[Dish] a list of them; a small one is written out in its place, as in [dish: text; portions: integer]. A list without
entries is []. A key with "?" is left out when there is nothing to say. New keys may be added; those that stand
here keep their meaning.

A date is 2026-11-24; other times are shown in the form that they have. Money is unrounded, in the kitchen's
currency; where the kitchen file names one, the key money is its ISO 4217 code. A quantity is in the unit that
stands beside it. A share is of 1.
`

// TestJSONPage holds the page against the source.
func TestJSONPage(t *testing.T) {
	page := jsonNames()
	page.WriteString(jsonHead)
	for _, a := range jsonAnswers {
		page.answer(a.command, reflect.TypeOf(a.gives))
	}
	require.Empty(t, page.source.faults)
	file := filepath.Join("help", "json.md")
	if *update {
		require.NoError(t, os.WriteFile(file, page.Bytes(), 0o666))
	}
	committed, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, page.String(), string(committed),
		"a struct or a comment has changed; write the page again: go test ./cmd/kettletree -run TestJSONPage -update")
}

// TestJSONAnswers asks every command for JSON, and wants it to have no key that the page does not have for it.
func TestJSONAnswers(t *testing.T) {
	t.Setenv("KETTLETREE_NOW", "2026-11-27 15:00")
	kitchen := filepath.Join(copyOfExamples(t), "first-pot")
	require.NoError(t, os.WriteFile(filepath.Join(kitchen, "till.csv"), []byte("date,dish,portions\n2026-11-26,chicken soup,17\n"), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(kitchen, "cards.csv"), []byte("dish,ingredient,amount\ncup of stock,chicken stock,300 mL\n,chive,\n"), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(kitchen, "list.csv"), []byte("item,price\nChicken,9.10/each\n"), 0o666))
	t.Chdir(kitchen)
	src, err := os.ReadFile(kitchenName)
	require.NoError(t, err)
	src = bytes.Replace(src, []byte("    cooks through: yes\n"), []byte("    cooks through: yes\n    measures: {colour: 1-5, brix: 3.0-4.5, cook: words}\n"), 1)
	require.NoError(t, os.WriteFile(kitchenName, src, 0o666))
	require.NoError(t, os.WriteFile("was.yaml", bytes.ReplaceAll(src, []byte("price: 8.40/each"), []byte("price: 80.40/each")), 0o666))
	for _, entry := range []string{
		"log received 4 each chicken for 33.60 lot A1",
		"log cooked poach chickens: 4 each chicken lot A1, 9 L water gives 2.1 kg pulled chicken, 7.4 L chicken stock",
		"log sold 12 chicken soup at lunch",
		"log temperature chicken stock 60 C",
		"log binned 1 L chicken stock",
		"log cooked poach chickens: 4 each chicken, 9 L water gives 2.2 kg pulled chicken, 7.5 L chicken stock",
		"log cooked poach chickens: 4 each chicken, 9 L water gives 2.3 kg pulled chicken, 7.3 L chicken stock",
		"log cooked poach chickens: 4 each chicken, 9 L water gives 2.1 kg pulled chicken, 7.6 L chicken stock",
		"log cooked poach chickens: 4 each chicken, 9 L water gives 2.2 kg pulled chicken, 7.5 L chicken stock",
		"log measured poach chickens: colour 3, brix 5.5, cook Ana, a little thin",
		"log measured poach chickens of tue: colour 4",
		"backup copy.logbook",
	} {
		got := runIn(t, nil, words(t, entry)...)
		require.Zero(t, got.code, got.stderr)
	}
	asked := map[string]bool{}
	for _, a := range jsonAnswers {
		name, _, _ := strings.Cut(a.command, " ")
		asked[name] = true
		for _, line := range a.asked {
			got := runIn(t, nil, append(words(t, line), "--json")...)
			require.Zero(t, got.code, "%s: %s", line, got.stderr)
			assert.NoError(t, documented(words(t, line), got.stdout), line)
		}
	}
	for _, c := range newApp(nil, nil, nil).Commands {
		takes := slices.ContainsFunc(c.Flags, func(f cli.Flag) bool { return slices.Contains(f.Names(), "json") })
		assert.Equal(t, takes, asked[c.Name], "the page tells of %s, or it takes --json", c.Name)
	}
}

// documented holds what a command line answered as JSON against the page: no key that the page does not have for it,
// and dates and times in the form that it shows.
func documented(args []string, text string) error {
	var gives any
	for _, a := range jsonAnswers { // one with a word more stands behind
		words := strings.Fields(a.command)
		if words[0] == args[0] && !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(args, w) }) {
			gives = a.gives
		}
	}
	if gives == nil {
		return fmt.Errorf("the page does not tell of %s", args[0])
	}
	answers := json.NewDecoder(strings.NewReader(text)) // log export gives an object a line
	answers.DisallowUnknownFields()
	for n := 0; n == 0 || answers.More(); n++ {
		value := reflect.New(reflect.TypeOf(gives))
		if err := answers.Decode(value.Interface()); err != nil {
			return fmt.Errorf("the page tells of another answer: %w", err)
		}
		if err := wellFormed("", value, ""); err != nil {
			return err
		}
	}
	return nil
}

// seemsTime is how a date or a time begins.
var seemsTime = regexp.MustCompile(`^(\d{4}-\d\d-\d\d|\d\d:\d\d)\b`)

// wellFormed wants a text to be a date or time when the source says so, and no other one to begin like one.
func wellFormed(where string, v reflect.Value, form string) error {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			return wellFormed(where, v.Elem(), form)
		}
	case reflect.Slice:
		for i := range v.Len() {
			if err := wellFormed(where, v.Index(i), form); err != nil {
				return err
			}
		}
	case reflect.Struct:
		for _, f := range encoded(v.Type()) {
			note := jsonNames().note(f)
			if strings.Contains(note.about, "typed") || strings.Contains(note.about, "a time among them") { // whatever that was; beside words
				continue
			}
			if err := wellFormed(fmt.Sprint(f.in, ".", f.Name), v.FieldByName(f.Name), note.form); err != nil {
				return err
			}
		}
	case reflect.String:
		if _, err := time.Parse(form, v.String()); form != "" && v.String() != "" && err != nil {
			return fmt.Errorf("the comment at %s says another form: %w", where, err)
		}
		if form == "" && seemsTime.MatchString(v.String()) {
			return fmt.Errorf("write the form, such as 2006-01-02 or 15:04, into the comment at %s: it is %s", where, v.String())
		}
	}
	return nil
}

// jsonPage is the page as far as it is written.
type jsonPage struct {
	bytes.Buffer
	source  *source
	names   map[reflect.Type]string // of every struct on the page
	uses    map[reflect.Type]int    // fields that are of it
	answers map[reflect.Type]int    // commands that answer by it
	inlined map[reflect.Type]bool   // it is said where it is used
	printed map[reflect.Type]bool
}

// jsonNames is a page with nothing on it yet.
var jsonNames = sync.OnceValue(func() *jsonPage {
	p := &jsonPage{source: &source{packages: map[string]*pkgSource{}}, printed: map[reflect.Type]bool{}}
	p.name()
	return p
})

// name gives each struct its name on the page: with its package where two have the same one.
func (p *jsonPage) name() {
	p.names, p.uses, p.inlined, p.answers = map[reflect.Type]string{}, map[reflect.Type]int{}, map[reflect.Type]bool{}, map[reflect.Type]int{}
	var all []reflect.Type
	for _, a := range jsonAnswers {
		p.answers[structOf(reflect.TypeOf(a.gives))]++
		all = below(reflect.TypeOf(a.gives), all)
	}
	for _, t := range all {
		p.names[t] = t.Name()
		if slices.ContainsFunc(all, func(o reflect.Type) bool { return o != t && o.Name() == t.Name() }) {
			p.names[t] = t.String()
		}
		for _, f := range encoded(t) {
			if of := structOf(f.Type); of != nil {
				p.uses[of]++
			}
		}
	}
	for _, t := range all {
		p.inlined[t] = p.uses[t] > 0 && p.slight(t)
	}
}

// slight tells of a struct that it has few plain keys, fewer where it is used more than once, and that nothing is said of
// them.
func (p *jsonPage) slight(t reflect.Type) bool {
	fields := encoded(t)
	return len(fields) <= 3+2/p.uses[t] && !slices.ContainsFunc(fields, func(f field) bool {
		return p.note(f).about != "" || structOf(f.Type) != nil
	})
}

// structOf is the struct that a value is, or that a list has; nil for none.
func structOf(t reflect.Type) reflect.Type {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice:
		return structOf(t.Elem())
	case reflect.Struct:
		return t
	}
	return nil
}

// below adds the struct of a value, and all that it is made of, to those that are found.
func below(t reflect.Type, found []reflect.Type) []reflect.Type {
	if t = structOf(t); t != nil && !slices.Contains(found, t) {
		found = append(found, t)
		for _, f := range encoded(t) {
			found = below(f.Type, found)
		}
	}
	return found
}

// field is one that is encoded, with the struct that it is written in.
type field struct {
	reflect.StructField
	key      string
	optional bool
	in       reflect.Type
}

// encoded are the fields of a struct that JSON has, in order, those of an embedded struct among them.
func encoded(t reflect.Type) (list []field) {
	for f := range t.Fields() {
		key, rest, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case key == "-" || !f.IsExported():
		case f.Anonymous && key == "":
			embedded := f.Type
			if embedded.Kind() == reflect.Pointer {
				embedded = embedded.Elem()
			}
			list = append(list, encoded(embedded)...)
		default:
			list = append(list, field{f, key, strings.Contains(rest, "omit"), t})
		}
	}
	return list
}

// answer writes what a command gives, then each struct that it is made of and that does not stand above.
func (p *jsonPage) answer(command string, t reflect.Type) {
	root, head := structOf(t), command+" --json: "
	if t.Kind() == reflect.Slice {
		head += "a list of these: "
	}
	p.WriteString("\n")
	if p.printed[root] {
		p.WriteString(head + "{" + p.names[root] + "}\n")
	}
	for _, of := range below(t, nil) {
		if !p.printed[of] && !p.inlined[of] {
			if p.printed[of] = true; of != root {
				head = ""
			}
			if of != root || p.uses[of] > 0 || p.answers[of] > 1 { // another command is said by its name
				head += p.names[of] + ": "
			}
			p.object(head, of)
		}
	}
}

// kind is the type of a value, as the page says it.
func (p *jsonPage) kind(t reflect.Type, optional bool) string {
	switch t.Kind() {
	case reflect.Pointer:
		kind := p.kind(t.Elem(), optional)
		if !optional {
			kind += " or null"
		}
		return kind
	case reflect.Slice:
		return "[" + p.bare(t.Elem()) + "]"
	case reflect.Struct:
		return "{" + p.bare(t) + "}"
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true/false"
	case reflect.Int, reflect.Int64, reflect.Uint64:
		return "integer"
	case reflect.Float64:
		return "number"
	}
	panic("mistake: the page has no word for " + t.String())
}

// bare is the type of what stands in a list or as an object: a struct by its name, or by its keys when they are few.
func (p *jsonPage) bare(t reflect.Type) string {
	of := structOf(t)
	switch {
	case of == nil:
		return p.kind(t, true)
	case !p.inlined[of]:
		return p.names[of]
	}
	var entries []entry
	for _, f := range encoded(of) {
		entries = p.add(entries, f)
	}
	if t.Kind() == reflect.Struct {
		return entries[0].keys()
	}
	return "{" + entries[0].keys() + "}"
}

// entry is some keys and what is said of them. Keys of which nothing is said stand together, whatever their kinds.
type entry struct {
	parts []part
	about string
	above bool // it is said above the first of them, and of all that follow without a comment
}

// part is some keys of one kind.
type part struct {
	keys []string
	kind string
}

func (e entry) keys() string {
	var parts []string
	for _, some := range e.parts {
		parts = append(parts, strings.Join(some.keys, ", ")+": "+some.kind)
	}
	return strings.Join(parts, "; ")
}

// add puts a field behind the entries before it, or into the last of them.
func (p *jsonPage) add(entries []entry, f field) []entry {
	note := p.note(f)
	key := f.key
	if f.optional {
		key += "?"
	}
	fresh := append(entries, entry{[]part{{[]string{key}, note.kind}}, note.about, note.above})
	if note.about != "" || len(entries) == 0 {
		return fresh
	}
	last := &entries[len(entries)-1]
	end := &last.parts[len(last.parts)-1]
	switch {
	case last.about != "" && !(last.above && note.follows && end.kind == note.kind):
		return fresh
	case end.kind == note.kind:
		end.keys = append(end.keys, key)
	default:
		last.parts = append(last.parts, part{[]string{key}, note.kind})
	}
	return entries
}

// object writes one struct: what it is, behind its head, and its keys.
func (p *jsonPage) object(head string, t reflect.Type) {
	const margin, column = 4, 30
	p.WriteString(wrapped(head+p.aboutType(t), margin/2))
	var entries []entry
	for _, f := range encoded(t) {
		entries = p.add(entries, f)
	}
	for _, e := range entries {
		text := strings.Repeat(" ", margin) + e.keys()
		if e.about == "" {
			p.WriteString(wrapped(text, margin+2))
		} else {
			p.WriteString(wrapped(fmt.Sprintf("%-*s  %s", column-2, text, e.about), column))
		}
	}
}

// wrapped breaks paragraphs into lines, those after the first of each indented.
func wrapped(text string, indent int) string {
	var b strings.Builder
	for paragraph := range strings.SplitSeq(text, "\n\n") {
		if b.Len() > 0 {
			paragraph = strings.Repeat(" ", indent) + paragraph
		}
		for utf8.RuneCountInString(paragraph) > jsonWidth {
			runes := []rune(paragraph)
			cut := jsonWidth
			for cut > indent && runes[cut] != ' ' {
				cut--
			}
			b.WriteString(strings.TrimRight(string(runes[:cut]), " ") + "\n")
			paragraph = strings.Repeat(" ", indent) + strings.TrimLeft(string(runes[cut:]), " ")
		}
		b.WriteString(strings.TrimRight(paragraph, " ") + "\n")
	}
	return b.String()
}
