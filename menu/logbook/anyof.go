package logbook

// What goes by the card into a batch where the cook does not mind which: what a walk would have taken of what was on hand.

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// fills says what fills a line of a step by the card: amounts of its choices, in base units.
type fills func(line int, of graph.Line, batches float64) []part

// part is an amount of an item.
type part struct {
	item int
	base float64
}

// byFirst fills every line with its first choice.
func byFirst(_ int, of graph.Line, batches float64) []part {
	return []part{{of.Choices[0].Item, of.Choices[0].Amount * batches}}
}

// byOnHand fills a line of which the cook does not mind what fills it with what is on hand at a moment: first what keeps least long, then
// the cheapest; and the rest with the cheapest that nobody keeps book of, or that is bought, or else the first: it went in, whatever the
// log book has. A line with a first choice is filled with that.
func (j *Book) byOnHand(ctx context.Context, k *kitchen.Kitchen, step int, at time.Time) (fills, error) {
	if !slices.ContainsFunc(k.Graph.Steps[step].Takes, func(line graph.Line) bool { return line.Alike > 1 }) {
		return byFirst, nil
	}
	stock, err := j.OnHand(ctx, k, at)
	if err != nil {
		return nil, err
	}
	f, err := flow.Compile(k.Graph, k.Terms)
	if err != nil {
		return nil, err
	}
	have, until, days := make([]float64, len(k.Graph.Items)), make([]int, len(k.Graph.Items)), k.DayOnes()
	for _, l := range stock.Lots {
		if _, past := l.past(days, k, k.DayAt(at)); past { // nobody puts that in
			continue
		}
		if have[l.Item] == 0 { // the oldest stands first
			if until[l.Item] = math.MaxInt; k.Terms.Keeps[l.Item] > 0 {
				until[l.Item] = dayNumber(l.Made) + k.Terms.Keeps[l.Item]
			}
			if last, ok := days.Last(l.Item, dayNumber(l.Made), l.Since); ok {
				until[l.Item] = min(until[l.Item], last+1)
			}
		}
		have[l.Item] += l.Amount
	}
	return func(line int, of graph.Line, batches float64) (list []part) {
		if of.Alike < 2 {
			return byFirst(line, of, batches)
		}
		var order []int
		for c := range of.Choices {
			order = append(order, c)
		}
		byCost := func(a, b int) int { return flow.ByCost(f.Dear(step, line, a), f.Dear(step, line, b)) }
		slices.SortStableFunc(order, func(a, b int) int {
			return cmp.Or(cmp.Compare(until[of.Choices[a].Item], until[of.Choices[b].Item]), byCost(a, b))
		})
		for _, c := range order {
			item, each := of.Choices[c].Item, of.Choices[c].Amount
			if much := min(have[item], each*batches); much > slack*each {
				list = append(list, part{item, much})
				have[item] -= much
				batches -= much / each
			}
		}
		if batches <= slack {
			return list
		}
		slices.Sort(order)
		slices.SortStableFunc(order, byCost)
		rest := 0
		for _, can := range []func(item int) bool{
			func(item int) bool { return k.Graph.Items[item].Role == graph.Bought },
			func(item int) bool { return stock.NoBook[item] },
		} {
			if n := slices.IndexFunc(order, func(c int) bool { return can(of.Choices[c].Item) }); n >= 0 {
				rest = order[n]
			}
		}
		return append(list, part{of.Choices[rest].Item, of.Choices[rest].Amount * batches})
	}, nil
}
