package counter

// The answer: what to buy, what it costs, what it brings and what goes off the menu; then the curve and what each thing is worth.

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/ask"
	"kettletree/menu/taste"
	"kettletree/menu/week"
)

// Answer is what to buy at the counter. Quantities are in the unit that the item is written in; money is unrounded, in the kitchen's
// currency.
type Answer struct {
	From  string  `json:"from"`            // 2006-01-02
	Days  int     `json:"days"`            // asked about
	After int     `json:"days_after"`      // how many days after were played, with what is left
	Spend float64 `json:"spend"`           // money in hand
	Carry float64 `json:"carry,omitempty"` // kilos that the car carries; left out when nobody asked

	Costs        float64 `json:"costs"`           // of what to buy
	Weighs       float64 `json:"weighs"`          // kilos of what to buy, as far as known
	Brings       float64 `json:"brings"`          // what all those days earn with it, after it is paid for, beyond what they earn with nothing bought here and the batches as they stand
	Contribution float64 `json:"contribution"`    // of the days asked about, with it
	Empty        float64 `json:"nothing_brings"`  // of the days asked about, with nothing bought here
	All          bool    `json:"all_sets_played"` // every set was played, and this is the best of them; else the best that was found
	Played       int     `json:"played"`          // how many sets were

	Planned bool    `json:"other_batches"` // other batches were looked for; else this is the best with the batches as they stand
	Batches []Moved `json:"batches"`       // to cook so; none where they may stay as they stand
	Stand   float64 `json:"standing"`      // what the same purchase brings with the batches as they stand

	Lines []Offered `json:"offers"`   // as they were offered
	Off   []Off     `json:"off_menu"` // what can't all be served with it; what goes shortest by it first
	Cut   []Cut     `json:"cut"`      // batches that are not made, or only in part
	Curve []Sum     `json:"curve"`    // from nothing to twice the money in hand
	Stops float64   `json:"stops"`    // what the best set costs where there is twice the money; where that is less by a step of the curve, nothing more pays beyond it by the cards, as far as was found

	Freely *Freely `json:"stand_ins"` // what would bring more off the cards; null where nothing would

	Departs []ask.Departure  `json:"departures"` // what is not made as its card has it with it, and is as the week stands
	Taste   []taste.Expected `json:"taste"`      // what that does to the taste, as far as it is known
	Swaps   []Swap           `json:"swaps"`      // what the cards allow in its place, and what that saves; best first

	Deeper bool    `json:"deeper"`    // what follows was looked at
	Wholes []Whole `json:"wholes"`    // pieces on offer that a step breaks down
	Risk   *Risk   `json:"risk"`      // null where nothing strays by the file
	Doubts []Doubt `json:"ask_first"` // what is worth to be asked or weighed, most first

	Notes []string `json:"notes,omitempty"`
	Money string   `json:"money,omitempty"`

	week *week.Week
	set  *purchase
}

// Offered is an offer, and how much of it to buy.
type Offered struct {
	Item   string    `json:"item"`
	Many   string    `json:"-"` // what several of it are called, where it is counted
	Unit   string    `json:"unit"`
	Price  float64   `json:"price"`                 // for one unit
	Usual  float64   `json:"usual_price"`           // what the file says
	There  *float64  `json:"there"`                 // what can be bought of it; null where nobody said
	Buy    float64   `json:"buy"`                   // 0 for none
	Pieces []float64 `json:"pieces,omitempty"`      // which, by what they weigh
	Packs  int       `json:"packs,omitempty"`       // how many
	Costs  float64   `json:"costs"`                 // of that
	UpTo   float64   `json:"worth_up_to"`           // the price up to which so much of it belongs there; 0 when none is bought
	More   float64   `json:"more"`                  // as much more of it belongs there at that price, be it in other pieces; 0 where there is no more
	MoreAt float64   `json:"more_up_to"`            // the highest price, up to what it costs, at which more of it belongs there; 0 where none was found: where all_sets_played, there is none
	Until  string    `json:"as_usual_from"`         // 2006-01-02: the first day from which on its usual supplier brings it
	From   string    `json:"usual_from"`            // who that is; "" where the file does not say
	Loose  float64   `json:"unweighed,omitempty"`   // what lies there in pieces that nobody has weighed
	Scant  float64   `json:"pieces_less,omitempty"` // by so much the pieces come to less than was said, and that is too little for one more
	Looked float64   `json:"looked_at,omitempty"`   // no more of it was looked at, though more is there: four times what the days take
}

