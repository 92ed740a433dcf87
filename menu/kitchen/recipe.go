package kitchen

// Steps and dishes: their cards read, their items found, their runs and forecasts laid out.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// recipe is a step or a dish as it was written.
type recipe struct {
	name        string
	key, body   *yaml.Node
	mode        graph.Mode
	lot         float64 // of a batch, as needed
	uses, gives []writtenLine
	dish        bool
	boils       float64 // millilitres an hour that boil off, as written; negative when not
	holed       bool    // a line could not be read or understood, so nothing can be said of the whole
}

// unsaid tells whether it takes something of which nobody has said how much.
func (rec *recipe) unsaid() bool {
	return slices.ContainsFunc(rec.uses, func(l writtenLine) bool { return l.unweighed })
}

// writtenLine is a line and where it stands.
type writtenLine struct {
	card
	node *yaml.Node
}

// card reads a step.
func (r *reader) card(key, body *yaml.Node, rec *recipe) {
	r.begin(rec, key, body, used)
	rec.gives = r.linesOf(rec, "gives", given)
	sc := StepCard{Vessel: -1}
	if n := r.value(body, "vessel"); n != nil {
		if v, ok := r.vesselAt[n.Value]; ok {
			sc.Vessel = v
		} else {
			r.fault(r.span(n), "unknown-vessel", r.meant(n.Value, r.k.vesselNames(), "add it under \"vessels\""),
				"unknown vessel %q", n.Value)
		}
	}
	if sc.Starts = scalarOr(r, body, "starts", parseStart, flow.Untimed); sc.Starts == someTime {
		sc.Starts, sc.Unsaid.Start = flow.Untimed, true
	}
	sc.Unsaid.Out = slices.ContainsFunc(rec.gives, func(l writtenLine) bool { return l.untimed })
	sc.Station, _ = scalar(r, body, "station", words)
	rec.boils = scalarOr(r, body, "boils off", parseSteam, -1)
	sc.Phases = r.phases(r.value(body, "phases"))
	sc.OffHeat, _ = scalar(r, body, offHeatKey, measure.ParseDuration)
	sc.Halves = r.says(body, "halves", "yes")
	sc.Work = r.work(body)
	sc.Measures = r.measures(body)
	if n := r.value(body, "batches"); n != nil {
		rec.mode, rec.lot = r.runs(n, &sc)
	}
	if n := r.value(body, "halves"); sc.Halves && (rec.mode == graph.AllOf || rec.mode == graph.ToOrder && rec.lot == 0) {
		r.fault(r.span(n), "halves-of-none", `give it set days or "as needed", or remove the key`, "%q has no batches that could be halved", rec.name)
	}
	if n := r.value(body, "starts"); sc.Starts != flow.Untimed && rec.lot > 0 {
		r.fault(r.span(n), "starts-as-needed", `remove "starts", or give it set days`,
			"%q is made as needed, in time for whatever needs it, so it has no time of its own", rec.name)
	}
	r.stepAt[rec.name] = len(r.k.Steps)
	r.also(NamedStep, len(r.k.Steps), body)
	r.was(NamedStep, rec.name, body)
	cost, _ := scalar(r, body, "costs", money)
	r.k.Terms.Cost = append(r.k.Terms.Cost, cost)
	r.k.Terms.Share = append(r.k.Terms.Share, flow.ByMain)
	r.k.Steps = append(r.k.Steps, sc)
}

// begin reads what steps and dishes have in common.
func (r *reader) begin(rec *recipe, key, body *yaml.Node, in place) {
	rec.name, rec.key, rec.body = key.Value, key, body
	r.recipes = append(r.recipes, rec)
	r.heat(rec)
	r.k.May = append(r.k.May, r.stated(r.value(body, "may contain")))
	r.telling(rec)
	rec.uses = r.linesOf(rec, "takes", in)
}

