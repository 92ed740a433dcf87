package rescue

// The moves that may save something: each kind found from what falls short, and fitted to what was done before it.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// moveKind is a place in MoveKinds.
type moveKind int

const (
	aBatch moveKind = iota
	aSubstitute
	aRation
	aSmaller
	aStrike
	aBuyIn
	aSpecial
)

// move is one thing that may be done.
type move struct {
	kind   moveKind
	group  string // of one group, at most one move is made
	dish   int    // strike, special
	slots  []int  // strike, smaller, special, ration: at which it is done
	item   int    // buy in
	source int    // buy in: of the item\'s
	run    flow.Extra
	start  int // batch: minute
	lines  []flow.Prefer
	sizes  []int // smaller: dishes

	gain float64 // alone
}

// fitted is a move as it is made after those before it.
type fitted struct {
	changes []flow.Shock
	what    string
	by      int // latest minute for it, apart from what must be ordered
	at      []offer
}

// offer is a service with the portions of a special.
type offer struct{ slot, portions int }

// goTogether tells whether a move can be made with others.
func (r *rescuing) goTogether(m *move, others []*move) bool {
	vessels := r.vessels
	for _, o := range others {
		switch {
		case o.group == m.group:
			return false
		case o.kind == aBatch:
			vessels = vessels.With(r.Stay(o.run.Step, o.run.Day, o.run.Start, o.run.Batches))
		case o.kind == aSpecial && m.kind == aSpecial && // one special a service
			slices.ContainsFunc(o.slots, func(s int) bool { return slices.Contains(m.slots, s) }):
			return false
		}
	}
	return m.kind != aBatch || vessels.Refuses(m.run.Step, m.run.Day, m.run.Start, m.run.Batches) == ""
}

// find lists all moves.
func (r *rescuing) find() (all []*move) {
	seen := map[string]bool{}
	add := func(m *move) {
		key := fmt.Sprint(m.group, m.dish, m.slots, m.item, m.source, m.run, m.lines, m.sizes)
		if !seen[key] {
			seen[key] = true
			all = append(all, m)
		}
	}
	r.vessels = r.inVessels()
	items := r.scarce()
	r.batches(add)
	r.substitutes(items, add)
	r.rations(add)
	for _, i := range items {
		r.buyIns(i, add)
		r.rationing(i, add)
	}
	for _, i := range r.inPlaceOf(items) {
		r.buyIns(i, add)
	}
	r.specials(add)
	return all
}

// scarce are the items behind what falls short, by the first service at which they are lacking.
func (r *rescuing) scarce() (items []int) {
	for _, l := range r.lacks {
		for _, i := range l.items {
			if !slices.Contains(items, i) {
				items = append(items, i)
			}
		}
	}
	return items
}

// inPlaceOf are the items of which the file says that they do where one of some is short, and that are none of those.
func (r *rescuing) inPlaceOf(items []int) (others []int) {
	for _, st := range r.Graph.Steps {
		for _, line := range st.Takes {
			if line.Carried || !slices.ContainsFunc(line.Choices, func(c graph.Choice) bool { return slices.Contains(items, c.Item) }) {
				continue
			}
			for _, c := range line.Choices {
				if !slices.Contains(items, c.Item) && !slices.Contains(others, c.Item) {
					others = append(others, c.Item)
				}
			}
		}
	}
	return others
}

// fit makes a move fit the case that it is to change.
func (m *move) fit(r *rescuing, player *week.Player, c flow.Case) fitted {
	switch m.kind {
	case aBatch:
		return r.fitBatch(m)
	case aSubstitute:
		return r.fitSubstitute(m)
	case aRation:
		return r.fitRation(m)
	case aSmaller:
		return r.fitSmaller(m, player, c)
	case aStrike:
		return r.fitStrike(m)
	case aBuyIn:
		return r.fitBuyIn(m, player, c)
	}
	return r.fitSpecial(m, player, c)
}

