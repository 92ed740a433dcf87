package logbook

// Which batch an entry means, and what of it is by the card.

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

const twoPots = `kitchen: Two Pots
bought:
  water: {price: 0/L, density: 1 kg/L}
  hen:   {price: 10/each, each: 2 kg}
  bones: {price: 4/kg}
  onion: {price: 1/kg}
  shin:  {price: 8/kg}
  flour: {price: 1/kg}
steps:
  night pot:
    starts: "22:00"
    takes: [4 each hen, 30 L water, "5 kg bones, in at 4 h", "1 kg onion, in at 7 h"]
    gives: ["2 kg hen meat, out at 3 h", "20 L stock, out at 9 h"]
    batches: {tue: 2, thu: 1}
  braise:
    starts: "09:00"
    takes: [6 kg shin, "1 kg onion, in at 1 h"]
    gives: ["4 kg shin meat, out at 3 h"]
    batches: {tue: 1}
  flatbread: {takes: [1 kg flour], gives: [10 each bread], batches: to order}
made: {stock: {density: 1 kg/L}}
dishes:
  bowl:  {price: 9, takes: [300 mL stock, 50 g hen meat], sells: 20}
  plate: {price: 9, takes: [100 g shin meat, 1 each bread], sells: 20}
`

// inALine is an entry in one line: its batch, and its amounts, those by the card in brackets.
func inALine(e Entry) string {
	amounts := func(list []Amount) string {
		var words []string
		for _, a := range list {
			word := fmt.Sprintf("%s %g", a.Item, a.Base)
			if a.Typed == "" {
				word = "[" + word + "]"
			}
			words = append(words, word)
		}
		return strings.Join(words, ", ")
	}
	text := fmt.Sprintf("%s %s %s", e.Kind, e.Begins.Format("Mon"), e.Step)
	if e.Batches > 0 {
		text += fmt.Sprintf(" x%g", e.Batches)
	}
	if in := amounts(e.Takes); in != "" {
		text += " in: " + in
	}
	if out := amounts(e.Gives); out != "" {
		text += " out: " + out
	}
	return text
}

