package ask

// The draws behind chance: what varies and by how much, and one draw after another played and added up.

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// Bounds on memory, of each worker: what does not fit is refused.
const (
	mostCounted = 1 << 22 // portions that dishes can sell, over all dishes and services
	mostPaired  = 1 << 23 // results times all that varies
)

// stray is one thing that varies: an output of a run, of a batch under way, or of a step without set days, or the guests of a
// dish.
type stray struct {
	Vary
	scatter
	run, step, output int     // run is -1 for a step without set days, and step for guests
	pot, line         int     // of a batch under way, and of what it gives; pot is -1 for all else
	grams             float64 // weight of the output at its mean; 0 when it is not known
	want, slot        int     // guests
	mean, most        float64 // guests: asked for at the mean, and the most that are served
}

// scatter is how far something strays from its mean, as a share of it: a normal distribution, cut off at nothing and as
// far above the mean, so that the mean stays what is written.
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

// hold takes back what weighs too much, from the outputs that came out above their means, each by the same share of
// that.
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
	w        *week.Week
	c        flow.Case
	costing  *flow.Costing
	worth    *week.Worth
	strays   []stray
	balances []batchBalance
	rows     []lotteryRow // each dish at each service, then each over the period
	asked    []int        // by row: the most that can be asked for
	seed     uint64
	money    []float64 // by draw that was played: contribution
	numbers  []int     // by draw that was played: its number
}

// lotteryRow is a dish at a service, or over the period.
type lotteryRow struct{ want, slot int } // slot is -1 over the period

