package logbook

// The close of a period: what was on hand at its beginning and at its end, what came in between, and what was used.

import (
	"cmp"
	"slices"
	"strings"

	"kettletree/graph"
)

// GroupWas is a group of what is on hand, in money: opening and purchases, less closing, are what was used of it. What was used adds
// up over the groups to what was sold, given, dropped, binned, missing and lost, labour and fuel among it.
type GroupWas struct {
	Group     string  `json:"group"`     // "bought from butcher", "bought", "made", "in pots", "no book kept", "labour and fuel" or "found, or taken beyond the log book"
	Opening   float64 `json:"opening"`   // on hand when the first day begins; what the first count found was there too
	Purchases float64 `json:"purchases"` // what came in
	Closing   float64 `json:"closing"`   // on hand when the last day ends
	Used      float64 `json:"used"`      // opening + purchases - closing; below 0 where more was made than used
}

// GivenWas is what somebody was given.
type GivenWas struct {
	To       string  `json:"to"` // "" where nobody wrote whom
	Portions int     `json:"portions"`
	Cost     float64 `json:"cost"`
}

// close groups what was on hand before the days, and what came and went within them. Bought items go by the supplier of the kitchen
// file, which is who sends the invoice; what is made is one group, at what went into it, labour and fuel too.
func (b *books) close(before, within []tally) []GroupWas {
	var groups []GroupWas
	add := func(name string, opening, purchases, closing float64) {
		at := slices.IndexFunc(groups, func(g GroupWas) bool { return g.Group == name })
		if at < 0 {
			at, groups = len(groups), append(groups, GroupWas{Group: name})
		}
		g := &groups[at]
		g.Opening += opening
		g.Purchases += purchases
		g.Closing += closing
	}
	for i, it := range b.k.Graph.Items {
		if it.Role != graph.Bought {
			continue
		}
		name := strings.TrimSuffix("bought from "+b.k.Bought[i].From, " from ")
		if t := &within[i]; before[i] != (tally{}) || *t != (tally{}) {
			add(name, before[i][shelfCost]+t[openedIn], t[paidIn], before[i][shelfCost]+t[shelfCost])
		}
	}
	slices.SortStableFunc(groups, func(x, y GroupWas) int { return cmp.Compare(x.Group, y.Group) })
	add("made", 0, 0, 0) // before what is under way
	for i, it := range b.k.Graph.Items {
		t := &within[i]
		if it.Role != graph.Bought {
			add("made", before[i][shelfCost]+t[openedIn], t[paidIn], before[i][shelfCost]+t[shelfCost])
		}
		add("in pots", before[i][potCost], 0, before[i][potCost]+t[potCost])
		add("no book kept", 0, t[uncountedIn], 0)
		add("found, or taken beyond the log book", 0, t[foundIn]+t[beyondIn], 0)
		add("labour and fuel", 0, t[labourIn], 0)
	}
	groups = slices.DeleteFunc(groups, func(g GroupWas) bool { return g.Opening == 0 && g.Purchases == 0 && g.Closing == 0 })
	for i := range groups {
		g := &groups[i]
		g.Used = g.Opening + g.Purchases - g.Closing
	}
	return append([]GroupWas{}, groups...)
}

// given adds up what was given from one day since 1970 up to another, by whom it went to.
func (b *books) given(first, end int) []GivenWas {
	list := []GivenWas{}
	for _, day := range b.till.days {
		if day.day < first || day.day >= end {
			continue
		}
		for _, g := range day.gave {
			at := slices.IndexFunc(list, func(w GivenWas) bool { return w.To == g.to })
			if at < 0 {
				at, list = len(list), append(list, GivenWas{To: g.to})
			}
			list[at].Portions += g.portions
			list[at].Cost += g.cost
		}
	}
	slices.SortFunc(list, func(x, y GivenWas) int { return cmp.Compare(x.To, y.To) })
	return list
}
