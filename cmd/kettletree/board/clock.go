package board

// Clock: what to do at what hour, as a list and as lanes; how late all may begin, and what is late when something is lit late.

import (
	"context"
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph"
	"kettletree/graph/draw"
	"kettletree/graph/flow"
	"kettletree/menu/clock"
	"kettletree/menu/week"
)

// The parameter lit has beginnings as "night kettle@tue=00:40"; a form sends batch and time, and clockOfDay puts them there.
var clockPage = &page{Path: "/clock", Name: "Clock", File: "clock", EveryMinute: true, Takes: []string{"on", "ready", "lit", "batch", "time", "way"}, Answer: clockOfDay}

// clockAnswer is what the page shows.
type clockAnswer struct {
	*clock.Timetable
	Says     string
	Day      string // the only day that is shown, 2006-01-02; "" for all
	Dates    []string
	Told     bool   // conflicts are in the language of the page
	Way      string // "lanes" or "" for the list
	Lanes    template.HTML
	Services []string // as in ?ready=
	Batches  []planned
	Groups   []clockDay
	Apart    []clock.Conflict // that stand in no row
	Next     string           // the service that begins next, behind whose end rows are folded; "" where none are
}

// planned is a batch by its name, as in ?lit=, and when it is to start.
type planned struct{ Name, Batch, Starts string }

// clockDay are the rows of one day.
type clockDay struct {
	Date  string
	Past  []*clockRow // of today, done by now
	Rows  []*clockRow // with all that there is to say
	Later []*clockRow // after the next two hours: each a line that opens
	After []*clockRow // when the service that begins next is over
}

// clockRow is a row with what of it can't be as it is planned.
type clockRow struct {
	*clock.Row
	Unfit []clock.Conflict
}

// Unfit are the rows of which something can't be as it is planned.
func (c *clockAnswer) Unfit() (rows []*clockRow) {
	for _, g := range c.Groups {
		for _, r := range slices.Concat(g.Past, g.Rows, g.Later, g.After) {
			if len(r.Unfit) > 0 {
				rows = append(rows, r)
			}
		}
	}
	return rows
}

// From is when the first of what is folded is to be done.
func (d *clockDay) From() string { return d.After[0].At }

// anchor is where on the Clock a conflict stands.
func anchor(c clock.Conflict) string {
	id := "unfit-" + slug(c.Kind) + "-" + slug(c.At)
	if len(c.Entries) > 0 {
		id += "-" + slug(c.Entries[0].Name)
	}
	return id
}

// stands is the row in which it is said what can't be: of what is too tight, the last before it is too late, else the first from then on;
// below 0 for none.
func stands(c *clock.Conflict, rows []clock.Row) int {
	found := -1
	for i, r := range rows {
		if r.Entry > 0 || !slices.ContainsFunc(c.Entries, func(e clock.Entry) bool { return e.Begun != "" && e.Name == r.Step && e.Begun == r.Begun }) {
			continue
		}
		tight := c.Kind == clock.TooTight
		if found < 0 || tight && r.At < c.Until || !tight && rows[found].At < c.At {
			found = i
		}
	}
	return found
}

// nextMinutes is how far from now on rows stand open.
const nextMinutes = 2 * 60

// openRows is how many rows of a sheet stand open: more are too long a way for a thumb.
const openRows = 14

// wholeWeek stands for all days in ?on=.
const wholeWeek = "all"

func clockOfDay(ctx context.Context, a *asked) (any, error) {
	w := a.Week
	c := &clockAnswer{Way: a.Query.Get("way")}
	if c.Way != "" && c.Way != "lanes" {
		return nil, &Refusal{Msg: fmt.Sprintf("the timetable can't be shown as %q", c.Way), Hint: "choose the list or the lanes"}
	}
	for d := range w.Days {
		c.Dates = append(c.Dates, w.Date(d).Format(time.DateOnly))
	}
	for i, sit := range w.Sittings {
		if sit.Service >= 0 && !w.Case.Schedule.Slots[i].Closed {
			c.Services = append(c.Services, w.Date(sit.Day).Format(time.DateOnly)+" "+w.Services[sit.Service].Name)
		}
	}
	for _, b := range batches(w, a.today()-1, w.Days-1) {
		name, _, _ := strings.Cut(b.Value, "@")
		if s, err := w.FindStep(name); err == nil && w.Graph.Steps[s].Mode == graph.OnDays && w.Steps[s].Starts != flow.Untimed {
			c.Batches = append(c.Batches, planned{b.Name, b.Value, clockTime(w.Steps[s].Starts)})
		}
	}
	a.light()
	if err := c.ask(ctx, a, w); err != nil {
		return nil, err
	}
	c.Told = a.tell(c.Conflicts, func(w *week.Week) ([]clock.Conflict, error) {
		in := &clockAnswer{}
		if err := in.ask(ctx, a, w); err != nil {
			return nil, err
		}
		return in.Conflicts, nil
	})
	c.Says = show.ClockAnswer(c.Timetable)
	if c.Way == "lanes" {
		c.Lanes = plainPicture(draw.RenderLanes(a.lanes(c.Timetable)))
		return c, nil
	}
	unfit := map[int][]clock.Conflict{} // by row
	for i := range c.Conflicts {
		if at := stands(&c.Conflicts[i], c.Rows); at >= 0 {
			unfit[at] = append(unfit[at], c.Conflicts[i])
		} else {
			c.Apart = append(c.Apart, c.Conflicts[i])
		}
	}
	today := a.date()
	folds := c.folds(a, today)
	for i := range c.Rows {
		r := &clockRow{&c.Rows[i], unfit[i]}
		if c.Ready != nil && r.Do == clock.Make {
			continue // it stands among the latest starts
		}
		date := r.At[:len(time.DateOnly)]
		if n := len(c.Groups); n == 0 || c.Groups[n-1].Date != date {
			c.Groups = append(c.Groups, clockDay{Date: date})
		}
		at := &c.Groups[len(c.Groups)-1]
		if r.Entry > 0 || date >= today && r.Minute() < a.Minute() && c.Ready == nil && len(c.Lit) == 0 {
			at.Past = append(at.Past, r)
			continue
		}
		switch {
		case c.Next != "" && r.Minute() >= folds:
			at.After = append(at.After, r)
		case r.Minute() >= a.Minute()+nextMinutes:
			at.Later = append(at.Later, r)
		default:
			at.Rows = append(at.Rows, r)
		}
	}
	return c, nil
}

