package kitchen

// Changes of a kitchen file's text.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const amendHead = `kitchen: K
money: USD
bought:
  meat: {price: 5/kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  cook:
    takes: [9 kg meat, 9 L water]
`

const amendTail = `
made:
  it: {density: 1 kg/L}
dishes:
  plate: {price: 9, takes: [100 g it], sells: 4}
`

func TestAmend(t *testing.T) {
	const pound = 453.59237
	for _, c := range []struct {
		name, gives, want string
		amount, spread    float64 // grams
	}{
		{"plain", "    gives: [5.4 kg it]", "    gives: [5 kg it ± 0.25 kg]", 5000, 250},
		{"no spread", "    gives: [5.4 kg it]", "    gives: [5 kg it]", 5000, 0},
		{"spread goes", "    gives: [\"5.4 kg it ± 1 kg, out at 4 h\"]", "    gives: [\"5 kg it, out at 4 h\"]", 5000, 0},
		{"spread in a unit of its own", "    gives: ['5.4 kg it +- 100 g , out at 4 h']",
			"    gives: ['5.123 kg it +- 260 g , out at 4 h']", 5123.4, 256},
		{"fraction and pounds", "    gives:\n      - 10 1/2 lb it   # old scale",
			"    gives:\n      - 11 lb it ± 1 lb # old scale", 11 * pound, pound},
		{"comment keeps its column", "    gives: [5.4 kg it]                  # weighed   # twice",
			"    gives: [5.123 kg it ± 0.25 kg]      # weighed   # twice", 5123, 250},
		{"comment keeps its column when less is written", "    gives: [5.432 kg it ± 1.25 kg] # near\n    # 5.432 kg it",
			"    gives: [5 kg it] # near\n    # 5.432 kg it", 5000, 0},
		{"comment behind quotes", `    gives: ["5.4 kg it, out at 4 h"]                 # weighed`,
			`    gives: ["5 kg it ± 0.25 kg, out at 4 h"]         # weighed`, 5000, 250},
		{"no comment but a name", `    gives: ["5.4 kg it", "1 kg a  #b"]`, `    gives: ["5 kg it", "1 kg a  #b"]`, 5000, 0},
		{"escapes", `    gives: ["5.4 kg \x69t"]`, `    gives: ["5 kg it"]`, 5000, 0},
		{"bunched", "    gives: [5.4kg it]", "    gives: [5kg it ± 0.2 kg]", 5000, 200},
		{"lines end with CR LF", "    gives: [5.4 kg it]\r\n    batches: to order\r",
			"    gives: [5 kg it]\r\n    batches: to order\r", 5000, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			src := []byte(amendHead + c.gives + amendTail)
			k, faults := Read("kitchen.yaml", src)
			require.NoError(t, faults.Err())
			got, err := k.Amend(src, Figure{0, 0, c.amount, c.spread})
			require.NoError(t, err)
			assert.Equal(t, amendHead+c.want+amendTail, string(got))
		})
	}
}

// A byte order mark, and a whole kitchen in one line.
func TestAmendOneLine(t *testing.T) {
	src := "\uFEFF{kitchen: Käse, bought: {meat: {price: 5/kg}}, steps: {cook: {takes: [9 kg meat], gives: [5 kg it]}}, " +
		"dishes: {plate: {price: 9, takes: [100 g it]}}}"
	k, faults := Read("kitchen.yaml", []byte(src))
	require.NoError(t, faults.Err())
	got, err := k.Amend([]byte(src), Figure{0, 0, 6000, 0})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(src, "5 kg it", "6 kg it", 1), string(got))
}

func TestAmendRefuses(t *testing.T) {
	for _, c := range []struct {
		name, gives string
		amount      float64
		spread      float64
		msg         string
	}{
		{"gains weight", "    gives: [5 kg it]", 20000, 0,
			"that change would put a mistake in the kitchen file"},
		{"strays as far as it gives", "    gives: [5 kg it]", 100, 100,
			"that change would put a mistake in the kitchen file"},
		{"over two lines", "    gives: [5 kg\n      it]", 4000, 0,
			"kitchen.yaml:9:13 is written in a way that can't be changed in place"},
	} {
		t.Run(c.name, func(t *testing.T) {
			src := []byte(amendHead + c.gives + amendTail)
			k, faults := Read("kitchen.yaml", src)
			require.NoError(t, faults.Err())
			_, err := k.Amend(src, Figure{0, 0, c.amount, c.spread})
			assert.EqualError(t, err, c.msg)
		})
	}
	src := []byte(amendHead + "    gives: [5 kg it]" + amendTail)
	k, _ := Read("kitchen.yaml", src)
	_, err := k.Amend(append(src, '#'), Figure{0, 0, 4000, 0})
	assert.EqualError(t, err, "kitchen.yaml was changed in the meantime")
}

func FuzzAmend(f *testing.F) {
	for _, gives := range []string{"[5.4 kg it]", `["5.4 kg it ± 1 kg, out at 4 h"]   # c`,
		"\n      - 1/2 lb it\n", `['5 kg it']`,
		"[\"5 kg \\x69t\"]", "[5 kg it\n     ± 1 kg]", "[!!str 5 kg it]", "[5 kg it, 1 kg fat +- 20 g]  # '"} {
		f.Add(gives, 4321.0, 123.0)
	}
	f.Fuzz(func(t *testing.T, gives string, amount, spread float64) {
		src := []byte(amendHead + "    gives: " + gives + amendTail)
		k, _ := Read("kitchen.yaml", src)
		if k == nil || !(amount >= 1 && amount < 1e6) || !(spread >= 0 && spread < 1e6) {
			return
		}
		text, err := k.Amend(src, Figure{0, 0, amount, spread})
		if err != nil {
			return
		}
		after, faults := Read("kitchen.yaml", text)
		require.NoError(t, faults.Err())
		assert.InEpsilon(t, amount, after.Graph.Steps[0].Gives[0].Amount, 1e-3)
	})
}