// Off is a dish that can't all be served.
type Off struct {
	Dish    string `json:"dish"`
	Short   int    `json:"short"`   // portions, over the days asked about
	Of      int    `json:"asked"`   // portions
	Date    string `json:"date"`    // 2006-01-02: of the first service that goes short
	Service string `json:"service"` // that service
	All     bool   `json:"gone"`    // from that service on, none is served
	Usual   int    `json:"usually"` // portions that it is short as the week stands
	Empty   int    `json:"nothing"` // ... with nothing bought here
}

// Cut is a batch that is not all made.
type Cut struct {
	Date    string  `json:"date"` // 2006-01-02
	Step    string  `json:"step"`
	Batches float64 `json:"batches"` // that are due
	Made    float64 `json:"made"`
	Lacks   string  `json:"lacks"`       // what it is short of
	Item    string  `json:"item"`        // what comes out of it first
	Unit    string  `json:"unit"`        // of that
	Gives   float64 `json:"gives"`       // so much of it
	Of      float64 `json:"of"`          // where all of the batches are made
	Why     string  `json:"no_more"`     // why no more of that is bought, though it is on offer: "does not pay", "money", "car", "not enough" of it there, "short of it" for something else that it then lacks, "others" where another batch then lacks something; else ""
	Loses   float64 `json:"full_loses"`  // what is earned less where enough is bought for all of it; 0 where that can't be
	Leave   bool    `json:"leave"`       // so little is made that it is better left
	Costs   float64 `json:"leave_costs"` // what is earned less when it is left
}

const (
	penny   = 0.01  // of money
	nothing = 0.005 // of a batch: less is none of it
)

// Answer searches, and says what was found. What was played before is kept, so that a search that is asked again at other prices
// answers soon. When ctx ends, the best so far is the answer.
func (s *Search) Answer(ctx context.Context) (*Answer, error) {
	if s.look(ctx); !s.whole {
		s.afresh(ctx)
	}
	best := s.alongside(ctx, s.best(s.o.Spend))
	s.tradeDowns(ctx, best)
	best = s.best(s.o.Spend)
	if y := s.standing(best.rungs); y.counts >= best.counts-penny { // nothing is cooked otherwise for less
		best = y
	}
	x, why := s.full(ctx, best)
	s.cook(x.way)
	none := s.none()
	a := &Answer{From: s.From.Format(time.DateOnly), Days: s.Days, After: s.onward.Days, Spend: s.o.Spend, Carry: s.o.Carry / 1000,
		Costs: x.costs, Weighs: x.weighs / 1000, Brings: s.brings(x, none), All: s.whole, Played: len(s.within),
		Lines: []Offered{}, Off: []Off{}, Cut: []Cut{}, Swaps: []Swap{}, Money: s.Week.Money, set: x,
		Planned: s.planned, Batches: append([]Moved{}, s.ways[x.way].moved...), Stand: s.brings(s.standing(x.rungs), none)}
	a.Curve, a.Stops = s.curve()
	a.Stops = max(a.Stops, a.Costs) // a pot may have been filled
	for n := range s.o.Offers {
		a.Lines = append(a.Lines, s.line(n, x, best))
	}
	worth, err := s.Worth()
	if err != nil {
		return nil, err
	}
	c := s.with(x.at, true)
	a.week = s.Week.With(c)
	player := s.Player()
	empty := s.ways[0].base
	a.Empty = worth.Books(empty, player.Play(empty, nil)).Contribution
	o := player.Play(c, nil)
	a.Contribution = worth.Books(c, o).Contribution
	a.Cut = append(a.Cut, s.cut(o, c, why)...)
	a.leave()
	a.Off = append(a.Off, s.offMenu(o)...)
	was, err := s.Week.Play(ctx)
	if err == nil {
		var is *week.Played
		if is, err = a.week.Play(ctx); err == nil {
			a.Departs = ask.Departures(s.Week, is, was, nil)
			a.Taste = slices.DeleteFunc(s.o.Learned.Expect(s.Kitchen, is, was), func(e taste.Expected) bool { return e.From == "" })
			if a.Freely, err = s.freed(ctx, x, is); err == nil {
				a.Swaps, err = s.swaps(ctx, x)
			}
		}
	}
	if err != nil && ctx.Err() == nil {
		return nil, err
	}
	if ctx.Err() != nil {
		a.Notes = append(a.Notes, "the search was stopped: this is the best that was found by then")
	}
	return a, nil
}

