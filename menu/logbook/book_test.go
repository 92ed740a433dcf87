package logbook

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// day is a day of a kitchen, an entry of each kind.
func day(t testing.TB) []Entry {
	k := someKitchen(t)
	return []Entry{
		entry(t, k, at(0, 7), Received, `10 kg pork shoulder for 51 from "corner butcher" lot A17`),
		entry(t, k, at(0, 8), Counted, `0 each tortilla`),
		entry(t, k, at(0, 10), Cooked, `braise x1: 6 kg pork shoulder, 6 L water -> `+
			`3.5 kg pulled shoulder, shoulder broth 2 cm in big kettle`),
		entry(t, k, at(0, 14), Sold, `10 tacos at lunch`),
		entry(t, k, at(0, 14), Binned, `200 g pulled shoulder, dropped`),
		entry(t, k, at(0, 15), Temperature, `shoulder broth lot B2 40 F, shallow pan`),
	}
}

func TestWhatIsKeptIsReadBack(t *testing.T) {
	j := newLogBook(t)
	kept, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	require.NoError(t, j.Close())
	j = open(t, j.file)
	read, err := j.Entries(t.Context())
	require.NoError(t, err)
	assert.Equal(t, kept, read)
	want := day(t)
	for i := range want {
		want[i].ID = int64(i + 1)
	}
	assert.Equal(t, want, read)
	info, err := os.Stat(j.file)
	require.NoError(t, err)
	assert.True(t, info.Mode().IsRegular())
}

func TestNothingIsOverwritten(t *testing.T) {
	j := newLogBook(t)
	kept, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	for _, statement := range []string{
		"UPDATE entry SET text = 'x' WHERE id = 1",
		"UPDATE amount SET base = 0 WHERE entry = 1",
		"DELETE FROM entry WHERE id = 6",
		"DELETE FROM amount WHERE entry = 1",
		"INSERT OR REPLACE INTO entry (id, kind, at, written, text) VALUES (1, 'binned', 0, 0, 'x')",
		"INSERT OR REPLACE INTO amount VALUES (1, 0, 1, 'hen', 1, 'each', 'x')",
		"INSERT INTO amount VALUES (99, 0, 1, 'hen', 1, 'each', 'x')",
		"INSERT INTO entry (kind, at, written, text) VALUES ('lost', 0, 0, 'x')",
		"INSERT INTO entry (kind, at, written, text) VALUES ('sold', 0, 0, 'x')",
		"INSERT INTO entry (kind, at, written, text, corrects) VALUES ('undone', 0, 0, 'x', 77)",
		"INSERT INTO entry (kind, at, written, text) VALUES ('binned', 'noon', 0, 'x')",
	} {
		_, err := j.db.Exec(statement)
		assert.Error(t, err, statement)
	}
	read, err := j.Entries(t.Context())
	require.NoError(t, err)
	assert.Equal(t, kept, read)
}

func TestTheFileIsSetForKeeping(t *testing.T) {
	j := newLogBook(t)
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1",
		"busy_timeout": "10000", "user_version": fmt.Sprint(versions), "application_id": fmt.Sprint(application)} {
		var got string
		require.NoError(t, j.db.QueryRow("PRAGMA "+pragma).Scan(&got))
		assert.Equal(t, want, got, pragma)
	}
}

func TestCorrections(t *testing.T) {
	j := newLogBook(t)
	k := someKitchen(t)
	write := func(corrects int64, kind Kind, text string) (int64, error) {
		e := entry(t, k, at(0, 9), kind, text)
		e.Corrects = corrects
		kept, err := j.Append(t.Context(), e)
		if err != nil {
			return 0, err
		}
		return kept[0].ID, nil
	}
	undo := func(id int64) error {
		_, err := j.Undo(t.Context(), id, at(0, 10))
		return err
	}
	standing := func() (ids []int64) {
		all, err := j.Entries(t.Context())
		require.NoError(t, err)
		for _, e := range Standing(all) {
			ids = append(ids, e.ID)
		}
		return ids
	}
	for _, text := range []string{"10 kg pork shoulder", "3 each hen"} { // 1, 2
		_, err := write(0, Received, text)
		require.NoError(t, err)
	}
	_, err := write(1, Received, "9 kg pork shoulder") // 3
	require.NoError(t, err)
	_, err = write(3, Received, "9.5 kg pork shoulder") // 4
	require.NoError(t, err)
	assert.Equal(t, []int64{2, 4}, standing())
	require.NoError(t, undo(4)) // 5: 3 stands in for 1 again
	assert.Equal(t, []int64{2, 3}, standing())
	require.NoError(t, undo(3)) // 6
	assert.Equal(t, []int64{1, 2}, standing())
	require.NoError(t, undo(6)) // 7: the correction was right after all
	assert.Equal(t, []int64{2, 3}, standing())

	for want, err := range map[string]error{
		"there is no entry 99":          undo(99),
		"entry 4 was undone by entry 5": undo(4),
		"entry 1 was corrected by entry 3": func() error {
			_, err := write(1, Received, "8 kg pork shoulder")
			return err
		}(),
		`entry 2 is "received", so "binned" can't replace it`: func() error {
			_, err := write(2, Binned, "1 each hen")
			return err
		}(),
	} {
		assert.EqualError(t, err, want)
		assert.IsType(t, &EntryError{}, err)
	}
	assert.Equal(t, []int64{2, 3}, standing(), "what is refused leaves nothing")
}

