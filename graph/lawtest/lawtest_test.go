package lawtest

import (
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// tried is how often rapid tries a law.
func tried(t *testing.T) (n int) {
	t.Helper()
	rapid.Check(t, func(*rapid.T) { n++ })
	return n
}

// A law is tried few times where nobody says how often, and as often as before when the test is over; who says how often has it so.
func TestFew(t *testing.T) {
	before := tried(t)
	said := false
	flag.Visit(func(f *flag.Flag) { said = said || f.Name == "rapid.checks" })
	for _, c := range []struct {
		name, variable string
		want           int
	}{
		{"nobody says", "", 10},
		{"the environment says", "100", before},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Setenv("RAPID_CHECKS", c.variable) // puts it back at the end
			if c.variable == "" {
				require.NoError(t, os.Unsetenv("RAPID_CHECKS"))
			}
			want := c.want
			switch {
			case said:
				want = before
			case testing.Short() && c.variable == "":
				want /= 5 // as rapid does
			}
			Few(t, 10)
			assert.Equal(t, want, tried(t))
		})
		assert.Equal(t, before, tried(t))
	}
}
