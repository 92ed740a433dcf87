package taste

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

const gumboHouse = `kitchen: Levee Gumbo House
money: USD
services: {dinner: 17:00-22:00}
bought:
  chicken backs: {price: 2.4/kg, keeps: 3 days, from: swamp farm}
  shrimp shells: {price: 1.1/kg, keeps: 2 days, from: dockside}
  smoked neck: {price: 6/kg, keeps: 10 days}
  onion: {price: 1.2/kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  seafood stock:
    starts: "07:00"
    takes: ["14 kg chicken backs", "6 kg shrimp shells, in at 3 h", "2 kg smoked neck, in at 1 h", 4 kg onion, 60 L water]
    gives: ["50 L gumbo stock, out at 6 h"]
    phases: [to the boil 1 h, simmer]
    boils off: 4 L an hour
    batches: {daily: 1}
    measures: {colour: "1-5, aim 3-4", salt: 0.9-1.1%, brix: 3.0-4.5}
    handling: {to the boil: 50-70 min, skims: times, cook: words}
made:
  gumbo stock: {keeps: 4 days, density: 1.01 kg/L}
dishes:
  gumbo: {price: 14, takes: [400 mL gumbo stock], sells: 60}
`

func gumbo(t testing.TB) (*kitchen.Kitchen, Subject) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(gumboHouse))
	require.NoError(t, faults.Err())
	step, err := k.FindStep("seafood stock")
	require.NoError(t, err)
	return k, Subject{Step: step, Item: -1}
}

var first = time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)

// entries are what was written of a batch on a day.
func entries(t testing.TB, k *kitchen.Kitchen, n int, texts ...[3]string) (list []logbook.Entry) {
	day := first.AddDate(0, 0, n)
	for _, text := range texts {
		at, err := time.Parse("15:04", text[0])
		require.NoError(t, err)
		e, err := logbook.Parse(k, logbook.Kind(text[1]), text[2])
		require.NoError(t, err, "%s", text)
		e.At = day.Add(time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute)
		e.Written, e.Begins = e.At, day
		if e.Kind == logbook.Lit {
			e.Batches = 1
		}
		if e.Kind == logbook.Received {
			e.Begins = time.Time{}
		}
		list = append(list, e)
	}
	return list
}

func book(t testing.TB) *logbook.Book {
	j, err := logbook.Open(t.Context(), filepath.Join(t.TempDir(), "kitchen.logbook"))
	require.NoError(t, err)
	t.Cleanup(func() { _ = j.Close() })
	return j
}

// journal is a log book of so many batches, in which the time to the boil makes the colour, or nothing does.
func journal(t testing.TB, k *kitchen.Kitchen, r *rand.Rand, batches int, cause bool) *logbook.Book {
	j := book(t)
	var all []logbook.Entry
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	for n := range batches {
		boil, late := 50+r.IntN(41), 10*r.IntN(10)
		dark := r.NormFloat64() * 1.2
		if cause {
			dark = float64(boil-70)/12 + 0.35*r.NormFloat64()
		}
		out := between(45, 51)
		all = append(all, entries(t, k, n,
			[3]string{"07:00", "lit", fmt.Sprintf("seafood stock: %.1f kg chicken backs, %.1f kg onion, 60 L water", between(12, 16), between(3.2, 4.8))},
			[3]string{"08:00", "put in", fmt.Sprintf("%.2f kg smoked neck of seafood stock", between(1.4, 2.6))},
			[3]string{fmt.Sprintf("%02d:%02d", 10+late/60, late%60), "put in", fmt.Sprintf("%.1f kg shrimp shells of seafood stock", between(4.8, 7.2))},
			[3]string{"13:00", "out", fmt.Sprintf("%.1f L gumbo stock of seafood stock", out)},
			[3]string{"13:20", "measured", fmt.Sprintf("seafood stock: colour %v, salt %.2f, brix %.1f, to the boil %d, skims %d, cook %s",
				max(1, min(5, math.Round(3+dark))), 1+0.1*r.NormFloat64(), 3.7+0.4*r.NormFloat64(), boil, 2+r.IntN(5), []string{"Ana", "Bo"}[r.IntN(2)])})...)
	}
	_, err := j.Append(t.Context(), all...)
	require.NoError(t, err)
	return j
}

