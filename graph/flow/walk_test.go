package flow

// Scenarios of the walk, with what should come of them worked out by hand.

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestScenarios(t *testing.T) {
	files, err := filepath.Glob("testdata/scenarios/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			runScripts(t, string(text))
		})
	}
}

// Three portions, however the stock for them is parted between two pots: a portion that the rounding of sums leaves a hair short
// is whole.
func TestAHairShortOfAPortionIsAPortion(t *testing.T) {
	for n := range 30 {
		runScripts(t, fmt.Sprintf(`
# %d of 30
dish soup 5: 0.1 stock or 0.1 broth
open 0 11:30
want soup 4
hand stock %g made -1
hand broth %g made -1
= served soup: 3
`, n, float64(n)/100, 0.3-float64(n)/100))
	}
}
