package main

// README's pictures, and the questions of the examples.

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReadme asks README's questions in a copy of the kitchen that it names, and holds what it shows of the answers.
func TestReadme(t *testing.T) {
	oneAfterAnother(t)
	page, err := filepath.Abs("../../README.md")
	require.NoError(t, err)
	readme, err := os.ReadFile(page)
	require.NoError(t, err)
	assert.LessOrEqual(t, len(readme), 8000, "bytes")
	t.Chdir(filepath.Join(copyOfExamples(t), "three-kettles"))
	asked := 0
	now := follow(t, string(readme), writtenAt, func(string) { asked++ })
	assert.Equal(t, 6, asked)
	if *update {
		require.NoError(t, os.WriteFile(page, []byte(now), 0o644))
	}
}

// TestReadmeCommands runs the commands that README gives to run in the clone, and holds the picture that it shows against the one
// that they draw. At the width that a page has for it, its print can be read.
func TestReadmeCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	shown, err := filepath.Abs("../../examples/three-kettles/lost-kettle.svg")
	require.NoError(t, err)
	t.Chdir(filepath.Join(copyOfExamples(t), ".."))
	commands := regexp.MustCompile(`(?m)^    go run \./cmd/kettletree (.*)$`).FindAllStringSubmatch(string(readme), -1)
	require.Len(t, commands, 2)
	for _, command := range commands {
		got := runIn(t, nil, words(t, command[1])...)
		assert.Zero(t, got.code, got.stderr)
		assert.True(t, strings.HasPrefix(command[1], "map ") || strings.Contains(got.stdout, "because Tuesday's night"), got.stdout)
	}
	drawn, err := os.ReadFile("lost-kettle.svg")
	require.NoError(t, err)
	if *update {
		require.NoError(t, os.WriteFile(shown, drawn, 0o644))
	}
	old, err := os.ReadFile(shown)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(old, drawn), "README's picture is not what its command draws: go test ./cmd/kettletree -run Readme -update")

	const column, readable = 860, 11.0 // pixels
	number := func(pattern, text string) float64 {
		n, err := strconv.ParseFloat(regexp.MustCompile(pattern).FindStringSubmatch(text)[1], 64)
		require.NoError(t, err)
		return n
	}
	flow, wide := string(drawn), number(`viewBox="0 0 ([\d.]+) `, string(drawn))
	least := number(`scale\(([\d.]+)\)`, flow)
	require.GreaterOrEqual(t, least, 1.0, "the flow is not drawn smaller than title and legend")
	for _, size := range regexp.MustCompile(`font-size="([\d.]+)"`).FindAllString(flow, -1) {
		assert.GreaterOrEqual(t, number(`"([\d.]+)"`, size)*column/wide, readable, size)
	}
}

// TestReadmeLinks wants every file that README and DEVELOPERS.md lead to to be there, and both to be short.
func TestReadmeLinks(t *testing.T) {
	for _, page := range []string{"README.md", "DEVELOPERS.md"} {
		text, err := os.ReadFile(filepath.Join("..", "..", page))
		require.NoError(t, err)
		assert.LessOrEqual(t, len(text), 12000, "bytes of %s", page)
		for _, link := range regexp.MustCompile(`\]\(([^):]+)\)`).FindAllStringSubmatch(string(text), -1) {
			assert.FileExists(t, filepath.Join("..", "..", link[1]), page)
		}
		for _, topic := range topicNames() {
			assert.True(t, page != "README.md" || strings.Contains(string(text), "(cmd/kettletree/help/"+topic+".md)"), topic)
		}
	}
}

// curved names the picture that a question draws of what each sum brings at the counter.
var curved = regexp.MustCompile(`--curve (\S+)`)

// TestExampleQuestions runs the questions that each example's README gives to try, in its folder. A curve that is drawn is the one that the
// example carries.
func TestExampleQuestions(t *testing.T) {
	oneAfterAnother(t)
	readmes, err := filepath.Glob(filepath.Join(copyOfExamples(t), "*", "README.md"))
	require.NoError(t, err)
	require.Len(t, readmes, 4)
	carried, err := filepath.Abs(filepath.Join("..", "..", "examples"))
	require.NoError(t, err)
	curves := 0
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
				if to := curved.FindStringSubmatch(q[1]); to != nil {
					require.NoError(t, os.RemoveAll(to[1])) // the copy of the one that is carried
				}
				assert.Equal(t, 0, run(t.Context(), args, strings.NewReader(""), &out, &errs), "%s: %s", q[1], errs.String())
				if !strings.Contains(q[1], "--from 2026-12-") { // days that differ are told there
					assert.Empty(t, errs.String(), q[1])
				}
				assert.NotEmpty(t, out.String(), q[1])
				if to := curved.FindStringSubmatch(q[1]); to != nil {
					curves++
					drawn, err := os.ReadFile(to[1])
					require.NoError(t, err)
					golden := filepath.Join(carried, filepath.Base(filepath.Dir(name)), to[1])
					if *update {
						require.NoError(t, os.WriteFile(golden, drawn, 0o666))
					}
					want, err := os.ReadFile(golden)
					require.NoError(t, err)
					assert.Equal(t, string(want), string(drawn), q[1])
				}
			}
		})
	}
	assert.Positive(t, curves, "README shows one")
}
