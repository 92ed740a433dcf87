package flow

// Laws that hold in any kitchen, tried on random ones.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"kettletree/graph"
)

// anyKitchen says what a random kitchen may have.
type anyKitchen struct {
	batches     bool // steps on set days and steps that take all, over several days and services
	swaps       bool // substitutes
	optional    bool
	carried     bool // perpetual stocks
	manyMakers  bool // items that several steps give
	mishaps     bool // losses, delays, yields, spoilt lots, short deliveries
	fractions   bool
	ranks       bool
	underWay    bool // a walk from a minute, with batches under way and what comes no earlier
	sharesLater bool // bills shared by final value and even margin
}

var everything = anyKitchen{batches: true, swaps: true, optional: true, carried: true, manyMakers: true, mishaps: true, ranks: true, underWay: true}

// random is a drawn kitchen, before it is compiled.
type random struct {
	items []graph.Item
	steps []graph.Step
	terms Terms
	sched Schedule
	rule  Ration
}

func (r *random) compile(t require.TestingT) Case {
	g, err := graph.New(r.items, r.steps)
	require.NoError(t, err)
	f, err := Compile(g, r.terms)
	require.NoError(t, err)
	return Case{f, &r.sched}
}

func (r *random) item(t *rapid.T, role graph.Role) int {
	name := fmt.Sprintf("%c%d", "bms"[role], len(r.items))
	r.items = append(r.items, graph.Item{Name: name, Role: role, Unit: gram})
	price, worth := 0.0, math.NaN()
	switch role {
	case graph.Bought:
		price = float64(rapid.IntRange(0, 9).Draw(t, "price"))
	case graph.Sold:
		price = float64(rapid.IntRange(1, 30).Draw(t, "menu price"))
	case graph.Made:
		if rapid.Bool().Draw(t, "has a worth") {
			worth = float64(rapid.IntRange(0, 5).Draw(t, "worth"))
		}
	}
	r.terms.Price, r.terms.Worth = append(r.terms.Price, price), append(r.terms.Worth, worth)
	r.terms.Keeps = append(r.terms.Keeps, rapid.IntRange(0, 3).Draw(t, "keeps"))
	pack := 0.0
	if role == graph.Bought {
		pack = rapid.SampledFrom([]float64{0, 0, 1, 2.5, 10}).Draw(t, "pack")
	}
	r.terms.Pack = append(r.terms.Pack, pack)
	return len(r.items) - 1
}

var amounts = rapid.SampledFrom([]float64{0.25, 0.3, 0.5, 1, 1.7, 2, 3})

// lines draws what a step uses, out of the items below a number; no item stands on two lines.
func (k anyKitchen) lines(t *rapid.T, below, most int) (lines []graph.Line) {
	free := rapid.Permutation(upTo(below)).Draw(t, "takes")
	take := func() graph.Choice {
		c := graph.Choice{Item: free[0], Amount: amounts.Draw(t, "amount")}
		free = free[1:]
		return c
	}
	for range rapid.IntRange(1, most).Draw(t, "lines") {
		if len(free) == 0 {
			break
		}
		l := graph.Line{Choices: []graph.Choice{take()}}
		if k.swaps && len(free) > 0 && rapid.IntRange(0, 3).Draw(t, "swap") == 0 {
			l.Choices = append(l.Choices, take())
		}
		l.Optional = k.optional && len(lines) > 0 && rapid.IntRange(0, 3).Draw(t, "optional") == 0
		lines = append(lines, l)
	}
	return lines
}

func upTo(n int) (v []int) {
	for i := range n {
		v = append(v, i)
	}
	return v
}

func (k anyKitchen) draw(t *rapid.T) *random {
	r := &random{}
	for range rapid.IntRange(2, 4).Draw(t, "bought") {
		r.item(t, graph.Bought)
	}
	rules := []Rule{ByWorth, ByWeight, ByMain}
	if k.sharesLater {
		rules = append(rules, ByFinalValue, ByEvenMargin)
	}
	close := func(st graph.Step) {
		st.Name = fmt.Sprintf("step %d", len(r.steps))
		r.steps = append(r.steps, st)
		r.terms.Cost = append(r.terms.Cost, float64(rapid.IntRange(0, 9).Draw(t, "labour")))
		r.terms.Share = append(r.terms.Share, rapid.SampledFrom(rules).Draw(t, "rule"))
	}
	for range rapid.IntRange(1, 6).Draw(t, "steps") {
		below := len(r.items)
		st := graph.Step{Mode: graph.ToOrder, Takes: k.lines(t, below, 3)}
		if k.batches {
			st.Mode = rapid.SampledFrom([]graph.Mode{graph.OnDays, graph.OnDays, graph.AllOf, graph.ToOrder}).Draw(t, "mode")
		}
		if first := st.Takes[0]; st.Mode == graph.AllOf && (len(first.Choices) > 1 || r.items[first.Choices[0].Item].Role == graph.Bought) {
			st.Mode = graph.OnDays // such a step takes all of one made thing
		}
		again := -1
		for range rapid.IntRange(1, 2).Draw(t, "outputs") {
			out := graph.Output{Amount: amounts.Draw(t, "gives")}
			if st.Mode == graph.OnDays {
				out.OutAt = rapid.SampledFrom([]int{0, 0, 180, 600}).Draw(t, "out at")
			}
			above := slices.IndexFunc(r.items, func(it graph.Item) bool { return it.Role == graph.Made })
			if k.manyMakers && above >= 0 && above < below && again < 0 && st.Mode == graph.OnDays && rapid.IntRange(0, 3).Draw(t, "again") == 0 {
				again = rapid.IntRange(above, below-1).Draw(t, "gives again")
				out.Item = again
			} else {
				out.Item = r.item(t, graph.Made)
			}
			st.Gives = append(st.Gives, out)
		}
		if again >= 0 { // it must not take what comes of what it gives
			st.Takes = k.lines(t, again, 3)
		}
		if o := st.Gives[0]; k.carried && st.Mode == graph.OnDays && again < 0 && rapid.IntRange(0, 2).Draw(t, "carried") == 0 {
			st.Takes = append(st.Takes, graph.Line{Carried: true, Choices: []graph.Choice{{Item: o.Item, Amount: o.Amount / 4}}})
		}
		close(st)
	}
	stock := len(r.items)
	s := &r.sched
	for range rapid.IntRange(1, 4).Draw(t, "dishes") {
		dish := r.item(t, graph.Sold)
		close(graph.Step{Mode: graph.ToOrder, Takes: k.lines(t, stock, 3), Gives: []graph.Output{{Item: dish, Amount: 1}}})
		s.Wants = append(s.Wants, Want{Item: dish})
		if k.ranks {
			s.Wants[len(s.Wants)-1].Rank = rapid.IntRange(0, 2).Draw(t, "rank")
		}
	}
	k.schedule(t, r, stock)
	return r
}

