package logbook

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const eitherPot = `kitchen: Bones
open: tue-thu
services: {lunch: 12:00-14:00}
bought:
  water: {price: 0/L, density: 1 kg/L}
  neck bones: {price: 3/kg, keeps: 5 days}
  back bones: {price: 2/kg, keeps: 5 days}
  leek: {price: 1/kg}
  onion: {price: 2/kg}
steps:
  boil:
    starts: "06:00"
    takes: [8 L water, either 4 kg neck bones or 4 kg back bones, "either 1 kg onion or 0.8 kg leek, in at 2 h"]
    gives: ["10 L stock, out at 4 h"]
    batches: {tue: 1, wed: 1}
made: {stock: {keeps: 4 days, density: 1 kg/L}}
dishes: {soup: {price: 5, takes: [1 L stock], sells: 5}}
`

// By the card goes in what the walk would have taken: what is on hand, of that what must be used first, then the cheapest. Worked by
// hand; what is typed stands, and what nobody keeps book of goes by its price.
func TestByTheCardTakesWhatIsOnHandOfEither(t *testing.T) {
	k := readKitchen(t, eitherPot)
	for name, c := range map[string]struct{ entries, want string }{
		"nothing is kept book of":  {"0/10 cooked boil", "[water 8000], [back bones 4000], [leek 800]"},
		"what is there":            {"0/08 counted 9 kg neck bones\n0/10 cooked boil", "[water 8000], [neck bones 4000], [leek 800]"},
		"and for the rest another": {"0/08 counted 3 kg neck bones\n0/10 cooked boil", "[water 8000], [neck bones 3000], [back bones 1000], [leek 800]"},
		"the older":                {"-1/08 received 9 kg neck bones\n0/08 received 9 kg back bones\n0/10 cooked boil", "[water 8000], [neck bones 4000], [leek 800]"},
		"not what is past it":      {"-5/08 received 9 kg neck bones\n0/08 received 9 kg back bones\n0/10 cooked boil", "[water 8000], [back bones 4000], [leek 800]"},
		"the cheaper of a day":     {"0/08 received 9 kg neck bones\n0/09 received 9 kg back bones\n0/10 cooked boil", "[water 8000], [back bones 4000], [leek 800]"},
		"what was typed":           {"0/08 counted 9 kg neck bones\n0/10 cooked boil: 5 kg back bones, 1 kg onion", "back bones 5000, onion 1000, [water 8000]"},
		"when it is lit":           {"0/05 counted 5 kg neck bones\n0/06 lit boil", "[water 8000], [neck bones 4000]"},
		"when it is done":          {"0/05 counted 5 kg onion\n0/06 lit boil\n0/10 done boil", "[onion 1000]"},
	} {
		j := newLogBook(t)
		var last Entry
		for _, e := range typed(t, k, c.entries) {
			e.ID = 0
			settled, err := j.Settle(t.Context(), k, asInFile(k), e)
			require.NoError(t, err)
			_, err = j.Append(t.Context(), settled...)
			require.NoError(t, err)
			last = settled[len(settled)-1]
		}
		var takes []string
		for _, a := range last.Takes {
			text := fmt.Sprintf("%s %g", a.Item, a.Base)
			if a.Typed == "" {
				text = "[" + text + "]"
			}
			takes = append(takes, text)
		}
		assert.Equal(t, c.want, strings.Join(takes, ", "), name)
	}
}

// By the card nobody puts in what is past its date while there is other: the old lot stays until it is binned, or taken by name.
func TestByTheCardLeavesWhatIsPastItsDate(t *testing.T) {
	k := readKitchen(t, eitherPot)
	for name, c := range map[string]struct {
		entries string
		left    map[string]float64 // of neck bones, in kg, by mark
	}{
		"by the card":           {"0/10 cooked boil", map[string]float64{"OLD": 9, "NEW": 2}},
		"as it is typed":        {"0/10 cooked boil: 4 kg neck bones", map[string]float64{"OLD": 5, "NEW": 6}},
		"as there is no other":  {"-1/10 cooked boil x1.5 of mon\n0/10 cooked boil", map[string]float64{"OLD": 9}},
		"as its mark is typed":  {"0/10 cooked boil: 4 kg neck bones lot OLD", map[string]float64{"OLD": 5, "NEW": 6}},
		"more than is not past": {"0/10 cooked boil x2", map[string]float64{"OLD": 9}},
	} {
		t.Run(name, func(t *testing.T) {
			j := newLogBook(t)
			for _, e := range typed(t, k, "-6/08 received 9 kg neck bones lot OLD\n-1/08 received 6 kg neck bones lot NEW\n"+c.entries) {
				e.ID = 0
				settled, err := j.Settle(t.Context(), k, asInFile(k), e)
				require.NoError(t, err)
				_, err = j.Append(t.Context(), settled...)
				require.NoError(t, err)
			}
			stock, err := j.OnHand(t.Context(), k, at(0, 11))
			require.NoError(t, err)
			left := map[string]float64{}
			for _, l := range stock.Lots {
				if k.Graph.Items[l.Item].Name == "neck bones" {
					left[l.Mark] += l.Amount / 1000
				}
			}
			assert.InDeltaMapValues(t, c.left, left, 1e-9)
			if name == "by the card" { // which of the two lots it was, nobody logged
				for _, mark := range []string{"OLD", "NEW"} {
					a, err := j.TraceLot(t.Context(), k, mark, at(0, 11))
					require.NoError(t, err)
					var how []string
					for _, l := range a.Lots {
						if l.Side == "into" {
							how = append(how, l.How)
						}
					}
					assert.Equal(t, []string{"may contain"}, slices.Compact(how), mark)
				}
			}
		})
	}
}
