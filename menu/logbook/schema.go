package logbook

// The tables of the log book, and how an older file is brought up to date.

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
)

// application marks a file as a log book of ours (PRAGMA application_id): "KTLJ".
const application = 0x4B544C4A

// versions is how many there have been of the tables (PRAGMA user_version): schema/1.sql makes the first, and each further
// file leads from the one before to the next. One that has been in use is never changed. testdata holds a file of every
// version but the last.
const versions = 6

//go:embed schema
var schemas embed.FS

// migration is what leads to a version of the tables from the one before.
func migration(version int) string {
	src, err := schemas.ReadFile(fmt.Sprintf("schema/%d.sql", version))
	if err != nil {
		panic("mistake: " + err.Error())
	}
	return string(src)
}

// chained is the version from which entries have their chain, and triggerStays what keeps them as they are from then on.
const (
	chained      = 5
	triggerStays = "CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END"
)

// state is what the file says of itself.
type state struct{ version, app, tables int }

func stateOf(ctx context.Context, from querier) (s state, err error) {
	for _, q := range []struct {
		text string
		to   *int
	}{{"PRAGMA user_version", &s.version}, {"PRAGMA application_id", &s.app}, {"SELECT count(*) FROM sqlite_schema", &s.tables}} {
		if err := from.QueryRowContext(ctx, q.text).Scan(q.to); err != nil { // where the file is held, each would wait for as long
			return s, err
		}
	}
	return s, nil
}

// check tells whether a file may be a log book that this program can read.
func (s state) check(file string) error {
	switch begun := s.app == application; {
	case !begun && (s.app != 0 || s.tables > 0 || s.version != 0):
		return &FileError{File: file, Msg: "this is a database, but not a kettletree log book",
			Hint: "move it away: the log book of a kitchen lies beside its file, with the ending .logbook"}
	case begun && s.version < 1:
		return damaged("it says that it is of version %d, and there is none", s.version)
	case s.version > versions:
		return &FileError{File: file, Msg: fmt.Sprintf("the log book is of version %d, which a newer kettletree wrote; "+
			"this one knows %d", s.version, versions), Hint: "use the newer kettletree, or a backup from before it"}
	}
	return nil
}

// migrate brings the tables up to the last version.
func (j *Book) migrate(ctx context.Context) error {
	s, err := stateOf(ctx, j.db)
	if err == nil {
		err = s.check(j.file)
	}
	if err != nil || s.version == versions {
		return err
	}
	return j.write(ctx, func(tx *sql.Tx) error {
		s, err := stateOf(ctx, tx) // another may have been faster
		if err == nil {
			err = s.check(j.file)
		}
		if err == nil && s.version > 0 && s.version < chained { // a digest of what is damaged would make it true
			err = intact(ctx, tx)
		}
		if err != nil || s.version == versions {
			return err
		}
		for v := s.version + 1; v <= versions; v++ {
			if _, err := tx.ExecContext(ctx, migration(v)); err != nil {
				return err
			}
		}
		if s.version < chained {
			if err := j.chainAll(ctx, tx); err != nil {
				return err
			}
		} else if _, err := tx.ExecContext(ctx, triggerStays); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d; PRAGMA application_id = %d", versions, application))
		return err
	})
}

// intact checks that the file of a log book is a sound database.
func intact(ctx context.Context, from querier) error {
	var verdict string
	if err := from.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&verdict); err != nil {
		return err
	}
	if verdict != "ok" {
		return damaged("%s", verdict)
	}
	return nil
}

// chainAll gives the entries of an older log book their digests and links, and makes the register.
func (j *Book) chainAll(ctx context.Context, tx *sql.Tx) error {
	var last int64
	if err := tx.QueryRowContext(ctx, "SELECT coalesce(max(id), 0) FROM entry").Scan(&last); err != nil {
		return err
	}
	r := &register{}
	for r.last() < last {
		var ids []int64
		for id := r.last() + 1; id <= min(r.last()+perLeaf, last); id++ {
			ids = append(ids, id)
		}
		list, err := loadSome(ctx, tx, ids)
		if err != nil {
			return err
		}
		for i := range list {
			e := &list[i]
			if e.ID != ids[i] {
				return damaged("entry %d is missing", ids[i])
			}
			e.digest = digestOf(e)
			e.chain = linkOf(r.chain, e.digest)
			if _, err := tx.ExecContext(ctx, "UPDATE entry SET digest = ?, chain = ? WHERE id = ?", e.digest[:], e.chain[:], e.ID); err != nil {
				return err
			}
			r.add(e)
		}
		if len(list) < len(ids) {
			return damaged("entry %d is missing", ids[len(list)])
		}
		if len(r.tail) == perLeaf {
			if err := keepLeaf(ctx, tx, r); err != nil {
				return err
			}
		}
	}
	if err := setHead(ctx, tx, r); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, triggerStays)
	return err
}
