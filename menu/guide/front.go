package guide

// The pages in front: one for the pot, one for each station.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// pot is the page of the batch on which the most hangs.
func (t *teller) pot(g *Guide) section {
	c := g.Pot
	s := section{ID: "pot", Title: t.say("The pot: %[1]s", t.name(c.Step)), Page: true}
	where := t.say("Where: %[1]s.", t.place(c.Station, c.Vessel))
	s.Blocks = append(s.Blocks, block{Text: t.then(where, t.begins(c.Starts, c.Batches))})
	if len(c.Without.Stops) > 0 {
		s.Blocks = append(s.Blocks, block{Text: t.say("Without it these are not sold at all: %[1]s.", t.names(c.Without.Stops))})
	}
	if rows := t.made(&c.Telling); len(rows) > 0 {
		s.Blocks = append(s.Blocks, block{Rows: rows})
	}
	s.Blocks = append(append(s.Blocks, t.photo(c.Step, &c.Telling)...), block{Stages: t.stages(c)})
	out := section{ID: "pot-out", Title: t.say("When it runs out")}
	var rows []row
	for _, st := range c.Stages {
		for _, o := range st.Out {
			if item := g.item(o.Of.Item); !o.Waste && item != nil {
				rows = append(rows, row{t.say("No %[1]s?", t.name(o.Of.Item)), t.runsOutShort(item, false)})
			}
		}
	}
	out.Blocks = []block{{Rows: rows}}
	s.Sections = append(s.Sections, out)
	if blocks := t.dangers(g, &c.dangers); len(blocks) > 0 {
		s.Sections = append(s.Sections, section{ID: "pot-cautions", Title: t.say("Cautions"), Blocks: blocks})
	}
	s.Front = fitted(&s, titleHigh)
	return s
}

// titleHigh is about how high the title of the guide stands above the first page, in points.
const titleHigh = 34

// begins is when a step begins.
func (t *teller) begins(starts string, runs []Run) line {
	switch {
	case len(runs) == 0:
		return t.say("On no set day.")
	case starts != "":
		return t.say("At %[1]s; %[2]s.", starts, t.batches(runs))
	}
	return t.ended(t.batches(runs))
}

// stages lays a batch out, moment by moment.
func (t *teller) stages(c *Course) (list []stage) {
	days := 0 // since the day of the start
	for n, st := range c.Stages {
		s := stage{}
		s.When, days = t.moment(c, st.After, days)
		for _, in := range st.In {
			s.In = append(s.In, t.first(in))
		}
		for _, out := range st.Out {
			text := t.part(out.Of.Amount, out.Of.shownIn(), out.Of.Item)
			switch {
			case out.Waste:
				text = t.say("%[1]s, thrown away", text)
			case len(out.Into) > 0:
				text = t.say("%[1]s → %[2]s", text, t.some(out.Into, out.More))
			}
			s.Out = append(s.Out, text)
		}
		if st.Phase != "" {
			s.Held = t.free(st.Phase)
		}
		if st.Litres != nil {
			held := t.say("about %[1]s", t.measure(math.Round(st.inPot.Amount), st.inPot.Unit.Name))
			if s.Held = t.list([]line{s.Held, held}); st.Phase == "" {
				s.Held = held
			}
		}
		if n == len(c.Stages)-1 && c.Vessel != "" {
			s.Held = t.say("The %[1]s is free.", t.name(c.Vessel))
		}
		list = append(list, s)
	}
	return list
}

// moment is when a stage of a batch is: by the clock where it has one, with the day where that is another, else since its start.
func (t *teller) moment(c *Course, after, days int) (line, int) {
	if c.Starts == "" {
		if after == 0 {
			return t.say("start"), 0
		}
		return t.say("after %[1]s", t.lasts(after)), 0
	}
	at := minuteOf(c.Starts) + after
	clock := line{{measure.FormatClock(at % 1440), ""}}
	switch now := at / 1440; {
	case now == days:
		return clock, now
	case now == 1:
		return t.say("%[1]s next day", clock), now
	default:
		return t.say("%[1]s on day %[2]s", clock, t.whole(now+1)), now
	}
}

