package main

// README's tour, run as it is written.

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// block is a fenced block of README with its language.
var block = regexp.MustCompile("(?ms)^```(\\w+)\n(.*?)^```$")

// TestReadmeTour makes the kitchen file of the tour, runs its commands in its folder, and holds their output, of which
// README may leave out parts with a line of three dots. After the first command, which shows a fault, it mends the file as
// README says.
func TestReadmeTour(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	t.Setenv(clockName, "2026-11-24 15:00") // a Tuesday after lunch
	commands := 0
	for _, m := range block.FindAllStringSubmatch(string(readme), -1) {
		file := map[string]string{"yaml": "kitchen.yaml", "csv": "shelf.csv"}[m[1]]
		if strings.HasPrefix(m[2], "item,time,") {
			file = "cooling.csv"
		}
		if file != "" {
			require.NoError(t, os.WriteFile(file, []byte(m[2]), 0o644))
			continue
		}
		line, want, _ := strings.Cut(m[2], "\n")
		require.True(t, strings.HasPrefix(line, "$ kettletree "), line)
		var out bytes.Buffer
		run(t.Context(), append([]string{"kettletree"}, words(t, strings.TrimPrefix(line, "$ kettletree "))...), strings.NewReader(""), &out, &out)
		assertShows(t, want, out.String())
		if commands++; commands == 1 {
			src, err := os.ReadFile("kitchen.yaml")
			require.NoError(t, err)
			mended := strings.Replace(string(src), "chicken stok", "chicken stock", 1)
			require.NoError(t, os.WriteFile("kitchen.yaml", []byte(mended), 0o644))
		}
	}
	assert.GreaterOrEqual(t, commands, 6)
	assert.FileExists(t, "stock.svg")
}

// words splits a command line as a shell does, as far as README needs it.
func words(t *testing.T, line string) (list []string) {
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		list = append(list, m[1]+m[2])
	}
	return list
}

// assertShows holds output against what README shows of it.
func assertShows(t *testing.T, want, got string) {
	t.Helper()
	pattern := regexp.QuoteMeta(want)
	pattern = regexp.MustCompile(`(?m)^\\\.\\\.\\\.\n`).ReplaceAllString(pattern, "(?s:.*)")
	assert.Regexp(t, "^"+pattern+"$", got)
}

// TestReadmeFirstCommand runs README's first command from the top of the tree, and holds the picture that README shows
// against the one that it draws.
func TestReadmeFirstCommand(t *testing.T) {
	t.Chdir("../..")
	readme, err := os.ReadFile("README.md")
	require.NoError(t, err)
	first := regexp.MustCompile(`(?m)^    go run \./cmd/kettletree (.*)$`).FindStringSubmatch(string(readme))
	require.NotNil(t, first)
	picture := filepath.Join(t.TempDir(), "lost-kettle.svg")
	var out, errs bytes.Buffer
	args := words(t, strings.Replace(first[1], "lost-kettle.svg", picture, 1))
	assert.Equal(t, 0, int(run(t.Context(), append([]string{"kettletree"}, args...), strings.NewReader(""), &out, &errs)), errs.String())
	assert.Contains(t, out.String(), "out of pozole broth, because kettle stock ran out, because Tuesday's night")
	drawn, err := os.ReadFile(picture)
	require.NoError(t, err)
	shown := "examples/three-kettles/lost-kettle.svg"
	if *update {
		require.NoError(t, os.WriteFile(shown, drawn, 0o644))
	}
	old, err := os.ReadFile(shown)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(old, drawn), "README's picture is not what the command draws: go test ./cmd/kettletree -update")
}

// TestExampleQuestions runs the questions that each example's README gives to try, in its folder.
func TestExampleQuestions(t *testing.T) {
	readmes, err := filepath.Glob("../../examples/*/README.md")
	require.NoError(t, err)
	require.Len(t, readmes, 4)
	for _, name := range readmes {
		readme, err := os.ReadFile(name)
		require.NoError(t, err)
		name, err = filepath.Abs(name)
		require.NoError(t, err)
		joined := strings.ReplaceAll(string(readme), "\\\n", " ")
		questions := regexp.MustCompile(`(?m)^    kettletree (.*)$`).FindAllStringSubmatch(joined, -1)
		t.Run(filepath.Base(filepath.Dir(name)), func(t *testing.T) {
			assert.GreaterOrEqual(t, len(questions), 3)
			t.Chdir(filepath.Dir(name))
			for _, q := range questions {
				var out, errs bytes.Buffer
				args := append([]string{"kettletree"}, words(t, q[1])...)
				assert.Equal(t, 0, run(t.Context(), args, strings.NewReader(""), &out, &errs), "%s: %s", q[1], errs.String())
				assert.Empty(t, errs.String(), q[1])
				assert.NotEmpty(t, out.String(), q[1])
			}
		})
	}
}