// schedule draws what happens to the items below stock.
func (k anyKitchen) schedule(t *rapid.T, r *random, stock int) {
	s := &r.sched
	s.Days = 1
	if k.batches {
		s.Days = rapid.IntRange(1, 3).Draw(t, "days")
	}
	s.Fractions = k.fractions
	s.Arrives = make([][]bool, len(r.items))
	for i := range r.items {
		if r.items[i].Role == graph.Bought && rapid.Bool().Draw(t, "set arrivals") {
			s.Arrives[i] = rapid.SliceOfN(rapid.Bool(), s.Days, s.Days).Draw(t, "arrives")
		}
	}
	for d := range s.Days {
		slot := Slot{Day: d, Start: d*1440 + 690, End: d*1440 + 870, Closed: k.batches && rapid.IntRange(0, 5).Draw(t, "closed") == 0}
		s.Slots = append(s.Slots, slot)
		if k.batches && !slot.Closed && rapid.Bool().Draw(t, "dinner") {
			s.Slots = append(s.Slots, Slot{Day: d, Start: d*1440 + 1020, End: d*1440 + 1260})
		}
	}
	for w := range s.Wants {
		for _, slot := range s.Slots {
			n := rapid.IntRange(0, 12).Draw(t, "forecast")
			if slot.Closed {
				n = 0
			}
			s.Wants[w].Forecast = append(s.Wants[w].Forecast, float64(n))
		}
	}
	for i := range stock {
		for range rapid.IntRange(0, 2).Draw(t, "lots") {
			s.OnHand = append(s.OnHand, Lot{Item: i, Amount: rapid.Float64Range(0.1, 20).Draw(t, "on hand"), Made: -rapid.IntRange(0, 3).Draw(t, "age")})
		}
	}
	odd := func(name string) bool { return k.mishaps && rapid.IntRange(0, 5).Draw(t, name) == 0 }
	for step, st := range r.steps {
		if st.Mode == graph.AllOf && odd("burnt") {
			s.Burnt = append(s.Burnt, Burnt{Step: step, Day: 0, Share: 0.5})
		}
		for d := range s.Days + 1 {
			if st.Mode != graph.OnDays || rapid.IntRange(0, 2).Draw(t, "batches") == 0 {
				continue
			}
			run := Batch{Step: step, Day: d, Start: Untimed, Size: float64(rapid.IntRange(1, 4).Draw(t, "batches"))}
			if rapid.Bool().Draw(t, "clock") {
				run.Start = rapid.SampledFrom([]int{300, 690, 900, 1350}).Draw(t, "start")
			}
			if odd("late") {
				run.Late = rapid.SampledFrom([]int{60, 400, 2000}).Draw(t, "minutes")
			}
			if odd("lost") {
				run.Lost = rapid.SampledFrom([]float64{0.5, 1}).Draw(t, "share lost")
				run.Unlit = run.Lost == 1 && rapid.Bool().Draw(t, "before it is lit")
			}
			if odd("yields") {
				run.Yields = slices.Repeat([]float64{0.8}, len(st.Gives))
			}
			s.Batches = append(s.Batches, run)
		}
	}
	for i := range stock {
		if odd("spoilt") {
			s.Spoils = append(s.Spoils, Spoil{Item: i, Day: rapid.IntRange(0, s.Days-1).Draw(t, "day")})
		}
		if r.items[i].Role == graph.Bought && odd("short") {
			s.Deliveries = append(s.Deliveries, Delivery{Item: i, Day: rapid.IntRange(0, s.Days-1).Draw(t, "day"), Amount: 4, Ordered: 9})
			if s.Short == nil {
				s.Short = make([]bool, len(r.items))
			}
			s.Short[i] = true
		}
	}
	if k.underWay && rapid.Bool().Draw(t, "under way") {
		k.goOn(t, r, stock)
	}
	if k.ranks && rapid.Bool().Draw(t, "first") {
		r.rule = First
	}
}

