package specials

// Offers tried: a dish asked for at a service at which it is not on sale, and the week played with it.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/ask"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// scout plays offers. What it knows of the standing week is shared between goroutines; the walkers are not.
type scout struct {
	week    *week.Week
	long    *week.Week // the period with the days after
	costing *flow.Costing
	worth   *week.Worth
	surplus []Surplus
	usable  []float64 // by item: what can be used of what is left

	trunk, longTrunk *flow.Trunk // the standing week, and that with the days after

	shares   *ask.ShareCheck // of the standing week
	base     *flow.Outcome
	earned   float64   // contribution of the standing week
	laterOn  []float64 // portions after the period, in the standing week
	player   *week.Player
	longPlay *week.Player
	tried    map[string]trial // offers of the dish in hand, by portions
}

// newScout walks the standing week.
func newScout(ctx context.Context, w *week.Week) (*scout, error) {
	long, err := w.Longer(w.Behind())
	if err != nil {
		return nil, err
	}
	base, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	worth, err := w.Worth()
	if err != nil {
		return nil, err
	}
	s := &scout{week: w, long: long, base: base.Outcome, costing: base.Costing, worth: worth, earned: base.Books.Contribution,
		usable: make([]float64, len(w.Graph.Items))}
	s.trunk, s.longTrunk = w.Trunk(w.Case, false), long.Trunk(long.Case, false)
	s.laterOn = s.longTrunk.Outcome().Served[len(s.base.Served):]
	s.shares = ask.SharesOf(w, w.Case)
	s.surplus = s.findSurplus()
	for _, x := range s.surplus {
		if x.Left {
			s.usable[x.item] += x.usable
		}
	}
	return s, nil
}

// alone is a scout for another goroutine.
func (s *scout) alone() *scout {
	own := *s
	own.player, own.longPlay = s.week.Player(), s.long.Player()
	return &own
}

// asked is a dish with the portions that are offered of it.
type asked struct {
	dish     int
	portions map[int]int // by slot
}

// with is the offer with so many portions at a slot.
func (a asked) with(slot, n int) asked {
	more := asked{a.dish, map[int]int{slot: n}}
	for at, portions := range a.portions {
		if at != slot {
			more.portions[at] = portions
		}
	}
	return more
}

// slots are the services at which the dish is offered, in order.
func (a asked) slots() (list []int) {
	for at := range a.portions {
		list = append(list, at)
	}
	slices.Sort(list)
	return list
}

// shocks are the offer as changes of the forecast.
func (a asked) shocks() (list []flow.Shock) {
	for _, at := range a.slots() {
		list = append(list, flow.Ask{Want: a.dish, Slots: []int{at}, Factor: 1, More: float64(a.portions[at])})
	}
	return list
}

// trial is what an offer comes to.
type trial struct {
	asked
	whole  bool      // all portions can be served, and what the kitchen wants to have left is left
	free   bool      // every other dish sells as before, in the period and in the days after
	money  float64   // contribution beyond the standing week's
	used   []float64 // by item: of the surplus, base units
	takes  []Taken   // in the period, for lack of what it takes
	guests []Taken   // who order it in place of something else
	later  bool      // a dish sells less in the days after
}

// try plays an offer, or remembers what came of it.
func (s *scout) try(a asked) trial {
	key := fmt.Sprint(a.portions) // in the order of the slots
	t, ok := s.tried[key]
	if !ok {
		t = s.play(a)
		s.tried[key] = t
	}
	return t
}

// play finds what an offer comes to; of one that can't be served whole, no more than that.
func (s *scout) play(a asked) trial {
	t := trial{asked: a, whole: true, free: true, used: make([]float64, len(s.usable))}
	shocks := a.shocks()
	c := s.week.Case.With(shocks...)
	o := s.player.Fork(s.trunk, c, nil)
	wants := len(c.Schedule.Wants)
	for at, served := range o.Served {
		slot, d := at/wants, at%wants
		lost := s.base.Served[at] - served
		if d == a.dish && a.portions[slot] > 0 {
			t.whole = t.whole && served >= float64(a.portions[slot])
			continue
		}
		if guests := min(lost, s.base.Asked[at]-o.Asked[at]); guests > 0 {
			t.guests, lost = append(t.guests, s.taken(d, slot, guests)), lost-guests
		}
		if lost > 0 {
			t.takes = append(t.takes, s.taken(d, slot, lost))
		}
		t.free = t.free && lost == 0
	}
	for i := range t.used {
		t.used[i] = max(0, s.base.Binned[i]-o.Binned[i]) + min(max(0, s.base.Left[i]-o.Left[i]), s.usable[i])
		if par := min(s.week.Par[i], s.base.OnHand(i)); o.OnHand(i) < par*(1-plan.Crumb) {
			t.whole = false
		}
	}
	if !t.whole {
		return t
	}
	t.money = s.worth.Books(c, o).Contribution - s.earned
	c = s.long.Case.With(shocks...)
	served := s.longPlay.Fork(s.longTrunk, c, nil).Served[len(s.base.Served):]
	for at, was := range s.laterOn {
		t.later = t.later || served[at] < was
	}
	t.free = t.free && !t.later
	return t
}

