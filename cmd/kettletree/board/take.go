package board

// Taking a move of a rescue by one tap: what it decides goes into the log book and into the plan that is kept, what it orders with
// another than the usual supplier beside it. What else it needs then stands on the Buy page by itself.

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/plan"
	"kettletree/menu/rescue"
)

// taking is what one tap decides.
type taking struct {
	Texts     []string // entries of the log book
	Further   []string // "2026-11-26 1 night kettle at 06:00"
	Elsewhere []string // "2026-11-26 20 L kettle stock from stock house"
}

// Any tells whether there is anything to write down.
func (t taking) Any() bool { return len(t.Texts)+len(t.Further)+len(t.Elsewhere) > 0 }

// Takes is what some moves decide. A substitute, a ration and a smaller portion are said at the pass: nothing keeps them.
func (r *rescuedAnswer) Takes(moves ...rescue.Move) (t taking) {
	for _, m := range moves {
		switch m.Kind {
		case "special":
			for _, s := range m.Services {
				if s.Portions > 0 {
					t.Texts = append(t.Texts, fmt.Sprintf("offered %d %s at %s %s", s.Portions, m.Dish, s.Date, s.Service))
				}
			}
		case "strike":
			for _, s := range m.Services {
				t.Texts = append(t.Texts, fmt.Sprintf("struck %s at %s %s", m.Dish, s.Date, s.Service))
			}
		case "batch":
			f := plan.KeptFurther{Step: r.step(m.Batch.Step), Batches: m.Batch.Batches, Starts: m.Batch.Start}
			t.Further = append(t.Further, r.date(m.Batch.Day)+" "+f.String())
		}
		for _, o := range m.Buy {
			if o.Other && !o.Crumb {
				e := plan.KeptElsewhere{KeptOrder: plan.KeptOrder{Item: o.Item, Quantity: o.Quantity, Unit: o.Unit}, From: o.From}
				t.Elsewhere = append(t.Elsewhere, o.Date+" "+e.String())
			}
		}
	}
	return t
}

// TakesAll is what several moves together decide.
func (r *rescuedAnswer) TakesAll() taking {
	if r.Together == nil {
		return taking{}
	}
	t := r.Takes(r.Together.Moves...)
	all := r.Takes(rescue.Move{Buy: r.Together.Buy})
	for _, e := range all.Elsewhere {
		if !slices.Contains(t.Elsewhere, e) {
			t.Elsewhere = append(t.Elsewhere, e)
		}
	}
	return t
}

// take writes down what a move decides, and leads back to Today. The fields are text (entries), further and elsewhere, any number of
// each, seen and once.
func (b *Board) take(w http.ResponseWriter, r *http.Request) {
	if !b.mayWrite(w, r) {
		return
	}
	if !decides(r) || len(r.PostForm["text"]) > 0 {
		b.post(w, r)
		return
	}
	err := b.decide(r)
	if path, q := b.back(r); err == nil {
		q.Set("took", "yes")
		r.PostForm.Set("back", path+"?"+q.Encode())
	}
	b.end(w, r, err)
}

// decides tells whether a form adds to the plan that is kept.
func decides(r *http.Request) bool {
	return len(r.PostForm["further"])+len(r.PostForm["elsewhere"]) > 0
}

// decide adds further batches and orders to the plan that is kept.
func (b *Board) decide(r *http.Request) error {
	if !decides(r) {
		return nil
	}
	b.keeps.Lock()
	defer b.keeps.Unlock()
	if b.Plan.Name == "" {
		return goesByNone()
	}
	now, err := b.Clock()
	if err != nil {
		return err
	}
	k := b.watch.state().kitchen
	var days []plan.KeptDay
	on := func(text string) (day *plan.KeptDay, rest string, err error) {
		date, rest, _ := strings.Cut(text, " ")
		t, err := time.Parse(time.DateOnly, date)
		if err != nil {
			return nil, "", &Refusal{Msg: fmt.Sprintf("%q is not on a date such as 2026-11-24", text)}
		}
		at := slices.IndexFunc(days, func(d plan.KeptDay) bool { return d.Date.Equal(t) })
		if at < 0 {
			at, days = len(days), append(days, plan.KeptDay{Date: t})
		}
		return &days[at], rest, nil
	}
	for _, text := range r.PostForm["further"] {
		day, rest, err := on(text)
		if err != nil {
			return err
		}
		f, err := plan.ReadFurther(rest)
		if err != nil {
			return &Refusal{Msg: err.Error()}
		}
		if _, err := k.FindStep(f.Step); err != nil {
			return &Refusal{Msg: err.Error()}
		}
		day.Further = append(day.Further, f)
	}
	for _, text := range r.PostForm["elsewhere"] {
		day, rest, err := on(text)
		if err != nil {
			return err
		}
		e, err := plan.ReadElsewhere(rest)
		if err != nil {
			return &Refusal{Msg: err.Error()}
		}
		item, err := k.FindItem(e.Item)
		if err != nil {
			return &Refusal{Msg: err.Error()}
		}
		if !slices.ContainsFunc(k.Sources[item], func(s kitchen.Source) bool { return s.From == e.From }) {
			return &Refusal{Msg: fmt.Sprintf("%s can't be had from %q", e.Item, e.From), Hint: `the kitchen file says from whom, behind "also from"`}
		}
		day.Elsewhere = append(day.Elsewhere, e)
	}
	err = plan.Decide(b.Plan.Name, k.Name, "", days, now, b.Save)
	if file, ok := errors.AsType[*plan.FileError](err); ok {
		return unreadable(file)
	}
	return err
}