// named are the things that a measure was found to go with.
func named(a *Answer) (list []string) {
	for _, m := range a.Measures {
		for _, g := range m.Goes {
			if g.Found {
				list = append(list, m.Name+" "+g.Clause())
			}
		}
	}
	return list
}

// journals is how many log books are drawn with a cause, and as many without.
var journals = flag.Uint("journals", 20, "how many log books TestHiddenCause draws of each kind")

// Twelve batches with a cause hidden in them, which is found, and twelve without one, where nothing is. Chance has its part: one in 20 of those
// without a cause may name something, so that four of five do is less likely than one in 10,000; and noise may hide a cause.
func TestHiddenCause(t *testing.T) {
	k, of := gumbo(t)
	seed := rand.Uint64()
	found, none := 0, 0
	for n := range uint64(*journals) {
		for _, cause := range []bool{true, false} {
			j := journal(t, k, rand.New(rand.NewPCG(seed, 2*n)), Enough, cause)
			a, err := Of(t.Context(), k, j, of, first.AddDate(0, 0, 30), Ask{})
			require.NoError(t, err)
			assert.Greater(t, a.Held, 20)
			list := named(a)
			switch {
			case cause && len(list) > 0 && list[0] == "colour with more minutes to the boil":
				found++
			case !cause && len(list) == 0:
				none++
			}
			require.NoError(t, j.Close())
		}
	}
	t.Logf("of %d journals with a cause it was found in %d; of as many without one nothing was named in %d", *journals, found, none)
	// Four in five are found, so that fewer than nine of twenty are once in some thousand runs; of five, fewer than two were once in 130.
	assert.GreaterOrEqual(t, found, int(*journals)*9/20, "seed %d", seed)
	assert.GreaterOrEqual(t, none, int(*journals)*9/20, "seed %d", seed)
}

// Eleven batches are not enough, however plain the cause.
func TestNotEnough(t *testing.T) {
	k, of := gumbo(t)
	a, err := Of(t.Context(), k, journal(t, k, rand.New(rand.NewPCG(rand.Uint64(), 1)), Enough-1, true), of, first.AddDate(0, 0, 30), Ask{})
	require.NoError(t, err)
	assert.Empty(t, named(a))
	assert.Zero(t, a.Held)
	require.NotNil(t, a.Trial, "but what to vary is said")
	assert.Len(t, a.Trial.Batches, TrialBatches)

	a, err = Of(t.Context(), k, book(t), of, first, Ask{})
	require.NoError(t, err)
	assert.Zero(t, a.Batches)
	assert.Nil(t, a.Trial)
	_, err = Of(t.Context(), k, book(t), of, first, Ask{Vary: []string{"moon", "tide"}})
	assert.ErrorContains(t, err, `"moon" is not something that the cook sets`)
}

// What takes the place of another is not varied by itself: a trial would tell the two things apart, not more from less.
func TestTrialOfASecondChoice(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(strings.NewReplacer("4 kg onion,", "4 kg onion or 3 kg leek,", "  onion:", "  leek: {price: 2/kg}\n  onion:").Replace(gumboHouse)))
	require.NoError(t, faults.Err())
	step, err := k.FindStep("seafood stock")
	require.NoError(t, err)
	of := Subject{Step: step, Item: -1}
	_, err = Of(t.Context(), k, book(t), of, first, Ask{Vary: []string{"Leek", "skims"}})
	var wrong *VaryError
	require.ErrorAs(t, err, &wrong)
	assert.Equal(t, VaryError{`"Leek" only takes the place of "onion" on the card`, "vary onion, and take one of the two in all eight batches"}, *wrong)
}