// linesOf reads a list of lines.
func (r *reader) linesOf(rec *recipe, list string, in place) []writtenLine {
	n := r.value(rec.body, list)
	if n == nil {
		rec.holed = true
		return nil
	}
	var read []writtenLine
	for _, c := range n.Content {
		if r.unfit[c] {
			rec.holed = true
			continue
		}
		line, err := parseLine(c.Value, in)
		if err != nil {
			rec.holed = true
			r.counted(c.Value, err)
			r.misread(c, "bad-line", err)
			continue
		}
		read = append(read, writtenLine{line, c})
	}
	return read
}

// counted betters the hint where an item's name stands in the place of a unit: "1 bun" is no "1 bushel".
func (r *reader) counted(line string, err error) {
	e, ok := errors.AsType[*measure.Error](err)
	if !ok || e.NoNumber || e.At == 0 || e.At >= len(line) {
		return
	}
	name, _, _ := strings.Cut(line[e.At:], ",")
	name, _, _ = strings.Cut(name, " or ")
	name = strings.TrimSpace(name)
	before := line[:e.At]
	if at := strings.LastIndex(before, " or "); at >= 0 {
		before = before[at+len(" or "):]
	}
	if _, known := r.itemAt[name]; known {
		e.Hint = fmt.Sprintf("write %q to count, or a unit such as g, kg, mL or L", strings.TrimSpace(before)+" each "+name)
	} else if much := r.howMuch(name); much != "" && strings.Contains(e.Hint, " each ") { // else it says which unit is meant
		e.Hint = much
	}
}

// howMuch asks for the amount of "glug oil", where oil is an item; "" of what is none.
func (r *reader) howMuch(written string) string {
	word, name, _ := strings.Cut(written, " ")
	i, known := r.itemAt[name]
	if !known || r.items[i].Unit.Kind == measure.Count {
		return ""
	}
	such := "20 g"
	switch {
	case r.items[i].Role != graph.Bought: // its unit may not be read yet
		return fmt.Sprintf("write how much one %s is, in g, kg, mL or L", word)
	case r.items[i].Unit.Kind == measure.Volume:
		such = "20 mL"
	}
	return fmt.Sprintf("write how much one %s is, such as %q", word, such+" "+name)
}

// runs reads what makes a step run; lot is what it is made in, of a batch, where that is as needed.
func (r *reader) runs(n *yaml.Node, sc *StepCard) (mode graph.Mode, lot float64) {
	switch {
	case n.Value == allOfWord:
		return graph.AllOf, 0
	case n.Value == toOrderWord:
		return graph.ToOrder, 0
	case n.Value == neededWord:
		return graph.ToOrder, sc.Least()
	}
	var rules []dayRule
	for key, v := range r.pairs(n) {
		days, err := parseDays(key.Value)
		if err != nil {
			r.misread(key, "bad-day", err)
			continue
		}
		batches, _ := money(v.Value)
		if batches != math.Trunc(batches) && !sc.Halves {
			r.fault(r.span(v), "half-a-batch", `write a whole number, or "halves: yes" beside it`, "%q is %s batches, but this step is not said to be made in halves", key.Value, v.Value)
			continue
		}
		if idle := days.without(r.k.Works); batches > 0 && idle.count() > 0 {
			r.fault(r.span(key), "nobody-works", `leave these days out, or add them to "works"`, "a batch is due on %s, when nobody works", idle)
			continue
		}
		rules = append(rules, dayRule{key, days, everyService, int(2 * batches), 0})
	}
	for d := range sc.Batches {
		sc.Batches[d] = float64(r.narrowest(rules, d, everyService).number) / 2
	}
	return graph.OnDays, 0
}

