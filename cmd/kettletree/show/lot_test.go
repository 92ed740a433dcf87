package show

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/logbook"
)

// What a record of a receipt must hold by 21 CFR 1.1345 (FSMA 204), as listed at
// pennstatefoodsafety.blogspot.com/2023/06: each has a column. (The lot code's source is who supplied
// it: a kitchen gives no codes to what it receives.)
func TestLotSheetHoldsARecord(t *testing.T) {
	s := LotSheet(&logbook.LotTrace{Moves: []logbook.TracedMove{{Direction: "into", ToLot: "A17", Item: "pork shoulder",
		Amount: 10, Unit: "kg", At: "2026-11-24 06:00:00", Entry: 1, Kind: logbook.Received, WentTo: "on hand", Who: "butcher",
		Where: "Braise Shop", Document: "note.csv", Text: "10 kg pork shoulder from butcher lot A17"}}})
	require.Len(t, s, 2)
	for datum, c := range map[string]struct{ column, want string }{
		"lot code":                  {"to-lot", "A17"},
		"quantity":                  {"amount", "10"},
		"unit of measure":           {"unit", "kg"},
		"product description":       {"item", "pork shoulder"},
		"immediate previous source": {"who", "butcher"},
		"where received":            {"where", "Braise Shop"},
		"date received":             {"when", "2026-11-24 06:00:00"},
		"document":                  {"document", "note.csv"},
		"document number":           {"entry", "1"},
	} {
		at := slices.Index(s[0], c.column)
		require.GreaterOrEqual(t, at, 0, datum)
		assert.Equal(t, c.want, s[1][at], datum)
	}
}

func TestALongLotTraceIsCut(t *testing.T) {
	a := &logbook.LotTrace{AsOf: "2026-11-24 06:00:00", Cut: true}
	for range mostRows + 3 {
		a.Sales = append(a.Sales, logbook.TracedSale{At: "2026-11-24 06:00:00", Dish: "soup", Portions: 1, How: "contains"})
	}
	text := Lot(Page{Width: 80}, a)
	assert.Contains(t, text, "The trees go on; --csv lists all 0 movements.")
	assert.Contains(t, text, "And 3 more; --json and --csv list them.")
}
