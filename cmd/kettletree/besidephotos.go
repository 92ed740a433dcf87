package main

// Photos of batches: a folder beside the log book, copied and put back with it, each photo by itself.

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"kettletree/menu/logbook"
	"kettletree/menu/taste"
)

const photosEnding = ".photos"

// copyPhotos makes one folder have the photos of another: those that it has already stay, those that are gone there go, and what is no photo of ours
// is left alone. It gives how many there are, and how many were not there before or were others.
func copyPhotos(from, to string) (all, fresh int, err error) {
	names, err := taste.PhotoFiles(from)
	if err != nil {
		return 0, 0, err
	}
	old, err := taste.PhotoFiles(to)
	if err != nil {
		return 0, 0, err
	}
	if len(names) > 0 {
		if err := os.MkdirAll(to, 0o700); err != nil {
			return 0, 0, err
		}
	}
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join(from, name))
		if err != nil {
			return 0, fresh, err
		}
		if there, err := os.ReadFile(filepath.Join(to, name)); err == nil && bytes.Equal(there, data) {
			continue
		}
		if err := writeFile(filepath.Join(to, name), data); err != nil {
			return 0, fresh, err
		}
		fresh++
	}
	for _, name := range old {
		if !slices.Contains(names, name) {
			fresh++
			if err := os.Remove(filepath.Join(to, name)); err != nil {
				return 0, fresh, err
			}
		}
	}
	if len(names) == 0 {
		_ = os.Remove(to) // where it is empty
	}
	return len(names), fresh, nil
}

// backupPhotos copies the photos of a kitchen to beside a copy of its log book, and says what that made; "" where there are none.
func backupPhotos(kitchen, to string) (made string, err error) {
	folder := taste.PhotoFolder(logbook.Path(kitchen))
	all, _, err := copyPhotos(folder, to+photosEnding)
	if err != nil {
		return "", at("copy", folder, err)
	}
	if all == 0 {
		return "", nil
	}
	return fmt.Sprintf("%s (%s)", to+photosEnding, photosCounted(all)), nil
}

// restorePhotos puts the photos of a copy back, sets aside the folder that is there, and says what it did; "" where neither has any.
func restorePhotos(kitchen, from string, now time.Time) (said string, err error) {
	folder, copied := taste.PhotoFolder(logbook.Path(kitchen)), from+photosEnding
	here, err := taste.PhotoFiles(folder)
	if err != nil {
		return "", at("read", folder, err)
	}
	there, err := taste.PhotoFiles(copied)
	switch {
	case err != nil:
		return "", at("read", copied, err)
	case len(there) == 0 && len(here) == 0:
		return "", nil
	case len(there) == 0:
		return fmt.Sprintf("%s stays as it is: the copy has none", folder), nil
	case samePhotos(folder, copied, here, there):
		return fmt.Sprintf("%s is the same in the copy", folder), nil
	}
	fresh := folder + ".new"
	if _, _, err := copyPhotos(copied, fresh); err != nil {
		return "", at("copy", copied, err)
	}
	aside := ""
	if _, err := os.Lstat(folder); err == nil {
		aside = folder + ".before-" + now.Format("2006-01-02-150405")
		if err := os.Rename(folder, aside); err != nil {
			return "", at("set aside", folder, err)
		}
		aside = "; the folder from before is set aside as " + aside
	} else if !errors.Is(err, fs.ErrNotExist) {
		return "", at("read", folder, err)
	}
	if err := os.Rename(fresh, folder); err != nil {
		return "", at("write", folder, err)
	}
	return fmt.Sprintf("%s, the photos of batches, is as the copy has it: %s%s", folder, photosCounted(len(there)), aside), nil
}

// samePhotos tells whether two folders have the same photos.
func samePhotos(a, b string, inA, inB []string) bool {
	return slices.Equal(inA, inB) && !slices.ContainsFunc(inA, func(name string) bool {
		one, err := os.ReadFile(filepath.Join(a, name))
		other, fault := os.ReadFile(filepath.Join(b, name))
		return err != nil || fault != nil || !bytes.Equal(one, other)
	})
}

func photosCounted(n int) string {
	if n == 1 {
		return "1 photo"
	}
	return fmt.Sprintf("%d photos", n)
}
