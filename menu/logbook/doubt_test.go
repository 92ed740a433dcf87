package logbook

// Entries that look wrong.

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDoubts(t *testing.T) {
	k := readKitchen(t, `kitchen: Doubts
open: mon-sat
services: {lunch: 11:30-14:30, dinner: 17:30-22:00, sat dinner: closed}
vessels: {pot: {holds: 40 L}}
bought:
  water: {price: 0/L, density: 1 kg/L}
  hen:   {price: 10/each, each: 2 kg}
  fish:  {price: 10/kg, keeps: 2 days}
steps:
  night pot:
    vessel: pot
    starts: "22:00"
    takes: [4 each hen, 30 L water, 1 kg fish]
    gives: ["2 kg hen meat, out at 3 h", "20 L stock, out at 9 h"]
    batches: {tue: 2}
made: {stock: {density: 1 kg/L}}
dishes:
  bowl: {price: 9, takes: [300 mL stock, 50 g hen meat], sells: 20}
`)
	for _, c := range []struct{ entries, want, hint string }{
		{"0/07 counted 2 kg hen meat\n0/08 counted 39 kg hen meat", "", ""},
		{"0/07 counted 2 kg hen meat\n0/08 counted 42 kg hen meat", "42 kg hen meat counted, and the log book has 2 kg: 21 times as much",
			"look at the unit and the decimal point; what came in since is logged as received or cooked"},
		{"0/08 counted 42 kg hen meat", "", ""}, // nothing was known of it
		{"0/07 counted 0 kg hen meat\n0/08 counted 42 kg hen meat", "", ""},
		{"0/07 counted 2.1 kg hen meat\n0/23 counted 3 kg hen meat", "", ""}, // nobody sold the 2 kg that lunch and dinner take as planned
		{"0/07 counted 2 kg hen meat\n1/09 counted 42 kg hen meat", "", ""},  // nobody wrote down the 4 kg that came out as planned
		{"0/07 counted 0 kg hen meat\n1/09 counted 90 kg hen meat", "90 kg hen meat counted, and as planned there would be 4 kg: 22 times as much",
			"look at the unit and the decimal point; what came in since is logged as received or cooked"},
		{"0/07 received 8 each hen lot A1\n1/07 received 8 each hen lot A1", "hen lot A1 was received before: entry 1, 8 each of Tue 24 Nov 07:00",
			"if that one is wrong, log this in its place: --corrects 1; if more came of the lot, give it a mark of its own"},
		{"0/07 received 8 each hen lot A1\n0/09 received 6 each hen lot A1", "hen lot A1 was received before: entry 1, 8 each of Tue 24 Nov 07:00",
			"if that one is wrong, log this in its place: --corrects 1; if more came of the lot, give it a mark of its own"},
		{"0/07 received 8 each hen lot A1\n1/09 received 6 each hen lot A1", "", ""}, // the rest of it, the day after
		{"0/07 received 8 each hen\n0/07 received 8 each hen", "this was written already a moment ago, as entry 1", "once more? If it happened twice, it is right"},
		{"0/07 received 8 each hen\n0/07 received 16 kg hen", "this was written already a moment ago, as entry 1", "once more? If it happened twice, it is right"}, // 2 kg each
		{"0/07 received 8 each hen\n0/08 received 8 each hen", "", ""},
		{"0/07 received 8 each hen\n0/07 received 9 each hen", "", ""},
		{"0/07 received 8 each hen\n0/07 received 8 each hen for 80", "", ""},
		{"0/07 binned 8 each hen, torn\n0/07 binned 8 each hen", "", ""},
		{"0/13 sold 4 bowl\n0/13 sold 4 bowl", "this was written already a moment ago, as entry 1", "once more? If it happened twice, it is right"},
		{"0/22 lit night pot x1\n0/22 lit night pot x1", "this was written already a moment ago, as entry 1", "once more? If it happened twice, it is right"},
		{"0/22 lit night pot x1: 300 L water", "what went in is 309 L, and pot holds 40 L",
			"look at the unit and the decimal point; several batches are written night pot x2"},
		{"0/22 lit night pot x2: 64 L water", "", ""},
		{"4/22 lit night pot x1", "no night pot is planned for Sat 28 Nov, but for Tue 24 Nov and Tue 1 Dec",
			"name the day of the batch that it is: lit night pot of 2026-11-24; if it is one more, it is right"},
		{"5/13 sold 4 bowl", "the kitchen is closed on Sun 29 Nov", "say when it was: --at \"2026-11-28 13:00\"; if there were guests all the same, it is right"},
		{"5/13 gave 4 bowl to staff", "", ""},
		{"0/14 sold 4 bowl at dinner", "dinner of Tue 24 Nov begins at 17:30, and it is 14:00", "say when it was: --at \"2026-11-23 17:30\"; if it is sold ahead, it is right"},
		{"0/17 sold 4 bowl at dinner", "", ""},
		{"0/14 gave 4 bowl at dinner", "", ""},
		{"4/13 sold 4 bowl at dinner", "there is no dinner on Sat 28 Nov", "that day has lunch; if there were guests all the same, it is right"},
		{"0/22 lit night pot x2\n1/07 out 60 L stock", "", ""},
		{"0/22 lit night pot x1\n1/07 out 60 L stock", "60 L stock is 60 L, and pot holds 40 L",
			"look at the unit and the decimal point; several batches are written night pot x2"},
		{"1/07 out 60 L stock", "", ""}, // two were lit as planned
		{"0/13 sold 99 bowl", "", ""},
		{"0/13 sold 300 bowl", "300 bowl, and no service expects more than 20", "look at the number; if so many were sold, it is right"},
		{"0/07 counted 2 kg hen meat\n0/08 binned 2 kg hen meat\n0/09 binned 2 kg hen meat", "2 kg hen meat binned, and the log book has none left",
			"if it was logged already, there is nothing to do; if there was some all the same, it is right"},
		{"0/07 counted 2 kg hen meat\n0/09 binned 5 kg hen meat", "5 kg hen meat binned, and the log book has 2 kg",
			"look at the unit and the decimal point; if there was so much, it is right"},
		{"0/07 counted 2 kg hen meat\n0/09 binned 3 kg hen meat", "", ""}, // a count is never quite right
		{"0/09 binned 5 kg hen meat", "", ""},                             // nothing was known of it
		{"0/07 received 8 each hen for 8", "8.00 for 8 each hen is 1.00/each, and the kitchen file has 10.00/each",
			"the money is for all of it, not for one; if that is what it cost, it is right"},
		{"0/07 received 8 each hen for 60", "", ""},
		{"0/07 received 500 each hen", "", ""}, // it keeps, by the file
		{"0/07 received 15 kg fish", "", ""},
		{"0/07 received 20 kg fish", "20 kg fish came, and two weeks take about 4 kg", "look at the unit and the decimal point; if so much came, it is right"},
		{"1/07 cooked night pot: 70 L water -> 60 L stock", "70 L water is 70 L, and pot holds 40 L",
			"look at the unit and the decimal point; several batches are written night pot x2"},
	} {
		j := newLogBook(t)
		list := typed(t, k, c.entries)
		for n, e := range list {
			e.ID = 0
			entries, err := j.Settle(t.Context(), k, asInFile(k), e)
			require.NoError(t, err, c.entries)
			doubts, err := j.Doubts(t.Context(), k, asInFile(k), entries...)
			require.NoError(t, err, c.entries)
			if n < len(list)-1 || c.want == "" {
				require.Empty(t, doubts, c.entries)
				_, err = j.Append(t.Context(), entries...)
				require.NoError(t, err)
				continue
			}
			require.NotEmpty(t, doubts, c.entries)
			assert.Equal(t, Doubt{c.want, c.hint}, doubts[0], c.entries)
			for i := range entries { // who corrects has looked
				entries[i].Corrects = 1
			}
			doubts, err = j.Doubts(t.Context(), k, asInFile(k), entries...)
			require.NoError(t, err)
			assert.Empty(t, doubts)
		}
	}
}

