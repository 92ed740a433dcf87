package flow

// Whole portions: nobody is sent away who could be served, and first choices go first.

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
)

func TestWholePortions(t *testing.T) {
	runScripts(t, `
# a line of what a dish is made with can go on with its substitute where the dish needs the first choice
item stock
item broth
order base: 0.3 stock or 0.3 broth -> 1 base
dish stew 10: 0.3 stock + 1 base
open 0 11:30
want stew 10
hand stock 3.9 made 0
hand broth 3 made 0
= served stew: 7
= left stock: 0
= left broth: 2.7

# not even the first portion could be made with first choices alone
item stock
item broth
order base: 1 stock or 1 broth -> 1 base
dish stew 10: 0.05 stock + 1 base
open 0 11:30
want stew 12
hand stock 1 made 0
hand broth 20 made 0
= served stew: 12
= left stock: 0.4
= left broth: 8

# a garnish gives way to what a dish can't do without
item fat
dish hash 10: 1 fat + 1 fat?
open 0 11:30
want hash 2
hand fat 3 made 0
= served hash: 2
= left fat: 0

# what whole soups leave of the first choice goes out before what is bought for it
buy shallots 60
item onions
dish soup 5: 0.1 onions
dish bun 7: 0.1 onions or 0.1 shallots
open 0 11:30
want soup 6
want bun 6
hand onions 1.19 made 0
= served soup: 5
= served bun: 6
= left onions: 0.09
= used bun 0 1: 0

# but what is left over is first for those who have nothing else
buy shallots 60
item onions
dish bun 7: 0.1 onions or 0.1 shallots
dish soup 5: 0.1 onions
dish salad 5: 0.1 onions
open 0 11:30
want bun 6
want soup 6
want salad 6
hand onions 1.1 made 0
= served bun: 6
= served soup: 4
= served salad: 3
= left onions: 0
= bought shallots: 0.2 on 0

# a portion that is half of each is of one, though no whole one can be made again: two roasts had 0.75 of the lamb
buy kid 60
item lamb
dish roast 150: 1 lamb or 1 kid
dish pie 90: 1 lamb
open 0 18:00
want roast 2
want pie 2
hand lamb 1.5 made 0
= served roast: 2
= served pie: 0
= left lamb: 0.5
= bought kid: 1 on 0
`)
}

// pantry makes single portions of what a walk of one service has left, with the way to fill each line given: by step, by
// line, the choice; -1 for without.
type pantry struct {
	r    *random
	have []float64
	ways map[[2]int]int
}

// take takes an amount of an item: what is there, then what its step makes to order, then what can be bought.
func (p *pantry) take(item int, amount float64) bool {
	part := min(amount, p.have[item])
	p.have[item] -= part
	if amount -= part; amount < 1e-9 {
		return true
	}
	for s, st := range p.r.steps {
		out := slices.IndexFunc(st.Gives, func(o graph.Output) bool { return o.Item == item })
		if out < 0 {
			continue
		}
		batches := amount / st.Gives[out].Amount
		for l, line := range st.Takes {
			if way := p.ways[[2]int{s, l}]; way >= 0 && !p.take(line.Choices[way].Item, batches*line.Choices[way].Amount) {
				return false
			}
		}
		for _, o := range st.Gives {
			p.have[o.Item] += batches * o.Amount
		}
		p.have[item] = max(p.have[item]-amount, 0)
		return true
	}
	arrives := p.r.sched.Arrives[item]
	return p.r.items[item].Role == graph.Bought && (arrives == nil || arrives[0])
}

// anyWay tells whether some way to fill the lines makes a portion; every one of them is tried.
func anyWay(r *random, left []float64, dish int) bool {
	p := &pantry{r: r, ways: map[[2]int]int{}}
	var lines [][2]int
	for s, st := range r.steps {
		for l := range st.Takes {
			lines = append(lines, [2]int{s, l})
		}
	}
	var try func(at int) bool
	try = func(at int) bool {
		if at == len(lines) {
			p.have = slices.Clone(left)
			return p.take(dish, 1)
		}
		line := r.steps[lines[at][0]].Takes[lines[at][1]]
		for way := range line.Choices {
			if p.ways[lines[at]] = way; try(at + 1) {
				return true
			}
		}
		p.ways[lines[at]] = -1
		return line.Optional && try(at+1)
	}
	return try(0)
}

// No dish stops while one more whole portion of it can be made of what is there, in whatever way.
func TestNobodyIsSentAwayWhoCanBeServed(t *testing.T) {
	k := anyKitchen{swaps: true, optional: true, ranks: true}
	rapid.Check(t, func(t *rapid.T) {
		r := k.draw(t)
		ways := 1
		for _, st := range r.steps {
			for _, l := range st.Takes {
				if ways *= len(l.Choices); l.Optional {
					ways = ways / len(l.Choices) * (len(l.Choices) + 1)
				}
			}
		}
		if ways > 2000 {
			t.Skip("too many ways to try")
		}
		for i, it := range r.items { // so that much is short
			if it.Role == graph.Bought && rapid.IntRange(0, 3).Draw(t, "none comes") > 0 {
				r.sched.Arrives[i] = []bool{false}
			}
		}
		t.Log(r)
		o := walkOf(t, r)
		for w, want := range r.sched.Wants {
			if o.Served[w] < want.Forecast[0] {
				require.False(t, anyWay(r, o.Left, want.Item), "%s: %v of %v", r.items[want.Item].Name, o.Served[w], want.Forecast[0])
			}
		}
	})
}

// As long as anything went out on a substitute, or without something, less is left of what comes first than a portion takes.
func TestFirstChoicesGoFirst(t *testing.T) {
	k := anyKitchen{swaps: true, optional: true, ranks: true}
	rapid.Check(t, func(t *rapid.T) {
		r := k.draw(t)
		stock := r.sched.Wants[0].Item // of the dishes alone: what they take is there, or bought
		steps := len(r.steps) - len(r.sched.Wants)
		r.steps = r.steps[steps:]
		r.terms.Cost, r.terms.Share = r.terms.Cost[steps:], r.terms.Share[steps:]
		t.Log(r)
		c := r.compile(t)
		o := c.Flow.Walk(c.Schedule, r.rule, nil)
		for s, st := range r.steps {
			require.GreaterOrEqual(t, st.Gives[0].Item, stock)
			for l, line := range st.Takes {
				first := line.Choices[0]
				otherwise := o.Batches[s] - o.Used[c.Flow.Choice(s, l, 0)]/first.Amount
				if otherwise > 1e-5 {
					require.Less(t, o.Left[first.Item], first.Amount*(1+1e-6), "%s, line %d", st.Name, l)
				}
			}
		}
	})
}
