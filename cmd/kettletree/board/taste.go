package board

// Taste: how the last batch came out, filled in after straining by taps, and what follows from all of them.

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/taste"
)

var tastePage = &page{Path: "/taste", Name: "How it came out", File: "taste", Takes: []string{"of"}, Answer: theTaste}

// tasteAnswer is what the page shows: a card to fill in, then what was measured before.
type tasteAnswer struct {
	Subjects []string // of which something is measured
	Of       string
	Day      string // 2006-01-02, of the batch that the card is of; "" where there is none, and of an item
	Card     []tasteField
	First    bool     // the batch that the card is of was measured: what follows comes first
	Now      []string // how the last one came out, and what puts it right; nil where nothing was measured
	Measures []show.MeasureSaid
	Why      []string
	Mother   *show.MotherSaid
	Notes    []string
	Trial    *trialForm
	Charts   template.HTML
	Photos   []taste.Photo
}

// Shown is how the file says what is measured.
func (t *tasteAnswer) Shown() string { return "measures: {colour: 1-5, salt: 0.9-1.1%}" }

// tasteField is a measure on the card.
type tasteField struct {
	Name  string
	Key   string   // of its field on the form
	Steps []string // of a scale, to tap
	Was   string   // what stands in it
	Aim   string
	Unit  string
	Words bool
	Wrong *fault
}

// tasteSubjects are the steps and items of which something is measured, in the order of the file.
func tasteSubjects(k *kitchen.Kitchen) (names []string, subjects []taste.Subject) {
	for s := range k.Steps {
		if k.Steps[s].Measures != nil {
			names, subjects = append(names, k.Graph.Steps[s].Name), append(subjects, taste.Subject{Step: s, Item: -1})
		}
	}
	for _, i := range k.MeasuredItems() {
		names, subjects = append(names, k.Graph.Items[i].Name), append(subjects, taste.Subject{Step: -1, Item: i})
	}
	return names, subjects
}

// measuresOf are those of a step or an item by its name.
func measuresOf(k *kitchen.Kitchen, name string) []kitchen.Measure {
	names, subjects := tasteSubjects(k)
	for n, s := range subjects {
		switch {
		case names[n] != name:
		case s.Step >= 0:
			return k.Steps[s.Step].Measures
		default:
			return k.Measures[s.Item]
		}
	}
	return nil
}

func theTaste(ctx context.Context, a *asked) (any, error) {
	names, subjects := tasteSubjects(a.Kitchen)
	t := &tasteAnswer{Subjects: names}
	if len(names) == 0 {
		return t, nil
	}
	of, chosen := 0, a.Query.Get("of")
	for n, name := range names {
		if chosen == name {
			of = n
		}
	}
	t.Of, t.Day = names[of], a.Form.Was("day")
	for i, m := range measuresOf(a.Kitchen, t.Of) {
		if m.Note() { // it has its field on every card
			continue
		}
		f := tasteField{Name: m.Name, Key: tasteName(i), Aim: show.AimFigures(a.voice, taste.AimOf(&m)), Unit: show.UnitSaid(a.voice, m.Unit), Words: m.Sort == kitchen.InWords,
			Was: a.Form.Was(tasteName(i)), Wrong: a.Form.Wrong(tasteName(i), 0)}
		if m.Sort == kitchen.Judged {
			for v := m.Low; v <= m.High; v++ {
				f.Steps = append(f.Steps, measure.FormatNumber(v))
			}
		}
		t.Card = append(t.Card, f)
	}
	if !logbook.Exists(a.board.LogBook) {
		return t, nil
	}
	kept, fault := taste.Read(taste.Path(a.board.Kitchen.Name))
	_, err := a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
		folder := taste.PhotoFolder(a.board.LogBook)
		found, err := taste.Of(ctx, a.Kitchen, j, subjects[of], a.Now, taste.Ask{Kept: kept, Folder: folder})
		if odd, is := errors.AsType[*taste.FileError](err); is { // of a trial that the kitchen file no longer fits
			fault = odd
			found, err = taste.Of(ctx, a.Kitchen, j, subjects[of], a.Now, taste.Ask{Folder: folder})
		}
		if err != nil {
			return "", err
		}
		if t.Photos = found.Photos; t.Day == "" && subjects[of].Step >= 0 {
			byPlan, _ := plan.ReadFile(a.board.Plan.Name) // one that can't be read keeps nobody from looking
			if day, err := j.ToMeasure(ctx, a.Kitchen, menu.AsPlanned(a.Kitchen, byPlan), t.Of, a.Now); err == nil {
				t.Day = day.Format(time.DateOnly)
			}
		}
		says := a.teller()
		if t.Trial = a.trialOf(kept, fault, found); found.Mother != nil {
			t.Mother = says.Mother(found.Mother)
		}
		if found.Batches == 0 {
			return "", nil
		}
		t.First = found.Last == t.Day && a.Form.Was("day") == ""
		t.Now, t.Why, t.Notes = append([]string{says.Head(found)}, says.Righted(found)...), says.Why(found), says.Notes(found)
		for i := range found.Measures {
			if found.Measures[i].Batches > 0 {
				t.Measures = append(t.Measures, says.Measured(show.Page{}, found, i))
			}
		}
		t.Charts = template.HTML(show.TasteCharts(says, found)) // made here, of escaped texts
		return "", nil
	})
	return t, err
}

