package board

import (
	"bytes"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A photo is sent by the form of the page, kept beside the log book and shown; what is none, or of 50 MB, is refused with a clear word.
func TestBoardPhotoOfBatch(t *testing.T) {
	o := openBoard(t, "three-kettles")
	o.write("cooked night kettle of 2026-11-24")
	says(t, o.found("/taste"), `type="file"`)
	photo := func(of string, data []byte) *httptest.ResponseRecorder {
		var body bytes.Buffer
		form := multipart.NewWriter(&body)
		require.NoError(t, form.WriteField("of", of))
		part, err := form.CreateFormFile("photo", "IMG_0001.JPG")
		require.NoError(t, err)
		_, err = part.Write(data)
		require.NoError(t, err)
		require.NoError(t, form.Close())
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://localhost"+photoPath, &body)
		r.RemoteAddr = "127.0.0.1:40000"
		r.Header.Set("Content-Type", form.FormDataContentType())
		w := httptest.NewRecorder()
		o.pages.ServeHTTP(w, r)
		return w
	}
	var jpg bytes.Buffer
	require.NoError(t, jpeg.Encode(&jpg, image.NewGray(image.Rect(0, 0, 8, 8)), nil))
	w := photo("night kettle", jpg.Bytes())
	require.Equal(t, http.StatusSeeOther, w.Code)
	assert.Equal(t, "/taste?of=night+kettle", w.Header().Get("Location"))
	const name = "2026-11-24 night kettle 1.jpg"
	kept, err := os.ReadFile(filepath.Join(o.folder, "kitchen.photos", name))
	require.NoError(t, err)
	assert.Equal(t, jpg.Bytes(), kept)
	says(t, o.found("/taste?of=night+kettle"), `src="/batch-photo/2026-11-24%20night%20kettle%201.jpg"`)
	got := o.ask(http.MethodGet, "/batch-photo/2026-11-24%20night%20kettle%201.jpg", nil, nil)
	assert.Equal(t, jpg.Bytes(), got.Body.Bytes())
	assert.Equal(t, "image/jpeg", got.Header().Get("Content-Type"))
	assert.Equal(t, http.StatusNotFound, o.ask(http.MethodGet, "/batch-photo/kitchen.yaml", nil, nil).Code)
	for fault, data := range map[string][]byte{"no JPEG or PNG": []byte("%PDF-1.4"), "No photo was chosen": nil, "more than 12 MB": make([]byte, 50<<20), "MB": make([]byte, 100<<20)} {
		w := photo("night kettle", data)
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, fault)
		says(t, w.Body.String(), fault)
	}
	says(t, photo("moon", jpg.Bytes()).Body.String(), "othing is measured of moon")
}