// taken tells portions that a dish sells less at a service.
func (s *scout) taken(dish, slot int, portions float64) Taken {
	sit := s.week.Sittings[slot]
	return Taken{Dish: s.week.Kitchen.Dishes[dish].Name, Date: s.week.Date(sit.Day).Format(time.DateOnly), Service: s.week.Services[sit.Service].Name,
		Portions: int(portions + 0.5)}
}

// rests tells whether a special has to rest on the day of a service, or another is on the board there.
func (s *scout) rests(a asked, slot int) bool {
	if !s.week.Kitchen.Dishes[a.dish].Special {
		return false
	}
	day, wants := s.week.Sittings[slot].Day, s.week.Case.Schedule.Wants
	for k, sit := range s.week.Sittings {
		if apart := sit.Day - day; (apart == 1 || apart == -1) && (a.portions[k] > 0 || wants[a.dish].Forecast[k] > 0) {
			return true
		}
	}
	for d, dish := range s.week.Kitchen.Dishes {
		if dish.Special && wants[d].Forecast[slot] > 0 {
			return true
		}
	}
	return s.week.Rests(a.dish, day)
}

// most is the largest number of portions that is tried of a dish at a service: of a special, what it is expected to sell, which is a
// share of what any dish sells at one service where it has no "at most"; of a dish on the menu, its largest forecast.
func (s *scout) most(dish, slot int) int {
	largest := func(want int) (most float64) {
		for _, f := range s.long.Case.Schedule.Wants[want].Forecast {
			most = max(most, f)
		}
		return most
	}
	d := s.week.Kitchen.Dishes[dish]
	expected := s.week.Expected(dish, slot)
	if d.Special && (d.AtMost > 0 || expected.By == week.ByFile) {
		return expected.Portions
	}
	most := 0.0
	if !d.Special {
		most = largest(dish)
	} else {
		for want := range s.long.Case.Schedule.Wants {
			most = max(most, largest(want))
		}
		most = math.Round(most * expected.Share)
	}
	if d.AtMost > 0 {
		most = min(most, float64(d.AtMost))
	}
	return int(most)
}

// A plate is said to use something up when that is at least such a part of it.
const (
	ofCost   = 0.15
	ofWeight = 0.20
)

// mainly lists the items of the surplus that make up a good part of a plate, by what so many portions more use of them.
func (s *scout) mainly(dish, portions int, from, with []float64) (items []int) {
	plate := 0.0
	for _, line := range s.week.Graph.Steps[len(s.week.Steps)+dish].Takes {
		grams, _ := s.week.Graph.Items[line.Choices[0].Item].Grams(line.Choices[0].Amount)
		plate += grams
	}
	cost := s.costing.Unit[s.week.Kitchen.Dishes[dish].Item]
	for i := range with {
		each := (with[i] - from[i]) / float64(portions)
		grams, _ := s.week.Graph.Items[i].Grams(each)
		if each > plan.Crumb && (each*s.costing.Unit[i] >= ofCost*cost || grams >= ofWeight*plate) {
			items = append(items, i)
		}
	}
	return items
}

// least is the smallest of from..to for which a test that stays true holds; to when it never does.
func least(from, to int, holds func(int) bool) int {
	for from < to {
		middle := (from + to) / 2
		if holds(middle) {
			to = middle
		} else {
			from = middle + 1
		}
	}
	return to
}

