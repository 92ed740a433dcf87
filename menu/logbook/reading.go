package logbook

// Entries read from the file. Each is held against its digest: what is not as it was written is named, and answers nothing.

import (
	"context"
	"database/sql"
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"

	"kettletree/graph/measure"
)

// querier is a database or a transaction.
type querier interface {
	QueryContext(context.Context, string, ...any) (*sql.Rows, error)
	QueryRowContext(context.Context, string, ...any) *sql.Row
}

// atOnce is how many entries are read at a time.
const atOnce = 1024

// load hands on the entries of some numbers, in the order of the numbers, as they stand in the file. An entry that is not there, or is
// not as it was written, is an error.
func load(ctx context.Context, from querier, ids []int64, one func(*kept) error) error {
	for some := range slices.Chunk(ids, atOnce) {
		list, err := loadSome(ctx, from, some)
		if err != nil {
			return err
		}
		for i := range list {
			e := &list[i]
			if i == len(some) {
				return damaged("entry %d stands there twice", e.ID)
			}
			if e.ID != some[i] {
				return damaged("entry %d is missing", some[i])
			}
			if digestOf(e) != e.digest {
				return damaged("entry %d is not as it was written", e.ID)
			}
			if err := one(e); err != nil {
				return err
			}
		}
		if len(list) < len(some) {
			return damaged("entry %d is missing", some[len(list)])
		}
	}
	return nil
}

