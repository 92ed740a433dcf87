package board

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What stands in the fields of At the counter is what is asked, and what is wrong is said beside it.
func TestOfferRows(t *testing.T) {
	for text, want := range map[string]offerRow{
		"pork shoulder=4.80/kg, pieces of 7.0 7.4 kg": {Item: "pork shoulder", Price: "4.80/kg", There: "pieces of 7.0 7.4 kg"},
		"stewing hen=9, 40":                           {Item: "stewing hen", Price: "9", There: "40"},
		"corn=42 for 10 kg":                           {Item: "corn", Price: "42 for 10 kg"},
		"lime=+20%":                                   {Item: "lime", Price: "+20%"},
		"lime":                                        {Item: "lime"},
	} {
		assert.Equal(t, want, offerOf(text), text)
	}
	for want, r := range map[string]offerRow{
		"pork shoulder=4.80/kg, pieces of 7.0 7.4 kg": {Item: "pork shoulder", Unit: "kg", Price: "4.80", There: "pieces of 7.0 7.4 kg"},
		"stewing hen=9/each, 40 each":                 {Item: "stewing hen", Unit: "each", Price: "9", There: "40"},
		"corn=42 for 10 kg":                           {Item: "corn", Unit: "kg", Price: "42 for 10 kg"},
		"lime=+20%":                                   {Item: "lime", Unit: "each", Price: "+20%"},
		"lime=":                                       {Item: "lime", Unit: "each"},
	} {
		assert.Equal(t, want, r.text())
	}
	k := openBoard(t, "three-kettles").board.watch.state().kitchen // which has its onions by the pound
	for text, want := range map[string]string{
		"white onion=0.60/kg, 40 kg": "white onion=0.60/kg, 40 kg",
		"white onion=0.60/lb, 40 kg": "white onion=0.60/lb, 40 kg",
		"white onion=0.60, 40 kg":    "white onion=0.60/lb, 40 kg",
	} {
		assert.Equal(t, want, offerOf(text).in(k).text())
	}
}

// Who types a price on a number pad with a comma means a point; what can be read in two ways is left to be refused.
func TestNumberPadsWithAComma(t *testing.T) {
	for text, want := range map[string]string{"8,20": "8.20", "60,5": "60.5", "1,000": "1,000", "8.20": "8.20", "12": "12", "1.234,5": "1234.5"} {
		assert.Equal(t, want, comma(text))
	}
}
