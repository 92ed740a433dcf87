package logbook

// A log book is gone through from the first byte to the last: what is damaged is named, and so is what is sound.

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Checked is what a look through a whole log book found.
type Checked struct {
	LogBook string    `json:"log_book"`
	Whole   bool      `json:"whole"`   // nothing is damaged
	Entries int64     `json:"entries"` // that were written
	Chain   string    `json:"chain"`   // its end, where it is whole: the same as "log show" tells; "" of an older version, which has none yet
	Sound   []Range   `json:"sound"`   // entries that are as they were written
	Unsound []Unsound `json:"unsound"` // the others
	Faults  []string  `json:"faults"`  // what else is damaged
}

// Range is a run of entries.
type Range struct {
	First int64 `json:"first"`
	Last  int64 `json:"last"`
}

// Unsound is an entry that is not as it was written.
type Unsound struct {
	Entry int64  `json:"entry"`
	Why   string `json:"why"`
}

// mostTold bounds what is said of the database itself.
const mostTold = 10

// Check goes through a log book, also one that can't be opened any more, and changes nothing. The error says what keeps it from being
// looked at at all.
func Check(ctx context.Context, file string) (*Checked, error) {
	c, _, err := checked(ctx, file)
	return c, err
}

// SoundEntries are the entries of a log book that are as they were written, in the order of writing, whatever happened to the others.
func SoundEntries(ctx context.Context, file string) ([]Entry, *Checked, error) {
	c, list, err := checked(ctx, file)
	return list, c, err
}

func checked(ctx context.Context, file string) (c *Checked, sound []Entry, err error) {
	c = &Checked{LogBook: file, Sound: []Range{}, Unsound: []Unsound{}, Faults: []string{}}
	j := &Book{file: file}
	path, err := filepath.Abs(file)
	if err != nil {
		return nil, nil, j.fault(err)
	}
	switch info, err := os.Stat(path); {
	case err != nil:
		if _, link := os.Readlink(path); link == nil {
			return nil, nil, j.place(path)
		}
		return nil, nil, j.fault(err)
	case !info.Mode().IsRegular() || info.Size() == 0:
		return nil, nil, j.place(path)
	}
	fault := func(err error) {
		if err != nil && ctx.Err() == nil {
			text := j.why(err)
			if !slices.Contains(c.Faults, text) {
				c.Faults = append(c.Faults, text)
			}
		}
	}
	fault(wholeFile(path))
	shut, err := j.toRead(ctx, path)
	if err != nil {
		fault(err)
		return c, nil, nil
	}
	defer shut()
	s, err := stateOf(ctx, j.db)
	if err == nil {
		err = s.check(file)
	}
	if f, ok := err.(*FileError); ok {
		return nil, nil, f
	}
	if isBusy(err) {
		return nil, nil, j.fault(err)
	}
	fault(err)
	if err == nil && s.version < chained {
		// What has no chain yet is as sound as the database says.
		fault(intact(ctx, j.db))
		err := j.db.QueryRowContext(ctx, "SELECT coalesce(max(id), 0) FROM entry").Scan(&c.Entries)
		fault(err)
		if c.Whole = len(c.Faults) == 0; c.Whole && c.Entries > 0 {
			c.Sound = append(c.Sound, Range{1, c.Entries})
		}
		return c, nil, ctx.Err()
	}
	for _, text := range faultsOf(ctx, j.db) {
		c.Faults = append(c.Faults, "its tables are not as they were written: "+text)
	}
	fault(defined(ctx, j.db))
	for _, text := range []string{"SELECT * FROM played", "SELECT * FROM playing"} {
		if err := rowsIn(ctx, j.db, text); err != nil {
			fault(err)
		}
	}
	sound = c.entries(ctx, j)
	r := &register{}
	if err := c.chain(ctx, j, r); err != nil {
		fault(err)
	} else if c.Chain = short(r.chain); len(c.Unsound) > 0 {
		c.Chain = ""
	}
	c.Whole = len(c.Faults) == 0 && len(c.Unsound) == 0
	return c, sound, ctx.Err()
}

// why words an error as a part of what is said.
func (j *Book) why(err error) string {
	if f, ok := errors.AsType[*FileError](j.fault(err)); ok {
		return strings.TrimPrefix(f.Msg, "the log book is damaged: ")
	}
	return err.Error()
}

