package plan

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// BenchmarkExamples plans the kitchens of the examples with the days behind them. Asked on two quiet cores: 2 s for each, and no plan
// better than the one that is told by more than a two-hundredth of what that earns with the days behind.
func BenchmarkExamples(b *testing.B) {
	for _, name := range examples {
		w := weektest.ExampleWeek(b, name)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				p, err := Make(b.Context(), w, Options{})
				require.NoError(b, err)
				b.ReportMetric(100*(p.most-p.counts())/p.Onward.Contribution, "%gap")
			}
		})
	}
}
