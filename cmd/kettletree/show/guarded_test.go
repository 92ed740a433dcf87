package show

// Lists for other programs run nothing there.

import (
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// A supplier that is a formula, and figures below nothing: the first is text to whoever opens the list, the second numbers.
func TestSheetsAreNoFormulas(t *testing.T) {
	text, err := LogSheet([]logbook.Line{{Entry: 7, Kind: logbook.Received, At: "2026-11-24 15:00:00", Text: `2 kg salt from =cmd|' /C calc'!A0`,
		Supplier: "=cmd|' /C calc'!A0", Mark: "-A7", Reason: "@x", Celsius: new(-18.0), Gives: []logbook.Part{{Item: "+salt", Amount: 2000, Unit: "g"}}}}).CSV()
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	says := map[string]string{}
	for n, column := range rows[0] {
		assert.Equal(t, column, kitchen.Guarded(column))
		says[column] = rows[1][n]
		assert.NotRegexp(t, `^[=@\t\r]|^[+-][^0-9]`, rows[1][n])
	}
	assert.Equal(t, "'=cmd|' /C calc'!A0", says["supplier"])
	assert.Equal(t, "'-A7", says["lot"])
	assert.Equal(t, "'+salt", says["item"])
	assert.Equal(t, "-18", says["celsius"])
	assert.Equal(t, "2000", says["amount"])
	assert.Equal(t, "=cmd|' /C calc'!A0", kitchen.Unguarded(says["supplier"]))
}