// A trial needs no past: what goes in is varied about the card, what is noted within its aim, and else to less than usual or more.
func TestTrialWithoutPast(t *testing.T) {
	k, of := gumbo(t)
	j := book(t)
	a, err := Of(t.Context(), k, j, of, first, Ask{Vary: []string{"onion", "skims", "to the boil"}})
	require.NoError(t, err)
	require.NotNil(t, a.Trial)
	assert.Equal(t, []Varied{{"onion", "of the card", 0.9, 1.1, "3.6 kg", "4.4 kg"}, {"skims", "times", 0, 0, "", ""}, {"to the boil", "min", 50, 70, "50 min", "70 min"}}, a.Trial.Things)
	kept := a.Trial.Begin(a.Of, first)
	require.Empty(t, kept.fault())
	for n, levels := range kept.Batches {
		how := map[int]string{-1: "skims less than usual", 1: "skims more than usual"}[levels[1]]
		under, err := kept.Trialled(t.Context(), k, j, first.AddDate(0, 0, n))
		require.NoError(t, err)
		assert.Equal(t, how, under.Runs[n].Levels[1])
		_, err = j.Append(t.Context(), entries(t, k, n, [3]string{"07:00", "lit", "seafood stock: 14 kg chicken backs, 4 kg onion, 60 L water"},
			[3]string{"13:20", "measured", fmt.Sprintf("seafood stock: colour %d, skims %d", 3-levels[1], 4+levels[1])})...)
		require.NoError(t, err)
	}
	under, err := kept.Trialled(t.Context(), k, j, first.AddDate(0, 0, 20))
	require.NoError(t, err)
	require.NotEmpty(t, under.Effects)
	assert.Equal(t, "skims", under.Effects[0].Thing)
	assert.Equal(t, -2.0, under.Effects[0].Effect)
}

// One pot told in figures: what went in against the card, its age and its supplier, when, for how long, what came out.
func TestOneBatch(t *testing.T) {
	k, of := gumbo(t)
	j := book(t)
	list := entries(t, k, 0,
		[3]string{"06:00", "received", "30 kg chicken backs for 72 from swamp farm"},
		[3]string{"06:00", "received", "9 kg shrimp shells for 9 from dockside"})
	list = append(list, entries(t, k, 1,
		[3]string{"06:00", "lit", "seafood stock: 7 kg chicken backs, 4 kg onion, 60 L water"},
		[3]string{"09:00", "put in", "9 kg shrimp shells of seafood stock"},
		[3]string{"12:00", "out", "62 L gumbo stock of seafood stock"},
		[3]string{"12:10", "measured", "seafood stock: salt 1.3, colour 3, cook Ana Lee, a little smoky"},
		[3]string{"12:20", "measured", "seafood stock: colour 4"})...)
	_, err := j.Append(t.Context(), list...)
	require.NoError(t, err)
	found, err := j.Tastings(t.Context(), k, of.Step, of.Item, first.AddDate(0, 0, 2))
	require.NoError(t, err)
	require.Len(t, found, 1)
	var facts []string
	for _, f := range found[0].Facts {
		facts = append(facts, f.String())
	}
	assert.Equal(t, []string{"chicken backs 0.5 of the card", "age of chicken backs 1 day", "chicken backs from swamp farm", "shrimp shells 1.5 of the card",
		"age of shrimp shells 1.13 days", "shrimp shells from dockside", "shrimp shells in at 3 h", "shrimp shells in for 3 h",
		"onion 1 of the card", "water 1 of the card", "lit at 06:00", "time on the fire 6 h", "gumbo stock out 1.24 of the card"}, facts)

	a, err := Of(t.Context(), k, j, of, first.AddDate(0, 0, 2), Ask{})
	require.NoError(t, err)
	require.Len(t, a.Right, 1)
	r := a.Right[0]
	assert.Equal(t, "water 18 L", fmt.Sprintf("%s %v %s", r.Do, r.Much, r.In), "62 L at 1.3 % are 80.6 L at 1 %, and it is rounded down")
	assert.Equal(t, []Note{{"2026-10-02", "a little smoky"}}, a.Notes)
	assert.Equal(t, 4.0, *a.Measures[0].Last, "the last word on it")
	assert.Nil(t, a.Measures[0].Limits)
	a, err = Of(t.Context(), k, j, of, first.AddDate(0, 0, 1).Add(12*time.Hour+15*time.Minute), Ask{})
	require.NoError(t, err)
	assert.Equal(t, 3.0, *a.Measures[0].Last, "what was known then")
}