func TestSettle(t *testing.T) {
	k := readKitchen(t, twoPots)
	for _, c := range []struct {
		name, entries string
		want          []string // of the last entry, those that stand before it too; or the fault and what would be right
	}{
		{"as many as are planned, and what goes in at once", `0/22 lit night pot`,
			[]string{"lit Tue night pot x2 in: [hen 8], [water 60000]"}},
		{"what is left of the planned", "0/21 lit night pot x0.5\n0/22 lit night pot",
			[]string{"lit Tue night pot x1.5 in: [hen 6], [water 45000]"}},
		{"what is named is not by the card", `0/22 lit night pot x1: 5 each hen, 0 L water`,
			[]string{"lit Tue night pot x1 in: hen 5, water 0"}},
		{"what is put in early is not due", "0/22 lit night pot x1: 4 kg bones\n1/07 done night pot",
			[]string{"done Tue night pot in: [onion 1000] out: [hen meat 2000], [stock 20000]"}},
		{"after midnight it is still the batch of the evening", `1/00 lit night pot`,
			[]string{"lit Tue night pot x2 in: [hen 8], [water 60000]"}},
		{"one that nobody planned", `1/12 lit night pot of wed`,
			[]string{"lit Wed night pot x1 in: [hen 4], [water 30000]"}},
		{"what only one takes", "0/22 lit night pot\n1/02 put in 9 kg bones",
			[]string{"put in Tue night pot in: bones 9000"}},
		{"what only one under way awaits", "0/22 lit night pot\n1/05 put in 2 kg onion",
			[]string{"put in Tue night pot in: onion 2000"}},
		{"two await it", "0/09 lit braise\n0/10 lit night pot of tue\n0/11 put in 1 kg onion",
			[]string{"braise of Tue 24 Nov and night pot of Tue 24 Nov take onion: which is meant?",
				"name the batch: put in 1 kg onion of braise of 2026-11-24"}},
		{"named by its step", "0/09 lit braise\n0/10 lit night pot of tue\n0/11 put in 1 kg onion of braise",
			[]string{"put in Tue braise in: onion 1000"}},
		{"nobody lit it: it was lit as planned", `1/01 out 4.1 kg hen meat`,
			[]string{"lit Tue night pot x2 in: [hen 8], [water 60000]", "out Tue night pot out: hen meat 4100"}},
		{"done, and nobody wrote anything before", `1/07 done night pot of tue`,
			[]string{"lit Tue night pot x2 in: [hen 8], [water 60000]",
				"done Tue night pot in: [bones 10000], [onion 2000] out: [hen meat 4000], [stock 40000]"}},
		{"done: the rest is by the card", "0/22 lit night pot\n1/01 out 3.9 kg hen meat\n1/02 put in 9 kg bones\n1/07 done night pot",
			[]string{"done Tue night pot in: [onion 2000] out: [stock 40000]"}},
		{"less what was lost", "0/22 lit night pot\n1/03 lost 25% of night pot\n1/07 done night pot",
			[]string{"done Tue night pot in: [bones 10000], [onion 2000] out: [hen meat 3000], [stock 30000]"}},
		{"done twice adds nothing", "0/22 lit night pot\n1/07 done night pot\n1/08 done night pot", []string{"done Tue night pot"}},
		{"more of what is out already", "0/22 lit night pot\n1/07 out 20 L stock\n1/08 out 15 L stock",
			[]string{"out Tue night pot out: stock 15000"}},
		{"nothing is under way", `0/12 out 4 kg hen meat`,
			[]string{"no batch that gives hen meat is under way or due",
				"log what was lit: lit night pot; or name the batch: out 4 kg hen meat of night pot of tue"}},
		{"not even in the file", `0/12 out 4 kg flour`,
			[]string{"no step gives flour", "write it as out 2 kg hen meat of night pot"}},
		{"nothing of the step is under way", `0/12 done night pot`,
			[]string{"no night pot is under way or due", "log when it was lit: lit night pot; or name its day: night pot of tue"}},
		{"cooked, though it is under way", "0/22 lit night pot\n1/07 cooked night pot",
			[]string{"night pot of Tue 24 Nov is under way, lit Tue 24 Nov 22:00",
				"log what comes out of it, or: done night pot; another batch is named by its day: night pot of wed"}},
		{"cooked on a day without one, and it is not the next day's", `1/20 cooked night pot`,
			[]string{"cooked Tue night pot x1 in: [hen 4], [water 30000], [bones 5000], [onion 1000] out: [hen meat 2000], [stock 20000]"}},
		{"lit when all of the day's were", "0/22 lit night pot\n1/12 lit night pot",
			[]string{"lit Wed night pot x1 in: [hen 4], [water 30000]"}},
		{"cooked: the batch that is due", `1/07 cooked night pot x2`,
			[]string{"cooked Tue night pot x2 in: [hen 8], [water 60000], [bones 10000], [onion 2000] out: [hen meat 4000], [stock 40000]"}},
		{"skipped", `0/12 skipped night pot`, []string{"skipped Tue night pot"}},
		{"skipped, though it was lit", "0/22 lit night pot\n0/23 skipped night pot of tue",
			[]string{"no night pot of Tue 24 Nov is left to be made", "name the day that it was planned for: skipped night pot of tue"}},
		{"skipped on no day", `0/12 skipped night pot of wed`,
			[]string{"no night pot of Wed 25 Nov is left to be made", "name the day that it was planned for: skipped night pot of tue"}},
		{"skipped, where two are possible", `2/23 skipped night pot`,
			[]string{"night pot of Tue 24 Nov and night pot of Thu 26 Nov are left to be made: which is meant?", "name the batch: skipped night pot of 2026-11-24"}},
		{"skipped, when the other is done", "1/08 done night pot\n2/23 skipped night pot", []string{"skipped Thu night pot"}},
		{"skipped, the day after it was to be out", `1/20 skipped night pot`, []string{"skipped Tue night pot"}},
		{"lost", "0/22 lit night pot\n1/03 lost 25% of night pot", []string{"lost Tue night pot"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := newLogBook(t)
			var kept []Entry
			var err error
			for _, e := range typed(t, k, c.entries) {
				require.NoError(t, err)
				e.ID = 0
				var entries []Entry
				if entries, err = j.Settle(t.Context(), k, asInFile(k), e); err == nil {
					kept, err = j.Append(t.Context(), entries...)
				}
			}
			if fault, ok := err.(*EntryError); ok {
				assert.Equal(t, c.want, []string{fault.Msg, fault.Hint})
				return
			}
			require.NoError(t, err)
			var got []string
			for _, e := range kept {
				got = append(got, inALine(e))
			}
			assert.Equal(t, c.want, got)
			for _, e := range kept {
				if e.Kind == Lit {
					assert.NotEmpty(t, e.Card)
				}
			}
		})
	}
}

