package guide

// The answer, and how it is put together.

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"golang.org/x/text/language"

	"kettletree/graph"
	"kettletree/graph/draw"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

// Guide is a kitchen explained. Names are in its language, as far as the file has them. Amounts are in the unit
// in which the card writes them. A weekday is 0 for Sunday.
type Guide struct {
	Kitchen   string     `json:"kitchen"`
	Language  string     `json:"language"` // BCP 47
	From      string     `json:"from"`     // 2006-01-02
	Days      int        `json:"days"`
	Seeds     []string   `json:"taken_as_there"` // carried items that are taken as being on hand on the first morning
	Pot       *Course    `json:"pot"`            // the batch on which the most hangs; null where no step has days of its own
	Story     []Course   `json:"story"`          // the other batches that begin at a set time, in the order of the file
	Stations  []Station  `json:"stations"`
	Items     []Item     `json:"items"`
	Dishes    []Dish     `json:"dishes"`
	Weak      []Weak     `json:"weak"`     // the five worst
	Cautions  []string   `json:"cautions"` // in English
	Code      string     `json:"code"`     // the food code that the kitchen goes by
	Advisory  string     `json:"advisory"` // section of it that asks for an advisory with dishes served raw or undercooked; "" when it has none
	Questions []Question `json:"questions"`
	Missing   []string   `json:"untranslated"`   // names that the file does not give in the language
	Own       string     `json:"names_language"` // the language of those

	Map     draw.Picture        `json:"-"`
	Faults  kitchen.Diagnostics `json:"-"` // warnings: names that have no translation, and where they stand
	lanes   []clock.Row         // of a day on which something with a set time begins; nil when nothing does
	code    *kitchen.Code
	tag     language.Tag      // one of tongue.Languages
	kitchen *kitchen.Kitchen  // as its language tells it
	region  language.Tag      // as numbers are written
	other   map[string]bool   // what is said of makings that is not in the language
	many    map[string]string // by name of a counted item or dish: what several are called
}

// Run is how many batches begin on a weekday.
type Run struct {
	Weekday int     `json:"weekday"`
	Batches float64 `json:"batches"`
}

// Amount is a quantity of an item.
type Amount struct {
	Item   string   `json:"item"`
	Amount float64  `json:"amount"`
	Unit   string   `json:"unit"`
	Grams  *float64 `json:"grams"`            // what it weighs; null when the file does not say
	Unsaid bool     `json:"unsaid,omitempty"` // nobody has said how much of it goes in: amount is what it counts as until then

	as string // how its unit is shown, as the card has it: "lb oz"
}

// shownIn is the unit in which it is shown.
func (a Amount) shownIn() string { return cmp.Or(a.as, a.Unit) }

func (m *Maker) shownIn() string { return cmp.Or(m.as, m.Unit) }
func (u *Use) shownIn() string   { return cmp.Or(u.as, u.Unit) }

// Line is what one line of a recipe takes.
type Line struct {
	Choices  []Amount `json:"choices"` // the first choice, then its substitutes
	Optional bool     `json:"optional"`
	Without  float64  `json:"without,omitempty"` // the share of it that the batch goes without before it is cut: 1 for what is to taste
	Carried  bool     `json:"from_yesterday"`    // from what the day before left
	InAt     int      `json:"in_after_minutes"`
}

// How a step runs.
const (
	OnDays   = "on days"
	AllOf    = "all of it"
	ToOrder  = "to order"
	AsNeeded = "as needed"
)

// Recipe is a step for one batch.
type Recipe struct {
	Step string `json:"step"`
	Pot  bool   `json:"pot,omitempty"` // it has a page of its own
	Telling
	Vessel  string   `json:"vessel"`           // "" for none
	How     string   `json:"how"`              // "on days", "all of it", "as needed" or "to order"
	Halves  bool     `json:"halves,omitempty"` // it can be made in half batches too
	Batches []Run    `json:"batches"`
	Starts  string   `json:"starts"` // 15:04; "" when none is set
	Takes   []Line   `json:"takes"`
	Gives   []Output `json:"gives"`
}

// Telling is what the file says of the making of something; "" where it does not say.
type Telling struct {
	Method string `json:"method"`
	Looks  string `json:"looks_like"`
	Photo  string `json:"photo"` // of a file in the kitchen's folder or below
}

