package main

// What lies beside a log book and belongs to it: the plan that "plan --keep" kept, and what names mean. It is copied and put back with it.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/taste"
)

// beside are the files by what they are, for a kitchen file; a copy of each has the name of the log book's copy with the ending behind it.
func beside(kitchen string) []besides {
	return []besides{{"the plan that was kept", plan.Path(kitchen), ".plan"}, {"the trial under way", taste.Path(kitchen), ".trial"}, {"what names mean", logbook.NamesPath(kitchen), ".names"}}
}

type besides struct{ what, file, ending string }

// copyBeside copies what lies beside a log book to beside its copy, and says which files that made. What is there no longer has no copy.
func copyBeside(kitchen, to string) (made []string, err error) {
	for _, b := range beside(kitchen) {
		src, err := os.ReadFile(b.file)
		if errors.Is(err, fs.ErrNotExist) {
			if err = os.Remove(to + b.ending); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return made, at("replace", to+b.ending, err)
			}
			continue
		}
		if err == nil {
			err = writeFile(to+b.ending, src)
		}
		if err != nil {
			return made, at("copy", b.file, err)
		}
		made = append(made, to+b.ending)
	}
	return made, nil
}

// restoreBeside puts back what was copied with a log book, sets aside what is in its place, and says what it did.
func restoreBeside(kitchen, from string, now time.Time) (said []string, err error) {
	for _, b := range beside(kitchen) {
		src, err := os.ReadFile(from + b.ending)
		if errors.Is(err, fs.ErrNotExist) {
			if _, err := os.Stat(b.file); err == nil {
				said = append(said, fmt.Sprintf("%s stays as it is: the copy has none", b.file))
			}
			continue
		}
		if err != nil {
			return said, at("read", from+b.ending, err)
		}
		aside := ""
		if old, err := os.ReadFile(b.file); err == nil && string(old) == string(src) {
			said = append(said, fmt.Sprintf("%s is the same in the copy", b.file))
			continue
		} else if err == nil {
			aside = b.file + ".before-" + now.Format("2006-01-02-150405")
			if err := os.Rename(b.file, aside); err != nil {
				return said, at("set aside", b.file, err)
			}
			aside = "; the one from before is set aside as " + aside
		}
		if err := writeFile(b.file, src); err != nil {
			return said, at("write", b.file, err)
		}
		said = append(said, fmt.Sprintf("%s, %s, is as the copy has it%s", b.file, b.what, aside))
	}
	return said, nil
}

// baseNames lists files without their folders.
func baseNames(files []string) string {
	var list []string
	for _, f := range files {
		list = append(list, filepath.Base(f))
	}
	return measure.FormatList(list)
}