// teller says how batches came out in the language of the page.
func (a *asked) teller() show.Teller {
	return show.Teller{Voice: a.voice, Called: a.Called, Year: a.Now.Year()}
}

// tasteName is the name of the field of a measure.
func tasteName(at int) string { return fmt.Sprintf("taste-%d", at) }

// tasted is what the card of a batch or an item says, each figure held against its scale.
func (r *fieldReader) tasted() string {
	of := r.said("of", 0)
	var parts []string
	for i, m := range measuresOf(r.k, of) {
		v := strings.ReplaceAll(r.said(tasteName(i), 0), ",", ".")
		if v == "" {
			continue
		}
		part := m.Name + " " + v
		if _, err := logbook.Parse(r.k, logbook.Measured, of+": "+part); err != nil {
			if fault, ok := err.(*measure.Error); ok {
				r.wrong(tasteName(i), 0, fault.Hint, nil, "%s", fault.Msg)
			}
		}
		parts = append(parts, part)
	}
	if note := strings.ReplaceAll(r.said("note", 0), `"`, "'"); note != "" {
		parts = append(parts, `"`+note+`"`)
	}
	if len(parts) == 0 {
		r.wrong("", 0, "tap a figure, or write one", nil, "nothing was measured")
	}
	if day := r.said("day", 0); day != "" {
		of += " of " + day
	}
	return fmt.Sprintf("%s %s: %s", logbook.Measured, of, strings.Join(parts, ", "))
}

// told is what rows are to say of trials and of what is measured.
func (a *asked) told(ctx context.Context) (*taste.Told, error) {
	return ofTaste(ctx, a, "told", taste.Tell)
}

// learned is what the log book knows of how what goes in moves the taste.
func (a *asked) learned(ctx context.Context) (*taste.Learned, error) {
	return ofTaste(ctx, a, "learned", taste.Learn)
}

// ofTaste asks something of the log book and the trial under way; without the trial, where it can't be read.
func ofTaste[T any](ctx context.Context, a *asked, what string, ask func(context.Context, *kitchen.Kitchen, *logbook.Book, *taste.Kept, time.Time) (T, error)) (T, error) {
	return standing(ctx, a, what, func(ctx context.Context) (answer T, err error) {
		kept, err := taste.Read(taste.Path(a.board.Kitchen.Name))
		if err != nil { // the Taste page says so
			kept = nil
		}
		if !logbook.Exists(a.board.LogBook) {
			return ask(ctx, a.Kitchen, nil, nil, a.Now)
		}
		err = a.board.book.use(ctx, a.Kitchen, func(j *logbook.Book) (err error) {
			answer, err = ask(ctx, a.Kitchen, j, kept, a.Now)
			if _, odd := errors.AsType[*taste.FileError](err); odd {
				answer, err = ask(ctx, a.Kitchen, j, nil, a.Now)
			}
			return err
		})
		return answer, err
	})
}

// marked are rows with what they are to say of trials and of what is measured.
func (a *asked) marked(ctx context.Context, k *kitchen.Kitchen, rows []clock.Row) ([]clock.Row, error) {
	t, err := a.told(ctx)
	if err != nil {
		return nil, err
	}
	return t.Marked(k, rows), nil
}
