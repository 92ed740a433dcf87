package ask

// Weak forks; what it finds is what a walk from the beginning for each loss and each pair finds.

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

func TestWeakIsEveryLossWalked(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyHouses(t)
		if rapid.Bool().Draw(t, "first") {
			w = w.By(week.First)
		}
		a, err := Weak(context.Background(), w, nil)
		require.NoError(t, err)
		require.Empty(t, a.Notes)
		l, err := everyLoss(context.Background(), w)
		require.NoError(t, err)
		require.Len(t, a.Losses, len(l.shocks))
		player := w.Player()
		cost := func(together ...flow.Shock) float64 {
			c := l.StruckFrom(l.trunk, l.base.Outcome, together...)
			return l.base.Books.Contribution - l.worth.Books(c, player.Play(c, nil)).Contribution
		}
		slow, near := map[string]float64{}, 1e-6*(1+math.Abs(a.Before))
		for k, shock := range l.shocks {
			slow[l.losses[k].Shock] = cost(shock)
		}
		for k, loss := range a.Losses {
			require.InDelta(t, slow[loss.Shock], loss.ContributionLost, near, "%s\n%s", loss.Name, text)
			require.True(t, k == 0 || byLoss(a.Losses[k-1], loss) <= 0)
		}
		told := map[string]LossPair{}
		for _, p := range a.Pairs {
			told[p.A+" + "+p.B] = p
		}
		stakes := l.stakes() // where a pair's sum comes near all that there is to lose, it is not tried
		for i := range l.shocks {
			for j := i + 1; j < len(l.shocks) && j < i+12; j++ { // those of a day stand together
				name := l.losses[i].Name + " + " + l.losses[j].Name
				both := cost(l.shocks[i], l.shocks[j])
				sum := max(slow[l.losses[i].Shock], 0) + max(slow[l.losses[j].Shock], 0)
				over := min(both-farWorse*sum, both-sum-WorthTelling*math.Abs(a.Before))
				p, ok := told[name]
				if !l.trials[i].meet(&l.trials[j]) {
					continue // they are taken to add up, though the first that is known stops the ordering for both
				}
				spare := stakes.most(&l.trials[i], &l.trials[j], 0, w.Days-1) - farWorse*sum
				if math.Abs(over) > near && spare > near {
					require.Equal(t, over > 0, ok, "%s: %g together, %g singly\n%s", name, both, sum, text)
				}
				if ok {
					require.InDelta(t, both, p.ContributionLost, near)
				}
			}
		}
	})
}

// Who stops it has the losses that were tried by then.
func TestWeakStopped(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	all, err := Weak(t.Context(), w, nil)
	require.NoError(t, err)
	for _, after := range []int{1, 20} {
		ctx, stop := context.WithCancelCause(t.Context())
		calls := 0
		a, err := Weak(ctx, w, func(float64) {
			if calls++; calls == after {
				stop(fmt.Errorf("enough"))
			}
		})
		require.ErrorContains(t, err, "enough")
		require.Len(t, a.Notes, 1)
		assert.Contains(t, a.Notes[0], "stopped: ")
		assert.NotEmpty(t, a.Losses)
		assert.LessOrEqual(t, len(a.Losses), len(all.Losses))
		assert.Empty(t, a.Pairs)
		for _, l := range a.Losses {
			assert.Contains(t, all.Losses, l)
		}
	}
}
