package logbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is heated again begins a new log; what a probe reads a little higher on the way down does not, or a limit that is long
// broken would look open.
func TestOnlyHotFoodBeginsALog(t *testing.T) {
	k, j := someKitchen(t), newLogBook(t)
	_, err := j.Append(t.Context(), typed(t, k, `
		0/08 temperature shoulder broth 60 C
		0/10 temperature shoulder broth 30 C
		0/11 temperature shoulder broth 31.5 C
		0/12 temperature shoulder broth 26 C`)...)
	require.NoError(t, err)
	logs, err := j.CoolingLogs(t.Context(), at(0, 13))
	require.NoError(t, err)
	require.Len(t, logs, 1)
	assert.Len(t, logs[0].Readings, 4)
	_, err = j.Append(t.Context(), typed(t, k, "0/14 temperature shoulder broth 80 C")...)
	require.NoError(t, err)
	logs, err = j.CoolingLogs(t.Context(), at(0, 15))
	require.NoError(t, err)
	require.Len(t, logs, 1)
	assert.Len(t, logs[0].Readings, 1)
}
