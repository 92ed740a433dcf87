package shop

// A banquet that costs less: with written second choices of which the kitchen's own batches leave enough, and with batches on other
// days. Every try is cooked, walked and paid for.

import (
	"errors"
	"maps"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
)

const (
	// mostWalks bounds the search for a cheaper banquet.
	mostWalks = 2000
	// mostFew bounds how many sets of one or two batches are tried.
	mostFew = 500
	// mostWays bounds the ways to fill the lines of a banquet that are tried.
	mostWays = 32
	// worthwhile is the share of what a banquet costs that a second choice must save before it is taken: the card is kept else.
	worthwhile = 0.01
)

// cooked is a way to cook the banquet, with what it comes to.
type cooked struct {
	more    map[batch]int
	order   []batch
	fills   []fill
	cash    float64 // beyond the standing week
	batches int
}

// errDear bars a batch while another way is tried.
var errDear = errors.New("it was tried without")

// cheaper looks for a way to cook the banquet that costs less than the one that was found, and leaves the cheapest. It stops where the
// context ends, with the best so far.
func (c *catering) cheaper() {
	best, ok := c.cooked()
	if !ok {
		return
	}
	first := best
	c.effort = max(worthwhile*first.cash, coin)
	c.walks = 0
	for _, fills := range c.ways() {
		if way, ok := c.afresh(fills, nil); ok && c.price(way) < c.price(best)-max(worthwhile*best.cash, coin) {
			best = way
		}
	}

	// With none, for a batch that is cut may be no loss to anybody. Without one of its batches, what is short is looked for again.
	c.more, c.order, c.fills = map[batch]int{}, nil, best.fills
	if way, ok := c.cooked(); ok && c.better(way, best) {
		best = way
	}
	for found := true; found && !c.tired(); {
		found = false
		for _, k := range best.order {
			if best.more[k] == 0 || c.tired() {
				continue
			}
			if way, ok := c.afresh(best.fills, map[batch]error{k: errDear}); ok && c.better(way, best) {
				best, found = way, true
				break
			}
		}
	}
	c.fills = best.fills
	best, _ = c.few(best, true)
	for found := true; found && !c.tired(); {
		best = c.shifted(best)
		best, found = c.several(best)
	}
	c.more, c.order, c.fills, c.barred = best.more, best.order, best.fills, map[batch]error{}
	c.saves, c.fewer = first.cash-best.cash, first.batches-best.batches
}

// price is what a way costs with the effort of its batches: nobody lights another pot to save a coin.
func (c *catering) price(w cooked) float64 { return w.cash + c.effort*float64(w.batches) }

// better tells whether a way costs less than another.
func (c *catering) better(w, other cooked) bool { return c.price(w) < c.price(other)-coin }

// tired tells that nothing more is tried.
func (c *catering) tired() bool {
	if c.trying != nil {
		c.trying(min(float64(c.walks)/mostWalks, 1))
	}
	return c.walks >= mostWalks || c.ctx.Err() != nil
}

// shifted looks around a way: with one batch less, one more, or one on another day or of another step, as long as that costs less.
// What is short is then not looked for; it is cooked and walked as it stands.
func (c *catering) shifted(best cooked) cooked {
	all := c.possible()
	for found := true; found && !c.tired(); {
		found = false
		for _, from := range append([]batch{{step: -1}}, best.order...) {
			if from.step >= 0 && best.more[from] == 0 {
				continue
			}
			for _, to := range append([]batch{{step: -1}}, all...) {
				if from == to || c.tired() {
					continue
				}
				c.more, c.order = maps.Clone(best.more), slices.Clone(best.order)
				if from.step >= 0 {
					c.more[from]--
				}
				if to.step >= 0 && !c.put(to) {
					continue
				}
				if way, ok := c.cooked(); ok && c.better(way, best) {
					best, found = way, true
					break
				}
			}
			if found {
				break
			}
		}
	}
	return best
}

// several adds batches of one step, the latest days first, one after another: a pack of something else may be saved by many of them, and by
// none of them alone.
func (c *catering) several(best cooked) (way cooked, found bool) {
	way = best
	all := c.possible()
	for at := range all {
		if at > 0 && all[at].step == all[at-1].step {
			continue
		}
		c.more, c.order = maps.Clone(best.more), slices.Clone(best.order)
		for n := len(all) - 1; n >= 0; n-- {
			for all[n].step == all[at].step && !c.tired() && c.put(all[n]) && c.more[all[n]] <= mostTaken {
				if is, ok := c.cooked(); ok && c.better(is, way) {
					way, found = is, true
				}
			}
		}
	}
	return way, found
}

// put adds a batch where there is room for it.
func (c *catering) put(k batch) bool {
	if c.room(k, c.vessels()) != "" {
		return false
	}
	if c.more[k]++; !slices.Contains(c.order, k) {
		c.order = append(c.order, k)
	}
	return true
}

// possible are the batches that could be made for the banquet: of all that goes into what it asks for, on days up to its own; on one on
// which nobody is there only where the step is done anyway.
func (c *catering) possible() (list []batch) {
	for s, st := range c.g.Steps {
		if st.Mode != graph.OnDays || !c.serves(s) {
			continue
		}
		for day := range c.Sittings[c.slot].Day + 1 {
			k := batch{s, day}
			if _, alone := c.Unattended(s, day, c.Steps[s].Starts); !alone || c.standing(k) > 0 {
				list = append(list, k)
			}
		}
	}
	return list
}

