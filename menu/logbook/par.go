package logbook

// What sells at each service of the week, by what was sold, and how much of each dish to prepare.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/mathext"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// Forecast is the answer to "how much of each dish to prepare?", from what was sold.
type Forecast struct {
	From     string          `json:"from"`     // 2006-01-02, the first day that something was sold on; "" when none was
	To       string          `json:"to"`       // 2006-01-02, the last
	Services int             `json:"services"` // at which something was sold, those of one day apart
	Dishes   []DishToPrepare `json:"dishes"`   // by dish, weekday from Monday on, and service
	Notes    []string        `json:"notes"`
	Money    string          `json:"money,omitempty"`
}

// DishToPrepare is a dish at one service of the week.
type DishToPrepare struct {
	Name    string   `json:"name"`
	Day     string   `json:"day"` // "mon"
	Service string   `json:"service"`
	Typed   *int     `json:"typed"`   // forecast of the file; null when it has none
	Seen    int      `json:"seen"`    // services at which it was sold
	RanOut  int      `json:"ran_out"` // of them, those at which it ran out: it may have sold more had there been more
	Taken   int      `json:"taken"`   // portions that guests ordered something else in place of: they count as asked for
	Mean    *float64 `json:"mean"`    // portions asked for; null when none was seen
	Spread  *float64 `json:"spread"`  // standard deviation of the services seen; null of fewer than two
	Brings  float64  `json:"brings"`  // price less plate cost: lost with a portion too few
	Wastes  float64  `json:"wastes"`  // lost overnight with a portion too many
	Ratio   float64  `json:"ratio"`   // critical ratio, at most [mostRatio]; 0 when it brings nothing
	By      string   `json:"by"`      // "seen", "spread", "mean" or "typed": what the amount was taken from
	ToHave  int      `json:"to_have"` // portions to have ready when the service begins
}

// mostRatio bounds the critical ratio: where nothing is lost with a portion too many, there is no end to how many would
// pay, and 99 services of 100 are provided for.
const mostRatio = 0.99

// enoughSeen is from how many services on the quantile is taken from what was seen; with fewer, few of them lie beyond
// it, and a distribution is fitted. It is a choice, not a law: of 20 services, the quantile at 0.95 is still the second
// largest rather than the largest.
const enoughSeen = 20

// CriticalRatio is the share of services for which it pays to have enough: a portion too few loses what it would have
// brought, one too many what it wastes (the newsvendor: Arrow, Harris and Marschak, Optimal Inventory Policy,
// Econometrica 19, 1951; Cachon and Terwiesch, Matching Supply with Demand). It is 0 when a portion brings nothing, and
// at most 0.99.
func CriticalRatio(brings, wastes float64) float64 {
	if brings <= 0 {
		return 0
	}
	return min(brings/(brings+max(wastes, 0)), mostRatio)
}

// ToHave is the least number of portions that is enough for a share of services, and what it was taken from.
//
//   - From 20 services on, the empirical quantile of those seen (by "seen"): the sample that solves the newsvendor's
//     problem (Levi, Roundy and Shmoys, Provably Near-Optimal Sampling-Based Policies for Stochastic Inventory Control
//     Models, Mathematics of Operations Research 32, 2007).
//   - From 2 on, a negative binomial with the mean and variance of those seen (by "spread"): a Poisson whose mean
//     itself varies from day to day (Greenwood and Yule, Journal of the Royal Statistical Society 83, 1920). Where
//     they vary less than a Poisson's would, a Poisson. Portions are counts, and often few: a normal would go below
//     nothing.
//   - With one or none, a Poisson with the typed forecast as its mean (by "typed"); where there is none either, with
//     what the one service sold (by "mean"). One quiet evening says less than the cook who typed a forecast.
func ToHave(ratio float64, seen []float64, typed float64) (portions float64, by string) {
	n := float64(len(seen))
	switch {
	case len(seen) == 1 && typed == 0:
		return fittedQuantile(ratio, seen[0], 0), "mean"
	case len(seen) < 2:
		return fittedQuantile(ratio, typed, 0), "typed"
	case len(seen) < enoughSeen:
		mean, variance := moments(seen)
		return fittedQuantile(ratio, mean, variance), "spread"
	case ratio <= 0:
		return 0, "seen"
	}
	sorted := slices.Sorted(slices.Values(seen))
	return sorted[max(int(math.Ceil(n*ratio-slack)), 1)-1], "seen"
}

