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
  skins: {takes: [1 kg flour], gives: [0.95 kg skins], station: pastry, batches: {mon-sat: 1}}
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
	assert.Empty(t, got["pastry"])
	assert.Equal(t, []string{tongue.Steam, tongue.Lower, tongue.FullPot}, got["day cook"])
	assert.Equal(t, []string{tongue.Steam, tongue.HotFat}, got["porter"])
}
