package main

// Which kitchen file is meant.

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"

	"kettletree/graph/measure"
)

// kitchenName is the file that is read where none is named, or where a folder is.
const kitchenName = "kitchen.yaml"

// kitchenFile is the kitchen file that is meant: the one that is named, or that of a folder. A folder that has only one under another name
// means that.
func kitchenFile(args []string) string {
	folder := "."
	if len(args) > 0 {
		if folder = args[0]; !isFolder(folder) {
			return folder
		}
	}
	if all := kitchensIn(folder); len(all) == 1 {
		return filepath.Join(folder, all[0])
	}
	return filepath.Join(folder, kitchenName)
}

func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// kitchensIn names the kitchen files of a folder that has none of the usual name.
func kitchensIn(folder string) (names []string) {
	if _, err := os.Lstat(filepath.Join(folder, kitchenName)); err == nil {
		return nil
	}
	files, err := os.ReadDir(folder)
	if err != nil {
		return nil // whoever reads the file says why it can't be
	}
	for _, f := range files {
		ext := strings.ToLower(filepath.Ext(f.Name()))
		if (ext == ".yaml" || ext == ".yml") && f.Type().IsRegular() && namesKitchen(filepath.Join(folder, f.Name())) {
			names = append(names, f.Name())
		}
	}
	return names
}

// namesKitchen tells whether a file has the word "kitchen:" at the beginning of one of its first lines, as kitchen files do.
func namesKitchen(name string) bool {
	f, err := os.Open(name)
	if err != nil {
		return false
	}
	defer func() { _ = f.Close() }() // it is only read
	const head = 64 << 10
	for lines := bufio.NewScanner(io.LimitReader(f, head)); lines.Scan(); {
		if bytes.HasPrefix(lines.Bytes(), []byte("kitchen:")) {
			return true
		}
	}
	return false
}

// whichKitchen is what to do where the file that is meant is not there.
func whichKitchen(args []string) string {
	folder := "."
	if len(args) > 0 {
		folder = args[0]
	}
	if all := kitchensIn(folder); len(all) > 1 {
		return "there are several kitchen files there: " + measure.FormatList(all) + "; name one"
	}
	return "kettletree start makes one from a few questions; or name a kitchen file, or a folder with a kitchen.yaml"
}
