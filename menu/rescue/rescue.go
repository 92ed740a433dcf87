package rescue

// What can still be done once something has gone wrong: moves, each tried by playing the week with it, and the best
// few together.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Answer is the answer to "what can be saved?": moves from the moment at which the mishap is known. Money is
// unrounded.
type Answer struct {
	Known    string    `json:"known"`    // 2006-01-02 15:04; no move lies before it
	Lost     float64   `json:"lost"`     // contribution that the shocks cost
	Moves    []Move    `json:"moves"`    // single ones, by contribution gained, at most [mostMoves]
	Together *Together `json:"together"` // several moves at once; null when no second one adds anything
	Nothing  string    `json:"nothing"`  // why no move saves anything; "" when one does
	Cautions []string  `json:"cautions"`

	Before float64 `json:"-"` // contribution without the shocks
}

// WhatIf is the standing week without the shocks (before) and with them (after), and what can still be done.
// Contribution and quantities are over the period.
type WhatIf struct {
	*ask.Consequences
	Rescue *Answer `json:"rescue,omitempty"` // when it is asked for
}

// Move is one decision, against the week with the shocks and without it.
type Move struct {
	Kind     string       `json:"kind"`     // [MoveKinds]
	What     string       `json:"what"`     // what to do, in words
	From     string       `json:"from"`     // of a batch, the earliest start that does as well; "" for none; 2006-01-02 15:04
	By       string       `json:"by"`       // the latest moment to decide; midnight when an order for that day depends on it; 2006-01-02 15:04
	Gained   float64      `json:"gained"`   // contribution that it brings
	Cash     float64      `json:"cash"`     // spent more, on deliveries, labour and waste
	Portions int          `json:"portions"` // sold more, less those sold fewer
	Dishes   []MoreSold   `json:"dishes"`
	Services []OfferedAt  `json:"services"` // at which it is done; [] for a batch or for what is bought in
	Buy      []ExtraOrder `json:"buy"`      // what must come for it, beyond what was ordered
	Fewer    []FewerOn    `json:"fewer"`    // days on which fewer portions are sold with it than without it: what it takes from them
	LeftOver float64      `json:"left"`     // by how much more what is on hand when the days end is worth with it
	Less     []string     `json:"less"`     // batches, its own too, that come out smaller because something runs short, in words

	Swaps     []ask.Swap `json:"substitutes"`        // what the plates then hold that they did not
	Allergens []string   `json:"allergens"`          // of a special: all that are stated for what it is made of
	May       []string   `json:"may_contain"`        // of a special: what it may contain
	Unstated  []string   `json:"allergens_unstated"` // bought items behind a special without a statement

	Without []ask.Missing `json:"without,omitempty"` // what batches and dishes go without with it, as the file lets them, beyond the moves before it
	Breaks  []string      `json:"breaks"`            // bounds on strong lines that it breaks, or breaks further, in words
}

// MoreSold is how much more, or less, of a dish a move sells.
type MoreSold struct {
	Dish     string `json:"dish"`
	Portions int    `json:"portions"`
}

// FewerOn is a day on which a move sells fewer portions.
type FewerOn struct {
	Date     string `json:"date"` // 2006-01-02
	Portions int    `json:"portions"`
}

// OfferedAt is a service that a move is about, with the portions of a special.
type OfferedAt struct {
	Date     string `json:"date"` // 2006-01-02
	Service  string `json:"service"`
	Portions int    `json:"portions"` // of a special; 0 for other moves
}

// ExtraOrder is what must come on a day beyond what was ordered.
type ExtraOrder struct {
	Item     string  `json:"item"`
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
	Date     string  `json:"date"` // 2006-01-02
	Cost     float64 `json:"cost"`
	From     string  `json:"from"`     // the supplier; "" where the file does not say
	Price    float64 `json:"price"`    // for one Unit
	OrderBy  string  `json:"order_by"` // 2006-01-02 15:04; "" where the file does not say by when the supplier wants the order

	Many  string `json:"-"` // what several of the item are called, where it is counted
	Index int    `json:"-"` // of the item in the graph
	Day   int    `json:"-"` // of the period
	Other bool   `json:"-"` // from another than its usual supplier: the move itself says by when
	Crumb bool   `json:"-"` // so little of what the week has of the item that it is found without an order
}

