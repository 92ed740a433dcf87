package week_test

// A second walk, to hold the first against. It is written from what the documents say (go doc ./graph/flow and
// ./menu/week, kettletree help kitchen), as plainly as can be and without a thought for speed, and shares no code with
// kettletree/graph/flow beyond the words in which changes are asked for. It reckons in exact fractions, so that it has no
// tolerance anywhere: what the fast walk takes for enough, for whole or for used up is so.
//
// Its files: this one lays the days out and applies changes; referencestart_test.go says when steps work, in which order;
// referencewalk_test.go plays the days; referenceserve_test.go shares out what is scarce; referencewhole_test.go makes
// portions whole; referenceeither_test.go picks what a line is filled with where that is all one; referencecost_test.go says what things cost. reference_test.go holds the two walks together.

import (
	"math"
	"math/big"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

type number = *big.Rat

// exact is the number that somebody wrote: what lies behind nine decimals is the rounding of a conversion to binary.
func exact(x float64) number { return big.NewRat(int64(math.Round(x*1e9)), 1e9) }

func whole(n int) number           { return big.NewRat(int64(n), 1) }
func plus(a, b number) number      { return new(big.Rat).Add(a, b) }
func minus(a, b number) number     { return new(big.Rat).Sub(a, b) }
func times(a, b number) number     { return new(big.Rat).Mul(a, b) }
func over(a, b number) number      { return new(big.Rat).Quo(a, b) }
func lesser(a, b number) number    { return map[bool]number{true: a, false: b}[a.Cmp(b) <= 0] }
func greater(a, b number) number   { return map[bool]number{true: a, false: b}[a.Cmp(b) >= 0] }
func sumTo(sum *number, by number) { *sum = plus(*sum, by) }
func float(a number) float64       { f, _ := a.Float64(); return f }

func roundedDown(a number) number { return new(big.Rat).SetInt(new(big.Int).Div(a.Num(), a.Denom())) }
func roundedUp(a number) number {
	return minus(whole(0), roundedDown(minus(whole(0), a)))
}

// pack is what an item is bought in: its pack, or one piece of what is counted; nothing for any amount.
func (s *plain) pack(item int) number {
	switch b := s.Bought[item]; {
	case b.Pack > 0:
		return exact(b.Pack)
	case s.Graph.Items[item].Unit.Kind == measure.Count:
		return whole(1)
	}
	return whole(0)
}

func nothing(n int) []number {
	v := make([]number, n)
	for i := range v {
		v[i] = new(big.Rat)
	}
	return v
}

// plain is all that is due over some days.
type plain struct {
	*kitchen.Kitchen
	days      int
	from      int // minute of day 0
	sittings  []plainSitting
	runs      []plainRun
	guests    [][]int // by sitting, by dish
	arrives   [][]bool
	notBefore []int // by item: the minute before which none of it comes in
	onHand    []plainLot
	pots      []plainPot
	ordered   []plainDelivery // what comes in any case
	short     []bool          // by item: nothing more can be had of it
	knownAt   int             // the minute from which on more can only be had on days
	moreFrom  []int           // by item: from this one on
	spoils    []flow.Spoil
	burnt     []flow.Lose
	gives     [][]number // by step, by output: of one batch
	price     []float64  // by item
	madeFor   []float64  // by item: what a base unit costs to make, where the cook does not mind which; nil where nobody asks
	rankFirst bool       // who goes short: one rank after another
	moves
	after func(*walk) // is called after each event; nil for none
}

type plainSitting struct {
	day, start, end int
	closed, idle    bool  // nobody comes; nobody works
	seats           int   // guests who find one; 0 for any number
	had             []int // by dish: portions that went out before the days go on
}

// plainPot is a batch under way when the days begin.
type plainPot struct {
	step, day, start int
	takes, gives     []plainPart
	lost             number
	late             int
	yields           []number // by what it gives
}

// plainPart is what still goes into a pot, or comes out of it.
type plainPart struct {
	item, minute int
	amount       number
}

type plainRun struct {
	step, day int
	clock     int // minutes after midnight; below 0 without one
	size      number
	lost      number
	unlit     bool
	late      int
	yields    []number // by output
}

type plainLot struct {
	item   int
	amount number
	made   int
}

type plainDelivery struct {
	item, day     int
	amount, asked number
}

// layOut lays a kitchen's standing week over a period.
func layOut(k *kitchen.Kitchen, p week.Period, rankFirst bool) *plain {
	s := &plain{Kitchen: k, days: p.Days, rankFirst: rankFirst, short: make([]bool, len(k.Graph.Items)),
		moreFrom: make([]int, len(k.Graph.Items)), notBefore: make([]int, len(k.Graph.Items)), arrives: make([][]bool, len(k.Graph.Items))}
	date := func(day int) time.Time { return p.From.AddDate(0, 0, day) }
	for day := range p.Days {
		for _, meal := range k.MealsOn(date(day)) {
			s.sittings = append(s.sittings, plainSitting{day: day, start: day*1440 + meal.From, end: day*1440 + meal.To,
				seats: k.SeatsOn(date(day), meal.Service).Guests(), had: make([]int, len(k.Dishes))})
			guests := make([]int, len(k.Dishes))
			for d, dish := range k.Dishes {
				if sells := dish.Sells[date(day).Weekday()]; meal.Service < len(sells) && !dish.Special {
					if guests[d] = int(math.Round(meal.Factor * float64(sells[meal.Service]))); dish.AtMost > 0 {
						guests[d] = min(guests[d], dish.AtMost)
					}
				}
			}
			s.guests = append(s.guests, guests)
		}
		if len(k.MealsOn(date(day))) == 0 { // work that waits for a service is done at noon, if anybody works
			s.sittings = append(s.sittings, plainSitting{day: day, start: day*1440 + 12*60, end: day*1440 + 12*60, closed: true,
				idle: !k.WorksOn(date(day))})
			s.guests = append(s.guests, make([]int, len(k.Dishes)))
		}
	}
	for i := range k.Graph.Items {
		for day := range p.Days {
			s.arrives[i] = append(s.arrives[i], i < len(k.Bought) && k.Bought[i].Arrives[date(day).Weekday()] && k.WorksOn(date(day)))
		}
	}
	// In the week behind the last day nothing is cooked, but a seed is kept for what would be.
	for day := range p.Days + 7 {
		for step, card := range k.Steps {
			if n := card.Batches[date(day).Weekday()]; n > 0 && k.WorksOn(date(day)) {
				s.runs = append(s.runs, plainRun{step: step, day: day, clock: card.Starts, size: exact(n), lost: whole(0),
					yields: slices.Repeat([]number{whole(1)}, len(k.Graph.Steps[step].Gives))})
			}
		}
	}
	for _, lot := range p.OnHand {
		s.onHand = append(s.onHand, plainLot{lot.Item, exact(lot.Amount), lot.Made})
	}
	for _, st := range k.Graph.Steps {
		var gives []number
		for _, out := range st.Gives {
			gives = append(gives, exact(out.Amount))
		}
		s.gives = append(s.gives, gives)
	}
	s.price = k.Terms.Price
	s.settle()
	return s
}

// goingOn is a copy that goes on from a minute of day 0, with what a schedule tells of that.
func (s *plain) goingOn(as *flow.Schedule) *plain {
	c := *s
	c.from, c.knownAt, c.notBefore = as.From, as.From, as.NotBefore
	parts := func(lines []flow.PotLine) (list []plainPart) {
		for _, line := range lines {
			list = append(list, plainPart{line.Item, line.Minute, exact(line.Amount)})
		}
		return list
	}
	c.sittings = slices.Clone(s.sittings)
	for k := range c.sittings {
		for d := range c.sittings[k].had {
			if as.House != nil && d < len(as.House.Had) && k < len(as.House.Had[d]) {
				had := slices.Clone(c.sittings[k].had)
				had[d], c.sittings[k].had = int(as.House.Had[d][k]), had
			}
		}
	}
	for _, pot := range as.Pots {
		c.pots = append(c.pots, plainPot{step: pot.Step, day: pot.Day, start: pot.Start, takes: parts(pot.Takes), gives: parts(pot.Gives),
			lost: whole(0), yields: slices.Repeat([]number{whole(1)}, len(pot.Gives))})
	}
	return &c
}

// with is a copy with changes.
func (s *plain) with(changes []flow.Shock) *plain {
	c := *s
	c.runs, c.spoils, c.burnt = slices.Clone(s.runs), slices.Clone(s.spoils), slices.Clone(s.burnt)
	c.ordered, c.short, c.pots = slices.Clone(s.ordered), slices.Clone(s.short), slices.Clone(s.pots)
	c.guests, c.gives = slices.Clone(s.guests), slices.Clone(s.gives)
	for _, change := range changes {
		c.change(change)
	}
	c.price = s.prices(changes)
	c.settle()
	return &c
}

func (s *plain) change(change flow.Shock) {
	strikes := func(day, on int) bool { return day == flow.EveryDay || day == on }
	of := func(step, day int, do func(run *plainRun)) {
		for r := range s.runs {
			if s.runs[r].step == step && strikes(day, s.runs[r].day) {
				do(&s.runs[r])
			}
		}
	}
	pots := func(step, day int, do func(pot *plainPot)) {
		for k := range s.pots {
			if s.pots[k].step == step && strikes(day, s.pots[k].day) {
				do(&s.pots[k])
			}
		}
	}
	switch c := change.(type) {
	case flow.Lose:
		pots(c.Step, c.Day, func(pot *plainPot) { pot.lost = lostToo(pot.lost, c.Share) })
		of(c.Step, c.Day, func(run *plainRun) {
			run.lost = lostToo(run.lost, c.Share)
			if c.Unlit && run.lost.Cmp(whole(1)) == 0 { // nobody lights what is not worth it
				run.unlit = true
			}
		})
		if s.Graph.Steps[c.Step].Mode == graph.AllOf {
			s.burnt = append(s.burnt, c)
		}
	case flow.Yield:
		pots(c.Step, c.Day, func(pot *plainPot) {
			pot.yields = slices.Clone(pot.yields)
			for k, part := range pot.gives {
				if part.item == s.Graph.Steps[c.Step].Gives[c.Output].Item {
					pot.yields[k] = times(pot.yields[k], exact(c.Factor))
				}
			}
		})
		if c.Day == flow.EveryDay {
			s.gives[c.Step] = slices.Clone(s.gives[c.Step])
			s.gives[c.Step][c.Output] = times(s.gives[c.Step][c.Output], exact(c.Factor))
			return
		}
		of(c.Step, c.Day, func(run *plainRun) {
			run.yields = slices.Clone(run.yields)
			run.yields[c.Output] = times(run.yields[c.Output], exact(c.Factor))
		})
	case flow.Delay:
		pots(c.Step, c.Day, func(pot *plainPot) { pot.late += c.Minutes })
		of(c.Step, c.Day, func(run *plainRun) { run.late += c.Minutes })
	case flow.Scarce:
		if c.Share == 0 && c.Amount == 0 {
			return
		}
		s.short[c.Item] = true
		rest := exact(c.Amount)
		for n := range s.ordered {
			if d := &s.ordered[n]; d.item == c.Item && strikes(c.Day, d.day) {
				less := lesser(plus(times(d.amount, exact(c.Share)), rest), d.amount)
				rest = greater(minus(rest, less), whole(0))
				if d.amount = minus(d.amount, less); less.Sign() > 0 && s.Graph.Items[c.Item].Unit.Kind == measure.Count {
					d.amount = roundedDown(d.amount)
				}
			}
		}
	case flow.Spoil:
		s.spoils = append(s.spoils, c)
	case flow.Ask:
		for _, slot := range c.Slots {
			s.guests[slot] = slices.Clone(s.guests[slot])
			if n := float64(s.guests[slot][c.Want]); n > 0 || c.More > 0 {
				s.guests[slot][c.Want] = max(0, int(math.Round(n*c.Factor+c.More)))
			}
		}
	case flow.Reprice: // goods come at any price
	default:
		panic("mistake: a change that the reference does not know")
	}
}

// lostToo is the share that is lost when another one of what was left goes too.
func lostToo(lost number, share float64) number {
	return minus(whole(1), times(minus(whole(1), lost), minus(whole(1), exact(share))))
}

// together makes one delivery of all that comes of an item on a day: that is what falls short.
func together(list []plainDelivery) (days []plainDelivery) {
	for _, d := range list {
		at := slices.IndexFunc(days, func(o plainDelivery) bool { return o.item == d.item && o.day == d.day })
		if at < 0 {
			days = append(days, d)
			continue
		}
		days[at].amount, days[at].asked = plus(days[at].amount, d.amount), plus(days[at].asked, d.asked)
	}
	return days
}

// whatIf plays what the week comes to with changes that are foreseen, by which the week is bought for, and with mishaps,
// which find it bought for.
func (s *plain) whatIf(foreseen, mishaps []flow.Shock) *plainOutcome {
	is := s.with(foreseen)
	bought := is.play()
	if is.ordered = together(bought.deliveries); len(mishaps) == 0 {
		return is.play()
	}
	struck := is.with(mishaps)
	struck.knownAt = struck.firstKnown(bought, mishaps)
	for i := range struck.moreFrom {
		// What can come on every day can still come on the day itself; else, only days that begin from then on are in time.
		if struck.moreFrom[i] = (struck.knownAt + 1439) / 1440; i < len(s.Bought) && s.Bought[i].Arrives == kitchen.EveryDay {
			struck.moreFrom[i] = struck.knownAt / 1440
		}
	}
	return struck.play()
}

// firstKnown is when the first of some mishaps is known, by the times at which all would have happened without them.
func (s *plain) firstKnown(bought *plainOutcome, mishaps []flow.Shock) int {
	first := math.MaxInt
	known := func(minute int) { first = min(first, minute) }
	// A batch shows what became of it when something of it is out, that it is late when it should have begun; a step without set days,
	// when it works.
	shows := func(step, day int, at func(ran plainRan) int) {
		for r, run := range s.runs {
			if run.step == step && run.day < s.days && (day == flow.EveryDay || day == run.day) {
				known(at(bought.runs[r]))
			}
		}
		for _, sit := range s.sittings {
			if s.Graph.Steps[step].Mode != graph.OnDays && (day == flow.EveryDay || day == sit.day) {
				known(sit.start)
			}
		}
	}
	pots := func(step, day int, does func(pot plainPot)) {
		for _, pot := range s.pots {
			if pot.step == step && (day == flow.EveryDay || day == pot.day) {
				does(pot)
			}
		}
	}
	for _, mishap := range mishaps {
		switch m := mishap.(type) {
		case flow.Lose:
			pots(m.Step, m.Day, func(pot plainPot) {
				for _, part := range pot.gives {
					known(part.minute + pot.late)
				}
			})
			out := math.MaxInt
			for _, gives := range s.Graph.Steps[m.Step].Gives {
				out = min(out, gives.OutAt)
			}
			shows(m.Step, m.Day, func(ran plainRan) int { return ran.start + out })
		case flow.Yield:
			pots(m.Step, m.Day, func(pot plainPot) {
				for _, part := range pot.gives {
					if part.item == s.Graph.Steps[m.Step].Gives[m.Output].Item {
						known(part.minute + pot.late)
					}
				}
			})
			shows(m.Step, m.Day, func(ran plainRan) int { return ran.start + s.Graph.Steps[m.Step].Gives[m.Output].OutAt })
		case flow.Delay:
			pots(m.Step, m.Day, func(pot plainPot) { known(pot.start) })
			shows(m.Step, m.Day, func(ran plainRan) int { return ran.due })
		case flow.Spoil:
			known(m.Day * 1440)
		case flow.Scarce:
			for _, d := range s.ordered {
				if d.item == m.Item && d.amount.Cmp(d.asked) < 0 && (m.Day == flow.EveryDay || m.Day == d.day) {
					known(d.day * 1440)
				}
			}
		}
	}
	if first == math.MaxInt {
		return s.from
	}
	return max(first, s.from)
}