// loadSome reads entries whatever they say, and those that are there.
func loadSome(ctx context.Context, from querier, ids []int64) ([]kept, error) {
	const parts = "entry, gives, item, base, measure, "
	list := make([]kept, 0, len(ids))
	at := make(map[int64]*kept, len(ids))
	names := map[string]string{} // one copy of each name and unit
	err := rowsOf(ctx, from, `SELECT e.id, e.kind, e.at, e.written, e.corrects, e.text, e.step, e.batches, e.dish, e.portions,
		e.service, e.paid, e.supplier, e.mark, e.reason, e.of, e.celsius, e.day, e.share, e.begins, e.until, e.whom, e.reading,
		e.did, e.zone, e.row, e.digest, e.chain, f.id, f.name, f.digest, f.written
		FROM entry e LEFT JOIN file f ON f.id = e.file WHERE e.id`, "ORDER BY e.id", ids, func(rows *sql.Rows) error {
		e, err := scanned(rows, names)
		if err != nil {
			return err
		}
		if len(list) == len(ids) {
			return damaged("entry %d stands there twice", e.ID)
		}
		list = append(list, *e)
		at[e.ID] = &list[len(list)-1] // the list has room for all
		return nil
	})
	if err != nil {
		return nil, err
	}
	err = rowsOf(ctx, from, "SELECT "+parts+"typed, mark FROM amount WHERE entry", "ORDER BY entry, place", ids, func(rows *sql.Rows) error {
		var id, gives int64
		var a Amount
		var item, unit, typed, mark sql.RawBytes
		if err := rows.Scan(&id, &gives, &item, &a.Base, &unit, &typed, &mark); err != nil {
			return err
		}
		e := at[id]
		if e == nil {
			return damaged("entry %d is missing", id)
		}
		known := slices.Index(measures[:], string(unit))
		if a.Kind = measure.Kind(max(known, 0)); known < 0 || gives != 0 && gives != 1 {
			return damaged("entry %d has an amount that can't be read", id)
		}
		a.Item, a.Typed, a.Mark = oneOf(names, item), string(typed), string(mark)
		if gives == 1 {
			e.Gives = append(e.Gives, a)
		} else {
			e.Takes = append(e.Takes, a)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	err = rowsOf(ctx, from, "SELECT entry, name, value, unit, word FROM taste WHERE entry", "ORDER BY entry, place", ids, func(rows *sql.Rows) error {
		var id int64
		var value sql.NullFloat64
		var name, unit, word sql.RawBytes
		if err := rows.Scan(&id, &name, &value, &unit, &word); err != nil {
			return err
		}
		e := at[id]
		if e == nil {
			return damaged("entry %d is missing", id)
		}
		t := Taste{Name: oneOf(names, name), Unit: oneOf(names, unit), Word: string(word)}
		if value.Valid {
			t.Value = new(value.Float64)
		}
		e.Tastes = append(e.Tastes, t)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return list, rowsOf(ctx, from, "SELECT "+parts+"after FROM due WHERE entry", "ORDER BY entry, place", ids, func(rows *sql.Rows) error {
		var id, gives int64
		var item, unit sql.RawBytes
		var d Due
		if err := rows.Scan(&id, &gives, &item, &d.Base, &unit, &d.After); err != nil {
			return err
		}
		e := at[id]
		if e == nil {
			return damaged("entry %d is missing", id)
		}
		known := slices.Index(measures[:], string(unit))
		if d.Kind = measure.Kind(max(known, 0)); known < 0 || gives != 0 && gives != 1 {
			return damaged("entry %d has a card that can't be read", id)
		}
		d.Item, d.Out = oneOf(names, item), gives == 1
		e.Card = append(e.Card, d)
		return nil
	})
}

// rowsOf goes through the rows of some numbers, which are in order.
func rowsOf(ctx context.Context, from querier, query, order string, ids []int64, one func(*sql.Rows) error) (err error) {
	var rows *sql.Rows
	if first, last := ids[0], ids[len(ids)-1]; last-first == int64(len(ids)-1) {
		rows, err = from.QueryContext(ctx, query+" BETWEEN ? AND ? "+order, first, last)
	} else {
		var which []byte
		if which, err = json.Marshal(ids); err != nil {
			return err
		}
		rows, err = from.QueryContext(ctx, query+" IN (SELECT value FROM json_each(?)) "+order, string(which))
	}
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		if err := one(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

// oneOf is a name, of which one copy is kept.
func oneOf(names map[string]string, b []byte) string {
	known, ok := names[string(b)]
	if !ok {
		known = string(b)
		names[known] = known
	}
	return known
}

// scanned reads a row of an entry.
func scanned(rows *sql.Rows, names map[string]string) (*kept, error) {
	var id, at, written int64
	var corrects, portions, until, zone, file, fileWritten sql.NullInt64
	var batches, paid, celsius, share sql.NullFloat64
	var kind, text, step, dish, service, supplier, mark, reason, of, day, begins, whom, reading, did, row, own, chain,
		fileName, fileDigest sql.RawBytes
	if err := rows.Scan(&id, &kind, &at, &written, &corrects, &text, &step, &batches, &dish, &portions, &service, &paid,
		&supplier, &mark, &reason, &of, &celsius, &day, &share, &begins, &until, &whom, &reading, &did, &zone, &row, &own, &chain,
		&file, &fileName, &fileDigest, &fileWritten); err != nil {
		return nil, err
	}
	name := func(b []byte) string { return oneOf(names, b) }
	e := &kept{Entry: Entry{ID: id, Kind: Kind(name(kind)), At: time.Unix(at, 0).UTC(), Written: time.Unix(written, 0).UTC(),
		Corrects: corrects.Int64, Text: string(text), Step: name(step), Batches: batches.Float64, Dish: name(dish),
		Portions: int(portions.Int64), Service: name(service), Supplier: name(supplier), Mark: string(mark),
		Reason: string(reason), Of: name(of), Celsius: celsius.Float64, Day: name(day), Share: share.Float64,
		Until: int(until.Int64), To: string(whom), Reading: name(reading), Did: string(did)}}
	if zone.Valid {
		e.Zone = name([]byte(zoneText(int(zone.Int64))))
	}
	if paid.Valid {
		e.Paid = new(paid.Float64)
	}
	var err error
	if len(begins) > 0 {
		e.Begins, err = time.Parse(time.DateOnly, string(begins))
	}
	e.digest, _ = asDigest(own) // what is none is that of no entry
	e.chain, _ = asDigest(chain)
	if !slices.Contains(allKinds, e.Kind) || err != nil {
		return nil, damaged("entry %d can't be read", id)
	}
	if file.Valid {
		e.source = &source{file.Int64, name(fileName), name(fileDigest), fileWritten.Int64}
		e.row = slices.Clone(row)
	}
	return e, nil
}

// asked brings the register up to date and lets something be picked from it.
func (j *Book) ask(ctx context.Context, what func(*register) error) error {
	j.reading.Lock()
	defer j.reading.Unlock()
	if err := j.refresh(ctx, j.db); err != nil {
		return j.fault(err)
	}
	return j.fault(what(j.register))
}

// lately is of how many of the latest entries a copy is kept once they were read: most questions are about the last days, and each
// entry behind a page is asked for many times.
const lately = 4 * perLeaf

// each hands on the entries of some numbers, in the order of the numbers, with their times by the clock here. The lock of the register
// must be held.
func (j *Book) each(ctx context.Context, ids []int64, one func(*kept) error) error {
	hand := func(e *kept) error {
		e.here()
		e.called(j.kitchen)
		return one(e)
	}
	r := j.register
	late, _ := slices.BinarySearch(ids, r.last()-lately+1)
	if err := load(ctx, j.db, ids[:late], hand); err != nil {
		return err
	}
	ids = ids[late:]
	unread := slices.DeleteFunc(slices.Clone(ids), func(id int64) bool { return r.read[id] != nil })
	if err := load(ctx, j.db, unread, func(e *kept) error {
		r.remember(e)
		return nil
	}); err != nil {
		return err
	}
	for _, id := range ids {
		if err := hand(r.read[id].clone()); err != nil {
			return err
		}
	}
	return nil
}

// remember keeps an entry as it stands in the file.
func (r *register) remember(e *kept) {
	if r.read == nil {
		r.read = map[int64]*kept{}
	}
	if r.read[e.ID] = e; len(r.read) > 2*lately {
		maps.DeleteFunc(r.read, func(id int64, _ *kept) bool { return id <= r.last()-lately })
	}
}

// clone is an entry that may be changed.
func (e *kept) clone() *kept {
	c := *e
	c.Takes, c.Gives, c.Tastes, c.Card = slices.Clone(e.Takes), slices.Clone(e.Gives), slices.Clone(e.Tastes), slices.Clone(e.Card)
	return &c
}

// read lists the entries of some numbers, in the order of the numbers.
func (j *Book) read(ctx context.Context, ids []int64) (list []Entry, err error) {
	err = j.each(ctx, ids, func(e *kept) error {
		list = append(list, e.Entry)
		return nil
	})
	return list, err
}

// entry is the entry of a number; nil where there is none.
func (j *Book) entry(ctx context.Context, id int64) (e *Entry, err error) {
	err = j.ask(ctx, func(r *register) error {
		if id < 1 || id > r.last() {
			return nil
		}
		return j.each(ctx, []int64{id}, func(k *kept) error {
			e = &k.Entry
			return nil
		})
	})
	return e, err
}

// Entries are all entries in the order of writing, those that do not stand among them.
func (j *Book) Entries(ctx context.Context) (list []Entry, err error) {
	err = j.ask(ctx, func(r *register) error {
		list, err = j.read(ctx, r.pick(func(*noted) bool { return true }))
		return err
	})
	return list, err
}

// Latest are the entries that were written last, at most n, in the order of writing.
func (j *Book) Latest(ctx context.Context, n int) (list []Entry, err error) {
	err = j.ask(ctx, func(r *register) error {
		var ids []int64
		for id := max(0, r.last()-int64(n)) + 1; id <= r.last(); id++ {
			ids = append(ids, id)
		}
		list, err = j.read(ctx, ids)
		return err
	})
	return list, err
}

// Thermometer is the scale in which a temperature was written down last, F or C; "" where none was.
func (j *Book) Thermometer(ctx context.Context) (scale string, err error) {
	err = j.ask(ctx, func(r *register) error {
		ids := r.pick(func(n *noted) bool { return n.kind == Temperature })
		list, err := j.stand(ctx, r, byNumber, ids[max(0, len(ids)-lastReadings):])
		for _, e := range list {
			if m := lastScale.FindStringSubmatch(e.Text); m != nil {
				scale = strings.ToUpper(m[1])
			}
		}
		return err
	})
	return scale, err
}

// lastReadings is how many are looked at: what was taken back does not count.
const lastReadings = 8

// lastScale finds the scale of a reading in an entry as it was typed.
var lastScale = regexp.MustCompile(`[0-9] ?°? ?([CcFf])(?: |,|$)`)

// Corrections are the entries that correct others or take them back: their numbers and kinds, and what they correct.
func (j *Book) Corrections(ctx context.Context) (list []Entry, err error) {
	err = j.ask(ctx, func(r *register) error {
		list = r.corrections()
		return nil
	})
	return list, err
}

// Head is the end of the chain, as people compare it, and the number of the last entry.
func (j *Book) Head(ctx context.Context) (chain string, last int64, err error) {
	err = j.ask(ctx, func(r *register) error {
		chain, last = short(r.chain), r.last()
		return nil
	})
	return chain, last, err
}

// byNumber and byMoment are the orders in which entries are handed on; by moment, with the times at which they count.
const (
	byNumber = false
	byMoment = true
)

// standing lists the entries that something picks, without those that were taken back or replaced.
func (j *Book) standing(ctx context.Context, inOrder bool, which func(*noted) bool) (list []Entry, err error) {
	err = j.ask(ctx, func(r *register) error {
		list, err = j.stand(ctx, r, inOrder, r.pick(which))
		return err
	})
	return list, err
}

// stand lists those of some entries that stand.
func (j *Book) stand(ctx context.Context, r *register, inOrder bool, ids []int64) ([]Entry, error) {
	gone := r.fates()
	ids = slices.DeleteFunc(ids, func(id int64) bool { _, is := gone[id]; return is })
	list, err := j.read(ctx, ids)
	for i := range list {
		if inOrder {
			r.when(&list[i])
		}
	}
	if err == nil && inOrder && !slices.IsSortedFunc(list, func(a, b Entry) int { return r.compare(a.ID, b.ID) }) {
		slices.SortFunc(list, func(a, b Entry) int { return r.compare(a.ID, b.ID) })
	}
	return list, err
}

// between picks the entries of some kinds, of all where there are none, that count from a moment to another, both by the clock here.
func between(from, to time.Time, kinds ...Kind) func(*noted) bool {
	first, last := instant(from), instant(to)
	return func(n *noted) bool {
		return n.moment >= first && n.moment <= last && (len(kinds) == 0 || slices.Contains(kinds, n.kind))
	}
}
