package ask

// Weak points: every single loss tried, and which two together are far worse than their sum.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// WeakPoints is the answer to "what hurts most if it fails?".
type WeakPoints struct {
	From   string     `json:"from"` // 2006-01-02
	Days   int        `json:"days"`
	Rule   string     `json:"rule"`   // who goes short: "fair", "first" or "best"
	Losses []Loss     `json:"losses"` // by contribution lost, largest first; what can be had elsewhere before it is needed comes last
	Pairs  []LossPair `json:"pairs"`  // by what they cost beyond their sum, largest first
	Money  string     `json:"money,omitempty"`
	Notes  []string   `json:"notes,omitempty"` // what was left out, and why

	Before float64 `json:"-"` // contribution without a loss
}

// Loss is one batch or one bought item lost altogether.
type Loss struct {
	Name             string   `json:"name"`  // "night kettle of Tue 24 Nov"
	Shock            string   `json:"shock"` // as an option: lose "night kettle@2026-11-24"
	ContributionLost float64  `json:"contribution_lost"`
	PortionsLost     int      `json:"portions_lost"`
	Dishes           []string `json:"dishes"`              // that sell fewer portions, most first
	Elsewhere        string   `json:"elsewhere,omitempty"` // of a bought item, who sells it before it is needed: "corner shop, within 30 min, 11/kg"

	Of  string `json:"-"` // the step or the bought item
	Day int    `json:"-"` // of the period; flow.EveryDay for a bought item
}

// LossPair is two losses together.
type LossPair struct {
	A                string  `json:"a"` // one loss, by its name
	B                string  `json:"b"` // the other
	ContributionLost float64 `json:"contribution_lost"`
	Sum              float64 `json:"sum_of_single_losses"`
}

// Two losses are far worse than their sum when together they cost at least farWorse times as much and at least
// worthTelling of the period's contribution more.
const (
	farWorse     = 1.5
	WorthTelling = 0.01
)

// losing is every single loss of a period, with what is needed to try them.
type losing struct {
	*week.Week
	base   *week.Played
	trunk  *flow.Trunk
	worth  *week.Worth
	shocks []flow.Shock
	losses []Loss // by shock
	trials []trial
	asked  int // losses that there are: more than shocks, where those are too many
}

// trial is how far a loss reached when it was tried.
type trial struct {
	done    bool
	regions []int     // of the trunk, that it can reach
	from    int       // the minute from which on it did
	until   int       // the minute from which on all went as without it again
	moved   []float64 // by item that can always be had: how much more or less of it was taken
}

// Bounds on the work, which is about the days that are walked for all losses together; what lies beyond is not tried, and said.
const (
	mostLossDays = 1_500_000
	mostPairDays = 150_000
)

