package logbook

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// lotTexts are entries that may be drawn where lots matter; %d an amount, %s a lot that was brought, or nothing.
var lotTexts = []struct {
	kind Kind
	text string
}{
	{Received, "%d kg pork shoulder lot A%[2]s"}, {Received, "%d each hen"}, {Received, "%d each tortilla lot T1"},
	{Cooked, "braise x%d"}, {Cooked, "braise x1: %d kg pork shoulder%s -> 800 g pulled shoulder lot P1, 200 g braise fat"},
	{Cooked, "season broth x%d: 1 L shoulder broth%s -> 0.9 L soup base"},
	{Sold, "%d tacos at lunch%s"}, {Sold, "%d soup%s"},
	{Binned, "%d kg pulled shoulder%s"}, {Binned, "%d L soup base%s"}, {Counted, "%d kg pork shoulder"},
	{Counted, "%d L shoulder broth"}, {Counted, "0 kg pulled shoulder"}, {Counted, "0 L shoulder broth"},
	{Binned, "9%d kg pork shoulder%s"}, {Temperature, "hen %d C"},
}

// drawnLots is a row of entries that name lots now and then.
func drawnLots(t *rapid.T, k *kitchen.Kitchen, most int) (entries []Entry) {
	for n := range rapid.IntRange(0, most).Draw(t, "entries") {
		c := rapid.SampledFrom(lotTexts).Draw(t, "kind")
		mark := ""
		if c.kind == Received {
			mark = rapid.SampledFrom([]string{"1", "2", "3"}).Draw(t, "mark")
		} else if rapid.IntRange(0, 2).Draw(t, "named") == 0 && n > 0 {
			mark = " lot " + rapid.SampledFrom([]string{"A1", "A2", "T1", "P1",
				fmt.Sprint(rapid.IntRange(1, n).Draw(t, "lot"))}).Draw(t, "which")
		}
		args := []any{rapid.IntRange(1, 9).Draw(t, "amount"), mark}[:strings.Count(c.text, "%")]
		e, err := Parse(k, c.kind, fmt.Sprintf(c.text, args...))
		require.NoError(t, err)
		e.ID, e.At = int64(n+1), at(0, rapid.IntRange(0, 100).Draw(t, "hour"))
		entries = append(entries, e)
	}
	return entries
}

// lotsCame are all lots of some movements, in order.
func lotsCame(moves []Move) (lots []lotOf) {
	for _, m := range moves {
		if l := (lotOf{m.Entry, m.Item}); m.Sort == Came && !slices.Contains(lots, l) {
			lots = append(lots, l)
		}
	}
	return lots
}

// At every lot, what came is what was cooked, sold, binned and counted off, and what lies on the shelf.
func TestLotsBalance(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(r *rapid.T) {
		entries := drawnLots(r, k, 40)
		moves, err := Links(k, entries)
		require.NoError(r, err)
		stock, err := Play(k, entries, at(9, 0))
		require.NoError(r, err)
		lie := map[lotOf]float64{}
		for _, l := range stock.Lots {
			lie[lotOf{l.Entry, l.Item}] += l.Amount
		}
		lots := lotsCame(moves)
		g := trace(&reel{tail: moves, items: len(k.Graph.Items)}, lots...)
		assert.Len(r, g.Lots, len(lots))
		for l, line := range g.Lots {
			assert.InDelta(r, line.Came, line.Cooked+line.Sold+line.Binned+line.Off+line.Lay, 1e-6*line.Came)
			assert.InDelta(r, lie[l], line.Lay, 1e-6*line.Came, "%v", l)
			delete(lie, l)
		}
		assert.Empty(r, lie, "all that lies on the shelves came some time")
	})
}

