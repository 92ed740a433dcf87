package guide

// The guide as sections of text, which the page and the Markdown lay out alike.

import (
	"fmt"
	"slices"

	"golang.org/x/text/language"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
)

// section is a heading with what stands below it.
type section struct {
	ID       string
	Title    line
	Page     bool // begins a page in print
	Blocks   []block
	Sections []section
}

// block is one piece of a section: exactly one of its fields is filled.
type block struct {
	Text    line
	Warning line   // a caution
	Rows    []row  // what and how
	Points  []line // one under the other
	Options []line // lettered
	Figure  string // "map" or "lanes"
	Flow    []line // stands for the map where there is no picture
}

type row struct{ Head, Text line }

// sections tells the whole guide.
func (g *Guide) sections() []section {
	t := newTeller(g)
	all := []section{t.mapped(g), t.told(g), t.places(g), t.things(g), t.plates(g), t.weakness(g), t.caution(g)}
	if len(g.Questions) > 0 {
		all = append(all, t.asked(g), t.answered(g))
	}
	return all
}

func (t *teller) mapped(g *Guide) section {
	s := section{ID: "map", Title: t.say("The map")}
	s.Blocks = append(s.Blocks, block{Text: t.say("What depends on what: read it from left to right. If something on the left is missing, follow the lines to see what it feeds.")})
	if len(g.Missing) > 0 {
		s.Blocks = append(s.Blocks, block{Text: t.say("Names without a translation are shown as the kitchen file has them: %[1]s of them.", t.whole(len(g.Missing)))})
	}
	s.Blocks = append(s.Blocks, block{Figure: "map"})
	var lines []line
	for _, st := range g.Stations {
		for _, r := range st.Recipes {
			lines = append(lines, t.say("%[1]s: %[2]s → %[3]s", t.name(r.Step), t.uses(r.Takes), t.gives(r.Gives)))
		}
	}
	for _, d := range g.Dishes {
		lines = append(lines, t.say("%[1]s → %[2]s", t.uses(d.Lines), t.name(d.Name)))
	}
	s.Blocks = append(s.Blocks, block{Flow: lines})
	return s
}

func (t *teller) uses(lines []Line) line {
	var texts []line
	for _, l := range lines {
		texts = append(texts, t.taken(l))
	}
	return t.list(texts)
}

// taken is one line of a recipe.
func (t *teller) taken(l Line) line {
	text := t.part(l.Choices[0].Amount, l.Choices[0].Unit, l.Choices[0].Item)
	for _, c := range l.Choices[1:] {
		text = t.say("%[1]s or %[2]s", text, t.part(c.Amount, c.Unit, c.Item))
	}
	text = t.spared(text, l)
	if l.Carried {
		text = t.say("%[1]s (from yesterday)", text)
	}
	if l.InAt > 0 {
		text = t.say("%[1]s (in after %[2]s)", text, t.lasts(l.InAt))
	}
	return text
}

// spared is a line with what can be spared of it.
func (t *teller) spared(text line, l Line) line {
	switch {
	case l.Without == 1:
		return t.say("%[1]s (to taste: go on without it)", text)
	case l.Without > 0:
		return t.say("%[1]s (give or take %[2]s)", text, kitchen.FormatPercent(l.Without))
	case l.Optional:
		return t.say("%[1]s (can be left out)", text)
	}
	return text
}

func (t *teller) gives(outputs []Output) line {
	var texts []line
	for _, o := range outputs {
		text := t.part(o.Of.Amount, o.Of.Unit, o.Of.Item)
		if o.OutAt > 0 {
			text = t.say("%[1]s (out after %[2]s)", text, t.lasts(o.OutAt))
		}
		texts = append(texts, text)
	}
	return t.list(texts)
}

// told is the story of the pot.
func (t *teller) told(g *Guide) section {
	s := section{ID: "story", Title: t.say("The pot, hour by hour"), Page: true}
	timed := slices.ContainsFunc(g.Story, func(w Work) bool { return w.Timed })
	if timed {
		s.Blocks = append(s.Blocks, block{Text: t.say("Each part follows one batch, from start to end. Hours are by the kitchen's clock.")},
			block{Figure: "lanes"})
	} else {
		s.Blocks = append(s.Blocks, block{Text: t.say("The kitchen file sets no hours. What follows is in order, each with the latest time at which it must be done.")})
	}
	if len(g.Seeds) > 0 {
		s.Blocks = append(s.Blocks, block{Text: t.say("What is carried from day to day is assumed to be there on the first morning: %[1]s.", t.names(g.Seeds))})
	}
	rest := section{ID: "no-clock", Title: t.say("Without a set hour")}
	for n, w := range g.Story {
		if w.Timed {
			s.Sections = append(s.Sections, section{ID: fmt.Sprintf("story-%d", n+1), Title: t.name(w.Step), Blocks: t.batch(w)})
			continue
		}
		for i := range w.Rows {
			r := &w.Rows[i]
			text := t.say("%[1]s: from %[2]s come %[3]s.", t.name(r.Step), t.parts(r.In), t.parts(r.Out))
			if r.Do != clock.Make {
				text = t.say("%[1]s: %[2]s", t.name(r.Step), t.act(r))
			}
			rest.Blocks = append(rest.Blocks, block{Text: append(text, t.when(w, r)...)})
		}
	}
	if !timed {
		s.Blocks = append(s.Blocks, rest.Blocks...)
	} else if len(rest.Blocks) > 0 {
		s.Sections = append(s.Sections, rest)
	}
	return s
}

