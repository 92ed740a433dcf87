package takeover

// Taking a file over, of either kind, with what is kept of columns and names.

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"slices"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Take lays a file over the text of a kitchen file, which k was read from; k is nil for recipes that begin one, and src is its head. text is
// nil where nothing changes. The error is of type [kitchen.Diagnostics] where the file is at fault, else [*kitchen.AmendError].
func Take(kind Kind, kitchenFile string, src []byte, k *kitchen.Kitchen, name string, file []byte, m PriceManner) (t *Taking, text []byte, ask *Asks, err error) {
	if what := notAList(file); what != "" {
		return nil, nil, nil, kitchen.Diagnostics{{Pos: kitchen.Pos{File: name, Line: 1, Col: 1}, Severity: kitchen.Error, ID: "not-text",
			Msg: "file is " + what + ", and no list", Hint: "ask for the list as .xlsx or .csv, or type it into a sheet"}}
	}
	if kind == OfPrices {
		t, text, ask, found := Prices(kitchenFile, src, k, name, file, m)
		return t, text, ask, found.Err()
	}
	f, ask, found := Recipes(name, file, m.Manner)
	if f == nil {
		return nil, nil, ask, found.Err()
	}
	t, text, err = Into(kitchenFile, src, k, f, m.Manner)
	return t, text, nil, err
}

// notAList names what a file is that is neither text nor a workbook, by the bytes that it begins with.
func notAList(file []byte) string {
	for begins, what := range map[string]string{"\xFF\xD8\xFF": "a picture", "\x89PNG": "a picture", "GIF8": "a picture", "%PDF": "a printed page (PDF)"} {
		if bytes.HasPrefix(file, []byte(begins)) {
			return what
		}
	}
	if len(file) > 12 && (string(file[4:8]) == "ftyp" || string(file[:4]) == "RIFF") {
		return "a picture or a film"
	}
	return ""
}

// ReadKept reads what is kept beside a kitchen file of columns and names. The error is of type [kitchen.Diagnostics] where one of them is at
// fault.
func ReadKept(kitchenFile string) (m Manner, err error) {
	for _, kept := range []struct {
		path string
		read func(name string, src []byte) kitchen.Diagnostics
	}{{ColumnsPath(kitchenFile), func(name string, src []byte) (found kitchen.Diagnostics) {
		m.Columns, found = ReadColumns(name, src)
		return found
	}}, {logbook.NamesPath(kitchenFile), func(name string, src []byte) (found kitchen.Diagnostics) {
		m.Names, found = logbook.ReadNames(name, src)
		return found
	}}} {
		src, err := os.ReadFile(kept.path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return m, err
		}
		if found := kept.read(kept.path, src); found != nil {
			return m, found
		}
	}
	return m, nil
}

// Keep keeps what was said of columns and names, where it is not what is kept already, and names the files that it wrote.
func (m Manner) Keep(kitchenFile string, save func(name string, text []byte) error) (wrote []string, err error) {
	was, err := ReadKept(kitchenFile)
	if err != nil {
		return nil, err
	}
	if !slices.Equal(m.Columns, was.Columns) {
		if err := save(ColumnsPath(kitchenFile), m.Columns.CSV()); err != nil {
			return nil, err
		}
		wrote = append(wrote, ColumnsPath(kitchenFile))
	}
	if !slices.Equal(m.Names, was.Names) {
		if err := save(logbook.NamesPath(kitchenFile), m.Names.CSV()); err != nil {
			return wrote, err
		}
		wrote = append(wrote, logbook.NamesPath(kitchenFile))
	}
	return wrote, nil
}
