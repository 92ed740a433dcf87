package plan

// What is left, binned and lost, counted by hand.

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// soupOn is a counter that sells so many bowls of half a litre tonight; stock keeps for three days.
func soupOn(bowls int) string {
	return fmt.Sprintf(`
kitchen: Counter
services: {dinner: 17:30-22:00}
disposal: 0.50/kg
bought:
  bones: {price: 2/kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  boil: {starts: "06:00", takes: [5 kg bones, 10 L water], gives: ["8 L stock, out at 4 h"], batches: {mon: 1}}
made:
  stock: {keeps: 3 days, density: 1 kg/L}
dishes:
  soup: {price: 6, takes: [500 mL stock], sells: %d}
`, bowls)
}

// The use-by date is that of the oldest that is left once the service has taken the oldest first, and midnight what is past it.
func TestUseByOfWhatIsLeft(t *testing.T) {
	const onHand = "stock,2 L,2026-11-24\nstock,1 L,2026-11-22\nstock,1 L,2026-11-23\nstock,1 L,2026-11-21\n"
	for bowls, want := range map[int]Drawn{
		1: {Used: 0.5, Left: 3, Binned: 0.5, Until: "2026-11-25"}, // half of Sunday's litre is binned
		2: {Used: 1, Left: 3, Until: "2026-11-25"},
		3: {Used: 1.5, Left: 2.5, Until: "2026-11-25"},
		4: {Used: 2, Left: 2, Until: "2026-11-26"}, // Monday's is gone too
		7: {Used: 3.5, Left: 0.5, Until: "2026-11-26"},
		8: {Used: 4, UsedUp: true},
	} {
		a, err := ForTonight(t.Context(), dayOf(t, soupOn(bowls), onHand), "")
		require.NoError(t, err)
		require.Len(t, a.Used, 1)
		got := a.Used[0]
		require.InDelta(t, want.Used, got.Used, 1e-6, "%d bowls", bowls)
		require.InDelta(t, want.Left, got.Left, 1e-6, "%d bowls", bowls)
		require.InDelta(t, want.Binned, got.Binned, 1e-6, "%d bowls", bowls)
		require.Equal(t, want.Until, got.Until, "%d bowls", bowls)
		require.Equal(t, want.UsedUp, got.UsedUp, "%d bowls", bowls)
	}
}

// Of the flour for half a kilo, 9.5 kg are left of a pack of ten at 10.00, which the standing week opens too: all of that counts, and
// nine tenths of a pack beside it at most, so that none is bought for the shelf.
func TestOfAPackLessThanAllCounts(t *testing.T) {
	p, err := Make(t.Context(), dayOf(t, `
kitchen: Bakery
services: {dinner: 17:30-22:00}
bought: {flour: {price: 1/kg, pack: 10 kg}}
dishes:
  flatbread: {price: 5, takes: [100 g flour], sells: 5}
`, ""), Options{})
	require.NoError(t, err)
	require.Empty(t, p.Parted)
	require.InDelta(t, 10, p.Bought, 1e-6)
	require.InDelta(t, 9.5, p.Stock, 1e-6)
	require.InDelta(t, 25-10+9.5, p.Contribution, 1e-6)
}

// A par is met by what still keeps: Monday's three litres are binned at midnight, so stock is boiled for it, though there is
// enough for tonight.
func TestAParIsMetByWhatStillKeeps(t *testing.T) {
	src := strings.Replace(soupOn(4), "keeps: 3 days", "keeps: 2 days, par: 2 L", 1)
	p, err := Make(t.Context(), dayOf(t, src, "stock,3 L,2026-11-23\n"), Options{})
	require.NoError(t, err)
	stock, err := p.m.FindItem("stock")
	require.NoError(t, err)
	require.GreaterOrEqual(t, p.Outcome.Left[stock], 2000*(1-agree))
	require.Positive(t, p.Outcome.Made[stock])
	require.Empty(t, p.missed(nil).Wishes)

	p, err = Make(t.Context(), dayOf(t, src, "stock,4 L,2026-11-24\n"), Options{}) // today's keeps
	require.NoError(t, err)
	require.Zero(t, p.Outcome.Made[stock])
	require.InDelta(t, 2000, p.Outcome.Left[stock], 1e-3)
}

// An order that only a par asks for stays, though what it leaves counts for less than it costs: nine tenths of a pack.
func TestAnOrderForAParStays(t *testing.T) {
	p, err := Make(t.Context(), dayOf(t, `
kitchen: Bakery
services: {dinner: 17:30-22:00}
bought:
  flour: {price: 1/kg, pack: 10 kg, par: 3 kg}
  salt:  {price: 1/kg}
dishes:
  pretzel: {price: 5, takes: [10 g salt], sells: 5}
`, ""), Options{})
	require.NoError(t, err)
	require.Equal(t, []KeptOrder{{"flour", 10, "kg"}}, p.Kept().Days[0].Orders)
	require.Empty(t, p.missed(nil).Wishes)
	require.LessOrEqual(t, p.Contribution, p.limit+1e-6)
}

// What a lost batch loses is taken away for money in a plan too: half of 8 L at 0.50 a kilo.
func TestAPlanPaysForWhatIsLost(t *testing.T) {
	w := dayOf(t, strings.Replace(soupOn(4), "batches: {mon: 1}", "batches: {tue: 1}", 1), "")
	p, err := Make(t.Context(), w.Knowing(weektest.Shocks(t, w, "lose boil@tue=50%")), Options{Held: true})
	require.NoError(t, err)
	require.Empty(t, p.Parted)
	stock, err := w.FindItem("stock")
	require.NoError(t, err)
	require.InDelta(t, 4000, p.Outcome.Lost[stock], 0.01)
	require.InDelta(t, 0.50*4, p.Disposal, 1e-4)
}

// What is found spoilt twice on one morning is thrown out once.
func TestSpoiltTwiceIsSpoiltOnce(t *testing.T) {
	w := dayOf(t, soupOn(4), "stock,3 L,2026-11-23\n")
	var binned []float64
	for _, texts := range [][]string{{"spoil stock@tue"}, {"spoil stock@tue", "spoil stock@tue"}} {
		p, err := Make(t.Context(), w.Knowing(weektest.Shocks(t, w, texts...)), Options{Held: true})
		require.NoError(t, err)
		require.Empty(t, p.Parted)
		stock, err := w.FindItem("stock")
		require.NoError(t, err)
		require.InDelta(t, 0.50*3, p.Disposal, 1e-6)
		binned = append(binned, p.Outcome.Binned[stock])
	}
	require.Equal(t, binned[0], binned[1])
	require.InDelta(t, 3000, binned[0], 1e-6)
}
