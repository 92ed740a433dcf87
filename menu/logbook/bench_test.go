package logbook

// How long the log book takes. Targets: a thousand entries a second, kept for good, taken over from a file; what is on
// hand after a million entries, and the trace of a lot through them, within a second for each command but the first.

import (
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// BenchmarkImport keeps a thousand rows at a time.
func BenchmarkImport(b *testing.B) {
	j := newLogBook(b)
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
	j := newLogBook(b)
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
	file := filepath.Join(b.TempDir(), "kitchen.logbook")
	j := open(b, file)
	_, err := j.Append(b.Context(), many(b, entries)...)
	require.NoError(b, err)
	k := someKitchen(b)
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

// BenchmarkOpen opens a log book of a hundred thousand entries, with its tail checked. Target: some milliseconds.
func BenchmarkOpen(b *testing.B) {
	file := filepath.Join(b.TempDir(), "kitchen.logbook")
	j := open(b, file)
	_, err := j.Append(b.Context(), many(b, 100_000)...)
	require.NoError(b, err)
	require.NoError(b, j.Close())
	b.ReportAllocs()
	for b.Loop() {
		j, err := Open(b.Context(), file)
		require.NoError(b, err)
		require.NoError(b, j.Close())
	}
}

// BenchmarkYields learns from a million entries: the first time, and again after each that is added or taken back.
// Targets: within a few seconds, and under a second.
func BenchmarkYields(b *testing.B) {
	const entries = 1_000_000
	file := filepath.Join(b.TempDir(), "kitchen.logbook")
	j := open(b, file)
	_, err := j.Append(b.Context(), many(b, entries)...)
	require.NoError(b, err)
	k := someKitchen(b)
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

// BenchmarkMillion asks of a log book of a million entries, each time as a command does that opens it.
func BenchmarkMillion(b *testing.B) {
	const entries = 1_000_000
	file := filepath.Join(b.TempDir(), "kitchen.logbook")
	j := open(b, file)
	for some := range slices.Chunk(weeks(b, entries), 50_000) {
		_, err := j.Append(b.Context(), some...)
		require.NoError(b, err)
	}
	require.NoError(b, j.Close())
	k := someKitchen(b)
	later := tuesday.AddDate(500, 0, 0)
	ask := func(b *testing.B, one func(j *Book)) {
		b.ReportAllocs()
		for b.Loop() {
			j, err := Open(b.Context(), file)
			require.NoError(b, err)
			one(j)
			require.NoError(b, j.Close())
		}
	}
	onHand := func(j *Book) {
		_, err := j.OnHand(b.Context(), k, later)
		require.NoError(b, err)
	}
	b.Run("on hand, nothing kept", func(b *testing.B) {
		ask(b, func(j *Book) {
			j.forget(b.Context())
			onHand(j)
		})
	})
	b.Run("on hand", func(b *testing.B) { ask(b, onHand) })
	for _, lot := range []string{"8", "500001", "999999"} {
		b.Run("trace "+lot, func(b *testing.B) {
			ask(b, func(j *Book) {
				a, err := j.TraceLot(b.Context(), k, lot, later)
				require.NoError(b, err)
				b.ReportMetric(float64(len(a.Moves)), "movements")
			})
		})
	}
}

// weeks are entries of a kitchen whose pots are empty once a week.
func weeks(b *testing.B, n int) []Entry {
	k := someKitchen(b)
	empty := typed(b, k, `
		0/23 counted 0 kg pulled shoulder
		0/23 counted 0 L shoulder broth
		0/23 counted 0 kg braise fat`)
	var list []Entry
	for i, e := range many(b, n) {
		if list = append(list, e); i%49 == 48 {
			for _, none := range empty {
				none.ID, none.At = 0, e.At.Add(time.Hour)
				list = append(list, none)
			}
		}
	}
	return list[:n]
}

// many are entries of a kitchen's days, one after another.
func many(b *testing.B, n int) []Entry {
	k := someKitchen(b)
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
