package logbook

// Lots by the marks and numbers that people write.

import (
	"cmp"
	"context"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/agnivade/levenshtein"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// marked finds the standing entries that brought lots of a mark, with the items; all of them where the mark is "".
func (j *Book) marked(ctx context.Context, mark string) (list []Entry, err error) {
	err = j.ask(ctx, func(r *register) error {
		ids := slices.DeleteFunc(r.marked(mark), func(id int64) bool {
			return !slices.Contains([]Kind{Received, Out, Done, Cooked}, r.of(id).kind)
		})
		list, err = j.stand(ctx, r, byNumber, ids)
		return err
	})
	is := func(m string) bool { return m != "" && (mark == "" || m == mark) } // marks are shortened in the register
	return slices.DeleteFunc(list, func(e Entry) bool {
		return !is(e.Mark) && !slices.ContainsFunc(e.Gives, func(a Amount) bool { return is(a.Mark) })
	}), err
}

// numbered finds an entry by its number; the error says why it does not stand.
func (j *Book) numbered(ctx context.Context, id int64) (*Entry, error) {
	var by int64
	err := j.ask(ctx, func(r *register) error {
		by = r.fates()[id]
		return nil
	})
	if err != nil {
		return nil, err
	}
	if by > 0 {
		return nil, &EntryError{fmt.Sprintf("entry %d no longer counts: see entry %d", id, by),
			"\"kettletree log show\" shows them"}
	}
	return j.entry(ctx, id)
}

// asked finds what a mark or number means.
func (j *Book) asked(ctx context.Context, k *kitchen.Kitchen, name string) (lots []lotOf, entry int64, notes []string,
	err error) {
	notes = []string{}
	list, err := j.marked(ctx, name)
	if err != nil {
		return nil, 0, nil, err
	}
	for _, e := range list {
		for _, a := range e.Gives {
			if cmp.Or(a.Mark, e.Mark) != name {
				continue
			}
			i, _, err := k.ItemNamed(a.Item, nil)
			if err != nil {
				notes = append(notes, fmt.Sprintf("Entry %d is not traced: %s.", e.ID, gone(k, a.Item)))
				continue
			}
			lots = append(lots, lotOf{e.ID, i})
		}
	}
	id, bad := strconv.ParseInt(name, 10, 64)
	if len(list) > 0 {
		if bad == nil {
			notes = append(notes, fmt.Sprintf("%q is a lot's mark here, not the number of an entry.", name))
		}
		return lots, 0, notes, nil
	}
	if bad == nil {
		e, err := j.numbered(ctx, id)
		if err != nil {
			return nil, 0, nil, err
		}
		if e != nil {
			if slices.Contains([]Kind{Temperature, NotCome, Late, Skipped, Struck, Lost, Offered, Measured, Undone}, e.Kind) {
				return nil, 0, nil, &EntryError{fmt.Sprintf("entry %d is %q: it moved no lot", id, e.Kind),
					"name an entry that received, cooked, sold, binned or counted something"}
			}
			return []lotOf{{id, -1}}, id, notes, nil
		}
	}
	all, err := j.marked(ctx, "")
	if err != nil {
		return nil, 0, nil, err
	}
	return nil, 0, nil, &EntryError{fmt.Sprintf("no lot is marked %q, and no entry has that number", name),
		nearestMark(name, all, "", "a mark is logged with a delivery: kettletree log received "+
			Form(k, Received))}
}

// nearestMark asks for the mark nearest to one that does not exist, of an item or, without one, of all.
func nearestMark(mark string, marked []Entry, item, otherwise string) string {
	best, near := min(max(2, len(mark)/3)+1, len(mark)), "" // a name of which nothing is the same is no near one
	for _, e := range marked {
		for _, a := range e.Gives {
			if name := cmp.Or(a.Mark, e.Mark); name != "" && (item == "" || a.Item == item) && len(name) < 4*len(mark)+8 {
				if d := levenshtein.ComputeDistance(strings.ToLower(mark), strings.ToLower(name)); d < best {
					best, near = d, name
				}
			}
		}
	}
	if near == "" {
		return otherwise
	}
	return fmt.Sprintf("did you mean %q?", near)
}

// CheckLots tells whether the lots that an entry names were brought: by their marks or, where there is none such of the
// item, by the number of the entry that brought them. The error is a [*measure.Error], pointing into the entry's text.
func (j *Book) CheckLots(ctx context.Context, k *kitchen.Kitchen, e Entry) error {
	named := slices.DeleteFunc(slices.Clone(e.Takes), func(a Amount) bool { return a.Mark == "" })
	if e.Mark != "" && (e.Kind.OfPortions() || e.Kind == Temperature) {
		named = append(named, Amount{Item: e.Of, Mark: e.Mark})
	}
	for _, a := range named {
		items := []string{a.Item}
		if e.Kind.OfPortions() {
			dish, err := k.FindDish(e.Dish)
			if err != nil {
				return err
			}
			items = nil
			for _, n := range k.Graph.Upstream(k.Dishes[dish].Item) {
				if n < len(k.Graph.Items) {
					items = append(items, k.Graph.Items[n].Name)
				}
			}
		}
		brings := func(o Entry, mark bool) bool {
			return slices.ContainsFunc(o.Gives, func(g Amount) bool {
				return slices.Contains(items, g.Item) && (!mark || cmp.Or(g.Mark, o.Mark) == a.Mark)
			})
		}
		list, err := j.marked(ctx, a.Mark)
		if err != nil {
			return j.fault(err)
		}
		if slices.ContainsFunc(list, func(o Entry) bool { return brings(o, true) }) {
			continue
		}
		if id, err := strconv.ParseInt(a.Mark, 10, 64); err == nil {
			o, err := j.numbered(ctx, id)
			if _, not := err.(*EntryError); err != nil && !not {
				return j.fault(err)
			}
			if o != nil && slices.Contains([]Kind{Received, Out, Done, Cooked, Counted}, o.Kind) && brings(*o, false) {
				continue
			}
		}
		all, err := j.marked(ctx, "")
		if err != nil {
			return j.fault(err)
		}
		all = slices.DeleteFunc(all, func(o Entry) bool { return !brings(o, false) })
		of := strconv.Quote(a.Item)
		if e.Kind.OfPortions() {
			of = fmt.Sprintf("what %q takes", e.Dish)
		}
		from := max(0, strings.Index(e.Text, a.Item))
		at := regexp.MustCompile(`\blot +"?` + regexp.QuoteMeta(a.Mark)).FindStringIndex(e.Text[from:])
		where, length := from, max(1, len(trimmed(e.Text[from:]))) // of a mark that was typed otherwise than it reads
		if at != nil {
			where, length = from+at[1]-len(a.Mark), len(a.Mark)
		}
		otherwise := "leave out the lot, and the oldest is taken"
		if e.Kind == Temperature {
			otherwise = "leave out the lot"
		}
		return &measure.Error{Msg: fmt.Sprintf("no lot of %s is marked %q, and no entry of that number brought any", of,
			a.Mark), Hint: nearestMark(a.Mark, all, a.Item, otherwise), At: where, Len: length}
	}
	return nil
}
