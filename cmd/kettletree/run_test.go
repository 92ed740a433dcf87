package main

// The program in this process: JSON against goldens, the examples of the help texts, and how it ends when it must.

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

// ran is how the program ended.
type ran struct {
	code           int
	stdout, stderr string
}

func runIn(t testing.TB, stdin io.Reader, args ...string) ran {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code := run(t.Context(), append([]string{"kettletree"}, args...), stdin, &stdout, &stderr)
	return ran{code, stdout.String(), stderr.String()}
}

// copyOfExamples is a folder with the examples as they are kept: a log book that somebody who tries them made beside one stays out.
func copyOfExamples(t testing.TB) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "examples")
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join("..", "..", "examples"))))
	books, err := filepath.Glob(filepath.Join(folder, "*", "*.logbook*"))
	require.NoError(t, err)
	for _, book := range books {
		require.NoError(t, os.Remove(book))
	}
	return folder
}

// TestJSON compares answers with testdata/json. Numbers may differ by a billionth: not every processor rounds alike.
func TestJSON(t *testing.T) {
	oneAfterAnother(t)
	goldens, err := filepath.Abs(filepath.Join("testdata", "json"))
	require.NoError(t, err)
	here := filepath.Join(copyOfExamples(t), "..", "cmd", "kettletree") // answers name the kitchen file as it was named
	require.NoError(t, os.MkdirAll(here, 0o777))
	t.Chdir(here)
	pot := []string{"../../examples/first-pot", "--from", "2026-11-23", "--json"}
	kettles := []string{"../../examples/three-kettles", "--on-hand", "../../examples/three-kettles/on-hand.csv",
		"--from", "2026-11-23", "--days", "3", "--json"}
	fish := []string{"../../examples/fish-house", "--on-hand", "../../examples/fish-house/on-hand.csv", "--from", "2026-11-23", "--days", "2", "--json"}
	cases := []struct {
		name    string
		command []string
		frame   []string
	}{
		{"whatif", []string{"whatif", "--lose", "poach chickens@thu=40%", "--sells", "chicken soup@fri=+20%"}, pot},
		{"whatif-kettles", []string{"whatif", "--lose", "night kettle@tue"}, kettles},
		{"whatif-rescue", []string{"whatif", "--lose", "fillet cod@tue", "--rescue"}, fish},
		{"cost", []string{"cost"}, pot},
		{"kilos", []string{"cost", "--kilos"}, pot},
		{"weak", []string{"weak"}, pot},
		{"plan", []string{"plan", "--batches", "poach chickens@wed=2"}, pot},
		{"tonight", []string{"tonight"}, []string{"../../examples/three-kettles", "--on-hand", "../../examples/three-kettles/on-hand.csv",
			"--from", "2026-11-24", "--json"}},
		{"specials", []string{"specials"}, kettles},
		{"clock", []string{"clock", "--on", "wed"}, kettles},
		{"clock-ready", []string{"clock", "--ready", "wed lunch"}, kettles},
		{"clock-lit", []string{"clock", "--lit", "night kettle@tue=00:40", "--on", "tue"}, kettles},
		{"buy", []string{"buy", "--need", "chicken soup=60", "--need", "chicken stock=2 L", "--at", "fri lunch"}, pot},
		{"popularity", []string{"popularity"}, pot},
		{"trace", []string{"trace", "chicken stock"}, pot},
		{"cooling", []string{"cooling", "--air", "3 C", "../../examples/three-kettles/cooling.csv"},
			[]string{"../../examples/three-kettles", "--json"}},
		{"labels", []string{"labels", "--on", "tue"}, kettles},
		{"allergens", []string{"allergens"}, []string{"../../examples/fish-house", "--json"}},
		{"guide", []string{"guide"}, pot},
		{"why", []string{"why", "chicken soup"}, pot},
		{"why-day", []string{"why", "chicken stock@wed", "--late", "poach chickens@wed=2 h"}, pot},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := runIn(t, nil, slices.Concat(c.command, c.frame)...)
			require.Zero(t, got.code, got.stderr)
			assert.Empty(t, got.stderr)
			assert.NoError(t, documented(c.command, got.stdout))
			file := filepath.Join(goldens, c.name+".json")
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got.stdout), 0o666))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			alike(t, "", decoded(t, string(want)), decoded(t, got.stdout))
			assert.Equal(t, keys(string(want)), keys(got.stdout), "the keys and their order")
		})
	}
}

