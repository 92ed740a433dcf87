package menu

// Chance: the period played thousands of times, each time with yields and guests drawn from the spreads that the kitchen
// file gives them.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"time"

	"gonum.org/v1/gonum/stat"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// Chance is the answer to "how likely is it?". Of n draws, P10, P50 and P90 are the greatest figures that nine, five and
// one draw of ten reach or pass. Money is unrounded, in the kitchen's currency.
type Chance struct {
	Draws  int    `json:"draws"` // that were played: 1 when nothing varies
	Seed   uint64 `json:"seed"`
	Typed  bool   `json:"spreads_written"` // the kitchen file has a spread, be it of something that these days do not need
	Varies []Vary `json:"varies"`

	Dishes       []DishChance `json:"dishes"`   // each dish over the period
	Services     []DishChance `json:"services"` // each dish at each service at which it has a forecast
	Contribution Odds         `json:"contribution"`
	Certain      float64      `json:"certain"` // contribution when all comes out as written
	Sways        []ChanceSway `json:"sways"`   // of the contribution, most first
	Money        string       `json:"money,omitempty"`
}

// Vary is something that is drawn.
type Vary struct {
	Name    string  `json:"name"`    // "kettle stock of night kettle, tue 24 nov", "guests for red pozole, fri 27 nov dinner"
	Batches float64 `json:"batches"` // of the run; 0 for a step that has no set days, and for guests
	Mean    float64 `json:"mean"`    // of all batches of the run; of one for a step that has no set days
	Spread  float64 `json:"spread"`  // one standard deviation of that
	Unit    string  `json:"unit"`    // "portion" for guests
}

// DishChance is how many portions of a dish go out.
type DishChance struct {
	Name         string      `json:"name"`
	Date         string      `json:"date"`    // "" over the period
	Service      string      `json:"service"` // "" over the period
	Forecast     int         `json:"forecast"`
	Mean         float64     `json:"mean"`
	P10          int         `json:"p10"`
	P50          int         `json:"p50"`
	P90          int         `json:"p90"`
	RunsOut      float64     `json:"runs_out"`     // share of the draws in which fewer go out than are asked for, at any service
	Contribution Odds        `json:"contribution"` // portions times price less plate cost
	Sway         *ChanceSway `json:"sway,omitempty"`
}

// Odds are what an amount of money comes to.
type Odds struct {
	Mean float64 `json:"mean"`
	P10  float64 `json:"p10"`
	P50  float64 `json:"p50"`
	P90  float64 `json:"p90"`
}

// ChanceSway is what a result goes with: of all that varies, that whose draws are the most correlated with it.
type ChanceSway struct {
	Name  string  `json:"name"`  // as in Vary
	Share float64 `json:"share"` // of the variance: the squared correlation
}

// Wager says how to draw.
type Wager struct {
	Draws int    // 1 to MostDraws
	Seed  uint64 // the same seed draws the same
}

const (
	// UsualDraws leave a chance of one half off by half a percentage point, give or take.
	UsualDraws = 10_000
	// MostDraws bound a question.
	MostDraws = 100_000
	// UsualSeed is as good as any other.
	UsualSeed = 1
)

// Bounds on memory, of each worker: what does not fit is refused.
const (
	mostCounted = 1 << 22 // portions that dishes can sell, over all dishes and services
	mostPaired  = 1 << 23 // results times all that varies
)

// faintest is the share of the variance below which nothing is said to sway a result.
const faintest = 0.01

// stray is one thing that varies: an output of a run, an output of a step without set days, or the guests of a dish.
type stray struct {
	Vary
	scatter
	run, step, output int     // run is -1 for a step without set days, and step for guests
	grams             float64 // weight of the output at its mean; 0 when it is not known
	want, slot        int     // guests
	mean, most        float64 // guests: asked for at the mean, and the most that are served
}

// scatter is how far something strays from its mean, as a share of it: a normal distribution, cut off at nothing and as far
// above the mean, so that the mean stays what is written.
type scatter struct {
	sd   float64 // standard deviation before the cut, above 0
	edge float64 // the probability that lies within the cut
}

func newScatter(sd float64) scatter { return scatter{sd, math.Erf(1 / (sd * math.Sqrt2))} }

// factor is the multiple of the mean that lies at a place between 0 and 1 in the distribution: its inverse distribution
// function, as erf is that of the normal (NIST Digital Library of Mathematical Functions, 7.2 and 7.17).
func (s scatter) factor(place float64) float64 {
	return max(1+s.sd*math.Sqrt2*math.Erfinv((2*place-1)*s.edge), leastFactor)
}

