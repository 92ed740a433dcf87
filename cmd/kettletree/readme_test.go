package main

// README's pictures, and the questions of the examples.

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
	readmes, err := filepath.Glob(filepath.Join(copyOfExamples(t), "*", "README.md"))
	require.NoError(t, err)
	require.Len(t, readmes, 4)
	for _, name := range readmes {
		readme, err := os.ReadFile(name)
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
