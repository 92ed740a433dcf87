package counter

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// twoHouses are the night's offers for the first and the second house of several by turns.
func twoHouses(w *week.Week) (texts []string) {
	for n, text := range night {
		name, terms, _ := strings.Cut(text, "=")
		if _, err := w.FindItem(name + " no2"); err == nil && n%2 == 1 {
			name += " no2"
		}
		texts = append(texts, name+"="+terms)
	}
	return texts
}

// A set that is played as far as what is bought can reach, several at a time, comes to what the whole week with it comes to; and what an answer
// looks at does not hang on how many processors there are.
func TestSetsPlayedAtOnce(t *testing.T) {
	w := weektest.SmallWeek(t, weektest.Copies(t, 2))
	o := Options{Offers: offers(t, w, twoHouses(w)[:4]...), Spend: 60}
	var told []*Answer
	for _, processors := range []int{1, 3} {
		was := runtime.GOMAXPROCS(processors)
		s, err := New(w, o)
		require.NoError(t, err)
		a, err := s.Answer(t.Context())
		runtime.GOMAXPROCS(was)
		require.NoError(t, err)
		told = append(told, a)

		checked := 0
		for _, p := range s.played { // in any order: others each time
			if checked++; checked > 60 {
				break
			}
			books, out := s.onward.Play(s.with(p.at, true))
			require.InDelta(t, books.Contribution, p.earns-spent(p.at, prices(o)), 1e-6)
			require.InDelta(t, s.off(out), p.off, 1e-6)
		}
	}
	told[0].set, told[1].set, told[0].week, told[1].week = nil, nil, nil, nil
	require.Equal(t, told[0], told[1])
}

func prices(o Options) (list []float64) {
	for _, x := range o.Offers {
		list = append(list, x.Price)
	}
	return list
}

// A price is typed at the counter, and the answer is looked for again.
func BenchmarkAnotherPrice(b *testing.B) {
	for _, houses := range []int{1, 5} {
		b.Run(fmt.Sprintf("%d dishes", 12*houses), func(b *testing.B) {
			w := weektest.SmallWeek(b, weektest.Copies(b, houses))
			o := Options{Offers: offers(b, w, twoHouses(w)...), Spend: 900}
			s, err := New(w, o)
			require.NoError(b, err)
			require.NoError(b, s.Plan(b.Context())) // as the board does, once it has answered by the batches as they stand
			_, err = s.Answer(b.Context())
			require.NoError(b, err)
			n := 0
			for b.Loop() {
				o.Offers = slices.Clone(o.Offers)
				o.Offers[n%len(o.Offers)].Price *= 1.01 + 0.1/float64(1+n) // one that was not asked about yet
				n++
				require.NoError(b, s.At(o))
				_, err = s.Answer(b.Context())
				require.NoError(b, err)
			}
		})
	}
}