// The card is kept as it was when the batch was lit, by time, and what the file says later changes nothing of it.
func TestTheCardIsKept(t *testing.T) {
	k := readKitchen(t, twoPots)
	j := newLogBook(t)
	write := func(k *kitchen.Kitchen, entries ...Entry) []Entry {
		t.Helper()
		for i := range entries {
			entries[i].ID = 0
		}
		list, err := j.Settle(t.Context(), k, asInFile(k), entries...)
		require.NoError(t, err)
		kept, err := j.Append(t.Context(), list...)
		require.NoError(t, err)
		return kept
	}
	write(k, typed(t, k, `0/22 lit night pot x1`)...)
	var card []string
	all, err := j.Entries(t.Context())
	require.NoError(t, err)
	for _, d := range all[0].Card {
		card = append(card, fmt.Sprintf("%d %s %g %t", d.After, d.Item, d.Base, d.Out))
	}
	assert.Equal(t, []string{"180 hen meat 2000 true", "240 bones 5000 false", "420 onion 1000 false", "540 stock 20000 true"}, card)

	other, faults := kitchen.Read("kitchen.yaml", []byte(strings.Replace(twoPots, "20 L stock", "30 L stock", 1)))
	require.NoError(t, faults.Err())
	done := write(other, typed(t, other, `1/07 done night pot`)...)
	assert.Equal(t, "done Tue night pot in: [bones 5000], [onion 1000] out: [hen meat 2000], [stock 20000]", inALine(done[0]))
}

// A correction is about the batch of the entry that it replaces, and happened when that did.
func TestACorrectionIsAboutTheSameBatch(t *testing.T) {
	k := readKitchen(t, twoPots)
	j := newLogBook(t)
	list, err := j.Settle(t.Context(), k, asInFile(k), typed(t, k, "0/22 lit night pot\n1/01 out 3.9 kg hen meat")...)
	require.NoError(t, err)
	for i := range list {
		list[i].ID = 0
	}
	_, err = j.Append(t.Context(), list...)
	require.NoError(t, err)
	e, err := Parse(k, Out, "4.4 kg hen meat")
	require.NoError(t, err)
	e.Corrects, e.Written = 2, at(3, 0)
	list, err = j.Settle(t.Context(), k, asInFile(k), e)
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, "out Tue night pot out: hen meat 4400", inALine(list[0]))
	assert.Equal(t, at(1, 1), list[0].At)
	assert.Equal(t, time.Tuesday, list[0].Begins.Weekday())
}

// asInFile plans every week as the kitchen file has it.
func asInFile(k *kitchen.Kitchen) Planned {
	return func(from time.Time, days int) (*week.Week, error) {
		return week.Over(k, week.Period{From: from, Days: days})
	}
}

// What goes into a pot, or comes out of it, that is on the fire is of that pot, and not of the day before's that nobody lit: also where that pot
// got all of it by what was written, and waits for no more.
func TestThePotOnTheFireIsMeant(t *testing.T) {
	k := readKitchen(t, strings.Replace(twoPots, "batches: {tue: 1}", "batches: {tue: 1, wed: 1}", 1))
	for text, want := range map[string]string{
		"1/09 put in 1 kg shin into braise":         "put in Wed braise in: shin 1000",
		"1/09 put in 1 kg shin":                     "put in Wed braise in: shin 1000",
		"1/11 out 4 kg shin meat\n1/12 done braise": "done Wed braise in: [onion 1000]",
		"1/12 out 1 kg shin meat":                   "out Wed braise out: shin meat 1000",
	} {
		j := newLogBook(t)
		var kept []Entry
		for _, e := range typed(t, k, "1/09 lit braise: 5 kg shin\n"+text) {
			e.ID = 0
			entries, err := j.Settle(t.Context(), k, asInFile(k), e)
			require.NoError(t, err)
			kept, err = j.Append(t.Context(), entries...)
			require.NoError(t, err)
		}
		require.Len(t, kept, 1, text)
		assert.Equal(t, want, inALine(kept[0]), text)
	}
}