// leastFactor keeps a yield above nothing, of which a step to order could never make enough.
const leastFactor = 1e-6

// between is a number between 0 and 1, neither included: from 52 bits, so that twice it less one is exact.
func between(bits uint64) float64 { return (float64(bits>>12) + 0.5) / (1 << 52) }

// batchBalance is a batch with the strays of its outputs: together they can weigh no more than what went in.
type batchBalance struct {
	from, to int     // of strays
	room     float64 // grams by which all outputs may be heavier than their means; +Inf when not all weights are known
}

// hold takes back what weighs too much, from the outputs that came out above their means, each by the same share of that.
func (b batchBalance) hold(strays []stray, factors []float64) {
	more, up := 0.0, 0.0
	for s := b.from; s < b.to; s++ {
		over := strays[s].grams * (factors[s] - 1)
		more += over
		up += max(over, 0)
	}
	if more <= b.room {
		return
	}
	keep := max(1-(more-b.room)/up, 0)
	for s := b.from; s < b.to; s++ {
		if factors[s] > 1 {
			factors[s] = 1 + (factors[s]-1)*keep
		}
	}
}

// lottery is all that the draws have in common.
type lottery struct {
	w        *Week
	c        flow.Case
	costing  *flow.Costing
	strays   []stray
	balances []batchBalance
	rows     []lotteryRow // each dish at each service, then each over the period
	asked    []int        // by row: the most that can be asked for
	seed     uint64
	money    []float64 // by draw: contribution
}

// lotteryRow is a dish at a service, or over the period.
type lotteryRow struct{ want, slot int } // slot is -1 over the period

// Chance plays the week with shocks as often as it is asked to, each time with yields and guests drawn anew. What comes out
// depends on the seed and not on the number of processors: each draw has a generator of its own, seeded by the seed and the
// draw, and what is added up over draws is whole numbers. What was ordered for the certain week comes in each of them.
//
// The batches of a run stray apart from each other, so a run of n batches has the spread of one divided by the root of n, as a
// share. A step without set days has one draw for the whole period. progress, when given, is called now and then with the
// part of the work that is done. It stops with ctx.
func (w *Week) Chance(ctx context.Context, shocks []Shock, how Wager, progress func(done float64)) (*Chance, error) {
	if how.Draws < 1 || how.Draws > MostDraws {
		return nil, fmt.Errorf("%d draws: there must be from 1 to %d", how.Draws, MostDraws)
	}
	_, after, err := w.With(shocks, nil)
	if err != nil {
		return nil, err
	}
	l := &lottery{w: w, c: after.Case, costing: after.Costing, seed: how.Seed}
	l.yields()
	l.guests()
	if err := l.lay(); err != nil {
		return nil, err
	}
	a := &Chance{Draws: how.Draws, Seed: how.Seed, Typed: w.spreadsTyped(), Varies: []Vary{}, Certain: after.Books.Contribution,
		Money: w.Money}
	for _, s := range l.strays {
		a.Varies = append(a.Varies, s.Vary)
	}
	if len(l.strays) == 0 {
		a.Draws = 1
	}
	l.money = make([]float64, a.Draws)
	t, err := l.play(ctx, progress)
	if err != nil {
		return nil, err
	}
	l.tell(a, t)
	return a, nil
}

// spreadsTyped tells whether the kitchen file has any spread.
func (k *Kitchen) spreadsTyped() bool {
	for _, st := range k.Graph.Steps {
		if slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Spread > 0 }) {
			return true
		}
	}
	return slices.ContainsFunc(k.Dishes, func(d Dish) bool {
		return slices.ContainsFunc(d.Spread[:], func(day []float64) bool {
			return slices.ContainsFunc(day, func(s float64) bool { return s > 0 })
		})
	})
}

// yields finds the outputs that vary: those of each run, in the order of the schedule, then those of steps without set days.
func (l *lottery) yields() {
	for r, run := range l.c.Schedule.Runs {
		if run.Batches > 0 && run.Day < l.w.Days {
			l.batch(r, run.Step, run.Batches, ", "+l.w.DayName(run.Day))
		}
	}
	for s := range l.w.Steps {
		if l.w.Graph.Steps[s].Mode != graph.OnDays {
			l.batch(-1, s, 0, "")
		}
	}
}

