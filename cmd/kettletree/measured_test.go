package main

import (
	"bufio"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The measured batches of the example, logged line by line as its README says, are explained, and README's picture is the one that they give.
func TestMeasuredExample(t *testing.T) {
	oneAfterAnother(t)
	t.Setenv("KETTLETREE_NOW", "2026-11-23 09:00")
	folder := filepath.Join(copyOfExamples(t), "three-kettles")
	lines, err := os.ReadFile(filepath.Join(folder, "measured.txt"))
	require.NoError(t, err)
	for scan := bufio.NewScanner(bytes.NewReader(lines)); scan.Scan(); {
		at, text, found := strings.Cut(scan.Text(), " | ")
		if !found {
			continue
		}
		logged := runIn(t, nil, "log", folder, "--at", at, text)
		require.Zero(t, logged.code, "%s: %s", text, logged.stderr)
	}
	drawn := filepath.Join(t.TempDir(), "taste.svg")
	told := runIn(t, nil, "taste", folder, "--svg", drawn)
	require.Zero(t, told.code, told.stderr)
	assert.Contains(t, told.stdout, "Colour is higher with more minutes to the boil (14 batches, rank correlation\n+0.95")
	assert.NotContains(t, told.stdout, "blend", "what stands since a week is past its date")
	picture, err := os.ReadFile(drawn)
	require.NoError(t, err)
	golden := filepath.Join("..", "..", "examples", "three-kettles", "taste.svg")
	if *update {
		require.NoError(t, os.WriteFile(golden, picture, 0o666))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(picture))
}
