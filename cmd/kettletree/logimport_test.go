package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Of a workbook with a wrong row nothing is logged, and of one with nothing but wrong rows nobody says that it was imported before.
func TestWorkbooksAreImportedWholeOrNotAtAll(t *testing.T) {
	t.Setenv(clockName, writtenAt)
	examples := copyOfExamples(t)
	t.Chdir(filepath.Join(examples, "first-pot"))
	save := func(name string, rows ...[]any) {
		book := excelize.NewFile()
		for i, row := range append([][]any{{"date", "item", "quantity"}}, rows...) {
			cell, err := excelize.CoordinatesToCellName(1, i+1)
			require.NoError(t, err)
			require.NoError(t, book.SetSheetRow("Sheet1", cell, &row))
		}
		require.NoError(t, book.SaveAs(name))
		require.NoError(t, book.Close())
	}
	right, wrong := []any{"2026-11-24", "chicken", "8 each"}, []any{"2026-11-24", "goose", "8 each"}
	save("one.xlsx", right, wrong)
	save("all.xlsx", wrong, wrong)
	save("right.xlsx", right)
	for _, name := range []string{"one.xlsx", "all.xlsx"} {
		got := runIn(t, nil, "log", "import", name, "--yes")
		assert.Equal(t, failed, got.code)
		assert.Empty(t, got.stdout)
		assert.Contains(t, got.stderr, `unknown item "goose"`)
		assert.NoFileExists(t, "kitchen.logbook")
	}
	got := runIn(t, nil, "log", "import", "right.xlsx", "--yes")
	assert.Zero(t, got.code)
	assert.Contains(t, got.stdout, "1 entry logged.")
}

// Names that can't be kept are told, and that the rows are logged all the same.
func TestNamesThatCannotBeKept(t *testing.T) {
	t.Setenv(clockName, writtenAt)
	examples := copyOfExamples(t)
	t.Chdir(filepath.Join(examples, "first-pot"))
	require.NoError(t, os.WriteFile("till.csv", []byte("item,sold\nSoup of the house,3\n"), 0o644))
	require.NoError(t, os.WriteFile("kitchen.names", nil, 0o644))
	got := runIn(t, nil, "log", "import", "till.csv", "--yes", "--means", "Soup of the house=chicken soup")
	assert.Zero(t, got.code, "an empty file of names says nothing: %s", got.stderr)
	names, err := os.ReadFile("kitchen.names")
	require.NoError(t, err)
	assert.Equal(t, "of,name,means\ndish,Soup of the house,chicken soup\n", string(names))
	require.NoError(t, os.Remove("kitchen.names"))
	require.NoError(t, os.MkdirAll("kitchen.names/in the way", 0o777))
	got = runIn(t, nil, "log", "import", "till.csv", "--yes")
	assert.Equal(t, failed, got.code)
	assert.Contains(t, got.stderr, "kitchen.names")
}