// goOn draws what is under way of the items below stock.
func (k anyKitchen) goOn(t *rapid.T, r *random, stock int) {
	s := &r.sched
	s.From = rapid.SampledFrom([]int{0, 1, 300, 700, 1000, 1438}).Draw(t, "from")
	lines := func(what string, from, to int) (list []PotLine) {
		for range rapid.IntRange(0, 2).Draw(t, what) {
			l := PotLine{Item: rapid.IntRange(from, to-1).Draw(t, "item"), Amount: amounts.Draw(t, "amount"),
				Minute: s.From + rapid.SampledFrom([]int{-700, -1, 0, 60, 400, 900, 3000}).Draw(t, "minute")}
			if !slices.ContainsFunc(list, func(o PotLine) bool { return o.Item == l.Item }) {
				list = append(list, l)
			}
		}
		return list
	}
	for step, st := range r.steps {
		if st.Mode != graph.OnDays || !rapid.Bool().Draw(t, "pot") {
			continue
		}
		bought := slices.IndexFunc(r.items, func(it graph.Item) bool { return it.Role != graph.Bought })
		pot := Pot{Step: step, Day: -rapid.IntRange(0, 2).Draw(t, "began"), Batches: 1, Takes: lines("still takes", 0, stock)}
		pot.Start = pot.Day*1440 + 60
		pot.Gives = lines("still gives", bought, stock)
		if len(pot.Gives) == 1 && rapid.Bool().Draw(t, "by the card") {
			pot.Gives[0].Item = st.Gives[0].Item
		}
		if k.mishaps {
			pot.Lost = rapid.SampledFrom([]float64{0, 0, 0.5, 1}).Draw(t, "lost")
			pot.Late = rapid.SampledFrom([]int{0, 0, 90, 2000}).Draw(t, "late")
			if rapid.Bool().Draw(t, "yields") {
				pot.Yields = slices.Repeat([]float64{rapid.SampledFrom([]float64{0, 0.8, 1.25}).Draw(t, "yield")}, len(pot.Gives))
			}
		}
		s.Pots = append(s.Pots, pot)
	}
	for i := range r.items {
		at := 0
		if r.items[i].Role == graph.Bought {
			at = rapid.SampledFrom([]int{0, 0, 400, 1000, 1440, 2000}).Draw(t, "not before")
		}
		s.NotBefore = append(s.NotBefore, at)
	}
	for i := range r.items {
		if r.items[i].Role == graph.Bought && rapid.IntRange(0, 5).Draw(t, "due") == 0 {
			s.Deliveries = append(s.Deliveries, Delivery{Item: i, Day: rapid.IntRange(0, s.Days-1).Draw(t, "day"), Amount: 4, Ordered: 4})
		}
	}
}

// portionsOf is what of an item went out as portions.
func portionsOf(c Case, o *Outcome, item int) (portions float64) {
	for w, want := range c.Schedule.Wants {
		if want.Item == item {
			for slot := range c.Schedule.Slots {
				portions += o.Served[slot*len(c.Schedule.Wants)+w]
			}
		}
	}
	return portions
}

// money is what portions bring, and what deliveries and batches cost.
func money(c Case, o *Outcome) (sales, spent float64) {
	terms := c.Flow.Terms()
	for _, want := range c.Schedule.Wants {
		sales += portionsOf(c, o, want.Item) * terms.Price[want.Item]
	}
	for _, d := range o.Deliveries {
		spent += d.Amount * terms.Price[d.Item]
	}
	for s, batches := range o.Batches {
		spent += batches * terms.Cost[s]
	}
	return sales, spent
}

func usedOf(c Case, o *Outcome, item int) (used float64) {
	for choice, i := range c.Flow.net.takes {
		if int(i) == item {
			used += o.Used[choice]
		}
	}
	c.Schedule.eachPutIn(o, func(_ *Pot, of int, amount float64) {
		if of == item {
			used += amount
		}
	})
	return used
}

// No item is overdrawn: all of it that comes goes somewhere, and what a step takes stands to its batches as its recipe says.
func TestNothingComesFromNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		c := r.compile(t)
		o := c.Flow.Walk(c.Schedule, r.rule, nil)
		for i, it := range r.items {
			in := o.Opening[i] + o.Made[i]
			for _, d := range o.Deliveries {
				if d.Item == i {
					in += d.Amount
				}
			}
			out := usedOf(c, o, i) + o.Binned[i] + o.Left[i] + portionsOf(c, o, i)
			require.InDelta(t, in, out, 1e-6*(1+in), it.Name)
			for _, x := range []float64{o.Opening[i], o.Opening[i] + o.Made[i], o.Binned[i], o.Left[i], o.Lost[i]} {
				require.GreaterOrEqual(t, x, 0.0, it.Name)
				require.False(t, math.IsNaN(x) || math.IsInf(x, 0), it.Name)
			}
		}
		for s, st := range r.steps {
			for l, line := range st.Takes {
				batches := 0.0
				for choice, ch := range line.Choices {
					batches += o.Used[c.Flow.Choice(s, l, choice)] / ch.Amount
				}
				if line.Optional {
					require.LessOrEqual(t, batches, o.Batches[s]+1e-6*(1+o.Batches[s]), st.Name)
				} else {
					require.InDelta(t, o.Batches[s], batches, 1e-6*(1+o.Batches[s]), "%s, line %d", st.Name, l)
				}
			}
		}
		for k, ran := range o.Ran {
			require.LessOrEqual(t, ran.Batches, c.Schedule.Batches[k].Size)
			require.GreaterOrEqual(t, ran.Start, ran.Due)
		}
	})
}

func TestServedIsWholeAndWithinForecast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		c := r.compile(t)
		o := c.Flow.Walk(c.Schedule, r.rule, nil)
		for w, want := range c.Schedule.Wants {
			for slot := range c.Schedule.Slots {
				served := o.Served[slot*len(c.Schedule.Wants)+w]
				require.Equal(t, math.Trunc(served), served)
				require.LessOrEqual(t, served, want.Forecast[slot])
				require.GreaterOrEqual(t, served, 0.0)
			}
		}
	})
}

