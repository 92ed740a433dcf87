package week_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// taqueria draws a kitchen with a paste, and a salsa that takes the paste, both of what can be had on every day, beside a broth that
// is scarce on some days and that neither takes. mode is how the two are made.
func taqueria(t *rapid.T) (with func(mode string) string) {
	number := func(what string, least, most int) int { return rapid.IntRange(least, most).Draw(t, what) }
	pick := func(what string, from ...string) string { return rapid.SampledFrom(from).Draw(t, what) }
	of := func(one, with, gives string) string {
		a, b := number(one, 50, 900), number(with, 50, 900)
		return fmt.Sprintf("takes: [%d g %s, %d g %s], gives: [%d g %s], costs: %d", a, one, b, with, number(gives, 50, a+b), gives, number("cost", 0, 3))
	}
	paste, salsa := of("chile", "onion", "paste"), of("paste", "tomatillo", "salsa")
	broth := fmt.Sprintf("takes: [5 kg bones], gives: [%d L broth], batches: {%s: %d}", number("broth", 1, 5), pick("on", "mon thu", "daily", "tue"), number("pots", 1, 2))
	keeps := fmt.Sprintf("paste: {keeps: %d days}\n  salsa: {keeps: %d days}\n  broth: {keeps: %d days, density: 1 kg/L}", number("paste keeps", 1, 5), number("salsa keeps", 1, 4), number("broth keeps", 1, 3))
	soup := fmt.Sprintf("takes: [%d mL broth, %d g paste], sells: %d", number("broth in", 100, 400), number("paste in soup", 10, 90), number("soups", 0, 30))
	taco := fmt.Sprintf("takes: [%d g salsa], sells: {lunch: %d, dinner: %d}", number("salsa in", 10, 90), number("lunch", 0, 20), number("dinner", 0, 20))
	halves := pick("halves", "", ", halves: yes")
	return func(mode string) string {
		if mode == "as needed" {
			mode += halves
		}
		return fmt.Sprintf(`
kitchen: Taqueria
%s
bought:
  chile: {price: 9/kg}
  onion: {price: 1/kg}
  tomatillo: {price: 2/kg}
  bones: {price: 2/kg}
steps:
  grind: {%s, batches: %s}
  blend: {%s, batches: %s}
  boil: {%s}
made:
  %s
dishes:
  soup: {price: 6, %s}
  taco: {price: 4, %s}
`, weektest.UsualDays, paste, mode, salsa, mode, broth, keeps, soup, taco)
	}
}

// What is made as needed of what never runs short changes nothing that guests can see: all that is sold is what would be, were it
// made to order.
func TestAsNeededSellsAsToOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		with := taqueria(t)
		needed, ordered := weektest.SmallWeek(t, with("as needed")), weektest.SmallWeek(t, with("to order"))
		assert.Equal(t, played(t, ordered).Outcome.Served, played(t, needed).Outcome.Served, with("as needed"))
	})
}

// Of what is made as needed there are whole batches, or halves; none is begun while what is on hand will do; what is over is there
// on the next day and goes in the bin on its date; and nothing comes from nowhere.
func TestAsNeededIsMadeInWholeBatches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := taqueria(t)("as needed")
		w := weektest.SmallWeek(t, text)
		rec := &flow.Record{Movements: true}
		o := w.Player().Play(w.Case, rec)
		for n, lot := range rec.Lots {
			if lot.Step < 0 || !w.Graph.Steps[lot.Step].AsNeeded() {
				continue
			}
			st := w.Graph.Steps[lot.Step]
			lots := lot.Amount / st.Gives[0].Amount / st.Lot
			require.InDelta(t, math.Round(lots), lots, 1e-6, "%s of %s\n%s", st.Name, w.Moment(lot.At), text)
			taken, began, gone := 0.0, 0.0, lot.At // what was taken of it, of that by what it was made for, and when the last of it went
			for _, e := range rec.Entries {
				for _, p := range e.Lots {
					if p.Lot != n || e.What == flow.Came {
						continue
					}
					gone, taken = e.At, taken+p.Amount
					if e.At == lot.At {
						began += p.Amount
					}
				}
			}
			require.Greater(t, began, lot.Amount-st.Lot*st.Gives[0].Amount*(1+1e-6), "less than a batch is over\n%s", text)
			last := (lot.Made + w.Terms.Keeps[lot.Item]) * 1440 // the midnight at which it goes off
			require.LessOrEqual(t, gone, last, text)
			if last <= w.Days*1440 {
				require.InDelta(t, lot.Amount, taken, 1e-6*lot.Amount, "used or binned by its date\n%s", text)
			}
		}
		for i, it := range w.Graph.Items {
			if it.Role == graph.Sold {
				continue
			}
			used := 0.0
			for s, st := range w.Graph.Steps {
				for l, line := range st.Takes {
					for c, choice := range line.Choices {
						if choice.Item == i {
							used += o.Used[w.Case.Flow.Choice(s, l, c)]
						}
					}
				}
			}
			in := o.Opening[i] + o.Made[i] + o.Delivered(i)
			require.InDelta(t, in, used+o.Left[i]+o.Binned[i], 1e-6*(1+in), "%s\n%s", it.Name, text)
		}
	})
}

