package guide

// Every sentence about safety that the program can say, with the section that it rests on.

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// ofSafety finds a sentence that speaks of safety: it cites a section, or has one of the words of the codes.
var ofSafety = regexp.MustCompile(`(?i)\d-\d{3}\.\d|food code|date mark|cook(s|ed)? (it )?through|cook (poultry|fish|what is)|undercooked|pasteuri|` +
	`local (code|rules|authority)|licensed|serve it|he?ld (hot|cold)|hold (hot|cold|it at)|reheat|allergen|may contain|\braw\b|` +
	`cool (it|cooked|what|more|as)|cooling (broke|begins)|cooled|to cool|hotter|colder|\bday 1\b|use by|thawed|no day is left|past its|past their|` +
	`poultry|botulism|local authority|tenderised|whole cuts|roasts|(read|where) the package|parasite|histamine|in oil or fat|days? do(es)? not count|the letter is kept|scald|steam burns|catches fire|boiling pot|lifts a|fire alone|burns? eyes|"hot"`)

// literally is the text of a string, or of several that are added up; of what is added that is no text, nothing.
func literally(e ast.Expr) (text string, ok bool) {
	switch x := e.(type) {
	case *ast.BasicLit:
		if x.Kind == token.STRING {
			s, err := strconv.Unquote(x.Value)
			return s, err == nil
		}
	case *ast.BinaryExpr:
		if x.Op == token.ADD {
			a, isA := literally(x.X)
			b, isB := literally(x.Y)
			return a + b, isA || isB
		}
	}
	return "", false
}

// saidOfSafety are the sentences of the tables of languages, and the texts of the source, that speak of safety.
func saidOfSafety(t *testing.T) (all []string) {
	add := func(s string) {
		if len(strings.Fields(s)) > 2 && ofSafety.MatchString(s) { // less is a name, a key or a heading
			all = append(all, s)
		}
	}
	for _, w := range slices.Concat(own, tongue.Shared, tongue.Board) {
		add(w[0])
	}
	for _, c := range kitchen.Codes {
		for _, r := range c.Others {
			all = append(all, r.Says)
		}
	}
	for _, root := range []string{"../../menu", "../../cmd"} {
		require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") || strings.HasPrefix(path, "../../menu/tongue") ||
				strings.HasPrefix(path, "../../cmd/harness") {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if tag, is := n.(*ast.Field); is && tag.Tag != nil {
					return false
				}
				e, is := n.(ast.Expr)
				if !is {
					return true
				}
				text, is := literally(e)
				if is {
					add(text)
				}
				return !is
			})
			return nil
		}))
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// A sentence without a row is one whose section nobody looked up: read the section, then add the row. A row without a sentence is out
// of date. The sections of the FDA Food Code 2022 are from memory where menu/kitchen/code_test.go does not name a text that was read.
func TestSafetySentencesRestOnSections(t *testing.T) {
	said := saidOfSafety(t)
	for _, s := range said {
		assert.NotEmpty(t, restsOn[s], "which section does this rest on? %q", s)
	}
	for _, c := range kitchen.Codes {
		for _, r := range c.Others {
			assert.Contains(t, restsOn[r.Says], r.Section, "%s: %s", c.Name, r.Says)
		}
	}
	for s := range restsOn {
		assert.Contains(t, said, s, "nothing says this any more")
	}
}

// cited finds a section of the FDA Food Code.
var cited = regexp.MustCompile(`\b[1-8]-\d{3}\.\d{2}`)

// Help and examples cite no section whose subject was not looked up.
func TestSectionsCitedInTexts(t *testing.T) {
	seen := map[string]bool{}
	for _, pattern := range []string{"../../*.md", "../../cmd/kettletree/help/*.md", "../../cmd/kettletree/help/log/*", "../../examples/*/*.md", "../../examples/*/*.yaml"} {
		paths, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, path := range paths {
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			for _, section := range cited.FindAllString(string(text), -1) {
				assert.Contains(t, subjects, section, path)
				seen[section] = true
			}
		}
	}
	for _, rests := range restsOn {
		for _, section := range cited.FindAllString(rests, -1) {
			assert.Contains(t, subjects, section, rests)
			seen[section] = true
		}
	}
	for section := range subjects {
		assert.True(t, seen[section], "nothing cites %s any more", section)
	}
}
