package main

// What was written is said, though nobody can be shown the answer: a full disk behind "log ... >file", a pipe that is closed.

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// full is a disk on which there is no room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// Every command that writes says what it wrote, and ends as no other end.
func TestWhatIsWrittenIsSaidThoughItCannotBeShown(t *testing.T) {
	t.Chdir(copyOfExamples(t))
	t.Setenv(clockName, "2026-11-24 15:00")
	require.NoError(t, os.WriteFile("two.csv", []byte("item,quantity\nchicken,4 each\nDrumsticks,2 kg\n"), 0o666))
	for _, c := range []struct{ command, typed, says string }{
		{"log first-pot received 10 each chicken", "", "this is logged, as entry 1,"},
		{"log first-pot binned 2 each chicken, torn", "", "this is logged, as entry 2,"},
		{"log first-pot counted 9 each chicken --corrects 1", "", ""}, // of another kind: nothing is written
		{"log first-pot undo 2", "", "undo 2 is logged, as entry 3,"},
		{"log first-pot out 2 kg pulled chicken of poach chickens", "", "this is logged, as entries 4 to 5,"}, // with the lit that it goes by
		{"log first-pot import two.csv --means Drumsticks=chicken", "", ""},                                   // only looked at
		{"log first-pot import two.csv --means Drumsticks=none --yes", "", "two.csv is logged, as entry 6; what names mean is kept in first-pot/kitchen.names,"},
		{"log first-pot count", "\n5\n", "this is logged, as entry 7,"},
		{"log first-pot received 5 each chicken --at 2026-11-20", "", "this is logged, as entry 8,"},
		{"log first-pot binned --past", "", "this is logged, as entry 9,"},
		{"backup copy.logbook first-pot", "", "copy.logbook is a copy of first-pot/kitchen.logbook,"},
		{"restore copy.logbook first-pot", "", "first-pot/kitchen.logbook is as copy.logbook has it: "},
		{"plan first-pot --days 2 --keep --save other.plan", "", "the plan is written to other.plan; the plan is kept in first-pot/kitchen.plan,"},
		{"plan first-pot --drop", "", "the plan is dropped,"},
		{"plan first-pot --days 1 --into-file", "", ""}, // nobody said yes
		{"plan first-pot --from 2026-12-01 --days 5 --batches poach_chickens@wed=2 --into-file --yes", "", "first-pot/kitchen.yaml is changed,"},
	} {
		var stderr bytes.Buffer
		args := []string{"kettletree"}
		for _, arg := range strings.Fields(c.command) {
			args = append(args, strings.ReplaceAll(arg, "_", " "))
		}
		code := run(t.Context(), args, strings.NewReader(c.typed), full{}, &stderr)
		if c.says == "" {
			assert.Equal(t, failed, code, "%s: %s", c.command, stderr.String())
			assert.NotContains(t, stderr.String(), "could not be shown", c.command)
			continue
		}
		assert.Equal(t, unshown, code, "%s: %s", c.command, stderr.String())
		assert.Contains(t, stderr.String(), "kettletree: error: "+c.says, c.command)
		assert.Contains(t, stderr.String(), "but the answer could not be shown: no space left on device\nkettletree: hint: ", c.command)
	}
	assert.FileExists(t, filepath.Join("first-pot", "kitchen.names"))
}
