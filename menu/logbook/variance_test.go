package logbook

// Variances against published examples and sums done by hand.

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/kitchen"
)

// Horngren, Datar and Rajan, Cost Accounting, chapter 7 (figures from memory): 22,200 yards of cloth are bought and
// used at 28, budgeted were 2 yards at 30 for each of 10,000 jackets: price 44,400 favourable, efficiency 66,000
// unfavourable.
func TestPriceAndUsage(t *testing.T) {
	k := readKitchen(t, `kitchen: Jackets
services: {day: 08:00-18:00}
bought: {cloth: {price: 30/each}}
dishes: {jacket: {price: 120, takes: [2 each cloth], sells: {day: 1}}}
`)
	a := bookOf(t, k, typed(t, k, `
		0/07 received 22200 each cloth for 621600
		0/12 sold 10000 jacket
		0/20 counted 0 each cloth`), at(1, 0)).asItWas(at(0, 0), at(1, 0))
	cloth := a.of(t, "cloth")
	assert.InDelta(t, -44400, cloth.Price, 1e-6)
	assert.InDelta(t, 66000, cloth.Usage, 1e-6)
	assert.InDelta(t, 0, cloth.Yield, 1e-6)
	assert.InDelta(t, 21600, a.All.Variance, 1e-6)
	assert.InDelta(t, 600000, a.All.SoldBook, 1e-6)
	assert.InDelta(t, 560000, a.All.Sold, 1e-6)
	assert.InDelta(t, 2200*28, a.All.Missing, 1e-6)
	assert.InDelta(t, 0, a.All.Held, 1e-6)
}

// The same, chapter 14 (figures from memory): 4,000 t of sauce came of 6,500 t of three kinds of tomatoes, where 6,400
// t were budgeted: mix 3,250 favourable and yield 7,700 unfavourable, together 4,450; price 10,400 unfavourable.
func TestYieldWithMix(t *testing.T) {
	k := readKitchen(t, `kitchen: Sauce
bought: {long tomatoes: {price: 70/kg}, round tomatoes: {price: 80/kg}, small tomatoes: {price: 90/kg}}
steps:
  boil down:
    takes:  [0.8 kg long tomatoes, 0.48 kg round tomatoes, 0.32 kg small tomatoes]
    gives: [1 kg sauce]
`)
	a := bookOf(t, k, typed(t, k, `
		0/07 received 3250 kg long tomatoes for 227500
		0/07 received 2275 kg round tomatoes for 186550
		0/07 received 975 kg small tomatoes for 93600
		0/09 cooked boil down x4000: 3250 kg long tomatoes, 2275 kg round tomatoes, 975 kg small tomatoes -> 4000 kg sauce`),
		at(1, 0)).asItWas(at(0, 0), at(1, 0))
	assert.InDelta(t, 7700, a.of(t, "sauce").Yield, 1e-6, "the long tomatoes, half of all as budgeted, say how many batches it was")
	assert.InDelta(t, 10400, a.All.Price, 1e-6)
	assert.InDelta(t, -3250, a.All.Usage, 1e-6, "more of the dearer ones, and fewer of the dearest, for as many long ones")
	assert.InDelta(t, 492800+14850, a.of(t, "sauce").LeftCost, 1e-6)
	assert.InDelta(t, 14850, a.All.Held, 1e-6, "nothing is sold: all of it is still in the sauce")
}

// A day of the braise shop, in which a braise is shared by weight.
func TestADayToldApart(t *testing.T) {
	k := someKitchen(t)
	b := bookOf(t, k, typed(t, k, `
		0/07 received 12 kg pork shoulder for 66
		0/07 received 100 each tortilla for 8
		0/07 received 3 each hen
		0/09 cooked braise x2: 12 kg pork shoulder, 12 L water -> 7 kg pulled shoulder, 9 L shoulder broth, 0.8 kg braise fat
		0/12 sold 20 tacos at lunch
		0/14 binned 500 g pulled shoulder, dropped
		0/15 counted 4 kg pulled shoulder
		0/16 counted 40 each tortilla
		0/17 sold 1 tacos at lunch`), at(1, 0))
	a := b.asItWas(at(0, 0), at(1, 0))
	meat := b.till.file.Unit[a.index(t, b, "pulled shoulder")] * 1000 // a kilo
	assert.InDelta(t, 66-12*5.10, a.of(t, "pork shoulder").Price, 1e-9)
	assert.InDelta(t, -2, a.of(t, "tortilla").Price, 1e-9)
	assert.InDelta(t, 0.2*meat, a.of(t, "pulled shoulder").Yield, 1e-9, "7 kg came, not 7.2")
	assert.InDelta(t, 0, a.of(t, "shoulder broth").Yield, 1e-9)
	// 7 - 20 * 0.12 - 0.5 = 4.1 kg: 0.5 kg binned, 0.1 kg missing; 60 tortillas sold, 40 left: none missing
	assert.InDelta(t, 0.6*meat, a.of(t, "pulled shoulder").Usage, 1e-9)
	assert.InDelta(t, 0, a.of(t, "tortilla").Usage, 1e-9)
	assert.InDelta(t, 28.50, a.All.Unpriced, 1e-9)
	tacos := a.of(t, "tacos")
	assert.Equal(t, 21, tacos.Sold)
	assert.InDelta(t, 21*(0.12*meat+0.30), tacos.SoldBook, 1e-9)
	assert.InDelta(t, 0, tacos.Usage, 1e-9)
	// 66 was paid for two braises, by weight 7 of meat, 9 * 1.01 of broth and 0.8 of fat
	paid := 66 * 7 / (7 + 9*1.01 + 0.8) / 7
	assert.InDelta(t, 21*(0.12*paid+0.24), tacos.SoldCost, 1e-9)
}

