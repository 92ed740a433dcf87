package private

// The seal of kept code: what its files were when they were written. A line for each: checksum, length, path.

import (
	"hash/crc32"
	"io"
	"os"
)

// sealName is the file of the seal, beside go-graphviz's own folder.
const sealName = "seal"

// files are the paths below a folder of all that go-graphviz keeps in it, in order: go-graphviz/VERSION/CODE.
func files(folder string) (paths []string, err error) {
	const own = "go-graphviz"
	versions, err := os.ReadDir(folder + separator + own)
	if err != nil {
		return nil, err
	}
	for _, v := range versions {
		codes, err := os.ReadDir(folder + separator + own + separator + v.Name())
		if err != nil {
			return nil, err
		}
		for _, c := range codes {
			paths = append(paths, own+separator+v.Name()+separator+c.Name())
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
	text := ""
	for _, path := range paths {
		sum, size, err := check(folder + separator + path)
		if err != nil {
			return "", err
		}
		text += hex(uint64(sum)) + " " + hex(uint64(size)) + " " + path + "\n"
	}
	return text, nil
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

// hex writes a number; package strconv is initialised too late.
func hex(n uint64) string {
	var digits [16]byte
	for i := range digits {
		digits[len(digits)-1-i] = "0123456789abcdef"[n>>(4*i)&15]
	}
	return string(digits[:])
}

// whole reports whether a folder has code, and all of it is as it was when it was sealed.
func whole(folder string) bool {
	want, err := os.ReadFile(folder + separator + sealName)
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
	name := folder + separator + sealName
	if err := os.WriteFile(name+"-new", []byte(text), 0o600); err != nil {
		return err
	}
	return os.Rename(name+"-new", name)
}

// unsealed reports whether a folder has got more files than its seal tells of.
func unsealed(folder string) bool {
	text, err := os.ReadFile(folder + separator + sealName)
	paths, fault := files(folder)
	lines := 0
	for _, b := range text {
		if b == '\n' {
			lines++
		}
	}
	return err == nil && fault == nil && len(paths) > lines
}