// folds is the minute from which on the rows of today are folded: once the service that begins next is over, and never within
// the next two hours.
func (c *clockAnswer) folds(a *asked, today string) int {
	if c.Day != today || c.Ready != nil || len(c.Lit) > 0 {
		return 0
	}
	w := a.Week
	for i, s := range w.Case.Schedule.Slots {
		if sit := w.Sittings[i]; sit.Service >= 0 && !s.Closed && s.Start > a.Minute() {
			c.Next = w.Services[sit.Service].Name
			return max(s.End, a.Minute()+nextMinutes)
		}
	}
	return 0
}

// light turns the fields of the form, a batch and a time, into one of the beginnings that links carry.
func (a *asked) light() {
	batch, at := strings.TrimSpace(a.Query.Get("batch")), strings.TrimSpace(a.Query.Get("time"))
	a.Query.Del("batch")
	a.Query.Del("time")
	if batch == "" || at == "" {
		return
	}
	a.Query["lit"] = slices.DeleteFunc(a.Query["lit"], func(v string) bool { return strings.HasPrefix(v, batch+"=") })
	a.Query.Add("lit", batch+"="+at)
	a.Query.Del("ready")
}

// mostLit bounds how many beginnings are asked about at once.
const mostLit = 20

// ask asks what the URL asks, of the day of today when it names none.
func (c *clockAnswer) ask(ctx context.Context, a *asked, w *week.Week) (err error) {
	if text := a.Query.Get("ready"); text != "" {
		slot, err := clock.Slot(w, text)
		if err != nil {
			return &Refusal{Msg: err.Error(), Hint: "choose a service on the Clock page"}
		}
		if c.Timetable, err = clock.ToBeReady(ctx, w, slot); err != nil {
			return &Refusal{Msg: err.Error()}
		}
		return nil
	}
	var on *int
	if text := a.Query.Get("on"); text != wholeWeek {
		day := a.today()
		if text != "" {
			if day, err = clock.Day(w, text); err != nil {
				return &Refusal{Msg: err.Error(), Hint: "choose one of the days on the Clock page"}
			}
		}
		on, c.Day = &day, w.Date(day).Format(time.DateOnly)
	}
	var begin []clock.Beginning
	for _, text := range a.Query["lit"][:min(mostLit, len(a.Query["lit"]))] {
		b, err := clock.Lit(w, text)
		if err != nil {
			says, _, _ := strings.Cut(err.Error(), " write it as \"") // as nobody types it here
			return &Refusal{Msg: says, Hint: "choose a batch and a time on the Clock page"}
		}
		begin = append(begin, b)
	}
	if len(begin) > 0 {
		c.Timetable, err = clock.IfLit(ctx, w, begin, on)
	} else {
		c.Timetable, err = clock.Of(ctx, w, on)
	}
	if err == nil {
		c.Timetable.Rows, err = a.marked(ctx, w.Kitchen, c.Timetable.Rows)
	}
	return err
}

// ownStyle is what a picture says of itself where it stands alone; on a page, the style sheet says it.
var ownStyle = regexp.MustCompile(` style="[^"]*"|<style>[^<]*</style>`)

// plainPicture takes the style out of a picture of package draw, which escapes all that the kitchen file says.
func plainPicture(svg []byte) template.HTML { return template.HTML(ownStyle.ReplaceAll(svg, nil)) }

// lanes are those of a timetable in the language of the page.
func (s *speaker) lanes(t *clock.Timetable) draw.Lanes {
	if s.voice.English() {
		return show.Lanes(t)
	}
	return show.LanesIn(t, show.LaneWords{Name: s.Called, Say: s.Phrases, Act: func(r *clock.Row) string {
		what, how := s.row(r)
		if how != "" {
			what = s.T("%[1]s: %[2]s", what, how)
		}
		return what
	}})
}
