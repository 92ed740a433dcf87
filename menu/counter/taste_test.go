package counter

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kettletree/menu/logbook"
	"kettletree/menu/taste"
	"kettletree/menu/week/weektest"
)

// shankPot braises shank or neck, and measures what comes of it.
const shankPot = `
kitchen: Shank Pot
open: mon
services: {lunch: 11:30-14:30}
bought:
  shank: {price: 10/kg, keeps: 2 days, arrives: mon, allergens: []}
  neck:  {price: 2/kg, keeps: 2 days, arrives: mon, allergens: [celery]}
  broth: {price: 6/L, density: 1 kg/L, keeps: 2 days, arrives: mon, allergens: []}
  old ham:   {price: 20/kg, strength: 1, keeps: 9 days, arrives: mon, allergens: []}
  young ham: {price: 4/kg, strength: 0.5, keeps: 9 days, arrives: mon, allergens: []}
steps:
  braise:
    takes: [10 kg shank or 15 kg neck, "20 L broth, give or take 40%", 2 kg old ham or 3 kg young ham]
    gives: [10 kg braise]
    batches: {mon: 1}
    measures: {colour: "1-5, aim 3-4", brix: 2.0-6.0}
made:
  braise: {keeps: 1 day}
dishes:
  bowl: {price: 60, takes: [1 kg braise], sells: {lunch: 10}}
`

// tasted is the answer at a counter whose kitchen has measured batches: what went into each, and what was measured.
func tasted(t *testing.T, batches []string, offers ...string) *Answer {
	w := weektest.SmallWeek(t, shankPot)
	j, err := logbook.Open(t.Context(), filepath.Join(t.TempDir(), "kitchen.logbook"))
	require.NoError(t, err)
	defer func() { require.NoError(t, j.Close()) }()
	first := w.From.AddDate(0, 0, -7*len(batches))
	for n, text := range batches {
		for k, one := range strings.SplitN(text, "; ", 2) {
			e, err := logbook.Parse(w.Kitchen, []logbook.Kind{logbook.Lit, logbook.Measured}[k], "braise: "+one)
			require.NoError(t, err)
			e.Begins = first.AddDate(0, 0, 7*n)
			e.At = e.Begins.Add(time.Duration(8+4*k) * time.Hour)
			if e.Written = e.At; k == 0 {
				e.Batches = 1
			}
			_, err = j.Append(t.Context(), e)
			require.NoError(t, err)
		}
	}
	learned, err := taste.Learn(t.Context(), w.Kitchen, j, nil, w.From)
	require.NoError(t, err)
	o := Options{Spend: 400, Learned: learned}
	for _, text := range offers {
		offer, err := ReadOffer(w, text)
		require.NoError(t, err)
		o.Offers = append(o.Offers, offer)
	}
	s, err := New(w, o)
	require.NoError(t, err)
	a, err := s.Answer(t.Context())
	require.NoError(t, err)
	return a
}

// is is what a swap of one thing for another says of the taste, figure by figure.
func is(t *testing.T, a *Answer, less, instead string) (says []string, of Swap) {
	for _, w := range a.Swaps {
		if w.Less == less && w.Instead == instead {
			for _, e := range w.Taste {
				says = append(says, fmt.Sprintf("%s %s %s %.3g %s %d beyond %v", e.In, e.Thing, e.Measure, e.By, e.From, e.Batches, e.Beyond))
			}
			return says, w
		}
	}
	t.Fatalf("no swap of %s for %q among %d", less, instead, len(a.Swaps))
	return nil, of
}

// By hand. Of sixteen batches the eight of shank read colour 4 and the eight of neck 3. With
// neck for all of the shank the colour is to be 1 lower; with neck for a part of it, by that part.
func TestSwapTellsTheColour(t *testing.T) {
	var batches []string
	for n := range 16 {
		batches = append(batches, []string{"10 kg shank, 20 L broth, 2 kg old ham; colour 4, brix 4", "15 kg neck, 20 L broth, 2 kg old ham; colour 3, brix 4"}[(n/2+n)%2])
	}
	says, w := is(t, tasted(t, batches, "shank=10/kg, 20 kg", "neck=2/kg, 40 kg"), "shank", "neck")
	require.InDelta(t, 1, w.Share, 1e-9)
	require.Equal(t, []string{"braise shank colour -1 log book 16 beyond false"}, says)
}

// Broth from 0.7 to 1.05 of the card moves brix by 4 for all of it: 2 + 4 x. Less broth, as far as was measured, is told; further down is not known.
func TestSwapTellsBrixAsFarAsItWent(t *testing.T) {
	for low, beyond := range map[float64]bool{0.55: false, 0.9: true} {
		var batches []string
		for n := range 14 {
			x := low + (1.05-low)*float64((n*5)%14)/13
			batches = append(batches, fmt.Sprintf("10 kg shank, %.3f L broth, 2 kg old ham; colour 4, brix %.3f", 20*x, 2+4*x))
		}
		_, w := is(t, tasted(t, batches, "broth=6/L, 40 L"), "broth", "")
		require.Len(t, w.Taste, 1)
		e := w.Taste[0]
		require.Equal(t, beyond, e.Beyond)
		if beyond {
			require.Zero(t, e.By)
			continue
		}
		require.InDelta(t, -4*w.By/20, e.By, 0.01, "of the 20 L on the card")
		require.Greater(t, w.Share, 0.3, "the card goes down to 60 %")
		require.Equal(t, "brix log book 14", fmt.Sprintf("%s %s %d", e.Measure, e.From, e.Batches))
	}
}

// Nothing measured: strengths in the file tell that 3 kg at 0.5 are a quarter milder than 2 kg at 1; of shank nothing is known.
func TestSwapTellsStrengthAndWhatIsNotKnown(t *testing.T) {
	a := tasted(t, nil, "shank=10/kg, 20 kg", "neck=2/kg, 40 kg", "old ham=20/kg, 4 kg", "young ham=4/kg, 6 kg")
	says, w := is(t, a, "old ham", "young ham")
	require.InDelta(t, 1, w.Share, 1e-9)
	require.Equal(t, []string{"braise old ham  -0.25 strengths 0 beyond false"}, says)
	says, _ = is(t, a, "shank", "neck")
	require.Equal(t, []string{"braise shank  0  0 beyond false"}, says)
	require.False(t, math.Signbit(w.Saves))
}
