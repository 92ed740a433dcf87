package taste

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/kitchen"
)

// shot is a small picture with a place written into it in every way that cameras have, and the same without.
func shot(t testing.TB) (withPlace, without []byte) {
	pic := image.NewRGBA(image.Rect(0, 0, 40, 24))
	for x := range 40 {
		for y := range 24 {
			pic.Set(x, y, color.RGBA{uint8(6 * x), uint8(10 * y), 90, 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, pic, nil))
	plain := b.Bytes()
	segment := func(kind byte, body string) []byte {
		return append(binary.BigEndian.AppendUint16([]byte{0xff, kind}, uint16(len(body)+2)), body...)
	}
	// Little-endian, as phones write it: two tags, a place (GPS IFD, 0x8825) and which way is up: 6, turned to the right.
	exif := exifHead + "II\x2a\x00\x08\x00\x00\x00\x02\x00" + "\x25\x88\x04\x00\x01\x00\x00\x00\x26\x00\x00\x00" + "\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00" + "\x00\x00\x00\x00PLACE 48.1 N"
	withPlace = slices.Concat(plain[:2], segment(0xe0, "JFIF\x00 PLACE"), segment(0xe1, exif), segment(0xe1, "http://ns.adobe.com/xap/1.0/\x00<x>PLACE</x>"),
		segment(0xe2, "MPF\x00PLACE"), segment(0xe2, "ICC_PROFILE\x00\x01\x01colours"), segment(0xed, "Photoshop PLACE"), segment(0xfe, "PLACE"), plain[2:], []byte("a film of the PLACE"))
	return withPlace, plain
}

// No word of the place is left in a photo that is kept; the picture is the same to the last dot, its colours and which way is up with it.
func TestPhotoKeepsNoPlace(t *testing.T) {
	with, plain := shot(t)
	got, err := bared("jpeg", with)
	require.NoError(t, err)
	assert.NotContains(t, string(got), "PLACE")
	assert.Contains(t, string(got), "ICC_PROFILE\x00\x01\x01colours")
	app1 := bytes.Index(got, []byte(exifHead))
	require.Positive(t, app1)
	assert.EqualValues(t, 6, upOf(got[app1:]))
	want, err := jpeg.Decode(bytes.NewReader(plain))
	require.NoError(t, err)
	is, err := jpeg.Decode(bytes.NewReader(got))
	require.NoError(t, err)
	assert.Equal(t, want, is)
	same, err := bared("jpeg", plain)
	require.NoError(t, err)
	assert.Equal(t, plain, same, "where nothing is written beside it, it stays as it is")

	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, want))
	chunk := func(kind, body string) []byte {
		c := append(binary.BigEndian.AppendUint32(nil, uint32(len(body))), kind+body...)
		return binary.BigEndian.AppendUint32(c, crc32.ChecksumIEEE([]byte(kind+body)))
	}
	const header = 8 + 25
	written := slices.Concat(b.Bytes()[:header], chunk("eXIf", "PLACE"), chunk("tEXt", "Comment\x00PLACE"), chunk("sRGB", "\x00"), b.Bytes()[header:], []byte("PLACE"))
	got, err = bared("png", written)
	require.NoError(t, err)
	assert.NotContains(t, string(got), "PLACE")
	assert.Contains(t, string(got), "sRGB")
	_, err = png.Decode(bytes.NewReader(got))
	require.NoError(t, err)
}

// A photo that is cut off or damaged anywhere is refused or kept without the place, and never more than it was.
func TestPhotoTorn(t *testing.T) {
	with, _ := shot(t)
	rapid.Check(t, func(t *rapid.T) {
		data := slices.Clone(with[:rapid.IntRange(3, len(with)).Draw(t, "cut")])
		for range rapid.IntRange(0, 3).Draw(t, "slips") {
			data[rapid.IntRange(2, len(data)-1).Draw(t, "at")] = rapid.Byte().Draw(t, "byte")
		}
		if got, err := bared("jpeg", data); err == nil {
			assert.LessOrEqual(t, len(got), len(data)+len(upSegment(6)))
		}
		_, _ = bared("png", data)
	})
	folder := filepath.Join(t.TempDir(), "kitchen.photos")
	_, err := KeepPhoto(folder, "broth", first, with[:len(with)-40])
	assert.ErrorContains(t, err, "the photo is not whole")
}

// Long names make files that every system takes, and two that begin alike are not mixed up.
func TestPhotoOfLongName(t *testing.T) {
	_, plain := shot(t)
	folder := filepath.Join(t.TempDir(), "kitchen.photos")
	long := strings.Repeat("老卤汤", 30)
	for _, of := range []string{long + "甲", long + "乙"} {
		name, err := KeepPhoto(folder, of, first, plain)
		require.NoError(t, err)
		assert.Less(t, len(name), 255)
		k, faults := kitchen.Read("kitchen.yaml", []byte(strings.Replace(gumboHouse, "  seafood stock:", "  "+of+":", 1)))
		require.NoError(t, faults.Err())
		list, err := Photos(folder, k, Subject{Step: 0, Item: -1})
		require.NoError(t, err)
		assert.Equal(t, []Photo{{"2026-10-01", name}}, list)
		data, _, err := ReadPhoto(folder, name)
		require.NoError(t, err)
		assert.Equal(t, plain, data)
	}
}
