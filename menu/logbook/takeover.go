package logbook

// Files that are taken over: which of their rows are new, and how they are written down.

import (
	"context"
	"database/sql"
	"slices"
	"time"
)

// Fresh are the entries of a file whose rows were not taken over before; from names the files that had the others.
func (j *Book) Fresh(ctx context.Context, f *File) (fresh []Entry, from []string, err error) {
	j.reading.Lock()
	defer j.reading.Unlock()
	places, from, err := j.freshRows(ctx, j.db, f)
	for _, n := range places {
		fresh = append(fresh, f.Entries[n])
	}
	return fresh, from, j.fault(err)
}

// freshRows are the places of rows that were not taken over before. All entries that were taken over are read for it: to know a row
// again is no matter to be left to what may be damaged. The lock of the register must be held.
func (j *Book) freshRows(ctx context.Context, in querier, f *File) (places []int, from []string, err error) {
	if err := j.refresh(ctx, in); err != nil {
		return nil, nil, err
	}
	whole, known := "", map[string]string{} // the names of files: of this one, and by row
	err = load(ctx, in, j.register.pick(func(n *noted) bool { return n.taken }), func(e *kept) error {
		if e.source.digest == f.Digest {
			whole = e.source.name
		}
		if len(e.row) > 0 {
			known[string(e.row)] = e.source.name
		}
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	if whole != "" { // also of files from before rows were known
		return nil, []string{whole}, nil
	}
	for n, row := range f.Rows {
		switch name, is := known[string(row[:])]; {
		case !is:
			places = append(places, n)
		case !slices.Contains(from, name):
			from = append(from, name)
		}
	}
	return places, from, nil
}

// Import keeps the entries of a file, all of them or none. Rows that were taken over before add nothing: from names the
// files that had them.
func (j *Book) Import(ctx context.Context, f *File, now time.Time) (list []Entry, from []string, err error) {
	err = j.write(ctx, func(tx *sql.Tx) error {
		var places []int
		places, from, err = j.freshRows(ctx, tx, f)
		if err != nil || len(places) == 0 {
			return err
		}
		done, err := tx.ExecContext(ctx, "INSERT INTO file (name, digest, written) VALUES (?, ?, ?)", f.Name, f.Digest,
			now.Unix())
		if err != nil {
			return err
		}
		of := &fromFile{source: &source{name: f.Name, digest: f.Digest, written: now.Unix()}}
		if of.source.id, err = done.LastInsertId(); err != nil {
			return err
		}
		entries := make([]Entry, len(places))
		for i, n := range places {
			entries[i] = f.Entries[n]
			entries[i].Written = now
			of.rows = append(of.rows, f.Rows[n][:])
		}
		list, err = j.appendTo(ctx, tx, entries, of)
		return err
	})
	if err != nil {
		return nil, nil, err
	}
	return list, from, nil
}