// when says by when work without a set hour must be done.
func (t *teller) when(w Work, r *clock.Row) line {
	days := t.plain("on each day that brings some")
	if len(w.Batches) > 0 {
		days = t.batches(w.Batches).plain()
	}
	return t.say(" By %[1]s at the latest; %[2]s.", clockOf(r.At), days)
}

// batches is how many of a step there are on which days.
func (t *teller) batches(runs []Run) line {
	if !slices.ContainsFunc(runs, func(r Run) bool { return r.Batches != runs[0].Batches }) {
		if runs[0].Batches == 1 {
			return t.say("one batch: %[1]s", t.days(weekdays(runs)))
		}
		return t.say("%[2]s batches each: %[1]s", t.days(weekdays(runs)), t.number(runs[0].Batches))
	}
	var texts []line
	for _, r := range runs {
		texts = append(texts, t.say("%[1]s %[2]s", t.weekday(r.Weekday), t.number(r.Batches)))
	}
	return t.say("batches: %[1]s", t.list(texts))
}

// batch tells one batch of a step with a set time.
func (t *teller) batch(w Work) []block {
	first := &w.Rows[0]
	where := t.place(first.Station, first.Vessel)
	blocks := []block{{Text: t.say("Where: %[1]s. Shown for a %[2]s; %[3]s.", where, t.weekdayOf(first.At), t.batches(w.Batches))}}
	var rows []row
	date := first.At[:10]
	for i := range w.Rows {
		r := &w.Rows[i]
		head := line{{clockOf(r.At), ""}}
		if r.At[:10] != date {
			date = r.At[:10]
			head = t.say("%[1]s %[2]s", t.weekdayOf(r.At), clockOf(r.At))
		}
		rows = append(rows, row{head, t.act(r)})
	}
	return append(blocks, block{Rows: rows})
}

// place names a station, which may be a vessel.
func (t *teller) place(station, vessel string) line {
	switch station {
	case vessel:
		return t.name(station)
	case bench:
		return t.say("bench")
	}
	if vessel != "" {
		return t.say("%[1]s, %[2]s", t.free(station), t.name(vessel))
	}
	return t.free(station)
}

// act is what a row of the timetable says to do.
func (t *teller) act(r *clock.Row) (text line) {
	add := func(l line) {
		if len(text) > 0 && t.tag != language.SimplifiedChinese {
			text = append(text, span{" ", ""})
		}
		text = append(text, l...)
	}
	switch r.Do {
	case clock.Start:
		add(t.say("Start %[1]s.", t.name(r.Step)))
		if r.Vessel != "" && len(r.In) > 0 {
			add(t.say("Put into the %[1]s: %[2]s.", t.name(r.Vessel), t.parts(r.In)))
		} else if len(r.In) > 0 {
			add(t.say("Take %[1]s.", t.parts(r.In)))
		}
	case clock.PutIn:
		add(t.say("Put in %[1]s.", t.parts(r.In)))
	case clock.TakeOut:
		if len(r.Out) > 0 {
			add(t.say("Take out %[1]s.", t.parts(r.Out)))
		}
		if len(r.For) > 0 {
			add(t.say("For %[1]s.", t.names(r.For)))
		}
	case clock.Make:
		add(t.say("From %[1]s come %[2]s.", t.parts(r.In), t.parts(r.Out)))
	}
	if r.Phase != "" {
		add(t.say("Now: %[1]s.", t.free(r.Phase)))
	}
	if r.Litres != nil && !r.Ends && r.Vessel != "" {
		add(t.say("The %[1]s now holds about %[2]s.", t.name(r.Vessel), t.measure(float64(int(*r.Litres+0.5)), "L")))
	}
	if r.Ends && r.Vessel != "" {
		add(t.say("The %[1]s is free.", t.name(r.Vessel)))
	} else if len(text) == 0 {
		add(t.say("End of %[1]s.", t.name(r.Step)))
	}
	return text
}

// places has a page for each station.
func (t *teller) places(g *Guide) section {
	s := section{ID: "stations", Title: t.say("Stations"), Page: true}
	for n, st := range g.Stations {
		page := section{ID: fmt.Sprintf("station-%d", n+1), Title: t.place(st.Name, vesselAt(st)), Page: n > 0}
		for m, r := range st.Recipes {
			page.Sections = append(page.Sections, section{ID: fmt.Sprintf("station-%d-%d", n+1, m+1), Title: t.name(r.Step),
				Blocks: t.recipe(st, r)})
		}
		s.Sections = append(s.Sections, page)
	}
	return s
}

// vesselAt is the vessel that a station is named after; "" when it is named otherwise.
func vesselAt(st Station) string {
	for _, r := range st.Recipes {
		if r.Vessel == st.Name {
			return r.Vessel
		}
	}
	return ""
}

// usualCautions stand in every guide: common practice, no source.
var usualCautions = []string{
	"Steam burns before you see it: lift a lid away from you, and stand back when a pot is opened or drained.",
	"Hot fat catches fire and spits: nothing wet goes in, never leave it alone, never put it out with water.",
	"Lower things into a boiling pot, do not drop them: it splashes.",
	"Say \"behind you\" and \"hot\" when you carry something hot.",
}
