package kitchen

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What each list leaves out: Annex II as simply-docs.co.uk prints its text (nuts from memory), 21 U.S.C. 321(qq)(2) from memory. The
// oil of peanuts is left out of the US list when highly refined, and of the EU's never.
func TestExceptionsOfAllergenLists(t *testing.T) {
	for _, c := range []struct{ item, lists, leaves string }{
		{"refined soybean oil", "us", "US major food allergens (21 U.S.C. 321(qq)) leave out highly refined oil"},
		{"refined peanut oil", "us", "highly refined oil"},
		{"refined soybean oil", "eu", "fully refined soybean oil and fat"},
		{"wheat glucose syrup", "eu", "glucose syrup of wheat or barley"},
		{"wheat dextrose", "eu", "dextrose and maltodextrin of wheat"},
		{"barley maltodextrin", "eu", "maltodextrin of wheat"},
		{"fish gelatine", "eu", "fish gelatine that carries vitamins, and fish gelatine or isinglass that fines beer and wine"},
		{"soy tocopherol", "eu", "tocopherols, phytosterols and stanol ester of soybeans"},
		{"whey", "eu", "whey for distillates, and lactitol"},
		{"almond spirit", "eu", "nuts for distillates"},
		{"refined peanut oil", "eu", ""},
		{"wheat glucose syrup", "us", ""},
		{"whey", "us", ""},
		{"peanut butter", "us", ""},
		{"refined soybean oil", "[us, eu]", "fully refined soybean oil"},
		{"refined peanut oil", "[us, eu]", "EU substances causing allergies do not"},
	} {
		_, faults := Read("kitchen.yaml", fmt.Appendf(nil, "allergen list: %s\nbought: {%s: {price: 3/kg}}\n", c.lists, c.item))
		require.NoError(t, faults.Err())
		hint := ""
		for _, d := range faults {
			if d.ID == "allergen-in-name" {
				hint = d.Hint
			}
		}
		require.NotEmpty(t, hint, "%s is asked about all the same", c.item)
		if c.leaves == "" {
			assert.NotContains(t, hint, "leave out", "%s, %s", c.item, c.lists)
		} else {
			assert.Contains(t, hint, c.leaves, "%s, %s", c.item, c.lists)
		}
		if c.lists == "us" && c.item == "refined soybean oil" { // what is stated is never dropped
			k, faults := Read("kitchen.yaml", []byte("allergen list: us\nbought: {refined soybean oil: {price: 3/kg, allergens: [soybeans]}}\n"))
			require.NoError(t, faults.Err())
			assert.Equal(t, []string{"soybeans"}, k.Stated(0).Has)
		}
	}
	for _, l := range AllergenLists {
		for _, x := range l.Except {
			assert.True(t, x.Code == "" || l.has(x.Code), "%s: %s", l.Name, x.Code)
			assert.False(t, strings.HasSuffix(x.Says, "."))
		}
	}
}