// substitutes finds lines that could spare what is short for those who have no other: each put on another of its
// choices, and all lines together that can take the one item in place of the other.
func (r *rescuing) substitutes(items []int, add func(*move)) {
	groups := map[[2]int]*move{}
	var order [][2]int
	for s, st := range r.Graph.Steps {
		for l, line := range st.Takes {
			first := line.Choices[0].Item
			if line.Carried || !slices.Contains(items, first) {
				continue
			}
			for other, o := range line.Choices[1:] {
				if other+1 < line.Alike {
					continue // the kitchen takes what there is of them as it is
				}
				p := flow.Prefer{Step: s, Line: l, Choice: other + 1, From: r.known}
				key := [2]int{first, o.Item}
				group := fmt.Sprintf("substitute %d %d", first, o.Item)
				add(&move{kind: aSubstitute, group: group, lines: []flow.Prefer{p}})
				if groups[key] == nil {
					groups[key] = &move{kind: aSubstitute, group: group}
					order = append(order, key)
				}
				groups[key].lines = append(groups[key].lines, p)
			}
		}
	}
	for _, key := range order {
		add(groups[key])
	}
}

func (r *rescuing) fitSubstitute(m *move) fitted {
	f := fitted{by: math.MaxInt}
	var in []string
	for _, p := range m.lines {
		f.changes = append(f.changes, p)
		in = append(in, r.Graph.Steps[p.Step].Name)
		if slot := r.firstSale(p.Step); slot >= 0 {
			f.by = min(f.by, r.stand.Case.Schedule.ServedAt(slot))
		}
	}
	if f.by == math.MaxInt {
		f.by = r.known
	}
	line := r.Graph.Steps[m.lines[0].Step].Takes[m.lines[0].Line]
	f.what = fmt.Sprintf("use %s before %s in %s, from %s",
		r.Graph.Items[line.Choices[m.lines[0].Choice].Item].Name,
		r.Graph.Items[line.Choices[0].Item].Name, strings.Join(in, ", "), r.Moment(f.by))
	if like := r.StandsFor(line, m.lines[0].Choice, line.Choices[0].Amount); like != "" && len(m.lines) == 1 {
		f.what += ": " + like
	}
	return f
}

// firstSale is the first service after the mishap at which something is asked for that a step leads to; -1 for none.
func (r *rescuing) firstSale(step int) int {
	for slot := range r.stand.Case.Schedule.Slots {
		for d, want := range r.stand.Case.Schedule.Wants {
			if r.stand.Case.Schedule.ServedAt(slot) >= r.known && want.Forecast[slot] > 0 && r.leads(step, d) {
				return slot
			}
		}
	}
	return -1
}

// leads tells whether what a step gives goes into a dish.
func (r *rescuing) leads(step, dish int) bool {
	return slices.ContainsFunc(r.Graph.Steps[step].Gives, func(g graph.Output) bool {
		return g.Item == r.Dishes[dish].Item || slices.Contains(r.Graph.Downstream(g.Item), r.Dishes[dish].Item)
	})
}

// rations finds the other rule for what is scarce, where the dishes that fall short have ranks.
func (r *rescuing) rations(add func(*move)) {
	var slots []int
	for _, l := range r.lacks {
		if !slices.Contains(slots, l.slot) {
			slots = append(slots, l.slot)
		}
	}
	if len(slots) > 0 && slices.ContainsFunc(r.Dishes, func(d kitchen.Dish) bool { return d.Rank != r.Dishes[0].Rank }) {
		add(&move{kind: aRation, group: "ration", slots: slots})
	}
}

func (r *rescuing) fitRation(m *move) fitted {
	rule, what := flow.First, "serve the top-ranked dishes first"
	if r.Rule == week.First {
		rule, what = flow.Fair, "share the shortage equally among all dishes"
	}
	return fitted{changes: []flow.Shock{flow.Turn{Slots: m.slots, Rule: rule, Else: r.Rule.Ration()}},
		what: what + r.servicesText(m.slots),
		by:   r.begins(m.slots), at: offers(m.slots)}
}

func offers(slots []int) (list []offer) {
	for _, s := range slots {
		list = append(list, offer{slot: s})
	}
	return list
}

// begins is the minute at which the first of some services does.
func (r *rescuing) begins(slots []int) int {
	if len(slots) == 0 {
		return r.known
	}
	return r.stand.Case.Schedule.ServedAt(slots[0])
}

// servicesText names some services: all of a few, the first and the last of many.
func (r *rescuing) servicesText(slots []int) string {
	if n := len(slots); n > 3 {
		return fmt.Sprintf(" at %d services, %s to %s", n, r.SittingName(slots[0]), r.SittingName(slots[n-1]))
	}
	var names []string
	for _, s := range slots {
		names = append(names, r.SittingName(s))
	}
	return " at " + strings.Join(names, ", ")
}