// What a record tells adds up to the outcome, and, played again lot by lot, nothing is used past its day and what expires
// is what no longer keeps.
func TestRecordTellsTheWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		c := r.compile(t)
		rec := &Record{Movements: true}
		o := c.Flow.Walk(c.Schedule, r.rule, rec)
		require.Equal(t, c.Flow.Walk(c.Schedule, r.rule, nil), o, "to the last bit")
		for i, it := range r.items {
			if it.Role == graph.Sold {
				continue
			}
			var mine []Entry
			for _, e := range rec.Entries {
				if e.Item == i {
					require.Positive(t, e.Amount)
					mine = append(mine, e)
				}
			}
			binned, left := replay(t, r, i, mine, rec.Lots)
			require.InDelta(t, o.Binned[i], binned, 1e-6*(1+binned), it.Name)
			require.InDelta(t, o.Left[i], left+inPots(r, o, i), 1e-6*(1+left), it.Name)
		}
		for _, st := range rec.Stops {
			require.NotEmpty(t, st.Items)
			require.LessOrEqual(t, st.Share, 1.0)
			require.NotEmpty(t, c.Because(o, st))
		}
	})
}

// The lots of a record, counted on from the record alone: what a movement draws is there, is of its item and still keeps,
// and is the oldest there is; the parts add up to the movement; and what is left is what the walk leaves.
func TestRecordFollowsLots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		c := r.compile(t)
		rec := &Record{Movements: true}
		o := c.Flow.Walk(c.Schedule, r.rule, rec)
		left, made := make([]float64, len(rec.Lots)), make([]int, len(r.items))
		for k, l := range rec.Lots {
			if made[l.Item] = math.MinInt; l.Origin == OnHand {
				left[k] = l.Amount
			}
		}
		for n, e := range rec.Entries {
			if r.items[e.Item].Role == graph.Sold || e.What == Failed {
				require.Empty(t, e.Lots)
				continue
			}
			sum := 0.0
			for _, p := range e.Lots {
				l := rec.Lots[p.Lot]
				require.Equal(t, e.Item, l.Item)
				require.Positive(t, p.Amount)
				if sum += p.Amount; e.What == Arrived || e.What == Came {
					require.Equal(t, Lot{Item: e.Item, Amount: e.Amount, Made: l.Made, At: e.At, Step: e.Step, Batch: l.Batch, Pot: e.Pot,
						Origin: map[What]Origin{Arrived: Delivered, Came: Given}[e.What]}, l)
					if l.Made != e.At/1440 { // bought as it is needed, of an earlier delivery
						require.True(t, l.Origin == Delivered && l.Made < e.At/1440)
					}
					if l.Batch >= 0 {
						require.Equal(t, l.Step, c.Schedule.Batches[l.Batch].Step)
					}
					if l.Pot >= 0 {
						require.Equal(t, l.Step, c.Schedule.Pots[l.Pot].Step)
					}
					left[p.Lot] = p.Amount
					continue
				}
				left[p.Lot] -= p.Amount
				require.GreaterOrEqual(t, left[p.Lot], -1e-6*l.Amount-1e-9, "%s: of what had not come, or was gone", r.items[e.Item].Name)
				if p.Amount < 1e-9 {
					continue // a crumb that the sums of what went before left
				}
				if l.Origin != Delivered || l.Made == l.At/1440 { // else it was bought when nothing else was left, of an earlier delivery
					require.GreaterOrEqual(t, l.Made, made[e.Item], "an older lot after a younger one")
					made[e.Item] = l.Made
				}
				keeps, until := r.terms.Keeps[e.Item], l.Made+r.terms.Keeps[e.Item]-1
				switch e.What {
				case Took:
					require.True(t, keeps == 0 || until >= e.At/1440, "%s of day %d is taken at %d", r.items[e.Item].Name, l.Made, e.At)
				case Expired:
					require.Less(t, until, e.At/1440, "%s of day %d is binned at %d", r.items[e.Item].Name, l.Made, e.At)
				}
			}
			require.InDelta(t, e.Amount, sum, 1e-6*(1+e.Amount), r.items[e.Item].Name)
			if n == len(rec.Entries)/2 {
				told := make([]float64, len(left))
				for _, p := range rec.Left(n + 1) {
					told[p.Lot] = p.Amount
				}
				require.InDeltaSlice(t, left, told, 1e-6)
			}
		}
		there := make([]float64, len(r.items))
		for _, p := range rec.Left(len(rec.Entries)) {
			there[rec.Lots[p.Lot].Item] += p.Amount
		}
		for i := range r.items {
			require.InDelta(t, o.Left[i]-inPots(r, o, i), there[i], 1e-6*(1+there[i]), r.items[i].Name)
		}
	})
}

// inPots is what of an item is still in a pot when the last day ends.
func inPots(r *random, o *Outcome, item int) (amount float64) {
	for k, run := range r.sched.Batches {
		for out, g := range r.steps[run.Step].Gives {
			if ran := o.Ran[k]; g.Item == item && !run.Unlit && ran.Start+g.OutAt >= r.sched.Days*1440 {
				amount += ran.Batches * g.Amount * run.factor(out) * (1 - run.Lost)
			}
		}
	}
	for k, pot := range r.sched.Pots {
		for line, g := range pot.Gives {
			if g.Item == item && g.Minute+pot.Late >= r.sched.Days*1440 {
				amount += g.Amount * r.sched.Pots[k].factor(line) * (1 - pot.Lost)
			}
		}
	}
	return amount
}