// faultsOf is what the database says against itself.
func faultsOf(ctx context.Context, from querier) (list []string) {
	rows, err := from.QueryContext(ctx, fmt.Sprintf("PRAGMA integrity_check(%d)", mostTold))
	if err != nil {
		return []string{(&Book{}).why(err)}
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		var text string
		if rows.Scan(&text) == nil && text != "ok" {
			list = append(list, text)
		}
	}
	if err := rows.Err(); err != nil {
		list = append(list, (&Book{}).why(err))
	}
	return list
}

// defined makes tables of a book elsewhere, as the book defines them: who only reads it is not told of a definition that can't be
// followed, and who writes it is.
func defined(ctx context.Context, from querier) (err error) {
	empty, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, empty.Close()) }()
	empty.SetMaxOpenConns(1) // each would have tables of its own
	rows, err := from.QueryContext(ctx, "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%' ORDER BY rowid")
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		var definition string
		if err := rows.Scan(&definition); err != nil {
			return err
		}
		if _, err := empty.ExecContext(ctx, definition); err != nil {
			return err
		}
	}
	return rows.Err()
}

// rowsIn goes through the rows of a query.
func rowsIn(ctx context.Context, from querier, query string) error {
	rows, err := from.QueryContext(ctx, query)
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
	}
	return rows.Err()
}

// entries reads every entry that there was, together where they are whole, one by one where they are not.
func (c *Checked) entries(ctx context.Context, j *Book) (sound []Entry) {
	var last, head, counted int64
	for text, to := range map[string]*int64{"SELECT coalesce(max(id), 0) FROM entry": &last, "SELECT last FROM head": &head,
		"SELECT seq FROM sqlite_sequence WHERE name = 'entry'": &counted} {
		_ = j.db.QueryRowContext(ctx, text).Scan(to) // where one of them is damaged, the others tell
	}
	const most = 1 << 32 // a number that is damaged may be any
	for _, n := range []int64{last, head, counted} {
		if n > c.Entries && n < most && n < 2*max(last, min(head, counted), 1<<10) {
			c.Entries = n
		}
	}
	take := func(e *kept) error {
		if n := len(c.Sound); n > 0 && c.Sound[n-1].Last == e.ID-1 {
			c.Sound[n-1].Last = e.ID
		} else {
			c.Sound = append(c.Sound, Range{e.ID, e.ID})
		}
		e.here()
		sound = append(sound, e.Entry)
		return nil
	}
	for first := int64(1); first <= c.Entries && ctx.Err() == nil; first += perLeaf {
		var ids []int64
		for id := first; id < first+perLeaf && id <= c.Entries; id++ {
			ids = append(ids, id)
		}
		var some []kept
		err := load(ctx, j.db, ids, func(e *kept) error {
			some = append(some, *e)
			return nil
		})
		if err == nil {
			for i := range some {
				_ = take(&some[i]) // it returns none
			}
			continue
		}
		for _, id := range ids {
			if err := load(ctx, j.db, []int64{id}, take); err != nil && ctx.Err() == nil {
				c.Unsound = append(c.Unsound, Unsound{id, j.why(err)})
			}
		}
	}
	return sound
}

// chain goes along the whole chain, and holds the register in the file against it. What was played is only a copy: what is damaged
// of it is played again.
func (c *Checked) chain(ctx context.Context, j *Book, r *register) error {
	if err := j.refresh(ctx, j.db); err != nil { // the end of it, and the seals of the leaves
		return err
	}
	leaves := map[int64]string{}
	rows, err := j.db.QueryContext(ctx, "SELECT number, register FROM leaf")
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		var number int64
		var list []byte
		if err := rows.Scan(&number, &list); err != nil {
			return err
		}
		leaves[number] = string(list)
	}
	if err := rows.Err(); err != nil {
		return err
	}
	ids := j.register.pick(func(*noted) bool { return true })
	err = load(ctx, j.db, ids, func(e *kept) error {
		if linkOf(r.chain, e.digest) != e.chain {
			return damaged("the chain breaks at entry %d", e.ID)
		}
		if r.add(e); len(r.tail) == perLeaf {
			if full := r.turn(); leaves[r.leaves] != string(full) {
				return damaged("its register is not as its entries are, from entry %d to %d", r.last()-perLeaf+1, r.last())
			}
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case r.chain != j.register.chain || r.seal != j.register.seal:
		return damaged("the chain does not end as it was written")
	}
	return nil
}

// wholeBook checks a log book that is to be a copy, or to be copied: all of it.
func wholeBook(ctx context.Context, file string) error {
	c, err := Check(ctx, file)
	if err != nil {
		return err
	}
	if c.Whole {
		return nil
	}
	if len(c.Faults) > 0 {
		return damaged("%s", c.Faults[0])
	}
	return damaged("%s", c.Unsound[0].Why)
}
