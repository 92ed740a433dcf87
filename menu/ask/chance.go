package ask

// Chance: the period played thousands of times, each time with yields and guests drawn from the spreads that the
// kitchen file gives them.

import (
	"cmp"
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat"

	"kettletree/graph"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Chances is the answer to "how likely is it?". Of all draws, p10, p50 and p90 are the greatest figures that nine,
// five and one of ten reach or pass. Money is unrounded, in the kitchen's currency.
type Chances struct {
	Draws  int    `json:"draws"` // that were played: 1 when nothing varies
	Seed   uint64 `json:"seed"`
	Typed  bool   `json:"spreads_written"` // the kitchen file has a spread, even if not of anything in these days
	Varies []Vary `json:"varies"`

	Dishes       []DishChance `json:"dishes"`   // each dish over the period
	Services     []DishChance `json:"services"` // each dish at each service at which it has a forecast
	Contribution Odds         `json:"contribution"`
	Certain      float64      `json:"certain"` // contribution when all comes out as written
	Sways        []ChanceSway `json:"sways"`   // what the contribution goes with, most first
	Money        string       `json:"money,omitempty"`
	Notes        []string     `json:"notes,omitempty"` // why there are fewer draws than usual, or than were asked for
}

// Vary is something that is drawn.
type Vary struct {
	Name    string  `json:"name"`    // "kettle stock of night kettle, Tue 24 Nov"
	Batches float64 `json:"batches"` // of the step on its day; 0 for a step that has no set days, and for guests
	Mean    float64 `json:"mean"`    // of all these batches; of one for a step that has no set days
	Spread  float64 `json:"spread"`  // one standard deviation of that
	Unit    string  `json:"unit"`    // "portion" for guests
}

// DishChance is how many portions of a dish go out.
type DishChance struct {
	Name         string      `json:"name"`
	Date         string      `json:"date"`    // 2006-01-02; "" over the period
	Service      string      `json:"service"` // "" over the period
	Forecast     int         `json:"forecast"`
	Mean         float64     `json:"mean"`
	P10          int         `json:"p10"`
	P50          int         `json:"p50"`
	P90          int         `json:"p90"`
	RunsOut      float64     `json:"runs_out"`       // share of the draws in which fewer go out than are asked for
	Contribution Odds        `json:"contribution"`   // portions times price less plate cost
	Sway         *ChanceSway `json:"sway,omitempty"` // what it goes with most
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
	Name  string  `json:"name"`  // as in varies
	Share float64 `json:"share"` // of the variance: the squared correlation
}

// Wager says how to draw.
type Wager struct {
	Draws int    // 1 to MostDraws; 0 for UsualDraws, or fewer where each takes long
	Seed  uint64 // the same seed draws the same
}

const (
	// UsualDraws leave a chance of one half off by half a percentage point, give or take.
	UsualDraws = 10_000
	// usualServings bound the usual draws by the services of dishes that they play, and fewestDraws say how few they may be.
	usualServings = 4_000_000
	fewestDraws   = 500
	// MostDraws bound a question.
	MostDraws = 100_000
	// UsualSeed is as good as any other.
	UsualSeed = 1
)

// faintest is the share of the variance below which nothing is said to sway a result.
const faintest = 0.01

// Chance plays the week with shocks as often as it is asked to, each time with yields and guests drawn again. What comes
// out depends on the seed and not on the number of processors: each draw has a generator of its own, seeded by the seed
// and the draw, and what is added up over draws is whole numbers. What was ordered for the certain week comes in each
// of them.
//
// The batches of a run stray apart from each other, so a run of n batches has the spread of one divided by the root of
// n, as a share. A step without set days has one draw for the whole period. progress, when given, is called now and
// then with the part of the work that is done. When ctx ends it, what was drawn by then comes with the error.
func Chance(ctx context.Context, w *week.Week, shocks []week.Shock, how Wager, progress func(done float64)) (*Chances, error) {
	usual := how.Draws == 0
	if usual {
		how.Draws = UsualDraws
	}
	if how.Draws < 1 || how.Draws > MostDraws {
		return nil, fmt.Errorf("%d draws: there must be from 1 to %d", how.Draws, MostDraws)
	}
	if err := w.Quick("chance plays the days draw by draw"); err != nil {
		return nil, err
	}
	after, err := w.Play(ctx, shocks...)
	if err != nil {
		return nil, err
	}
	worth, err := w.Worth()
	if err != nil {
		return nil, err
	}
	l := &lottery{w: w, c: after.Case, costing: after.Costing, worth: worth, seed: how.Seed}
	l.yields()
	l.guests()
	if err := l.list(); err != nil {
		return nil, err
	}
	a := &Chances{Draws: how.Draws, Seed: how.Seed, Typed: spreadsTyped(w.Kitchen), Varies: []Vary{},
		Certain: after.Books.Contribution, Money: w.Money}
	for _, s := range l.strays {
		a.Varies = append(a.Varies, s.Vary)
	}
	if most := max(usualServings/max(len(l.rows), 1), fewestDraws); usual && a.Draws > most {
		a.Draws = most
		a.Notes = append(a.Notes, fmt.Sprintf("%d draws instead of %d, for each takes long; --draws asks for more", most, UsualDraws))
	}
	if len(l.strays) == 0 {
		a.Draws = 1
	}
	l.money = make([]float64, a.Draws)
	t, err := l.play(ctx, progress)
	if played := len(l.money); err != nil {
		if played == 0 {
			return nil, err
		}
		a.Notes = append(a.Notes, fmt.Sprintf("stopped: %d of %d draws were played", played, a.Draws))
		a.Draws = played
	}
	l.tell(a, t)
	return a, err
}

// spreadsTyped tells whether the kitchen file has any spread.
func spreadsTyped(k *kitchen.Kitchen) bool {
	for _, st := range k.Graph.Steps {
		if slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Spread > 0 }) {
			return true
		}
	}
	return slices.ContainsFunc(k.Dishes, func(d kitchen.Dish) bool {
		return slices.ContainsFunc(d.Spread[:], func(day []float64) bool {
			return slices.ContainsFunc(day, func(s float64) bool { return s > 0 })
		})
	})
}

