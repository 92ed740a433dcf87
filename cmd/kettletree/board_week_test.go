package main

// A board whose log book has a whole week that was played.

import (
	"net/http"
	"net/url"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kettletree/menu"
	"kettletree/menu/logbook"
	"kettletree/menu/week/weektest"
)

// weekLater is what time it is in tests whose log book has the week before.
const weekLater = "2026-12-01 14:05"

// afterAWeek is an example whose log book has all that was planned for the week up to this morning, as a cook would write it down.
func afterAWeek(t testing.TB, example string) *served {
	t.Helper()
	t.Setenv(clockName, weekLater)
	o := openBoard(t, example)
	now, err := time.Parse(logbook.Minutes, weekLater)
	require.NoError(t, err)
	w, faults, err := menu.Open(t.Context(), menu.Options{Kitchen: menu.File(filepath.Join(o.folder, "kitchen.yaml")), OnHand: menu.File(filepath.Join(o.folder, "on-hand.csv")),
		From: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC), Days: 7, Now: now})
	require.NoError(t, err)
	require.NotNil(t, w, faults)
	entries, err := weektest.Written(t.Context(), w)
	require.NoError(t, err)
	for from, to := 0, 0; from < len(entries); from = to {
		at := entries[from].At
		form := url.Values{"at": {at.Format(logbook.Minutes)}, "sure": {"yes"}}
		for to = from; to < len(entries) && entries[to].At.Equal(at); to++ {
			form.Add("text", entries[to].Text)
		}
		status, page, _ := o.send(http.MethodPost, "/write", form, nil)
		require.Equal(t, http.StatusOK, status, "%v: %.3000s", form, page)
	}
	o.before = len(o.logged())
	return o
}
