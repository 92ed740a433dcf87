package logbook

// The play without a log book, to hold the log book's own against.

import (
	"slices"
	"time"

	"kettletree/menu/kitchen"
)

// Play plays the entries that stand, in the order in which they happened, up to a moment.
func Play(k *kitchen.Kitchen, entries []Entry, asOf time.Time) (*Stock, error) {
	p, err := replayed(k, slices.DeleteFunc(Standing(entries), func(e Entry) bool { return e.At.After(asOf) }))
	if err != nil {
		return nil, err
	}
	return p.shown(), nil
}

// Links are all movements of the entries that stand, in the order in which they happened, those of one entry together.
func Links(k *kitchen.Kitchen, entries []Entry) ([]Move, error) {
	p, err := replayed(k, Standing(entries))
	if err != nil {
		return nil, err
	}
	return p.moves, nil
}

func replayed(k *kitchen.Kitchen, stand []Entry) (*player, error) {
	p, err := newPlayer(k)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(stand, func(a, b Entry) int { return a.At.Compare(b.At) }) // of one moment: as they were written
	for i := range stand {
		p.play(&stand[i])
	}
	return p, nil
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