// replay plays the movements of an item on its own shelf.
func replay(t *rapid.T, r *random, item int, entries []Entry, lots []Lot) (binned, left float64) {
	keeps := r.terms.Keeps[item]
	type batch struct {
		amount float64
		made   int
	}
	var shelf []batch
	for _, l := range r.sched.OnHand {
		if l.Item == item {
			shelf = append(shelf, batch{l.Amount, l.Made})
		}
	}
	slices.SortStableFunc(shelf, func(a, b batch) int { return a.made - b.made })
	on := func(amount float64) {
		for amount > 1e-9 {
			require.NotEmpty(t, shelf, "%s overdrawn by %v", r.items[item].Name, amount)
			part := min(amount, shelf[0].amount)
			amount -= part
			if shelf[0].amount -= part; shelf[0].amount <= 1e-9 {
				shelf = shelf[1:]
			}
		}
	}
	stale := func(day int) (amount float64) {
		for len(shelf) > 0 && keeps > 0 && shelf[0].made+keeps-1 <= day {
			amount += shelf[0].amount
			shelf = shelf[1:]
		}
		return amount
	}
	binned += stale(-1)
	for k := 0; k < len(entries); {
		at := entries[k].At
		gone, took, spoilt := 0.0, 0.0, 0.0
		for ; k < len(entries) && entries[k].At == at; k++ {
			switch e := entries[k]; e.What {
			case Arrived, Came:
				shelf = append(shelf, batch{e.Amount, lots[e.Lots[0].Lot].Made})
			case Took:
				took += e.Amount
			case Expired:
				gone += e.Amount
			case Spoiled:
				spoilt += e.Amount
			}
		}
		if at > r.sched.From { // what expired at the beginning is off already
			expired := stale(at/1440 - 1)
			require.InDelta(t, gone, expired, 1e-6*(1+gone), "%s expired at %d", r.items[item].Name, at)
			binned += expired
		}
		on(took + spoilt)
		binned += spoilt
	}
	// What is stale and has no entry would be found here.
	require.InDelta(t, 0, stale(r.sched.Days-1), 1e-6)
	for _, b := range shelf {
		left += b.amount
	}
	return binned, left
}

// At the unit costs of the flow, what was there and what was spent is worth what became of it.
func TestMoneyBalances(t *testing.T) {
	k := anyKitchen{batches: true, carried: true, sharesLater: true}
	rapid.Check(t, func(t *rapid.T) {
		r := k.draw(t)
		c := r.compile(t)
		o := c.Flow.Walk(c.Schedule, r.rule, nil)
		costing, err := c.Flow.Cost(o)
		require.NoError(t, err)
		in, out, size := 0.0, 0.0, 1.0
		for i := range r.items {
			in += o.Opening[i] * costing.Unit[i]
			became := (portionsOf(c, o, i) + o.Left[i] + o.Binned[i] + o.Lost[i]) * costing.Unit[i]
			out += became
			size += math.Abs(became)
		}
		for _, d := range o.Deliveries {
			in += d.Amount * r.terms.Price[d.Item]
		}
		for s, batches := range o.Batches {
			in += batches * r.terms.Cost[s]
		}
		require.InDelta(t, in, out, 1e-6*size)
	})
}

func TestSensitivityAgreesWithDifferences(t *testing.T) {
	k := anyKitchen{batches: true, carried: true, manyMakers: true, swaps: true}
	rapid.Check(t, func(t *rapid.T) {
		r := k.draw(t)
		slopes(t, r.compile(t), r.rule)
	})
}

// oneService is a kitchen whose every step is made to order, so that a service is all there is to it.
var oneService = anyKitchen{fractions: true}

// sharesOf is what each want got of its forecast; 1 where none was asked for.
func sharesOf(c Case, o *Outcome) (shares []float64) {
	for w, want := range c.Schedule.Wants {
		if f := want.Forecast[0]; f > 0 {
			shares = append(shares, o.Served[w]/f)
		} else {
			shares = append(shares, 1)
		}
	}
	return shares
}

// Max-min fairness is the lexicographic optimum of a linear program: no want can gain without one of an equal or smaller
// share losing (Bertsekas and Gallager, Data Networks, 2nd edition, section 6.5.2).
func TestFairIsLexicographic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := oneService.draw(t)
		c := r.compile(t)
		got := sharesOf(c, c.Flow.Walk(c.Schedule, Fair, nil))
		require.InDeltaSlice(t, lexicographic(t, c), got, 1e-6)
	})
}

// lexicographic solves max-min fairness of a case of one service by linear programs: the smallest share is made as large
// as can be; the wants that can't rise further are fixed; and so on.
func lexicographic(t *rapid.T, c Case) []float64 {
	wants := c.Schedule.Wants
	level, fixed := make([]float64, len(wants)), make([]bool, len(wants))
	for k, w := range wants {
		if w.Forecast[0] == 0 {
			level[k], fixed[k] = 1, true
		}
	}
	for slices.Contains(fixed, false) {
		var rising []int
		for k := range wants {
			if !fixed[k] {
				rising = append(rising, k)
			}
		}
		rise := most(t, c, level, rising)
		for _, k := range rising {
			level[k] += rise
		}
		stuck := false
		for _, k := range rising {
			if most(t, c, level, []int{k}) < 1e-7 {
				fixed[k], stuck = true, true
			}
		}
		require.True(t, stuck, "no want is stuck at %v", level)
	}
	return level
}

