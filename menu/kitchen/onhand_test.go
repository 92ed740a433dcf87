package kitchen

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
)

var tuesday = time.Date(2026, 11, 24, 9, 30, 0, 0, time.FixedZone("somewhere", -6*3600))

// What is past the days of the code's date mark is said, and not counted (3-501.18(A) has it discarded); what they end for before its
// keeping does is binned when they end.
func TestOnHandPastItsDateMark(t *testing.T) {
	lots, faults := ReadOnHand("on-hand.csv", []byte("item,quantity,made\nlard,1 lb,2026-11-17\n"), soundKitchen(t), tuesday)
	assert.Empty(t, lots)
	assert.Contains(t, faults.Error(), `on-hand.csv:2:11: warning: the 7 days of "lard" ended on 2026-11-23 (US FDA Food Code 2022, 3-501.17(A)), so it is not counted`)
	k := soundKitchen(t)
	lard, _, err := k.ItemNamed("lard", nil)
	require.NoError(t, err)
	k.Terms.Keeps[lard] = 30
	lots, faults = ReadOnHand("on-hand.csv", []byte("item,quantity,made\nlard,1 lb,2026-11-20\n"), k, tuesday)
	require.Empty(t, faults)
	require.Len(t, lots, 1)
	assert.Equal(t, 2, lots[0].Made+30-1, "its last day is the 26th, its seventh")
	assert.Equal(t, -4, lots[0].Made+lots[0].Aged, "made on the 20th")
}

func TestReadOnHand(t *testing.T) {
	k := soundKitchen(t)
	const rows = "item,quantity,made\n" +
		"kettle stock,40 L,2026-11-22\n" +
		"\n" +
		"kettle stock, 2 kg ,2026-11-24\n" +
		"\"lard\",1 lb,2026-11-18\n" +
		",,\n" +
		"stewing hen,3.8 kg,2026-11-24\n" +
		"pork trotters,0 kg,2026-11-24\n"
	for _, text := range []string{rows, strings.ReplaceAll(rows, "\n", "\r\n"), "\uFEFF" + rows, strings.TrimRight(rows,
		"\n")} {
		lots, faults := ReadOnHand("on-hand.csv", []byte(text), k, tuesday)
		require.Empty(t, faults, "%s", faults.Error())
		want := []flow.Lot{
			{Item: 12, Amount: 40_000, Made: -2},
			{Item: 12, Amount: 2000 / 1.01, Made: 0},
			{Item: 13, Amount: 453.59237, Made: -6},
			{Item: 2, Amount: 2, Made: 0},
			{Item: 0, Amount: 0, Made: 0},
		}
		require.Len(t, lots, len(want))
		for i, l := range lots {
			assert.InDelta(t, want[i].Amount, l.Amount, 1e-12*want[i].Amount)
			l.Amount = want[i].Amount
			want[i].Since = k.OwnDayOne(l.Item, l.Made)
			assert.Equal(t, want[i], l)
		}
	}
}