// batch adds what varies of a run, or of a step without set days.
func (l *lottery) batch(run, step int, batches float64, when string) {
	st := l.w.Graph.Steps[step]
	of, from := max(batches, 1), len(l.strays)
	b := batchBalance{from: from}
	for o, out := range st.Gives {
		it := l.w.Graph.Items[out.Item]
		grams, known := it.Grams(out.Amount)
		if b.room -= grams * of; !known {
			b.room = math.Inf(1) // nothing can be said of the whole
		}
		if out.Spread > 0 {
			l.strays = append(l.strays, stray{scatter: newScatter(out.Spread / out.Amount / math.Sqrt(of)), run: run, step: step,
				output: o, grams: grams * of, Vary: Vary{Name: it.Name + " of " + st.Name + when, Batches: batches,
					Mean: out.Amount * of / it.Unit.Factor, Spread: out.Spread * math.Sqrt(of) / it.Unit.Factor, Unit: it.Unit.Name}})
		}
	}
	for _, line := range st.Uses {
		heaviest := 0.0
		for _, c := range line.Choices {
			grams, known := l.w.Graph.Items[c.Item].Grams(c.Amount)
			if heaviest = max(heaviest, grams*of); !known {
				heaviest = math.Inf(1)
			}
		}
		b.room += heaviest
	}
	if b.to = len(l.strays); b.to > from {
		b.room = max(b.room, 0)
		l.balances = append(l.balances, b)
	}
}

// guests finds the forecasts that vary. What a plan, or the menu, holds below the forecast stays below it.
func (l *lottery) guests() {
	for slot, sit := range l.w.Sittings {
		for d, dish := range l.w.Dishes {
			day := l.w.Weekday(sit.Day)
			now := l.c.Schedule.Wants[d].Forecast[slot]
			if sit.Service < 0 || now == 0 || sit.Service >= len(dish.Spread[day]) || dish.Spread[day][sit.Service] == 0 {
				continue
			}
			typed, usual := float64(dish.Sells[day][sit.Service]), l.w.Case.Schedule.Wants[d].Forecast[slot]
			s := stray{scatter: newScatter(dish.Spread[day][sit.Service] / typed), run: -1, step: -1, want: d, slot: slot,
				mean: now, most: math.Inf(1)}
			if usual > 0 && usual < typed {
				s.mean, s.most = now*typed/usual, now
			} else if dish.AtMost > 0 {
				s.most = max(float64(dish.AtMost), now)
			}
			s.Vary = Vary{Name: fmt.Sprintf("guests for %s, %s %s", dish.Name, l.w.DayName(sit.Day), l.w.Services[sit.Service].Name),
				Mean: s.mean, Spread: s.sd * s.mean, Unit: "portion"}
			l.strays = append(l.strays, s)
		}
	}
}

// lay lists the rows, and refuses what would take too much memory.
func (l *lottery) lay() error {
	wants := len(l.w.Dishes)
	period := make([]int, wants)
	add := func(row lotteryRow, most int) {
		l.rows, l.asked = append(l.rows, row), append(l.asked, most)
	}
	most := make(map[lotteryRow]float64, len(l.strays))
	for _, s := range l.strays {
		if s.step < 0 {
			most[lotteryRow{s.want, s.slot}] = min(s.most, math.Ceil(2*s.mean))
		}
	}
	total := 0.0
	for slot := range l.w.Sittings {
		for d := range wants {
			if n := l.c.Schedule.Wants[d].Forecast[slot]; n > 0 {
				n = max(n, most[lotteryRow{d, slot}])
				if total += 2 * n; total > mostCounted {
					return fmt.Errorf("more than %d portions in these days are too many to play draw by draw: ask about fewer days",
						mostCounted/2)
				}
				add(lotteryRow{d, slot}, int(n))
				period[d] += int(n)
			}
		}
	}
	for d, n := range period {
		if n > 0 {
			add(lotteryRow{d, -1}, n)
		}
	}
	if len(l.rows)*len(l.strays) > mostPaired {
		return fmt.Errorf("%d yields and forecasts that vary, with %d services of dishes, are too many to play draw by draw: "+
			"ask about fewer days", len(l.strays), len(l.rows))
	}
	return nil
}

// tally adds up draws. All of it is whole numbers, so that it comes to the same in whichever order they are added.
type tally struct {
	counts        [][]int32 // by row, by portions
	short         []int64   // by row: draws in which it runs out
	sum, square   []int64   // by row: of portions
	with          []int64   // by row*strays+stray: portions times how far it strayed
	first, second []int64   // by stray: how far it strayed, and its square
}

// strayGrain is the unit in which a tally counts how far something strays, as a share of its mean. With at most mostCounted
// portions and MostDraws, no sum comes near what 64 bits hold.
const strayGrain = 1.0 / (1 << 20)

