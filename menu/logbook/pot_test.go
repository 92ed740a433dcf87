package logbook

// Batches that come out bit by bit: their money, by hand, and where their lots went.

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

// henShop has a pot out of which hens come before bones go in.
const henShop = `kitchen: Hen Shop
services: {lunch: 11:30-14:30}
bought:
  water: {price: 0/L, density: 1 kg/L}
  hen:   {price: 10/each, each: 2 kg}
  bones: {price: 4/kg}
steps:
  night pot:
    starts: "22:00"
    takes: [4 each hen, 30 L water, "5 kg bones, in at 4 h"]
    gives: ["2 kg hen meat, out at 3 h", "20 L stock, out at 9 h"]
    share cost by: worth
    batches: {tue: 1}
made:
  hen meat: {keeps: 3 days, worth: 15/kg}
  stock:    {keeps: 4 days, worth: 3/L, density: 1 kg/L}
dishes:
  bowl: {price: 9, takes: [300 mL stock, 50 g hen meat], sells: {lunch: 20}}
`

func henKitchen(t testing.TB) *kitchen.Kitchen { return readKitchen(t, henShop) }

// settled are entries as they are kept.
func settled(t testing.TB, k *kitchen.Kitchen, entries []Entry) []Entry {
	t.Helper()
	list, err := newLogBook(t).Settle(t.Context(), k, asInFile(k), entries...)
	require.NoError(t, err)
	for i := range list {
		list[i].ID = int64(i + 1)
	}
	return list
}

func TestAPotIsBornePartByPart(t *testing.T) {
	k := henKitchen(t)
	entries := settled(t, k, typed(t, k, `
		0/21 received 4 each hen for 48 lot H1
		0/21 received 10 kg bones for 40 lot B1
		0/22 lit night pot: 4 each hen lot H1
		1/01 out 1.8 kg hen meat lot M1 of night pot of tue
		1/02 put in 5 kg bones lot B1 of night pot of tue
		1/07 out 21 L stock lot S1 of night pot of tue
		1/12 sold 10 bowl at lunch
		1/13 gave 2 bowl to staff at lunch
		1/14 dropped 1 bowl at lunch, slipped`))
	b := bookOf(t, k, entries, at(3, 0))

	// At one in the morning 48 are in the pot. A batch's bill is 40 + 20 = 60; worth 30 and 60, the meat bears 20 and the stock
	// 40. Of what is in there, 1.8 kg of meat bear 18 parts while 40 are still to come.
	meat := 48 * 18. / 58
	a := b.asItWas(at(0, 0), at(1, 0))
	assert.InDelta(t, 48, a.All.InPots, 1e-9, "the pot, at midnight")
	assert.InDelta(t, 40, a.All.Left, 1e-9)
	a = b.asItWas(at(0, 0), at(2, 0))
	assert.InDelta(t, 0, a.All.InPots, 1e-9)
	assert.InDelta(t, 13*(0.05*meat/1.8+0.3*(48-meat+20)/21), a.All.Sold+a.All.Gave+a.All.Dropped, 1e-9)
	assert.InDelta(t, 2./13, a.All.Gave/(a.All.Sold+a.All.Gave+a.All.Dropped), 1e-9)
	assert.Equal(t, []GivenWas{{"staff", 2, a.All.Gave}}, a.Given)
	assert.InDelta(t, 8, a.All.Price, 1e-9)
	assert.InDelta(t, 2, a.of(t, "hen meat").Yield, 1e-9, "0.2 kg too little, at 10 a kilo")
	assert.InDelta(t, -2, a.of(t, "stock").Yield, 1e-9, "a litre too much, at 2")
	assert.InDelta(t, 0, a.All.Usage, 1e-9)
	assert.Equal(t, 10, a.of(t, "bowl").Sold)
	assert.Equal(t, 2, a.of(t, "bowl").Gave)
	assert.Equal(t, 1, a.of(t, "bowl").Dropped)

	// A period close.
	var groups []string
	for _, g := range a.Close {
		groups = append(groups, g.Group)
	}
	assert.Equal(t, []string{"bought", "made"}, groups)
	assert.InDelta(t, 88, a.Close[0].Purchases, 1e-9)
	assert.InDelta(t, 20, a.Close[0].Closing, 1e-9)
	assert.InDelta(t, a.All.Sold+a.All.Gave+a.All.Dropped, a.Close[0].Used+a.Close[1].Used, 1e-9)
}