// rationing finds dishes that use a scarce item and could be struck off, or served smaller, at a service or at all of
// them until the item is no longer lacking.
func (r *rescuing) rationing(item int, add func(*move)) {
	last := -1
	for _, l := range r.lacks {
		if slices.Contains(l.items, item) {
			last = max(last, l.slot)
		}
	}
	down := r.Graph.Downstream(item)
	var smaller []int
	var at []int
	for d, dish := range r.Dishes {
		if !slices.Contains(down, dish.Item) {
			continue
		}
		var slots []int
		for slot := range last + 1 {
			if r.stand.Case.Schedule.ServedAt(slot) >= r.known && r.stand.Case.Schedule.Wants[d].Forecast[slot] > 0 {
				slots = append(slots, slot)
			}
		}
		if len(slots) == 0 {
			continue
		}
		if !dish.Never {
			strike := fmt.Sprintf("strike %d", d)
			add(&move{kind: aStrike, group: strike, dish: d, slots: slots})
			for _, slot := range slots {
				add(&move{kind: aStrike, group: strike, dish: d, slots: []int{slot}})
			}
		}
		if dish.Cut < 1 {
			add(&move{kind: aSmaller, group: fmt.Sprintf("smaller %d", d), sizes: []int{d}, slots: slots})
			smaller = append(smaller, d)
			at = append(at, slots...)
		}
	}
	if len(smaller) > 1 {
		slices.Sort(at)
		add(&move{kind: aSmaller, group: "smaller", sizes: smaller, slots: slices.Compact(at)})
	}
}

func (r *rescuing) fitStrike(m *move) fitted {
	return fitted{changes: []flow.Shock{flow.Ask{Want: m.dish, Slots: m.slots}}, by: r.begins(m.slots),
		at:   offers(m.slots),
		what: "strike " + r.Dishes[m.dish].Name + r.servicesText(m.slots)}
}

// fitSmaller finds the largest portions, within what the file allows, that still serve as many as the smallest.
func (r *rescuing) fitSmaller(m *move, player *week.Player, c flow.Case) fitted {
	const sizes = 4 // from the smallest portion up to the whole
	f := fitted{by: r.begins(m.slots), at: offers(m.slots)}
	most := -1.0
	for n := range sizes {
		var changes []flow.Shock
		var what []string
		for _, d := range m.sizes {
			cut := r.Dishes[d].Cut
			size := math.Ceil(100*(cut+float64(n)/sizes*(1-cut))-1e-9) / 100 // in whole per cent
			changes = append(changes, flow.Resize{Want: d, Slots: m.slots, Factor: size})
			what = append(what, fmt.Sprintf("%s at %s of the usual portion", r.Dishes[d].Name, kitchen.FormatPercent(size)))
		}
		portions := r.try(player, c.With(changes...)).books.Portions
		if portions < most-0.5 {
			break
		}
		most, f.changes = portions, changes
		f.what = "serve " + strings.Join(what, ", ") + r.servicesText(m.slots)
	}
	return f
}

// comesFrom is the first day on which an item that is fetched by a minute can be had: that of the minute, where nothing that could
// take it happens earlier that day, since what comes on a day is there when it begins, or when the week goes on in it.
func (r *rescuing) comesFrom(item, fetched int) int {
	day := fetched / 1440
	earlier := func(minute int) bool { return minute/1440 == day && minute < fetched && minute >= r.Now }
	for _, sl := range r.stand.Case.Schedule.Slots {
		if earlier(sl.Start) {
			return day + 1
		}
	}
	for k, ran := range r.stand.Outcome.Ran {
		run := r.stand.Case.Schedule.Batches[k]
		if run.Size > 0 && earlier(ran.Start) && r.uses(run.Step, item) && !(ran.Limit < 0 && r.needsAll(run.Step, item)) {
			return day + 1
		}
	}
	return day
}