// most is how far the shares of some wants can rise together above the level that all have at least.
func most(t *rapid.T, c Case, level []float64, rising []int) float64 {
	f, s := c.Flow, c.Schedule
	n := f.net
	free := newScarce(c)
	// Variables: the common rise, batches of every step, then slack of every scarce item and of every rising want.
	vars := 1 + len(n.step) + len(free.items) + len(rising)
	a := mat.NewDense(len(free.items)+len(rising), vars, nil)
	b := make([]float64, len(free.items)+len(rising))
	for row, i := range free.items {
		b[row] = free.have[i] + 1e-9 // so that rounding does not make a level that was reached unreachable
		for k, w := range s.Wants {
			if w.Item == i {
				b[row] -= w.Forecast[0] * level[k]
				if slices.Contains(rising, k) {
					a.Set(row, 0, a.At(row, 0)+w.Forecast[0])
				}
			}
		}
		for p := range n.step {
			for choice := n.choices[n.lines[p]]; choice < n.choices[n.lines[p+1]]; choice++ {
				if int(n.takes[choice]) == i {
					a.Set(row, 1+p, a.At(row, 1+p)+f.takes[choice])
				}
			}
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				if int(n.gives[e]) == i {
					a.Set(row, 1+p, a.At(row, 1+p)-f.gives[e])
				}
			}
		}
		a.Set(row, 1+len(n.step)+row, 1)
	}
	for j, k := range rising {
		row := len(free.items) + j
		b[row] = max(0, 1-level[k])
		a.Set(row, 0, 1)
		a.Set(row, 1+len(n.step)+row, 1)
	}
	objective := make([]float64, vars)
	objective[0] = -1
	best, _, err := lp.Simplex(objective, a, b, 1e-10, nil)
	require.NoError(t, err)
	return -best
}

// scarce lists the items that can't be bought, with what is on hand of them.
type scarce struct {
	items []int
	have  []float64
}

func newScarce(c Case) (s scarce) {
	s.have = make([]float64, len(c.Flow.net.g.Items))
	for _, l := range c.Schedule.OnHand {
		if k := c.Flow.terms.Keeps[l.Item]; k == 0 || l.Made+k-1 >= 0 {
			s.have[l.Item] += l.Amount
		}
	}
	for i, it := range c.Flow.net.g.Items {
		if it.Role != graph.Bought || c.Schedule.Arrives[i] != nil && !c.Schedule.Arrives[i][0] {
			s.items = append(s.items, i)
		}
	}
	return s
}

// Under First, a rank gets what it would get if those after it were not there.
func TestFirstServesRanksAsIfAlone(t *testing.T) {
	k := oneService
	k.ranks = true
	rapid.Check(t, func(t *rapid.T) {
		r := k.draw(t)
		c := r.compile(t)
		got := c.Flow.Walk(c.Schedule, First, nil).Served
		for w, want := range c.Schedule.Wants {
			var shocks []Shock
			for v, other := range c.Schedule.Wants {
				if rank := func(w Want) int { return (w.Rank + 2) % 3 }; rank(other) > rank(want) { // 0 comes last
					shocks = append(shocks, Ask{Want: v, Slots: []int{0}})
				}
			}
			alone := c.With(shocks...)
			require.InDelta(t, alone.Flow.Walk(alone.Schedule, First, nil).Served[w], got[w], 1e-6)
		}
	})
}

func TestMoreSupplyNeverLowersTheSmallestShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := oneService.draw(t)
		c := r.compile(t)
		before := slices.Min(sharesOf(c, c.Flow.Walk(c.Schedule, Fair, nil)))
		more := *c.Schedule
		more.OnHand = append(slices.Clone(more.OnHand), Lot{Item: rapid.IntRange(0, len(r.items)-1-len(r.sched.Wants)).Draw(t, "of"), Amount: 3})
		c.Schedule = &more
		require.GreaterOrEqual(t, slices.Min(sharesOf(c, c.Flow.Walk(c.Schedule, Fair, nil))), before-1e-9)
	})
}

// Shocks of nothing, and the deliveries of a first walk as standing orders, change nothing. What comes in packs keeps here: the rest of
// one that was bought on an earlier day, once what came since was used, is older than the rest of an order that was used in its turn.
func TestZeroShocksChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		for i, pack := range r.terms.Pack {
			if pack > 0 {
				r.terms.Keeps[i] = 0
			}
		}
		t.Log(r)
		c := r.compile(t)
		o := c.Flow.Walk(c.Schedule, r.rule, nil)
		var shocks []Shock
		for s, st := range r.steps {
			shocks = append(shocks, Lose{Step: s, Day: EveryDay}, Delay{Step: s, Day: EveryDay})
			for out := range st.Gives {
				shocks = append(shocks, Yield{Step: s, Output: out, Day: EveryDay, Factor: 1}, Yield{Step: s, Output: out, Day: 0, Factor: 1})
			}
		}
		for i, it := range r.items {
			if it.Role == graph.Bought {
				shocks = append(shocks, Scarce{Item: i, Day: EveryDay}, Reprice{Item: i, Price: r.terms.Price[i]})
			}
		}
		for w := range c.Schedule.Wants {
			shocks = append(shocks, Ask{Want: w, Slots: upTo(len(c.Schedule.Slots)), Factor: 1})
		}
		same := c.With(shocks...)
		p := same.Flow.Walk(same.Schedule, r.rule, nil)
		p.Burnt = p.Burnt[:len(o.Burnt)] // losses of nothing are listed too
		require.Equal(t, told(o), told(p))

		standing := c.With()
		standing.Schedule.Deliveries = slices.Clone(o.Deliveries)
		again := standing.Flow.Walk(standing.Schedule, r.rule, nil)
		require.Equal(t, o.Served, again.Served)
		require.InDeltaSlice(t, o.Left, again.Left, 1e-6)
	})
}

// told is an outcome in full, but for what is on hand and under way at the end, which a walker tells only with a record.
func told(o *Outcome) string {
	all := *o
	all.Lots, all.Pots = nil, nil
	return fmt.Sprintf("%+v", all)
}