// moments are the mean, and the variance with n-1.
func moments(seen []float64) (mean, variance float64) {
	n := float64(len(seen))
	for _, x := range seen {
		mean += x / n
	}
	for _, x := range seen {
		variance += (x - mean) * (x - mean) / (n - 1)
	}
	return mean, variance
}

// fittedQuantile is the least count whose chance of not being passed is at least a ratio below 1: negative binomial, or
// Poisson where the variance is no larger than the mean.
func fittedQuantile(ratio, mean, variance float64) float64 {
	if ratio <= 0 || mean <= 0 {
		return 0
	}
	enough := func(k int) bool { return atMost(float64(k), mean, variance) >= ratio }
	high := 1
	for high < mostPortions && !enough(high) {
		high *= 2
	}
	low := 0 // the least that is enough lies from here to high
	for low < high {
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return float64(low)
}

// atMost is the chance of k or fewer.
func atMost(k, mean, variance float64) float64 {
	if variance-mean <= slack*mean {
		return mathext.GammaIncRegComp(k+1, mean) // Abramowitz and Stegun 26.4.21, from memory
	}
	r := mean * mean / (variance - mean)
	return mathext.RegIncBeta(r, k+1, mean/variance) // the same, 26.5.26, from memory
}

// sitting is a service of a day since 1970.
type sitting struct{ day, service int }

// struckAt is a dish that was off the menu at a service.
type struckAt struct {
	sitting
	dish int
}

// served is what was sold at one service.
type served struct {
	sitting
	portions []int  // by dish
	out      []bool // by dish: not one more could have been served
	gone     []bool // by dish: what it needs had been binned before the first of the service was sold
}

// serve adds portions sold to their service.
func (t *till) serve(e *Entry, dish int) {
	s, ok := t.sittingOf(e)
	if !ok {
		t.unplaced++
		return
	}
	at, ok := t.servedAt[s]
	if !ok {
		at = len(t.served)
		t.servedAt[s] = at
		dishes := len(t.p.k.Dishes)
		t.served = append(t.served, served{s, make([]int, dishes), make([]bool, dishes), t.gone()})
	}
	if t.open >= 0 && t.open != at {
		t.ranOut()
	}
	t.open = at
	t.served[at].portions[dish] += e.Portions
}

// sittingOf is the service of a sold entry, as [kitchen.Kitchen.ServedAt] has it.
func (t *till) sittingOf(e *Entry) (s sitting, ok bool) {
	day, service, ok := t.p.k.ServedAt(e.At, e.Service)
	return sitting{int(day.Unix() / secondsADay), service}, ok
}

// strike takes a dish off a service, or off all services of its day that are not over.
func (t *till) strike(e *Entry) {
	if t == nil {
		return
	}
	d, ok := t.p.dishAt[e.Dish]
	if !ok {
		return // it is in no row of a forecast either
	}
	day := e.On(t.p.k)
	for n, sv := range t.p.k.Services {
		h := t.p.k.HoursOn(day, n)
		ends := minutesAfter(day, h.To)
		if e.Service == sv.Name || e.Service == "" && e.At.Before(ends) {
			began := !e.At.Before(minutesAfter(day, h.From)) && e.At.Before(ends)
			t.struck[struckAt{sitting{int(day.Unix() / secondsADay), n}, d}] = began
		}
	}
}

// bin notes what was thrown away: what needs it can't be served until there is some again.
func (t *till) bin(e *Entry) {
	if t == nil {
		return
	}
	for _, a := range e.Takes {
		if i, ok := t.p.itemAt[a.Item]; ok {
			t.binned[i] = true
		}
	}
}

// stocked notes that an item was brought or counted, so that binning is no longer why it lacks.
func (t *till) stocked(item int) {
	if t != nil {
		t.binned[item] = false
	}
}

// shut ends the open service before an entry that is not of it. What is counted after a service is the truth about what
// it left.
func (t *till) shut(e *Entry) {
	switch {
	case t.open < 0 || slices.Contains([]Kind{NotCome, Late, Skipped, Temperature, Struck, Lost, Offered, Measured}, e.Kind): // which move nothing
		return
	case e.Kind == Counted && int(t.p.k.DayAt(e.At).Unix()/secondsADay) == t.served[t.open].day:
		return
	}
	t.ranOut()
	t.open = -1
}

// ranOut marks the dishes of the open service of which the shelves do not have one more portion. Of items that never
// stood on a shelf nothing can be told.
func (t *till) ranOut() {
	if t == nil || t.open < 0 {
		return
	}
	s := &t.served[t.open]
	for d, n := range s.portions {
		if n > 0 {
			s.out[d] = t.lacks(d) >= 0
		}
	}
}

// lacks is the item of which the shelves have too little for one more portion of a dish; -1 when there is none. Of items
// that never stood on a shelf nothing can be told: nobody writes them down.
func (t *till) lacks(dish int) (item int) {
	p := t.p
	for _, m := range p.taker.Take(p.k.Dishes[dish].Item, 1, p.have, p.uncounted) {
		shelf := &p.shelves[m.Item]
		kept := !shelf.Empty() || shelf.last.Amount > 0
		if missing := -m.Amount - p.have[m.Item]; kept && missing > slack*-m.Amount {
			return m.Item
		}
	}
	return -1
}

// gone are the dishes that can't be served for something that was binned.
func (t *till) gone() []bool {
	gone := make([]bool, len(t.p.k.Dishes))
	for d := range gone {
		item := t.lacks(d)
		gone[d] = item >= 0 && t.binned[item]
	}
	return gone
}

// forecast is how much of each dish to prepare, by the services that ended since a day.
func (b *books) forecast(since time.Time) (*Forecast, error) {
	k, now := b.k, int(b.asOf.Unix()/60)
	a := &Forecast{Dishes: []DishToPrepare{}, Notes: []string{}, Money: k.Money}
	var list []served
	differed := 0
	for _, s := range b.till.served {
		day := time.Unix(int64(s.day)*secondsADay, 0).UTC()
		switch end := s.day*24*60 + k.HoursOn(day, s.service).To; {
		case day.Before(since) || end > now:
		case k.Differs(day, s.service): // it says little of a usual day
			differed++
		default:
			list = append(list, s)
		}
	}
	slices.SortFunc(list, func(x, y served) int { return cmp.Or(x.day-y.day, x.service-y.service) })
	if a.Services = len(list); len(list) > 0 {
		a.From, a.To = date(list[0].day), date(list[len(list)-1].day)
	}
	wastes, err := overnight(k, b.till.file)
	if err != nil {
		return nil, err
	}
	for d, dish := range k.Dishes {
		brings := dish.Price - b.till.file.Unit[dish.Item]
		seen := seenOf(list, k, d, b.till.struck)
		for day := range 7 {
			weekday := (day + 1) % 7                   // from Monday on
			for _, meal := range k.Standing(weekday) { // what was sold otherwise was no service of the week
				n, service := meal.Service, k.Services[meal.Service]
				typed, isTyped := 0, false
				if n < len(dish.Sells[weekday]) {
					typed = dish.Sells[weekday][n]
					isTyped = typed > 0
				}
				at := seen[sitting{weekday, n}]
				if typed == 0 && !at.sold {
					continue
				}
				row := DishToPrepare{Name: dish.Name, Day: kitchen.Weekdays[weekday], Service: service.Name, Seen: len(at.portions),
					RanOut: at.ranOut, Taken: at.taken, Brings: brings, Wastes: wastes[d], Ratio: CriticalRatio(brings, wastes[d])}
				if isTyped {
					row.Typed = new(typed)
				}
				row.describe(at.portions)
				portions, by := ToHave(row.Ratio, at.portions, float64(typed))
				row.ToHave, row.By = int(math.Ceil(portions-slack)), by
				a.Dishes = append(a.Dishes, row)
			}
		}
	}
	if differed > 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("services on days that differ from the standing week are left out: %d", differed))
	}
	a.Notes = append(a.Notes, b.forecastNotes(a)...)
	return a, nil
}

