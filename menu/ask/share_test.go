package ask

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week/weektest"
)

// The sums are by hand: in the pot are 30 L of water, 10 kg of hens, 8 kg of veal bones, 2.7 kg of smoked bones and
// 0.3 kg of salt, less the 3 kg of pulled hen from 2 h on. The bound is common practice, no source.
func TestSharesByHand(t *testing.T) {
	of := func(a *Consequences) (list []BrokenShare) {
		if a.Shares != nil {
			list = a.Shares.Broken
		}
		return list
	}
	w := weektest.Replaced(t, weektest.SmokeHouse)
	assert.Nil(t, ask(t, w).Shares, "as written it keeps its bounds: 2.7 of 48 kg are 5.6%")

	t.Run("an optional line is missing", func(t *testing.T) {
		b := of(ask(t, w, "short veal bones=100%"))
		require.Len(t, b, 2)
		assert.InDelta(t, 2.7/40, b[0].Share, 1e-12, "30 + 10 + 2.7 + 0.3 - 3")
		assert.Equal(t, []int{120, 180}, []int{b[0].From, b[0].To}, "the hens are out, the smoked bones not yet")
		assert.InDelta(t, 2.7/40-0.06, b[0].Beyond, 1e-12)
		assert.InDelta(t, 37.3*0.06/0.94, b[0].Keeps, 1e-9)
		assert.Equal(t, "2026-11-24 06:00", b[0].Begins)
		assert.Nil(t, b[0].Scale, "nothing of a batch has its bones")
		assert.Nil(t, b[0].Before)
		assert.Equal(t, []string{"veal bones is missing"}, b[0].Because)
	})
	t.Run("some of it is there", func(t *testing.T) {
		b := of(ask(t, w, "short veal bones@tue=10 kg")) // 6 of 8 kg on Tuesday, nothing on Thursday
		require.Len(t, b, 1)
		assert.Equal(t, "2026-11-26 06:00", b[0].Begins, "2.7 of 46 kg are 5.9% on Tuesday")
		w := weektest.Replaced(t, weektest.SmokeHouse, "at most 6%", "at most 5.7%")
		b = of(ask(t, w, "short veal bones@tue=10 kg"))
		require.Len(t, b, 2)
		assert.InDelta(t, 2.7/46, b[0].Share, 1e-12)
		require.NotNil(t, b[0].Scale)
		assert.InDelta(t, 6.0/8, *b[0].Scale, 1e-9, "at three quarters of a batch all lines are as written")
		assert.Equal(t, []string{"only 75% of the veal bones is there"}, b[0].Because)
	})
	t.Run("a substitute weighs less", func(t *testing.T) {
		b := of(ask(t, w, "short hens=100%"))
		require.Len(t, b, 2)
		assert.InDelta(t, 2.7/42, b[0].Share, 1e-12, "30 + 4 + 8 + 2.7 + 0.3 - 3")
		assert.Equal(t, []string{"duck legs replaces hens"}, b[0].Because)
	})
	t.Run("a yield changes a stage", func(t *testing.T) {
		b := of(ask(t, w, "yield smoke kettle@tue/pulled hen=+150%"))
		require.Len(t, b, 1)
		assert.InDelta(t, 2.7/(51-7.5), b[0].Share, 1e-12, "7.5 kg come out at 2 h")
		assert.Equal(t, []string{"it gives more pulled hen than the recipe"}, b[0].Because)
	})
	t.Run("a late or lost batch keeps its shares", func(t *testing.T) {
		assert.Nil(t, ask(t, w, "late smoke kettle@tue=2 h").Shares)
		assert.Nil(t, ask(t, w, "lose smoke kettle@tue=60%").Shares)
		assert.Nil(t, ask(t, w, "price hens=+50%").Shares)
	})
	t.Run("at least", func(t *testing.T) {
		w := weektest.Replaced(t, weektest.SmokeHouse, "300 g salt, in at 1 h", "300 g salt, optional, in at 1 h")
		b := of(ask(t, w, "short salt=100%"))
		require.Len(t, b, 2)
		assert.Equal(t, "at least", b[0].Bound)
		assert.Zero(t, b[0].Share)
		assert.InDelta(t, 0.005, b[0].Beyond, 1e-12)
		assert.InDelta(t, 50.7*0.005/0.995, b[0].Keeps, 1e-9, "of what is in at first: 30 + 10 + 8 + 2.7")
	})
}