// yields finds the outputs that vary: those of each run, in the order of the schedule, then those of steps without set
// days.
func (l *lottery) yields() {
	for k := range l.c.Schedule.Pots {
		l.underWay(k)
	}
	for r, run := range l.c.Schedule.Batches {
		if run.Size > 0 && run.Day < l.w.Days {
			l.batch(r, run.Step, run.Size, ", "+l.w.DayName(run.Day))
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
			l.strays = append(l.strays, stray{
				Vary: Vary{Name: it.Name + " of " + st.Name + when, Batches: batches, Mean: out.Amount * of / it.Unit.Factor,
					Spread: out.Spread * math.Sqrt(of) / it.Unit.Factor, Unit: it.Unit.Name},
				scatter: newScatter(out.Spread / out.Amount / math.Sqrt(of)),
				run:     run, step: step, output: o, pot: -1, grams: grams * of,
			})
		}
	}
	for _, line := range st.Takes {
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

// underWay adds what varies of a batch under way: what is still to come of it. What it can weigh together is not known, for
// some may be out.
func (l *lottery) underWay(k int) {
	pot := &l.c.Schedule.Pots[k]
	of := max(pot.Batches, 1)
	for line, g := range pot.Gives {
		for o, out := range l.w.Graph.Steps[pot.Step].Gives {
			if out.Item != g.Item || out.Spread == 0 || g.Amount == 0 {
				continue
			}
			it, share := l.w.Graph.Items[g.Item], out.Spread/out.Amount/math.Sqrt(of)
			l.strays = append(l.strays, stray{
				Vary: Vary{Name: it.Name + " of " + l.w.Graph.Steps[pot.Step].Name + ", " + l.w.DayName(pot.Day), Batches: pot.Batches,
					Mean: g.Amount / it.Unit.Factor, Spread: g.Amount * share / it.Unit.Factor, Unit: it.Unit.Name},
				scatter: newScatter(share), run: -1, step: pot.Step, output: o, pot: k, line: line,
			})
		}
	}
}

// guests finds the forecasts that vary. What a plan, or the menu, holds below the forecast stays below it.
func (l *lottery) guests() {
	for slot, sit := range l.w.Sittings {
		for d, dish := range l.w.Dishes {
			now := l.c.Schedule.Wants[d].Forecast[slot]
			if sit.Service < 0 || now == 0 {
				continue
			}
			typed, by := l.w.SellsOn(d, l.w.Date(sit.Day), sit.Service)
			if by == 0 || typed == 0 {
				continue
			}
			s := stray{scatter: newScatter(by / typed), run: -1, step: -1, pot: -1, want: d, slot: slot, mean: now, most: math.Inf(1)}
			if usual := l.w.Case.Schedule.Wants[d].Forecast[slot]; usual > 0 && usual < typed {
				s.mean, s.most = now*typed/usual, now
			} else if dish.AtMost > 0 {
				s.most = max(float64(dish.AtMost), now)
			}
			name := fmt.Sprintf("guests for %s, %s %s", dish.Name, l.w.DayName(sit.Day), l.w.Services[sit.Service].Name)
			s.Vary = Vary{Name: name, Mean: s.mean, Spread: s.sd * s.mean, Unit: "portion"}
			l.strays = append(l.strays, s)
		}
	}
}

// list lists the rows, and refuses what would take too much memory.
func (l *lottery) list() error {
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
					return fmt.Errorf("more than %d portions in these days are too many to play draw by draw: "+
						"ask about fewer days", mostCounted/2)
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
		return fmt.Errorf("%d yields and forecasts that vary, with %d services of dishes, are too many to play "+
			"draw by draw: ask about fewer days", len(l.strays), len(l.rows))
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

// strayGrain is the unit in which a tally counts how far something strays, as a share of its mean. With at most
// mostCounted portions and MostDraws, no sum comes near what 64 bits hold.
const strayGrain = 1.0 / (1 << 20)

func (l *lottery) newTally() *tally {
	rows, strays := len(l.rows), len(l.strays)
	t := &tally{counts: make([][]int32, rows), short: make([]int64, rows),
		sum: make([]int64, rows), square: make([]int64, rows), with: make([]int64, rows*strays),
		first: make([]int64, strays), second: make([]int64, strays)}
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
	player  *week.Player
	source  rand.PCG
	factors []float64 // by stray
	strayed []int64   // by stray, in grains
	sold    []int     // by dish, over the period
	out     []bool    // by dish, over the period
}

func (l *lottery) newGambler() *gambler {
	v := l.c.Varying()
	return &gambler{lottery: l, tally: l.newTally(), varying: v, player: l.w.Player(),
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
	g.set(g.varying, g.factors)
	for n := range g.strays {
		g.strayed[n] = int64(math.Round((g.factors[n] - 1) / strayGrain))
		g.first[n] += g.strayed[n]
		g.second[n] += g.strayed[n] * g.strayed[n]
	}
	o := g.player.Play(g.varying.Case, nil)
	g.money[k] = g.worth.Books(g.varying.Case, o).Contribution
	clear(g.sold)
	clear(g.out)
	wants := len(g.sold)
	for r, row := range g.rows {
		sold, out := g.sold[row.want], g.out[row.want]
		if row.slot >= 0 {
			served := o.Served[row.slot*wants+row.want]
			sold, out = int(math.Round(served)), served < o.Asked[row.slot*wants+row.want]
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

// play plays all draws on all processors; those that were played when ctx ends are added up all the same.
func (l *lottery) play(ctx context.Context, progress func(float64)) (*tally, error) {
	draws := len(l.money)
	workers := max(1, min(runtime.GOMAXPROCS(0), draws/16))
	tallies, played := make([]*tally, workers), make([]bool, draws)
	var group sync.WaitGroup
	for at := range workers {
		group.Go(func() {
			g := l.newGambler()
			tallies[at] = g.tally
			for k := at; k < draws && ctx.Err() == nil; k += workers {
				g.play(k)
				played[k] = true
				if progress != nil && at == 0 {
					progress(float64(k) / float64(draws))
				}
			}
		})
	}
	group.Wait()
	for _, t := range tallies[1:] {
		tallies[0].add(t)
	}
	for k, done := range played {
		if done {
			l.money[len(l.numbers)] = l.money[k]
			l.numbers = append(l.numbers, k)
		}
	}
	l.money = l.money[:len(l.numbers)]
	if len(l.numbers) == draws {
		return tallies[0], nil
	}
	return tallies[0], context.Cause(ctx)
}
