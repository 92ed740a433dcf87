package kitchen

// Pictures that the file names: read from the kitchen's folder, and never from outside of it.

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	_ "image/jpeg" // to know one
	_ "image/png"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// photoPattern is a regular expression for what [photoFault] lets through, as far as one can tell it.
const photoPattern = `[^/\\:*?"<>|][^\\:*?"<>|]*\.(?:[jJ][pP][eE]?[gG]|[pP][nN][gG])`

// Bounds of pictures. What is larger makes a page that a phone waits for.
const (
	mostPhoto  = 1 << 20  // bytes of one
	mostPhotos = 8 << 20  // bytes of all
	mostDots   = 25 << 20 // of one, for a browser has to hold them all
)

// photoFault says what is wrong with the name of a picture, "" when nothing is.
func photoFault(name string) string {
	switch ext := strings.ToLower(path.Ext(name)); {
	case strings.ContainsAny(name, `\:*?"<>|`):
		return "holds a sign that no file here has"
	case !fs.ValidPath(name) || !filepath.IsLocal(filepath.FromSlash(name)):
		return "is outside the kitchen's folder, or goes there by a detour"
	case !slices.Contains([]string{".jpg", ".jpeg", ".png"}, ext):
		return "is no JPEG or PNG file"
	}
	return ""
}

// Photo is a picture that the file names, ready to be shown.
type Photo struct {
	Data       []byte
	Kind       string // "image/jpeg" or "image/png"
	Wide, High int    // dots
}

// PhotoNames are the pictures that the file names, each once, in its order.
func (k *Kitchen) PhotoNames() (names []string) {
	for _, t := range k.Tellings {
		if t.Photo != "" && !slices.Contains(names, t.Photo) {
			names = append(names, t.Photo)
		}
	}
	return names
}

// Photos reads the pictures from the kitchen's folder, by name. Those that can't be shown are left out, and said. The folder must let
// nobody out of it, as that of [os.Root] does.
func (k *Kitchen) Photos(folder fs.FS) (map[string]Photo, Diagnostics) {
	photos, all := map[string]Photo{}, 0
	var faults Diagnostics
	for _, t := range k.Tellings {
		if _, done := photos[t.Photo]; t.Photo == "" || done {
			continue
		}
		fault := func(hint, format string, args ...any) {
			faults = append(faults, Diagnostic{Pos: t.photoPos.Pos, Len: t.photoPos.length, Severity: Warning, ID: "no-photo", Hint: hint,
				Msg: fmt.Sprintf("photo %q ", t.Photo) + fmt.Sprintf(format, args...) + ": it is not shown"})
		}
		p, hint, err := ReadPhoto(folder, t.Photo)
		switch {
		case err != nil:
			fault(hint, "%s", err)
		case all+len(p.Data) > mostPhotos:
			fault("save the pictures smaller: 800 dots wide are enough", "brings all pictures to more than %d MB", mostPhotos>>20)
		default:
			photos[t.Photo] = p
			all += len(p.Data)
		}
	}
	return photos, faults.sort()
}

// ReadPhoto reads one picture; the hint beside an error says what would be right.
func ReadPhoto(folder fs.FS, name string) (p Photo, hint string, err error) {
	const here = "put a JPEG or PNG file there, or remove the key"
	info, err := fs.Stat(folder, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return p, here, errors.New("is not there")
	case err != nil:
		return p, here, fmt.Errorf("can't be read (%w)", cause(err))
	case !info.Mode().IsRegular():
		return p, here, errors.New("is no file")
	case info.Size() > mostPhoto:
		return p, "save it smaller: 800 dots wide are enough", fmt.Errorf("has %.1f MB, and up to %d MB are shown", float64(info.Size())/(1<<20), mostPhoto>>20)
	}
	file, err := folder.Open(name)
	if err != nil {
		return p, here, fmt.Errorf("can't be read (%w)", cause(err))
	}
	defer func() { _ = file.Close() }()
	if p.Data, err = io.ReadAll(io.LimitReader(file, mostPhoto)); err != nil {
		return p, here, fmt.Errorf("can't be read (%w)", cause(err))
	}
	is, form, err := image.DecodeConfig(bytes.NewReader(p.Data))
	if err != nil {
		return p, "save it as JPEG or PNG", errors.New("is no JPEG or PNG, whatever its name says")
	}
	if is.Width*is.Height > mostDots {
		return p, "save it smaller: 800 dots wide are enough", fmt.Errorf("is %d by %d dots", is.Width, is.Height)
	}
	p.Kind, p.Wide, p.High = "image/"+form, is.Width, is.Height
	return p, "", nil
}

// cause is what went wrong, without the name of the file.
func cause(err error) error {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err
	}
	return err
}
