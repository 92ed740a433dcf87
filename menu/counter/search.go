package counter

// The search for what to buy: purchases are played once and kept, and the best is chosen among them at any prices.

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/plan"
	"kettletree/menu/taste"
	"kettletree/menu/week"
)

// Options say what there is to spend, and what is on offer.
type Options struct {
	Offers []Offer
	Spend  float64 // money in hand
	Carry  float64 // grams that the car carries; 0 for any
	Until  int     // the day from which what is offered comes as usual again; 0 for the delivery after the next

	Draws  int    // in which the purchase is played, where yields and guests stray; 0 for the usual
	Seed   uint64 // of those; 0 for the usual
	Regret string // by what the set that regrets least is chosen: [OnAverage], [AtWorst]; "" for the first

	Learned *taste.Learned // what the log book knows of how what goes in moves the taste; nil for nothing

	Trying func(done float64) // hears how far the search is; nil where nobody asks
}

// Search is a week in front of a counter, with all that was played for it. It must not be shared between goroutines.
type Search struct {
	*week.Week
	o      Options
	base   flow.Case               // nothing bought, with the batches of the moment
	way    int                     // those batches, among ways
	ways   []*way                  // to cook: the batches as they stand first
	plans  map[string][]flow.Batch // that the planner made, by what was bought
	until  []int                   // by offer: the day from which its item comes as usual
	onward *week.Onward
	off    func(*flow.Outcome) float64

	ladders  [][]rung  // by offer
	grams    []float64 // by offer: of one base unit; NaN where nobody said
	played   map[string]*purchase
	within   []*purchase // that this answer looks at, as it came to them
	ranked   ranking     // of those, at the prices of the moment
	edges    *edges      // of those; nil until they are asked for
	trying   bool        // another price
	strays   []*purchase // that are charged at that
	asked    int         // how many answers were asked for
	pool     []*purchase // with which each answer begins
	sketches []sketch    // around what is best for the money in hand, by each way to cook
	key      []byte      // of a purchase in played, while it is put together
	uses     []float64   // by item: what comes of it as planned, base units
	began    bool        // the pool is there, for these amounts and this money
	whole    bool        // all sets were tried
	planned  bool        // other batches were looked for
	freely   bool        // sets are chosen by what they bring, whatever they count off the cards
	choices  bool        // some card takes one thing for another, or goes on without
}

// purchase is a set of things bought, and what the kitchen makes of it. Nothing in it hangs on prices at the counter.
type purchase struct {
	at     []float64 // by offer: base units
	rungs  []int     // by offer
	way    int       // how it is cooked
	asked  int       // the last answer that looked at it
	earns  float64   // contribution with the days behind, before it is paid for
	off    float64   // what those days count off the cards
	weighs float64   // grams, as far as known

	costs  float64 // at the counter, at the prices of the moment
	counts float64 // by which it is chosen, at those
}

// New makes ready to search.
func New(w *week.Week, o Options) (*Search, error) {
	if w.Rule.Plans() {
		w = w.By(week.Fair)
	}
	s := &Search{Week: w, played: map[string]*purchase{}, plans: map[string][]flow.Batch{}}
	if err := s.faults(o); err != nil {
		return nil, err
	}
	s.o = o
	s.o.Offers = slices.Clone(o.Offers)
	var err error
	if s.onward, err = w.Onward(); err != nil {
		return nil, err
	}
	if s.off, err = plan.Cards(w, w.Player().Play(w.Case, nil)); err != nil {
		return nil, err
	}
	s.counter()
	s.ways = []*way{{base: s.base}}
	s.choices = slices.ContainsFunc(w.Graph.Steps, func(st graph.Step) bool {
		return slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return len(l.Choices) > 1 || l.Optional || l.Without > 0 })
	})
	s.ladder()
	return s, nil
}

// At is another moment in front of the same counter: other prices, other amounts, other money. The things on offer must be the same, in the
// same order. What was played is kept.
func (s *Search) At(o Options) error {
	same := len(o.Offers) == len(s.o.Offers) && o.Until == s.o.Until
	for n := range o.Offers {
		same = same && o.Offers[n].Item == s.o.Offers[n].Item
	}
	if !same {
		return errors.New("mistake: another counter")
	}
	if err := s.faults(o); err != nil {
		return err
	}
	was := s.o
	s.o = o
	s.o.Offers = slices.Clone(o.Offers)
	same = o.Spend == was.Spend && o.Carry == was.Carry
	for n, x := range o.Offers {
		y := was.Offers[n]
		same = same && x.Limit == y.Limit && x.Pack == y.Pack && slices.Equal(x.Pieces, y.Pieces)
	}
	if !same {
		s.ladder()
		s.pool, s.sketches, s.began, s.planned, s.ways = nil, nil, false, false, s.ways[:1]
		maps.DeleteFunc(s.played, func(_ string, p *purchase) bool { return p.way > 0 })
	}
	return nil
}