// given registers the items that steps give.
func (r *reader) given() {
	toOrder := map[int]Pos{} // where an item's only step to order gives it
	for _, rec := range r.recipes {
		here := map[string]Pos{}
		for _, l := range rec.gives {
			c := l.choices[0]
			where := r.part(l.node, c.at, c.length)
			i, exists := r.itemAt[c.item]
			switch {
			case exists && r.items[i].Role == graph.Bought:
				rec.holed = true
				r.fault(where, "bought-and-made", "give the bought one or the made one another name",
					"%q is bought, so no step can give it", c.item).note(r.k.ItemPos[i], "bought here")
				continue
			case here[c.item].Line > 0:
				rec.holed = true
				r.fault(where, "given-twice", "add the two amounts, or name them apart", "%q gives %q twice", rec.name,
					c.item).
					note(here[c.item], "first given here")
				continue
			case !exists:
				i = r.add(graph.Item{Name: c.item, Role: graph.Made, Unit: c.Unit}, where.Pos)
			}
			here[c.item] = where.Pos
			if rec.mode == graph.ToOrder {
				if before, ok := toOrder[i]; ok {
					r.fault(where, "two-to-order",
						"give one of the two set days, or give the items names of their own",
						"two steps made to order give %q", c.item).note(before, "also given here")
				}
				toOrder[i] = where.Pos
			}
		}
	}
}

// dish reads a dish or special.
func (r *reader) dish(key, body *yaml.Node, special bool) {
	where := r.span(key)
	clash := func(what string, at Pos) {
		r.fault(where, "name-taken", "give the dish a name of its own", "dish %q has the name of %s", key.Value, what).
			note(at, "%s", "named here")
	}
	if i, ok := r.itemAt[key.Value]; ok {
		clash([]string{"a bought item", "an item that a step gives", "another dish"}[r.items[i].Role], r.k.ItemPos[i])
		return
	}
	if s, ok := r.stepAt[key.Value]; ok {
		clash("a step", r.span(r.recipes[s].key).Pos)
	}
	d := Dish{Name: key.Value, Special: special}
	d.Item = r.add(graph.Item{Name: key.Value, Role: graph.Sold, Unit: portion}, where.Pos)
	r.also(NamedItem, d.Item, body)
	r.was(NamedItem, key.Value, body)
	r.begin(&recipe{dish: true, mode: graph.ToOrder}, key, body, plated)
	d.Price, _ = scalar(r, body, "price", money)
	if !written(body, "price") {
		r.unsold = append(r.unsold, len(r.k.Dishes))
	}
	d.Rank, _ = scalar(r, body, "rank", count)
	d.AtMost, _ = scalar(r, body, "at most", count)
	d.AtLeast, _ = scalar(r, body, "at least", count)
	if d.AtMost > 0 && d.AtLeast > d.AtMost {
		r.fault(r.span(r.value(body, "at least")), "least-above-most", "write the smaller number behind \"at least\"",
			"%q is offered at least %d times, but at most %d", d.Name, d.AtLeast, d.AtMost).
			note(r.span(r.value(body, "at most")).Pos, "at most %d here", d.AtMost)
	}
	d.Never = r.says(body, "never out", "yes")
	d.Beside = r.says(body, "beside", "yes")
	if list := r.value(body, "in place of"); list != nil {
		r.takes = append(r.takes, inPlaceOf{len(r.k.Dishes), list})
	}
	d.Cut = scalarOr(r, body, "smallest portion", parsePercent, 1)
	r.forecast(r.value(body, "sells"), &d)
	r.soldAs(r.value(body, "also sold as"), &d)

	t := &r.k.Terms
	t.Price[d.Item] = d.Price
	t.Cost = append(t.Cost, 0)
	t.Share = append(t.Share, flow.ByMain)
	r.k.Dishes = append(r.k.Dishes, d)
}

// portion is the unit of what is sold.
var portion = measure.Each

// everyService stands for no service in particular.
const everyService = -1

// dayRule is one entry of runs or sells: a number for some days, and for one service or all.
type dayRule struct {
	key     *yaml.Node
	days    Days
	service int     // place in Kitchen.Services, or everyService
	number  int     // of batches, half ones
	spread  float64 // of sells: how far the number strays; 0 when not written
}

