package flow

// Islands: dishes that share nothing which can run short at a service are served apart.

import (
	"cmp"
	"slices"
)

// island is some wants with all that they can need. What can be bought without end may be in several: it decides nothing.
type island struct {
	cone
	wants []int32 // ascending
}

// mostIslands bounds the ways to part wants that a walker remembers.
const mostIslands = 256

// islands parts the active wants: two are in one when both can need something that can't be bought for this service, or that a
// step makes to order, or when others between them do. So nothing that is scarce for one can be of use to another, and serving one
// after the other comes to what serving all together does, with fewer to look at for each stop.
func (w *Walker) islands() []island {
	n := w.f.net
	for _, i := range w.all.items {
		w.holder[i] = -1
	}
	find := func(k int32) int32 {
		for w.with[k] != k {
			w.with[k] = w.with[w.with[k]]
			k = w.with[k]
		}
		return k
	}
	for _, k := range w.active {
		w.with[k] = k
	}
	for _, k := range w.active {
		for _, i := range w.reach(k).items {
			switch {
			case w.source[i] >= 0 && n.toOrder[i] < 0 && (n.eitherOf == nil || !n.eitherOf[i]):
			case w.holder[i] < 0:
				w.holder[i] = k
			default:
				a, b := find(w.holder[i]), find(k)
				w.with[max(a, b)] = min(a, b)
			}
		}
	}
	key := w.parting[:0]
	for _, k := range w.active {
		root := find(k)
		key = append(key, byte(k), byte(k>>8), byte(k>>16), byte(root), byte(root>>8), byte(root>>16))
	}
	w.parting = key
	if list, ok := w.parted[string(key)]; ok {
		return list
	}
	list := w.part(find)
	if w.parted == nil || len(w.parted) >= mostIslands {
		w.parted = map[string][]island{}
	}
	w.parted[string(key)] = list
	return list
}

// part lays out the islands of the active wants, by the first want of each.
func (w *Walker) part(root func(int32) int32) (list []island) {
	at := map[int32]int{}
	for _, k := range slices.Sorted(slices.Values(w.active)) {
		r := root(k)
		if _, ok := at[r]; !ok {
			at[r] = len(list)
			list = append(list, island{})
		}
		list[at[r]].wants = append(list[at[r]].wants, k)
	}
	for l := range list {
		var items []int32
		for _, k := range list[l].wants {
			items = append(items, w.wanted[k])
		}
		list[l].cone = w.f.net.cone(items)
	}
	return list
}

// land turns to an island: what is tried from here on can be undone up to here.
func (w *Walker) land(on *island) {
	w.in, w.rounds = on, w.rounds[:0]
	for _, i := range on.items {
		w.ashore[i] = stand{w.have[i], w.used[i], w.topped[i]}
	}
}

// stand is where an item stood before an island was served.
type stand struct{ have, used, topped float64 }

// inOrder puts the stops of a service in the order in which they came: by rank under First, then by the share.
func (w *Walker) inOrder(rule Ration, from int) {
	if w.rec == nil {
		return
	}
	slices.SortStableFunc(w.rec.Stops[from:], func(a, b Stop) int {
		byRank := 0
		if rule == First {
			byRank = cmp.Compare(w.rank(int32(a.Want)), w.rank(int32(b.Want)))
		}
		return cmp.Or(byRank, cmp.Compare(a.Share, b.Share), cmp.Compare(a.Want, b.Want))
	})
}
