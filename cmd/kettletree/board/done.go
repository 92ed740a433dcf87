package board

// What has been done: in the last hours, on Today, each to be taken back; and what runs out by what was just written down.

import (
	"context"
	"slices"
	"strings"
	"time"
	"unicode"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/taste"
)

// doneWithin is how far Today looks back on what was done; mostDone bounds it.
const (
	doneWithin = 4 * time.Hour
	mostDone   = 20
)

// doneRow is something that was done.
type doneRow struct {
	logbook.Line
	Clock string // "13:40"
}

// done are the entries of the last hours that stand, the latest first.
func (t *todayAnswer) done(ctx context.Context, a *asked) error {
	lines, err := a.entries(ctx, mostEntries)
	if err != nil {
		return err
	}
	since := a.Now.Add(-doneWithin)
	for _, l := range lines {
		at, err := time.Parse(time.DateTime, l.At)
		if err != nil || at.Before(since) || at.After(a.Now) || l.Gone > 0 || l.Kind == logbook.Undone {
			continue
		}
		t.Done = append(t.Done, doneRow{l, l.At[11:16]})
	}
	t.toMeasure(a.Kitchen)
	slices.SortStableFunc(t.Done, func(x, y doneRow) int {
		if x.At != y.At {
			return strings.Compare(y.At, x.At)
		}
		return int(y.Entry - x.Entry)
	})
	t.Done = t.Done[:min(len(t.Done), mostDone)]
	return nil
}

// toMeasure is a batch that came out in the last hours, and that nobody has measured.
type toMeasure struct {
	doneRow
	Aims []clock.Aim
}

// toMeasure finds them among what was done, which stands in the order of writing.
func (t *todayAnswer) toMeasure(k *kitchen.Kitchen) {
	for _, l := range t.Done {
		t.Measure = slices.DeleteFunc(t.Measure, func(m toMeasure) bool {
			return m.Step == l.Step && m.Begins == l.Begins && (l.Kind == logbook.Measured || l.Kind == logbook.Lost)
		})
		step, err := k.FindStep(l.Step)
		if err != nil || l.Kind != logbook.Out && l.Kind != logbook.Done && l.Kind != logbook.Cooked ||
			!slices.ContainsFunc(l.Gives, func(p logbook.Part) bool { return p.Item == taste.Strained(k, step) }) {
			continue
		}
		m := toMeasure{doneRow: l}
		for i := range k.Steps[step].Measures {
			if of := &k.Steps[step].Measures[i]; !of.Handling && of.Sort != kitchen.InWords {
				m.Aims = append(m.Aims, taste.AimOf(of))
			}
		}
		if m.Aims != nil {
			t.Measure = append(t.Measure, m)
		}
	}
}

// runsOut is what runs out because something did not come, or comes later.
type runsOut struct {
	Item   string
	Part   *logbook.Part // how much of it, where some came; nil for all
	Fewer  int           // portions
	Dishes []todayDish
	Others int // dishes that are not among them
}

// mostRunOut bounds the dishes that are named.
const mostRunOut = 4

// runOut finds what runs out by what this device has just written did not come.
func (v *view) runOut(ctx context.Context) error {
	for _, l := range v.Wrote {
		if l.Kind != logbook.NotCome && l.Kind != logbook.Late || l.Gone > 0 {
			continue
		}
		follows, err := v.asItStands(ctx)
		if err != nil {
			return err
		}
		one := runsOut{Item: l.Of}
		if len(l.Gives) == 1 && l.Gives[0].Typed != "" {
			one.Part = &l.Gives[0]
		}
		for _, d := range follows.Consequences.Dishes {
			if d.After >= d.Forecast || !slices.ContainsFunc(d.Because, func(why string) bool { return names(why, one.Item) }) {
				continue
			}
			one.Fewer += d.Forecast - d.After
			if slices.ContainsFunc(one.Dishes, func(o todayDish) bool { return o.Name == d.Name }) {
				continue
			}
			one.Dishes = append(one.Dishes, todayDish{DishAt: d})
		}
		if n := len(one.Dishes); n > mostRunOut {
			one.Dishes, one.Others = one.Dishes[:mostRunOut], n-mostRunOut
		}
		v.RunsOut = append(v.RunsOut, one)
	}
	return nil
}

// Missing says what did not come: an item, or how much of it.
func (v *view) Missing(r runsOut) string {
	if r.Part == nil {
		return v.Called(r.Item)
	}
	return v.Typed(*r.Part)
}

// names tells whether a sentence names something, and not as part of another word.
func names(text, item string) bool {
	for at := 0; ; {
		i := strings.Index(text[at:], item)
		if i < 0 {
			return false
		}
		begins, ends := at+i, at+i+len(item)
		letter := func(s string, last bool) bool {
			runes := []rune(s)
			if len(runes) == 0 {
				return false
			}
			if last {
				return unicode.IsLetter(runes[len(runes)-1])
			}
			return unicode.IsLetter(runes[0])
		}
		if !letter(text[:begins], true) && !letter(text[ends:], false) {
			return true
		}
		at = ends
	}
}

// sections are where the limits stand that some rows of a timetable name, each once.
func sections(rows ...[]todayRow) (list []string) {
	add := func(section string) {
		if section != "" && !slices.Contains(list, section) {
			list = append(list, section)
		}
	}
	for _, some := range rows {
		for _, r := range some {
			for _, l := range r.Limits {
				add(l.Section)
			}
			for _, h := range r.Heat {
				add(h.Section)
			}
		}
	}
	return list
}

// Sections are where the limits stand that Today's rows name.
func (t *todayAnswer) Sections() []string {
	var next []todayRow
	if t.Next != nil {
		next = append(next, *t.Next)
	}
	return sections(t.Due, t.Bench, next)
}

// brief is what a row says without where its limits stand: that is said once, below.
func (s *speaker) brief(text string, r *clock.Row) string {
	for _, l := range r.Limits {
		text = strings.ReplaceAll(text, " ("+l.Section+")", "")
	}
	for _, h := range r.Heat {
		if h.Section == "" {
			continue
		}
		text = strings.ReplaceAll(text, " ("+s.voice.Section(h.Section)+")", "")
	}
	return text
}

// Shorts is how many dishes of a service run short; First is the one that does so first.
func (s *todayService) Shorts() (n int) {
	for _, d := range s.Dishes {
		if !d.Struck && d.Short() {
			n++
		}
	}
	return n
}

func (s *todayService) First() (first *todayDish) {
	for i := range s.Dishes {
		d := &s.Dishes[i]
		if d.Struck || !d.Short() {
			continue
		}
		if first == nil || d.RunsOut != nil && (first.RunsOut == nil || *d.RunsOut < *first.RunsOut) {
			first = d
		}
	}
	return first
}