// What is sent long after it happened may have been written then, its answer lost: the same at the same moment is asked about.
func TestDoubtsWhatIsSentLate(t *testing.T) {
	k := someKitchen(t)
	for _, c := range []struct {
		about string
		wait  time.Duration // between the two moments that are written about
		late  time.Duration // after which the second is written
		want  string
	}{
		{"the same moment, twenty minutes later", 0, 20 * time.Minute, "this was written already, as entry 1"},
		{"another moment, twenty minutes later", 5 * time.Minute, 20 * time.Minute, ""},
		{"again, as it happens", 20 * time.Minute, 0, ""},
	} {
		j := newLogBook(t)
		first, second := typed(t, k, "0/07 received 10 kg pork shoulder")[0], typed(t, k, "0/07 received 10 kg pork shoulder")[0]
		first.ID, second.ID, second.At = 0, 0, second.At.Add(c.wait)
		first.Written, second.Written = first.At, second.At.Add(c.late)
		_, err := j.Append(t.Context(), first)
		require.NoError(t, err)
		doubts, err := j.Doubts(t.Context(), k, asInFile(k), second)
		require.NoError(t, err)
		if c.want == "" {
			assert.Empty(t, doubts, c.about)
			continue
		}
		require.Len(t, doubts, 1, c.about)
		assert.Equal(t, c.want, doubts[0].Msg, c.about)
	}
}