// What puts it right goes by all that was made at once, and by nothing that is only counted in parts of a hundred.
func TestRightOfTwoBatches(t *testing.T) {
	k, of := gumbo(t)
	k.Steps[of.Step].Measures = append(k.Steps[of.Step].Measures, kitchen.Measure{Name: "yield", Sort: kitchen.Gauged, Unit: "%", Aim: &kitchen.Range{Low: 95, High: 105}})
	j := book(t)
	_, err := j.Append(t.Context(), entries(t, k, 1, [3]string{"13:00", "cooked", "seafood stock x2"},
		[3]string{"13:20", "measured", "seafood stock: salt 0.5, yield 90"})...)
	require.NoError(t, err)
	a, err := Of(t.Context(), k, j, of, first.AddDate(0, 0, 2), Ask{})
	require.NoError(t, err)
	require.Len(t, a.Right, 1)
	// 100 L at 0.5 % hold 0.5 kg: x more in 100 + x kg are 1 %, so x = 0.5/0.99 = 0.505 kg.
	assert.Equal(t, "salt 505 g of 100 L", fmt.Sprintf("%s %v %s of %v %s", a.Right[0].Do, a.Right[0].Much, a.Right[0].MuchIn, a.Right[0].Amount, a.Right[0].In))
}

// Too little brix is boiled off, as fast as the pot fell between its dips: 50 cm wide, it lost 4 cm in two hours, which is 7.85 L, 3.93 L
// an hour. What went in between two dips makes them useless.
func TestSteamLearned(t *testing.T) {
	text := strings.Replace(gumboHouse, "steps:", "vessels: {gumbo pot: {holds: 100 L, inside diameter: 50 cm}}\nsteps:", 1)
	text = strings.Replace(text, "    phases:", "    vessel: gumbo pot\n    phases:", 1)
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NoError(t, faults.Err())
	step, err := k.FindStep("seafood stock")
	require.NoError(t, err)
	j := book(t)
	list := entries(t, k, 0, [3]string{"07:00", "lit", "seafood stock"},
		[3]string{"08:30", "measured", "seafood stock: depth 40 cm"},
		[3]string{"09:30", "measured", "seafood stock: 41 cm in gumbo pot"}, // smoked neck and shells go in at 1 h and 3 h by the card
		[3]string{"10:30", "measured", "seafood stock: 40 cm"},
		[3]string{"10:40", "measured", "seafood stock: 39.8 cm"}, // too soon to tell
		[3]string{"12:30", "measured", "seafood stock: 36 cm"},
		[3]string{"13:00", "out", "50 L gumbo stock of seafood stock"}, [3]string{"13:20", "measured", "seafood stock: brix 2.5"})
	list[0].Card = []logbook.Due{{Item: "shrimp shells", Base: 6000, After: 180}}
	_, err = j.Append(t.Context(), list...)
	require.NoError(t, err)
	falls, err := j.Falls(t.Context(), k, first.AddDate(0, 0, 1))
	require.NoError(t, err)
	require.Len(t, falls, 1)
	assert.InDelta(t, math.Pi/4*50*50*4/1000, falls[0].Litres, 1e-9)
	assert.InDelta(t, 2, falls[0].Hours, 1e-9)
	a, err := Of(t.Context(), k, j, Subject{Step: step, Item: -1}, first.AddDate(0, 0, 1), Ask{})
	require.NoError(t, err)
	assert.Equal(t, 1, a.Batches, "a dip alone is no batch measured")
	require.Len(t, a.Right, 1)
	// 50 L at 2.5 hold 125: 33.3 L at 3.75, so 16.7 L go off, told as 16.
	assert.Equal(t, "steam 16 L", fmt.Sprintf("%s %v %s", a.Right[0].Do, a.Right[0].Much, a.Right[0].In))
	assert.InDelta(t, 60*16/(math.Pi/4*50*50*4/1000/2), *a.Right[0].Minutes, 1e-9)
	assert.Equal(t, 1, a.Right[0].Dips)
	for text, fault := range map[string]string{"seafood stock: 90 cm": "it holds 100 L", "seafood stock: depth 3 cm in moon": `unknown vessel "moon"`, "seafood stock: 40 cm, 39 cm": "twice"} {
		_, err := logbook.Parse(k, logbook.Measured, text)
		assert.ErrorContains(t, err, fault)
	}
}

