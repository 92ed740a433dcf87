package logbook

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// shelves prints what is on hand: "4 kg pork shoulder of 24, ..." with the day of the month.
func shelves(k *kitchen.Kitchen, s *Stock) string {
	var list []string
	for _, l := range s.Lots {
		list = append(list, fmt.Sprintf("%s %s of %d", k.Quantity(l.Item, l.Amount), k.Graph.Items[l.Item].Name,
			l.Made.Day()))
	}
	return strings.Join(list, ", ")
}

// typed is a row of entries as somebody typed them: "0/07 received 10 kg hen" on day 0 at 07:00.
func typed(t testing.TB, k *kitchen.Kitchen, text string) (list []Entry) {
	t.Helper()
	for line := range strings.SplitSeq(strings.TrimSpace(text), "\n") {
		when, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		kind, what, ok := KindOf(rest)
		require.True(t, ok, rest)
		var day, hour int
		_, err := fmt.Sscanf(when, "%d/%d", &day, &hour)
		require.NoError(t, err, line)
		e := entry(t, k, at(day, hour), kind, what)
		e.ID = int64(len(list) + 1)
		list = append(list, e)
	}
	return list
}

func TestPlay(t *testing.T) {
	k := someKitchen(t)
	for _, c := range []struct{ name, entries, want, odd string }{
		{"received adds lots, cooked takes the oldest first and adds what came out", `
			0/07 received 10 kg pork shoulder
			1/07 received 8 kg pork shoulder
			1/10 cooked braise x2: 12 kg pork shoulder, 12 L water -> 7 kg pulled shoulder, 9 L shoulder broth`,
			"6 kg pork shoulder of 25, 7 kg pulled shoulder of 25, 9 L shoulder broth of 25, 0.8 kg braise fat of 25", ""},
		{"written down late, it happened when it happened", `
			1/07 received 8 kg pork shoulder
			0/07 received 10 kg pork shoulder
			1/10 binned 9 kg pork shoulder`,
			"1 kg pork shoulder of 24, 8 kg pork shoulder of 25", ""},
		{"sold goes through the steps that run to order, after what stands ready", `
			0/07 counted 30 L shoulder broth
			0/07 counted 1 kg braise fat
			0/09 cooked season broth x0.1
			0/20 sold 10 soup at dinner`,
			// 3 L of soup base: 0.95 L stand ready, for 2.05 L the step takes 2.05 / 9.5 * 10 = 2.158 L of broth
			"26.84 L shoulder broth of 24, 0.95 kg braise fat of 24", ""},
		{"a substitute when the first choice is used up", `
			0/07 counted 600 g pulled shoulder
			0/07 received 4 each hen
			0/14 sold 10 tacos`,
			// five on pulled shoulder; five on 600 g of hen, which weighs 1.9 kg: 0.3158
			"3.684 each hen of 24", ""},
		{"more sold than there was: recorded, and told", `
			0/07 counted 600 g pulled shoulder
			0/07 counted 0 each hen
			0/14 sold 10 tacos at lunch`,
			"", `3: 1.2 kg of "pulled shoulder" taken, 0.6 kg more than the log book had`},
		{"what was never made", `
			0/20 sold 10 soup`,
			"", `1: 3.158 L of "shoulder broth" taken, 3.158 L more than the log book had`},
		{"of bought items that nobody received or counted no book is kept", `
			0/07 counted 2 kg pulled shoulder
			0/14 sold 10 tacos`,
			"0.8 kg pulled shoulder of 24", ""},
		{"of those that somebody did, there is", `
			0/07 counted 2 kg pulled shoulder
			0/07 received 20 each tortilla
			0/14 sold 10 tacos`,
			"0.8 kg pulled shoulder of 24", `3: 30 each of "tortilla" taken, 10 each more than the log book had`},
		{"counted less: the oldest went", `
			0/07 received 5 kg pork shoulder
			1/07 received 5 kg pork shoulder
			1/20 counted 4 kg pork shoulder`,
			"4 kg pork shoulder of 25", ""},
		{"counted more: it is as old as the oldest there is", `
			0/07 received 5 kg pork shoulder
			1/07 received 5 kg pork shoulder
			1/20 counted 11 kg pork shoulder`,
			"5 kg pork shoulder of 24, 1 kg pork shoulder of 24, 5 kg pork shoulder of 25", ""},
		{"counted where the book had none left: it is of the lot that was used up last", `
			0/07 received 5 kg pork shoulder
			1/07 binned 5 kg pork shoulder
			2/20 counted 1 kg pork shoulder`,
			"1 kg pork shoulder of 24", ""},
		{"counted nothing", `
			0/07 received 5 kg pork shoulder
			2/20 counted 0 kg pork shoulder`,
			"", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			entries := typed(t, k, c.entries)
			stock, err := Play(k, entries, at(6, 0))
			require.NoError(t, err)
			assert.Equal(t, c.want, shelves(k, stock))
			var odd []string
			for _, o := range stock.Odd {
				odd = append(odd, fmt.Sprintf("%d: %s", o.Entry, o.Msg))
			}
			assert.Equal(t, c.odd, strings.Join(odd, "; "))
			assert.Equal(t, len(entries), stock.Entries)
		})
	}
}

