package board

// Entries as they come from forms.

import (
	"errors"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

func TestSpan(t *testing.T) {
	for text, want := range map[string]span{"17": {17, 17}, "17-19": {17, 19}, "": {}, "0": {}, "-3": {}, "9-8": {}, "1-5000": {}, "a": {}, "1-": {}, "1-2-3": {}} {
		assert.Equal(t, want, readSpan(text), text)
		if want != (span{}) {
			assert.Equal(t, text, want.String())
		}
	}
}

// Of a form that was sent again, only what was written counts; what failed may be sent again.
func TestReceipts(t *testing.T) {
	r := newReceipts()
	_, fresh := r.begin("a")
	assert.True(t, fresh)
	done, fresh := r.begin("a")
	assert.False(t, fresh)
	assert.Equal(t, span{}, done, "it is being written")
	r.end("a", span{})
	_, fresh = r.begin("a")
	assert.True(t, fresh, "nothing was written")
	r.end("a", span{3, 4})
	done, fresh = r.begin("a")
	assert.False(t, fresh)
	assert.Equal(t, span{3, 4}, done)
	for n := range mostReceipts {
		form := string(rune('b' + n))
		r.begin(form)
		r.end(form, span{5, 5})
	}
	assert.Len(t, r.kept, mostReceipts, "they are not kept for ever")
	assert.Len(t, r.order, mostReceipts)
}

func FuzzEntry(f *testing.F) {
	src, err := os.ReadFile("../../../examples/first-pot/kitchen.yaml")
	require.NoError(f, err)
	k, faults := kitchen.Read("kitchen.yaml", src)
	require.NoError(f, faults.Err())
	for _, seed := range []string{"sold 3 chicken soup at lunch", "undo 7", "undo", "lost poach chickens of 2026-11-24", "struck chicken roll at tue lunch",
		"received 8 each chicken for 67.20 from \"corner farm\" lot A", "counted 1 L chicken stock", "binned", " ", "sold ü 3", "temperature chicken stock 4 C"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		e, err := read(k, text)
		if err == nil {
			assert.NotEmpty(t, e.Kind)
			return
		}
		refused, ok := errors.AsType[*Refusal](err)
		require.True(t, ok, "%q: %v", text, err)
		assert.NotEmpty(t, refused.Msg)
	})
}