func TestACorrectionHappenedWhenTheOtherDid(t *testing.T) {
	j := newLogBook(t)
	e := entry(t, someKitchen(t), at(0, 9), Received, "10 kg pork shoulder")
	_, err := j.Append(t.Context(), e)
	require.NoError(t, err)
	e.Corrects, e.At = 1, time.Time{}
	kept, err := j.Append(t.Context(), e)
	require.NoError(t, err)
	assert.Equal(t, at(0, 9), kept[0].At)
}

// A delivery that is put right within the minute in which what came was counted stays before the count, be the log book open
// meanwhile or not.
func TestACorrectionStaysBeforeTheCount(t *testing.T) {
	k := someKitchen(t)
	for _, reopened := range []bool{false, true} {
		path := filepath.Join(t.TempDir(), "kitchen.logbook")
		open := func() *Book {
			j, err := Open(t.Context(), path)
			require.NoError(t, err)
			return j
		}
		j := open()
		write := func(e Entry) {
			_, err := j.Append(t.Context(), e)
			require.NoError(t, err)
		}
		had := func() float64 {
			if reopened {
				require.NoError(t, j.Close())
				j = open()
			}
			stock, err := j.OnHand(t.Context(), k, at(0, 9))
			require.NoError(t, err)
			sum := 0.0
			for _, l := range stock.Lots {
				sum += l.Amount
			}
			return sum
		}
		entries := typed(t, k, `
			0/07 received 50 kg pork shoulder
			0/07 counted 3 kg pork shoulder
			0/07 received 5 kg pork shoulder
			0/07 counted 4 kg pork shoulder`)
		for n := range entries { // of one minute, some seconds apart as the clock writes them
			entries[n].ID, entries[n].Written = 0, at(0, 7).Add(time.Duration(n)*time.Second)
		}
		write(entries[0])
		write(entries[1])
		assert.Equal(t, 3000.0, had())
		entries[2].Corrects = 1
		write(entries[2])
		assert.Equal(t, 3000.0, had(), "the count came after the delivery")
		entries[3].Corrects = 2
		write(entries[3])
		assert.Equal(t, 4000.0, had(), "the count itself is put right")
		require.NoError(t, j.Close())
	}
}

// old makes a log book of an earlier version from its text in testdata.
func old(t *testing.T, version int) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", fmt.Sprintf("v%d.sql", version)))
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	db, err := sql.Open("sqlite", file)
	require.NoError(t, err)
	_, err = db.Exec(string(text))
	require.NoError(t, err)
	require.NoError(t, db.Close())
	return file
}

// schema is the tables and triggers of a log book, as text.
func schema(t *testing.T, j *Book) (list []string) {
	rows, err := j.db.Query("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name")
	require.NoError(t, err)
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		var text string
		require.NoError(t, rows.Scan(&text))
		list = append(list, text)
	}
	require.NoError(t, rows.Err())
	return list
}

// A log book of every earlier version is brought up to date, with all that stands in it, and goes on as one that is new.
func TestMigrations(t *testing.T) {
	fresh := schema(t, newLogBook(t))
	for version := 1; version < versions; version++ {
		j := open(t, old(t, version))
		assert.Equal(t, fresh, schema(t, j))
		entries, err := j.Entries(t.Context())
		require.NoError(t, err)
		require.Len(t, entries, 5)
		assert.Equal(t, Entry{ID: 1, Kind: Received, At: at(1, 8), Written: at(1, 8).Add(time.Minute),
			Text:  "10 kg pork shoulder for 51 from butcher lot A17",
			Gives: []Amount{{Item: "pork shoulder", Base: 10_000, Typed: "10 kg"}}, Paid: new(51.0), Supplier: "butcher",
			Mark: "A17"}, entries[0])
		assert.Len(t, Standing(entries), 3)
		stock, err := j.OnHand(t.Context(), someKitchen(t), at(2, 0))
		require.NoError(t, err)
		assert.Len(t, stock.Lots, 3, "4 kg shoulder, 3.6 kg pulled, 4.5 L broth")
		kept, err := j.Append(t.Context(), day(t)...)
		require.NoError(t, err)
		assert.EqualValues(t, 6, kept[0].ID)
	}
}

