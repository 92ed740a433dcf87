package main

import (
	"net/http"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A copy is put back under a board that was asked a moment ago: it lets go of the log book, and answers from the copy then.
func TestRestoreUnderABoard(t *testing.T) {
	o := withLogBook(t)
	copied := filepath.Join(t.TempDir(), "copy.logbook")
	require.Zero(t, runIn(t, nil, "backup", copied, o.folder).code)
	o.write("binned 2 L kettle stock")
	status, page, _ := o.get("/log")
	require.Equal(t, http.StatusOK, status)
	require.Contains(t, page, "2 L kettle stock")
	r := runIn(t, nil, "restore", copied, o.folder)
	require.Zero(t, r.code, r.stderr)
	require.Contains(t, r.stdout, "Gone with the old log book")
	_, page, _ = o.get("/log")
	assert.NotContains(t, page, "2 L kettle stock")
	assert.Len(t, o.logged(), o.before)
}