func (l *lottery) newTally() *tally {
	rows, strays := len(l.rows), len(l.strays)
	t := &tally{counts: make([][]int32, rows), short: make([]int64, rows), sum: make([]int64, rows), square: make([]int64, rows),
		with: make([]int64, rows*strays), first: make([]int64, strays), second: make([]int64, strays)}
	for r, most := range l.asked {
		t.counts[r] = make([]int32, most+1)
	}
	return t
}

// add adds another tally.
func (t *tally) add(u *tally) {
	for r := range t.counts {
		for n, c := range u.counts[r] {
			t.counts[r][n] += c
		}
	}
	for _, pair := range [][2][]int64{{t.short, u.short}, {t.sum, u.sum}, {t.square, u.square}, {t.with, u.with},
		{t.first, u.first}, {t.second, u.second}} {
		for k, v := range pair[1] {
			pair[0][k] += v
		}
	}
}

// gambler plays draws of a lottery, in memory of its own.
type gambler struct {
	*lottery
	*tally
	varying *flow.Varying
	walker  *flow.Walker
	source  rand.PCG
	factors []float64 // by stray
	strayed []int64   // by stray, in grains
	sold    []int     // by dish, over the period
	out     []bool    // by dish, over the period
}

func (l *lottery) newGambler() *gambler {
	v := l.c.Varying()
	return &gambler{lottery: l, tally: l.newTally(), varying: v, walker: flow.NewWalker(v.Flow),
		factors: make([]float64, len(l.strays)), strayed: make([]int64, len(l.strays)), sold: make([]int, len(l.w.Dishes)),
		out: make([]bool, len(l.w.Dishes))}
}

// draw finds by how much everything strays in a draw.
func (l *lottery) draw(k int, source *rand.PCG, factors []float64) {
	source.Seed(l.seed, uint64(k))
	for s := range l.strays {
		factors[s] = l.strays[s].factor(between(source.Uint64()))
	}
	for _, b := range l.balances {
		b.hold(l.strays, factors)
	}
}

// play plays one draw and adds what it came to.
func (g *gambler) play(k int) {
	g.draw(k, &g.source, g.factors)
	for n := range g.strays {
		switch s, f := &g.strays[n], g.factors[n]; {
		case s.run >= 0:
			g.varying.Run(s.run, s.output, f)
		case s.step >= 0:
			g.varying.Step(s.step, s.output, f)
		default:
			g.varying.Ask(s.want, s.slot, min(math.Round(s.mean*f), s.most))
		}
		g.strayed[n] = int64(math.Round((g.factors[n] - 1) / strayGrain))
		g.first[n] += g.strayed[n]
		g.second[n] += g.strayed[n] * g.strayed[n]
	}
	o := g.walker.Walk(g.varying.Schedule, g.w.Rule, nil)
	g.money[k] = g.varying.Books(o, g.costing).Contribution
	clear(g.sold)
	clear(g.out)
	wants := len(g.sold)
	for r, row := range g.rows {
		sold, out := g.sold[row.want], g.out[row.want]
		if row.slot >= 0 {
			served := o.Served[row.slot*wants+row.want]
			sold, out = int(math.Round(served)), served < g.varying.Schedule.Wants[row.want].Forecast[row.slot]
			g.sold[row.want] += sold
			g.out[row.want] = g.out[row.want] || out
		}
		g.enter(r, sold, out)
	}
}

// enter adds what a row came to in a draw.
func (g *gambler) enter(r, sold int, out bool) {
	g.counts[r][sold]++
	if out {
		g.short[r]++
	}
	n := int64(sold)
	g.sum[r] += n
	g.square[r] += n * n
	with := g.with[r*len(g.strayed):]
	for s, far := range g.strayed {
		with[s] += n * far
	}
}

// play plays all draws on all processors.
func (l *lottery) play(ctx context.Context, progress func(float64)) (*tally, error) {
	draws := len(l.money)
	workers := max(1, min(runtime.GOMAXPROCS(0), draws/16))
	tallies := make([]*tally, workers)
	var group sync.WaitGroup
	for at := range workers {
		group.Go(func() {
			g := l.newGambler()
			tallies[at] = g.tally
			for k := at; k < draws && ctx.Err() == nil; k += workers {
				g.play(k)
				if progress != nil && at == 0 {
					progress(float64(k) / float64(draws))
				}
			}
		})
	}
	group.Wait()
	if err := context.Cause(ctx); err != nil {
		return nil, err
	}
	for _, t := range tallies[1:] {
		tallies[0].add(t)
	}
	return tallies[0], nil
}