// Twin is another search before the same counter, that begins with what this one found with the batches as they stand; so each can be asked by a goroutine
// of its own.
func (s *Search) Twin(ctx context.Context) (*Search, error) {
	t, err := New(s.Week, s.o)
	if err != nil {
		return nil, err
	}
	s.look(ctx)
	for _, p := range s.pool {
		if p.way > 0 {
			continue
		}
		q := *p
		q.asked = 0
		s.cook(0)
		t.played[string(s.keyOf(p.rungs))] = &q
		t.pool = append(t.pool, &q)
	}
	t.ways[0].useful, t.ways[0].without = s.ways[0].useful, s.ways[0].without
	t.sketches = slices.DeleteFunc(slices.Clone(s.sketches), func(sk sketch) bool { return sk.way > 0 })
	t.began, t.whole = s.began, s.whole
	return t, nil
}

// Twice says of two offers that they are of the same thing; nil for two things.
func Twice(w *week.Week, first, second Offer) error {
	if first.Item != second.Item {
		return nil
	}
	return fmt.Errorf("%s is offered twice, as %q and %q: name the offer that you would take first", w.Graph.Items[first.Item].Name, first.Text, second.Text)
}

// faults says what can't be asked.
func (s *Search) faults(o Options) error {
	switch {
	case len(o.Offers) == 0:
		return errors.New("nothing is on offer: name a thing that is there, and its price")
	case !(o.Spend > 0 && o.Spend <= mostMoney):
		return errors.New("the money in hand must be more than 0, and less than a thousand million")
	case o.Until < 0 || o.Until > s.Days:
		return fmt.Errorf("what is on offer comes as usual again from a day after the first that is asked about, at most %d days on", s.Days)
	case !(o.Carry >= 0) || math.IsInf(o.Carry, 1):
		return errors.New("what the car carries must be a weight above 0")
	}
	for n, x := range o.Offers {
		for _, y := range o.Offers[:n] {
			if err := Twice(s.Week, y, x); err != nil {
				return err
			}
		}
		if _, ok := s.Graph.Items[x.Item].Grams(1); !ok && o.Carry > 0 {
			return fmt.Errorf("nobody knows what %s weighs, so nobody can say whether the car carries it: give its weight or density in the file", s.Graph.Items[x.Item].Name)
		}
	}
	return nil
}

// counter is the week in front of the counter: what is bought stands in for the next delivery of what is offered, and it comes from nowhere
// else until the one after that.
func (s *Search) counter() {
	c := *s.Week.Case.Schedule
	if c.OrdersFrom = slices.Clone(c.OrdersFrom); c.OrdersFrom == nil {
		c.OrdersFrom, c.ResumedAt = make([]int, len(s.Graph.Items)), c.From
	}
	taken := s.Week.OrdersFrom(s.Now)
	s.until = nil
	for _, o := range s.o.Offers {
		comes := func(day int) bool { return c.Arrives[o.Item] == nil || c.Arrives[o.Item][day] }
		day := 0
		if s.Now >= week.Noon { // today's has come
			day = 1
		}
		for day < s.Days && !comes(day) {
			day++
		}
		for day++; day < s.Days && !comes(day); {
			day++
		}
		if s.o.Until > 0 {
			day = s.o.Until
		}
		day = min(max(day, c.OrdersFrom[o.Item], taken[o.Item]), s.Days)
		c.OrdersFrom[o.Item] = day
		s.until = append(s.until, day)
		if c.NotBefore != nil && c.NotBefore[o.Item] > c.From && !slices.ContainsFunc(c.Deliveries, func(d flow.Delivery) bool { return d.Item == o.Item && d.Day == 0 }) {
			c.NotBefore = slices.Clone(c.NotBefore) // what did not come today can still be bought here
			c.NotBefore[o.Item] = c.From
		}
	}
	s.base = flow.Case{Flow: s.Week.Case.Flow, Schedule: &c}
}

// most is how much of an offer is looked at: four times what the days take of it, for there are days behind them, be there ever so much
// money; of what they take none of as planned, four times what the money buys at the file's price.
func (s *Search) most(o Offer) float64 {
	if uses := s.uses[o.Item]; uses > 0 {
		return 4 * uses
	}
	return 4 * s.o.Spend / s.usual(o)
}

