package kitchen

// The kitchen as it was written down: what Read hands to everything else.

import (
	"golang.org/x/text/language"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// Kitchen is one kitchen file, read and found sound. It never changes; a what-if works on copies.
type Kitchen struct {
	File      string         // as it was named to Read
	Name      string         // kitchen: "Three Kettles"
	Language  language.Tag   // of the names in the file; English when it does not say
	Digest    string         // SHA-256 of the file's text, in hexadecimal
	Money     string         // ISO 4217 code, "" when the file has none
	FoodCost  float64        // share of the price that plate cost should be, 0 to 1
	Code      *Code          // the code whose limits on time and temperature are cited: one of Codes
	Open      Days           // days of the standing week with services; all seven when the file does not say
	Works     Days           // days of the standing week on which anybody works; all seven when the file does not say
	Dates     []Date         // days that differ from the standing week, in order
	Lists     []AllergenList // whose codes the bought items carry
	Services  []Service      // by their first start from Monday on; one named "service", noon to ten, when the file has none but forecasts sales
	Seats     [7][]Seating   // by weekday and service, see [Kitchen.SeatsOn]; nil when the file does not say
	Vessels   []Vessel
	Suppliers []Supplier
	Burners   int       // 0 when the file does not say
	Stations  []Station // with little room; nil when the file does not say
	Shifts    []Shift   // who works when, by the hour at which they begin; nil when the file does not say

	// Graph has, in this order, the bought items, the items that steps give, and one portion for each dish and special;
	// and the steps, then one step for each dish and special. Items of one kind keep the order of the file.
	Graph *graph.Graph
	Terms flow.Terms // prices, worths, costs and shelf lives, by item and step of Graph

	Bought []Bought   // item i of Graph for i < len(Bought)
	Steps  []StepCard // step s of Graph for s < len(Steps)
	Dishes []Dish     // dishes, then specials: step len(Steps)+d of Graph

	Par   []float64 // by item of Graph: what a plan leaves on hand, in base units
	Place []string  // by item of Graph: where it is kept; "" when the file does not say

	Sources [][]Source // by item of Graph: where it can be had beside Bought.From; nil for nowhere
	May     [][]string // by step of Graph: the allergens that all that it gives may contain

	Tellings []Telling // by step of Graph

	Heat []Heat // by step of Graph
	Raw  []bool // by item of Graph: raw as it stands, bought so or made of something raw that nothing cooked through

	hotFat    []bool // by step of Graph; of dishes, as they are ordered
	Histamine []bool // by item of Graph: fish in which histamine forms when it warms
	lime      []bool // by what is bought: slaked lime or quicklime
	lye       []bool // likewise: lye of soda or potash

	InOil [][]int // by item of Graph: the garlic, herbs and vegetables that lie in oil in it
	Fat   []bool  // by item of Graph: oil or fat by its name, in any language of the file

	Measures [][]Measure // by item of Graph: what is measured of it from time to time
	Approved []string    // by item of Graph: by whom its date mark is approved; "" when the file does not say

	Advice Diagnostics // warnings of figures that may mislead: a check says them, other answers don't

	Undated []bool // by item of Graph: the date mark does not bind it ("date mark: no")
	Frozen  []bool // by item of Graph: held frozen

	Questions []Question // what is not written yet or not confirmed, in the order of the file

	former map[Named]map[string]string // what something is called now, by what it was called
	waits  map[string]string           // by the name of what is set aside: the card that is to be finished first

	OtherNames []OtherName // in the order of the file's lists
	Words      []WordIn    // in the order of the file

	calendar calendar // what the days come to
	toldIn   []toldIn // in the order of the file

	// Where things stand in the file, by item and step of Graph.
	ItemPos []Pos
	StepPos []StepPos

	card    []map[cardItem]measure.Unit // by step of Graph: the unit in which it writes an item
	systems string                      // in which units amounts are shown, one of unitSystems
	written []measure.Unit              // by item of Graph: its unit as the file has it, where another is shown; else nil
}

// cardItem is an item in a line of a card.
type cardItem struct{ line, item int }

// AnyLine stands for the line of a card where none is meant: of what it gives, and where it is not known.
const AnyLine = -1

// StepPos is where a step or dish stands in the file, with its lines and outputs.
type StepPos struct {
	Pos
	Takes []Pos // by line; a substitute stands on the line of its first choice
	Gives []Pos // by output; empty for a dish
}

// Vessel is a pot, pan or oven with a capacity.
type Vessel struct {
	Name     string
	Holds    float64      // millilitres; 0 when not given
	Unit     measure.Unit // in which the file says what it holds
	Diameter float64      // inside diameter in centimetres; 0 when not given
	Burners  int          // taken while a batch is in it
	Pos      Pos
}

// Phase is a stretch of a batch: "rolling boil".
type Phase struct {
	Name     string
	From, To int // minutes after the step starts
}

// Bought is what is known of a bought item beside its price, shelf life and bridges, which stand in Terms and Graph.
type Bought struct {
	Pack      float64  // smallest amount sold, in base units of the item; 0 when not given
	Arrives   Days     // delivery days; all seven when the file does not say
	Allergens []string // codes of Kitchen.Lists, see WithKind; nil when not stated, empty when stated as none
	May       []string // that it may contain
	From      string   // supplier

	Raw, Pasteurised bool
	Parasites        string // what the supplier wrote of raw fish: that it was frozen, or needs no freezing; "" of what is not on file
}

// StepCard is what is known of a step beside its lines and cost.
type StepCard struct {
	Vessel   int        // index into Kitchen.Vessels; -1 when none
	Station  string     // "" when the file does not say
	Starts   int        // minutes after midnight; flow.Untimed when the file does not say
	Unsaid   Unsaid     // what of its hours the file says is not known yet
	Phases   []Phase    // from its start on, without gaps; nil when the file does not say
	OffHeat  int        // minutes after its start at which it leaves the heat; 0 when the file does not say: as it comes out
	Batches  [7]float64 // batches by weekday, for steps that run on set days
	Halves   bool       // it can be made in half batches too
	Work     []Act      // that need hands, as written; nil when the file does not say, see [Kitchen.Acts]
	Measures []Measure  // of a batch; nil when the file gives none
	Tables   []Range    // by output: what a published table gives of it, in its base units for one batch; zero for none
}

// CoolsFrom is the minute after its start from which what comes out at a minute cools: what sets or steeps in it off the heat cools before
// it is out.
func (c *StepCard) CoolsFrom(out int) int {
	if c.OffHeat > 0 {
		return min(out, c.OffHeat)
	}
	return out
}

// OffBefore is by how many minutes an item is off the heat before it comes out of a step.
func (k *Kitchen) OffBefore(step, item int) int {
	for _, o := range k.Graph.Steps[step].Gives {
		if o.Item == item {
			return o.OutAt - k.Steps[step].CoolsFrom(o.OutAt)
		}
	}
	return 0
}

// ComesHot tells whether what a step gives comes hot out of it, and not at the pass, where it is served.
func (k *Kitchen) ComesHot(step int) bool {
	st := &k.Graph.Steps[step]
	return (k.Heat[step] == CooksThrough || k.Heat[step] == Reheats) && (st.Mode != graph.ToOrder || st.AsNeeded())
}

// Least is the smallest part of a batch that is made on purpose.
func (c *StepCard) Least() float64 {
	if c.Halves {
		return 0.5
	}
	return 1
}

// Unsaid are hours of a step that a kitchen file leaves open: "starts: some time", "out at some time". No answer invents them.
type Unsaid struct{ Start, Out bool }

// Any tells whether something is left open.
func (u Unsaid) Any() bool { return u.Start || u.Out }

// Range is the least and the most of something.
type Range struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Dish is something sold. Its lines are those of step len(Kitchen.Steps)+d of the graph.
type Dish struct {
	Name     string
	Item     int          // its portion, in Graph.Items
	Price    float64      // menu price of one portion
	Rank     int          // served first under the rule "first"; 0 when not given: after all that have one
	AtMost   int          // most portions offered at one service; 0 when not given
	AtLeast  int          // fewest portions offered at one service, if any are
	Never    bool         // never out: a plan sells its whole forecast
	Cut      float64      // the smallest share of a portion that may be served, above 0; 1 when not given
	Sells    [7][]int     // forecast portions by weekday and service, of a special when it is offered, see [Kitchen.SellsOn]; nil when not given
	Spread   [7][]float64 // one standard deviation of Sells; 0 where the file gives none
	Assumed  bool         // the forecast stands in for one that nobody has written
	Unpriced bool         // so does the price
	Special  bool
	Beside   bool     // it goes beside another dish, and brings no guest of its own
	InPlace  []Taking // whose guests it takes when it is offered
	SoldAs   []string // its names on the till, beside its own
}

// Quantity gives an amount of an item, in base units, in the unit that the item is written in, or in one of the system that the file
// asks for.
func (k *Kitchen) Quantity(item int, base float64) measure.Quantity {
	u := k.Graph.Items[item].Unit
	return inGallons(measure.Quantity{Amount: base / u.Factor, Unit: u}, k.Written(item))
}

// QuantityOn gives an amount of an item, in base units, in the unit in which the card of a step or dish writes it, or in one of the
// system that the file asks for. Of what it writes in several, that is what it gives, or else the last.
func (k *Kitchen) QuantityOn(step, item int, base float64) measure.Quantity {
	return k.QuantityIn(step, AnyLine, item, base)
}

// QuantityIn is QuantityOn for one of the lines that a step or dish takes, in that line's own unit; a line below 0 is any.
func (k *Kitchen) QuantityIn(step, line, item int, base float64) measure.Quantity {
	if step < len(k.card) {
		written, ok := k.card[step][cardItem{line, item}]
		if !ok {
			written, ok = k.card[step][cardItem{AnyLine, item}]
		}
		if ok {
			it := k.Graph.Items[item]
			u := k.shownIn(written)
			if amount, ok := it.Bridge().Convert(base, it.Unit.Kind, u.Kind); ok {
				return inGallons(measure.Quantity{Amount: amount / u.Factor, Unit: u}, written)
			}
		}
	}
	return k.Quantity(item, base)
}
