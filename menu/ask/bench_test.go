package ask

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// houses are so many dishes of so many houses under one roof, 12 in each, over a week.
func houses(tb testing.TB, dishes int) *week.Week {
	return weektest.SmallWeek(tb, weektest.Copies(tb, dishes/12))
}

// Targets: a whatif under 1 ms, on ten kitchens side by side under 10 ms; weak under 50 ms, and 3 s at 96 dishes; chance 4 s there;
// with 12 dishes over 366 days 10 s each. Measured on two cores of a
// 2.x GHz x86-64 machine of 2026.
func BenchmarkWhatIf(b *testing.B) {
	for _, dishes := range []int{12, 120} {
		b.Run(fmt.Sprintf("%d dishes", dishes), func(b *testing.B) {
			w := houses(b, dishes)
			shock, err := w.Shock("lose", "night kettle@tue")
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				_, err := WhatIf(b.Context(), w, []week.Shock{shock})
				require.NoError(b, err)
			}
		})
	}
}

func BenchmarkWeakPoints(b *testing.B) {
	for _, dishes := range []int{12, 48, 96} {
		b.Run(fmt.Sprintf("%d dishes", dishes), func(b *testing.B) { weakPoints(b, houses(b, dishes)) })
	}
	b.Run("366 days", func(b *testing.B) { weakPoints(b, weektest.SmallDays(b, weektest.Copies(b, 1), 366)) })
}

func weakPoints(b *testing.B, w *week.Week) {
	b.ReportAllocs()
	for b.Loop() {
		_, err := Weak(context.Background(), w, nil)
		require.NoError(b, err)
	}
}

func BenchmarkChance(b *testing.B) {
	for _, dishes := range []int{12, 48, 96} {
		b.Run(fmt.Sprintf("%d dishes", dishes), func(b *testing.B) { chances(b, houses(b, dishes)) })
	}
	b.Run("366 days", func(b *testing.B) { chances(b, weektest.SmallDays(b, weektest.Copies(b, 1), 366)) })
}

func chances(b *testing.B, w *week.Week) {
	for b.Loop() {
		_, err := Chance(context.Background(), w, nil, Wager{Seed: UsualSeed}, nil)
		require.NoError(b, err)
	}
}

func BenchmarkOver(b *testing.B) {
	w := houses(b, 12)
	b.ReportAllocs()
	for b.Loop() {
		_, err := week.Over(w.Kitchen, w.Period)
		require.NoError(b, err)
	}
}