func TestFilesThatAreNoLogBook(t *testing.T) {
	folder := t.TempDir()
	path := func(name string) string { return filepath.Join(folder, name) }
	newer := open(t, path("newer"))
	_, err := newer.db.Exec("PRAGMA user_version = 9")
	require.NoError(t, err)
	require.NoError(t, newer.Close())
	other, err := sql.Open("sqlite", path("other"))
	require.NoError(t, err)
	_, err = other.Exec("CREATE TABLE guests (name TEXT)")
	require.NoError(t, err)
	require.NoError(t, other.Close())
	text := []byte("a text that is no database, and long enough to be read as one\n")
	require.NoError(t, os.WriteFile(path("text"), text, 0o600))
	require.NoError(t, os.Mkdir(path("folder"), 0o700))
	hurt := open(t, path("hurt"))
	_, err = hurt.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	require.NoError(t, hurt.Close())
	src, err := os.ReadFile(path("hurt"))
	require.NoError(t, err)
	for i := 4096; i < len(src); i++ {
		src[i] = 0xEE
	}
	require.NoError(t, os.WriteFile(path("hurt"), src, 0o600))
	for name, want := range map[string]string{
		"newer":   "the log book is of version 9, which a newer kettletree wrote; this one knows 6",
		"other":   "this is a database, but not a kettletree log book",
		"text":    "the log book is damaged, or is not a log book",
		"folder":  "the log book is not a plain file",
		"hurt":    "the log book is damaged, or is not a log book",
		"no/file": "the log book can't be opened or made",
	} {
		j, err := Open(t.Context(), path(name))
		if err == nil {
			_, err = j.Entries(t.Context())
			_ = j.Close()
		}
		require.EqualError(t, err, path(name)+": "+want)
		fault, ok := err.(*FileError)
		require.True(t, ok)
		assert.NotEmpty(t, fault.Hint)
	}
}

func TestAName(t *testing.T) {
	file := filepath.Join(t.TempDir(), "100% of it? #1.logbook") // signs that mean something in a URI
	j := open(t, file)
	_, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	require.NoError(t, j.Close())
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.NotZero(t, info.Size())
}

func TestPath(t *testing.T) {
	assert.Equal(t, filepath.Join("a", "kitchen.logbook"), Path(filepath.Join("a", "kitchen.yaml")))
	assert.Equal(t, "pot.logbook", Path("pot.yml"))
	assert.Equal(t, "pot.logbook", Path("pot"))
}

func TestBackup(t *testing.T) {
	j := newLogBook(t)
	kept, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	folder := t.TempDir()
	to := filepath.Join(folder, "copy.logbook")
	for range 2 { // the second takes the place of the first
		require.NoError(t, j.Backup(t.Context(), to))
		names, err := os.ReadDir(folder)
		require.NoError(t, err)
		require.Len(t, names, 1)
		read, err := func() ([]Entry, error) {
			c, err := Open(t.Context(), to)
			require.NoError(t, err)
			defer func() { _ = c.Close() }()
			return c.Entries(t.Context())
		}()
		require.NoError(t, err)
		assert.Equal(t, kept, read)
	}
	require.EqualError(t, j.Backup(t.Context(), j.file), j.file+": this is the log book itself")
	nowhere := filepath.Join(folder, "no", "copy")
	require.EqualError(t, j.Backup(t.Context(), nowhere), nowhere+": the folder for the copy does not exist")
	require.NoError(t, os.Mkdir(filepath.Join(folder, "taken"), 0o700))
	require.Error(t, j.Backup(t.Context(), filepath.Join(folder, "taken")))
	names, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, names, 2, "what failed leaves nothing behind")
}

// A log book that may not be written to says so.
func TestReadOnly(t *testing.T) {
	j := newLogBook(t)
	_, err := j.db.Exec("PRAGMA query_only = 1") // the same error as of a file without the right to write
	require.NoError(t, err)
	_, err = j.Append(t.Context(), day(t)...)
	require.EqualError(t, err, j.file+": the log book can't be written to")
}

// What was written down before a disk is full stays, and what was not is said.
func TestAFullDisk(t *testing.T) {
	j := newLogBook(t)
	_, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	var pages int
	require.NoError(t, j.db.QueryRow("PRAGMA page_count").Scan(&pages))
	_, err = j.db.Exec(fmt.Sprintf("PRAGMA max_page_count = %d", pages)) // the same error as of a disk without room
	require.NoError(t, err)
	var many []Entry
	for n := range 1000 {
		many = append(many, whole(n))
	}
	_, err = j.Append(t.Context(), many...)
	require.EqualError(t, err, j.file+": the disk is full")
	read, err := j.Entries(t.Context())
	require.NoError(t, err)
	assert.Len(t, read, len(day(t)))
}