// B is reached from A exactly when A is reached backwards from B, and as surely. And whoever takes what is in no doubt
// A's, or may be, is reached: links are held against a reading of their definition, lot by lot.
func TestForwardsAndBackwardsAreInverse(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(r *rapid.T) {
		moves, err := Links(k, drawnLots(r, k, 25))
		require.NoError(r, err)
		lots := lotsCame(moves)
		items := len(k.Graph.Items)
		after := map[[2]lotOf]Sure{}
		for _, a := range lots {
			for b, line := range trace(&reel{tail: moves, items: items}, a).Lots {
				if line.After > Unlinked {
					after[[2]lotOf{a, b}] = line.After
				}
			}
		}
		before := map[[2]lotOf]Sure{}
		for _, b := range lots {
			for a, line := range trace(&reel{tail: moves, items: items}, b).Lots {
				if line.Before > Unlinked {
					before[[2]lotOf{a, b}] = line.Before
				}
			}
		}
		assert.Equal(r, after, before)
		assert.Equal(r, plainly(moves), after)
	})
}

// plainly finds all pairs of lots of which the first reaches the second, by the definition of [Trace].
func plainly(moves []Move) map[[2]lotOf]Sure {
	type link struct {
		lot   lotOf
		entry int64
	}
	direct := map[link]Sure{}
	lots := lotsCame(moves)
	first := func(entry int64) int {
		return slices.IndexFunc(moves, func(m Move) bool { return m.Entry == entry })
	}
	for _, l := range lots {
		total := 0.0
		for _, m := range moves {
			if m.Sort == Came && m.Entry == l.Entry && m.Item == l.Item {
				total += m.Amount
			}
		}
		left := total
		lies := true
		for n := first(l.Entry); n < len(moves); n++ {
			m := moves[n]
			if m.Item != l.Item || m.Entry == l.Entry {
				continue
			}
			to := link{l, m.Entry}
			switch {
			case m.Sort == Emptied:
				lies = false
			case m.Sort == Named && m.From == l.Entry:
				left -= m.Amount
				direct[to] = Is
			case m.Sort == Alone && m.From == l.Entry:
				direct[to] = Is
			case m.Sort == Took || m.Sort == Beyond || m.Sort == Found:
				if lies && left > slack*total {
					direct[to] = max(direct[to], May)
				}
			}
		}
	}
	pairs := map[[2]lotOf]Sure{}
	for range lots { // paths grow by a link a round
		for _, a := range lots {
			for _, b := range lots {
				for _, over := range lots {
					sure := direct[link{over, b.Entry}]
					if over != a {
						sure = min(sure, pairs[[2]lotOf{a, over}])
					}
					if b != a && sure > pairs[[2]lotOf{a, b}] {
						pairs[[2]lotOf{a, b}] = sure
					}
				}
			}
		}
	}
	return pairs
}

// What is undone leaves no trace.
func TestUndoneIsNotTraced(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(r *rapid.T) {
		entries, stand := drawn(r, k)
		var rest []Entry
		for i, e := range entries {
			if stand[i] {
				rest = append(rest, e)
			}
		}
		got, err := Links(k, entries)
		require.NoError(r, err)
		want, err := Links(k, rest)
		require.NoError(r, err)
		assert.Equal(r, want, got)
	})
}

// Whoever sold of an item while a lot lay on its shelf is reached from the lot.
func TestWhoeverSoldAppears(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(r *rapid.T) {
		entries := drawnLots(r, k, 40)
		moves, err := Links(k, entries)
		require.NoError(r, err)
		for _, l := range lotsCame(moves) {
			reached := map[int64]bool{}
			for _, m := range trace(&reel{tail: moves, items: len(k.Graph.Items)}, l).Into {
				reached[m.Entry] = true
			}
			for _, m := range moves {
				if m.From == l.Entry && m.Item == l.Item && m.Kind == Sold && m.Entry != l.Entry {
					assert.True(r, reached[m.Entry], "entry %d took of %v", m.Entry, l)
				}
			}
		}
	})
}

func TestMovesArePackedWhole(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(r *rapid.T) {
		moves, err := Links(k, drawnLots(r, k, 40))
		require.NoError(r, err)
		b := packMoves(moves)
		got, err := unpackMoves(nil, b, len(k.Graph.Items))
		require.NoError(r, err)
		assert.Equal(r, moves, got)
	})
}

