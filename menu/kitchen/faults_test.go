package kitchen

// Every fault with its whole message: testdata/faults.txtar.

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the expected messages in testdata")

// faultCase is a kitchen file with what Read says of it.
type faultCase struct {
	name       string
	src        []byte
	want       string
	schemaSees bool // the JSON Schema refuses it too
}

const faultsFile = "testdata/faults.txtar"

func faultCases(t testing.TB) []faultCase {
	archive, err := txtar.ParseFile(filepath.FromSlash(faultsFile))
	require.NoError(t, err)
	var cases []faultCase
	for i := 0; i < len(archive.Files); i += 2 {
		file, want := archive.Files[i], archive.Files[i+1]
		name := strings.TrimSuffix(file.Name, ".yaml")
		require.Equal(t, name+".want", want.Name)
		cases = append(cases, faultCase{name, file.Data, string(want.Data),
			!bytes.HasPrefix(file.Data, []byte("# schema: cannot know\n"))})
	}
	return cases
}

func TestFaults(t *testing.T) {
	cases := faultCases(t)
	require.Greater(t, len(cases), 40)
	var archive txtar.Archive
	for _, c := range cases {
		k, faults := Read("kitchen.yaml", c.src)
		got := faults.Error() + "\n"
		archive.Files = append(archive.Files, txtar.File{Name: c.name + ".yaml", Data: c.src},
			txtar.File{Name: c.name + ".want", Data: []byte(got)})
		assert.Equal(t, faults.Err() == nil, k != nil, c.name)
		assert.NotEmpty(t, faults, c.name)
		if !*update {
			assert.Equal(t, c.want, got, c.name)
		}
	}
	if *update {
		old, err := txtar.ParseFile(filepath.FromSlash(faultsFile))
		require.NoError(t, err)
		archive.Comment = old.Comment
		require.NoError(t, os.WriteFile(filepath.FromSlash(faultsFile), txtar.Format(&archive), 0o644))
	}
}

// Each fault says what to write, or why there is nothing to add.
func TestEveryFaultHasAHint(t *testing.T) {
	for _, c := range faultCases(t) {
		_, faults := Read("kitchen.yaml", c.src)
		for _, d := range faults {
			assert.NotRegexp(t, regexp.MustCompile(`^[A-Z]|\.$`), d.Msg, c.name)
			if d.ID != "not-yaml" { // the decoder's own words
				assert.NotEmpty(t, d.Hint, "%s: %s", c.name, d.Msg)
			}
		}
	}
}
