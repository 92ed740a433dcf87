package board

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Pictures that the kitchen file names are sent, and no other file of the folder or outside.
func TestPhoto(t *testing.T) {
	o := openBoard(t, "three-kettles")
	for path, want := range map[string]int{
		"/photo/photos/red-pozole.png":       http.StatusOK,
		"/photo/kitchen.yaml":                http.StatusNotFound,
		"/photo/photos/..%2fkitchen.yaml":    http.StatusNotFound,
		"/photo/":                            http.StatusNotFound,
		"/photo/photos/red-pozole.png%00":    http.StatusNotFound,
		"/photo/photos%2fred-pozole.png.bak": http.StatusNotFound,
	} {
		w := o.ask(http.MethodGet, path, nil, nil)
		assert.Equal(t, want, w.Code, path)
		if want == http.StatusOK {
			assert.Equal(t, "image/png", w.Header().Get("Content-Type"))
		}
	}
}