// reach is how much a rule covers: rules with less of it go first. What names days and service comes before what names
// days, that before what names a service, and a plain number last; of two alike, the one with fewer days.
func (d dayRule) reach() (level, days int) {
	switch byDay := d.days != EveryDay; {
	case byDay && d.service != everyService:
		level = 0
	case byDay:
		level = 1
	case d.service != everyService:
		level = 2
	default:
		level = 3
	}
	return level, d.days.count()
}

// narrowest is the rule that goes first among those that cover a day and service; one of 0 where none does.
func (r *reader) narrowest(rules []dayRule, day, service int) dayRule {
	var first *dayRule
	for i, rule := range rules {
		if !rule.days[day] || rule.service != everyService && rule.service != service {
			continue
		}
		order := -1
		if first != nil {
			level, days := rule.reach()
			topLevel, topDays := first.reach()
			order = cmp.Or(cmp.Compare(level, topLevel), cmp.Compare(days, topDays))
		}
		switch {
		case order < 0:
			first = &rules[i]
		case order == 0 && !r.unfit[rule.key]:
			r.unfit[rule.key] = true // told once is enough
			r.fault(r.span(rule.key), "two-rules", "put each day in only one of them", "%q and %q both cover %s",
				first.key.Value, rule.key.Value, Weekdays[day]).note(r.span(first.key).Pos, "the other is here")
		}
	}
	if first == nil {
		return dayRule{}
	}
	return *first
}

// forecast reads what a dish sells.
func (r *reader) forecast(n *yaml.Node, d *Dish) {
	if n == nil {
		return
	}
	rules := r.byService(n, fmt.Sprintf("%q sells", d.Name), r.guests)
	for day := range d.Sells {
		d.Sells[day], d.Spread[day] = make([]int, len(r.k.Services)), make([]float64, len(r.k.Services))
		for s := range d.Sells[day] {
			if r.everOn(onlyOn(day), s) {
				rule := r.narrowest(rules, day, s)
				d.Sells[day][s], d.Spread[day][s] = rule.number, rule.spread
			}
		}
	}
}

// byService reads figures by service, such as {lunch: 22, fri dinner: 60}, or one for all; what they are of begins a sentence.
func (r *reader) byService(n *yaml.Node, what string, read func(*yaml.Node) (number int, spread float64)) (rules []dayRule) {
	if n.Kind == yaml.ScalarNode {
		rule := dayRule{n, EveryDay, everyService, 0, 0}
		rule.number, rule.spread = read(n)
		rules = append(rules, rule)
	}
	for key, v := range r.pairs(n) {
		rule := dayRule{key, EveryDay, everyService, 0, 0}
		rule.number, rule.spread = read(v)
		days, rest := leadingDays(key.Value)
		if days.count() > 0 {
			rule.days = days
		}
		if rest != "" {
			rule.service = slices.IndexFunc(r.k.Services, func(s Service) bool { return s.Name == rest })
			if rule.service < 0 {
				var names []string
				for _, s := range r.k.Services {
					names = append(names, s.Name)
				}
				r.fault(r.part(key, len(key.Value)-len(rest), len(rest)), "unknown-service",
					r.meant(rest, plainly(names...),
						"add it under \"services\", or begin with days such as fri or sat-sun"), "unknown service %q",
					rest)
				continue
			}
		}
		if days.count() > 0 && !r.everOn(days, rule.service) {
			if days.meets(r.k.Open) {
				r.warn(r.span(key), "closed-day", "change \"services\", or remove the entry", "%s at %s, when there is none", what, key.Value)
			} else {
				r.warn(r.span(key), "closed-day", "change \"open\", or remove the entry", "%s on %s, when the kitchen is closed", what, days)
			}
		}
		rules = append(rules, rule)
	}
	return rules
}

