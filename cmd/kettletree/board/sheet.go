package board

// A page as it is sent: packed, with a tag by which a device finds out that it has it already.

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"sync"
)

// sheet is a page ready to be sent.
type sheet struct {
	status int
	tag    string
	gz     []byte

	passing bool // not to be kept
}

// packers pack pages: each has a megabyte of its own.
var packers = sync.Pool{New: func() any {
	z, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed) // the level is one that there is
	return z
}}

// newSheet packs a page.
func newSheet(status int, html []byte) *sheet {
	var b bytes.Buffer
	z := packers.Get().(*gzip.Writer)
	z.Reset(&b)
	_, _ = z.Write(html) // a bytes.Buffer doesn't fail
	_ = z.Close()
	packers.Put(z)
	sum := sha256.Sum256(html)
	return &sheet{status: status, tag: fmt.Sprintf("\"%x\"", sum[:8]), gz: b.Bytes()}
}

// send sends a page, or says that the device has it already.
func (s *sheet) send(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "private, no-cache")
	h.Set("Vary", "Accept-Encoding, Accept-Language, Cookie")
	h.Set("ETag", s.tag)
	if s.status == http.StatusOK && r.Header.Get("If-None-Match") == s.tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		h.Set("Content-Encoding", "gzip")
		h.Set("Content-Length", strconv.Itoa(len(s.gz)))
		w.WriteHeader(s.status)
		_, _ = w.Write(s.gz) // who went away needs no page
		return
	}
	w.WriteHeader(s.status)
	if z, err := gzip.NewReader(bytes.NewReader(s.gz)); err == nil {
		_, _ = io.Copy(w, z)
	}
}