// Declared in another order, the same kitchen gives the same answer. Steps on set days keep their order among themselves:
// which of two goes first at one minute is decided by it.
func TestOrderOfDeclarationDoesNotMatter(t *testing.T) {
	k := everything
	k.fractions = true
	rapid.Check(t, func(t *rapid.T) {
		r := k.draw(t)
		o := walkOf(t, r)
		other := r.shuffled(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)))
		p := walkOf(t, other)
		for w, want := range r.sched.Wants {
			v := slices.IndexFunc(other.sched.Wants, func(v Want) bool { return other.items[v.Item].Name == r.items[want.Item].Name })
			for slot := range r.sched.Slots {
				wants := len(r.sched.Wants)
				require.InDelta(t, o.Served[slot*wants+w], p.Served[slot*wants+v], 1e-6, r.items[want.Item].Name)
			}
		}
		for i, it := range r.items {
			j := slices.IndexFunc(other.items, func(x graph.Item) bool { return x.Name == it.Name })
			require.InDelta(t, o.Left[i], p.Left[j], 1e-6, it.Name)
			require.InDelta(t, o.Binned[i], p.Binned[j], 1e-6, it.Name)
		}
	})
}

func walkOf(t require.TestingT, r *random) *Outcome {
	c := r.compile(t)
	return c.Flow.Walk(c.Schedule, r.rule, nil)
}

// shuffled is the kitchen declared in another order.
func (r *random) shuffled(rng *rand.Rand) *random {
	items, steps := rng.Perm(len(r.items)), rng.Perm(len(r.steps)) // by new number: the old one
	var fixed []int
	for _, s := range steps {
		if r.steps[s].Mode != graph.ToOrder {
			fixed = append(fixed, s)
		}
	}
	slices.Sort(fixed)
	for k, s := range steps {
		if r.steps[s].Mode != graph.ToOrder {
			steps[k], fixed = fixed[0], fixed[1:]
		}
	}
	itemAt, stepAt := make([]int, len(items)), make([]int, len(steps))
	out := &random{rule: r.rule, sched: r.sched}
	s := &out.sched
	s.Arrives, s.Short, s.NotBefore, s.Pots = nil, nil, nil, nil
	for k, i := range items {
		itemAt[i] = k
		out.items = append(out.items, r.items[i])
		out.terms.Price, out.terms.Worth = append(out.terms.Price, r.terms.Price[i]), append(out.terms.Worth, r.terms.Worth[i])
		out.terms.Keeps = append(out.terms.Keeps, r.terms.Keeps[i])
		out.terms.Pack = append(out.terms.Pack, r.terms.Pack[i])
		s.Arrives = append(s.Arrives, r.sched.Arrives[i])
		if r.sched.Short != nil {
			s.Short = append(s.Short, r.sched.Short[i])
		}
		if r.sched.NotBefore != nil {
			s.NotBefore = append(s.NotBefore, r.sched.NotBefore[i])
		}
	}
	for k, old := range steps {
		stepAt[old] = k
		st := r.steps[old]
		st.Takes, st.Gives = slices.Clone(st.Takes), slices.Clone(st.Gives)
		for l := range st.Takes {
			st.Takes[l].Choices = slices.Clone(st.Takes[l].Choices)
			for c := range st.Takes[l].Choices {
				st.Takes[l].Choices[c].Item = itemAt[st.Takes[l].Choices[c].Item]
			}
		}
		for o := range st.Gives {
			st.Gives[o].Item = itemAt[st.Gives[o].Item]
		}
		out.steps = append(out.steps, st)
		out.terms.Cost, out.terms.Share = append(out.terms.Cost, r.terms.Cost[old]), append(out.terms.Share, r.terms.Share[old])
	}
	s.Wants, s.OnHand, s.Deliveries = slices.Clone(s.Wants), slices.Clone(s.OnHand), slices.Clone(s.Deliveries)
	s.Batches, s.Spoils, s.Burnt = slices.Clone(s.Batches), slices.Clone(s.Spoils), slices.Clone(s.Burnt)
	for k := range s.Wants {
		s.Wants[k].Item = itemAt[s.Wants[k].Item]
	}
	for k := range s.OnHand {
		s.OnHand[k].Item = itemAt[s.OnHand[k].Item]
	}
	for k := range s.Deliveries {
		s.Deliveries[k].Item = itemAt[s.Deliveries[k].Item]
	}
	for k := range s.Spoils {
		s.Spoils[k].Item = itemAt[s.Spoils[k].Item]
	}
	for k := range s.Batches {
		s.Batches[k].Step = stepAt[s.Batches[k].Step]
	}
	for k := range s.Burnt {
		s.Burnt[k].Step = stepAt[s.Burnt[k].Step]
	}
	for _, p := range r.sched.Pots {
		p.Step, p.Takes, p.Gives = stepAt[p.Step], slices.Clone(p.Takes), slices.Clone(p.Gives)
		for _, lines := range [][]PotLine{p.Takes, p.Gives} {
			for k := range lines {
				lines[k].Item = itemAt[lines[k].Item]
			}
		}
		s.Pots = append(s.Pots, p)
	}
	rng.Shuffle(len(s.Wants), func(a, b int) { s.Wants[a], s.Wants[b] = s.Wants[b], s.Wants[a] })
	rng.Shuffle(len(s.OnHand), func(a, b int) { s.OnHand[a], s.OnHand[b] = s.OnHand[b], s.OnHand[a] })
	return out
}