// minuteOf reads a time of our own.
func minuteOf(clock string) int {
	minute, err := measure.ParseClock(clock)
	if err != nil {
		panic("mistake: a time of our own that is none: " + err.Error())
	}
	return minute
}

// some are a few of many names.
func (t *teller) some(names []string, more int) line {
	if more == 0 {
		return t.names(names)
	}
	return t.say("%[1]s and %[2]s more", t.names(names), t.whole(more))
}

// places has a page for each station, and what found no room on them.
func (t *teller) places(g *Guide) (pages []section, rest section) {
	rest = section{ID: "more-work", Title: t.say("More work at the stations"), Page: true}
	for n := range g.Stations {
		st := &g.Stations[n]
		if len(st.Recipes) == 1 && st.Recipes[0].Pot { // it has a page already
			continue
		}
		page := section{ID: fmt.Sprintf("station-%d", n+1), Title: t.say("Station: %[1]s", t.place(st.Name, vesselAt(*st))), Page: true}
		if slices.ContainsFunc(st.Recipes, func(r Recipe) bool { return r.How == AsNeeded }) {
			page.Blocks = append(page.Blocks, block{Text: t.say("As needed: when what is on hand would not do for the next service. Use what is over first.")})
		}
		for m := range st.Recipes {
			page.Sections = append(page.Sections, section{ID: fmt.Sprintf("station-%d-%d", n+1, m+1), Title: t.name(st.Recipes[m].Step),
				Blocks: append(t.photo(st.Recipes[m].Step, &st.Recipes[m].Telling), block{Rows: t.recipe(g, st, &st.Recipes[m])})})
		}
		dangers := t.dangers(g, &st.Dangers)
		cautions := section{ID: fmt.Sprintf("station-%d-cautions", n+1), Title: t.say("Cautions"), Blocks: dangers}
		var left []section
		for {
			whole := page
			whole.Sections = slices.Clone(page.Sections)
			if len(left) > 0 {
				var names []line
				for _, s := range left {
					names = append(names, s.Title)
				}
				whole.Sections = append(whole.Sections, section{ID: page.ID + "-more", Title: t.say("More, further back"), Blocks: []block{{Text: t.list(names)}}})
			}
			if len(dangers) > 0 {
				whole.Sections = append(whole.Sections, cautions)
			}
			whole.Front = fitted(&whole, 0)
			if whole.Front.Fits || len(page.Sections) <= 1 {
				pages = append(pages, whole)
				break
			}
			last := len(page.Sections) - 1
			left = slices.Insert(left, 0, page.Sections[last])
			page.Sections = page.Sections[:last]
		}
		if len(left) > 0 {
			rest.Sections = append(rest.Sections, section{ID: page.ID + "-rest", Title: t.place(st.Name, vesselAt(*st)), Sections: left})
		}
	}
	return pages, rest
}

// recipe is what a station page says of a step.
func (t *teller) recipe(g *Guide, st *Station, r *Recipe) (rows []row) {
	var when line
	switch {
	case r.How == AllOf:
		when = t.say("Each day, all there is of %[1]s.", t.name(r.Takes[0].Choices[0].Item))
	case r.How == AsNeeded && r.Halves:
		when = t.say("As needed, in whole batches or halves.")
	case r.How == AsNeeded:
		when = t.say("As needed, in whole batches.")
	case r.How == ToOrder:
		when = t.say("To order: as much as the dishes need.")
	default:
		when = t.begins(r.Starts, r.Batches)
	}
	if r.Vessel != "" && r.Vessel != st.Name {
		when = t.then(when, t.say("In the %[1]s.", t.name(r.Vessel)))
	}
	rows = append(rows, row{t.say("When"), when})
	if r.Pot {
		return append(rows, row{t.say("How"), t.say("It has a page of its own: The pot.")})
	}
	rows = append(rows, row{t.say("A batch takes"), t.uses(r.Takes)}, row{t.say("A batch gives"), t.gives(r.Gives)})
	rows = append(rows, t.made(&r.Telling)...)
	for _, o := range r.Gives {
		if item := g.item(o.Of.Item); item != nil {
			rows = append(rows, row{t.say("No %[1]s?", t.name(o.Of.Item)), t.runsOutShort(item, true)})
		}
	}
	return rows
}

