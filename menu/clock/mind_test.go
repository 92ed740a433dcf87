package clock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

// Each sheet has the usual cautions on what its own tasks touch, and no others: hot fat where something is fried, steam where a lid comes off,
// a boiling pot where something is put in later, a full pot where one person can't lift it. Who only washes up has none.
func TestSheetsHaveTheUsualCautions(t *testing.T) {
	const src = `
kitchen: Dumpling House
services: {lunch: 11:30-14:30}
hands: {06:00-14:00: [day cook, porter]}
vessels: {great pot: {holds: 40 L}, deep fryer: {holds: 8 L}}
bought:
  bones:  {price: 2/kg, raw: yes, allergens: []}
  leek:   {price: 2/kg, allergens: []}
  slaked lime: {price: 2/kg, allergens: []}
  caustic soda: {price: 2/kg, allergens: []}
  flour:  {price: 1/kg, allergens: [wheat]}
  potato: {price: 1/kg, allergens: []}
steps:
  broth:
    vessel: great pot
    starts: "06:00"
    takes: [10 kg bones, "1 kg leek, in at 3 h"]
    gives: ["5 L broth, out at 5 h"]
    cooks through: yes
    batches: {mon-sat: 1}
  chips: {takes: [2 kg potato], gives: [1 kg chips], vessel: deep fryer, batches: {mon-sat: 1}}
  skins: {takes: [1 kg flour, 5 g slaked lime, 5 g caustic soda], gives: [0.95 kg skins], station: pastry, batches: {mon-sat: 1}}
made: {broth: {keeps: 2 days, density: 1 kg/L}, chips: {keeps: 1 day}, skins: {keeps: 2 days}}
dishes: {bowl: {price: 8, takes: [150 mL broth, 40 g skins, 30 g chips], sells: 12}}
`
	a, err := SheetsOn(t.Context(), weektest.SmallWeek(t, src), 1)
	require.NoError(t, err)
	got := map[string][]string{}
	for _, s := range a.Sheets {
		got[s.For] = s.Mind
		assert.NotNil(t, s.Mind)
	}
	assert.Equal(t, []string{tongue.Steam, tongue.Lower, tongue.FullPot}, got["great pot"])
	assert.Equal(t, []string{tongue.Steam, tongue.HotFat}, got["deep fryer"])
	assert.Equal(t, []string{tongue.Lime, tongue.Lye}, got["pastry"])
	assert.Contains(t, a.Cautions, tongue.Lime)
	assert.Contains(t, a.Cautions, tongue.Lye)
	assert.Equal(t, []string{tongue.Steam, tongue.Lower, tongue.FullPot}, got["day cook"])
	assert.Equal(t, []string{tongue.Steam, tongue.HotFat, tongue.Lime, tongue.Lye}, got["porter"], "the skins are rolled by whoever has time")
}

// A caution stands on the sheet of each language or of none, whichever name speaks of frying; and on that of who serves what is fried to
// order, which has nobody of its own.
func TestCautionsAreTheSameInAllLanguages(t *testing.T) {
	const src = `
kitchen: Croquette House
services: {lunch: 11:30-14:30}
hands: {06:00-11:00: [morning cook], 11:00-15:00: [server]}
bought: {skin: {price: 2/kg, raw: yes, allergens: []}, potato: {price: 1/kg, allergens: []}, sunflower oil: {price: 3/kg, allergens: [], also: {zh: 葵花籽油}}}
steps:
  crisp skin: {takes: [1 kg skin], gives: [0.5 kg crackling], cooks through: yes, batches: {mon-sat: 1}, also: {es: dorar piel, zh: 煎脆皮}}
  sticks: {takes: [1 kg potato], gives: [0.6 kg potato sticks], batches: to order, station: pass, also: {es: freír papas, zh: 薯条}}
made: {crackling: {keeps: 2 days}, potato sticks: {keeps: 1 day}}
dishes: {plate: {price: 8, takes: [30 g crackling, 60 g potato sticks], sells: 12}}
`
	w := weektest.SmallWeek(t, src)
	for _, tag := range tongue.Languages {
		told, _ := w.InLanguage(tag)
		a, err := SheetsOn(t.Context(), told, 1)
		require.NoError(t, err)
		busy := 0
		for _, s := range a.Sheets {
			if len(s.Tasks) > 0 {
				busy++
				assert.Contains(t, s.Mind, tongue.HotFat, "%s in %s", s.For, tag)
			}
		}
		assert.Equal(t, 3, busy, "who serves, the bench and the pass")
	}
}