// usual is the file's price of what is on offer; where it has none, tonight's.
func (s *Search) usual(o Offer) float64 {
	if price := s.Week.Case.Flow.Price(o.Item); price > 0 && !math.IsInf(price, 1) {
		return price
	}
	return o.Price
}

// ladder lays the amounts out that can be bought.
func (s *Search) ladder() {
	s.ladders, s.grams = nil, nil
	if s.uses == nil {
		s.uses = make([]float64, len(s.Graph.Items))
		for _, d := range s.Week.Player().Play(s.Week.Case, nil).Deliveries {
			s.uses[d.Item] += d.Amount
		}
	}
	for _, o := range s.o.Offers {
		it := s.Graph.Items[o.Item]
		s.ladders = append(s.ladders, o.ladder(s.most(o), it.Unit.Factor))
		grams, ok := it.Grams(1)
		if !ok {
			grams = math.NaN()
		}
		s.grams = append(s.grams, grams)
	}
}

// with is the week with so much of each offer bought, at the counter's prices or, without, at the file's.
func (s *Search) with(at []float64, priced bool) flow.Case {
	c := s.bought(s.base, at, priced)
	c.Schedule.Deliveries = slices.DeleteFunc(c.Schedule.Deliveries, func(d flow.Delivery) bool { return d.Ordered == 0 })
	return c
}

// try looks at a purchase, and plays it unless it was.
func (s *Search) try(rungs []int) *purchase {
	p := s.played[string(s.keyOf(rungs))]
	if p == nil {
		s.play([][]int{rungs})
		p = s.played[string(s.key)]
	}
	if p.asked != s.asked { // not looked at for this answer yet
		p.asked, p.rungs = s.asked, slices.Clone(rungs)
		s.within = append(s.within, p)
		s.charge(p)
		if s.edges != nil {
			s.onEdges(p)
		}
	}
	if s.trying {
		s.charge(p)
		s.strays = append(s.strays, p)
	}
	return p
}

// charge says what a purchase costs at the prices of the moment.
func (s *Search) charge(p *purchase) {
	p.costs = 0
	for n, o := range s.o.Offers {
		p.costs += p.at[n] * o.Price
	}
	p.counts = p.earns - p.off - p.costs
}

// reprice goes on at the prices that the offers have now.
func (s *Search) reprice() {
	s.edges = nil
	for _, p := range s.within {
		s.charge(p)
	}
	s.ranked = ranking{}
}

// fits tells whether a purchase can be paid for and carried.
func (s *Search) fits(p *purchase, money float64) bool {
	return p.costs <= money+cent && p.weighs <= s.carries()
}

func (s *Search) carries() float64 {
	if s.o.Carry == 0 {
		return math.Inf(1)
	}
	return s.o.Carry * (1 + nearly)
}

const (
	cent   = 1e-6 // of money, what only rounding leaves
	better = 1e-6 // by less, one purchase is no better than another
)

// bestOf is the best of those that are allowed; nil where there is none.
func (s *Search) bestOf(money float64, allowed func(*purchase) bool) (b *purchase) {
	for _, p := range s.within {
		if allowed(p) && s.fits(p, money) && (b == nil || s.beats(p, b)) {
			b = p
		}
	}
	return b
}

// beats tells whether one purchase is better than another, or as good and cheaper. It rounds first: were two as good that lie near each other, three
// could each beat the next, and a climb would go round for ever.
func (s *Search) beats(p, b *purchase) bool {
	is, was := p.counts, b.counts
	if s.freely {
		is, was = is+p.off, was+b.off
	}
	is, was = math.Round(is/better), math.Round(was/better)
	return is > was || is == was && p.costs < b.costs-cent
}

// mostOf is what brings most for so much money, off the cards where they allow it.
func (s *Search) mostOf(money float64) *purchase {
	s.freely = true
	defer func() { s.freely = false }()
	return s.best(money)
}

// The work of a search, in purchases that are played, so that a kitchen has one answer on any machine.
const (
	allSets       = 3000 // as many are all tried
	starting      = 2    // sets from which a search begins
	inHand        = 200  // from each of them for the money in hand
	onCurve       = 90   // ... and for each other sum of the curve
	afresh        = 120  // around the best at tonight's prices
	aroundOnCurve = 40   // ... and around that for each sum of the curve
	offCurve      = 30   // around what brings most, whatever the cards say, for each sum of the curve
	besides       = 60   // for each price up to which a thing is worth
	farBehind     = 0.1  // of the money: from sets as much worse than the best, none begins on the curve
)

