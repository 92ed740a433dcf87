package show

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/counter"
)

// Of what more was found of no use at any price, only a search that played all sets may say that it has no use; another found none.
func TestNoUseIsSaidWhereAllWasPlayed(t *testing.T) {
	lines := []counter.Offered{{Item: "oxtail", Unit: "kg", Buy: 4, More: 2}, {Item: "split peas", Unit: "kg", Buy: 5}}
	a := counter.Answer{Money: "EUR", Lines: lines, Curve: []counter.Sum{{}, {Spend: 50}}}
	text := Counter(Page{Width: 80}, &a)
	require.Contains(t, text, "none found\n")
	require.Contains(t, text, "none left\n")
	require.NotContains(t, text, "no use")
	a.All = true
	text = Counter(Page{Width: 80}, &a)
	require.Equal(t, 1, strings.Count(text, "no use\n"))
	require.NotContains(t, text, "none found")
}

// What the answer buys none of is said so, and all that would be bought otherwise is named.
func TestWhatIsBoughtOtherwise(t *testing.T) {
	require.Equal(t, "12 kg oxtail (the answer buys none), no split peas (not 5 kg), 3 hens (not 2), 2 kg leek (not 1 kg), 4 kg barley (not 3 kg) and 6 kg swede (not 5 kg)",
		Otherwise([]counter.Step{{Item: "oxtail", Unit: "kg", Would: 12}, {Item: "split peas", Unit: "kg", Was: 5}, {Item: "hen", Many: "hens", Unit: "each", Was: 2, Would: 3},
			{Item: "leek", Unit: "kg", Was: 1, Would: 2}, {Item: "barley", Unit: "kg", Was: 3, Would: 4}, {Item: "swede", Unit: "kg", Was: 5, Would: 6}}))
}

// Where more money stops paying by the cards and the curve goes on otherwise, the sentence says by what: one answer has no two ends.
func TestWhereItStopsIsByTheCards(t *testing.T) {
	a := counter.Answer{Money: "EUR", Spend: 900, Costs: 890, Brings: 500, Stops: 1240, Planned: true, Curve: []counter.Sum{{}, {Spend: 50}, {Spend: 1800, Costs: 1219}},
		Lines: []counter.Offered{{Item: "oxtail", Unit: "kg", Buy: 4}}}
	require.Contains(t, CounterAnswer(&a), "More money pays up to 1,240.00 EUR, and as far as was found not beyond by the cards.")
	a.Curve[2].Costs = 1240
	require.Contains(t, CounterAnswer(&a), "More money pays up to 1,240.00 EUR, and as far as was found not beyond.")
}

// What other batches bring by themselves is not what is bought brings: that is said first.
func TestShoppingIsPartedFromBatches(t *testing.T) {
	a := counter.Answer{Money: "EUR", Days: 7, Spend: 900, Costs: 17, Brings: 2380.82, Stand: 12, Stops: 17, Planned: true, Curve: []counter.Sum{{Brings: 2371.82, ByCard: 2371.82}, {Spend: 50, Costs: 17, Brings: 2380.82, ByCard: 2380.82}},
		Lines: []counter.Offered{{Item: "barley", Unit: "kg", Buy: 10}}, Batches: []counter.Moved{{Date: "2026-11-25", Step: "barley kettle", Is: 1}}}
	require.Contains(t, CounterAnswer(&a), "When that is paid and so cooked, these 7 days earn 9.00 EUR more than by other batches alone with nothing bought here, and 2,380.82 EUR more than with nothing bought here and the batches as they stand; with those the same would bring 12.00.")
	a.Curve[0] = counter.Sum{}
	require.Contains(t, CounterAnswer(&a), "When that is paid and so cooked, these 7 days earn 2,380.82 EUR more than with nothing bought here and the batches as they stand; with those the same would bring 12.00.")
}