func date(day int) string { return time.Unix(int64(day)*secondsADay, 0).UTC().Format(time.DateOnly) }

// describe fills in what was seen.
func (d *DishToPrepare) describe(portions []float64) {
	switch len(portions) {
	case 0:
	case 1:
		d.Mean = new(portions[0])
	default:
		mean, variance := moments(portions)
		d.Mean, d.Spread = new(mean), new(math.Sqrt(variance))
	}
}

// overnight is what is lost, by dish, with a portion that was prepared and not sold: of each item that stands on the
// shelf for it (first choices; what steps make to order is not made yet, so its labour is neither spent nor lost),
// its unit cost and disposal over the days that it keeps. What keeps N days has N-1 of them left tomorrow, and counts
// for that share of its cost (straight line; a convention of this program, no source). What keeps for one day is lost,
// and what does not spoil loses nothing.
func overnight(k *kitchen.Kitchen, file *flow.Costing) ([]float64, error) {
	f, err := flow.Compile(k.Graph, k.Terms)
	if err != nil {
		return nil, err
	}
	const plenty = 1e6 // base units, far more than a portion takes
	items := k.Graph.Items
	have, bought := make([]float64, len(items)), make([]bool, len(items))
	for i, it := range items {
		bought[i] = it.Role == graph.Bought
	}
	for _, st := range k.Graph.Steps[:len(k.Steps)] {
		if st.Mode == graph.ToOrder && !st.AsNeeded() {
			continue
		}
		for _, out := range st.Gives {
			have[out.Item] = plenty
		}
	}
	taker, wastes := flow.NewTaker(f), make([]float64, len(k.Dishes))
	for d, dish := range k.Dishes {
		made := taker.Take(dish.Item, 1, have, bought)
		uncounted, _ := taker.Beside()
		for _, m := range slices.Concat(made, uncounted) {
			if keeps := k.Terms.Keeps[m.Item]; keeps > 0 && m.Amount < 0 {
				grams, _ := items[m.Item].Grams(-m.Amount) // what can't be weighed is taken away for nothing
				wastes[d] += (-m.Amount*file.Unit[m.Item] + grams*k.Terms.Disposal) / float64(keeps)
			}
		}
	}
	return wastes, nil
}

// forecastNotes say what the figures can't.
func (b *books) forecastNotes(a *Forecast) (notes []string) {
	ranOut, keeping, taken := false, false, 0
	for _, d := range a.Dishes {
		taken += d.Taken
		ranOut = ranOut || d.RanOut > 0
		keeping = keeping || d.Brings > 0 && d.Ratio == mostRatio
	}
	if ranOut {
		notes = append(notes, "where a dish ran out by the log book, sales only show the least that was ordered"+
			": mean and amount are too low rather than too high")
	}
	if taken > 0 {
		notes = append(notes, fmt.Sprintf("portions that guests ordered something else in place of, by the kitchen file's shares, count as asked for: %d", taken))
	}
	if a.Services > 0 {
		notes = append(notes, "a dish that ran out unlogged, or before any was sold, can't be "+
			"told from one that fewer ordered")
	}
	if keeping {
		notes = append(notes, "where hardly anything is lost with a portion too many, 99 services of 100 are provided for")
	}
	if n := b.till.unplaced; n > 0 {
		notes = append(notes, fmt.Sprintf("entries without a service, at a time that does not show it (%d), are not "+
			"counted; log them as %s", n, Form(b.k, Sold)))
	}
	return append(notes, b.oddNames()...)
}
