package main

// The command line before it is parsed.

import (
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPermuted(t *testing.T) {
	for given, want := range map[string]string{
		"whatif|k.yaml|--lose|a b@tue":             "whatif|--lose=a b@tue|--|k.yaml",
		"whatif|--lose|a b@tue|k.yaml":             "whatif|--lose=a b@tue|--|k.yaml",
		"whatif|k.yaml|--yield|a/b=-10%|--json":    "whatif|--yield=a/b=-10%|--json|--|k.yaml",
		"whatif|--yield=a/b=-10%|-":                "whatif|--yield=a/b=-10%|--|-",
		"whatif|--days|-3":                         "whatif|--days=-3|--",
		"trace|--|--odd name|k.yaml|--json":        "trace|--|--odd name|k.yaml|--json",
		"trace|lard|--|k.yaml":                     "trace|--|lard|k.yaml",
		"cost|-o|x|k.yaml|-h":                      "cost|-h",
		"complete|whatif|--lose":                   "complete|whatif|--lose",
		"nothing|--lose":                           "nothing|--lose",
		"--help":                                   "--help",
		"whatif|--on-hand||--lose||--rule||k.yaml": "whatif|--on-hand=|--lose=|--rule=|--|k.yaml",
	} {
		args := append([]string{"kettletree"}, strings.Split(given, "|")...)
		got, err := permuted(newApp(nil, io.Discard, io.Discard), args)
		assert.NoError(t, err, given)
		assert.Equal(t, "kettletree|"+want, strings.Join(got, "|"), given)
	}
}

// Whatever is typed, nothing panics, and what is no option is kept in its order.
func FuzzPermuted(f *testing.F) {
	for _, line := range []string{"whatif\nk.yaml\n--lose\na@tue", "trace\n--\n-x", "cost\n-o", "why\n-=\n---\n-", ""} {
		f.Add(line)
	}
	f.Fuzz(func(t *testing.T, line string) {
		args := append([]string{"kettletree"}, strings.Split(line, "\n")...)
		got, err := permuted(newApp(nil, io.Discard, io.Discard), args)
		if err != nil {
			return
		}
		at := slices.Index(got, "--")
		for _, other := range got[at+1:] {
			if !slices.Contains(args, other) {
				t.Fatalf("permuted(%q) = %q invents %q", args, got, other)
			}
		}
	})
}

// A word of which half the letters are others is no slip of the fingers: "note" is not "late", but "lats" is.
func TestMeantIsNear(t *testing.T) {
	for written, want := range map[string]string{"note": "else", "lats": `did you mean "late"?`, "alte": `did you mean "late"?`, "lg": `did you mean "log"?`,
		"recieved": `did you mean "received"?`, "x": "else", "lo": `did you mean "log"?`, "soup": "else"} {
		assert.Equal(t, want, meant(written, []string{"received", "late", "log", "sold"}, "else"), written)
	}
}
