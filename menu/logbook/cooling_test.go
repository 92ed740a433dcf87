package logbook

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
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
	logs, err := j.CoolingLogs(t.Context(), k, at(0, 13))
	require.NoError(t, err)
	require.Len(t, logs, 1)
	assert.Len(t, logs[0].Readings, 4)
	_, err = j.Append(t.Context(), typed(t, k, "0/14 temperature shoulder broth 80 C")...)
	require.NoError(t, err)
	logs, err = j.CoolingLogs(t.Context(), k, at(0, 15))
	require.NoError(t, err)
	require.Len(t, logs, 1)
	assert.Len(t, logs[0].Readings, 1)
}

// A lot that came off the heat is in the cooling log from then on, read or not, until it is read or gone; what is read without its lot is of
// the lot that came out last.
func TestWhatCameOffTheHeatCools(t *testing.T) {
	src := strings.Replace(braiseShop, "\nsteps:", "\nsteps:\n  boil beans: {takes: [2 kg beans], gives: [2 kg bean pot], cooks through: yes, batches: {tue: 2}}", 1)
	src = strings.Replace(src, "\nmade:", "\nmade:\n  bean pot: {keeps: 3 days}", 1)
	src = strings.Replace(src, "\nbought:", "\nbought:\n  beans: {price: 2/kg}", 1)
	k, faults := kitchen.Read("kitchen.yaml", []byte(src))
	require.NoError(t, faults.Err())
	j := newLogBook(t)
	write := func(lines string) {
		_, err := j.Append(t.Context(), typed(t, k, lines)...)
		require.NoError(t, err)
	}
	logs := func(day, hour int) (said []string) {
		list, err := j.CoolingLogs(t.Context(), k, at(day, hour))
		require.NoError(t, err)
		for _, l := range list {
			said = append(said, fmt.Sprintf("%s out %s, %d readings, gone %t", l.Item, l.Out.Format("15:04"), len(l.Readings), l.Gone))
		}
		return said
	}
	write("0/06 counted 40 kg beans")
	write("0/08 cooked boil beans: 2 kg beans gives 2 kg bean pot lot B1")
	write("0/10 cooked boil beans: 2 kg beans gives 2 kg bean pot lot B2")
	assert.Equal(t, []string{"bean pot lot B1 out 08:00, 0 readings, gone false"}, logs(0, 9))
	write("0/11 temperature bean pot 40 C")
	both := []string{"bean pot lot B1 out 08:00, 0 readings, gone false", "bean pot lot B2 out 10:00, 1 readings, gone false"}
	assert.Equal(t, both, logs(0, 12))
	assert.Equal(t, both, logs(1, 12), "a day later, and nobody has read them")
	write("1/12 binned 2 kg bean pot lot B1")
	assert.Equal(t, []string{"bean pot lot B2 out 10:00, 1 readings, gone false"}, logs(1, 13))
	write("1/13 temperature bean pot lot B2 4 C")
	assert.Equal(t, []string{"bean pot lot B2 out 10:00, 2 readings, gone false"}, logs(1, 14))
	assert.Empty(t, logs(2, 14), "it was read, and that is a day ago")
}