// Station is a place with what is done at it.
type Station struct {
	Name    string   `json:"name"`
	Recipes []Recipe `json:"recipes"`
	Dangers

	of []int // its steps
}

// Item is a bought item or one that steps give.
type Item struct {
	Name     string   `json:"name"`
	Bought   bool     `json:"bought"` // false for what steps give
	Supplier string   `json:"supplier,omitempty"`
	Arrives  []int    `json:"arrives"`    // weekdays, for a bought item
	Pack     *Amount  `json:"pack"`       // null where it is sold in any amount
	Keeps    int      `json:"keeps_days"` // the first day counted; 0 when the file sets no end
	Makers   []Maker  `json:"makers"`
	Uses     []Use    `json:"uses"`
	Swaps    []Swap   `json:"substitutes"`        // for it, where it is the first choice
	LeaveOut []string `json:"can_be_left_out_of"` // steps and dishes
	Without  Effect   `json:"without"`            // what is sold when there is none of it
}

// Maker is a step that gives an item.
type Maker struct {
	Step    string  `json:"step"`
	Amount  float64 `json:"amount"` // of a batch
	Unit    string  `json:"unit"`
	How     string  `json:"how"` // as in a recipe
	OutAt   int     `json:"out_after_minutes"`
	Latest  *string `json:"latest_start"`           // 2006-01-02T15:04, for the service that follows; null where the timetable knows none
	Service string  `json:"service"`                // the first of the period that rests on the step
	Begins  string  `json:"service_begins"`         // 2006-01-02T15:04
	Nobody  bool    `json:"nobody_there,omitempty"` // nobody is there to begin it at the latest start

	as string // how its unit is shown, as the card has it
}

// Use is where an item is taken.
type Use struct {
	In         string  `json:"in"`     // the step or dish
	Dish       bool    `json:"dish"`   // a dish or special, not a step
	Amount     float64 `json:"amount"` // for one batch or portion
	Unit       string  `json:"unit"`
	Unsaid     bool    `json:"unsaid,omitempty"`      // nobody has said how much: amount is what it counts as until then
	Substitute string  `json:"in_place_of,omitempty"` // the first choice

	as string // how its unit is shown, as the card has it
}

// Swap is what is taken in place of an item.
type Swap struct {
	In        string   `json:"in"`                 // the step or dish
	Instead   Amount   `json:"instead"`            // as the card has it
	For       *Amount  `json:"for,omitempty"`      // where the two differ in strength: how much of the first choice the card has
	Alike     *Amount  `json:"alike,omitempty"`    // and how much of the other tastes as strong as that
	Allergens []string `json:"allergens"`          // that it has and the first choice has not
	May       []string `json:"may_contain"`        // that it may contain, and the first choice is not said to
	Unstated  []string `json:"allergens_unstated"` // bought items behind it of which the file states nothing
}

// Effect is what the week without something sells, dish by dish.
type Effect struct {
	Stops  []string `json:"stops"` // dishes of which none is sold in the whole period
	Fewer  []Fewer  `json:"fewer"`
	GoesOn []string `json:"goes_on"` // dishes that sell as many
}

// Fewer is a dish that sells fewer portions.
type Fewer struct {
	Dish   string `json:"dish"`
	Before int    `json:"before"`
	After  int    `json:"after"`
}

// Dish is what lies on a plate.
type Dish struct {
	Name    string `json:"name"`
	Special bool   `json:"special"`
	Telling
	Lines     []Line             `json:"lines"`
	Allergens []ask.AllergenWay  `json:"allergens"`
	May       []ask.AllergenWay  `json:"may_contain"`
	Unstated  []ask.Way          `json:"allergens_unstated"`
	Raw       *kitchen.RawServed `json:"served_raw"` // what is raw in it when it is served; null when nothing is
	RestsOn   []string           `json:"rests_on"`   // items without which none is sold in the whole period
}

// Weak is a loss.
type Weak struct {
	Of       string   `json:"of"`      // a step or a bought item
	Weekday  *int     `json:"weekday"` // of the batch that is lost; null for a bought item
	Portions int      `json:"portions_lost"`
	Dishes   []string `json:"dishes"`
}

// mostWeak is how many losses a new cook should know of.
const mostWeak = 5

