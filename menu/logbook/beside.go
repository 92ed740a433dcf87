package logbook

// What is said beside an entry that was just written: how much of what was planned it is, and what it leaves standing.

import (
	"context"
	"fmt"

	"kettletree/graph/measure"
)

// OfPlanned says how much of the batches that were planned has begun with an entry that lit or cooked one, where several were: "1 of 2
// planned for Tue 24 Nov has begun". It is "" of other entries.
func (j *Book) OfPlanned(ctx context.Context, planned Planned, e *Entry) (string, error) {
	if e.Kind != Lit && e.Kind != Cooked {
		return "", nil
	}
	w, err := planned.around(e.At)
	if err != nil {
		return "", err
	}
	list, err := j.ofBatches(ctx, w.From, e.At)
	if err != nil {
		return "", err
	}
	l := livesOf(w, list).known(e.Step, e.Begins)
	if l == nil || l.Planned <= 1 {
		return "", nil
	}
	begun := l.Cooked
	for _, g := range l.Lit {
		begun += g.Batches
	}
	return fmt.Sprintf("%s of %s planned for %s", measure.FormatNumber(begun), measure.FormatNumber(l.Planned), measure.FormatDay(l.Day)), nil
}

// LitWith is the entry that lit a batch because another one, which is there, took something out of it, put something in or said that it is
// done; 0 where none stands. It was written with the other, just before it.
func (j *Book) LitWith(ctx context.Context, id int64) (int64, error) {
	if id < 2 {
		return 0, nil
	}
	var before, itself []Entry
	err := j.ask(ctx, func(r *register) (err error) {
		if before, err = j.stand(ctx, r, byNumber, []int64{id - 1}); err == nil {
			itself, err = j.read(ctx, []int64{id})
		}
		return err
	})
	if err != nil || len(before) == 0 || len(itself) == 0 {
		return 0, err
	}
	lit, e := &before[0], &itself[0]
	if lit.Kind != Lit || e.Kind != PutIn && e.Kind != Out && e.Kind != Done || lit.Step != e.Step || !lit.Begins.Equal(e.Begins) || !lit.Written.Equal(e.Written) {
		return 0, nil
	}
	return lit.ID, nil
}
