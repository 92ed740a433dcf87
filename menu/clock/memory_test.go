package clock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/week/weektest"
)

// Asked again, and in another language, no work is given to hands again; and the answer is the same as without a memory.
func TestRemembering(t *testing.T) {
	w := weektest.SmallDays(t, crowded, 1)
	var m Memory
	ctx := Remembering(t.Context(), &m)
	got, err := Of(ctx, w, nil)
	require.NoError(t, err)
	assert.Equal(t, of(t, w), got)
	made := m.Made()
	require.Positive(t, made)

	rows, err := Rows(ctx, w, nil)
	require.NoError(t, err)
	assert.Equal(t, got.Rows, rows.Rows)
	spanish, _ := w.InLanguage(language.Spanish)
	told, err := Of(ctx, spanish, nil)
	require.NoError(t, err)
	assert.NotEqual(t, got.Conflicts[0].Text, told.Conflicts[0].Text)
	assert.Equal(t, made, m.Made())
}
