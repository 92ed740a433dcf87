package main

// Where an answer goes, and in which form.

import (
	"cmp"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/tongue"
)

// give writes an answer in the form that is asked for: for people, as a sheet, or as JSON. Nothing is written when it can't
// be made whole.
func give[T any](c *cli.Context, a T, text func(show.Page, T) string, sheet func(T) show.Sheet) (err error) {
	var given string
	switch {
	case c.Bool("json"):
		given, err = show.JSON(a)
	case c.Bool("csv"):
		given, err = sheet(a).CSV()
	default:
		given = text(page(c), a)
		lines, _ := c.App.Metadata[presumed].([]string)
		for _, line := range lines {
			behind(c, line)
		}
	}
	if err != nil {
		return err
	}
	return put(c, []byte(given))
}

// put writes to standard output, or to the file that --out names.
func put(c *cli.Context, text []byte) error {
	if name := c.String("out"); name != "" {
		return save(name, text)
	}
	_, err := c.App.Writer.Write(text)
	return err
}

// page is what the reader sees an answer on.
func page(c *cli.Context) show.Page {
	p := pageOn(c.App.Writer, c.String("out") == "")
	tag, _ := languageOf(c) // told before, where it is none
	p.Voice = tongue.In(tag)
	return p
}

// pageOn is the page that a writer has, which may be a terminal.
func pageOn(w io.Writer, terminal bool) show.Page {
	p := show.Page{Width: 80, Plain: !unicodeLocale()}
	if f, ok := w.(*os.File); ok && terminal && term.IsTerminal(int(f.Fd())) {
		if width, _, err := term.GetSize(int(f.Fd())); err == nil && width > 0 {
			p.Width = width
		}
		p.Colour = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	}
	if width, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && width > 0 {
		p.Width = width
	}
	return p
}

// unicodeLocale says whether the terminal shows more than ASCII.
func unicodeLocale() bool {
	locale := strings.ToLower(cmp.Or(os.Getenv("LC_ALL"), os.Getenv("LC_CTYPE"), os.Getenv("LANG")))
	return strings.Contains(locale, "utf-8") || strings.Contains(locale, "utf8") || runtime.GOOS == "windows"
}

// save writes a file for the user.
func save(name string, text []byte) error {
	if err := writeFile(name, text); err != nil {
		return &hinted{at("write", name, err), "name a file in a folder that exists and that you may write to"}
	}
	return nil
}

// at says what went wrong with a file, under the name that the user knows.
func at(doing, name string, err error) error {
	if path, ok := errors.AsType[*fs.PathError](err); ok {
		err = path.Err
	} else if link, ok := errors.AsType[*os.LinkError](err); ok {
		err = link.Err
	}
	return fmt.Errorf("%s %s: %w", doing, name, err)
}

// writeFile writes a file whole or not at all: beside it first, then in its place. What is no plain file, such as a
// pipe, is written to as it is.
func writeFile(name string, text []byte) error {
	if target, err := filepath.EvalSymlinks(name); err == nil {
		name = target
	}
	if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() {
		f, err := os.OpenFile(name, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		_, err = f.Write(text)
		return errors.Join(err, f.Close())
	}
	beside := filepath.Join(filepath.Dir(name), "."+filepath.Base(name)+"."+rand.Text())
	f, err := os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if info, there := os.Stat(name); there == nil { // who may read it stays as it was
		err = errors.Join(err, f.Chmod(info.Mode().Perm()))
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(beside, name)
	}
	if err != nil {
		_ = os.Remove(beside)
	}
	return err
}