// needsAll tells whether a whole batch has taken all of an item that it ever would: nothing else can stand for it, and it can't go without.
func (r *rescuing) needsAll(step, item int) bool {
	for _, l := range r.Graph.Steps[step].Takes {
		for _, c := range l.Choices {
			direct := c.Item == item
			if direct && (len(l.Choices) > 1 || l.Optional || l.Without > 0) || !direct && slices.Contains(r.Graph.Upstream(c.Item), item) {
				return false
			}
		}
	}
	return true
}

// firstOn is the first minute after the mishap at which an item may be needed on a day: at a service, or by a batch.
func (r *rescuing) firstOn(day, item int) int {
	first := (day + 1) * 1440
	at := func(minute int) {
		if minute/1440 == day && minute >= r.known {
			first = min(first, minute)
		}
	}
	for slot := range r.stand.Case.Schedule.Slots {
		at(r.stand.Case.Schedule.ServedAt(slot))
	}
	for k, ran := range r.stand.Outcome.Ran {
		if r.stand.Case.Schedule.Batches[k].Size > 0 && r.uses(r.stand.Case.Schedule.Batches[k].Step, item) {
			at(ran.Start)
		}
	}
	return first
}

// roundUp rounds an amount up to two digits, or to a whole one.
func roundUp(x float64, kind measure.Kind) float64 {
	if kind == measure.Count || x <= 0 {
		return math.Ceil(x - 1e-9)
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Ceil(x/step-1e-9) * step
}

// specials finds the specials, each at all services at which guests get nothing.
func (r *rescuing) specials(add func(*move)) {
	var slots []int
	for slot := range r.Sittings {
		if r.missing(r.stand.Outcome, slot) >= 1 {
			slots = append(slots, slot)
		}
	}
	for d, dish := range r.Dishes {
		if dish.Special && len(slots) > 0 {
			add(&move{kind: aSpecial, group: fmt.Sprintf("special %d", d), dish: d, slots: slots})
		}
	}
}

// fitSpecial offers a special to the guests who get nothing, as far as it can be made, from its "at least" to its "at
// most".
func (r *rescuing) fitSpecial(m *move, player *week.Player, c flow.Case) fitted {
	dish := r.Dishes[m.dish]
	portions := make([]float64, len(m.slots))
	t := r.try(player, c)
	for k, slot := range m.slots {
		portions[k] = math.Floor(min(r.missing(t.out, slot), r.missing(r.stand.Outcome, slot)))
		if dish.AtMost > 0 {
			portions[k] = min(portions[k], float64(dish.AtMost))
		}
	}
	var f fitted
	for settled := false; !settled; { // what is offered is what can be sold: portions only fall
		f = fitted{by: r.known}
		for k, slot := range m.slots {
			if portions[k] >= float64(max(dish.AtLeast, 1)) {
				f.changes = append(f.changes, flow.Ask{Want: m.dish, Slots: []int{slot}, More: portions[k]})
				f.at = append(f.at, offer{slot, int(portions[k])})
			} else {
				portions[k] = 0
			}
		}
		t = r.try(player, c.With(f.changes...))
		settled = true
		for k, slot := range m.slots {
			over := -r.guests[slot]
			for d := range r.Dishes {
				over += t.out.Served[slot*len(r.Dishes)+d]
			}
			can := max(0, t.out.Served[slot*len(r.Dishes)+m.dish]-max(over, 0))
			if can < portions[k] {
				portions[k], settled = can, false
			}
		}
	}
	if len(f.at) > 0 {
		f.by = r.stand.Case.Schedule.ServedAt(f.at[0].slot)
	}
	f.what = r.offerText(dish.Name, f.at)
	return f
}

// offerText says where a special is offered.
func (r *rescuing) offerText(name string, at []offer) string {
	text := "offer " + name
	if n := len(at); n > 3 {
		least, most := math.MaxInt, 0
		for _, o := range at {
			least, most = min(least, o.portions), max(most, o.portions)
		}
		portions := fmt.Sprint(most)
		if least < most {
			portions = fmt.Sprintf("%d to %d", least, most)
		}
		return fmt.Sprintf("%s, %s per service, at %d services, %s to %s", text, portions, n,
			r.SittingName(at[0].slot),
			r.SittingName(at[n-1].slot))
	}
	var parts []string
	for _, o := range at {
		parts = append(parts, fmt.Sprintf("%d at %s", o.portions, r.SittingName(o.slot)))
	}
	return text + ": " + strings.Join(parts, ", ")
}
