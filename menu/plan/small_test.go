package plan

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// TestSmallKitchensAreSearchedToTheEnd plans small kitchens that were drawn at random, on which the search once came to no end
// within ten times the work that it is given here: batches that cost nothing were split in all ways, and no cut saw that portions
// of some days together are whole. The file's name ends with the days.
func TestSmallKitchensAreSearchedToTheEnd(t *testing.T) {
	files, err := filepath.Glob("testdata/small/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := strings.TrimSuffix(file, ".yaml")
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		onHand, err := os.ReadFile(name + ".csv")
		require.NoError(t, err)
		days, err := strconv.Atoi(name[strings.LastIndex(name, "-")+1:])
		require.NoError(t, err)
		p, err := Make(t.Context(), weektest.Stocked(t, string(src), string(onHand), week.Period{From: weektest.Monday, Days: days}), Options{iterations: 12000})
		require.NoError(t, err)
		require.True(t, p.Proven(), file)
		require.Empty(t, p.Parted, file)
	}
}