// FuzzUnpackMoves: whatever stands in the file, it is movements of the kitchen's items or refused.
func FuzzUnpackMoves(f *testing.F) {
	f.Add(packMoves([]Move{{Sort: Came, Item: 3, Entry: 7, Kind: Received, Amount: 2.5, Since: flow.Since{Known: true, Day: 20000, Item: 2, Ice: 3, Froze: 19999, Thaw: 20001, Oiled: true, Oil: -1, Oily: 3, OilIce: 2}},
		{Sort: Named, Item: 3, Entry: 8, Kind: Sold, From: 7, Amount: math.Pi}, {Sort: Emptied, Item: 3, Entry: 8, Kind: Sold}}))
	f.Fuzz(func(t *testing.T, b []byte) {
		moves, err := unpackMoves(nil, b, 4)
		if err != nil {
			return
		}
		for _, m := range moves {
			require.True(t, m.Item >= 0 && m.Item < 4 && m.Sort < sorts)
		}
	})
}

// A flow as entries: a cow is cut, its bones feed two pots with mirepoix and water, a pot gives stock, pulled beef and
// fat, and these feed what is sold. That a new lot begins only where food is received or transformed is 21 CFR 1.1320
// (FSMA 204). What is reached downstream of the pot is what networkx 2.8.8 gives as its descendants in the same graph;
// that both pots, and all that was sold, are reached, and that in is out and loss, is derived, not published.
const cowShop = `kitchen: Pot
money: USD
services: {lunch: 11:30-14:30}
bought:
  cow: {price: 5/kg}
  mirepoix: {price: 2/kg}
  water: {price: 0/kg}
  wine: {price: 9/kg}
  flour: {price: 1/kg}
steps:
  cut: {takes: [10 kg cow], gives: [3 kg brisket, 3 kg shank, 4 kg bones], batches: {tue: 1}}
  pot:
    takes: [3 kg brisket, 3 kg shank, 4 kg bones, 1 kg mirepoix, 9 kg water]
    gives: [9 kg stock, 4 kg pulled beef, 1 kg fat]
    batches: {tue: 1}
  reduce: {takes: [4 kg stock, 1 kg wine], gives: [2 kg demi], batches: {tue: 1}}
  cook roux: {takes: [0.4 kg fat, 0.4 kg flour], gives: [0.7 kg roux], batches: {tue: 1}}
  salt away: {takes: [0.5 kg fat], gives: [0.4 kg confit], batches: {tue: 1}}
  finish soup: {takes: [3 kg stock, 0.5 kg roux, 1 kg pulled beef], gives: [4 kg soup], batches: {tue: 1}}
  glaze: {takes: [1 kg demi], gives: [0.9 kg short rib], batches: {tue: 1}}
dishes:
  bowl: {price: 8, takes: [400 g soup], sells: {lunch: 5}}
  taco: {price: 8, takes: [100 g pulled beef], sells: {lunch: 5}}
  leg: {price: 8, takes: [100 g confit], sells: {lunch: 3}}
  rib: {price: 8, takes: [300 g short rib], sells: {lunch: 3}}
`