// Deepen looks further than an answer: at whole pieces and their parts, at what can't be known and at what to ask first. It must be the
// search's last.
func (s *Search) Deepen(ctx context.Context, a *Answer) (err error) {
	x := a.set
	s.cook(x.way)
	if a.Wholes, err = s.wholes(ctx, x); err != nil {
		return err
	}
	a.Risk = s.risk(ctx, x)
	a.Doubts = s.doubts(ctx, x)
	if a.Deeper = ctx.Err() == nil; !a.Deeper {
		a.Notes = append(a.Notes, "what is behind it was not all looked at: the search was stopped")
	}
	return nil
}

// Ends tells whether more money stops paying within what was looked at: whole pieces leave a little of any purse.
func (a *Answer) Ends() bool { return a.Stops < 2*a.Spend-Fifty(a.Spend) }

// ByCards tells whether more money stops paying elsewhere off the cards: the curve goes on with what it takes.
func (a *Answer) ByCards() bool {
	return a.Freely != nil || math.Abs(a.Stops-a.Curve[len(a.Curve)-1].Costs) >= penny
}

// Alone is what other batches bring, by the cards, with nothing bought here.
func (a *Answer) Alone() float64 { return a.Curve[0].ByCard }

// Week is the week with what the answer buys.
func (a *Answer) Week() *week.Week { return a.week }

func (s *Search) line(n int, x, best *purchase) Offered {
	o := s.o.Offers[n]
	it := s.Graph.Items[o.Item]
	unit := it.Unit.Factor
	r := s.ladders[n][x.rungs[n]]
	l := Offered{Item: it.Name, Many: it.Many, Unit: it.Unit.Name, Price: o.Price * unit, Usual: s.Case.Flow.Price(o.Item) * unit, Buy: r.amount / unit,
		Costs: r.amount * o.Price, UpTo: s.upTo(n, min(r.amount, best.at[n])) * unit, Until: s.Date(s.usualFrom(n)).Format(time.DateOnly), From: s.Bought[o.Item].From, Loose: o.Unweighed / unit, Scant: o.Scant / unit}
	if r.amount > 0 { // a trifle, to fill a pot, or what is as good as less of it to a penny
		l.UpTo = max(l.UpTo, l.Price)
	}
	if !math.IsInf(o.Limit, 1) {
		l.There = new(o.Limit / unit)
	}
	if most := s.ladders[n][len(s.ladders[n])-1].amount; o.Pieces == nil && o.Limit > most+max(o.Pack, nearly*most) {
		l.Looked = most / unit
	}
	for _, p := range r.pieces {
		l.Pieces = append(l.Pieces, o.Pieces[p]/unit)
	}
	if o.Pack > 0 && o.Pack != unit {
		l.Packs = int(r.amount/o.Pack + 0.5)
	}
	if x.rungs[n] < len(s.ladders[n])-1 {
		price, holds := s.moreAt(n, r.amount)
		if price == 0 {
			holds = max(s.further(n, r.amount), s.ladders[n][x.rungs[n]+1].amount)
		}
		l.More, l.MoreAt = max(0, holds-r.amount)/unit, price*unit
	}
	return l
}

// usualFrom is the first day, from that on from which an offer may come as usual, on which its supplier brings it and somebody takes it in.
func (s *Search) usualFrom(n int) int {
	days := s.Bought[s.o.Offers[n].Item].Arrives
	for day := s.until[n]; day < s.until[n]+year; day++ {
		if days[s.Weekday(day)] && s.WorksOn(s.Date(day)) {
			return day
		}
	}
	return s.until[n]
}

