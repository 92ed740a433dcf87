package taste

// What the cook reads at the stove: how the next batch of a trial is to be made, where each measure should be, and where it was of late.

import (
	"context"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Told is what is to be said at the rows of a timetable.
type Told struct {
	aims map[int][]clock.Aim // by step
	try  Run
	step int // of the trial; -1 for none
}

// lastDays are how many days what was measured of late goes back.
const lastDays = 7

// Tell finds what is to be said of a kitchen's steps at a moment. book is nil where there is none, kept where no trial is under way.
func Tell(ctx context.Context, k *kitchen.Kitchen, book *logbook.Book, kept *Kept, asOf time.Time) (*Told, error) {
	t := &Told{aims: map[int][]clock.Aim{}, step: -1}
	for s := range k.Steps {
		var batches []logbook.Tasting
		var err error
		if book != nil && k.Steps[s].Measures != nil {
			if batches, err = book.Tastings(ctx, k, s, -1, asOf); err != nil {
				return nil, err
			}
		}
		for i := range k.Steps[s].Measures {
			if m := &k.Steps[s].Measures[i]; !m.Handling && m.Sort != kitchen.InWords {
				t.aims[s] = append(t.aims[s], aimOf(m, batches, asOf))
			}
		}
	}
	if kept == nil {
		return t, nil
	}
	under, err := kept.Trialled(ctx, k, book, asOf)
	if err != nil {
		return nil, err
	}
	if under.Next > 0 {
		t.try = under.Runs[under.Next-1]
		t.step, err = k.FindStep(kept.Of)
	}
	return t, err
}

// aimOf is where a measure should be, and where it was of late.
func aimOf(m *kitchen.Measure, batches []logbook.Tasting, asOf time.Time) clock.Aim {
	a := AimOf(m)
	for i := range batches {
		if v := readOf(&batches[i], m.Name); v != nil && batches[i].When().After(asOf.AddDate(0, 0, -lastDays)) {
			a.Week = append(a.Week, *v)
		}
	}
	if m.Aim == nil {
		return a
	}
	if len(a.Week) > 0 {
		switch mean := stat.Mean(a.Week, nil); {
		case mean < m.Aim.Low:
			a.Side = logbook.Below
		case mean > m.Aim.High:
			a.Side = logbook.Above
		}
	}
	return a
}

// AimOf is where a measure should be.
func AimOf(m *kitchen.Measure) clock.Aim {
	a := clock.Aim{Measure: m.Name, Unit: m.Unit, Text: m.AimText(), Aim: m.Aim, Week: []float64{}}
	if m.Sort == kitchen.Judged {
		a.Scale = &kitchen.Range{Low: m.Low, High: m.High}
	}
	return a
}

// Marked are rows of a timetable of the same kitchen, be it under the names of another language, with what is to be said at them: of a trial
// at the next batch that begins; of what is measured where its liquid comes out of the pot, or it is made at once.
func (t *Told) Marked(k *kitchen.Kitchen, rows []clock.Row) []clock.Row {
	rows = slices.Clone(rows)
	tried := false
	for i := range rows {
		r := &rows[i]
		step, err := k.FindStep(r.Step)
		if err != nil || step >= len(k.Steps) || r.Entry > 0 {
			continue
		}
		if step == t.step && !tried && (r.Do == clock.Start || r.Do == clock.Make) {
			r.Try, r.Tried, tried = t.try.Levels, t.try.Tried, true
		}
		if r.Do == clock.Make || r.Do == clock.TakeOut && gives(k, step, r) {
			r.Aims = t.aims[step]
		}
	}
	return rows
}

// gives tells whether a row takes out the liquid that is measured.
func gives(k *kitchen.Kitchen, step int, r *clock.Row) bool {
	name := Strained(k, step)
	for _, p := range r.Out {
		if p.Item == name {
			return true
		}
	}
	return false
}