// A line of what is always there and free changes nothing: neither who has the last of an item, nor which lots.
func TestAFreeLineChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		c, rec := r.compile(t), &Record{Movements: true}
		o := c.Flow.Walk(c.Schedule, r.rule, rec)
		salted := *r
		salt := salted.item(t, graph.Bought)
		salted.terms.Price[salt], salted.terms.Keeps[salt] = 0, 0
		salted.sched.Arrives = append(slices.Clone(r.sched.Arrives), nil)
		if r.sched.Short != nil {
			salted.sched.Short = append(slices.Clone(r.sched.Short), false)
		}
		if r.sched.NotBefore != nil {
			salted.sched.NotBefore = append(slices.Clone(r.sched.NotBefore), 0)
		}
		salted.steps = slices.Clone(r.steps)
		for s := range salted.steps {
			if st := &salted.steps[s]; rapid.Bool().Draw(t, "salted") {
				st.Takes = append(slices.Clone(st.Takes), graph.Line{Choices: []graph.Choice{{Item: salt, Amount: 1}}})
			}
		}
		d, recToo := salted.compile(t), &Record{Movements: true}
		p := d.Flow.Walk(d.Schedule, r.rule, recToo)
		require.Equal(t, o.Served, p.Served)
		require.InDeltaSlice(t, o.Batches, p.Batches, 1e-6)
		for _, amounts := range [][2][]float64{{o.Left, p.Left}, {o.Binned, p.Binned}, {o.Made, p.Made}} {
			require.InDeltaSlice(t, amounts[0], amounts[1][:salt], 1e-6)
		}
		require.Equal(t, lotsTaken(rec, salt), lotsTaken(recToo, salt))
	})
}

// lotsTaken tells which lots went where, of the items below a number.
func lotsTaken(rec *Record, below int) (all []string) {
	for _, e := range rec.Entries {
		if e.Item >= below || e.What != Took || e.Amount < 1e-6 {
			continue
		}
		text := fmt.Sprintf("%d %d into %d", e.At, e.Item, e.Step)
		for _, part := range e.Lots {
			if l := rec.Lots[part.Lot]; part.Amount > 1e-6 {
				text += fmt.Sprintf(" %d/%d/%d", l.At, l.Step, l.Batch)
			}
		}
		all = append(all, text)
	}
	return all
}

// A walker used again gives what a new one gives, bit for bit.
func TestWalkerReuse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		c := r.compile(t)
		w := NewWalker(c.Flow)
		shocked := c.With(Ask{Want: 0, Slots: []int{0}, Factor: 2, More: 1}, Delay{Step: 0, Day: EveryDay, Minutes: 90}, Lose{Step: 0, Day: 0, Share: 0.5})
		fewer := *c.Schedule
		fewer.Wants = fewer.Wants[1:]
		for _, s := range []*Schedule{c.Schedule, shocked.Schedule, &fewer, c.Schedule} {
			for _, rule := range []Ration{Fair, First} {
				require.Equal(t, told(c.Flow.Walk(s, rule, nil)), told(w.Walk(s, rule, nil)))
			}
		}
	})
}

// Any number of walks and what-ifs may run at once on one flow; the race detector watches.
func TestWalksInParallel(t *testing.T) {
	r := rapid.Custom(everything.draw).Example(7)
	c := r.compile(t)
	want := c.Flow.Walk(c.Schedule, r.rule, nil)
	var wg sync.WaitGroup
	outcomes := make([]*Outcome, 16)
	for k := range outcomes {
		wg.Go(func() {
			c.With(Lose{Step: 0, Day: EveryDay, Share: 1}, Yield{Step: 0, Output: 0, Day: EveryDay, Factor: 0.5}, Reprice{Item: 0, Price: 99},
				Spoil{Item: 0, Day: 0}, Scarce{Item: 0, Day: EveryDay, Share: 0.5}, Ask{Want: 0, Slots: []int{0}})
			outcomes[k] = c.Flow.Walk(c.Schedule, r.rule, new(Record))
			_, _ = c.Flow.Cost(outcomes[k])
		})
	}
	wg.Wait()
	for _, o := range outcomes {
		require.Equal(t, want, o)
	}
}

func TestSteadyWalkAllocatesNothing(t *testing.T) {
	for seed := range 20 {
		r := rapid.Custom(everything.draw).Example(seed)
		c := r.compile(t)
		w := NewWalker(c.Flow)
		w.Walk(c.Schedule, r.rule, nil)
		require.Zero(t, testing.AllocsPerRun(10, func() { w.Walk(c.Schedule, r.rule, nil) }), "seed %d", seed)
	}
}

func (r *random) String() string {
	var b strings.Builder
	for i, it := range r.items {
		fmt.Fprintf(&b, "%s role %d price %v worth %v keeps %d pack %v arrives %v\n", it.Name, it.Role, r.terms.Price[i], r.terms.Worth[i], r.terms.Keeps[i], r.terms.Pack[i], r.sched.Arrives[i])
	}
	for s, st := range r.steps {
		fmt.Fprintf(&b, "%s mode %d:", st.Name, st.Mode)
		for _, l := range st.Takes {
			for c, ch := range l.Choices {
				if c > 0 {
					b.WriteString(" or")
				}
				fmt.Fprintf(&b, " %v %s", ch.Amount, r.items[ch.Item].Name)
			}
			fmt.Fprintf(&b, " (opt %v carried %v) +", l.Optional, l.Carried)
		}
		for _, o := range st.Gives {
			fmt.Fprintf(&b, " -> %v %s @%d", o.Amount, r.items[o.Item].Name, o.OutAt)
		}
		fmt.Fprintf(&b, " cost %v rule %v\n", r.terms.Cost[s], r.terms.Share[s])
	}
	fmt.Fprintf(&b, "%+v rule %v\n", r.sched, r.rule)
	return b.String()
}

// What became of an item's weight adds up, whatever became of it.
func TestFatesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		c := r.compile(t)
		o := c.Flow.Walk(c.Schedule, r.rule, nil)
		fates, err := c.Flow.Fates(c.Schedule, o)
		require.NoError(t, err)
		for i, of := range fates.Of {
			if of == nil {
				continue
			}
			require.InDelta(t, 1, sum(of), 1e-6, r.items[i].Name)
			for _, share := range of {
				require.GreaterOrEqual(t, share, -1e-9, r.items[i].Name)
			}
		}
	})
}
