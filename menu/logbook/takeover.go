package logbook

// Files that are taken over: which of their rows are new, and how they are written down.

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"time"
)

// Fresh are the entries of a file whose rows were not taken over before; from names the files that had the others.
func (j *Book) Fresh(ctx context.Context, f *File) (fresh []Entry, from []string, err error) {
	places, from, err := freshRows(ctx, j.db, f)
	for _, n := range places {
		fresh = append(fresh, f.Entries[n])
	}
	return fresh, from, j.fault(err)
}

// freshRows are the places of rows that were not taken over before.
func freshRows(ctx context.Context, in asker, f *File) (places []int, from []string, err error) {
	var name string
	err = in.QueryRowContext(ctx, "SELECT name FROM file WHERE digest = ?", f.Digest).Scan(&name)
	if err == nil { // also of files from before rows were known
		return nil, []string{name}, nil
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return nil, nil, err
	}
	known, err := in.PrepareContext(ctx, `SELECT f.name FROM file_row r JOIN entry e ON e.id = r.entry
		JOIN file f ON f.id = e.file WHERE r.digest = ?`)
	if err != nil {
		return nil, nil, err
	}
	defer func() { _ = known.Close() }()
	for n, row := range f.Rows {
		switch err := known.QueryRowContext(ctx, row[:]).Scan(&name); {
		case errors.Is(err, sql.ErrNoRows):
			places = append(places, n)
		case err != nil:
			return nil, nil, err
		case !slices.Contains(from, name):
			from = append(from, name)
		}
	}
	return places, from, nil
}

// asker is a database or a transaction.
type asker interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
	PrepareContext(context.Context, string) (*sql.Stmt, error)
}

// Import keeps the entries of a file, all of them or none. Rows that were taken over before add nothing: from names the
// files that had them.
func (j *Book) Import(ctx context.Context, f *File, now time.Time) (kept []Entry, from []string, err error) {
	err = j.write(ctx, func(tx *sql.Tx) error {
		var places []int
		places, from, err = freshRows(ctx, tx, f)
		if err != nil || len(places) == 0 {
			return err
		}
		done, err := tx.ExecContext(ctx, "INSERT INTO file (name, digest, written) VALUES (?, ?, ?)", f.Name, f.Digest,
			now.Unix())
		if err != nil {
			return err
		}
		id, err := done.LastInsertId()
		if err != nil {
			return err
		}
		entries := make([]Entry, len(places))
		for i, n := range places {
			entries[i] = f.Entries[n]
			entries[i].Written = now
		}
		if kept, err = appendTo(ctx, tx, entries, &id); err != nil {
			return err
		}
		row, err := tx.PrepareContext(ctx, "INSERT INTO file_row (digest, entry) VALUES (?, ?)")
		if err != nil {
			return err
		}
		defer func() { _ = row.Close() }()
		for i, n := range places {
			if _, err := row.ExecContext(ctx, f.Rows[n][:], kept[i].ID); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	return kept, from, nil
}
