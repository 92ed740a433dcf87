package flow

// What a flow is computed with: prices and shelf lives, the row of services, and what is due in it.

// Untimed is the start of a step without a clock: it is done before the day's first service, as soon as what it takes is
// there.
const Untimed = -1

// Rule says how a step's bill is shared among what it gives.
type Rule uint8

const (
	ByWorth      Rule = iota // by sales value at split-off: amount times worth
	ByWeight                 // by physical measure
	ByFinalValue             // by net realisable value: what the dishes downstream bring less what it costs to finish them
	ByEvenMargin             // so that every output earns the same gross margin percentage in the end
	ByMain                   // the first output bears all, less the worth of the others
)

// Terms are the money and the shelf lives of a flow, all per base unit, by item and step of the graph.
type Terms struct {
	// Price is what one base unit costs of bought items; of portions, the menu price; 0 of what steps give.
	Price []float64
	Worth []float64 // what one base unit would cost to buy in; NaN when not given
	Keeps []int     // days, the day made being day 1; 0 when it does not spoil
	Pack  []float64 // of bought items: they are bought in whole multiples of it; 0 for any amount. Nil for all 0
	Cost  []float64 // of steps: labour and fuel for one batch
	Share []Rule    // of steps
	// Disposal is what it costs to have a gram of waste taken away.
	Disposal float64
}

// Slot is a service, or, on a day without one, the noon at which work without a clock is done. Minutes count from the
// midnight before day 0.
type Slot struct {
	Day        int
	Start, End int
	Closed     bool // no guests
	Idle       bool // nobody works: a step that takes all there is waits for the next slot
}

// Batch is a step due on a day.
type Batch struct {
	Step   int
	Day    int       // may lie past the last day: then it only keeps a seed back
	Start  int       // minutes after midnight of Day, or Untimed
	Size   float64   // how many
	Lost   float64   // share that is lost after the inputs are in, 0 to 1
	Unlit  bool      // all of it is lost before it begins: nothing goes in
	Late   int       // minutes that it starts and gives late
	Yields []float64 // factor on each output; nil for all 1
}

// Lot is what came in of an item at once. Of what is on hand before day 0, item, amount and day are what counts; a
// [Record] tells the rest.
type Lot struct {
	Item   int
	Amount float64 // base units, as it came
	Made   int     // the day it was made or arrived; of what is on hand before day 0, 0 or before, less Aged
	Aged   int     // of what is on hand: days by which it must be used sooner than it keeps
	At     int     // the minute at which it came; of what was on hand, the midnight at which its day began
	Origin Origin
	Step   int // Given: of the graph; else -1
	Batch  int // Given: of the schedule; -1 when work without one gave it
	Pot    int // Given: of the schedule, when a batch under way gave it; else -1
	Since  Since
}

// Since is a day that the age of what is on hand at first is counted from, be it earlier than that on which it was made, and the item
// that brought it. It is for who reads a record: the walk carries it along and goes by Made.
type Since struct {
	Known     bool
	Day, Item int // Day is later than it was by the days of Ice

	Presumed bool // nobody wrote down what was in it: it is the earliest that it may be

	Ice         int // days that it lay frozen, which do not count
	Froze, Thaw int // the first and the last of those days, of the last time that it was frozen

	Oiled bool // something in it lies in oil, or lay in oil
	Oil   int  // since then at the latest, days in ice left out
	Oily  int  // the item in which it did

	OilIce int // days of ice that were left out since then: Oil is later by them
}

// Or is the earlier of two, as far as they are known, and the earlier day in oil, be that of the same or of the other; s where they are
// the same.
func (s Since) Or(other Since) Since {
	oil := s
	if !s.Oiled || other.Oiled && other.Oil < s.Oil {
		oil = other
	}
	if !s.Known || other.Known && other.Day < s.Day {
		s = other
	}
	s.Oiled, s.Oil, s.Oily, s.OilIce = oil.Oiled, oil.Oil, oil.Oily, oil.OilIce
	return s
}

// Later is the same with its days counted from so many days earlier.
func (s Since) Later(days int) Since {
	if s.Known {
		s.Day += days
	}
	if s.Ice > 0 {
		s.Froze += days
		s.Thaw += days
	}
	if s.Oiled {
		s.Oil += days
	}
	return s
}

// Frozen is the same after some days in ice, which are not counted: from one day to another, both among them.
func (s Since) Frozen(first, last int) Since {
	days := last - first + 1
	if days <= 0 {
		return s
	}
	if s.Known {
		s.Day += days
		s.Ice += days
		s.Froze, s.Thaw = first, last
	}
	if s.Oiled {
		s.Oil += days
		s.OilIce += days
	}
	return s
}

// Began is the day itself, days in ice not taken out.
func (s Since) Began() int { return s.Day - s.Ice }

// Origin says where a lot is from.
type Origin uint8

const (
	OnHand    Origin = iota // it was there before day 0
	Delivered               // it was bought
	Given                   // a step gave it
)