// A recipe that keeps its bound only because the strong item is taken out before the rest is refused without that.
func TestShareWhileIn(t *testing.T) {
	src := strings.NewReplacer("- 26 L", "- 6 kg bits, out at 3 h\n      - 20 L").Replace(weektest.SmokeHouse)
	_, faults := kitchen.Read("kitchen.yaml", []byte(src))
	require.NoError(t, faults.Err(), "from 3 h on 2.7 of 42 kg would be 6.4%, but they are out")
	_, faults = kitchen.Read("kitchen.yaml", []byte(strings.Replace(src, ", out at 3 h, at most", ", at most", 1)))
	require.Error(t, faults.Err())
	assert.Contains(t, faults.Error(), `"smoked bones" is 6.429% of the batch by weight from 3 h to 4 h, but should be at most 6% [share]`)
}

func TestSharesOfASmallerBatch(t *testing.T) {
	w := weektest.Replaced(t, weektest.SmokeHouse, " or 4 kg duck legs", "", ", optional", "")
	a := ask(t, w, "short hens@tue=14 kg") // 6 of 20 kg come
	require.NotNil(t, a.Shares)
	assert.Empty(t, a.Shares.Broken)
	require.Len(t, a.Shares.Smaller, 1)
	s := a.Shares.Smaller[0]
	assert.InDelta(t, 0.6, s.Scale, 1e-9)
	assert.Equal(t, "hens", s.Lacks)
	assert.InDelta(t, 1.62, s.Keeps, 1e-9)
	assert.InDelta(t, 2.7, s.Whole, 1e-9)
	assert.InDelta(t, 2.7/(0.6*48-1.62+2.7), s.Share, 1e-9, "the whole 2.7 kg in 0.6 of all else")
	assert.Equal(t, []string{"Tuesday's smoke kettle is only 0.6 of a batch: not enough hens. Put in 1.62 kg of smoked bones, " +
		"not 2.7 kg: that is 9.036% of it by weight, and should be at most 6%"}, a.Shares.Sentences())
}

// Of two batches that begin together, only the one that the short item does not reach breaks the bound.
func TestSharesOfBatchesThatBeginTogether(t *testing.T) {
	w := weektest.Replaced(t, weektest.SmokeHouse, "{tue: 1, thu: 1}", "{tue: 2}")
	a := ask(t, w, "short veal bones=8 kg")
	require.NotNil(t, a.Shares)
	require.Len(t, a.Shares.Broken, 1)
	assert.Equal(t, 2, a.Shares.Broken[0].Number)
	assert.InDelta(t, 2.7/40, a.Shares.Broken[0].Share, 1e-12)

	two := filled{run: 0, batches: 2, fills: [][]float64{{1, 0.5}}}
	assert.Equal(t, [][]float64{{1, 0}}, two.apart(false)[0].fills)
	assert.Equal(t, [][]float64{{0, 0.5}}, two.apart(false)[1].fills)
	for _, one := range two.apart(true) {
		assert.Equal(t, [][]float64{{0.5, 0.25}}, one.fills, "a plan directs both alike")
	}
}

// What a step makes of all there is, and what it makes to order, is held against its bounds as well.
func TestSharesOfOtherWork(t *testing.T) {
	src := `
kitchen: Chile Counter
open: tue-sat
services: {lunch: 11:30-14:30}
bought:
  tomato:    {price: 2/kg, arrives: tue, keeps: 5 days}
  tomatillo: {price: 3/kg, arrives: tue, keeps: 5 days}
  chile:     {price: 9/kg}
steps:
  roast:  {takes: [2 kg tomato], gives: [1.5 kg roast tomato], batches: {tue: 1}}
  salsa:
    takes:  [1 kg roast tomato, 1 kg tomato or 200 g tomatillo, "120 g chile, at most 6%"]
    gives: [1.2 kg salsa]
    batches:  MODE
made:
  roast tomato: {keeps: 3 days}
  salsa:        {keeps: 3 days}
dishes:
  dip: {price: 6, takes: [100 g salsa], sells: {tue lunch: 10}}
`
	for mode, share := range map[string]float64{
		"all of it": 0.18 / (1.5 + 0.5 + 0.2 + 0.18), // one and a half batches in one pot, two thirds of it on tomatillo
		"to order":  0.12 / (1 + 0.2 + 0.12),         // what came of tomato is roasted before the service
	} {
		w := weektest.Replaced(t, src, "MODE", mode)
		assert.Nil(t, ask(t, w).Shares, mode)
		a := ask(t, w, "short tomato@tue=1 kg").Shares
		require.NotNil(t, a, mode)
		require.Len(t, a.Broken, 1, mode)
		assert.InDelta(t, share, a.Broken[0].Share, 1e-9, mode)
		assert.Equal(t, "2026-11-24 11:30", a.Broken[0].Begins)
		assert.Zero(t, a.Broken[0].Number)
	}
}

