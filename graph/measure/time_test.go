package measure

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseDuration(t *testing.T) {
	for _, c := range []struct {
		written string
		minutes int
		printed string
	}{
		{"4 h 30 min", 270, "4 h 30 min"}, {"90 min", 90, "1 h 30 min"}, {"1.5 h", 90, "1 h 30 min"}, {"1 h", 60,
			"1 h"},
		{"45min", 45, "45 min"}, {"2 days", 2880, "48 h"}, {"1 day 12 hours", 2160, "36 h"}, {"0 min", 0, "0 min"},
	} {
		m, err := ParseDuration(c.written)
		require.NoError(t, err, c.written)
		assert.Equal(t, c.minutes, m)
		assert.Equal(t, c.printed, FormatDuration(m))
	}
	for written, msg := range map[string]string{
		"": "a duration is missing", "4": `"4" is not a duration`, "h": `"h" is not a duration`,
		"4 h 30":     `"4 h 30" is not a duration`,
		"30 min 4 h": `"30 min 4 h" is not a duration`, "1 h 1 h": `"1 h 1 h" is not a duration`,
		"1 h ":    `"1 h " is not a duration`,
		"0.5 min": `"0.5 min" is not a whole number of minutes`, "400 days": `"400 days" is longer than a year`,
		"99999999999999999999 h": "number is too large", "-1 h": `"-1 h" is not a duration`,
		"2 weeks": `"2 weeks" is not a duration`,
	} {
		_, err := ParseDuration(written)
		if e, ok := err.(*Error); assert.True(t, ok, written) {
			assert.Equal(t, msg, e.Msg)
		}
	}
}

func TestParseClock(t *testing.T) {
	for written, minutes := range map[string]int{"22:30": 1350, "0:00": 0, "09:05": 545, "9:05": 545, "24:30": 1470,
		"30:00": LatestClock} {
		m, err := ParseClock(written)
		require.NoError(t, err, written)
		assert.Equal(t, minutes, m)
	}
	assert.Equal(t, "09:05", FormatClock(545))
	assert.Equal(t, "24:30", FormatClock(1470))
	for _, written := range []string{"", "22", "22.30", "22:60", "30:01", "31:00", "10 pm", "-1:00", "22:30:00", "1:5",
		"٢٢:٣٠"} {
		_, err := ParseClock(written)
		if e, ok := err.(*Error); assert.True(t, ok, written) {
			assert.Equal(t, "write it as 22:30; after midnight goes on to 30:00", e.Hint)
		}
	}
}

// What is printed reads as the same minutes.
func TestPrintedTimesCanBeRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.IntRange(0, longestDuration).Draw(t, "minutes")
		back, err := ParseDuration(FormatDuration(m))
		if err != nil || back != m {
			t.Fatalf("%d min is printed as %q and read as %d, %v", m, FormatDuration(m), back, err)
		}
		m %= LatestClock + 1
		back, err = ParseClock(FormatClock(m))
		if err != nil || back != m {
			t.Fatalf("%d is printed as %q and read as %d, %v", m, FormatClock(m), back, err)
		}
	})
}

func FuzzTimes(f *testing.F) {
	for _, s := range []string{"4 h 30 min", "22:30", "1.5 h", "30:00", "2 days", "0.1 min", "1 h  2 min"} {
		f.Add(s)
	}
	duration := regexp.MustCompile("^(?:" + DurationPattern + ")$")
	f.Fuzz(func(t *testing.T, s string) {
		if m, err := ParseDuration(s); err == nil {
			require.True(t, m >= 0 && m <= longestDuration)
			require.Regexp(t, duration, s)
		}
		if m, err := ParseClock(s); err == nil {
			require.True(t, m >= 0 && m <= LatestClock)
		}
	})
}