func TestTraceOfACow(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(cowShop))
	require.NoError(t, faults.Err())
	entries := typed(t, k, `
		0/06 received 10 kg cow lot C1
		0/06 received 2 kg mirepoix lot M1
		0/06 received 20 kg water
		0/06 received 2 kg wine
		0/06 received 2 kg flour
		0/07 cooked cut
		0/08 cooked pot: 3 kg brisket, 3 kg shank, 2 kg bones, 1 kg mirepoix, 9 kg water
		0/09 cooked reduce
		0/09 cooked cook roux
		0/09 cooked salt away
		0/10 cooked finish soup
		0/10 cooked glaze
		0/14 sold 5 bowl at lunch
		0/14 sold 5 taco at lunch
		0/14 sold 3 leg at lunch
		0/14 sold 3 rib at lunch
		1/08 cooked pot x0.5: 2 kg bones, 3 kg water -> 3 kg stock`)
	moves, err := Links(k, entries)
	require.NoError(t, err)
	names := func(g *Lineage, side func(*lotLine) Sure) (list []string) {
		for _, l := range g.sorted() {
			if side(g.Lots[l]) > Unlinked && !slices.Contains(list, k.Graph.Items[l.Item].Name) {
				list = append(list, k.Graph.Items[l.Item].Name)
			}
		}
		slices.Sort(list)
		return list
	}
	dishes := func(g *Lineage) (list []string) {
		for _, m := range g.Into {
			if m.Kind == Sold && !slices.Contains(list, entries[m.Entry-1].Dish) {
				list = append(list, entries[m.Entry-1].Dish)
			}
		}
		return list
	}
	find := func(name string) lotOf {
		i := slices.IndexFunc(moves, func(m Move) bool { return m.Sort == Came && k.Graph.Items[m.Item].Name == name })
		return lotOf{moves[i].Entry, moves[i].Item}
	}
	after, before := func(l *lotLine) Sure { return l.After }, func(l *lotLine) Sure { return l.Before }
	fat := trace(&reel{tail: moves, items: len(k.Graph.Items)}, find("fat"))
	assert.Equal(t, []string{"confit", "roux", "soup"}, names(fat, after), "forwards from fat")
	assert.Equal(t, []string{"bowl", "leg"}, dishes(fat), "and what was sold")
	assert.Equal(t, []string{"bones", "brisket", "cow", "mirepoix", "shank", "water"}, names(fat, before),
		"backwards from fat")
	mirepoix := trace(&reel{tail: moves, items: len(k.Graph.Items)}, find("mirepoix"))
	// networkx: the descendants of the pot, without the taco, which is sold here
	assert.Equal(t, []string{"confit", "demi", "fat", "pulled beef", "roux", "short rib", "soup", "stock"},
		names(mirepoix, after))
	assert.Equal(t, []string{"bowl", "taco", "leg", "rib"}, dishes(mirepoix))
	assert.Empty(t, names(mirepoix, before))
	bones := trace(&reel{tail: moves, items: len(k.Graph.Items)}, find("bones"))
	var pots []int64
	for _, m := range bones.Into {
		if m.Sort != Came && m.Kind == Cooked && m.Lot == find("bones") {
			pots = append(pots, m.Entry)
		}
	}
	assert.Equal(t, []int64{7, 17}, pots, "two pots fed by one bones lot are both reached")
	for l, line := range bones.Lots {
		assert.InDelta(t, line.Came, line.Cooked+line.Sold+line.Binned+line.Off+line.Lay, 1e-9,
			"in is out and loss, %v", l)
	}
}

