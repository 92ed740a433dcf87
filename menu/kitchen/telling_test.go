package kitchen

import (
	"bytes"
	"image"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
)

func tellingKitchen(t *testing.T) *Kitchen {
	src, err := os.ReadFile("testdata/telling.yaml")
	require.NoError(t, err)
	k, faults := Read("telling.yaml", src)
	require.NotNil(t, k, faults.Error())
	return k
}

// What is told of a making is told in the nearest language that the file gives it in; what it does not give stands as it is, and is said.
func TestTellings(t *testing.T) {
	k := tellingKitchen(t)
	own := k.Tellings[0]
	assert.Equal(t, "pale and dry to the touch, no streaks of butter", own.Looks.Text)
	assert.Equal(t, "photos/crust dough.JPG", own.Photo)
	assert.Equal(t, []string{"photos/crust dough.JPG", "plate.png"}, k.PhotoNames())

	es, missing := k.Told(language.Spanish)
	assert.Equal(t, "masa quebrada", es.Graph.Steps[0].Name)
	assert.Equal(t, Said{Text: "Frota la mantequilla fría hasta que parezca migas, luego une."}, es.Tellings[0].Method)
	assert.Equal(t, "dorado hasta el borde", es.Tellings[1].Looks.Text)
	require.Len(t, missing, 1)
	assert.Equal(t, `item "crust plate" has no name in es`, missing[0].Msg)

	mx, _ := k.Told(language.MustParse("es-MX"))
	assert.Equal(t, "Frota la mantequilla fría hasta que quede como migajas y junta la masa.", mx.Tellings[0].Method.Text)
	assert.Equal(t, "pálida y seca, sin vetas", mx.Tellings[0].Looks.Text)

	zh, missing := k.Told(language.SimplifiedChinese)
	assert.Equal(t, Said{Text: own.Method.Text, Other: true}, zh.Tellings[0].Method)
	require.Len(t, missing, 3)
	assert.Equal(t, `"method" of "short crust" is not given in zh-Hans`, missing[1].Msg)

	en, missing := k.Told(language.English)
	assert.Equal(t, k.Tellings, en.Tellings)
	assert.Empty(t, missing)
}

// Where nothing at all is given in a language, that is said once.
func TestNothingGiven(t *testing.T) {
	src, err := os.ReadFile("../../examples/three-kettles/kitchen.yaml")
	require.NoError(t, err)
	k, faults := Read("kitchen.yaml", src)
	require.NoError(t, faults.Err())
	_, missing := k.Told(language.German)
	require.Len(t, missing, 1)
	assert.Equal(t, "nothing has a name in de", missing[0].Msg)
}

// A picture is shown only when it is one, is not too large, and lies in the folder.
func TestPhotos(t *testing.T) {
	var picture bytes.Buffer
	require.NoError(t, png.Encode(&picture, image.NewGray(image.Rect(0, 0, 8, 6))))
	k := tellingKitchen(t)
	for name, c := range map[string]struct {
		file *fstest.MapFile
		says string
	}{
		"sound":   {&fstest.MapFile{Data: picture.Bytes()}, ""},
		"missing": {nil, `telling.yaml:25:12: warning: photo "plate.png" is not there: it is not shown [no-photo]`},
		"huge":    {&fstest.MapFile{Data: append(picture.Bytes(), make([]byte, mostPhoto)...)}, `photo "plate.png" has 1.0 MB, and up to 1 MB are shown`},
		"text":    {&fstest.MapFile{Data: []byte("<svg/>")}, `photo "plate.png" is no JPEG or PNG, whatever its name says`},
		"empty":   {&fstest.MapFile{}, `is no JPEG or PNG`},
		"folder":  {&fstest.MapFile{Mode: fs.ModeDir}, `photo "plate.png" is no file`},
	} {
		folder := fstest.MapFS{"photos/crust dough.JPG": {Data: picture.Bytes()}}
		if c.file != nil {
			folder["plate.png"] = c.file
		}
		photos, faults := k.Photos(folder)
		assert.Equal(t, Photo{picture.Bytes(), "image/png", 8, 6}, photos["photos/crust dough.JPG"], "by what it is, not by its name")
		if c.says == "" {
			assert.Len(t, photos, 2, name)
			assert.Empty(t, faults, name)
			continue
		}
		assert.Len(t, photos, 1, name)
		require.Len(t, faults, 1, name)
		assert.Contains(t, faults[0].String(), c.says)
	}
}

// Nothing outside of the folder is read, not even by a link that lies in it.
func TestPhotoByALink(t *testing.T) {
	outside, inside := t.TempDir(), t.TempDir()
	secret := filepath.Join(outside, "secret.png")
	require.NoError(t, os.WriteFile(secret, []byte("\x89PNG"), 0o600))
	if err := os.Symlink(secret, filepath.Join(inside, "plate.png")); err != nil {
		t.Skip("no links here: ", err)
	}
	root, err := os.OpenRoot(inside)
	require.NoError(t, err)
	defer func() { require.NoError(t, root.Close()) }()
	photos, faults := tellingKitchen(t).Photos(root.FS())
	assert.Empty(t, photos)
	require.Len(t, faults, 2)
	assert.Contains(t, faults[1].Msg, `photo "plate.png" can't be read (path escapes from parent)`)
}