// everOn tells whether a service is on one of some weekdays, in the standing week or on a date.
func (r *reader) everOn(days Days, service int) bool {
	has := func(meals []Meal) bool {
		return slices.ContainsFunc(meals, func(m Meal) bool { return service == everyService || m.Service == service })
	}
	for d, in := range days {
		if in && has(r.k.calendar.standing[d]) {
			return true
		}
	}
	return slices.ContainsFunc(r.k.Dates, func(d Date) bool { return days[d.Day.Weekday()] && has(d.Meals) })
}

// guests reads a forecast, 40 or "40 ± 6".
func (r *reader) guests(n *yaml.Node) (number int, spread float64) {
	if isNumber(n) {
		number, _ = Digits(n.Value)
		return number, 0
	}
	number, by, err := parseGuests(n.Value)
	switch {
	case err != nil:
		r.misread(n, "bad-sells", err)
	case by > 0 && by >= number:
		r.fault(r.span(n), "bad-spread", "write how far a service strays from the mean, such as ± 6",
			"a forecast of %d varies by %d, as much as the whole of it", number, by)
	}
	return number, float64(by)
}

// resolve finds the items of a recipe and converts its amounts. What can't be resolved is left out and leaves the
// recipe holed.
func (r *reader) resolve(rec *recipe) graph.Step {
	st := graph.Step{Name: rec.name, Mode: rec.mode, Lot: rec.lot}
	at := StepPos{Pos: r.span(rec.key).Pos}
	card := map[cardItem]measure.Unit{}
	lastIn, lastOut, open := 0, 0, rec.dish // open: some output does not say when it is out
	for _, l := range rec.uses {
		lastIn = max(lastIn, l.inAt, l.outAt)
	}
	for _, l := range rec.gives {
		lastOut = max(lastOut, l.outAt)
		open = open || l.outAt == notTimed
	}
	for _, l := range rec.uses {
		if l.inAt > lastOut && !open && len(rec.gives) > 0 {
			r.fault(r.span(l.node), "too-late-in", "let it in before, or something out after",
				"%q goes in at %s, but the last of %q is out at %s",
				l.choices[0].item, measure.FormatDuration(l.inAt), rec.name, measure.FormatDuration(lastOut))
		}
		if l.outAt > lastOut && !open && len(rec.gives) > 0 {
			r.fault(r.span(l.node), "too-late-out", "take it out sooner, or let something be out after",
				"%q is taken out at %s, but the last of %q is out at %s",
				l.choices[0].item, measure.FormatDuration(l.outAt), rec.name, measure.FormatDuration(lastOut))
		}
		line := graph.Line{Optional: l.optional, Without: l.without, Carried: l.carried, AtLeast: l.atLeast, AtMost: l.atMost, Weakest: l.weakest,
			Strongest: l.strongest, InAt: max(0, l.inAt), OutAt: max(0, l.outAt)}
		for _, c := range l.choices {
			if choice, ok := r.choice(c, l.node); ok {
				line.Choices = append(line.Choices, choice)
				card[cardItem{len(st.Takes), choice.Item}], card[cardItem{AnyLine, choice.Item}] = c.Quantity.Unit, c.Quantity.Unit
			} else {
				rec.holed = true
			}
		}
		if l.either && len(line.Choices) > 1 {
			line.Alike = len(line.Choices)
		}
		if len(line.Choices) > 0 {
			st.Takes = append(st.Takes, line)
			at.Takes = append(at.Takes, r.span(l.node).Pos)
		}
	}
	var tables []Range
	for _, l := range rec.gives {
		choice, ok := r.choice(l.choices[0], l.node)
		if !ok || r.items[choice.Item].Role == graph.Bought {
			rec.holed = true
			continue
		}
		if l.unweighed {
			choice.Amount = r.aboutYield(rec, &st, choice.Item, l)
		}
		card[cardItem{AnyLine, choice.Item}] = l.choices[0].Quantity.Unit
		o := graph.Output{Item: choice.Item, Amount: choice.Amount, OutAt: max(lastIn, lastOut)}
		if l.outAt != notTimed {
			o.OutAt = l.outAt
		}
		if l.spread.Amount > 0 {
			o.Spread, _ = r.base(choice.Item, l.spread, r.span(l.node))
			if o.Spread >= o.Amount {
				r.fault(r.span(l.node), "bad-spread", "write how far a batch strays from the mean, such as ± 4 L",
					"%q varies by %s, as much as the whole yield of %s", l.choices[0].item, l.spread,
					l.choices[0].Quantity)
			}
		}
		tables = append(tables, r.published(&st, o, l))
		st.Gives = append(st.Gives, o)
		at.Gives = append(at.Gives, r.span(l.node).Pos)
	}
	if slices.ContainsFunc(tables, func(t Range) bool { return t.High > 0 }) {
		r.k.Steps[r.stepAt[rec.name]].Tables = tables
	}
	if rec.dish {
		st.Gives = []graph.Output{{Item: r.itemAt[rec.name], Amount: 1}}
	}
	r.k.StepPos, r.k.card = append(r.k.StepPos, at), append(r.k.card, card)
	return st
}

