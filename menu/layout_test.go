package menu_test

// The drawing of the packages in DEVELOPERS.md, held against what they import.

import (
	"errors"
	"go/build"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestArrows wants DEVELOPERS.md to draw every package with all that it imports of this project, and every arrow to
// point down: to a package that stands below. Nothing in graph knows of menu, and nothing in menu of cmd.
func TestArrows(t *testing.T) {
	page, err := os.ReadFile("../DEVELOPERS.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)<!-- arrows -->\\s*```\\w*\n(.*?)```\\s*<!-- /arrows -->").FindSubmatch(page)
	require.NotNil(t, block, "DEVELOPERS.md has no fenced block between <!-- arrows --> and <!-- /arrows -->")
	lines := strings.Split(strings.TrimSpace(string(block[1])), "\n")
	drawn := make([]string, len(lines)) // the packages, from the top
	for i, line := range lines {
		drawn[i], _, _ = strings.Cut(line, " -> ")
	}

	for name, imports := range packages(t) {
		want := name
		if len(imports) > 0 {
			want += " -> " + strings.Join(imports, ", ")
		}
		at := slices.Index(drawn, name)
		if at < 0 {
			assert.Fail(t, "a package is not drawn in DEVELOPERS.md", "write above all that it imports:\n%s", want)
			continue
		}
		assert.Equal(t, want, lines[at], "DEVELOPERS.md draws other arrows than there are: take an import back, or write the first of these lines")
		for _, to := range imports {
			below := slices.Index(drawn, to) // one that is not drawn is said above
			assert.True(t, below < 0 || below > at, "%s imports %s, which stands above it: nothing points up", name, to)
			assert.GreaterOrEqual(t, floor(to), floor(name), "%s imports %s: only cmd -> menu -> graph", name, to)
		}
		lines[at] = "" // seen
	}
	assert.Empty(t, strings.TrimSpace(strings.Join(lines, "\n")), "DEVELOPERS.md draws packages that are not there: delete these lines")
}

// packages are those of the project in the order of their names, each with what it imports of the project. Tests do not
// count.
func packages(t *testing.T) iter.Seq2[string, []string] {
	return func(yield func(string, []string) bool) {
		require.NoError(t, filepath.WalkDir("..", func(dir string, e fs.DirEntry, err error) error {
			switch {
			case err != nil || !e.IsDir():
				return err
			case e.Name() == "testdata" || len(e.Name()) > 2 && e.Name()[0] == '.':
				return fs.SkipDir
			}
			found, err := build.ImportDir(dir, 0)
			if _, none := errors.AsType[*build.NoGoError](err); none {
				return nil
			} else if err != nil {
				return err
			}
			var imports []string
			for _, path := range found.Imports {
				if path, own := strings.CutPrefix(path, "kettletree/"); own {
					imports = append(imports, path)
				}
			}
			if name := filepath.ToSlash(strings.TrimPrefix(dir, ".."+string(filepath.Separator))); !yield(name, imports) {
				return fs.SkipAll
			}
			return nil
		}))
	}
}

// floor counts the floors of the house from the top.
func floor(name string) int {
	top, _, _ := strings.Cut(name, "/")
	return slices.Index([]string{"cmd", "menu", "graph", "examples"}, top)
}