// A substitute in place of the first choice is usage of the dish.
func TestASubstituteIsUsage(t *testing.T) {
	k := someKitchen(t)
	b := bookOf(t, k, typed(t, k, `
		0/07 counted 600 g pulled shoulder
		0/07 received 4 each hen for 40
		0/14 sold 10 tacos`), at(1, 0))
	a := b.asItWas(at(0, 0), at(1, 0))
	meat := b.till.file.Unit[a.index(t, b, "pulled shoulder")] * 1000
	hens := 600. / 1900 // five portions of 120 g
	assert.InDelta(t, hens*9.50-0.6*meat, a.of(t, "tacos").Usage, 1e-9)
	assert.InDelta(t, 0.6*meat, a.All.FirstCounted, 1e-9)
	assert.InDelta(t, 3.00, a.All.Uncounted, 1e-9, "thirty tortillas that nobody keeps book of")
	assert.InDelta(t, 0.6*meat+hens*10+3, a.All.Sold, 1e-9)
}

// index is an item's place in the kitchen.
func (a *AsItWas) index(t *testing.T, b *books, name string) int {
	t.Helper()
	i, err := b.k.FindItem(name)
	assert.NoError(t, err)
	return i
}

// Yield goes by the main input, and so do learned yields: what else went in, and a dear substitute, are usage.
func TestYieldGoesByTheMainInput(t *testing.T) {
	k := readKitchen(t, `kitchen: Shop
bought: {pork: {price: 5/kg}, veal: {price: 20/kg}, salt: {price: 1/kg}, water: {price: 0/L, density: 1 kg/L}}
steps:
  braise:
    takes: [10 kg pork or 10 kg veal, 0.5 kg salt, 10 L water]
    gives: [6 kg meat, 8 L broth]
    share cost by: worth
    costs: 3.50
made: {meat: {worth: 9/kg}, broth: {worth: 1/L, density: 1 kg/L}}
`)
	// A batch's bill is 10 * 5 + 0.5 + 3.50 = 54: of meat and broth worth 54 and 8, a kilo bears 54 * 54/62 / 6.
	kilo, litre := 54.*54/62/6, 54.*8/62/8
	for _, c := range []struct {
		cooked                     string
		meat, broth                float64 // yield
		porkUsage, vealUsage, salt float64
	}{
		{"braise: 10 kg pork, 0.5 kg salt, 10 L water -> 6 kg meat, 8 L broth", 0, 0, 0, 0, 0},
		{"braise: 10 kg pork, 0.5 kg salt, 10 L water -> 5.5 kg meat, 8 L broth", 0.5 * kilo, 0, 0, 0, 0},
		{"braise: 10 kg veal, 0.5 kg salt, 10 L water -> 6 kg meat, 8 L broth", 0, 0, -50, 200, 0}, // a dear substitute, the yield as it should be
		{"braise: 9 kg pork, 2 kg salt, 12 L water -> 5.4 kg meat, 9 L broth", 0, -1.8 * litre, 0, 0, 2 - 0.45},
		{"braise: 5 kg pork, 5 kg veal -> 6.6 kg meat", -0.6 * kilo, 0, -25, 100, 0},
	} {
		entries := typed(t, k, "\n0/08 cooked "+c.cooked)
		a := bookOf(t, k, entries, at(1, 0)).asItWas(at(0, 0), at(1, 0))
		of := func(name string) ItemWas {
			for _, it := range a.Items {
				if it.Name == name {
					return it
				}
			}
			return ItemWas{}
		}
		assert.InDelta(t, c.meat, of("meat").Yield, 1e-9, c.cooked)
		assert.InDelta(t, c.broth, of("broth").Yield, 1e-9, c.cooked)
		assert.InDelta(t, c.porkUsage, of("pork").Usage, 1e-9, c.cooked)
		assert.InDelta(t, c.vealUsage, of("veal").Usage, 1e-9, c.cooked)
		assert.InDelta(t, c.salt, of("salt").Usage, 1e-9, c.cooked)
		assert.InDelta(t, a.All.Variance, a.All.Price+a.All.Yield+a.All.Usage, 1e-9, c.cooked)
		if y := learnedOf(t, Learn(k, entries, allYields), "braise", "meat"); y.Mean != nil {
			n := lineShare(t, k, entries[0])
			assert.InDelta(t, (6-*y.Mean)*n*kilo, of("meat").Yield, 1e-9, "as the learned yield has it: %s", c.cooked)
		}
	}
}

// lineShare is how many batches of the card the main input of an entry is enough for.
func lineShare(t *testing.T, k *kitchen.Kitchen, e Entry) (n float64) {
	t.Helper()
	p, err := newPlayer(k)
	assert.NoError(t, err)
	for _, a := range e.Takes {
		if line, share := lineOf(k, p.itemAt, &k.Graph.Steps[0], a); line == 0 {
			n += share
		}
	}
	return n
}