// What puts one measure right goes for all: steam takes no salt along, and salt goes into what is left. 50 L, with aims of 0.9 to 1.1 % salt and 3 to
// 4.5 brix, worked to their middles.
func TestRightTogether(t *testing.T) {
	k, of := gumbo(t)
	for reads, want := range map[string][]string{
		// 16.7 L off would bring 2.5 brix to 3.75 and 0.8 % salt to 1.2; 13.6 L bring the salt to 1.1.
		"salt 0.8, brix 2.5": {"brix: steam 13 L, 37 left, reads 3.38, held by salt"},
		// 34 L that are left hold the salt of 50 L, 0.735 %: 34 kg of it, and 91 g, are at 1 %.
		"salt 0.5, brix 2.5": {"brix: steam 16 L, 34 left, reads 3.68, held by ", "salt: salt 90 g, 34 left, reads 1.00, held by "},
		"salt 1.1, brix 2.5": {"brix: steam 0 L, 50 left, reads 2.50, held by salt"},
		// 15 L would bring 1.3 % to 1 %; 3.3 L thin 3.2 brix to 3.
		"salt 1.3, brix 3.2": {"salt: water 3 L, 53 left, reads 1.23, held by brix"},
		// 16.7 L thin 5 brix to 3.75; then 1 % of 50 L is 0.75 % of 66 L: 66 kg of it, and 161 g, are at 1 %.
		"salt 1.0, brix 5": {"brix: water 16 L, 66 left, reads 3.79, held by ", "salt: salt 160 g, 66 left, reads 1.00, held by "},
		// One wants water, the other steam: as before, neither is held by what is out of its aim itself.
		"salt 1.3, brix 2.5": {"salt: water 15 L, 65 left, reads 1.00, held by ", "brix: steam 16 L, 34 left, reads 3.68, held by "},
		"salt 1.0, brix 3.5": nil,
	} {
		j := book(t)
		_, err := j.Append(t.Context(), entries(t, k, 0, [3]string{"07:00", "cooked", "seafood stock"}, [3]string{"13:20", "measured", "seafood stock: " + reads})...)
		require.NoError(t, err)
		a, err := Of(t.Context(), k, j, of, first.AddDate(0, 0, 1), Ask{})
		require.NoError(t, err)
		var got []string
		for _, r := range a.Right {
			got = append(got, fmt.Sprintf("%s: %s %v %s, %v left, reads %.2f, held by %s", r.Measure, r.Do, r.Much, r.MuchIn, math.Round(r.Then), r.ComesTo, r.Held))
		}
		assert.Equal(t, want, got, reads)
	}
}

// A kitchen that counts in quarts is told quarts and ounces; and what is too salt is used where salt is left out.
func TestQuarts(t *testing.T) {
	text := strings.NewReplacer("50 L gumbo stock", "50 qt gumbo stock", "{price: 14, takes: [400 mL gumbo stock]", "{price: 14, takes: [1 qt gumbo stock, 0.3 oz salt]",
		"bought:", "bought:\n  salt: {price: 1/kg}").Replace(gumboHouse)
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NoError(t, faults.Err())
	step, err := k.FindStep("seafood stock")
	require.NoError(t, err)
	right := func(reads string) Righting {
		j := book(t)
		_, err = j.Append(t.Context(), entries(t, k, 0, [3]string{"07:00", "cooked", "seafood stock"}, [3]string{"13:20", "measured", "seafood stock: " + reads})...)
		require.NoError(t, err)
		a, err := Of(t.Context(), k, j, Subject{Step: step, Item: -1}, first.AddDate(0, 0, 1), Ask{})
		require.NoError(t, err)
		require.Len(t, a.Right, 1)
		return a.Right[0]
	}
	r := right("salt 1.3")
	assert.Equal(t, "water 15 qt of 50", fmt.Sprintf("%s %v %s of %v", r.Do, r.Much, r.In, math.Round(r.Amount)))
	// A quart, 946 mL, has 0.3 % too much: 2.84 g, 0.1 oz.
	require.Len(t, r.Use, 1)
	assert.Equal(t, Use{"gumbo", "salt", 0.1, 0.3, "oz"}, r.Use[0])
	// 50 qt are 47.3 kg: x more of 47.3 + x at 1 % from 0.6 %: 191 g, 6.7 oz.
	r = right("salt 0.6")
	assert.Equal(t, "salt 6.7 oz", fmt.Sprintf("%s %v %s", r.Do, r.Much, r.MuchIn))
}