// Of explains a week in a language, which is matched to one of [tongue.Languages]; the error says which there are. It stops with ctx.
func Of(ctx context.Context, week *week.Week, in language.Tag) (*Guide, error) {
	tag, ok := tongue.Matched(in)
	if !ok {
		return nil, fmt.Errorf("the guide can't be written in %q: write %s", in, tongue.Offered())
	}
	w, faults := week.InLanguage(in)
	g := &Guide{Seeds: seed(w), Kitchen: w.Name, Language: in.String(), From: w.From.Format(time.DateOnly), Days: w.Days, Faults: faults,
		Own: w.Language.String(), Missing: untranslated(w.Kitchen, in), Code: w.Code.Title, Advisory: w.Code.AdvisoryCited(), code: w.Code, tag: tag, kitchen: w.Kitchen, region: tongue.Region(in, w.Money), many: map[string]string{}, other: map[string]bool{}}
	for _, it := range w.Graph.Items {
		g.many[it.Name] = it.Many
	}
	b := &builder{Week: w, guide: g}
	for _, part := range []func(context.Context) error{b.clock, b.stations, b.items, b.courses, b.dishes, b.weak, b.questions, b.draw} {
		if err := context.Cause(ctx); err != nil {
			return nil, err
		}
		if err := part(ctx); err != nil {
			return nil, err
		}
	}
	return g, nil
}

// seed lays on hand what the first batch of a perpetual stock takes from the day before, where nothing of it is on hand: a guide is
// about a kitchen that is going. w is the caller's own copy.
func seed(w *week.Week) []string {
	names := []string{}
	schedule := *w.Case.Schedule
	schedule.OnHand = slices.Clone(schedule.OnHand)
	for s, st := range w.Graph.Steps {
		most := 0.0 // batches of a day
		for _, r := range schedule.Batches {
			if r.Step == s {
				most = max(most, r.Size)
			}
		}
		for _, l := range st.Takes {
			first := l.Choices[0]
			there := slices.ContainsFunc(schedule.OnHand, func(l flow.Lot) bool { return l.Item == first.Item })
			if !l.Carried || most == 0 || there {
				continue
			}
			schedule.OnHand = append(schedule.OnHand, flow.Lot{Item: first.Item, Amount: most * first.Amount, Made: -1})
			names = append(names, w.Graph.Items[first.Item].Name)
		}
	}
	w.Case.Schedule, w.OnHand = &schedule, schedule.OnHand
	return names
}

