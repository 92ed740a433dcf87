package logbook

// The file of a log book, looked at before the database is asked to read it: whether it is as long as it says, and whether what lies
// beside it, to be played over it, is whole.

import (
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"os"
)

// Where things stand in the file: https://www.sqlite.org/fileformat2.html, 1.3.
const (
	magic        = "SQLite format 3\x00"
	pageSize     = 16
	writeVersion = 18
	readVersion  = 19
	changes      = 24
	pageCount    = 28
	changesThen  = 92 // when the page count was written
	headerBytes  = 100
)

// errNoBook is of a file that is no database.
var errNoBook = errors.New("no log book")

// wholeFile tells whether a file is as long as it says. While others write, what is looked at may change: then it is looked at again.
func wholeFile(path string) (err error) {
	for range 3 {
		if err = wholeNow(path); err == nil {
			return nil
		}
	}
	return err
}

func wholeNow(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // it was only read
	head := make([]byte, headerBytes)
	if _, err := io.ReadFull(f, head); err != nil || string(head[:len(magic)]) != magic {
		if err == nil || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return errNoBook
		}
		return err
	}
	info, err := f.Stat()
	if err != nil {
		return err
	}
	size := int64(binary.BigEndian.Uint16(head[pageSize:]))
	if size == 1 {
		size = 1 << 16
	}
	if size < 512 || size&(size-1) != 0 {
		return damaged("its pages can't be of %d bytes", size)
	}
	count := int64(binary.BigEndian.Uint32(head[pageCount:]))
	known := count > 0 && binary.BigEndian.Uint32(head[changes:]) == binary.BigEndian.Uint32(head[changesThen:])
	for _, beside := range []string{"-wal", "-journal"} { // what lies there may make it longer or shorter
		switch left, err := os.Stat(path + beside); {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return err
		case left.Size() > 0 && beside == "-wal":
			return wholeWAL(path + beside)
		case left.Size() > 0:
			return nil
		}
	}
	switch {
	case info.Size()%size != 0, known && info.Size() < count*size:
		return damaged("it is cut off: %d bytes of %d are there", info.Size(), max(count*size, (info.Size()/size+1)*size))
	case known && info.Size() > count*size:
		return damaged("it is longer than it says: %d bytes, not %d", info.Size(), count*size)
	}
	return nil
}

// The -wal: https://www.sqlite.org/fileformat2.html, 4.1 and 4.2.
const (
	walMagic  = 0x377f0682 // checksums of little-endian words; with the last bit, of big-endian ones
	walHeader = 32
	walFrame  = 24
)

// wholeWAL tells whether a -wal was damaged within: the database would take what comes behind for never written. What was being
// written when a machine stopped is no damage: the last transaction may be torn.
func wholeWAL(path string) error {
	b, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) { // another program has just brought it into the log book
		return nil
	}
	if err != nil || len(b) < walHeader {
		return err
	}
	var order binary.ByteOrder = binary.LittleEndian
	if first := binary.BigEndian.Uint32(b); first == walMagic|1 {
		order = binary.BigEndian
	} else if first != walMagic {
		return damaged("what was written last, in %s, can't be read", "-wal")
	}
	sum := func(s [2]uint32, b []byte) [2]uint32 {
		for ; len(b) >= 8; b = b[8:] {
			s[0] += order.Uint32(b) + s[1]
			s[1] += order.Uint32(b[4:]) + s[0]
		}
		return s
	}
	is := func(s [2]uint32, b []byte) bool {
		return s[0] == binary.BigEndian.Uint32(b) && s[1] == binary.BigEndian.Uint32(b[4:])
	}
	s := sum([2]uint32{}, b[:24])
	if !is(s, b[24:]) {
		return damaged("what was written last, in %s, can't be read", "-wal")
	}
	size, salts := int(binary.BigEndian.Uint32(b[8:])), string(b[16:24])
	if size < 512 || size > 1<<16 {
		return damaged("what was written last, in %s, can't be read", "-wal")
	}
	broken, commits := false, 0
	for at := walHeader; at+walFrame+size <= len(b); at += walFrame + size {
		frame := b[at : at+walFrame+size]
		if !broken {
			next := sum(sum(s, frame[:8]), frame[walFrame:])
			if broken = string(frame[8:16]) != salts || !is(next, frame[16:]); !broken {
				s = next
				continue
			}
		}
		if string(frame[8:16]) == salts && binary.BigEndian.Uint32(frame[4:]) > 0 {
			commits++
		}
	}
	if commits > 1 {
		return damaged("what was written last, in %s, is damaged within", "-wal")
	}
	return nil
}
