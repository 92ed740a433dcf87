package plan

// What is decided beyond a plan.

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// elsewhereKitchen is the pot kitchen with a place where its stock can be had.
const elsewhereKitchen = `
kitchen: Pot Kitchen
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
bought:
  bones: {price: 2/kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  boil: {starts: "06:00", takes: [5 kg bones, 10 L water], gives: ["8 L stock, out at 4 h"], batches: {mon-fri: 1}}
made:
  stock: {keeps: 3 days, density: 1 kg/L, also from: {stock house: {price: 3/L, within: 2 h}}}
dishes:
  soup: {price: 6, takes: [500 mL stock], sells: 12}
`

func written(name string, text []byte) error { return os.WriteFile(name, text, 0o600) }

// What is decided is added once, however often it is; it stands beside the days of the plan, and is taken back as a plan is.
func TestDecide(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.plan")
	k, err := Read("kitchen.plan", []byte(keptForPots))
	require.NoError(t, err)
	at := weektest.Monday.Add(9 * time.Hour)
	require.NoError(t, k.Keep(file, at.AddDate(0, 0, -1), written))
	tuesday := weektest.Monday.AddDate(0, 0, 1)
	day := KeptDay{Date: tuesday, Further: []KeptFurther{{"boil", 1, 13 * 60}}, Elsewhere: []KeptElsewhere{{KeptOrder{"stock", 5, "L"}, "stock house"}}}
	for range 2 {
		require.NoError(t, Decide(file, "Pot Kitchen", "", []KeptDay{day}, at, written))
	}
	is, err := ReadFile(file)
	require.NoError(t, err)
	require.Len(t, is.Days, len(k.Days))
	assert.Equal(t, day.Further, is.Days[0].Further)
	assert.Equal(t, day.Elsewhere, is.Days[0].Elsewhere)
	assert.Equal(t, k.Days[0].Batches, is.Days[0].Batches, "the plan's own stay")
	assert.Equal(t, k.Days[0].Orders, is.Days[0].Orders)
	is, dropped, err := Drop(file)
	require.NoError(t, err)
	assert.True(t, dropped)
	assert.Empty(t, is.Days[0].Further, "what was decided twice is taken back once")

	alone := filepath.Join(t.TempDir(), "kitchen.plan") // where no plan is kept
	require.NoError(t, Decide(alone, "Pot Kitchen", "", []KeptDay{day}, at, written))
	is, err = ReadFile(alone)
	require.NoError(t, err)
	w, err := week.Over(weektest.Read(t, elsewhereKitchen), week.Period{From: weektest.Monday, Days: 7})
	require.NoError(t, err)
	laid, notes := Lay(is, w)
	assert.Equal(t, []string{"by the plan kept Mon 23 Nov 09:00 for Tue 24 Nov"}, notes)
	s, was := laid.Case.Schedule, w.Case.Schedule
	require.Len(t, s.Batches, len(was.Batches)+1, "the standing batches stay")
	assert.Contains(t, s.Batches, flow.Batch{Step: 0, Day: 1, Start: 13 * 60, Size: 1})
	stock, err := w.Kitchen.FindItem("stock")
	require.NoError(t, err)
	assert.Equal(t, []flow.Delivery{{Item: stock, Day: 1, Amount: 5000, Ordered: 5000, Price: 0.003, Source: 1}}, s.Deliveries, "5 L, at 3 a litre")
	assert.Empty(t, is.Arrived(tuesday, []string{"stock"}).Days[0].Elsewhere, "it is on hand once it has come")
}

// What stands in the file is read back as it is; what is none is refused in words.
func TestDecidedIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[a-z]{1,8}( (at|from|of|[a-z]{1,6})){0,2} [a-z]{1,8}`).Draw(t, "name")
		f := KeptFurther{name, float64(rapid.IntRange(1, 400).Draw(t, "n")) / 4, rapid.IntRange(0, 1439).Draw(t, "starts")}
		again, err := ReadFurther(f.String())
		require.NoError(t, err)
		require.Equal(t, f, again)
		e := KeptElsewhere{KeptOrder{name, float64(rapid.IntRange(1, 99999).Draw(t, "amount")) / 100, rapid.SampledFrom([]string{"kg", "L", "each", "lb"}).Draw(t, "unit")},
			rapid.SampledFrom([]string{"stock house", "boats from the cove", "from", "from the farm", `"the" farm`, `the "farm"`, `house from "x"`, name}).Draw(t, "from")}
		back, err := ReadElsewhere(e.String())
		require.NoError(t, err)
		require.Equal(t, e, back)
	})
	for _, text := range []string{"", "1", "1 boil", "0 boil at 06:00", "-1 boil at 06:00", "1 boil at 25:00", "NaN boil at 06:00", "one boil at 06:00", "1e9 boil at 06:00", "0.00001 boil at 06:00"} {
		_, err := ReadFurther(text)
		assert.Error(t, err, text)
	}
	for _, text := range []string{"", "5 L stock", "5 stock from house", "0 L stock from house", "0.00001 L stock from house", "Inf L stock from house", "x L stock from house"} {
		_, err := ReadElsewhere(text)
		assert.Error(t, err, text)
	}
}