func decoded(t *testing.T, text string) (v any) {
	t.Helper()
	require.NoError(t, json.Unmarshal([]byte(text), &v), text)
	return v
}

// keys are the keys of a JSON text in the order in which they stand.
func keys(text string) []string {
	return regexp.MustCompile(`(?m)^ *"[a-z_]+":`).FindAllString(text, -1)
}

// alike wants two decoded texts to be the same but for the last digits of numbers.
func alike(t *testing.T, where string, want, got any) {
	t.Helper()
	switch want := want.(type) {
	case float64:
		n, ok := got.(float64)
		assert.True(t, ok && math.Abs(n-want) <= 1e-9*max(1, math.Abs(want)), "%s: %v, not %v", where, got, want)
	case []any:
		list, _ := got.([]any)
		require.Len(t, list, len(want), where)
		for i := range want {
			alike(t, where+"[]", want[i], list[i])
		}
	case map[string]any:
		object, _ := got.(map[string]any)
		require.Len(t, object, len(want), where)
		for key := range want {
			alike(t, where+"."+key, want[key], object[key])
		}
	default:
		assert.Equal(t, want, got, where)
	}
}

// whatIsPresumed are the lines behind an answer that has neither a log book nor a list to go by, or rests on guesses.
var whatIsPresumed = regexp.MustCompile(`(?m)^kettletree: (without a log book the week begins|without a log book, all is taken|nothing is taken to be on hand when|this rests on guesses:|sin bitácora la semana|se toma que no hay nada al empezar) ?.*\n`)

// TestExamplesOfHelp runs every example that the help texts show, from the project's own folder. Those that write a log book run at
// several times, as what is logged happens now.
func TestExamplesOfHelp(t *testing.T) {
	oneAfterAnother(t)
	texts, err := helpTexts.ReadDir("help")
	require.NoError(t, err)
	examples := copyOfExamples(t)
	made := map[string]bool{}
	for _, file := range texts {
		topic := strings.TrimSuffix(file.Name(), ".md")
		if file.IsDir() || topic == "serve" || topic == "board" || topic == "tour" {
			continue // these serve until they are interrupted: see board_test.go; it goes on from one to the next: see TestTour
		}
		clocks := []string{os.Getenv(clockName)}
		if slices.Contains([]string{"log", "logbook", "lots", "import"}, topic) {
			clocks = someClocks
		}
		for _, clock := range clocks {
			folder := t.TempDir()
			// A log book stands beside its kitchen, so each text has examples of its own.
			require.NoError(t, os.CopyFS(filepath.Join(folder, "examples"), os.DirFS(examples)))
			t.Chdir(folder)
			t.Setenv(clockName, clock)
			for _, block := range readTyped(strings.Split(helpText(topic), "\n")) {
				block.write(t)
			}
			lines := strings.ReplaceAll(helpText(topic), "\\\n", " ")
			shown := regexp.MustCompile(`(?m)^    kettletree (.*)$`).FindAllStringSubmatch(lines, -1)
			if topic != "json" {
				assert.NotEmpty(t, shown, "%s shows no example", topic)
			}
			for _, example := range shown {
				got := runIn(t, nil, words(t, example[1])...)
				assert.Zero(t, got.code, "%s: %s%s", topic, example[1], got.stderr)
				if books, _ := filepath.Glob("examples/*/*.logbook"); len(books) == 0 { // with one, it says as of when it answers
					assert.Empty(t, whatIsPresumed.ReplaceAllString(got.stderr, ""), example[1])
				}
			}
			names, err := filepath.Glob("*.*")
			require.NoError(t, err)
			for _, name := range names {
				made[name] = true
			}
		}
	}
	assert.Equal(t, []string{"cards.csv", "cooling.csv", "cooling.svg", "count.csv", "count.html", "deliveries.csv", "first-pot.logbook", "grid.html", "guide.html", "kitchen.schema.json", "kitchen.yaml",
		"labels.html", "list.csv", "lost.svg", "map.svg", "mine.yaml", "monday.logbook", "sheets.html", "stock.svg", "till.csv", "tuesday.ics", "tuesday.svg", "yields.svg"},
		slices.Sorted(maps.Keys(made)))
}