func TestPlayEndsAtTheMoment(t *testing.T) {
	k := someKitchen(t)
	entries := typed(t, k, `
		0/07 received 5 kg pork shoulder
		1/00 received 2 kg pork shoulder
		1/07 binned 1 kg pork shoulder`)
	stock, err := Play(k, entries, at(1, 0))
	require.NoError(t, err)
	assert.Equal(t, "5 kg pork shoulder of 24, 2 kg pork shoulder of 25", shelves(k, stock),
		"what happens at the moment counts")
	assert.Equal(t, at(1, 0), stock.AsOf)
	assert.Equal(t, 2, stock.Entries)
	none, err := Play(k, entries, at(-1, 0))
	require.NoError(t, err)
	assert.Equal(t, &Stock{NoBook: none.NoBook}, none)
	pork, _, err := k.ItemNamed("pork shoulder", nil)
	require.NoError(t, err)
	assert.True(t, none.NoBook[pork], "nobody has received any yet")
	assert.False(t, stock.NoBook[pork])
}

// A count says what the book had before it; the first of an item has no book to differ from.
func TestCounts(t *testing.T) {
	k := someKitchen(t)
	entries := typed(t, k, `
		0/07 counted 3 kg pulled shoulder
		0/07 received 5 kg pork shoulder
		0/14 sold 10 tacos
		0/20 counted 1.7 kg pulled shoulder
		0/20 counted 5.5 kg pork shoulder
		0/21 counted 1.7 kg pulled shoulder`)
	stock, err := Play(k, entries, at(6, 0))
	require.NoError(t, err)
	var said []string
	for _, l := range Lines(k, stock, entries, entries) {
		said = append(said, l.Remarks...)
	}
	assert.Equal(t, []string{"the log book had 1.8 kg, 1.7 kg found: 0.1 kg less",
		"the log book had 5 kg, 5.5 kg found: 0.5 kg more", "the log book had 1.7 kg, as counted"}, said)
}

func TestStockOnHand(t *testing.T) {
	k := someKitchen(t)
	entries := typed(t, k, `
		0/07 received 5 kg pork shoulder
		2/07 received 2 kg pork shoulder
		2/09 counted 1 kg braise fat`)
	stock, err := Play(k, entries, at(3, 0))
	require.NoError(t, err)
	lots, past := stock.OnHand(k, at(3, 0), at(3, 0)) // shoulder keeps 3 days: Tuesday's until Thursday
	assert.Equal(t, []flow.Lot{{Item: 1, Amount: 2000, Made: -1}, {Item: 6, Amount: 1000, Made: -1, Since: flow.Since{Known: true, Day: -1, Item: 6}}}, lots)
	require.Len(t, past, 1)
	assert.Equal(t, week.Past{Item: 1, Amount: 5000, Last: at(2, 0)}, past[0])
	csv := "item,quantity,made\npork shoulder,2 kg,2026-11-26\nbraise fat,1 kg,2026-11-26\n"
	same, faults := kitchen.ReadOnHand("on-hand.csv", []byte(csv), k, at(3, 0))
	require.Empty(t, faults)
	assert.Equal(t, same, lots, "as a list of what is on hand gives them")
}

// A lot is as old as its day is away, whatever the hour: what came today is of day 0, and keeps a day longer than yesterday's.
func TestWhatCameTodayIsOfDayZero(t *testing.T) {
	k := someKitchen(t)
	entries := typed(t, k, `
		0/00 received 1 kg pork shoulder
		1/23 received 2 kg pork shoulder
		2/00 received 3 kg pork shoulder
		2/11 received 4 kg pork shoulder`)
	stock, err := Play(k, entries, at(2, 12))
	require.NoError(t, err)
	lots, past := stock.OnHand(k, at(2, 0), at(2, 0))
	assert.Empty(t, past, "shoulder keeps 3 days: Tuesday's until Thursday")
	assert.Equal(t, []flow.Lot{{Item: 1, Amount: 1000, Made: -2}, {Item: 1, Amount: 2000, Made: -1}, {Item: 1, Amount: 3000}, {Item: 1, Amount: 4000}}, lots)
}

