package board

// The files that pages load: style sheet, scripts, icon, manifest and service worker. They are part of the program; no
// request opens a file.

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"regexp"
	"strings"

	"kettletree/menu/tongue"
)

//go:embed static
var staticFiles embed.FS

// asset is a file as it is sent.
type asset struct {
	kind      string
	plain, gz []byte
}

// assets are all files, by name, under a folder whose name changes with what is in them: a device may keep them for good.
type assets struct {
	byName  map[string]asset
	version string
}

// kinds are the types of files by ending.
var kinds = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml",
	".webmanifest": "application/manifest+json",
}

// remarks are lines of a script that are there for who reads it; a phone need not.
var remarks = regexp.MustCompile(`(?m)^[ \t]*// .*\n`)

func newAssets() *assets {
	f := &assets{byName: map[string]asset{}}
	all := sha256.New()
	entries, err := fs.ReadDir(staticFiles, "static")
	if err != nil {
		panic("mistake: " + err.Error())
	}
	for _, e := range entries {
		src, err := staticFiles.ReadFile("static/" + e.Name())
		if err != nil {
			panic("mistake: " + err.Error())
		}
		fmt.Fprintf(all, "%s %d\n%s", e.Name(), len(src), src)
		f.byName[e.Name()] = asset{kind: kinds[path.Ext(e.Name())], plain: src}
	}
	f.version = fmt.Sprintf("%x", all.Sum(nil))[:12]
	for name, a := range f.byName {
		if path.Ext(name) == ".js" {
			a.plain = remarks.ReplaceAll(a.plain, nil)
		}
		a.plain = bytes.ReplaceAll(a.plain, []byte("VERSION"), []byte(f.version)) // the worker names the files that it keeps
		if name == "worker.js" {
			a.plain = bytes.ReplaceAll(a.plain, []byte("WORDS"), workerWords())
		}
		a.gz = newSheet(0, a.plain).gz
		f.byName[name] = a
	}
	return f
}

// workerSentences are those that the service worker says where there is no network.
var workerSentences = []string{"Offline", "This page was never opened on this device, so it has no copy. It has one of Today and of the map.", "Not written down",
	"There is no connection, so nothing was written. Write it down again when the connection is back.", "Today"}

// workerWords are those sentences in other languages, by their English.
func workerWords() []byte {
	all := map[string]map[string]string{}
	for _, tag := range tongue.Spoken {
		if v := tongue.In(tag); !v.English() {
			said := map[string]string{}
			for _, english := range workerSentences {
				said[english] = v.Word(english)
			}
			all[v.Lang()] = said
		}
	}
	text, err := json.Marshal(all)
	if err != nil {
		panic("mistake: " + err.Error())
	}
	return text
}

// url is where a file is found.
func (f *assets) url(name string) (string, error) {
	if _, ok := f.byName[name]; !ok {
		return "", fmt.Errorf("there is no file %q", name)
	}
	return "/static/" + f.version + "/" + name, nil
}

func (f *assets) routes(mux *http.ServeMux) {
	for name, a := range f.byName {
		at := "/static/" + f.version + "/" + name
		keep := "public, max-age=31536000, immutable"
		if name == "worker.js" || name == "board.webmanifest" { // a worker rules the folder that it stands in
			at, keep = "/"+name, "no-cache"
		}
		mux.HandleFunc("GET "+at, func(w http.ResponseWriter, r *http.Request) {
			h := w.Header()
			h.Set("Content-Type", a.kind)
			h.Set("Cache-Control", keep)
			h.Set("Vary", "Accept-Encoding")
			if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
				h.Set("Content-Encoding", "gzip")
				_, _ = w.Write(a.gz)
				return
			}
			_, _ = w.Write(a.plain)
		})
	}
}