// look makes ready for an answer: it looks at nothing yet but at the pool. The pool is searched for at the file's prices, so that what an
// answer looks at hangs on what is asked, and not on what was asked before.
func (s *Search) look(ctx context.Context) {
	s.asked++
	s.edges = nil
	s.cook(0)
	if s.within = nil; s.began {
		for _, p := range s.pool {
			p.asked = s.asked
		}
		s.within = slices.Clone(s.pool)
		s.reprice()
		return
	}
	s.usually(func() { s.first(ctx) })
	s.pool, s.began = slices.Clone(s.within), ctx.Err() == nil // what was stopped is begun again
}

// usually does something at the file's prices.
func (s *Search) usually(do func()) {
	tonight := make([]float64, len(s.o.Offers))
	for n := range s.o.Offers {
		o := &s.o.Offers[n]
		tonight[n], o.Price = o.Price, s.usual(*o)
	}
	s.reprice()
	do()
	for n := range s.o.Offers {
		s.o.Offers[n].Price = tonight[n]
	}
	s.reprice()
}

// first fills the pool.
func (s *Search) first(ctx context.Context) {
	none := make([]int, len(s.o.Offers))
	s.try(none)
	sets := 1.0
	for _, l := range s.ladders {
		sets *= float64(len(l))
	}
	if s.whole = sets <= allSets; s.whole {
		s.everything(ctx, none, 0)
		return
	}
	s.sketches = nil
	s.chain(ctx)
	s.climbs(ctx, s.o.Spend, inHand)
	s.draw(ctx, s.best(s.o.Spend))
	s.tell(0.6)
	for _, money := range s.sums() {
		if money > 0 && (s.best(money).costs > money-s.sums()[1] || money == s.o.Spend) { // else there is money over already
			s.climbs(ctx, money, onCurve)
		}
		s.tell(0.6 + 0.2*money/(2*s.o.Spend))
	}
}

// afresh searches at tonight's prices.
func (s *Search) afresh(ctx context.Context) {
	s.bySketches(ctx)
	s.fill(ctx, s.o.Spend)
	s.fill(ctx, 2*s.o.Spend)
	s.around(ctx, 2*s.o.Spend, aroundOnCurve)
	s.climbs(ctx, s.o.Spend, afresh)
	for _, money := range slices.Backward(s.sums()) {
		if money > 0 && money < s.best(2*s.o.Spend).costs+s.sums()[1] { // beyond, nothing more pays
			for _, from := range []float64{money + s.sums()[1], 2 * money} { // what is best for more, in like parts or with less of one thing
				if p := s.try(s.inParts(s.best(from).rungs, money)); p.counts >= s.best(money).counts-farBehind*money {
					s.climb(ctx, p, money, aroundOnCurve, all)
				}
				s.lessOfOne(s.best(from), money)
			}
			s.fill(ctx, money)
			s.around(ctx, money, aroundOnCurve)
		}
	}
	if len(s.ways) > 1 { // prices may make another way to cook the better one
		for way := range s.ways {
			s.climb(ctx, s.bestOf(s.o.Spend, s.by(way)), s.o.Spend, aroundOnCurve, all)
		}
	}
	s.offCards(ctx)
}

// offCards looks for what brings more than the best by the cards.
func (s *Search) offCards(ctx context.Context) {
	if !s.choices {
		return
	}
	s.freely = true
	s.bySketches(ctx)
	s.freely = false
	for _, money := range s.sums() {
		if x := s.mostOf(money); x.costs > money-s.sums()[1] || money == s.o.Spend { // else there is money over already
			s.freely = true
			s.climb(ctx, x, money, offCurve, all)
			s.freely = false
		}
	}
}

// climbs goes up from several starts.
func (s *Search) climbs(ctx context.Context, money float64, most int) {
	more := s.best(2 * money) // what is best for more, in like parts
	for _, x := range append(s.starts(ctx, money, starting), s.try(s.inParts(more.rungs, money))) {
		s.climb(ctx, x, money, most, all)
	}
	s.around(ctx, money, most)
}

// everything tries all sets.
func (s *Search) everything(ctx context.Context, rungs []int, from int) {
	if from == len(rungs) {
		s.try(rungs)
		return
	}
	if from == len(rungs)-1 {
		var list [][]int
		for r := range s.ladders[from] {
			list = append(list, set(rungs, from, r))
		}
		s.play(list)
	}
	for r := range s.ladders[from] {
		if ctx.Err() != nil {
			s.whole = false
			return
		}
		if rungs[from] = r; from == 0 {
			s.tell(float64(r) / float64(len(s.ladders[0])))
		}
		s.everything(ctx, rungs, from+1)
	}
	rungs[from] = 0
}

func (s *Search) tell(done float64) {
	if s.o.Trying != nil {
		s.o.Trying(done)
	}
}
