package kitchen

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseDays(t *testing.T) {
	for written, want := range map[string]string{
		"tue-sun": "tue wed thu fri sat sun", "tue fri": "tue fri", "fri-mon": "mon fri sat sun",
		"daily": "mon tue wed thu fri sat sun",
		"mon":   "mon", "sun-sat": "mon tue wed thu fri sat sun", "mon-tue sat": "mon tue sat", "fri fri": "fri",
		"Tue-Sun": "tue wed thu fri sat sun", "FRI": "fri", "Daily": "mon tue wed thu fri sat sun",
	} {
		d, err := parseDays(written)
		require.NoError(t, err, written)
		assert.Equal(t, want, d.String())
		assert.Regexp(t, regexp.MustCompile(entire(daysPattern)), written)
	}
	for _, written := range []string{"", "Tues", "tuesday", "tue-", "-tue", "tue,fri", "tue to fri", "daily fri",
		"weekend", "tue--fri"} {
		_, err := parseDays(written)
		assert.Error(t, err, written)
		assert.NotRegexp(t, regexp.MustCompile(entire(daysPattern)), written)
	}
}

// A set of days that is printed reads as the same set.
func TestPrintedDaysCanBeRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var d Days
		for i := range d {
			d[i] = rapid.Bool().Draw(t, Weekdays[i])
		}
		if d == (Days{}) {
			return
		}
		back, err := parseDays(d.String())
		if err != nil || back != d {
			t.Fatalf("%s reads as %s, %v", d, back, err)
		}
	})
}
