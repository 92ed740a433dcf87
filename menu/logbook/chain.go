package logbook

// The chain: each entry carries a digest of all that it says, and a link made of that digest and the link before it. So a changed entry
// stands by itself, and one that was swapped, put in or left out by the end of the chain.

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"time"
)

// digest is a SHA-256 sum.
type digest = [sha256.Size]byte

// kept is an entry as it stands in the file: with its time by the clock that it was written by.
type kept struct {
	Entry
	source *source // the file that it was taken over from; nil for none
	row    []byte  // of that file, see [Row]
	digest digest
	chain  digest
}

// source is a file that entries were taken over from.
type source struct {
	id      int64
	name    string
	digest  string
	written int64
}

// digestOf is the digest of all that an entry says, in an encoding of which no two entries have the same: numbers in eight bytes,
// texts behind their lengths, each list behind its length, in an order that never changes. What is new comes at the end, and
// only where it is there, so that older entries keep their digests.
func digestOf(e *kept) digest {
	w := encoding{make([]byte, 0, 512)}
	w.whole(e.ID)
	w.text(string(e.Kind))
	w.whole(e.At.Unix())
	w.whole(e.Written.Unix())
	w.text(e.Zone)
	w.whole(e.Corrects)
	w.text(e.Text)
	w.text(e.Step)
	w.real(e.Batches)
	w.text(e.Dish)
	w.whole(int64(e.Portions))
	w.text(e.Service)
	w.text(e.To)
	if w.flag(e.Paid != nil); e.Paid != nil {
		w.real(*e.Paid)
	}
	w.text(e.Supplier)
	w.text(e.Mark)
	w.text(e.Reason)
	w.text(e.Of)
	w.whole(int64(e.Until))
	if e.Kind == Temperature {
		w.real(e.Celsius)
	}
	w.text(e.Reading)
	w.text(e.Did)
	w.text(e.Day)
	w.real(e.Share)
	if w.flag(!e.Begins.IsZero()); !e.Begins.IsZero() {
		w.text(e.Begins.Format(time.DateOnly))
	}
	for _, list := range [][]Amount{e.Takes, e.Gives} {
		w.whole(int64(len(list)))
		for _, a := range list {
			w.text(a.Item)
			w.real(a.Base)
			w.text(measures[a.Kind])
			w.text(a.Typed)
			w.text(a.Mark)
		}
	}
	w.whole(int64(len(e.Card)))
	for _, d := range e.Card {
		w.text(d.Item)
		w.real(d.Base)
		w.text(measures[d.Kind])
		w.flag(d.Out)
		w.whole(int64(d.After))
	}
	if len(e.Tastes) > 0 {
		w.text("tastes")
		w.whole(int64(len(e.Tastes)))
		for _, t := range e.Tastes {
			w.text(t.Name)
			if w.flag(t.Value != nil); t.Value != nil {
				w.real(*t.Value)
			}
			w.text(t.Unit)
			w.text(t.Word)
		}
	}
	if e.source != nil {
		w.whole(e.source.id)
		w.text(e.source.name)
		w.text(e.source.digest)
		w.whole(e.source.written)
		w.text(string(e.row))
	}
	return sha256.Sum256(w.b)
}

// encoding is what a digest is made of.
type encoding struct{ b []byte }

func (w *encoding) whole(n int64) { w.b = binary.BigEndian.AppendUint64(w.b, uint64(n)) }

func (w *encoding) flag(is bool) {
	if w.b = append(w.b, 0); is {
		w.b[len(w.b)-1] = 1
	}
}

func (w *encoding) real(x float64) { w.whole(int64(math.Float64bits(x + 0))) } // the database knows no minus zero

func (w *encoding) text(s string) {
	w.whole(int64(len(s)))
	w.b = append(w.b, s...)
}

// linkOf is the link of an entry behind the link before.
func linkOf(before, own digest) digest { return sumOf(before[:], own[:]) }

// sumOf is the sum of some parts, each behind its length.
func sumOf(parts ...[]byte) digest {
	var w encoding
	for _, p := range parts {
		w.text(string(p))
	}
	return sha256.Sum256(w.b)
}

// asDigest reads a digest as it is kept; ok is false of what is none.
func asDigest(b []byte) (d digest, ok bool) {
	if len(b) != len(d) {
		return d, false
	}
	return digest(b), true
}

// short is a link as people compare it.
func short(d digest) string {
	text := hex.EncodeToString(d[:6])
	return fmt.Sprintf("%s %s %s", text[:4], text[4:8], text[8:])
}

// damage is what shows that a log book is not as it was written.
type damage struct{ what string }

func (d *damage) Error() string { return d.what }

func damaged(format string, args ...any) error { return &damage{fmt.Sprintf(format, args...)} }