// widen looks for the portions of the dish at one more service that bring most: when free is set, of those that take
// nothing away, and of which every one uses some of the surplus.
func (s *scout) widen(from trial, slot int, free bool) (trial, bool) {
	at := func(n int) trial { return s.try(from.with(slot, n)) }
	fits := func(n int) bool { t := at(n); return t.whole && !t.later && (!free || t.free) }
	fewest, most := max(1, s.week.Kitchen.Dishes[from.dish].AtLeast), s.most(from.dish, slot)
	if most < fewest || !fits(fewest) {
		return trial{}, false
	}
	if most = least(fewest, most+1, func(n int) bool { return n > most || !fits(n) }) - 1; most < fewest {
		return trial{}, false
	}
	looked := fewest
	if s.week.Kitchen.Dishes[from.dish].InPlace != nil { // of the first portions all may be ordered in place of something else
		looked = most
	}
	items := s.mainly(from.dish, looked, from.used, at(looked).used)
	if len(items) == 0 {
		return trial{}, false
	}
	if free {
		most = least(fewest, most, func(n int) bool { // from here on nothing more is used up
			return !slices.ContainsFunc(items, func(i int) bool { return at(most).used[i] > at(n).used[i]*(1+plan.Crumb) })
		})
	}
	best := at(most)
	low, high := fewest, most
	if low < high && fits(most-1) && best.money > at(most-1).money+cent {
		low = high // the last portion still brings something: so did those before it
	}
	for low < high { // a grid, ever closer round what brings most
		step := max(1, (high-low)/grid)
		for n := low; n <= high; n += step {
			if t := at(n); fits(n) && t.money > best.money+cent {
				best = t
			}
		}
		if step == 1 {
			break
		}
		low, high = max(fewest, best.portions[slot]-step), min(most, best.portions[slot]+step)
	}
	if s.week.Kitchen.Dishes[from.dish].Special && !s.week.WorthOffering(from.dish, best.money-from.money) {
		return trial{}, false
	}
	return best, best.money > from.money+cent
}

const (
	grid = 6    // amounts that are tried at once
	cent = 1e-6 // of the currency: less than that is rounding
)

// gather offers a dish at one service after another, those first where it brings most, by itself, with what is there by
// then.
func (s *scout) gather(ctx context.Context, dish int, free bool) (trial, bool) {
	none := trial{asked: asked{dish: dish}, whole: true, free: true, used: make([]float64, len(s.usable))}
	type first struct {
		slot  int
		score float64
	}
	var firsts []first
	for slot, sit := range s.week.Sittings {
		if sit.Service < 0 || s.week.Case.Schedule.Wants[dish].Forecast[slot] > 0 || s.rests(none.asked, slot) || ctx.Err() != nil {
			continue
		}
		if t, ok := s.widen(none, slot, free); ok {
			if there := s.there(t, slot); there >= 0.5 {
				firsts = append(firsts, first{slot, t.money * there})
			}
		}
	}
	slices.SortStableFunc(firsts, func(a, b first) int { return cmp.Compare(b.score, a.score) })
	all, largest := none, 0
	for _, f := range firsts {
		if len(all.portions) == mostServices || ctx.Err() != nil {
			break
		}
		if s.rests(all.asked, f.slot) {
			continue
		}
		if t, ok := s.widen(all, f.slot, free); ok && fewer*t.portions[f.slot] >= largest {
			all, largest = t, max(largest, t.portions[f.slot])
		}
	}
	total := 0
	for _, n := range all.portions {
		total += n
	}
	enough := cmp.Or(s.week.Kitchen.Dishes[dish].AtLeast, handful)
	return all, total >= enough
}

// there is the share, by what it would cost and else by amount, of what an offer uses of the surplus that is on hand
// when its service begins. What comes only later could be used as well, the oldest going first, but nobody can see it
// yet.
func (s *scout) there(t trial, slot int) float64 {
	begins := s.week.Case.Schedule.ServedAt(slot)
	var now, all [2]float64
	for _, u := range s.uses(t.dish, s.week.Case.With(t.shocks()...)) {
		for k, measure := range []float64{max(u.Cost, 0), u.Amount} {
			all[k] += measure
			if u.came <= begins {
				now[k] += measure
			}
		}
	}
	for k := range all {
		if all[k] > 0 {
			return now[k] / all[k]
		}
	}
	return 0
}

// handful is the fewest portions in all that are proposed of a dish without an "at least".
const handful = 2

// mostServices is at how many services one proposal offers its dish.
const mostServices = 4

// fewer is how many times fewer portions than at its best service a proposal may have at one: a handful is not worth a
// line on the board.
const fewer = 4
