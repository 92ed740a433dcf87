package kitchen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What thumbs type of a line, and what then stands in the file: a name right behind its number is so many pieces. A slip in a unit is none.
func TestInPieces(t *testing.T) {
	known := func(name string) bool { return name == "bread roll" || name == "bun" || name == "cake" }
	for typed, want := range map[string]string{
		"1 bread roll":             "1 each bread roll", // two letters from "head"
		"1 blini":                  "1 each blini",
		"2 bun or 1 1/2 cake":      "2 each bun or 1 1/2 each cake", // one letter from "case"; it is known
		"3 quail egg, optional":    "3 each quail egg, optional",
		"½ lemon":                  "½ each lemon",
		"either 1 bun or 1 blini":  "either 1 each bun or 1 each blini",
		"20 kg beef":               "20 kg beef",
		"1 bunch parsley":          "1 bunch parsley",
		"2 bunchs parsley":         "2 bunchs parsley", // a slip in a unit
		"1 bap":                    "1 bap",            // one letter from "bag"; nobody knows it
		"5 killo beef":             "5 killo beef",
		"60 L":                     "60 L",
		"2":                        "2",
		"2 T lard":                 "2 T lard", // tsp or tbsp
		"something":                "something",
		"1 pint glass, in at noon": "1 pint glass, in at noon",
	} {
		assert.Equal(t, want, inPieces(typed, plated, known))
	}
}

// The same in each way to type a line: the form of a dish, a new one, a drawn line, an answer, and the starter's questions.
func TestPiecesAreTakenWhereverTheyAreTyped(t *testing.T) {
	const src = `bought: {bread roll: {price: 0.45/each}, ham: {price: 9/kg}, parsley: {}}
dishes:
  plate: {price: 6, takes: [80 g ham]}
`
	change := func(e Edit) string {
		text, err := Change("kitchen.yaml", []byte(src), e)
		require.NoError(t, err, e.Says)
		return string(text)
	}
	assert.Contains(t, change(Fill(InDishes, "plate", "takes", "80 g ham\n1 bread roll")), "takes: [80 g ham, 1 each bread roll]")
	assert.Contains(t, change(Enter(InDishes, "roll", map[string]string{"price": "4", "takes": "1 bread roll\n30 g ham"})), "takes: [1 each bread roll, 30 g ham]")
	for _, amount := range []string{"1 bread roll", "1 Bread roll", "1", "1 each", "1 each bread roll"} {
		assert.Contains(t, change(Draw(InDishes, "plate", "takes", "bread roll", amount)), "takes: [80 g ham, 1 each bread roll]", amount)
	}
	assert.Contains(t, change(Draw(InDishes, "plate", "takes", "ham", "90 g ham")), "takes: [90 g ham]")
	assert.Contains(t, change(SetLine(InDishes, "plate", "takes", 0, "1 bread roll")), "takes: [1 each bread roll]")
	for amount, says := range map[string]string{"20": `"20" is no amount`, "2 ham": ""} { // by weight
		_, err := Change("kitchen.yaml", []byte(src), Draw(InDishes, "plate", "takes", "ham", amount))
		assert.ErrorContains(t, err, says, amount)
	}
	_, err := Change("kitchen.yaml", []byte(src), Fill(InDishes, "plate", "takes", "80 g ham\n2 bunchs parsley"))
	assert.Error(t, err, "a slip in a unit")

	s := Starter{In: []StartIn{{What: "10 hens"}, {What: "20 L water"}}, Out: []StartOut{{What: "18 L stock", At: "4"}}, Sold: []StartDish{{Name: "cup", Takes: "200 mL stock, 1 bread roll"}}}
	text, err := s.Text("today")
	require.NoError(t, err)
	assert.Contains(t, string(text), "10 each hens")
	assert.Contains(t, string(text), "1 each bread roll")
	s.Sold[0].Takes = "200 mL stock, 2 bunchs parsley"
	_, err = s.Text("today")
	assert.ErrorContains(t, err, "bunchs")
	s.Sold[0].Takes = "200 mL stock, 1 bap"
	_, err = s.Text("today")
	wrong := err.(*StarterError)
	assert.Equal(t, `unknown unit "bap": did you mean "bag"? To count them, write "1 each bap"`, wrong.Msg+": "+wrong.Hint)
}