// made is what the file says of the making of something.
func (t *teller) made(of *Telling) (rows []row) {
	if of.Method != "" {
		rows = append(rows, row{t.say("How"), t.name(of.Method)})
	}
	if of.Looks != "" {
		rows = append(rows, row{t.say("Looks like"), t.name(of.Looks)})
	}
	return rows
}

// photo is the picture of something, where there is one.
func (t *teller) photo(name string, of *Telling) []block {
	if of.Photo == "" {
		return nil
	}
	return []block{{Photo: of.Photo, Text: t.name(name)}}
}

// item finds what the guide says of an item; nil for a dish.
func (g *Guide) item(name string) *Item {
	if at := slices.IndexFunc(g.Items, func(i Item) bool { return i.Name == name }); at >= 0 {
		return &g.Items[at]
	}
	return nil
}

// runsOutShort is what to do when there is no more of an item, in the order in which it is done; with how long a batch takes, where it is
// not told beside it.
func (t *teller) runsOutShort(item *Item, lasts bool) (text line) {
	var instead []string // items, each with all that it can go into
	for _, s := range item.Swaps {
		if !slices.Contains(instead, s.Instead.Item) {
			instead = append(instead, s.Instead.Item)
		}
	}
	for _, name := range instead {
		var in []string
		var adds, may, unknown []string
		for _, s := range item.Swaps {
			if s.Instead.Item == name {
				in, adds, may, unknown = append(in, s.In), s.Allergens, s.May, s.Unstated
			}
		}
		text = t.then(text, t.say("In %[1]s, take %[2]s instead.", t.names(in), t.name(name)))
		if len(adds) > 0 {
			text = t.then(text, t.say("CAUTION: this adds %[1]s. Tell whoever takes the orders.", t.allergens(adds)))
		}
		if len(may) > 0 {
			text = t.then(text, t.ended(t.say("May contain %[1]s", t.allergens(may))))
		}
		if len(unknown) > 0 {
			text = t.then(text, t.ended(t.say("UNKNOWN: %[1]s. Read the package", t.names(unknown))))
		}
	}
	if len(item.LeaveOut) > 0 {
		text = t.then(text, t.say("It can be left out of %[1]s.", t.names(item.LeaveOut)))
	}
	for _, m := range item.Makers {
		if lasts && m.How == OnDays && m.OutAt > 0 {
			text = t.then(text, t.say("Another batch of %[1]s takes %[2]s to give this.", t.name(m.Step), t.lasts(m.OutAt)))
		}
	}
	switch {
	case len(item.Without.Stops) > 0:
		text = t.then(text, t.say("Stops: %[1]s.", t.names(item.Without.Stops)))
	case item.Without.affected() == 0:
		text = t.then(text, t.say("No dish sells less without it."))
	case len(text) == 0:
		text = t.say("Make more: %[1]s.", t.name(item.Makers[0].Step))
	}
	return text
}

// then puts a sentence behind another.
func (t *teller) then(text, more line) line {
	if len(text) == 0 {
		return more
	}
	if len(more) > 0 && !tongue.Chinese(t.tag) {
		text = append(slices.Clone(text), span{" ", ""})
	}
	return append(slices.Clone(text), more...)
}

// both is a temperature on both scales.
func (t *teller) both(d kitchen.Degrees) string {
	return strings.ReplaceAll((&kitchen.Code{Scale: d.Scale}).Both(d.Value), " °", "\u00a0°")
}