// TestHelpListsEveryCommandAndTopic wants no command that help does not list, and no text that nothing leads to.
func TestHelpListsEveryCommandAndTopic(t *testing.T) {
	listed := []string{"kettletree"}
	for _, g := range groups {
		listed = append(listed, g.commands...)
	}
	listed = append(listed, topicNames()...)
	for _, c := range newApp(nil, io.Discard, io.Discard).VisibleCommands() {
		assert.Contains(t, listed, c.Name)
	}
	texts, err := helpTexts.ReadDir("help")
	require.NoError(t, err)
	for _, file := range texts {
		assert.Contains(t, listed, strings.TrimSuffix(file.Name(), ".md"))
	}
}

// TestKitchenOfHelp wants the kitchen file that help shows to be sound, and to be one that answers.
func TestKitchenOfHelp(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, block := range readTyped(strings.Split(helpText("kitchen"), "\n")) {
		block.write(t)
	}
	assert.Equal(t, ran{}, runIn(t, nil, "check"))
	assert.Contains(t, runIn(t, nil, "whatif", "--from", "2026-11-23", "--lose", "night kettle@tue").stdout, "because stock ran out")
}

// forever is a text without end; it counts what is read of it.
type forever struct{ read int }

func (f *forever) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '#'
	}
	f.read += len(p)
	return len(p), nil
}

func TestAnEndlessTextIsNotReadToItsEnd(t *testing.T) {
	var text forever
	got := runIn(t, &text, "check", "-")
	assert.Equal(t, failed, got.code)
	assert.Contains(t, got.stderr, "[too-large]")
	assert.LessOrEqual(t, text.read, 2*kitchen.MostBytes)
}

// silent is a terminal at which nobody types.
type silent struct{ done <-chan struct{} }

func (s silent) Read([]byte) (int, error) { <-s.done; return 0, io.EOF }

func TestCtrlC(t *testing.T) {
	examples := copyOfExamples(t)
	kettles, pot := filepath.Join(examples, "three-kettles"), filepath.Join(examples, "first-pot")
	for name, args := range map[string][]string{
		"while it waits for a file": {"check", "-"},
		"while it tries losses":     {"weak", kettles, "--from", "2026-11-23"},
		"while it tries dishes":     {"specials", kettles, "--from", "2026-11-23"},
		"while it tries moves": {"whatif", kettles, "--from", "2026-11-23", "--lose", "night kettle@tue",
			"--rescue"},
		"before it draws": {"map", pot, "--from", "2026-11-23", "--out", "map.svg"},
	} {
		t.Run(name, func(t *testing.T) {
			ctx, stop := context.WithCancel(t.Context())
			stop()
			var stdout, stderr bytes.Buffer
			code := run(ctx, append([]string{"kettletree"}, args...), silent{t.Context().Done()}, &stdout, &stderr)
			assert.Equal(t, interrupted, code)
			assert.Empty(t, stdout.String())
			assert.Equal(t, "kettletree: interrupted\n", stderr.String())
			assert.NoFileExists(t, "map.svg")
		})
	}
}

func TestLargestRightKitchen(t *testing.T) {
	src, err := os.ReadFile("../../examples/first-pot/kitchen.yaml")
	require.NoError(t, err)
	src = append(src, bytes.Repeat([]byte("# pad\n"), (kitchen.MostBytes-len(src))/6)...)
	got := runIn(t, bytes.NewReader(src), "check", "-")
	assert.Zero(t, got.code, got.stderr)
}

// Without --from, the question is about the week of today, from its Monday.
func TestThisWeek(t *testing.T) {
	got := runIn(t, nil, "whatif", filepath.Join(copyOfExamples(t), "first-pot"), "--json")
	require.Zero(t, got.code, got.stderr)
	var a ask.Consequences
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &a))
	assert.Equal(t, 7, a.Days)
	require.NotEmpty(t, a.Dishes)
	assert.GreaterOrEqual(t, a.Dishes[0].Date, a.From)
	assert.Equal(t, 144, a.Totals.PortionsBefore)
}