// Together is several moves made in one go. What each says to do is what it takes when all are made; its figures are
// what it adds to those before it.
type Together struct {
	Moves    []Move       `json:"moves"`
	Gained   float64      `json:"gained"`
	Cash     float64      `json:"cash"`
	Portions int          `json:"portions"`
	Buy      []ExtraOrder `json:"buy"`  // for all of them
	Less     []string     `json:"less"` // after all of them
}

// MoveKinds name the kinds of moves, in the order in which several are made.
var MoveKinds = []string{"batch", "substitute", "ration", "smaller portion", "strike", "buy in", "special"}

const (
	mostMoves    = 8
	mostTogether = 4
)

// leastGain is what a move must bring, in money: less is rounding. leastShare is what a move that is said must bring
// of what the shocks cost: less is not worth a decision.
const (
	leastGain  = 0.005
	leastShare = 0.02
)

func (a *Answer) worthTelling() float64 { return max(leastGain, leastShare*math.Abs(a.Lost)) }

// Find finds what can still be done after shocks. Moves come from the chains of causes behind the dishes that fall
// short; each is played through the walk and judged by the contribution that it brings. A mishap is known when the
// lost batch's first output should have come, when the day of a short delivery or a spoiled lot begins, or when a
// late step should have started; a change that is foreseen, from the beginning. A shock that strikes several times is
// known when it first does; of several shocks, all must be known. progress, when given, is called now and then with
// the part of the work that is done. It stops with ctx. It is an error to ask without shocks.
func Find(ctx context.Context, w *week.Week, shocks []week.Shock, progress func(done float64)) (*Answer, error) {
	if len(shocks) == 0 {
		return nil, fmt.Errorf("nothing has gone wrong that could be rescued")
	}
	if err := w.Quick("a rescue plays hundreds of weeks"); err != nil {
		return nil, err
	}
	before, after, err := w.Compare(ctx, shocks...)
	if err != nil {
		return nil, err
	}
	worth, err := w.Worth()
	if err != nil {
		return nil, err
	}
	r := &rescuing{Week: w, before: before, worth: worth}
	for _, s := range shocks {
		r.known = max(r.known, w.KnownAt(after.Case, before.Outcome, s.Changes))
	}
	if r.stand, err = w.PlayCase(ctx, after.Case.Resume(after.Outcome, r.known, w.OrdersFrom(r.known)), before.Outcome); err != nil {
		return nil, err
	}
	r.look(shocks)
	a := &Answer{Known: r.Stamp(r.known), Before: before.Books.Contribution, Lost: before.Books.Contribution - r.stand.Books.Contribution, Moves: []Move{},
		Cautions: []string{}}
	all := r.find()
	if err := r.single(ctx, all, progress, a); err != nil {
		return nil, err
	}
	a.Nothing = r.nothing(all, a)
	a.Cautions = cautions(w.Code, a)
	return a, nil
}

// rescuing looks for moves in one week.
type rescuing struct {
	*week.Week
	before  *week.Played
	worth   *week.Worth
	known   int          // minute
	stand   *week.Played // the week with the shocks, as it stands when they are known
	vessels *week.Calendar

	lacks []lack
	// by slot: who come for what is on the menu, or was struck off by the shocks, less who went without before
	guests []float64
}

// lack is a dish that falls short at a service after the mishap is known, with the items behind it.
type lack struct {
	slot, dish int
	items      []int
}

// look finds what falls short because of the shocks.
func (r *rescuing) look(shocks []week.Shock) {
	wants := len(r.Dishes)
	sched := r.stand.Case.Schedule
	asks, asked := sched.Asked(), r.before.Case.Schedule.Asked()
	r.guests = make([]float64, len(sched.Slots))
	stops := map[[2]int]flow.Stop{}
	for _, st := range r.stand.Record.Stops {
		stops[[2]int{st.Slot, st.Want}] = st
	}
	for slot := range sched.Slots {
		for d := range r.Dishes {
			forecast, sold := asks[slot*wants+d], r.stand.Outcome.Served[slot*wants+d]
			was, had := asked[slot*wants+d], r.before.Outcome.Served[slot*wants+d]
			r.guests[slot] += forecast - (was - had)
			if sold >= forecast || forecast == was && sold >= had || sched.ServedAt(slot) < r.known {
				continue
			}
			l := lack{slot: slot, dish: d}
			if st, ok := stops[[2]int{slot, d}]; ok {
				for _, c := range r.stand.Case.Because(r.stand.Outcome, st) {
					if c.Item >= 0 && !slices.Contains(l.items, c.Item) {
						l.items = append(l.items, c.Item)
					}
				}
			}
			r.lacks = append(r.lacks, l)
		}
	}
	for _, s := range shocks {
		for _, c := range s.Changes {
			if ask, ok := c.(flow.Ask); ok && s.Kind == "strike" {
				for _, slot := range ask.Slots {
					r.guests[slot] += asked[slot*wants+ask.Want]
				}
			}
		}
	}
}

