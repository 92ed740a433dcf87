package guide

// The guide as sections of text, which the page and the Markdown lay out alike.

import (
	"slices"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// section is a heading with what stands below it.
type section struct {
	ID       string
	Title    line
	Page     bool // begins a page in print
	Front    *fit // it is one page in print, and laid out so
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
	Stages  []stage
	Photo   string // of a file; Text says what it shows
}

type row struct{ Head, Text line }

// stage is a moment of a batch in a pot: what is on its left goes in, what is on its right comes out.
type stage struct {
	When, Held line
	In, Out    []line
}

// sections tells the whole guide: the pages in front, one for the pot and one for each station, then all else to look things up in.
func (g *Guide) sections() []section {
	t := newTeller(g)
	var all []section
	if g.Pot != nil {
		all = append(all, t.pot(g))
	}
	pages, rest := t.places(g)
	all = append(append(all, pages...), t.caution(g), t.mapped(g))
	if len(g.Story) > 0 || g.lanes != nil {
		all = append(all, t.told(g))
	}
	if len(rest.Sections) > 0 {
		all = append(all, rest)
	}
	all = append(all, t.things(g), t.plates(g), t.weakness(g))
	if len(g.Questions) > 0 {
		all = append(all, t.asked(g), t.answered(g))
	}
	return all
}

// Addresses on the page, of the map and of the cautions.
const (
	mapID      = "map"
	cautionsID = "cautions"
)

func (t *teller) mapped(g *Guide) section {
	s := section{ID: mapID, Title: t.say("The map"), Page: true}
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
	text := t.takes(l.Choices[0])
	for _, c := range l.Choices[1:] {
		text = t.say("%[1]s or %[2]s", text, t.takes(c))
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

// first is the first choice of a line, with what is to be known of it.
func (t *teller) first(l Line) line {
	c := l.Choices[0]
	text := t.spared(t.takes(c), l)
	if l.Carried {
		text = t.say("%[1]s (from yesterday)", text)
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
		text := t.part(o.Of.Amount, o.Of.shownIn(), o.Of.Item)
		if o.OutAt > 0 {
			text = t.say("%[1]s (out after %[2]s)", text, t.lasts(o.OutAt))
		}
		texts = append(texts, text)
	}
	return t.list(texts)
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
		texts = append(texts, t.say("%[2]s on %[1]s", t.weekday(r.Weekday), t.number(r.Batches)))
	}
	return t.say("batches: %[1]s", t.list(texts))
}

// place names a station, which may be a vessel.
func (t *teller) place(station, vessel string) line {
	if station == vessel {
		return t.name(station)
	}
	at := t.free(station)
	if _, ok := t.kitchen.WordIn(station, t.tag); station == bench && !ok {
		at = t.say("bench")
	}
	if vessel != "" {
		return t.say("%[1]s, %[2]s", at, t.name(vessel))
	}
	return at
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
	tongue.Steam, tongue.HotFat, tongue.Lower,
	"Say \"behind you\" and \"hot\" when you carry something hot.",
}
