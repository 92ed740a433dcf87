package ledger

// How long the journal takes. Targets: a thousand entries a second, kept for good, taken over from a file; what is on
// hand after a million entries within a few seconds.

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// BenchmarkImport keeps a thousand rows at a time.
func BenchmarkImport(b *testing.B) {
	j := newJournal(b)
	list := many(b, 1000)
	b.ReportAllocs()
	for b.Loop() {
		_, err := j.Append(b.Context(), list...)
		require.NoError(b, err)
	}
	b.ReportMetric(float64(1000*b.N)/b.Elapsed().Seconds(), "entries/s")
}

// BenchmarkAppend keeps one entry at a time, as a cook does.
func BenchmarkAppend(b *testing.B) {
	j := newJournal(b)
	list := many(b, 1)
	for b.Loop() {
		_, err := j.Append(b.Context(), list...)
		require.NoError(b, err)
	}
}

// BenchmarkOnHand asks what is on hand after a hundred thousand entries: the first time, and again after each that is
// added.
func BenchmarkOnHand(b *testing.B) {
	const entries = 100_000
	file := filepath.Join(b.TempDir(), "kitchen.journal")
	j := open(b, file)
	_, err := j.Append(b.Context(), many(b, entries)...)
	require.NoError(b, err)
	k := kitchen(b)
	later := tuesday.AddDate(100, 0, 0)
	b.Run("first", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			j := open(b, file)
			_, err := j.OnHand(b.Context(), k, later)
			require.NoError(b, err)
		}
		b.ReportMetric(entries*float64(b.N)/b.Elapsed().Seconds(), "entries/s")
	})
	b.Run("again", func(b *testing.B) {
		one := many(b, 1)
		one[0].At = later
		for b.Loop() {
			_, err := j.Append(b.Context(), one...)
			require.NoError(b, err)
			_, err = j.OnHand(b.Context(), k, later)
			require.NoError(b, err)
		}
	})
}

// BenchmarkYields learns from a million entries: the first time, and again after each that is added or taken back.
// Targets: within a few seconds, and under a second.
func BenchmarkYields(b *testing.B) {
	const entries = 1_000_000
	file := filepath.Join(b.TempDir(), "kitchen.journal")
	j := open(b, file)
	_, err := j.Append(b.Context(), many(b, entries)...)
	require.NoError(b, err)
	k := kitchen(b)
	all := About{Step: -1, Output: -1}
	b.Run("first", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			j := open(b, file)
			_, err := j.Yields(b.Context(), k, all)
			require.NoError(b, err)
		}
	})
	_, err = j.Yields(b.Context(), k, all)
	require.NoError(b, err)
	b.Run("again", func(b *testing.B) {
		b.ReportAllocs()
		one := many(b, 2)[1:]
		for b.Loop() {
			kept, err := j.Append(b.Context(), one...)
			require.NoError(b, err)
			_, err = j.Undo(b.Context(), kept[0].ID, tuesday)
			require.NoError(b, err)
			_, err = j.Yields(b.Context(), k, all)
			require.NoError(b, err)
		}
	})
}

// many are entries of a kitchen's days, one after another.
func many(b *testing.B, n int) []Entry {
	k := kitchen(b)
	one := typed(b, k, `
		0/07 received 60 kg pork shoulder for 306 from butcher
		0/09 cooked braise x10: 60 kg pork shoulder, 60 L water -> 36 kg pulled shoulder, 45 L shoulder broth
		0/12 sold 3 tacos at lunch
		0/12 sold 2 soup at lunch
		0/13 sold 4 tacos at lunch
		0/13 binned 200 g pulled shoulder, dropped
		0/14 counted 32 kg pulled shoulder`)
	list := make([]Entry, n)
	for i := range list {
		list[i] = one[i%len(one)]
		list[i].ID, list[i].At = 0, list[i].At.Add(time.Duration(i/len(one))*24*time.Hour)
	}
	return list
}