// year is in days.
const year = 366

// offMenu lists the dishes that go short with an outcome.
func (s *Search) offMenu(o *flow.Outcome) (list []Off) {
	dishes := s.Kitchen.Dishes
	short := func(o *flow.Outcome) []Off {
		offs := make([]Off, len(dishes))
		for slot, sit := range s.Sittings {
			for d := range dishes {
				asked, served := o.Asked[slot*len(dishes)+d], o.Served[slot*len(dishes)+d]
				off := &offs[d]
				off.Of += int(asked + 0.5)
				if less := int(asked - served + 0.5); less > 0 && sit.Service >= 0 {
					if off.Short == 0 {
						off.Date, off.Service = s.Date(sit.Day).Format(time.DateOnly), s.Services[sit.Service].Name
						off.All = true
					}
					off.Short += less
				}
				if off.Short > 0 && served > 0 {
					off.All = false
				}
			}
		}
		return offs
	}
	is := short(o)
	player := s.Player()
	usual, empty := short(player.Play(s.Week.Case, nil)), short(player.Play(s.ways[0].base, nil))
	for d, off := range is {
		if off.Short > 0 {
			off.Dish, off.Usual, off.Empty = dishes[d].Name, usual[d].Short, empty[d].Short
			list = append(list, off)
		}
	}
	slices.SortStableFunc(list, func(x, y Off) int { return cmp.Compare(max(0, y.Short-y.Usual), max(0, x.Short-x.Usual)) })
	return list
}

// leave takes out of what is to be cooked otherwise what had better be left, and what is not made at all. A batch of which nothing is made and that
// did not stand is nobody's: it is not said to lack anything.
func (a *Answer) leave() {
	a.Cut = slices.DeleteFunc(a.Cut, func(x Cut) bool {
		n := slices.IndexFunc(a.Batches, func(b Moved) bool { return b.Date == x.Date && b.Step == x.Step })
		if unmade := x.Made < nothing; n >= 0 && (x.Leave || unmade) {
			b := &a.Batches[n]
			b.Is = max(0, b.Is-x.Batches)
			return unmade && b.Was < nothing
		}
		return false
	})
	a.Batches = slices.DeleteFunc(a.Batches, func(b Moved) bool { return math.Abs(b.Is-b.Was) < nothing })
}

// cut lists the batches that are not all made, and why.
func (s *Search) cut(o *flow.Outcome, c flow.Case, why map[int]scant) (list []Cut) {
	for r, b := range c.Schedule.Batches {
		ran := o.Ran[r]
		if b.Day >= s.Days || b.Size-ran.Batches < nothing {
			continue
		}
		x := Cut{Date: s.Date(b.Day).Format(time.DateOnly), Step: s.Graph.Steps[b.Step].Name, Batches: b.Size, Made: ran.Batches, Why: why[r].why, Loses: max(0, why[r].loses)}
		if ran.Limit >= 0 {
			x.Lacks = s.Graph.Items[ran.Limit].Name
		}
		if gives := s.Graph.Steps[b.Step].Gives; len(gives) > 0 {
			q := s.QuantityOn(b.Step, gives[0].Item, c.Flow.Gives(b.Step, 0))
			x.Item, x.Unit, x.Gives, x.Of = s.Graph.Items[gives[0].Item].Name, q.Unit.Name, q.Amount*ran.Batches, q.Amount*b.Size
		}
		if ran.Batches > nearly && ran.Batches < trifling*b.Size {
			costs := s.unlit(c, r)
			x.Leave, x.Costs = costs <= hair*s.o.Spend, max(0, costs)
		}
		list = append(list, x)
	}
	slices.SortStableFunc(list, func(a, b Cut) int { return strings.Compare(a.Date, b.Date) })
	return list
}

// unlit is what is earned less when a batch is left.
func (s *Search) unlit(c flow.Case, batch int) float64 {
	books, _ := s.onward.Play(c)
	with := books.Contribution
	left := *c.Schedule
	left.Batches = slices.Clone(left.Batches)
	left.Batches[batch].Unlit = true
	books, _ = s.onward.Play(flow.Case{Flow: c.Flow, Schedule: &left})
	return with - books.Contribution
}