// missing is how many guests of a service after the mishap get nothing in an outcome.
func (r *rescuing) missing(o *flow.Outcome, slot int) float64 {
	if r.stand.Case.Schedule.ServedAt(slot) < r.known {
		return 0
	}
	n := r.guests[slot]
	for d := range r.Dishes {
		n -= o.Served[slot*len(r.Dishes)+d]
	}
	return max(n, 0)
}

// tried is a case with some moves, and what it came to. The outcome is a player's: valid until it plays again.
type tried struct {
	flow.Case
	out   *flow.Outcome
	books week.Books
}

// try plays a case.
func (r *rescuing) try(player *week.Player, c flow.Case) tried {
	out := player.Play(c, nil)
	return tried{c, out, r.worth.Books(c, out)}
}

// on plays moves, in the order of their kinds, on the week as it stands: what is bought in, or offered to those who
// get nothing, is fitted to all that is done besides.
func (r *rescuing) on(player *week.Player, moves ...*move) tried {
	c, _ := r.with(player, moves)
	return r.try(player, c)
}

// with is the week as it stands with moves, and how each was fitted.
func (r *rescuing) with(player *week.Player, moves []*move) (flow.Case, []fitted) {
	c, fits := r.stand.Case, make([]fitted, len(moves))
	for kind := range MoveKinds {
		for k, m := range moves {
			if int(m.kind) == kind {
				fits[k] = m.fit(r, player, c)
				c = c.With(fits[k].changes...)
			}
		}
	}
	for k, m := range moves { // once it is known what all of them take
		if m.kind == aBatch {
			c = c.With(r.supply(player, c, &fits[k], moves)...)
		}
	}
	return c, fits
}

// gain is the contribution that a case brings beyond the week as it stands; nothing where no more is sold for it.
func (r *rescuing) gain(t tried) float64 {
	if t.books.Sales <= r.stand.Books.Sales+leastGain {
		return 0
	}
	return t.books.Contribution - r.stand.Books.Contribution
}

// leastBatch is the part of a further batch that must come off for it to be worth lighting. Common practice, no source.
const leastBatch = 0.5

// comesOff tells whether a move does what it says: of a further batch there is enough to be worth lighting.
func (r *rescuing) comesOff(t tried, m *move) bool {
	if m.kind != aBatch {
		return true
	}
	for k := len(r.stand.Case.Schedule.Batches); k < len(t.Schedule.Batches); k++ {
		if b := t.Schedule.Batches[k]; b.Step == m.run.Step && b.Day == m.run.Day && b.Start == m.run.Start {
			return t.out.Ran[k].Batches >= leastBatch*b.Size
		}
	}
	return true
}