// dangers are the cautions of a station.
func (t *teller) dangers(g *Guide, d *Dangers) (list []block) {
	add := func(l line) { list = append(list, block{Warning: l}) }
	if len(d.Allergens)+len(d.May)+len(d.Unstated) > 0 {
		var text line
		if len(d.Allergens) > 0 {
			text = t.say("Allergens here: %[1]s. Clean hands, boards and tools before the next thing.", t.allergens(d.Allergens))
		}
		if len(d.May) > 0 {
			text = t.then(text, t.ended(t.say("May contain %[1]s", t.allergens(d.May))))
		}
		if len(d.Unstated) > 0 {
			text = t.then(text, t.ended(t.say("UNKNOWN: %[1]s. Read the package", t.names(d.Unstated))))
		}
		add(text)
	}
	if len(d.Raw) > 0 {
		add(t.say("Raw here: %[1]s. Keep it away from ready food; wash hands, boards and knives after it.", t.names(d.Raw)))
	}
	for _, x := range d.Served {
		add(t.servedRaw(x))
	}
	if len(d.Histamine) > 0 {
		add(t.ended(t.say(tongue.Histamine, t.names(d.Histamine), t.both(g.code.Chilled()))))
	}
	if len(d.InOil) > 0 {
		add(t.ended(t.say(tongue.InOil, t.names(d.InOil), t.both(g.code.Chilled()))))
	}
	if d.Hot {
		add(t.say(tongue.Steam))
	}
	if d.Fat {
		add(t.say(tongue.HotFat))
	}
	if d.Boils {
		add(t.say(tongue.Lower))
	}
	if d.Heavy {
		add(t.ended(t.say(tongue.FullPot)))
	}
	if d.Lime {
		add(t.ended(t.say(tongue.Lime)))
	}
	if d.Lye {
		add(t.ended(t.say(tongue.Lye)))
	}
	if d.Night {
		add(t.ended(t.say("nobody tends a fire alone at night, and no fire is left unattended; mind the fire code")))
	}
	if d.Cooks {
		for _, p := range t.cooking(g.code) {
			list = append(list, block{Text: p})
		}
	}
	if d.Reheats && g.code.Reheat != nil {
		c := g.code
		for _, p := range t.limits(&kitchen.Code{Scale: c.Scale, Reheat: c.Reheat, For: c.For, Again: c.Again, Soon: c.Soon}) {
			list = append(list, block{Text: p})
		}
	}
	if d.Cools {
		for _, p := range t.cooling(g.code) {
			list = append(list, block{Text: p})
		}
	}
	if d.Cooks || d.Cools || d.Reheats {
		list = append(list, block{Text: t.say("By %[1]s. Local code and licensed judgement come first.", t.cited(g.Code))})
	}
	return list
}

// told follows the other batches that have set times.
func (t *teller) told(g *Guide) section {
	s := section{ID: "story", Title: t.say("Hour by hour"), Page: true}
	s.Blocks = append(s.Blocks, block{Text: t.say("Each part follows one batch by its card, from start to end. Hours are by the kitchen's clock.")}, block{Figure: "lanes"})
	for n := range g.Story {
		c := &g.Story[n]
		s.Sections = append(s.Sections, section{ID: fmt.Sprintf("story-%d", n+1), Title: t.name(c.Step), Blocks: []block{
			{Text: t.then(t.say("Where: %[1]s.", t.place(c.Station, c.Vessel)), t.begins(c.Starts, c.Batches))}, {Stages: t.stages(c)}}})
	}
	return s
}

// cooking and cooling are the limits of a food code that bind who cooks what is raw, and who cools what is cooked.
func (t *teller) cooking(c *kitchen.Code) (points []line) {
	if len(c.Cook) == 0 {
		return []line{t.say("For cooking, no figure is in %[1]s: ask the person in charge.", t.cited(c.Title))}
	}
	return t.limits(&kitchen.Code{Scale: c.Scale, Cook: c.Cook})
}
func (t *teller) cooling(c *kitchen.Code) (points []line) {
	if len(c.Cooling) == 0 {
		return []line{t.say("For cooling, no figure is in %[1]s: ask the person in charge.", t.cited(c.Title))}
	}
	return t.limits(&kitchen.Code{Scale: c.Scale, Cooling: c.Cooling})
}
