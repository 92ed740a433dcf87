package logbook

// Clocks that are set back, and clocks that are wrong.

import (
	"testing"
	"time"
	_ "time/tzdata" // the machine may have none

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inZone sets the clock here to a zone while a test goes on.
func inZone(t *testing.T, name string) *time.Location {
	zone, err := time.LoadLocation(name)
	require.NoError(t, err)
	was := Here
	t.Cleanup(func() { Here = was })
	Here = zone
	return zone
}

// wall is what a clock shows, held as if it were UTC.
func wall(moment time.Time, zone *time.Location) time.Time {
	t := moment.In(zone)
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, time.UTC)
}

// hensAt is how many hens there is at a moment, by the clock here.
func hensAt(t *testing.T, j *Book, moment time.Time) float64 {
	t.Helper()
	s, err := open(t, j.file).OnHand(t.Context(), someKitchen(t), wall(moment, Here))
	require.NoError(t, err)
	sum := 0.0
	for _, l := range s.Lots {
		sum += l.Amount
	}
	return sum
}

// Ten came, two were binned, eight are counted, round each change of a clock: eight are there. Changes by the tz database: Berlin
// goes back an hour at 01:00 UTC on the last Sunday of October, New York at 06:00 UTC on the first of November, Lord Howe half an hour
// at 15:00 UTC on the first Saturday of April, and Kathmandu, 5:45 east of UTC, never.
func TestTheHourThatComesTwice(t *testing.T) {
	k := someKitchen(t)
	for name, changes := range map[string][2]time.Time{
		"Europe/Berlin":       {time.Date(2026, 10, 25, 1, 0, 0, 0, time.UTC), time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC)},
		"America/New_York":    {time.Date(2026, 11, 1, 6, 0, 0, 0, time.UTC), time.Date(2026, 3, 8, 7, 0, 0, 0, time.UTC)},
		"Australia/Lord_Howe": {time.Date(2026, 4, 4, 15, 0, 0, 0, time.UTC), time.Date(2026, 10, 3, 15, 30, 0, 0, time.UTC)},
		"Asia/Kathmandu":      {time.Date(2026, 10, 25, 1, 0, 0, 0, time.UTC), time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC)},
	} {
		for _, change := range changes {
			for _, how := range []string{"the zone kept", "the clock alone", "a board on UTC beside it"} {
				t.Run(name+", "+change.Format(time.DateOnly)+", "+how, func(t *testing.T) {
					zone := inZone(t, name)
					j := newLogBook(t)
					for n, text := range []string{"received 10 each hen", "binned 2 each hen, dropped", "counted 8 each hen"} {
						happened := change.Add(time.Duration([]int{-20, -10, 5}[n]) * time.Minute)
						Here = zone
						if how == "a board on UTC beside it" && n == 1 {
							Here, _ = time.LoadLocation("Etc/UTC")
						}
						kind, what, _ := KindOf(text)
						e := entry(t, k, wall(happened, Here), kind, what)
						if how != "the clock alone" {
							e.Zone = ZoneOf(happened.In(Here))
						}
						_, err := j.Append(t.Context(), e)
						require.NoError(t, err)
					}
					Here = zone
					assert.Equal(t, 8.0, hensAt(t, j, change.Add(6*time.Minute)))
					assert.Equal(t, 8.0, hensAt(t, j, change.Add(30*time.Hour)))
					told, err := j.Clocks(t.Context(), wall(change.Add(6*time.Minute), zone))
					require.NoError(t, err)
					if how != "the clock alone" {
						assert.Empty(t, told)
					}
					Here, _ = time.LoadLocation("Etc/UTC")
					assert.Equal(t, 8.0, hensAt(t, j, change.Add(6*time.Minute)), "asked by the board")
				})
			}
		}
	}
}

// The example: 10 came at 01:40, 2 were binned at 01:50, and 8 are counted at 01:05, after the clock was set back.
func TestTheClockGoesBack(t *testing.T) {
	k := someKitchen(t)
	j := newLogBook(t)
	at := func(hour, minute int) time.Time { return time.Date(2026, 10, 25, hour, minute, 0, 0, time.UTC) }
	for _, e := range []Entry{entry(t, k, at(1, 40), Received, "10 each hen"), entry(t, k, at(1, 50), Binned, "2 each hen, dropped"),
		entry(t, k, at(1, 5), Counted, "8 each hen")} {
		_, err := j.Append(t.Context(), e)
		require.NoError(t, err)
	}
	assert.Equal(t, 8.0, hensAt(t, j, at(1, 5)))
	assert.Equal(t, 8.0, hensAt(t, j, at(9, 0)))
	told, err := j.Clocks(t.Context(), at(1, 5))
	require.NoError(t, err)
	assert.Equal(t, []string{"the clock went back: entries 1, 2 are dated later than what was logged after them, and count before it"}, told)

	// What stands in for the delivery counts where it did, and a time that was typed is meant.
	e := entry(t, k, at(1, 40), Received, "12 each hen")
	e.At, e.Written, e.Corrects = time.Time{}, at(2, 0), 1
	_, err = j.Append(t.Context(), e)
	require.NoError(t, err)
	assert.Equal(t, 8.0, hensAt(t, j, at(9, 0)))
	e = entry(t, k, at(0, 30), Received, "3 each hen")
	e.Written = at(2, 10)
	_, err = j.Append(t.Context(), e)
	require.NoError(t, err)
	assert.Equal(t, 8.0, hensAt(t, j, at(9, 0)), "it came before the count")
}

// A clock that is ahead is told; what is written after it by a right one counts at once, and so does what it wrote before.
func TestAClockThatIsAhead(t *testing.T) {
	k := someKitchen(t)
	j := newLogBook(t)
	_, err := j.Append(t.Context(), entry(t, k, at(0, 17), Received, "10 each hen"))
	require.NoError(t, err)
	assert.Equal(t, 0.0, hensAt(t, j, at(0, 14)))
	told, err := j.Clocks(t.Context(), at(0, 14))
	require.NoError(t, err)
	assert.Equal(t, []string{"entry 1 is dated after now, so it does not count yet: was a clock wrong?"}, told)
	_, err = j.Append(t.Context(), entry(t, k, at(0, 14), Binned, "1 each hen, dropped"))
	require.NoError(t, err)
	assert.Equal(t, 9.0, hensAt(t, j, at(0, 14)))

	// Years ahead, or behind: that says nothing about the entries beside it.
	for _, wrongly := range []time.Time{at(3000, 0), at(-3000, 0)} {
		_, err = j.Append(t.Context(), entry(t, k, wrongly, Temperature, "shoulder broth 4 C"))
		require.NoError(t, err)
		assert.Equal(t, 9.0, hensAt(t, j, at(0, 15)))
	}
	_, err = j.Append(t.Context(), entry(t, k, at(0, 16), Received, "1 each hen"))
	require.NoError(t, err)
	assert.Equal(t, 10.0, hensAt(t, j, at(0, 16)))
}
