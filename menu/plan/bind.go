package plan

// What would help: what one more of something would bring.

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"kettletree/menu/plan/solve"
)

// Bind is something of which one more would bring money.
type Bind struct {
	What  string  `json:"what"`  // item or dish
	When  string  `json:"when"`  // "Fri 27 Nov dinner"
	Unit  string  `json:"unit"`  // of the item; "" for one more guest that asks for a dish
	Money float64 `json:"money"` // that one more would bring, beyond what it would be worth on hand
}

// How many items and dishes are said: that one more guest would bring money is no news, so only the best dishes are.
const (
	mostItems  = 6
	mostDishes = 3
)

// binds solves the plan once more with batches, packs and offers as they are, and portions and what follows in fractions: the duals of that
// linear program say of what a little more would bring most. Of each item or dish, the time at which it does is said, items
// first. A dual holds for a little only: what one whole unit of an item brings is found by giving one more.
func (m *model) binds(ctx context.Context, x []float64) ([]Bind, error) {
	// The plan as a linear program: what is whole is held, portions are let free.
	q := m.p
	q.Columns, q.Rows = slices.Clone(q.Columns), slices.Clone(q.Rows)
	served := map[int][2]int{}
	for slot, cols := range m.portions {
		for d, c := range cols {
			if c >= 0 {
				served[c] = [2]int{slot, d}
			}
		}
	}
	for j := range q.Columns {
		c := &q.Columns[j]
		if group := m.hints[j].Group; c.Integer && group != selling && group != following {
			c.Lower, c.Upper = x[j], x[j]
		}
		c.Integer = false
	}
	lp, err := solve.Solve(ctx, q, solve.Options{})
	if err != nil || lp.Status != solve.Optimal {
		return nil, err
	}

	// What one more of an item, or one more guest, would bring by the prices of the linear program; the most for each.
	best, rows := map[string]Bind{}, map[string]int{}
	tell := func(b Bind) bool {
		old, ok := best[b.What]
		if better := !ok || b.Money > old.Money*(1+1e-9); !better {
			return false
		}
		best[b.What] = b
		return true
	}
	for r, a := range m.about {
		if a.item < 0 || !a.served || m.kinds[a.item] != stocked {
			continue
		}
		// A row is what comes in less what goes out: one more on hand is its side one lower.
		if money := math.Abs(lp.Duals[r]) - m.value(a.item); money > 0.005 {
			it := m.g.Items[a.item]
			if tell(Bind{What: it.Name, When: a.when, Unit: it.Unit.Name, Money: money}) {
				rows[it.Name] = r
			}
		}
	}
	for _, j := range slices.Sorted(maps.Keys(served)) {
		at := served[j]
		if money := lp.ReducedCosts[j]; money > 0.005 && x[j] > q.Columns[j].Upper-0.5 {
			tell(Bind{What: m.Kitchen.Dishes[at[1]].Name, When: m.SittingName(at[0]), Money: money})
		}
	}

	// The few that bring most.
	var items, dishes []Bind
	for _, what := range slices.Sorted(maps.Keys(best)) {
		if b := best[what]; b.Unit != "" {
			items = append(items, b)
		} else {
			dishes = append(dishes, b)
		}
	}
	byMoney := func(a, b Bind) int { return cmp.Compare(math.Round(b.Money*100), math.Round(a.Money*100)) }
	slices.SortStableFunc(items, byMoney)
	slices.SortStableFunc(dishes, byMoney)
	items, dishes = items[:min(len(items), mostItems)], dishes[:min(len(dishes), mostDishes)]

	// A price holds for a crumb only: each item is tried with one more of it.
	for k := range items {
		r := rows[items[k].What]
		old := q.Rows[r]
		q.Rows[r].Lower--
		q.Rows[r].Upper--
		stocks := m.shelf[m.about[r].item].stocks
		for _, j := range stocks {
			q.Columns[j].Upper++
		}
		more, err := solve.Solve(ctx, q, solve.Options{Warm: &lp})
		if err != nil {
			return nil, err
		}
		items[k].Money = 0
		if more.Status == solve.Optimal {
			items[k].Money = more.Objective - lp.Objective - m.value(m.about[r].item)
		}
		q.Rows[r] = old
		for _, j := range stocks {
			q.Columns[j].Upper--
		}
	}
	items = slices.DeleteFunc(items, func(b Bind) bool { return b.Money <= 0.005 })
	slices.SortStableFunc(items, byMoney)
	return slices.Concat(items, dishes), nil
}
