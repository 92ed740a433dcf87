package guide

// The guide as sections of text, which the page and the Markdown lay out alike.

import (
	"fmt"
	"slices"
	"unicode"
	"unicode/utf8"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
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
	if l.Optional {
		text = t.say("%[1]s (can be left out)", text)
	}
	if l.Carried {
		text = t.say("%[1]s (from yesterday)", text)
	}
	if l.InAt > 0 {
		text = t.say("%[1]s (in after %[2]s)", text, measure.FormatDuration(l.InAt))
	}
	return text
}

func (t *teller) gives(outputs []Output) line {
	var texts []line
	for _, o := range outputs {
		text := t.part(o.Of.Amount, o.Of.Unit, o.Of.Item)
		if o.OutAt > 0 {
			text = t.say("%[1]s (out after %[2]s)", text, measure.FormatDuration(o.OutAt))
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
		if len(text) > 0 {
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

func (t *teller) recipe(st Station, r Recipe) []block {
	var when line
	switch {
	case r.How == AllOf:
		when = t.say("Each day, all there is of %[1]s.", t.name(r.Takes[0].Choices[0].Item))
	case r.How == ToOrder:
		when = t.say("To order: as much as the dishes need.")
	case len(r.Batches) == 0:
		when = t.say("On no set day.")
	default:
		when = t.batches(r.Batches)
		if r.Starts != "" {
			when = t.say("At %[1]s; %[2]s.", r.Starts, when)
		}
	}
	rows := []row{{t.say("When"), when}}
	if r.Vessel != "" && r.Vessel != st.Name {
		rows = append(rows, row{t.say("In"), t.name(r.Vessel)})
	}
	rows = append(rows, row{t.say("A batch takes"), t.uses(r.Takes)}, row{t.say("A batch gives"), t.gives(r.Gives)})
	return []block{{Rows: rows}}
}

// things tells of each item.
func (t *teller) things(g *Guide) section {
	s := section{ID: "items", Title: t.say("Items"), Page: true}
	s.Blocks = []block{{Text: t.say("For each: where it comes from, where it goes, and what to do when it runs out. What stops and what goes on is worked out for a whole week without it.")}}
	made := section{ID: "made", Title: t.say("Made here")}
	bought := section{ID: "bought", Title: t.say("Bought")}
	for n, item := range g.Items {
		page := section{ID: fmt.Sprintf("item-%d", n+1), Title: t.name(item.Name), Blocks: t.thing(item)}
		if item.Bought {
			bought.Sections = append(bought.Sections, page)
		} else {
			made.Sections = append(made.Sections, page)
		}
	}
	for _, part := range []section{made, bought} {
		if len(part.Sections) > 0 {
			s.Sections = append(s.Sections, part)
		}
	}
	return s
}

func (t *teller) thing(item Item) []block {
	var from, into []line
	if item.Supplier != "" {
		from = append(from, t.free(item.Supplier))
	}
	if item.Bought {
		from = append(from, t.say("delivered: %[1]s", t.days(item.Arrives)))
	}
	if item.Pack != nil {
		from = append(from, t.say("in packs of %[1]s", t.measure(item.Pack.Amount, item.Pack.Unit)))
	}
	for _, m := range item.Makers {
		from = append(from, t.say("%[1]s, %[2]s a batch", t.name(m.Step), t.measure(m.Amount, m.Unit)))
	}
	for _, u := range item.Uses {
		text := t.say("%[1]s (%[2]s)", t.name(u.In), t.measure(u.Amount, u.Unit))
		if u.Substitute != "" {
			text = t.say("%[1]s in place of %[2]s", text, t.name(u.Substitute))
		}
		into = append(into, text)
	}
	rows := []row{{t.say("Comes from"), t.list(from)}}
	if len(into) > 0 {
		rows = append(rows, row{t.say("Goes into"), t.list(into)})
	}
	if item.Keeps > 0 {
		rows = append(rows, row{t.say("Days it keeps"), t.say("%[1]s, the first day counted", t.whole(item.Keeps))})
	}
	return []block{{Rows: rows}, {Text: t.say("When it runs out:")}, {Points: t.runsOut(item)}}
}

// runsOut is what to do when there is no more of an item.
func (t *teller) runsOut(item Item) (points []line) {
	for _, s := range item.Swaps {
		text := t.say("In %[1]s, take %[2]s instead.", t.name(s.In), t.part(s.Instead.Amount, s.Instead.Unit, s.Instead.Item))
		if len(s.Allergens) > 0 {
			text = append(append(text, span{" ", ""}), t.say("CAUTION: this adds %[1]s. Tell whoever takes the orders.", t.allergens(s.Allergens))...)
		}
		if len(s.Unstated) > 0 {
			text = append(append(text, span{" ", ""}), t.say("Allergens are not stated for %[1]s: read the labels.", t.names(s.Unstated))...)
		}
		points = append(points, text)
	}
	if len(item.LeaveOut) > 0 {
		points = append(points, t.say("It can be left out of %[1]s.", t.names(item.LeaveOut)))
	}
	if item.Bought {
		points = append(points, t.say("The next delivery: %[1]s.", t.days(item.Arrives)))
	}
	for _, m := range item.Makers {
		switch {
		case m.How == AllOf:
			points = append(points, t.say("There is more only when %[1]s has more to work with.", t.name(m.Step)))
		case m.How == ToOrder:
			points = append(points, t.say("Make more: %[1]s.", t.name(m.Step)))
		case m.OutAt > 0:
			points = append(points, t.say("Another batch of %[1]s takes %[2]s to give this.", t.name(m.Step), measure.FormatDuration(m.OutAt)))
		default:
			points = append(points, t.say("Make another batch of %[1]s, if what it takes is on hand.", t.name(m.Step)))
		}
		if m.Latest != nil {
			points = append(points, t.say("In the standing week, %[1]s must start by %[2]s %[3]s at the latest for %[4]s on %[5]s, and for anything that needs it sooner.",
				t.name(m.Step), t.weekdayOf(*m.Latest), clockOf(*m.Latest), t.trade(m.Service), t.weekdayOf(m.Begins)))
		}
	}
	switch {
	case item.Without.affected() == 0:
		points = append(points, t.say("No dish sells less without it."))
	default:
		if len(item.Without.Stops) > 0 {
			points = append(points, t.say("Stops: %[1]s.", t.names(item.Without.Stops)))
		}
		if len(item.Without.Fewer) > 0 {
			var texts []line
			for _, f := range item.Without.Fewer {
				texts = append(texts, t.say("%[1]s (%[2]s of %[3]s)", t.name(f.Dish), t.whole(f.After), t.whole(f.Before)))
			}
			points = append(points, t.say("Sells fewer: %[1]s.", t.list(texts)))
		}
		if len(item.Without.GoesOn) > 0 {
			points = append(points, t.say("Goes on: %[1]s.", t.names(item.Without.GoesOn)))
		}
	}
	return points
}

// plates has a page for each dish.
func (t *teller) plates(g *Guide) section {
	s := section{ID: "dishes", Title: t.say("Dishes"), Page: true}
	for n, d := range g.Dishes {
		page := section{ID: fmt.Sprintf("dish-%d", n+1), Title: t.name(d.Name), Page: n > 0}
		if d.Special {
			page.Blocks = append(page.Blocks, block{Text: t.say("A special: offered when something is left over.")})
		}
		var rows []row
		for _, l := range d.Lines {
			for k, c := range l.Choices {
				text := t.name(c.Item)
				if k > 0 {
					text = t.say("or %[1]s", text)
				}
				if c.Grams != nil && !isWeight(c.Unit) {
					text = t.say("%[1]s, which weighs %[2]s", text, t.measure(*c.Grams, "g"))
				}
				if l.Optional && k == len(l.Choices)-1 {
					text = t.say("%[1]s (can be left out)", text)
				}
				head := t.measure(c.Amount, c.Unit)
				if c.Unit == "each" {
					head += " ×"
				}
				rows = append(rows, row{line{{head, ""}}, text})
			}
		}
		page.Blocks = append(page.Blocks, block{Text: t.say("On one portion:")}, block{Rows: rows})
		page.Blocks = append(page.Blocks, t.allergenBlocks(d)...)
		if len(d.RestsOn) > 0 {
			page.Blocks = append(page.Blocks, block{Text: t.say("Depends on: %[1]s. In the standing week none is sold without every one of these.", t.names(d.RestsOn))})
		}
		s.Sections = append(s.Sections, page)
	}
	return s
}

func isWeight(unit string) bool {
	u, err := measure.UnitNamed(unit)
	return err == nil && u.Kind == measure.Weight
}

// allergenBlocks say what a dish has and by which way.
func (t *teller) allergenBlocks(d Dish) (blocks []block) {
	if len(d.Allergens) == 0 && len(d.Unstated) == 0 {
		return []block{{Text: t.say("Allergens: none, per kitchen file. Read the labels all the same.")}}
	}
	var points []line
	for _, a := range d.Allergens {
		var ways []line
		for _, w := range a.Ways {
			ways = append(ways, t.way(w))
		}
		points = append(points, t.say("%[1]s: %[2]s", t.allergen(a.Allergen), t.list(ways)))
	}
	for _, w := range d.Unstated {
		points = append(points, t.say("Not stated: %[1]s", t.way(w)))
	}
	return []block{{Text: t.say("Allergens, and what brings each. Ask the person in charge before you answer a guest.")}, {Points: points}}
}

// way leads from a bought item to a dish, which is not named again.
func (t *teller) way(w ask.Way) (text line) {
	for i, name := range w.Path[:max(1, len(w.Path)-1)] {
		if i > 0 {
			text = append(text, span{" → ", ""})
		}
		text = append(text, t.name(name)...)
	}
	switch w.Only {
	case "substitute":
		return t.say("%[1]s (only as a substitute)", text)
	case "optional":
		return t.say("%[1]s (can be left out)", text)
	}
	return text
}

// weakness tells the worst losses.
func (t *teller) weakness(g *Guide) section {
	s := section{ID: "weak", Title: t.say("Where the kitchen is weak"), Page: true}
	if len(g.Weak) == 0 {
		s.Blocks = []block{{Text: t.say("No single loss costs a portion.")}}
		return s
	}
	s.Blocks = []block{{Text: t.say("The worst losses, and what goes with them. Look after these first.")}}
	var rows []row
	for _, w := range g.Weak {
		head := t.name(w.Of)
		if w.Weekday != nil {
			head = t.say("%[1]s, %[2]s", head, t.weekday(*w.Weekday))
		}
		rows = append(rows, row{head, t.say("Portions lost: %[1]s. Hit: %[2]s.", t.whole(w.Portions), t.names(w.Dishes))})
	}
	s.Blocks = append(s.Blocks, block{Rows: rows})
	return s
}

// whole makes a sentence of what begins small or has no stop.
func whole(l line) line {
	if len(l) == 0 {
		return l
	}
	l = slices.Clone(l)
	first, size := utf8.DecodeRuneInString(l[0].Text)
	l[0].Text = string(unicode.ToUpper(first)) + l[0].Text[size:]
	if last, _ := utf8.DecodeLastRuneInString(l[len(l)-1].Text); !unicode.IsPunct(last) {
		l = append(l, span{".", ""})
	}
	return l
}

// usualCautions stand in every guide: common practice, no source.
var usualCautions = []string{
	"Steam burns before you see it: lift a lid away from you, and stand back when a pot is opened or drained.",
	"Hot fat catches fire and spits: nothing wet goes in, never leave it alone, never put it out with water.",
	"Lower things into a boiling pot, do not drop them: it splashes.",
	"Say \"behind you\" and \"hot\" when you carry something hot.",
}

func (t *teller) caution(g *Guide) section {
	s := section{ID: "cautions", Title: t.say("Cautions"), Page: true}
	for _, c := range g.Cautions {
		s.Blocks = append(s.Blocks, block{Warning: whole(t.say(c))})
	}
	s.Blocks = append(s.Blocks, block{Text: t.say("What this kitchen's food code says, %[1]s:", t.english(g.Code))}, block{Points: t.limits(g.code)},
		block{Warning: t.say(kitchen.Caution)},
		block{Warning: t.say("Where local code, or someone licensed to judge, says otherwise, do as they say. This guide does not replace training.")})
	return s
}

// limits are the figures of a food code.
func (t *teller) limits(c *kitchen.Code) (points []line) {
	degrees := func(at float64) string { return t.number(at) + "\u00a0°" + c.Scale }
	for _, l := range c.Cooling {
		if l.Within == 0 {
			points = append(points, t.say("Cool cooked food from %[1]s to %[2]s (%[3]s).", degrees(l.From), degrees(l.To), t.english(l.Section)))
			continue
		}
		points = append(points, t.say("Cool cooked food from %[1]s to %[2]s within %[3]s (%[4]s).", degrees(l.From), degrees(l.To),
			measure.FormatDuration(l.Within), t.english(l.Section)))
	}
	if c.Hot != nil {
		points = append(points, t.say("Hold hot at %[1]s or above (%[2]s).", degrees(c.Hot.At), t.english(c.Hot.Section)))
	}
	if c.Cold != nil {
		points = append(points, t.say("Hold cold at %[1]s or below (%[2]s).", degrees(c.Cold.At), t.english(c.Cold.Section)))
	}
	if c.Keeps > 0 {
		points = append(points, t.say("Days that ready food may be held cold, the day made being day 1: %[1]s at most (%[2]s).", t.whole(c.Keeps), t.english(c.Dated)))
	}
	if len(points) == 0 {
		points = append(points, t.say("It gives no figure here: ask the person in charge."))
	}
	return points
}

// asked are the questions.
func (t *teller) asked(g *Guide) section {
	s := section{ID: "questions", Title: t.say("Questions"), Page: true}
	s.Blocks = []block{{Text: t.say("More than one answer may be right. The answers are at the end.")}}
	for n, q := range g.Questions {
		var options []line
		for _, o := range q.Options {
			options = append(options, t.name(o))
		}
		s.Sections = append(s.Sections, section{ID: fmt.Sprintf("question-%d", n+1), Title: t.say("Question %[1]s", t.whole(n+1)),
			Blocks: []block{{Text: whole(t.question(q))}, {Options: options}}})
	}
	return s
}

func (t *teller) question(q Question) line {
	about := func(n int) line { return t.name(q.About[n]) }
	switch q.Asks {
	case AskLost:
		return t.say("Every batch of %[1]s is lost, all week. Which of these can you still sell in full?", about(0))
	case AskMissing:
		return t.say("There is no %[1]s all week. Which of these can you not sell at all?", about(0))
	case AskInstead:
		return t.say("There is no more %[1]s. What can go into %[2]s instead?", about(0), about(1))
	case AskFrom:
		return t.say("Where does %[1]s come from?", about(0))
	case AskPlate:
		return t.say("How much %[1]s goes on one portion of %[2]s?", about(0), about(1))
	case AskLast:
		return t.say("%[1]s is made on %[2]s. By how long the kitchen file says it keeps, what is its last day, if nothing that went in is older?", about(0), q.About[1])
	case AskDelivered:
		return t.say("When does %[1]s come?", about(0))
	case AskOut:
		return t.say("%[2]s begins at %[3]s. When is %[1]s out?", about(0), about(1), q.About[2])
	}
	return t.say("Which of these always has this allergen: %[1]s?", t.allergen(q.About[0]))
}

func (t *teller) answered(g *Guide) section {
	s := section{ID: "answers", Title: t.say("Answers"), Page: true}
	var rows []row
	for n, q := range g.Questions {
		var right []line
		for _, r := range q.Right {
			right = append(right, t.say("%[1]s: %[2]s", string(rune('A'+r)), t.name(q.Options[r])))
		}
		rows = append(rows, row{t.say("Question %[1]s", t.whole(n+1)), t.list(right)})
	}
	s.Blocks = []block{{Rows: rows}}
	return s
}
