package logbook

// The days that decisions are about.

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheDayOfADecision(t *testing.T) {
	k := readKitchen(t, `kitchen: Shop
bought: {pork: {price: 5/kg}}
steps:
  night braise: {starts: "22:30", takes: [10 kg pork], gives: ["6 kg meat, out at 8 h"], batches: {tue: 1, thu: 1}}
dishes: {tacos: {price: 9, takes: [120 g meat], sells: 10}}
`)
	for _, c := range []struct {
		at   string // 2026-11-24 is a Tuesday
		kind Kind
		text string
		want string
	}{
		{"2026-11-24 15:00", Struck, "tacos", "2026-11-24"},
		{"2026-11-24 15:00", Struck, "tacos at tue", "2026-11-24"},
		{"2026-11-24 15:00", Struck, "tacos at mon", "2026-11-30"},
		{"2026-11-24 15:00", Offered, "5 tacos at sat", "2026-11-28"},
		{"2026-11-24 15:00", Struck, "tacos at 2026-12-24", "2026-12-24"},
		{"2026-11-25 03:00", Lost, "night braise", "2026-11-24"},        // is in the pot
		{"2026-11-24 23:00", Lost, "night braise", "2026-11-24"},        // has just begun
		{"2026-11-24 22:00", Lost, "night braise", "2026-11-24"},        // will not be lit
		{"2026-11-26 15:00", Lost, "30% of night braise", "2026-11-26"}, // Wednesday had none
		{"2026-11-26 03:00", Lost, "night braise of tue", "2026-11-24"}, // the nearest
		{"2026-11-26 03:00", Lost, "night braise of fri", "2026-11-27"}, //
		{"2026-11-26 03:00", Lost, "night braise of sun", "2026-11-29"}, //
		{"2026-11-26 03:00", Lost, "night braise of mon", "2026-11-23"}, //
		{"2026-11-26 03:00", Lost, "5% of night braise of 2026-11-10", "2026-11-10"},
	} {
		e, err := Parse(k, c.kind, c.text)
		require.NoError(t, err, c.text)
		if e.At, err = time.Parse(Minutes, c.at); assert.NoError(t, err) {
			assert.Equal(t, c.want, e.On(k).Format(time.DateOnly), "%s %s at %s", c.kind, c.text, c.at)
		}
	}
	e := Entry{Kind: Struck, Day: "no day", At: tuesday} // from a damaged file
	assert.Equal(t, midnight(tuesday), e.On(k))
}
