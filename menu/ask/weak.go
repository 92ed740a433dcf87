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
	Losses []Loss     `json:"losses"` // by contribution lost, largest first
	Pairs  []LossPair `json:"pairs"`  // by what they cost beyond their sum, largest first
	Money  string     `json:"money,omitempty"`

	Before float64 `json:"-"` // contribution without a loss
}

// Loss is one batch or one bought item lost altogether.
type Loss struct {
	Name             string   `json:"name"`  // "night kettle of Tue 24 Nov"
	Shock            string   `json:"shock"` // as an option: lose "night kettle@2026-11-24"
	ContributionLost float64  `json:"contribution_lost"`
	PortionsLost     int      `json:"portions_lost"`
	Dishes           []string `json:"dishes"` // that sell fewer portions, most first

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
	worth  *week.Worth
	shocks []flow.Shock
	losses []Loss // by shock
}

// everyLoss lists every batch of each day and every bought item that the period uses.
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
	l := &losing{Week: w, base: base, worth: worth, losses: []Loss{}}
	batch := func(step, day int) {
		shock, name := flow.Lose{Step: step, Day: day, Share: 1}, w.Graph.Steps[step].Name
		if !slices.Contains(l.shocks, flow.Shock(shock)) { // what is left of a day's batches is lost with those under way
			l.shocks = append(l.shocks, shock)
			l.losses = append(l.losses, Loss{Name: w.OfDay(day, name),
				Shock: fmt.Sprintf("lose %q", name+"@"+w.Date(day).Format("2006-01-02")), Of: name, Day: day})
		}
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
		if it.Role == graph.Bought && base.Outcome.Delivered(i) > 0 {
			l.shocks = append(l.shocks, flow.Scarce{Item: i, Day: flow.EveryDay, Share: 1})
			l.losses = append(l.losses, Loss{Name: it.Name, Shock: fmt.Sprintf("short %q", it.Name+"=100%"), Of: it.Name,
				Day: flow.EveryDay})
		}
	}
	return l, nil
}

// lost is the contribution that shocks cost together.
func (l *losing) lost(player *week.Player, together ...flow.Shock) (float64, *flow.Outcome) {
	c := l.Struck(l.Case, l.base.Outcome, together...)
	out := player.Play(c, nil)
	return l.base.Books.Contribution - l.worth.Books(c, out).Contribution, out
}

// singly tries every loss by itself.
func (l *losing) singly(ctx context.Context, progress func(float64)) error {
	return l.Parallel(ctx, len(l.shocks), progress, func(player *week.Player, k int) {
		loss, out := l.lost(player, l.shocks[k])
		countDishes(l.Week, &l.losses[k], l.base.Outcome, out)
		l.losses[k].ContributionLost = loss
	})
}

func byLoss(x, y Loss) int { return cmp.Compare(y.ContributionLost, x.ContributionLost) }

// Losses are the single losses of [Weak], largest first, without the pairs, of which there are many.
func Losses(ctx context.Context, w *week.Week) ([]Loss, error) {
	l, err := everyLoss(ctx, w)
	if err != nil {
		return nil, err
	}
	if err := l.singly(ctx, nil); err != nil {
		return nil, err
	}
	slices.SortStableFunc(l.losses, byLoss)
	return l.losses, nil
}

// Weak tries every batch of each day and every bought item that the period uses. progress, when given, is called
// now and then with the part of the work that is done. It stops with ctx.
func Weak(ctx context.Context, w *week.Week, progress func(done float64)) (*WeakPoints, error) {
	l, err := everyLoss(ctx, w)
	if err != nil {
		return nil, err
	}
	base, n := l.base, len(l.shocks)
	part := func(from, share float64) func(float64) { // of the whole work
		return func(done float64) { progress(from + share*done) }
	}
	if progress == nil {
		part = func(float64, float64) func(float64) { return nil }
	}
	if err := l.singly(ctx, part(0, 0.1)); err != nil {
		return nil, err
	}
	a := &WeakPoints{From: w.From.Format("2006-01-02"), Days: w.Days, Rule: w.Rule.String(), Losses: l.losses, Pairs: []LossPair{},
		Money: w.Money, Before: base.Books.Contribution}
	// No two losses cost more than all sales and all that is left: where their sum comes near that, they can't be far worse.
	most := base.Books.Sales
	for i, left := range base.Outcome.Left {
		most += l.worth.Left(w.Case.Flow, i, left)
	}
	var pairs []LossPair
	var of [][2]int
	for i := range n {
		for j := i + 1; j < n; j++ {
			if sum := max(l.losses[i].ContributionLost, 0) + max(l.losses[j].ContributionLost, 0); farWorse*sum <= most {
				pairs = append(pairs, LossPair{A: a.Losses[i].Name, B: a.Losses[j].Name, Sum: sum})
				of = append(of, [2]int{i, j})
			}
		}
	}
	err = w.Parallel(ctx, len(pairs), part(0.1, 0.9), func(player *week.Player, k int) {
		pairs[k].ContributionLost, _ = l.lost(player, l.shocks[of[k][0]], l.shocks[of[k][1]])
	})
	if err != nil {
		return nil, err
	}
	for _, p := range pairs {
		if p.ContributionLost >= farWorse*p.Sum && p.ContributionLost-p.Sum >= WorthTelling*math.Abs(base.Books.Contribution) {
			a.Pairs = append(a.Pairs, p)
		}
	}
	slices.SortStableFunc(a.Losses, byLoss)
	slices.SortStableFunc(a.Pairs, func(x, y LossPair) int {
		return cmp.Compare(y.ContributionLost-y.Sum, x.ContributionLost-x.Sum)
	})
	return a, nil
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