// A kitchen file that has changed since is said of, not tripped over.
func TestPlayWithAnotherKitchenFile(t *testing.T) {
	entries := typed(t, someKitchen(t), `
		0/07 received 5 kg pork shoulder
		0/08 received 2 each hen
		0/14 sold 3 tacos
		0/15 binned 1 kg pulled shoulder`)
	for old, new := range map[string]string{"pork shoulder": "pig shoulder", "tacos:": "taco:",
		"9.50/each, each: 1.9 kg": "5.00/L"} {
		src := strings.ReplaceAll(braiseShop, old, new)
		if strings.Contains(new, "/L") {
			src = strings.ReplaceAll(src, " or 120 g hen", "")
		}
		k, faults := kitchen.Read("kitchen.yaml", []byte(src))
		require.NoError(t, faults.Err())
		stock, err := Play(k, entries, at(6, 0))
		require.NoError(t, err)
		var said []string
		for _, o := range stock.Odd {
			said = append(said, o.Msg)
		}
		want := map[string]string{"pork shoulder": `nothing in the kitchen is called "pork shoulder" now, so it is not counted`,
			"tacos:": `nothing in the kitchen is called "tacos" now, so what it took is not counted`,
			"9.50/each, each: 1.9 kg": `"hen" was counted in each, now it is in L, and nothing leads from a count to ` +
				`a volume: it is not counted`}
		assert.Contains(t, said, want[old])
	}
}

// texts are entries that may be drawn.
var texts = []struct {
	kind Kind
	text string
}{
	{Received, "%d kg pork shoulder"}, {Received, "%d each hen"}, {Received, "%d each tortilla"},
	{Cooked, "braise x%d"}, {Cooked, "season broth x%d: 1 L shoulder broth -> 0.9 L soup base"},
	{Sold, "%d tacos at lunch"},
	{Sold, "%d soup"}, {Binned, "%d kg pulled shoulder"}, {Binned, "%d L soup base"}, {Counted, "%d kg pork shoulder"},
	{Counted, "%d L shoulder broth"}, {Counted, "%d kg pulled shoulder"}, {Temperature, "hen %d C"},
}

// drawn is a row of entries in which some correct or take back others, and how each must fare in the end.
func drawn(t *rapid.T, k *kitchen.Kitchen) (entries []Entry, stand []bool) {
	for n := range rapid.IntRange(0, 40).Draw(t, "entries") {
		id := int64(n + 1)
		live := []int{} // entries that may be corrected
		for i, s := range stand {
			if s {
				live = append(live, i)
			}
		}
		if len(live) > 0 && rapid.IntRange(0, 3).Draw(t, "undo") == 0 {
			i := rapid.SampledFrom(live).Draw(t, "which")
			entries = append(entries, Entry{ID: id, Kind: Undone, Corrects: int64(i + 1), At: at(6, 0)})
			stand = append(stand, false)
			stand[i] = false
			continue
		}
		c := rapid.SampledFrom(texts).Draw(t, "kind")
		e, err := Parse(k, c.kind, fmt.Sprintf(c.text, rapid.IntRange(1, 9).Draw(t, "amount")))
		require.NoError(t, err)
		e.ID, e.At = id, at(0, rapid.IntRange(0, 100).Draw(t, "hour"))
		entries, stand = append(entries, e), append(stand, true)
	}
	return entries, stand
}

// Playing entries of which some are undone is playing the others.
func TestUndoneIsNeverWritten(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(t *rapid.T) {
		entries, stand := drawn(t, k)
		var rest []Entry
		for i, e := range entries {
			if stand[i] {
				rest = append(rest, e)
			}
		}
		assert.Equal(t, len(rest), len(Standing(entries)))
		got, err := Play(k, entries, at(9, 0))
		require.NoError(t, err)
		want, err := Play(k, rest, at(9, 0))
		require.NoError(t, err)
		assert.Equal(t, want, got)
	})
}