// single tries every move alone, and then together.
func (r *rescuing) single(ctx context.Context, all []*move, progress func(float64), a *Answer) error {
	part := func(from, share float64) func(float64) { // of the whole work
		if progress == nil {
			return nil
		}
		return func(done float64) { progress(from + share*done) }
	}
	err := r.Parallel(ctx, len(all), part(0, 1.0/mostTogether), func(player *week.Player, k int) {
		if t := r.on(player, all[k]); r.comesOff(t, all[k]) {
			all[k].gain = r.gain(t)
		}
	})
	if err != nil {
		return err
	}
	best := bestOfGroups(all, a.worthTelling())
	player := r.Player()
	for _, m := range best[:min(mostMoves, len(best))] {
		a.Moves = append(a.Moves, r.tell([]*move{m}, 0))
		r.widen(player, m, &a.Moves[len(a.Moves)-1])
	}
	if len(best) == 0 {
		return nil
	}
	chosen, total := []*move{best[0]}, best[0].gain
	for n := 1; n < mostTogether; n++ {
		sums := make([]float64, len(all))
		err := r.Parallel(ctx, len(all), part(float64(n)/mostTogether, 1.0/mostTogether), func(player *week.Player, k int) {
			if r.goTogether(all[k], chosen) {
				if t := r.on(player, append(slices.Clone(chosen), all[k])...); r.comesOff(t, all[k]) {
					sums[k] = r.gain(t)
				}
			}
		})
		if err != nil {
			return err
		}
		next := -1
		for k, sum := range sums {
			if sum > total+a.worthTelling() && (next < 0 || sum > sums[next]) {
				next = k
			}
		}
		if next < 0 {
			break
		}
		chosen, total = append(chosen, all[next]), sums[next]
	}
	if len(chosen) == 1 {
		return nil
	}
	a.Together = &Together{Gained: total}
	for k := range chosen {
		told := r.tell(chosen, k)
		told.Buy, told.Less = []ExtraOrder{}, []string{}
		a.Together.Moves = append(a.Together.Moves, told)
		a.Together.Cash += told.Cash
		a.Together.Portions += told.Portions
	}
	was, now := r.on(r.Player()), r.on(player, chosen...)
	a.Together.Buy, a.Together.Less = r.orders(was, now), r.less(was, now)
	slices.SortStableFunc(a.Together.Buy, func(a, b ExtraOrder) int { return cmp.Compare(a.Day, b.Day) })
	return nil
}

// bestOfGroups has the best move of each group that brings something worth telling, the best first.
func bestOfGroups(all []*move, least float64) (best []*move) {
	for _, m := range all {
		if m.gain < least {
			continue
		}
		k := slices.IndexFunc(best, func(b *move) bool { return b.group == m.group })
		switch {
		case k < 0:
			best = append(best, m)
		case m.gain > best[k].gain+leastGain:
			best[k] = m
		}
	}
	slices.SortStableFunc(best, func(a, b *move) int { return cmp.Compare(b.gain, a.gain) })
	return best
}

// tell puts move k of several into words, with what it adds to those before it.
func (r *rescuing) tell(moves []*move, k int) Move {
	m, player := moves[k], r.Player() // and one more, so that both outcomes last
	_, fits := r.with(player, moves)
	fit := fits[k]
	was, now := r.on(r.Player(), moves[:k]...), r.on(player, moves[:k+1]...)
	a := Move{Kind: MoveKinds[m.kind], What: fit.what, Gained: now.books.Contribution - was.books.Contribution,
		Cash: now.books.Spent() - was.books.Spent(), Dishes: []MoreSold{}, Services: []OfferedAt{}, Buy: []ExtraOrder{},
		Fewer: r.fewer(was, now), LeftOver: now.books.Stock - was.books.Stock, Less: r.less(was, now),
		Swaps: []ask.Swap{}, Allergens: []string{}, May: []string{}, Unstated: []string{}, Breaks: []string{}}
	for d, dish := range r.Dishes {
		more := 0.0
		for slot := range r.Sittings {
			more += now.out.Served[slot*len(r.Dishes)+d] - was.out.Served[slot*len(r.Dishes)+d]
		}
		if n := int(math.Round(more)); n != 0 {
			a.Dishes = append(a.Dishes, MoreSold{dish.Name, n})
			a.Portions += n
		}
	}
	slices.SortStableFunc(a.Dishes, func(x, y MoreSold) int { return cmp.Compare(y.Portions, x.Portions) })
	for _, at := range fit.at {
		sit := r.Sittings[at.slot]
		a.Services = append(a.Services, OfferedAt{r.Date(sit.Day).Format(kitchen.DateLayout), r.Services[sit.Service].Name,
			at.portions})
	}
	a.Buy = r.orders(was, now)
	a.By = r.Stamp(r.ordered(a.Buy, fit.by))
	a.Swaps = append(a.Swaps, ask.Swaps(r.Week, was.out, now.out)...)
	breaks := ask.SharesOf(r.Week, now.Case).Newly(ask.SharesOf(r.Week, was.Case))
	a.Breaks = append(a.Breaks, breaks.Sentences()...)
	a.Without = ask.Beyond(ask.GoesWithout(r.Week, now.Schedule, now.out, nil), ask.GoesWithout(r.Week, was.Schedule, was.out, nil))
	if m.kind == aSpecial {
		stated := r.Stated(r.Dishes[m.dish].Item)
		a.Allergens, a.May, a.Unstated = stated.Has, stated.May, stated.Unknown
	}
	return a
}

