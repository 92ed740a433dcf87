package plan

// Specials apart from a plan, held against what is said of them.

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/week/weektest"
)

// TestSpecialsRestAndTakeGuests makes plans of random kitchens and holds their specials against the file: one at a service, a day's rest, no
// more than are expected to sell, all of them served, and each dish of the menu served to all who still ask for it, as far as it was without
// them. The money is that of the plan as it is kept.
func TestSpecialsRestAndTakeGuests(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		p, err := Make(t.Context(), w, Options{iterations: 2_000})
		if _, clash := errors.AsType[*Clash](err); clash {
			return
		}
		require.NoError(t, err, text)
		without, wants := p.Outcome, len(w.Dishes)
		if p.Apart == nil {
			require.Equal(t, p.kept, p.m.withDone(p.coming), text)
			return
		}
		with, books := p.AsKept()
		require.InDelta(t, p.Contribution+p.Apart.More, books.Contribution, 1e-9)
		require.Positive(t, p.Apart.More, text)
		laid, _ := Lay(p.kept.Over(nil, time.Now()), w)
		asked := laid.Case.Schedule.Asked()
		days, board := map[string]map[int]bool{}, map[int]string{}
		for _, o := range p.Apart.Offers {
			x := o.at
			require.Empty(t, board[x.slot], "one at a service\n%s", text)
			board[x.slot] = o.Dish
			if days[o.Dish] == nil {
				days[o.Dish] = map[int]bool{}
			}
			days[o.Dish][w.Sittings[x.slot].Day] = true
			require.LessOrEqual(t, o.Portions, w.Expected(x.dish, x.slot).Portions, text)
			require.GreaterOrEqual(t, o.Portions, w.Dishes[x.dish].AtLeast, text)
			if asked[x.slot*wants+x.dish] == float64(o.Portions) { // else seats bind
				require.Equal(t, float64(o.Portions), with.Served[x.slot*wants+x.dish], text)
			}
		}
		for dish, on := range days {
			for day := range on {
				require.False(t, on[day+1], "%s rests a day\n%s", dish, text)
			}
		}
		for at, served := range without.Served {
			if board[at/wants] != w.Dishes[at%wants].Name {
				require.GreaterOrEqual(t, with.Served[at], min(served, asked[at])-1e-6, "%s at %d\n%s", w.Dishes[at%wants].Name, at/wants, text)
			}
		}
	})
}
