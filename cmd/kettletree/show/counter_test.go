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