// few looks for the cheapest of all sets of none, one or two batches, at no more walks than mostFew: where no way was found by what is
// short, for a batch that is cut may be no loss to anybody, and where two together save what neither does alone.
func (c *catering) few(best cooked, found bool) (cooked, bool) {
	none := batch{step: -1}
	all := append([]batch{none}, c.possible()...)
	until := c.walks + mostFew
	for n, a := range all {
		for _, b := range all[:n+1] {
			if c.tired() || c.walks >= until {
				return best, found
			}
			c.more, c.order = map[batch]int{}, nil
			if (a == none || c.put(a)) && (b == none || c.put(b)) {
				if way, ok := c.cooked(); ok && (!found || c.better(way, best)) {
					best, found = way, true
				}
			}
		}
	}
	return best, found
}

// afresh cooks the banquet from nothing, with some lines filled otherwise and some batches barred.
func (c *catering) afresh(fills []fill, barred map[batch]error) (way cooked, ok bool) {
	c.more, c.order, c.fills, c.barred = map[batch]int{}, nil, fills, maps.Clone(barred)
	if c.barred == nil {
		c.barred = map[batch]error{}
	}
	if c.cook() != nil {
		return cooked{}, false
	}
	return c.cooked()
}

// cooked is the banquet as it stands; not ok when it can't be served like that.
func (c *catering) cooked() (way cooked, ok bool) {
	is := flow.Case{Flow: c.base.Flow, Schedule: c.cooking()}
	c.walks++
	o := c.player.Play(is, nil)
	if c.lacks(o) != nil {
		return cooked{}, false
	}
	worth, err := c.Worth()
	if err != nil {
		return cooked{}, false
	}
	way = cooked{more: maps.Clone(c.more), order: slices.Clone(c.order), fills: c.fills,
		cash: worth.Books(is, o).Spent() - worth.Books(c.base, c.alone).Spent()}
	for _, n := range c.more {
		way.batches += n
	}
	return way, true
}

// fill is a line of what is made to order that is filled with another choice than its first at the banquet's service, in part.
type fill struct {
	step, line, choice int
	share              float64
}

// parts are the shares that are tried, of what all at the service take: by eighths, for no cook measures it finer.
const parts = 8

// ways are the ways to fill a line of what is made to order for the banquet with a second choice that brings no allergen.
func (c *catering) ways() (list [][]fill) {
	if c.asking.Schedule.Directions != nil {
		return nil
	}
	for s, st := range c.g.Steps {
		if st.Mode != graph.ToOrder || !c.serves(s) {
			continue
		}
		for l, line := range st.Takes {
			first := c.Stated(line.Choices[0].Item)
			for n, choice := range line.Choices[1:] {
				beyond := c.Stated(choice.Item).Beyond(first)
				if line.Carried || len(beyond.Has)+len(beyond.May)+len(beyond.Unknown) > 0 || c.g.Items[choice.Item].Role == graph.Bought {
					continue
				}
				for part := range parts {
					share := float64(part+1) / parts
					if all := c.portionsOf(s); all > 0 {
						share = math.Ceil(share*all) / all
					}
					list = append(list, []fill{{s, l, n + 1, share}})
				}
			}
		}
	}
	return list[:min(len(list), mostWays)]
}

// directions fill the lines of the banquet's service as it was decided; nil where nothing was.
func (c *catering) directions(s *flow.Schedule) *flow.Directions {
	if len(c.fills) == 0 {
		return s.Directions
	}
	f := c.base.Flow
	mix := make([]float64, f.Choices())
	for step, st := range c.g.Steps {
		for line := range st.Takes {
			mix[f.Choice(step, line, 0)] = 1
		}
	}
	for _, x := range c.fills {
		mix[f.Choice(x.step, x.line, 0)] -= x.share
		mix[f.Choice(x.step, x.line, x.choice)] += x.share
	}
	d := &flow.Directions{Serve: make([][]float64, len(s.Slots))}
	d.Serve[c.slot] = mix
	return d
}

// portionsOf is how many portions of a dish are asked for at the banquet's service, by the step that makes it; 0 for other steps.
func (c *catering) portionsOf(step int) float64 {
	if step < len(c.Steps) {
		return 0
	}
	return c.asking.Schedule.Wants[step-len(c.Steps)].Forecast[c.slot]
}

// seconds are the second choices that the banquet takes.
func (c *catering) seconds() (list []Second) {
	for _, f := range c.fills {
		st := c.g.Steps[f.step]
		line, all := st.Takes[f.line], c.portionsOf(f.step)
		list = append(list, Second{In: st.Name, Item: c.g.Items[line.Choices[f.choice].Item].Name, For: c.g.Items[line.Choices[0].Item].Name,
			Share: f.share, Portions: int(math.Round(f.share * all)), Of: int(all), Saves: c.saves, Batches: c.fewer})
	}
	return list
}

// serves tells whether something that the banquet asks for comes of a step.
func (c *catering) serves(step int) bool {
	return slices.ContainsFunc(c.need, func(n Need) bool {
		return slices.Contains(c.g.Upstream(n.item), c.g.Node(step))
	})
}