// tell fills the answer in.
func (l *lottery) tell(a *Chances, t *tally) {
	asked := l.c.Schedule.Asked()
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
			for slot := range l.w.Sittings {
				d.Forecast += int(asked[slot*len(l.w.Dishes)+row.want])
			}
			a.Dishes = append(a.Dishes, d)
			continue
		}
		sit := l.w.Sittings[row.slot]
		d.Date, d.Service = l.w.Date(sit.Day).Format(time.DateOnly), l.w.Services[sit.Service].Name
		d.Forecast = int(asked[row.slot*len(l.w.Dishes)+row.want])
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

// swayingMoney is what sways the contribution, most first. The draws are drawn again: that is cheaper than to keep
// them.
func (l *lottery) swayingMoney() []ChanceSway {
	n, average := len(l.strays), stat.Mean(l.money, nil)
	variance := 0.0
	var source rand.PCG
	factors := make([]float64, n)
	first, second, with := make([]float64, n), make([]float64, n), make([]float64, n)
	for k, money := range l.money {
		l.draw(l.numbers[k], &source, factors)
		variance += (money - average) * (money - average)
		for s, f := range factors {
			first[s] += f - 1
			second[s] += (f - 1) * (f - 1)
			with[s] += (f - 1) * (money - average)
		}
	}
	draws := float64(len(l.money))
	if variance <= kitchen.Slack*kitchen.Slack*draws*average*average {
		return []ChanceSway{} // what differs is rounding
	}
	return l.ranked(func(s int) float64 {
		return with[s] * with[s] / (variance * (second[s] - first[s]*first[s]/draws))
	})
}

// ranked lists what sways a result enough to be told from chance: by four standard deviations of a correlation that is
// none.
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