// fewer are the days that a move takes portions from.
func (r *rescuing) fewer(was, now tried) []FewerOn {
	by := make([]float64, r.Days)
	for slot, sit := range r.Sittings {
		for d := range r.Dishes {
			by[sit.Day] += was.out.Served[slot*len(r.Dishes)+d] - now.out.Served[slot*len(r.Dishes)+d]
		}
	}
	list := []FewerOn{}
	for day, n := range by {
		if n := int(math.Round(n)); n > 0 {
			list = append(list, FewerOn{r.Date(day).Format(kitchen.DateLayout), n})
		}
	}
	return list
}

// less tells of the batches that are smaller than they were before a move, or than it asks for.
func (r *rescuing) less(was, now tried) []string {
	list := []string{}
	for k, run := range now.Schedule.Batches {
		full, ran := run.Size, now.out.Ran[k]
		if k < len(was.out.Ran) {
			full = was.out.Ran[k].Batches
		}
		if run.Day < r.Days && ran.Batches < full*(1-ask.WorthTelling) && // less is not seen on a scale
			ran.Limit >= 0 {
			makes := "makes only " + kitchen.FormatPercent(math.Round(100*ran.Batches/full)/100)
			if ran.Batches < full*ask.WorthTelling {
				makes = "is not made"
			}
			list = append(list, fmt.Sprintf("%s, due %s, %s: not enough %s", r.Graph.Steps[run.Step].Name,
				r.Moment(ran.Start), makes, r.Graph.Items[ran.Limit].Name))
		}
	}
	return list
}

// orders is what must come beyond what came before, by cost.
func (r *rescuing) orders(was, now tried) []ExtraOrder {
	list := []ExtraOrder{}
	type key struct{ item, day int }
	had := map[key]float64{}
	for _, d := range was.out.Deliveries {
		had[key{d.Item, d.Day}] += d.Amount
	}
	for _, d := range now.out.Deliveries {
		more, it := d.Amount-had[key{d.Item, d.Day}], r.Graph.Items[d.Item]
		above, price := elsewhere(now.Case, d.Item, d.Day)
		before, _ := elsewhere(was.Case, d.Item, d.Day)
		other := price > 0
		cost := more*now.Flow.Price(d.Item) + above - before
		if more <= max(1e-6*d.Amount, dust) || cost == 0 { // a millionth is the rounding of sums
			continue
		}
		o := ExtraOrder{Item: it.Name, Quantity: more / it.Unit.Factor, Unit: it.Unit.Name, Date: r.Date(d.Day).Format(kitchen.DateLayout), Cost: cost,
			Many: it.Many, Index: d.Item, Day: d.Day, Other: other, Crumb: more < leastShare*(was.out.Opening[d.Item]+was.out.Delivered(d.Item))}
		if o.Price = now.Flow.Price(d.Item) * it.Unit.Factor; it.Role == graph.Bought {
			o.From = r.Bought[d.Item].From
		}
		if other {
			o.Price = price * it.Unit.Factor
		}
		for _, source := range r.Sources[d.Item] {
			if other && source.Price == price {
				o.From = source.From
			}
		}
		if s := r.SupplierNamed(o.From); s != nil && s.OrderBy != nil && (!other || r.comesOrdered(d.Item, o.From)) {
			o.OrderBy = r.Stamp(r.OrderBy(d.Day, o.From))
		}
		list = append(list, o)
	}
	slices.SortStableFunc(list, func(a, b ExtraOrder) int { return cmp.Compare(b.Cost, a.Cost) })
	return list
}

// elsewhere is what is asked for an item that comes from elsewhere on a day beyond its own price, and at what
// price for one base unit it is bought there; 0 where none is.
func elsewhere(c flow.Case, item, day int) (above, price float64) {
	for _, d := range c.Schedule.Deliveries {
		if d.Item == item && d.Day == day && d.Price > 0 {
			above, price = above+d.Amount*(d.Price-c.Flow.Price(item)), d.Price
		}
	}
	return above, price
}

