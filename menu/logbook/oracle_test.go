package logbook

// The play without a log book, to hold the log book's own against.

import (
	"cmp"
	"slices"
	"time"

	"kettletree/menu/kitchen"
)

// Play plays the entries that stand, in the order in which they happened, up to a moment.
func Play(k *kitchen.Kitchen, entries []Entry, asOf time.Time) (*Stock, error) {
	p, err := replayed(k, entries, slices.DeleteFunc(Standing(entries), func(e Entry) bool { return e.At.After(asOf) }))
	if err != nil {
		return nil, err
	}
	return p.shown(), nil
}

// Links are all movements of the entries that stand, in the order in which they happened, those of one entry together.
func Links(k *kitchen.Kitchen, entries []Entry) ([]Move, error) {
	p, err := replayed(k, entries, Standing(entries))
	if err != nil {
		return nil, err
	}
	return p.moves, nil
}

func replayed(k *kitchen.Kitchen, all, stand []Entry) (*player, error) {
	p, err := newPlayer(k)
	if err != nil {
		return nil, err
	}
	// Of one moment: as they were written, and what stands in for another where that was.
	slices.SortStableFunc(stand, func(a, b Entry) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(place(all, a), place(all, b))) })
	for i := range stand {
		p.play(&stand[i])
	}
	return p, nil
}

// place is the number of an entry, and of what stands in for another, at the same moment, the number of that.
func place(all []Entry, e Entry) int64 {
	at := slices.IndexFunc(all, func(o Entry) bool { return e.Corrects > 0 && o.ID == e.Corrects && o.At.Equal(e.At) })
	if at < 0 {
		return e.ID
	}
	return place(all, all[at])
}

// Standing keeps, of entries in the order of writing, those that stand: neither taken back nor replaced. An entry that
// is taken back counts as never written, so what it had corrected stands again; one that is replaced stays the
// correction that it was, with the new figures.
func Standing(entries []Entry) []Entry {
	fate := fates(entries)
	stand := make([]Entry, 0, len(entries))
	for _, e := range entries {
		if _, gone := fate[e.ID]; !gone && e.Kind != Undone {
			stand = append(stand, e)
		}
	}
	return stand
}

// Learn is [Book.Yields] over entries at hand.
func Learn(k *kitchen.Kitchen, entries []Entry, about About) *Yields {
	l := newLearning(k)
	for i := range entries {
		if entries[i].Kind.OfBatch() && entries[i].Kind != Skipped {
			l.add(&entries[i])
		}
	}
	return l.answer(fates(entries), about)
}