// published is what a published table gives of an output, for one batch by the weight of its main input. Of a yield outside
// of it, it warns.
func (r *reader) published(st *graph.Step, o graph.Output, l writtenLine) Range {
	if l.tables.High == 0 {
		return Range{}
	}
	by := st.MainLine()
	if by < 0 {
		r.fault(r.span(l.node), "no-lines", "remove the note", "%q takes nothing that a published share could be of", st.Name)
		return Range{}
	}
	c := st.Takes[by].Choices[0]
	out := r.items[o.Item]
	grams, known := r.weight(c.Item, c.Amount)
	if known {
		_, _ = r.weight(o.Item, o.Amount)
		out = r.items[o.Item]
	}
	base, bridged := out.Bridge().Convert(grams, measure.Weight, out.Unit.Kind)
	if !known || !bridged {
		unknown := out
		if !known {
			unknown = r.items[c.Item]
		}
		r.fault(r.span(l.node), "no-bridge", bridgeHint(unknown, measure.Weight),
			"a published share is by weight, but the weight of %q is not known", unknown.Name)
		return Range{}
	}
	t := Range{base * l.tables.Low, base * l.tables.High}
	if o.Amount < t.Low*(1-Slack) || o.Amount > t.High*(1+Slack) {
		r.warn(r.span(l.node), "outside-published", "weigh again, or check which cut and trim the table is about",
			"%s of %q are %s of %q by weight, where %s to %s are published", l.choices[0].Quantity, out.Name,
			FormatPercent(o.Amount/base), r.items[c.Item].Name, FormatPercent(l.tables.Low), FormatPercent(l.tables.High))
	}
	return t
}

// What is said of an item that nothing else speaks of, nor anything that is spelt nearly so.
const (
	unknownItem = "unknown item "
	addItHint   = `add it under "bought", or to what a step gives`
)

// choice finds the item of a ration and converts its amount.
func (r *reader) choice(c ration, line *yaml.Node) (graph.Choice, bool) {
	where := r.part(line, c.at, c.length)
	i, ok := r.itemAt[c.item]
	switch {
	case !ok:
		hint := addItHint
		if c.Unit.Name == measure.Each.Name { // "1 each glug oil"
			hint = cmp.Or(r.howMuch(c.item), hint)
		}
		r.fault(where, "unknown-item", r.meant(c.item, itemNames(r.items, r.k.ItemPos, graph.Bought, graph.Made), hint),
			unknownItem+"%q", c.item)
		return graph.Choice{}, false
	case r.items[i].Role == graph.Sold:
		r.fault(where, "dish-used", "let a step give what both need, and take that",
			"%q is a dish, so nothing can take it", c.item).
			note(r.k.ItemPos[i], "sold here")
		return graph.Choice{}, false
	}
	amount, ok := r.base(i, c.Quantity, r.part(line, c.start, c.at-c.start+c.length))
	return graph.Choice{Item: i, Amount: amount}, ok
}