// tell fills the answer in.
func (l *lottery) tell(a *Chance, t *tally) {
	a.Dishes, a.Services = []DishChance{}, []DishChance{}
	draws := float64(a.Draws)
	for r, row := range l.rows {
		dish := l.w.Dishes[row.want]
		d := DishChance{Name: dish.Name, Mean: float64(t.sum[r]) / draws, RunsOut: float64(t.short[r]) / draws,
			P10: reachedBy(t.counts[r], a.Draws, 10), P50: reachedBy(t.counts[r], a.Draws, 50),
			P90: reachedBy(t.counts[r], a.Draws, 90)}
		earns := l.c.Flow.Price(dish.Item) - l.costing.Unit[dish.Item]
		d.Contribution = Odds{d.Mean * earns, float64(d.P10) * earns, float64(d.P50) * earns, float64(d.P90) * earns}
		if earns < 0 { // it earns least where most is sold
			d.Contribution.P10, d.Contribution.P90 = d.Contribution.P90, d.Contribution.P10
		}
		if all := l.swaying(t, r); len(all) > 0 {
			d.Sway = &all[0]
		}
		if row.slot < 0 {
			for _, n := range l.c.Schedule.Wants[row.want].Forecast {
				d.Forecast += int(n)
			}
			a.Dishes = append(a.Dishes, d)
			continue
		}
		sit := l.w.Sittings[row.slot]
		d.Date, d.Service = l.w.Date(sit.Day).Format(time.DateOnly), l.w.Services[sit.Service].Name
		d.Forecast = int(l.c.Schedule.Wants[row.want].Forecast[row.slot])
		a.Services = append(a.Services, d)
	}
	sorted := slices.Sorted(slices.Values(l.money))
	at := func(percent int) float64 { return sorted[a.Draws*percent/100] }
	a.Contribution = Odds{stat.Mean(l.money, nil), at(10), at(50), at(90)}
	a.Sways = l.swayingMoney()
}

// reachedBy is the greatest number that so many draws of a hundred do not stay below.
func reachedBy(counts []int32, draws, percent int) int {
	below := draws * percent / 100
	for n, c := range counts {
		if below -= int(c); below < 0 {
			return n
		}
	}
	panic("mistake: fewer draws were counted than played")
}

// swaying is what sways a row, most first.
func (l *lottery) swaying(t *tally, r int) []ChanceSway {
	draws := float64(len(l.money))
	if slices.Max(t.counts[r]) == int32(len(l.money)) {
		return []ChanceSway{} // it comes to the same in every draw
	}
	average := float64(t.sum[r]) / draws
	variance := float64(t.square[r])/draws - average*average
	return l.ranked(func(s int) float64 {
		far := float64(t.first[s]) / draws
		together := float64(t.with[r*len(l.strays)+s])/draws - average*far
		return together * together / (variance * (float64(t.second[s])/draws - far*far))
	})
}

// swayingMoney is what sways the contribution, most first. The draws are drawn again: that is cheaper than to keep them.
func (l *lottery) swayingMoney() []ChanceSway {
	n, average := len(l.strays), stat.Mean(l.money, nil)
	variance := 0.0
	var source rand.PCG
	factors := make([]float64, n)
	first, second, with := make([]float64, n), make([]float64, n), make([]float64, n)
	for k, money := range l.money {
		l.draw(k, &source, factors)
		variance += (money - average) * (money - average)
		for s, f := range factors {
			first[s] += f - 1
			second[s] += (f - 1) * (f - 1)
			with[s] += (f - 1) * (money - average)
		}
	}
	draws := float64(len(l.money))
	if variance <= slack*slack*draws*average*average {
		return []ChanceSway{} // what differs is rounding
	}
	return l.ranked(func(s int) float64 {
		return with[s] * with[s] / (variance * (second[s] - first[s]*first[s]/draws))
	})
}

// ranked lists what sways a result enough to be told from chance: by four standard deviations of a correlation that is none.
func (l *lottery) ranked(share func(stray int) float64) []ChanceSway {
	list := []ChanceSway{}
	for s := range l.strays {
		if v := share(s); v >= max(faintest, 16/float64(len(l.money))) { // which NaN is not
			list = append(list, ChanceSway{l.strays[s].Name, min(v, 1)})
		}
	}
	slices.SortStableFunc(list, func(a, b ChanceSway) int { return cmp.Compare(b.Share, a.Share) })
	return list
}
