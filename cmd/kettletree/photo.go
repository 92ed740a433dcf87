package main

// The pictures that a kitchen file names, read from its folder.

import (
	"os"
	"path/filepath"

	"kettletree/menu/kitchen"
)

// photosOf reads them; a kitchen from standard input has no folder. Those that can't be shown are left out, and said.
func photosOf(k *kitchen.Kitchen) (map[string]kitchen.Photo, kitchen.Diagnostics, error) {
	if len(k.PhotoNames()) == 0 || k.File == "-" {
		return nil, nil, nil
	}
	root, err := os.OpenRoot(filepath.Dir(k.File))
	if err != nil {
		return nil, nil, err
	}
	defer func() { _ = root.Close() }()
	photos, faults := k.Photos(root.FS())
	return photos, faults, nil
}