// A corrected entry is as if the right one had stood in its place.
func TestCorrectedIsRightFromTheStart(t *testing.T) {
	k := someKitchen(t)
	rapid.Check(t, func(t *rapid.T) {
		entries, _ := drawn(t, k)
		entries = slices.DeleteFunc(entries, func(e Entry) bool { return e.Kind == Undone })
		if len(entries) == 0 {
			return
		}
		for i := range entries { // each at a moment of its own, for entries of one moment count in the order of writing
			entries[i].ID, entries[i].At = int64(i+1), entries[i].At.Add(time.Duration(i)*time.Second)
		}
		i := rapid.IntRange(0, len(entries)-1).Draw(t, "which")
		right := entries[i]
		for _, list := range [][]Amount{right.Takes, right.Gives} {
			for n := range list {
				list[n].Base *= 1.5
			}
		}
		want := slices.Clone(entries)
		want[i] = right
		right.ID, right.Corrects = int64(len(entries)+1), int64(i+1)
		corrected, err := Play(k, append(slices.Clone(entries), right), at(9, 0))
		require.NoError(t, err)
		plain, err := Play(k, want, at(9, 0))
		require.NoError(t, err)
		amounts := func(s *Stock) (list []float64) {
			for _, l := range s.Lots {
				list = append(list, l.Amount)
			}
			return list
		}
		assert.Equal(t, amounts(plain), amounts(corrected))
	})
}

// Nothing is ever below nothing, and what was received and cooked is what was taken and is left, but for what is said.
func TestNothingIsLostOnTheShelves(t *testing.T) {
	k := someKitchen(t)
	shoulder := 1 // its place among the items
	require.Equal(t, "pork shoulder", k.Graph.Items[shoulder].Name)
	rapid.Check(t, func(t *rapid.T) {
		entries, _ := drawn(t, k)
		stock, err := Play(k, entries, at(9, 0))
		require.NoError(t, err)
		for i, l := range stock.Lots {
			assert.Positive(t, l.Amount)
			if i > 0 && stock.Lots[i-1].Item == l.Item {
				assert.False(t, l.Made.Before(stock.Lots[i-1].Made), "the oldest first")
			}
		}
		came, left := 0.0, 0.0
		if slices.ContainsFunc(entries, func(e Entry) bool {
			return e.Kind == Counted && e.Gives[0].Item == "pork shoulder"
		}) {
			return // what a count did to the book is said in the count
		}
		began := at(9, 0) // when a book of it begins
		for _, e := range Standing(entries) {
			if e.Kind == Received && e.Gives[0].Item == "pork shoulder" && e.At.Before(began) {
				began = e.At
			}
		}
		for _, e := range Standing(entries) {
			for _, a := range e.Gives {
				if a.Item == "pork shoulder" {
					came += a.Base
				}
			}
			for _, a := range e.Takes {
				if a.Item == "pork shoulder" && e.At.After(began) {
					came -= a.Base
				}
			}
		}
		for _, o := range stock.Odd {
			if o.Item == "pork shoulder" {
				came += o.Missing
			}
		}
		for _, l := range stock.Lots {
			if l.Item == shoulder {
				left += l.Amount
			}
		}
		sameMoment := slices.ContainsFunc(entries, func(e Entry) bool { return e.Kind == Cooked && e.At.Equal(began) })
		if !sameMoment {
			assert.InDelta(t, came, left, 1e-6)
		}
	})
}

// Asked again, what is on hand is what it would be if all were played again, whatever was written meanwhile.
func TestOnHandGoesOn(t *testing.T) {
	lawtest.Few(t, 25)
	k := someKitchen(t)
	rapid.Check(t, func(r *rapid.T) {
		entries, _ := drawn(r, k)
		j := newLogBook(t)
		var written []Entry
		for len(entries) > 0 {
			n := rapid.IntRange(1, len(entries)).Draw(r, "more")
			kept, err := j.Append(t.Context(), entries[:n]...)
			require.NoError(t, err)
			entries, written = entries[n:], append(written, kept...)
			asOf := at(0, rapid.IntRange(0, 160).Draw(r, "as of"))
			got, err := j.OnHand(t.Context(), k, asOf)
			require.NoError(t, err)
			want, err := Play(k, written, asOf)
			require.NoError(t, err)
			require.Equal(t, want, got)
		}
		require.NoError(t, j.Close())
	})
}

func TestLatest(t *testing.T) {
	j := newLogBook(t)
	none, err := j.Latest(t.Context(), 3)
	require.NoError(t, err)
	assert.Empty(t, none)
	kept, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	for _, n := range []int{1, 3, 6, 100} {
		got, err := j.Latest(t.Context(), n)
		require.NoError(t, err)
		assert.Equal(t, kept[max(0, len(kept)-n):], got)
	}
	_, err = j.Undo(t.Context(), 2, at(1, 0))
	require.NoError(t, err)
	corrections, err := j.Corrections(t.Context())
	require.NoError(t, err)
	require.Len(t, corrections, 1)
	assert.EqualValues(t, 2, corrections[0].Corrects)
}