// pickles are three kilos to a batch, of which a service takes one.
const pickles = `
kitchen: Sandwich Counter
open: mon-fri
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
bought:
  cucumber: {price: 2/kg, arrives: mon wed}
  vinegar: {price: 1/kg}
steps:
  pickle: {takes: [3 kg cucumber, 1 kg vinegar], gives: [3 kg pickle], batches: as needed}
made:
  pickle: {keeps: 2 days}
dishes:
  sandwich: {price: 8, takes: [100 g pickle], sells: 10}
`

// batchesAt are the batches of the first step, by the moments at which they are made.
func batchesAt(w *week.Week, shocks ...week.Shock) (list []string) {
	rec := &flow.Record{Movements: true}
	c := w.Case
	for _, s := range shocks {
		c = c.With(s.Changes...)
	}
	w.Player().Play(c, rec)
	for _, lot := range rec.Lots {
		if lot.Step == 0 {
			list = append(list, fmt.Sprintf("%s: %s", w.Moment(lot.At), w.Quantity(lot.Item, lot.Amount)))
		}
	}
	return list
}

func TestABatchAsNeeded(t *testing.T) {
	for _, c := range []struct {
		why, from, to string // replaced in the kitchen
		want          []string
	}{
		{"whole batches, of which the rest is used first", "", "",
			[]string{"Mon 23 Nov 11:30: 3 kg", "Tue 24 Nov 17:30: 3 kg", "Thu 26 Nov 11:30: 3 kg", "Fri 27 Nov 17:30: 3 kg"}},
		{"halves will do where a half is enough", "batches: as needed", "batches: as needed, halves: yes",
			[]string{"Mon 23 Nov 11:30: 1.5 kg", "Mon 23 Nov 17:30: 1.5 kg", "Tue 24 Nov 17:30: 1.5 kg", "Wed 25 Nov 11:30: 1.5 kg",
				"Thu 26 Nov 11:30: 1.5 kg", "Thu 26 Nov 17:30: 1.5 kg", "Fri 27 Nov 17:30: 1.5 kg"}},
		{"to order it is made to the gram", "as needed", "to order", nil},
	} {
		t.Run(c.why, func(t *testing.T) {
			w := weektest.SmallDays(t, strings.Replace(pickles, c.from, c.to, 1), 5)
			got := batchesAt(w)
			if c.want == nil {
				require.Len(t, got, 10)
				return
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// What is spoiled is made again at the next service that needs it, and more guests are another batch.
func TestABatchAsNeededFollowsWhatHappens(t *testing.T) {
	w := weektest.SmallDays(t, pickles, 2)
	assert.Equal(t, []string{"Mon 23 Nov 11:30: 3 kg", "Tue 24 Nov 17:30: 3 kg"}, batchesAt(w))
	assert.Equal(t, []string{"Mon 23 Nov 11:30: 3 kg", "Tue 24 Nov 11:30: 3 kg"}, batchesAt(w, weektest.Shocks(t, w, "spoil pickle@tue")...))
	assert.Equal(t, []string{"Mon 23 Nov 11:30: 6 kg", "Tue 24 Nov 17:30: 3 kg"}, batchesAt(w, weektest.Shocks(t, w, "sells sandwich@mon lunch=+25")...))
	_, err := w.Shock("lose", "pickle@tue")
	assert.ErrorContains(t, err, `"pickle" is made as it is needed, so none of its batches stands on a day: spoil what it gives`)
}
