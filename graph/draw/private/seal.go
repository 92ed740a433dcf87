package private

// The seal of kept code: what its files were when they were written. A line for each: checksum, length, path.

import (
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// sealName is the file of the seal, beside the folder that the code is kept in.
const sealName = "seal"

// files are the paths below a folder of all code that is kept in it, in order: FOLDER/CODE.
func files(folder string) (paths []string, err error) {
	within, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	for _, f := range within {
		if !f.IsDir() {
			continue
		}
		codes, err := os.ReadDir(filepath.Join(folder, f.Name()))
		if err != nil {
			return nil, err
		}
		for _, c := range codes {
			paths = append(paths, filepath.Join(f.Name(), c.Name()))
		}
	}
	return paths, nil
}

// state words what the files of a folder are now, as its seal does.
func state(folder string) (string, error) {
	paths, err := files(folder)
	if err != nil {
		return "", err
	}
	var text strings.Builder
	for _, path := range paths {
		sum, size, err := check(filepath.Join(folder, path))
		if err != nil {
			return "", err
		}
		fmt.Fprintf(&text, "%08x %d %s\n", sum, size, path)
	}
	return text.String(), nil
}

// check is the checksum and the length of a file.
func check(path string) (sum uint32, size int64, err error) {
	f, err := os.Open(path)
	if err != nil {
		return 0, 0, err
	}
	defer func() { _ = f.Close() }() // it was only read
	hash := crc32.New(crc32.MakeTable(crc32.Castagnoli))
	size, err = io.CopyBuffer(hash, struct{ io.Reader }{f}, make([]byte, 1<<18))
	return hash.Sum32(), size, err
}

// whole reports whether a folder has code, and all of it is as it was when it was sealed.
func whole(folder string) bool {
	want, err := os.ReadFile(filepath.Join(folder, sealName))
	if err != nil || len(want) == 0 {
		return false
	}
	is, err := state(folder)
	return err == nil && is == string(want)
}

// seal seals a folder as it is: beside first, then in its place.
func seal(folder string) error {
	text, err := state(folder)
	if err != nil {
		return err
	}
	name := filepath.Join(folder, sealName)
	if err := os.WriteFile(name+"-new", []byte(text), 0o600); err != nil {
		return err
	}
	return os.Rename(name+"-new", name)
}

// unsealed reports whether a folder has got more files than its seal tells of.
func unsealed(folder string) bool {
	text, err := os.ReadFile(filepath.Join(folder, sealName))
	paths, fault := files(folder)
	return err == nil && fault == nil && len(paths) > strings.Count(string(text), "\n")
}