// What the week breaks by itself is said as such, and a move or an offer does not tell it again.
func TestSharesBrokenBefore(t *testing.T) {
	w := weektest.Replaced(t, weektest.SmokeHouse, "arrives: tue, keeps: 7 days}\n  smoked", "arrives: mon, keeps: 2 days}\n  smoked")
	base := ask(t, w).Shares
	require.NotNil(t, base, "on Thursday there are no veal bones that still keep")
	require.Len(t, base.Broken, 1)
	assert.Equal(t, "2026-11-26 06:00", base.Broken[0].Begins)
	assert.Nil(t, base.Broken[0].Before, "without a change there is nothing before")

	a := ask(t, w, "short veal bones=100%").Shares
	require.Len(t, a.Broken, 2)
	assert.Nil(t, a.Broken[0].Before)
	require.NotNil(t, a.Broken[1].Before)
	assert.InDelta(t, 2.7/40, *a.Broken[1].Before, 1e-12)

	after := SharesOf(w, w.Case)
	assert.Nil(t, after.Newly(base))
	assert.Len(t, a.Newly(base).Broken, 1)
}

// 2.7 kg for 2 h in 26 L: 207.7 g h/L. With a tenth less stock it is 230.8, and 2.48 kg, or taking them out sooner, keeps the bound:
// 212 * 23.4 / 2 = 2480.4 g, and 120 min * 212 / 230.77 = 110 min after they went in.
func TestDrawnByHand(t *testing.T) {
	w := weektest.Replaced(t, weektest.SmokeHouse, "out at 3 h, at most 6%", "out at 3 h, at most 212 g h/L")
	assert.Nil(t, ask(t, w).Shares)
	a := ask(t, w, "yield smoke kettle@tue/smoke stock=-10%").Shares
	require.NotNil(t, a)
	require.Len(t, a.Broken, 1)
	b := a.Broken[0]
	assert.Equal(t, []any{"drawn", "smoked bones", 60, 180, "at most"}, []any{b.Measure, b.Item, b.From, b.To, b.Bound})
	assert.InDelta(t, 2700*2/23.4, b.Share, 1e-9)
	assert.InDelta(t, 212*23.4/2/1000, b.Keeps, 1e-9)
	require.NotNil(t, b.OutBy)
	assert.Equal(t, 170, *b.OutBy)
	assert.Equal(t, []string{"smoked bones gives 230.8 g h/L to Tuesday's smoke kettle from 1 h to 3 h, and should be at most 212 g h/L: " +
		"18.77 g h/L too much; put in 2.48 kg at most, not 2.7 kg, or take it out at 2 h 50 min"}, a.Sentences())
}

// A batch that is cut down by what it can't do without keeps every share, however little there is.
func TestSharesOfAWalkThatIsShort(t *testing.T) {
	w := weektest.Replaced(t, weektest.SmokeHouse, " or 4 kg duck legs", "", ", optional", "")
	hens, err := w.FindItem("hens")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		c := w.Case.Ordering(w.Case.Flow.Walk(w.Case.Schedule, flow.Fair, nil)).With(flow.Scarce{
			Item: hens, Day: flow.EveryDay, Share: rapid.Float64Range(0, 1).Draw(t, "short")})
		if a := SharesOf(w, c); a != nil {
			assert.Empty(t, a.Broken)
		}
	})
}