// A pot that is topped up links every lot in it until it is emptied; a lot that was named is in what
// took it, and in nothing else; a book that was overdrawn is not believed when it says that a shelf is empty.
func TestALotStaysUntilTheShelfIsEmpty(t *testing.T) {
	k := someKitchen(t)
	for _, c := range []struct{ name, entries, want string }{
		{"first in, first out is no proof", `
			0/07 received 5 kg pork shoulder
			1/07 received 5 kg pork shoulder
			1/10 binned 5 kg pork shoulder
			1/11 binned 1 kg pork shoulder`, "3 may contain, 4 may contain"},
		{"alone", `
			0/07 received 5 kg pork shoulder
			0/10 binned 2 kg pork shoulder
			1/07 received 5 kg pork shoulder
			1/11 binned 1 kg pork shoulder`, "2 contains, 4 may contain"},
		{"emptied, then new", `
			0/07 received 5 kg pork shoulder
			0/10 binned 5 kg pork shoulder
			1/07 received 5 kg pork shoulder
			1/11 binned 1 kg pork shoulder`, "2 contains"},
		{"counted as empty", `
			0/07 received 5 kg pork shoulder
			0/10 counted 0 kg pork shoulder
			1/07 received 5 kg pork shoulder
			1/11 binned 1 kg pork shoulder`, "2 contains"},
		{"the book was wrong: more was taken than it had", `
			0/07 received 5 kg pork shoulder
			0/10 binned 6 kg pork shoulder
			1/07 received 5 kg pork shoulder
			1/11 binned 1 kg pork shoulder`, "2 contains, 4 may contain"},
		{"named, and all of it", `
			0/07 received 5 kg pork shoulder lot A1
			0/08 received 5 kg pork shoulder lot A2
			1/10 binned 5 kg pork shoulder lot A1
			1/11 binned 1 kg pork shoulder`, "3 contains"},
		{"another was named", `
			0/07 received 5 kg pork shoulder lot A1
			0/08 received 5 kg pork shoulder lot A2
			1/10 binned 4 kg pork shoulder lot A2
			1/11 binned 1 kg pork shoulder`, "4 may contain"},
		{"found by a count", `
			0/07 received 5 kg pork shoulder
			0/10 binned 5 kg pork shoulder
			1/07 counted 2 kg pork shoulder
			1/11 binned 1 kg pork shoulder`, "2 contains, 3 may contain, 4 may contain"},
		{"through the pot, and what a pot took from yesterday's", `
			0/07 received 12 kg pork shoulder
			0/10 cooked braise: 6 kg pork shoulder, 6 L water -> 4 L shoulder broth
			1/10 cooked braise: 2 L shoulder broth, 0 kg pork shoulder, 6 L water -> 4 L shoulder broth, 0 kg pulled shoulder
			1/12 binned 4 L shoulder broth
			1/13 binned 2 L shoulder broth
			2/10 cooked braise: 6 kg pork shoulder, 6 L water -> 4 L shoulder broth`,
			"2 contains, 3 contains, 4 may contain, 5 may contain, 6 contains"},
	} {
		t.Run(c.name, func(t *testing.T) {
			moves, err := Links(k, typed(t, k, c.entries))
			require.NoError(t, err)
			sure := map[int64]Sure{}
			var order []int64
			for _, m := range trace(&reel{tail: moves, items: len(k.Graph.Items)}, lotsCame(moves)[0]).Into {
				if m.Entry == 1 {
					continue
				}
				if sure[m.Entry] == Unlinked {
					order = append(order, m.Entry)
				}
				sure[m.Entry] = max(sure[m.Entry], m.Sure)
			}
			var list []string
			for _, e := range order {
				list = append(list, fmt.Sprint(e, " ", sure[e]))
			}
			assert.Equal(t, c.want, strings.Join(list, ", "))
		})
	}
}

// Lots that are named are taken first, what is missing of the oldest; it is said.
func TestNamedLots(t *testing.T) {
	k := someKitchen(t)
	entries := typed(t, k, `
		0/07 received 5 kg pork shoulder lot A1
		1/07 received 5 kg pork shoulder lot A2
		1/08 cooked braise: 3 kg pork shoulder lot A2, 1 kg pork shoulder lot A1, 6 L water -> 2 kg pulled shoulder lot P1
		1/09 binned 500 g pulled shoulder lot 3
		1/10 binned 3 kg pork shoulder lot A2
		1/11 binned 1 kg pork shoulder lot A9
		1/14 sold 5 tacos at lunch lot P1`)
	stock, err := Play(k, entries, at(6, 0))
	require.NoError(t, err)
	assert.Equal(t, "2 kg pork shoulder of 24, 0.9 kg pulled shoulder of 25, 4.5 L shoulder broth of 25, 0.4 kg braise fat of 25", shelves(k, stock))
	var odd []string
	for _, o := range stock.Odd {
		odd = append(odd, fmt.Sprintf("%d: %s", o.Entry, o.Msg))
	}
	assert.Equal(t, []string{`5: only 2 kg was left of lot "A2": the rest came off the oldest`,
		`6: nothing was left of lot "A9": the oldest was taken`}, odd)
}