// What is in a pot of which nothing more is heard was lost: two days after it was to be empty.
func TestAPotThatNobodyEmptied(t *testing.T) {
	k := henKitchen(t)
	entries := settled(t, k, typed(t, k, `
		0/21 received 4 each hen for 48
		0/22 lit night pot
		1/01 out 2 kg hen meat of night pot of tue
		2/23 counted 0 kg bones
		3/01 counted 0 kg bones`))
	b := bookOf(t, k, entries, at(6, 0))
	assert.InDelta(t, 32, b.asItWas(at(0, 0), at(3, 0)).All.InPots, 1e-9)
	a := b.asItWas(at(0, 0), at(6, 0))
	assert.InDelta(t, 0, a.All.InPots, 1e-9)
	assert.InDelta(t, 32, a.All.Lost, 1e-9)
	assert.InDelta(t, 40, a.of(t, "stock").Yield, 1e-9, "all of what it was to bear")
	assert.InDelta(t, -20, a.of(t, "bones").Usage, 1e-9, "which never went in")
	assert.InDelta(t, a.All.Variance, a.All.Price+a.All.Yield+a.All.Usage, 1e-9)
}

// Lots go through a pot: all that was put in before is in what comes out after, and in nothing that came before.
func TestLotsGoThroughAPot(t *testing.T) {
	k := henKitchen(t)
	j := newLogBook(t)
	_, err := j.Append(t.Context(), settled(t, k, typed(t, k, `
		0/21 received 4 each hen lot H1
		0/21 received 10 kg bones lot B1
		0/22 lit night pot: 4 each hen lot H1
		1/01 out 1.8 kg hen meat lot M1 of night pot of tue
		1/02 put in 5 kg bones lot B1 of night pot of tue
		1/07 out 21 L stock lot S1 of night pot of tue
		1/12 sold 10 bowl at lunch`))...)
	require.NoError(t, err)
	lots := func(name string) (list []string) {
		a, err := j.TraceLot(t.Context(), k, name, at(3, 0))
		require.NoError(t, err)
		for _, l := range a.Lots {
			if l.Side != "asked" {
				list = append(list, l.Side+" "+l.Lot+" "+l.How)
			}
		}
		return list
	}
	assert.Equal(t, []string{"into M1 contains", "into S1 contains"}, lots("H1"))
	assert.Equal(t, []string{"into S1 contains"}, lots("B1"))
	assert.Equal(t, []string{"from H1 contains"}, lots("M1"))
	assert.Equal(t, []string{"from H1 contains", "from B1 contains"}, lots("S1"))
	a, err := j.TraceLot(t.Context(), k, "B1", at(3, 0))
	require.NoError(t, err)
	require.Len(t, a.Sales, 1)
	assert.Equal(t, "contains", a.Sales[0].How)
	assert.Equal(t, 5.0, a.Lots[0].Cooked)
	for _, m := range a.Moves {
		assert.NotEmpty(t, m.Unit, "what is in a pot is told of in trees only: %+v", m)
	}
	require.Len(t, a.Into, 1)
	assert.Equal(t, "5: put in night pot, Wed 25 Nov 2026 02:00", a.Into[0].Lines[0].Name)
	assert.Equal(t, "night pot, in the pot", a.Into[0].Lines[0].Lines[0].Name)
}

// Pots are kept with what was played.
func TestPotsGoOn(t *testing.T) {
	k := henKitchen(t)
	defer func(was int) { stretch = was }(stretch)
	stretch = 2
	j := newLogBook(t)
	entries := settled(t, k, typed(t, k, `
		0/21 received 4 each hen lot H1
		0/22 lit night pot: 4 each hen lot H1
		0/23 counted 1 kg bones
		1/01 out 1.8 kg hen meat lot M1 of night pot of tue`))
	for _, e := range entries {
		e.ID = 0
		_, err := j.Append(t.Context(), e)
		require.NoError(t, err)
		_, err = j.OnHand(t.Context(), k, e.At)
		require.NoError(t, err)
		j.warm = nil // as after the file was closed
	}
	stock, err := j.OnHand(t.Context(), k, at(2, 0))
	require.NoError(t, err)
	assert.Empty(t, stock.Odd)
	a, err := j.TraceLot(t.Context(), k, "H1", at(2, 0))
	require.NoError(t, err)
	assert.Equal(t, "M1", a.Lots[1].Lot)
	assert.Equal(t, time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC), entries[3].Begins)
}
