package guide

import (
	"flag"
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
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

var update = flag.Bool("update", false, "write the glossary in testdata anew")

var verb = regexp.MustCompile(`%(\[\d\])?(\.1f|s)`)

// Every sentence stands in every language, takes the same arguments in each, and in Chinese is written in Chinese.
func TestWordsAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range words {
		assert.False(t, seen[w[0]], "%q stands twice", w[0])
		seen[w[0]] = true
		want := verb.FindAllString(w[0], -1)
		slices.Sort(want)
		for n, l := range tongue.Languages {
			require.NotEmpty(t, w[n], "%q in %s", w[0], l)
			got := verb.FindAllString(w[n], -1)
			slices.Sort(got)
			assert.Equal(t, want, got, "%q in %s", w[0], l)
		}
		letters := verb.ReplaceAllString(w[0], "")
		if !strings.ContainsFunc(letters, unicode.IsLetter) {
			continue
		}
		assert.True(t, strings.ContainsFunc(w[2], func(r rune) bool { return unicode.Is(unicode.Han, r) }), "%q in Chinese: %q", w[0], w[2])
		if !slices.Contains(alike, w[0]) {
			assert.NotEqual(t, w[0], w[1], "not translated into Spanish")
		}
	}
}

// alike are words that Spanish shares with English.
var alike = []string{"%[1]s h", "%[1]s min", "brunch", "gluten", "macadamia", "total"}

// said are the texts that the package's own code hands to say and plain.
func said(t *testing.T) (keys []string) {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			if sel, ok := call.Fun.(*ast.SelectorExpr); ok && (sel.Sel.Name == "say" || sel.Sel.Name == "plain") {
				if text, ok := literal(call.Args[0]); ok {
					keys = append(keys, text)
				}
			}
			return true
		})
	}
	return keys
}

// literal joins the parts of a text that is written over several lines.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil
	case *ast.BinaryExpr:
		a, okA := literal(e.X)
		b, okB := literal(e.Y)
		return a + b, okA && okB
	}
	return "", false
}

// Nothing that the guide says lacks a translation: its own sentences, the cautions of the timetable, the words of the map, weekdays,
// and the codes of the published allergen lists.
func TestEverythingSaidIsTranslated(t *testing.T) {
	keys := append(said(t), usualCautions...)
	require.Greater(t, len(keys), 100)
	for _, name := range append(slices.Clone(weektest.Examples), "dairy") {
		w := dairyWeek(t)
		if name != "dairy" {
			w = exampleWeek(t, name)
		}
		keys = append(keys, guideOf(t, w, tongue.Languages[0]).Cautions...)
	}
	for _, l := range kitchen.AllergenLists {
		for _, c := range l.Codes {
			keys = append(append(keys, c.Name), c.Kinds...)
		}
	}
	for _, k := range keys {
		assert.True(t, known[k], "no translation of %q", k)
	}
}

// The words of the drawing that a map without shocks can show.
func TestMapWordsAreTranslated(t *testing.T) {
	src, err := os.ReadFile("../../graph/draw/legend.go")
	require.NoError(t, err)
	for _, word := range []string{"Boxes", "Lines", "bought", "made", "step", "dish", "special", "from yesterday", "substitute", "optional"} {
		assert.Contains(t, string(src), `"`+word+`"`, "the legend says so")
		assert.True(t, known[word], word)
	}
}

// No heading of a page in another language is English: what is not a name, or marked as one of the file's, is in the table.
func TestNoEnglishHeading(t *testing.T) {
	heading := regexp.MustCompile(`(?s)<(h[1-4]|dt|strong|li><a[^>]*)>(.*?)</(h[1-4]|dt|strong|a)>`)
	foreign := regexp.MustCompile(`<span lang="[^"]*">[^<]*</span>`)
	for name, in := range map[string]int{"three-kettles": 1, "evergreen-braise": 2, "fish-house": 1, "first-pot": 2} {
		w := exampleWeek(t, name)
		g := guideOf(t, w, tongue.Languages[in])
		page, err := g.Page(t.Context(), nil)
		require.NoError(t, err)
		told, _ := w.InLanguage(tongue.Languages[in])
		found := heading.FindAllStringSubmatch(string(page), -1)
		require.Greater(t, len(found), 30)
		english := map[string]bool{}
		for _, words := range words {
			if words[in] != words[0] {
				english[words[0]] = true
			}
		}
		for _, it := range told.Graph.Items {
			delete(english, it.Name)
		}
		for _, h := range found {
			text := strings.TrimSpace(foreign.ReplaceAllString(h[2], ""))
			assert.False(t, english[text], "%s: heading %q is English", name, text)
			for _, sentence := range []string{"Guide for", "Question ", "The ", "Where "} {
				assert.False(t, strings.HasPrefix(text, sentence), "%s: heading %q is English", name, text)
			}
			if tongue.Languages[in] == tongue.Languages[2] {
				bare := regexp.MustCompile(`\d|kg|g|mL|L|lb|oz|gal|qt|[¼½¾]|[\s:：.,\x{a0}（）()]`).ReplaceAllString(text, "")
				assert.False(t, bare != "" && !strings.ContainsFunc(bare, func(r rune) bool { return unicode.Is(unicode.Han, r) }), "%s: %q", name, text)
			}
		}
	}
}

// All sentences side by side, for a cook who speaks the language to review: go test ./menu/guide -run Glossary -update.
func TestGlossary(t *testing.T) {
	var b strings.Builder
	b.WriteString("| English | Español | 中文 |\n|---|---|---|\n")
	told := map[[3]string]bool{}
	for _, w := range slices.Concat(words, tongue.Board) {
		if told[w] {
			continue
		}
		told[w] = true
		b.WriteString("| " + strings.Join(w[:], " | ") + " |\n")
	}
	file := filepath.Join("testdata", "glossary.md")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(b.String()), 0o644))
	}
	kept, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, b.String(), string(kept), "run the test with -update")
}
