package board

// The pictures that the kitchen file names, and no other file.

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"

	"kettletree/menu/kitchen"
)

// photo sends one.
func (b *Board) photo(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	if !slices.Contains(b.watch.state().kitchen.PhotoNames(), name) {
		b.nowhere(w, r)
		return
	}
	root, err := os.OpenRoot(filepath.Dir(b.Kitchen.Name))
	if err != nil {
		b.nowhere(w, r)
		return
	}
	defer func() { _ = root.Close() }()
	p, _, err := kitchen.ReadPhoto(root.FS(), name)
	if err != nil {
		b.nowhere(w, r)
		return
	}
	w.Header().Set("Content-Type", p.Kind)
	w.Header().Set("Cache-Control", "private, max-age=300")
	_, _ = w.Write(p.Data)
}

// linked are pictures that the board sends by themselves.
func linked(name string) (address string, wide, high int, ok bool) {
	return (&url.URL{Path: "/photo/" + name}).EscapedPath(), 0, 0, true
}