func TestOnHandFaults(t *testing.T) {
	k := soundKitchen(t)
	lots, faults := ReadOnHand("on-hand.csv", []byte("item,quantity,made\n"+
		"kettle stok,40 L,2026-11-22\n"+
		"lard,any tub,22.11.2026\n"+
		"lard,1 kg\n"+
		"lard,1 L,2026-11-22\n"+
		"lard,1 kg,2026-11-25\n"+
		"lard,1 kg,2026-02-30\n"+
		"red pozole,3 each,2026-11-24\n"+
		"la\"rd,1 kg,2026-11-24\n"+
		"\"lard\"\"\",-1 kg,2026-11-24\n"+
		"kettle stock,1 L,2026-11-20\n"), k, tuesday)
	assert.Nil(t, lots)
	assert.Equal(t, `on-hand.csv:2:1: error: unknown item "kettle stok" [unknown-item]
   2 | kettle stok,40 L,2026-11-22
     | ^^^^^^^^^^^
hint: did you mean "kettle stock" (sound.yaml:32:14)?
on-hand.csv:3:6: error: "any" is not a number [bad-quantity]
   3 | lard,any tub,22.11.2026
     |      ^^^^^^^
hint: write a number such as 450, 1.5, 1/2 or 1 1/2
on-hand.csv:3:14: error: "22.11.2026" is not a date [bad-date]
   3 | lard,any tub,22.11.2026
     |              ^^^^^^^^^^
hint: write the date as 2026-11-24
on-hand.csv:4:1: error: row has 2 fields, not 3 [bad-row]
   4 | lard,1 kg
     | ^^^^
hint: write an item, a quantity and a date, such as shoulder meat,12 kg,2026-11-24
on-hand.csv:5:6: error: 1 L of "lard" is a volume, but it is counted in kg, which is a weight [no-bridge]
   5 | lard,1 L,2026-11-22
     |      ^^^
hint: add "density: ... kg/L" to "lard" under "made"
on-hand.csv:6:11: error: "lard" is made on 2026-11-25, after 2026-11-24, the first day that is looked at [bad-date]
   6 | lard,1 kg,2026-11-25
     |           ^^^^^^^^^^
hint: write the day on which it was made or arrived
on-hand.csv:7:11: error: "2026-02-30" is not a date [bad-date]
   7 | lard,1 kg,2026-02-30
     |           ^^^^^^^^^^
hint: write the date as 2026-11-24
on-hand.csv:8:1: error: "red pozole" is a dish, which is made when it is served [dish-on-hand]
   8 | red pozole,3 each,2026-11-24
     | ^^^^^^^^^^
hint: write what the dish is made of
on-hand.csv:9:3: error: the quotes in this row do not match [bad-row]
   9 | la"rd,1 kg,2026-11-24
     |   ^
hint: put quotes around a whole field, or none
on-hand.csv:10:1: error: unknown item "lard\"" [unknown-item]
  10 | "lard""",-1 kg,2026-11-24
     | ^^^^^
hint: did you mean "lard" (sound.yaml:37:61)?
on-hand.csv:10:10: error: number "-1" has a sign [bad-quantity]
  10 | "lard""",-1 kg,2026-11-24
     |          ^^^^^
hint: numbers here are zero or more, without a sign
on-hand.csv:11:18: warning: 1 L of "kettle stock" kept until 2026-11-23, so it is not counted [past-keeping]
  11 | kettle stock,1 L,2026-11-20
     |                  ^^^^^^^^^^
hint: remove the row once it is thrown out`, faults.Error())
}

// The day made is day 1: what keeps 4 days is good on the third day after, and not on the fourth.
func TestOnHandKeeps(t *testing.T) {
	k := soundKitchen(t)
	for made, lots := range map[string]int{"2026-11-21": 1, "2026-11-20": 0} {
		got, faults := ReadOnHand("on-hand.csv", []byte("item,quantity,made\nkettle stock,1 L,"+made+"\n"), k, tuesday)
		assert.Len(t, got, lots, made)
		assert.Len(t, faults, 1-lots, made)
	}
}

func TestOnHandRefused(t *testing.T) {
	k := soundKitchen(t)
	for text, id := range map[string]string{
		"": "empty", "\n\n": "empty", "name,amount,date\n": "bad-header",
		"kettle stock,40 L,2026-11-22\n": "bad-header",
		"item,quantity,made\n\xff\n":     "not-text", "item\x00": "not-text", strings.Repeat("x", MostBytes+1): "too-large",
	} {
		lots, faults := ReadOnHand("on-hand.csv", []byte(text), k, tuesday)
		assert.Nil(t, lots)
		if assert.Len(t, faults, 1) {
			assert.Equal(t, id, faults[0].ID)
		}
	}
}

func FuzzReadOnHand(f *testing.F) {
	k := soundKitchen(f)
	f.Add([]byte("item,quantity,made\nkettle stock,40 L,2026-11-22\n\"lard\",1 lb,2020-01-01\r\n"))
	f.Add([]byte("item,quantity,made\n\"a\nb\",\"1,5 kg\",0001-01-01\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		lots, faults := ReadOnHand("on-hand.csv", src, k, tuesday)
		require.Equal(t, faults.Err() == nil, lots != nil)
		for _, l := range lots {
			require.True(t, l.Amount > 0 && l.Made <= 0)
		}
		for _, d := range faults {
			require.LessOrEqual(t, d.Pos.Line, 1+bytes.Count(src, []byte("\n")))
		}
	})
}
