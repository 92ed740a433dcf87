package board

// What the board says stands in the table of package tongue, in every language.

import (
	"flag"
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
	"text/template/parse"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/tongue"
)

var update = flag.Bool("update", false, "take what is translated by now off the list in testdata")

// templates are the pages' templates, by name.
func templates(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, fs.WalkDir(htmlFiles, "html", func(name string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			src, err := htmlFiles.ReadFile(name)
			require.NoError(t, err)
			all[filepath.Base(name)] = string(src)
		}
		return err
	}))
	require.Greater(t, len(all), 15)
	return all
}

// inTemplate are the sentences that a template names, behind t, many, $.T and $.Many, and as labels of fields.
func inTemplate(t *testing.T, name, src string) (keys []string) {
	t.Helper()
	tree := parse.New(name)
	tree.Mode = parse.SkipFuncCheck
	trees := map[string]*parse.Tree{}
	_, err := tree.Parse(src, "", "", trees)
	require.NoError(t, err)
	var walk func(n parse.Node)
	walk = func(n parse.Node) {
		switch n := n.(type) {
		case *parse.ListNode:
			if n != nil {
				for _, c := range n.Nodes {
					walk(c)
				}
			}
		case *parse.ActionNode:
			walk(n.Pipe)
		case *parse.IfNode:
			walk(n.Pipe)
			walk(n.List)
			walk(n.ElseList)
		case *parse.RangeNode:
			walk(n.Pipe)
			walk(n.List)
			walk(n.ElseList)
		case *parse.WithNode:
			walk(n.Pipe)
			walk(n.List)
			walk(n.ElseList)
		case *parse.TemplateNode:
			walk(n.Pipe)
		case *parse.PipeNode:
			if n != nil {
				for _, c := range n.Cmds {
					walk(c)
				}
			}
		case *parse.CommandNode:
			takes := 0 // how many of the arguments are sentences, from the first or, with many, the second
			switch f := n.Args[0].(type) {
			case *parse.IdentifierNode:
				takes = map[string]int{"t": 1, "many": 2}[f.Ident]
			case *parse.VariableNode:
				takes = map[string]int{"T": 1, "Many": 2}[f.Ident[len(f.Ident)-1]]
			case *parse.FieldNode:
				takes = map[string]int{"T": 1, "Many": 2}[f.Ident[len(f.Ident)-1]]
			}
			if f, ok := n.Args[0].(*parse.VariableNode); ok && f.Ident[len(f.Ident)-1] == "Field" {
				keys = append(keys, labels(n.Args[2:])...)
			}
			for i, a := range n.Args {
				walk(a)
				if s, ok := a.(*parse.StringNode); ok && (takes == 1 && i == 1 || takes == 2 && (i == 2 || i == 3)) {
					keys = append(keys, s.Text)
				}
			}
		}
	}
	for _, tr := range trees {
		walk(tr.Root)
	}
	return keys
}

// labels are those that a field is given, and what it shows in grey: they are looked up as finished sentences are.
func labels(args []parse.Node) (keys []string) {
	for i, a := range args {
		before, _ := args[max(i-1, 0)].(*parse.StringNode)
		switch a := a.(type) {
		case *parse.StringNode:
			if strings.ContainsFunc(a.Text, unicode.IsLetter) && (i == 0 || before != nil && before.Text == "shown") {
				keys = append(keys, a.Text)
			}
		case *parse.PipeNode:
			if i == 0 && a.Cmds[0].Args[0].String() == "or" {
				for _, text := range regexp.MustCompile(`"([A-Z][^"]*)"`).FindAllStringSubmatch(a.String(), -1) {
					keys = append(keys, text[1])
				}
			}
			if cmd := a.Cmds[0]; i == 0 && cmd.Args[0].String() == "printf" {
				if text, ok := cmd.Args[1].(*parse.StringNode); ok && text.Text != "%s, %s" {
					keys = append(keys, strings.Replace(text.Text, "%s", "%[1]s", 1))
				}
			}
		}
	}
	return keys
}