// untranslated are the names that stand in a language other than the one asked for.
func untranslated(k *kitchen.Kitchen, in language.Tag) []string {
	names := []string{}
	if kitchen.InLanguage(k.Language, in) {
		return names
	}
	add := func(of kitchen.Named, at int, name string) {
		if _, ok := k.NameIn(of, at, in); !ok && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for i, it := range k.Graph.Items {
		add(kitchen.NamedItem, i, it.Name)
	}
	for s := range k.Steps {
		add(kitchen.NamedStep, s, k.Graph.Steps[s].Name)
	}
	for v := range k.Vessels {
		add(kitchen.NamedVessel, v, k.Vessels[v].Name)
	}
	return names
}

// builder is a guide being put together. Its week has the names of the guide's language.
type builder struct {
	*week.Week
	guide   *Guide
	times   *clock.Timetable
	effects []Effect // by item: what follows when there is none of it
	lost    []Effect // by step: what follows when all its batches on set days are lost; empty for other steps
	mishaps *week.Mishaps
}

// amount is a quantity of an item, with its weight.
func (b *builder) amount(item int, base float64) Amount {
	return b.weighed(item, base, b.Quantity(item, base))
}

// amountOn is a quantity of an item as a line of the card of a step or dish writes it; one below 0: as the card does.
func (b *builder) amountOn(step, line, item int, base float64) Amount {
	return b.weighed(item, base, b.QuantityIn(step, line, item, base))
}

func (b *builder) weighed(item int, base float64, q measure.Quantity) Amount {
	it := b.Graph.Items[item]
	a := Amount{Item: it.Name, Amount: q.Amount, Unit: q.Unit.Name, as: q.Unit.ShownAs()}
	if grams, ok := it.Grams(base); ok {
		a.Grams = &grams
	}
	return a
}

// lines are the lines of a step or dish.
func (b *builder) lines(step int) []Line {
	list := []Line{}
	for at, l := range b.Graph.Steps[step].Takes {
		line := Line{Optional: l.Optional, Without: l.Without, Carried: l.Carried, InAt: l.InAt}
		for _, c := range l.Choices {
			a := b.amountOn(step, at, c.Item, c.Amount)
			a.Unsaid = b.Unsaid(step, at)
			line.Choices = append(line.Choices, a)
		}
		list = append(list, line)
	}
	return list
}

// telling is what the file says of the making of a step or dish.
func (b *builder) telling(step int) Telling {
	t := b.Tellings[step]
	for _, said := range []kitchen.Said{t.Method, t.Looks} {
		if said.Other {
			b.guide.other[said.Text] = true
		}
	}
	return Telling{t.Method.Text, t.Looks.Text, t.Photo}
}

// runs are the batches of a step by weekday, as the schedule has them, from Monday on.
func (b *builder) runs(step int) []Run {
	var batches [7]float64
	for _, r := range b.Case.Schedule.Batches {
		if r.Step == step && r.Day < b.Days {
			batches[b.Weekday(r.Day)] = max(batches[b.Weekday(r.Day)], r.Size)
		}
	}
	runs := []Run{}
	for d := range 7 {
		if day := (d + 1) % 7; batches[day] > 0 {
			runs = append(runs, Run{day, batches[day]})
		}
	}
	return runs
}

// clock asks the timetable of the week.
func (b *builder) clock(ctx context.Context) (err error) {
	if b.times, err = clock.Rows(ctx, b.Week, nil); err != nil {
		return err
	}
	b.guide.Cautions = append(slices.Clone(usualCautions), b.times.Cautions...)
	return nil
}

// stations sorts the steps by where they are done, in the order in which the file first names each place.
func (b *builder) stations(context.Context) error {
	b.guide.Stations = []Station{}
	for s, card := range b.Steps {
		name, vessel := card.Station, ""
		if card.Vessel >= 0 {
			vessel = b.Vessels[card.Vessel].Name
		}
		if name == "" {
			name = vessel
		}
		if name == "" {
			name = bench
		}
		st := b.Graph.Steps[s]
		r := Recipe{Step: st.Name, Telling: b.telling(s), Vessel: vessel, How: how(st), Halves: card.Halves, Batches: b.runs(s), Takes: b.lines(s), Gives: []Output{}}
		if card.Starts != flow.Untimed {
			r.Starts = measure.FormatClock(card.Starts)
		}
		for _, o := range st.Gives {
			r.Gives = append(r.Gives, b.output(s, o.Item, o.Amount, o.OutAt))
		}
		at := slices.IndexFunc(b.guide.Stations, func(s Station) bool { return s.Name == name })
		if at < 0 {
			at = len(b.guide.Stations)
			b.guide.Stations = append(b.guide.Stations, Station{Name: name})
		}
		b.guide.Stations[at].Recipes = append(b.guide.Stations[at].Recipes, r)
		b.guide.Stations[at].of = append(b.guide.Stations[at].of, s)
	}
	for n := range b.guide.Stations {
		b.guide.Stations[n].Dangers = b.dangers(b.guide.Stations[n].of)
	}
	return nil
}

// how says how a step runs.
func how(st graph.Step) string {
	if st.AsNeeded() {
		return AsNeeded
	}
	return []string{OnDays, AllOf, ToOrder}[st.Mode]
}

// bench is where steps are done that name neither station nor vessel, as the timetable calls it.
const bench = "bench"

// weak finds the worst losses: of batches, then of what is bought and can't be had elsewhere in time.
func (b *builder) weak(ctx context.Context) error {
	losses, err := ask.Losses(ctx, b.Week)
	if err != nil {
		return err
	}
	slices.SortStableFunc(losses, func(x, y ask.Loss) int { // batches first: what is bought is the buyer's care
		bought := func(l ask.Loss) int {
			if l.Day == flow.EveryDay {
				return 1
			}
			return 0
		}
		return cmp.Compare(bought(x), bought(y))
	})
	b.guide.Weak = []Weak{}
	for _, l := range losses {
		if len(b.guide.Weak) == mostWeak {
			break
		}
		if l.PortionsLost <= 0 || l.Elsewhere != "" {
			continue
		}
		weak := Weak{Of: l.Of, Portions: l.PortionsLost, Dishes: l.Dishes}
		if l.Day != flow.EveryDay {
			weak.Weekday = new(b.Weekday(l.Day))
		}
		b.guide.Weak = append(b.guide.Weak, weak)
	}
	return nil
}