// everyLoss lists every batch of each day and every bought item that the period uses, but for what is free or to taste.
func everyLoss(ctx context.Context, w *week.Week) (*losing, error) {
	if err := w.Quick("weak plays thousands of weeks"); err != nil {
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
	l := &losing{Week: w, base: base, worth: worth, losses: []Loss{}, trunk: w.Trunk(w.Case.Ordering(base.Outcome), true)}
	type batchOf struct{ step, day int }
	seen := map[batchOf]bool{}
	add := func(shock flow.Shock, loss Loss, items ...int) {
		l.shocks, l.losses = append(l.shocks, shock), append(l.losses, loss)
		t := trial{}
		for _, i := range items {
			t.regions = append(t.regions, l.trunk.Sharers(i)...)
		}
		slices.Sort(t.regions)
		t.regions = slices.Compact(t.regions)
		l.trials = append(l.trials, t)
	}
	batch := func(step, day int) {
		name := w.Graph.Steps[step].Name
		if seen[batchOf{step, day}] { // what is left of a day's batches is lost with those under way
			return
		}
		seen[batchOf{step, day}] = true
		var gives []int
		for _, out := range w.Graph.Steps[step].Gives {
			gives = append(gives, out.Item)
		}
		add(flow.Lose{Step: step, Day: day, Share: 1}, Loss{Name: w.OfDay(day, name),
			Shock: fmt.Sprintf("lose %q", name+"@"+w.Date(day).Format("2006-01-02")), Of: name, Day: day}, gives...)
	}
	for _, pot := range w.Case.Schedule.Pots {
		if len(pot.Gives) > 0 {
			batch(pot.Step, pot.Day)
		}
	}
	for _, run := range w.Case.Schedule.Batches {
		if run.Day < w.Days && run.Size > 0 {
			batch(run.Step, run.Day)
		}
	}
	for i, it := range w.Graph.Items {
		if it.Role == graph.Bought && base.Outcome.Delivered(i) > 0 && matters(w, i) {
			add(flow.Scarce{Item: i, Day: flow.EveryDay, Share: 1}, Loss{Name: it.Name, Shock: fmt.Sprintf("short %q", it.Name+"=100%"),
				Of: it.Name, Day: flow.EveryDay, Elsewhere: replaced(w, base, i)}, i)
		}
	}
	l.asked = len(l.shocks)
	return l, nil
}

// soon leaves out the losses of the last days, where they are too many to be tried, and tells behind which day; -1 when none are.
func (l *losing) soon() (last int) {
	at := func(day int) int { return max(day, 0) } // of a bought item EveryDay
	days := make([]int, l.Days)                    // by day: losses
	for _, loss := range l.losses {
		days[at(loss.Day)]++
	}
	total := 0
	for day, n := range days {
		if total += n * l.Days; total > mostLossDays && day > 0 {
			keep := 0
			for k := range l.losses {
				if at(l.losses[k].Day) < day {
					l.shocks[keep], l.losses[keep], l.trials[keep] = l.shocks[k], l.losses[k], l.trials[k]
					keep++
				}
			}
			l.shocks, l.losses, l.trials = l.shocks[:keep], l.losses[:keep], l.trials[:keep]
			return day - 1
		}
	}
	return -1
}

// lost is the contribution that shocks cost together.
func (l *losing) lost(player *week.Player, together ...flow.Shock) (float64, *flow.Outcome) {
	c := l.StruckFrom(l.trunk, l.base.Outcome, together...)
	out := player.Fork(l.trunk, c, nil)
	return l.base.Books.Contribution - l.worth.Books(c, out).Contribution, out
}

// singly tries every loss by itself.
func (l *losing) singly(ctx context.Context, progress func(float64)) error {
	always := l.alwaysHad()
	was := l.taken(l.trunk.Outcome(), always)
	return l.Parallel(ctx, len(l.shocks), progress, func(player *week.Player, k int) {
		loss, out := l.lost(player, l.shocks[k])
		countDishes(l.Week, &l.losses[k], l.base.Outcome, out)
		l.losses[k].ContributionLost = loss
		t := &l.trials[k]
		t.done = true
		t.from, t.until = player.Apart()
		t.moved = l.taken(out, always)
		for n := range t.moved {
			t.moved[n] = math.Abs(t.moved[n] - was[n])
		}
	})
}

// alwaysHad are the items that can always be had when they are used.
func (l *losing) alwaysHad() (list []int) {
	for i := range l.Graph.Items {
		if l.trunk.Had(i) {
			list = append(list, i)
		}
	}
	return list
}

// taken is, by item of a list, how much of it an outcome took.
func (l *losing) taken(o *flow.Outcome, items []int) []float64 {
	came := make([]float64, len(l.Graph.Items))
	for _, d := range o.Deliveries {
		came[d.Item] += d.Amount
	}
	list := make([]float64, len(items))
	for n, i := range items {
		list[n] = o.Opening[i] + came[i] - o.Left[i] - o.Binned[i]
	}
	return list
}

// byLoss puts the largest loss first, what can be replaced behind all others.
func byLoss(x, y Loss) int {
	there := func(l Loss) int { return min(len(l.Elsewhere), 1) }
	return cmp.Or(cmp.Compare(there(x), there(y)), cmp.Compare(y.ContributionLost, x.ContributionLost))
}

// Losses are the single losses of [Weak], largest first, without the pairs, of which there are many.
func Losses(ctx context.Context, w *week.Week) ([]Loss, error) {
	l, err := everyLoss(ctx, w)
	if err != nil {
		return nil, err
	}
	l.soon()
	if err := l.singly(ctx, nil); err != nil {
		return nil, err
	}
	slices.SortStableFunc(l.losses, byLoss)
	return l.losses, nil
}

// Weak tries every batch of each day and every bought item that the period uses, but for what is free or to taste, then the pairs
// that may be far worse than their sum. Of what is too much it leaves out the losses of the last days, and the pairs that have least to lose. progress, when given,
// is called now and then with the part of the work that is done. When ctx ends it, what was tried by then comes with the error.
func Weak(ctx context.Context, w *week.Week, progress func(done float64)) (*WeakPoints, error) {
	l, err := everyLoss(ctx, w)
	if err != nil {
		return nil, err
	}
	part := func(from, share float64) func(float64) { // of the whole work
		return func(done float64) { progress(from + share*done) }
	}
	if progress == nil {
		part = func(float64, float64) func(float64) { return nil }
	}
	a := &WeakPoints{From: w.From.Format("2006-01-02"), Days: w.Days, Rule: w.Rule.String(), Pairs: []LossPair{},
		Money: w.Money, Before: l.base.Books.Contribution}
	if last := l.soon(); last >= 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("of %d losses the %d up to %s were tried: the others take too long", l.asked, len(l.shocks), w.DayName(last)))
	}
	if err := l.singly(ctx, part(0, 0.5)); err != nil {
		tried := 0
		for k, t := range l.trials {
			if t.done {
				l.losses[tried] = l.losses[k]
				tried++
			}
		}
		a.Losses = l.losses[:tried]
		slices.SortStableFunc(a.Losses, byLoss)
		a.Notes = append(a.Notes, fmt.Sprintf("stopped: %d of %d losses were tried, and no pairs", tried, len(l.shocks)))
		return a, err
	}
	list, more := l.pairs()
	if more > 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("of %d pairs the %d that are felt at one time and have most at stake were tried: the others take too long",
			len(list)+more, len(list)))
	}
	tried := make([]bool, len(list))
	err = w.Parallel(ctx, len(list), part(0.5, 0.5), func(player *week.Player, k int) {
		list[k].ContributionLost, _ = l.lost(player, l.shocks[list[k].a], l.shocks[list[k].b])
		tried[k] = true
	})
	done := 0
	for k, p := range list {
		if !tried[k] {
			continue
		}
		done++
		if p.ContributionLost >= farWorse*p.Sum && p.ContributionLost-p.Sum >= WorthTelling*math.Abs(a.Before) {
			a.Pairs = append(a.Pairs, p.LossPair)
		}
	}
	if err != nil {
		a.Notes = append(a.Notes, fmt.Sprintf("stopped: all losses were tried, and %d of %d pairs", done, len(list)))
	}
	a.Losses = l.losses
	slices.SortStableFunc(a.Losses, byLoss)
	slices.SortStableFunc(a.Pairs, func(x, y LossPair) int {
		return cmp.Compare(y.ContributionLost-y.Sum, x.ContributionLost-x.Sum)
	})
	return a, err
}

// countDishes finds the dishes that sell fewer portions.
func countDishes(w *week.Week, l *Loss, before, after *flow.Outcome) {
	fewer := make([]float64, len(w.Dishes))
	total := 0.0
	for k := range before.Served {
		fewer[k%len(fewer)] += before.Served[k] - after.Served[k]
		total += before.Served[k] - after.Served[k]
	}
	l.PortionsLost = int(math.Round(total))
	order := make([]int, 0, len(fewer))
	for d, f := range fewer {
		if f > 0 {
			order = append(order, d)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(fewer[b], fewer[a]) })
	l.Dishes = []string{}
	for _, d := range order {
		l.Dishes = append(l.Dishes, w.Dishes[d].Name)
	}
}