// inCode are the sentences that the board's own code names: in a.T and a.Many, as names of pages and under More, and in scripts.
func inCode(t *testing.T) (keys []string) {
	t.Helper()
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
			if !ok {
				return true
			}
			sel, ok := call.Fun.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			for _, i := range map[string][]int{"T": {0}, "Many": {1, 2}}[sel.Sel.Name] {
				if i >= len(call.Args) {
					continue
				}
				if lit, ok := call.Args[i].(*ast.BasicLit); ok && lit.Kind == token.STRING {
					text, err := strconv.Unquote(lit.Value)
					require.NoError(t, err)
					keys = append(keys, text)
				}
			}
			return true
		})
	}
	for _, p := range pages {
		keys = append(keys, p.Name)
	}
	for _, a := range askers {
		keys = append(keys, a.Who)
		for _, d := range a.Doors {
			keys = append(keys, d.Tells)
		}
	}
	return slices.Concat(keys, scriptSentences, workerSentences)
}

// What templates, handlers and scripts name is in the table.
func TestBoardSpeaks(t *testing.T) {
	named := inCode(t)
	for _, key := range named {
		assert.True(t, tongue.Known(key), "no translation of %q: add it to menu/tongue/board_*.go", key)
	}
	for name, src := range templates(t) {
		for _, key := range inTemplate(t, name, src) {
			assert.True(t, tongue.Known(key), "%s: no translation of %q: add it to menu/tongue/board_*.go", name, key)
			named = append(named, key)
		}
	}
	require.Greater(t, len(named), 80)

	scripts, err := filepath.Glob("static/*.js")
	require.NoError(t, err)
	call := regexp.MustCompile(`\bt\("([^"]*)"`)
	for _, name := range scripts {
		src, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, m := range call.FindAllStringSubmatch(string(src), -1) {
			if filepath.Base(name) == "worker.js" {
				assert.Contains(t, workerSentences, m[1], "the worker says what it does not carry")
			} else if !strings.HasSuffix(name, ".min.js") {
				assert.Contains(t, scriptSentences, m[1], "%s says what pages do not carry", name)
			}
		}
	}
}

var (
	action  = regexp.MustCompile(`(?s)\{\{.*?\}\}`)
	markup  = regexp.MustCompile(`(?s)<[^>]*>`)
	saying  = regexp.MustCompile(`(?:aria-label|placeholder|title|alt)="([^"]*)"`)
	comment = regexp.MustCompile(`(?s)\{\{-?\s*/\*.*?\*/\s*-?\}\}`)
)

// stillEnglish are the texts that stand in a template as they are.
func stillEnglish(src string) (texts []string) {
	bare := action.ReplaceAllString(comment.ReplaceAllString(src, ""), "\x00")
	take := func(text string) {
		text = strings.Join(strings.Fields(strings.ReplaceAll(text, "\x00", " … ")), " ")
		if strings.ContainsFunc(strings.NewReplacer("…", "", "kettletree", "", "°C", "", "°F", "").Replace(text), unicode.IsLetter) {
			texts = append(texts, text)
		}
	}
	for _, m := range saying.FindAllStringSubmatch(bare, -1) {
		take(m[1])
	}
	for _, text := range markup.Split(bare, -1) {
		take(text)
	}
	return texts
}

// What is not translated yet is listed in testdata/untranslated.txt, and that list only shrinks: new text is said by t.
func TestUntranslatedOnlyShrinks(t *testing.T) {
	var now []string
	for name, src := range templates(t) {
		for _, text := range stillEnglish(src) {
			now = append(now, name+": "+text)
		}
	}
	slices.Sort(now)
	now = slices.Compact(now)
	file := filepath.Join("testdata", "untranslated.txt")
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	listed := strings.Split(strings.TrimSpace(string(src)), "\n")
	for _, text := range now {
		assert.Contains(t, listed, text, "say it by {{t \"...\"}}, with its Spanish and Chinese in menu/tongue/board_*.go")
	}
	if *update && !t.Failed() {
		require.NoError(t, os.WriteFile(file, []byte(strings.Join(now, "\n")+"\n"), 0o644))
		listed = now
	}
	for _, text := range listed {
		assert.True(t, text == "" || slices.Contains(now, text), "%q is translated by now: run the test with -update", text)
	}
}