// Pot is a batch that is under way when a walk begins. Minutes count from the midnight before day 0, and are negative on days
// before it.
type Pot struct {
	Step    int // of the graph
	Day     int // on which it was to begin: 0 or before
	Start   int // the minute at which it was lit
	Batches float64
	Takes   []PotLine // what still goes in
	Gives   []PotLine // what still comes out, before Yields and Lost
	Lost    float64   // share of what still comes out that is lost, 0 to 1
	Late    int       // minutes that what still comes out is late
	Yields  []float64 // factor on each of Gives; nil for all 1
	Since   Since     // the earliest of what went in before the walk
}

// Over tells whether all that was still to come of the batch is lost and nothing more goes into it: nobody tends it any longer.
func (p *Pot) Over() bool { return p.Lost == 1 && len(p.Takes) == 0 }

// PotLine is what still goes into a pot, or comes out of it, at a minute.
type PotLine struct {
	Item   int
	Amount float64 // base units
	Minute int
}

// Delivery is an amount of an item that comes in at the beginning of a day.
type Delivery struct {
	Item    int
	Day     int
	Amount  float64 // what comes, base units
	Ordered float64 // what was asked for
	Price   float64 // of a schedule's: for one base unit, where it comes from elsewhere; 0 for that of the item
	Source  int     // of a schedule's: which of those who sell the item elsewhere, counted from 1; 0 for the usual one
}

// Want is a portion with its forecast.
type Want struct {
	Item     int       // a Sold item of the graph
	Rank     int       // under the rule First, lower ranks are served first; 0 comes after all others
	Forecast []float64 // portions, by slot
	Size     []float64 // by slot: how much of a portion goes out as one; nil for all 1
}

// Schedule is the row of services with all that is due in it. A bought item is bought as it is needed, on the last
// arrival day that its keeping allows; Deliveries are what comes in any case, and what is needed beyond them is bought
// too, unless the item is Short.
//
// A walk can go on from a minute of day 0: what the schedule has before that is done then, services that are over are not
// served, and of one under way the forecast is what is still asked for. What has come of an item by then, or was done, is on
// hand, or in Pots.
type Schedule struct {
	Days       int
	From       int    // the minute of day 0 from which the walk goes on; 0 for its beginning. It may lie past midnight, as long as day 0 is served
	Slots      []Slot // by start
	Batches    []Batch
	Arrives    [][]bool // by item and day; nil for an item that can arrive on every day
	Workdays   []bool   // by item: its Arrives are all the days on which anybody works; nil for none
	Wants      []Want
	OnHand     []Lot
	Pots       []Pot // batches under way at From, or lit before day 0
	Deliveries []Delivery
	NotBefore  []int     // by item: the first minute at which any of it comes in; nil for all 0
	Short      []bool    // by item: no more can be had than Deliveries say; nil for none
	OrdersFrom []int     // by item: from ResumedAt on, the first day of which more can be had than Deliveries say; nil for all 0
	ResumedAt  int       // minutes after the midnight before day 0
	Offered    [][]bool  // by item and day: what can be bought elsewhere as it is needed, from ResumedAt on; nil for none
	OfferedIn  []float64 // by item: there it is bought in whole multiples of this; 0 for any amount. Nil where nothing is offered
	Spoils     []Spoil   // by day
	Burnt      []Burnt
	Fractions  bool        // leave portions as they fall, without making them whole
	Directions *Directions // how lines are to be filled; nil for none
	Prefers    []Prefer    // lines that have another choice first
	Rules      []Ration    // by slot: who goes short; nil for the rule of the walk
	House      *House      // what binds the guests of a service; nil where each forecast is what is asked for
}

// Ends is the minute at which a walk ends: the midnight of the last day, or, where a service of it begins later, or is under way
// later when the walk goes on, the minute after that.
func (s *Schedule) Ends() int {
	end := s.Days * 1440
	for k := range s.Slots {
		if s.Slots[k].End > s.From {
			end = max(end, s.ServedAt(k)+1)
		}
	}
	return end
}

// dayStarts is when the deliveries of each day come, and its work without a clock can begin: at its midnight, or when the last
// service of the day before has begun.
func (s *Schedule) dayStarts() []int32 {
	starts := make([]int32, s.Days)
	for d := range starts {
		starts[d] = int32(d * 1440)
	}
	for k, slot := range s.Slots {
		if next := slot.Day + 1; next < s.Days && slot.End > s.From {
			starts[next] = max(starts[next], int32(s.ServedAt(k)+1))
		}
	}
	return starts
}

// ServedAt is the minute at which what is still asked for at a slot is served: its start, or that from which the walk goes on.
func (s *Schedule) ServedAt(slot int) int { return max(s.Slots[slot].Start, s.From) }

// Spoil is all that is on hand of an item found spoiled at the beginning of a day.
type Spoil struct{ Item, Day int }

// Burnt is a share of what an "all of it" step gives on a day that is lost.
type Burnt struct {
	Step, Day int
	Share     float64
}

// Ration says who goes short when an item is scarce.
type Ration uint8

const (
	Fair  Ration = iota // every dish's share of its forecast rises together
	First               // the same, one rank of dishes after another
)
