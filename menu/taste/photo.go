package taste

// Photos of batches: kept as files in a folder beside the log book, under names that a cook can read, and sent nowhere.

import (
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	_ "image/jpeg" // to know one
	_ "image/png"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"kettletree/menu/kitchen"
)

// PhotoFolder is where the photos of batches are kept: kitchen.photos beside kitchen.logbook.
func PhotoFolder(logBook string) string {
	return strings.TrimSuffix(logBook, filepath.Ext(logBook)) + ".photos"
}

// Photo is a photo of a batch.
type Photo struct {
	Day  string `json:"day"`  // 2006-01-02, on which the batch began
	File string `json:"file"` // in the folder beside the log book
}

// Bounds of photos. A phone of today takes some 3 to 8 MB and up to 50 million dots.
const (
	MostPhoto  = 12 << 20  // bytes of one
	mostDots   = 110 << 20 // of one, for a browser has to hold them all
	mostOfDay  = 9         // of one batch
	mostListed = 200       // of one step
)

// PhotoError says why a photo is not kept.
type PhotoError struct{ Msg, Hint string }

func (e *PhotoError) Error() string { return e.Msg }

// photoName is the name of a photo's file: "2026-11-24 night kettle 1.jpg".
var photoName = regexp.MustCompile(`^(\d{4}-\d\d-\d\d) (.+) ([1-9])\.(jpg|png)$`)

// mostWord is how many bytes a name takes in the name of a file, of which systems allow 255.
const mostWord = 180

// fileWord is the name of a step or item as it stands in the names of files: what some systems don't allow in them is an underscore, and a long
// one is cut, with a figure behind it that tells it from others that begin alike.
func fileWord(name string) string {
	word := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.Mn, r) || r == ' ' || r == '-' {
			return r
		}
		return '_'
	}, name)
	if len(word) <= mostWord {
		return word
	}
	at := mostWord
	for !utf8.RuneStart(word[at]) {
		at--
	}
	return fmt.Sprintf("%s %08x", strings.TrimRight(word[:at], " "), crc32.ChecksumIEEE([]byte(name)))
}

// PhotoFiles are the names of all photos in a folder, in order. There are none where there is no folder.
func PhotoFiles(folder string) (names []string, err error) {
	files, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	for _, f := range files {
		if f.Type().IsRegular() && photoName.MatchString(f.Name()) {
			names = append(names, f.Name())
		}
	}
	return names, nil
}

// Photos are those of a step or an item, under what it is called and was, the latest batch first.
func Photos(folder string, k *kitchen.Kitchen, of Subject) ([]Photo, error) {
	name, kind := of.name(k)
	var words []string
	for _, called := range append(k.Formerly(kind, name), name) {
		words = append(words, fileWord(called))
	}
	list := []Photo{}
	names, err := PhotoFiles(folder)
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		if m := photoName.FindStringSubmatch(name); slices.Contains(words, m[2]) {
			list = append(list, Photo{m[1], name})
		}
	}
	slices.SortStableFunc(list, func(a, b Photo) int { return strings.Compare(b.Day, a.Day) })
	return list[:min(mostListed, len(list))], nil
}

// KeepPhoto keeps a photo of the batch of a day, without what the camera wrote of where and when it was taken ([bared]), and gives the name of its file.
func KeepPhoto(folder, of string, day time.Time, data []byte) (string, error) {
	if len(data) > MostPhoto {
		return "", &PhotoError{fmt.Sprintf("the photo has more than %d MB", MostPhoto>>20), "have the phone take it smaller, or send another"}
	}
	is, form, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case len(data) == 0:
		return "", &PhotoError{"no photo was chosen", "take one, or choose one"}
	case err != nil || form != "jpeg" && form != "png": // other packages may bring more of them
		return "", &PhotoError{"that is no JPEG or PNG photo", "take it with the camera, or save it as JPEG"}
	case is.Width*is.Height > mostDots:
		return "", &PhotoError{fmt.Sprintf("the photo is %d by %d dots", is.Width, is.Height), "have the phone take it smaller, or send another"}
	}
	if data, err = bared(form, data); err != nil {
		return "", &PhotoError{"the photo is not whole", "take it again, or send it again"}
	}
	ext := map[string]string{"jpeg": "jpg", "png": "png"}[form]
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", err
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return "", err
	}
	defer func() { _ = root.Close() }()
	for n := 1; n <= mostOfDay; n++ {
		stem := day.Format(time.DateOnly) + " " + fileWord(of) + " " + strconv.Itoa(n)
		if slices.ContainsFunc([]string{"jpg", "png"}, func(e string) bool { _, err := root.Stat(stem + "." + e); return err == nil }) {
			continue
		}
		name := stem + "." + ext
		f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if errors.Is(err, fs.ErrExist) {
			continue // another device was faster
		} else if err != nil {
			return "", err
		}
		_, err = f.Write(data)
		if err = errors.Join(err, f.Close()); err != nil {
			_ = root.Remove(name) // half a photo is none
			return "", err
		}
		return name, nil
	}
	return "", &PhotoError{fmt.Sprintf("this batch has %d photos already", mostOfDay), "take one out of " + filepath.Base(folder) + " first"}
}

// ReadPhoto reads a photo of a batch by the name of its file, and no other file.
func ReadPhoto(folder, name string) (data []byte, kind string, err error) {
	m := photoName.FindStringSubmatch(name)
	if m == nil {
		return nil, "", fs.ErrNotExist
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, "", err
	}
	defer func() { _ = root.Close() }()
	info, err := root.Stat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() > MostPhoto {
		return nil, "", fs.ErrNotExist
	}
	data, err = root.ReadFile(name)
	return data, map[string]string{"jpg": "image/jpeg", "png": "image/png"}[m[4]], err
}
