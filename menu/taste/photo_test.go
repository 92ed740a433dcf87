package taste

import (
	"bytes"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

func TestPhotos(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "kitchen.photos")
	text := strings.Replace(gumboHouse, "  seafood stock:", "  night/kettle:\n    was: [old kettle]", 1)
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NoError(t, faults.Err())
	of := Subject{Step: 0, Item: -1}
	none, err := Photos(folder, k, of)
	require.NoError(t, err)
	assert.Empty(t, none)
	var jpg, drawn bytes.Buffer
	require.NoError(t, jpeg.Encode(&jpg, image.NewGray(image.Rect(0, 0, 4, 4)), nil))
	require.NoError(t, png.Encode(&drawn, image.NewGray(image.Rect(0, 0, 4, 4))))
	for n, data := range [][]byte{jpg.Bytes(), drawn.Bytes(), jpg.Bytes()} {
		name, err := KeepPhoto(folder, "night/kettle", first.AddDate(0, 0, n/2), data)
		require.NoError(t, err)
		assert.Equal(t, []string{"2026-10-01 night_kettle 1.jpg", "2026-10-01 night_kettle 2.png", "2026-10-02 night_kettle 1.jpg"}[n], name)
	}
	_, err = KeepPhoto(folder, "old kettle", first.AddDate(0, 0, -1), jpg.Bytes())
	require.NoError(t, err)
	list, err := Photos(folder, k, of)
	require.NoError(t, err)
	require.Len(t, list, 4)
	assert.Equal(t, Photo{"2026-09-30", "2026-09-30 old kettle 1.jpg"}, list[3], "what was taken under its former name")
	assert.Equal(t, []Photo{{"2026-10-02", "2026-10-02 night_kettle 1.jpg"}, {"2026-10-01", "2026-10-01 night_kettle 1.jpg"}, {"2026-10-01", "2026-10-01 night_kettle 2.png"}}, list[:3])
	data, kind, err := ReadPhoto(folder, list[2].File)
	require.NoError(t, err)
	assert.Equal(t, drawn.Bytes(), data)
	assert.Equal(t, "image/png", kind)
	// Nothing else is read, be it beside the folder or in it.
	require.NoError(t, os.WriteFile(filepath.Join(folder, "secret.txt"), []byte("x"), 0o600))
	for _, name := range []string{"secret.txt", "../kitchen.logbook", "2026-10-01 ../x 1.jpg", "2026-10-01 night_kettle 3.jpg"} {
		_, _, err := ReadPhoto(folder, name)
		assert.Error(t, err, name)
	}
	for fault, data := range map[string][]byte{"no photo was chosen": nil, "no JPEG or PNG": []byte("GIF89a, or a letter"), "more than 12 MB": make([]byte, 50<<20)} {
		_, err := KeepPhoto(folder, "night kettle", first, data)
		assert.ErrorContains(t, err, fault)
	}
	for range mostOfDay {
		_, err = KeepPhoto(folder, "broth", first, jpg.Bytes())
		require.NoError(t, err)
	}
	_, err = KeepPhoto(folder, "broth", first, jpg.Bytes())
	assert.ErrorContains(t, err, "9 photos already")
}