// setDay tells whether an order that matters comes on a set day that has not begun when the mishap is known: then it
// must be given before.
func (r *rescuing) setDay(o ExtraOrder) bool {
	onDays := r.Graph.Items[o.Index].Role == graph.Bought && !r.stand.Case.Schedule.Daily(o.Index)
	return onDays && !o.Other && !o.Crumb && o.Day*1440 > r.known
}

// ordered is by when a move must be decided for its orders to come, at most by.
func (r *rescuing) ordered(list []ExtraOrder, by int) int {
	for _, o := range list {
		if r.setDay(o) || o.OrderBy != "" && !o.Other && !o.Crumb {
			by = min(by, r.OrderBy(o.Day, o.From))
		}
	}
	return by
}

// comesOrdered tells whether another supplier brings an item by order, and not within some minutes.
func (r *rescuing) comesOrdered(item int, from string) bool {
	return slices.ContainsFunc(r.Sources[item], func(s kitchen.Source) bool { return s.From == from && s.Within == 0 })
}

// widen finds the earliest start of a batch that does as well as the latest.
func (r *rescuing) widen(player *week.Player, m *move, told *Move) {
	if m.kind != aBatch {
		return
	}
	earliest := r.known
	for _, o := range told.Buy { // what comes for it on a set day must be there
		if r.setDay(o) && o.Day*1440 <= m.start && r.uses(m.run.Step, o.Index) {
			earliest = max(earliest, o.Day*1440)
		}
	}
	start := r.vessels.FreeSince(m.run.Step, m.start, earliest)
	for at := m.start - 1; at >= start; at -= 60 { // beside another work it begins with that
		if r.vessels.Refuses(m.run.Step, at/1440, at%1440, m.run.Batches) != "" {
			start = at + 1
		}
	}
	for ; start < m.start; start += 60 { // on the hour, as a chef would say it
		early := *m
		early.start, early.run.Day, early.run.Start = start, start/1440, start%1440
		if r.atWork(start) && r.gain(r.on(player, &early)) >= m.gain-leastGain {
			told.From = r.Stamp(start)
			return
		}
	}
}

// nothing says why no move saves anything.
func (r *rescuing) nothing(all []*move, a *Answer) string {
	if len(a.Moves) > 0 {
		return ""
	}
	missing := 0.0
	for slot := range r.Sittings {
		missing += r.missing(r.stand.Outcome, slot)
	}
	switch {
	case len(r.lacks) == 0 && missing == 0:
		return "nothing needs saving: no dish runs short after that"
	case len(all) == 0:
		return "nothing can be saved: there is nothing to try: no step could make what is short in time, the file names nobody else " +
			"who sells it, and no other dish uses it"
	}
	var kinds []string
	for k, kind := range MoveKinds {
		if slices.ContainsFunc(all, func(m *move) bool { return m.kind == moveKind(k) }) {
			kinds = append(kinds, kind)
		}
	}
	return fmt.Sprintf("nothing can be saved: none of what was tried earns more than it costs (%s)", strings.Join(kinds, ", "))
}

// cautions are what must be known about moves.
func cautions(code *kitchen.Code, a *Answer) []string {
	list := []string{}
	moves := slices.Clone(a.Moves)
	if a.Together != nil {
		moves = append(moves, a.Together.Moves...)
	}
	has := func(kind moveKind) bool {
		return slices.ContainsFunc(moves, func(m Move) bool { return m.Kind == MoveKinds[kind] })
	}
	if has(aBatch) {
		list = append(list,
			"a rushed batch is cooked through, cooled and held like any other"+cited(code)+"; local code comes first")
	}
	if has(aBuyIn) {
		list = append(list,
			"what you buy in has a maker, a date and allergens of its own: ask for them before you use it")
	}
	if slices.ContainsFunc(moves, func(m Move) bool { return len(m.Swaps) > 0 }) || has(aSpecial) {
		list = append(list,
			"check the allergens of a substitute or a special against the label and your local rules before you serve it; "+
				"only what the kitchen file states is known here")
	}
	return list
}

// cited are the sections of the kitchen's code on cooking, cooling and holding, in brackets; "" where it names none.
func cited(code *kitchen.Code) string {
	if sections := code.Heated(); len(sections) > 0 {
		return " (" + code.Cite(strings.Join(sections, ", ")) + ")"
	}
	return ""
}
