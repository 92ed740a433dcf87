package kitchen

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
)

// wholeFile writes a file beside itself first, as the program does.
func wholeFile(name string, text []byte) error {
	if err := os.WriteFile(name+".new", text, 0o600); err != nil {
		return err
	}
	return os.Rename(name+".new", name)
}

const changing = "kitchen: K\nbought:\n  meat: {price: 5/kg}\n  salt: {price: 1/kg}  # grey\n"

// Ten writers at once: each change is there in the end, none over another.
func TestWritersLoseNothing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.yaml")
	require.NoError(t, os.WriteFile(file, []byte(changing), 0o600))
	var all sync.WaitGroup
	for w := range 10 {
		all.Go(func() {
			for {
				src, err := os.ReadFile(file)
				if !assert.NoError(t, err) {
					return
				}
				text, err := Change(file, src, Add(InBought, fmt.Sprintf("item %d", w), "{price: 2/kg}"))
				if !assert.NoError(t, err) {
					return
				}
				if err = Store(file, src, text, Kept{Who: fmt.Sprint(w)}, wholeFile); err == nil {
					return
				}
				if !assert.ErrorIs(t, err, ErrChanged) {
					return
				}
			}
		})
	}
	all.Wait()
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	for w := range 10 {
		assert.Contains(t, string(src), fmt.Sprintf("item %d", w))
	}
	list, err := Changes(file)
	require.NoError(t, err)
	assert.Len(t, list, 10)
	left, err := filepath.Glob(filepath.Join(filepath.Dir(file), ".*"))
	require.NoError(t, err)
	assert.Empty(t, left)
}

// Changes taken back one by one lead back to the file as it was, byte for byte, with what was typed elsewhere since.
func TestTakenBack(t *testing.T) {
	lawtest.Few(t, 25)
	texts := exampleFiles(t)
	rapid.Check(t, func(t *rapid.T) {
		src := rapid.SampledFrom(texts).Draw(t, "example")
		folder, err := os.MkdirTemp("", "taken")
		require.NoError(t, err)
		defer func() { _ = os.RemoveAll(folder) }()
		file := filepath.Join(folder, "kitchen.yaml")
		require.NoError(t, os.WriteFile(file, src, 0o600))
		text := src
		for n := range rapid.IntRange(1, 3).Draw(t, "edits") {
			next, err := Change(file, text, drawEdit(t, text, held(t, text)))
			if err != nil {
				continue
			}
			require.NoError(t, Store(file, text, next, Kept{Says: fmt.Sprint(n)}, wholeFile))
			text = next
		}
		typed := rapid.Bool().Draw(t, "typed")
		if typed {
			text = append([]byte("# typed by hand\n"), text...)
			require.NoError(t, os.WriteFile(file, text, 0o600))
		}
		for {
			back, last, number, err := TakenBack(file, text, 0)
			if last == nil {
				break
			}
			if err != nil {
				require.True(t, typed, "nobody wrote anything by hand: %v", err)
				return // the place can't be told, and that is said
			}
			require.NoError(t, Store(file, text, back, Kept{Undoes: number}, wholeFile))
			text = back
		}
		require.Equal(t, string(src), strings.TrimPrefix(string(text), "# typed by hand\n"))
	})
}

func TestTakenBackRefuses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.yaml")
	require.NoError(t, os.WriteFile(file, []byte(changing), 0o600))
	_, last, _, err := TakenBack(file, []byte(changing), 0)
	require.NoError(t, err)
	assert.Nil(t, last, "nothing was changed yet")

	text, err := Change(file, []byte(changing), Set(InBought, "salt", "price", "2/kg"))
	require.NoError(t, err)
	require.NoError(t, Store(file, []byte(changing), text, Kept{When: "now", Says: "salt"}, wholeFile))
	_, _, _, err = TakenBack(file, []byte(strings.Replace(string(text), "2/kg", "3/kg", 1)), 0)
	assert.EqualError(t, err, "what was changed at now (salt) was changed again since")
	assert.ErrorIs(t, Store(file, []byte(changing), text, Kept{}, wholeFile), ErrChanged)

	link := filepath.Join(t.TempDir(), "kitchen.yaml")
	if os.Symlink(file, link) == nil {
		_, last, _, err = TakenBack(link, text, 0)
		require.NoError(t, err)
		assert.Equal(t, "salt", last.Says, "what a link leads to")
	}

	// The same line elsewhere is not the one that was changed.
	two := "bought:\n  oats:\n    price: 2/kg\n    pack: 1 kg\n"
	gone := Kept{Line: 9, Before: []string{"  salt:\n"}, Was: []string{"    price: 1/kg\n"}, Is: []string{"    price: 2/kg\n"}, After: []string{"  rice:\n"}}
	_, ok := gone.back([]byte(two))
	assert.False(t, ok)

	require.NoError(t, os.WriteFile(ChangesPath(file), nil, 0o600))
	_, last, _, err = TakenBack(file, text, 0)
	require.NoError(t, err)
	assert.Nil(t, last, "an empty file keeps nothing")
	require.NoError(t, os.WriteFile(ChangesPath(file), []byte("what\n"), 0o600))
	_, _, _, err = TakenBack(file, text, 0)
	assert.ErrorContains(t, err, "kitchen.changes:1 is not a change that was kept")
}
