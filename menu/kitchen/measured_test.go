package kitchen

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/measure"
)

const dipKitchen = `kitchen: Dip
vessels:
  big kettle: {holds: 160 L, inside diameter: 62 cm}
  pan: {holds: 5 L}
bought:
  water: {price: 0/L, density: 1 kg/L}
  pork shoulder: {price: 5.10/kg}
  pork shoulder for stew: {price: 4/kg}
  hen: {price: 9.50/each, each: 1.9 kg}
steps:
  night kettle:
    takes:  [20 kg pork shoulder, 10 each hen, 1 kg pork shoulder for stew, 80 L water]
    gives: [60 L kettle stock, 3 kg kettle fat, 2 kg meat]
made:
  kettle fat: {density: 0.86648 kg/L}
  kettle stock: {density: 1.01 kg/L}
dishes:
  soup: {price: 5, takes: [300 mL kettle stock, 10 g kettle fat, 20 g meat]}
`

func readDipKitchen(t *testing.T) *Kitchen {
	t.Helper()
	k, faults := Read("kitchen.yaml", []byte(dipKitchen))
	require.NoError(t, faults.Err())
	return k
}

// A bone kettle carries 1 1/2 to 2 in (38 to 51 mm) of clear fat at hour 4: common practice, no source. In a kettle of
// 62 cm the area is pi/4 * 62 cm * 62 cm = 3019.07 cm2, so that is 11.50 to 15.34 L. Lard and beef tallow weigh 205 g a
// US cup, 0.86648 kg/L (USDA SR28, NDB 04002 and 04001), so it is 9.97 to 13.29 kg. SR28 rounds a cup to the gram.
func TestDip(t *testing.T) {
	k := readDipKitchen(t)
	for written, want := range map[string]struct{ litres, kilos float64 }{
		"kettle fat 1 1/2 in in big kettle": {11.5026, 9.9668},
		"kettle fat 2 in in big kettle":     {15.3369, 13.2891},
		"kettle fat 38 mm in big kettle":    {11.4725, 9.9407},
		"kettle fat 5.1 cm in big kettle":   {15.3973, 13.3414},
	} {
		m, rest, err := k.ReadMeasured(written, nil)
		require.NoError(t, err, written)
		assert.Empty(t, rest)
		assert.InEpsilon(t, want.kilos*1000, m.Base, 1e-4, written)
		assert.InEpsilon(t, want.litres*1000, m.Base/0.86648, 1e-4, written)
		assert.Equal(t, written, "kettle fat "+m.Typed)
	}
	assert.InEpsilon(t, 70_948, k.Vessels[0].Dip(23.5), 1e-4, "pi/4 * 62^2 * 23.5 cm3")
	assert.Zero(t, k.Vessels[1].Dip(10), "no diameter is known")
}

func TestReadMeasured(t *testing.T) {
	k := readDipKitchen(t)
	ends := regexp.MustCompile(` +(?:for|from) | *,`)
	for _, c := range []struct {
		text, item, typed string
		base              float64
		rest              string
	}{
		{"18.46 lb pork shoulder for 52.31", "pork shoulder", "18.46 lb", 18.46 * 453.59237, "for 52.31"},
		{"2 kg pork shoulder for stew for 8", "pork shoulder for stew", "2 kg", 2000, "for 8"},
		{"3.8 kg hen", "hen", "3.8 kg", 2, ""},
		{"0 L kettle stock", "kettle stock", "0 L", 0, ""},
		{"1 1/2 qt kettle stock , spilt", "kettle stock", "1 1/2 qt", 1.5 * 946.352946, ", spilt"},
		{"kettle stock 235 mm in big kettle, x", "kettle stock", "235 mm in big kettle", 70948.2, ", x"},
	} {
		m, rest, err := k.ReadMeasured(c.text, ends)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.item, k.Graph.Items[m.Item].Name, c.text)
		assert.Equal(t, c.typed, m.Typed)
		assert.InDelta(t, c.base, m.Base, 0.05, c.text)
		assert.Equal(t, c.rest, rest)
	}
}

func TestReadMeasuredFaults(t *testing.T) {
	k := readDipKitchen(t)
	ends := regexp.MustCompile(` +(?:for|from) | *,`)
	const form = "write the amount first: 60 L kettle stock, or a dip: kettle stock 23.5 cm in big kettle"
	for _, c := range []struct{ text, msg, marked, hint string }{
		{"pork shoulder for 3", `"pork shoulder" does not begin with a quantity`, "pork shoulder", form},
		{"half a pork shoulder", `"half a pork shoulder" does not begin with a quantity`, "half a pork shoulder",
			"write the amount first: 1/2 each pork shoulder"},
		{"half a case of pork shoulder", `½ case of "pork shoulder" is a count, but it is counted in kg, which is a weight`, "half a case of",
			`add "each: ... kg" (what one weighs) to "pork shoulder" under "bought"`},
		{"18 lb", `no item after "18 lb"`, "18 lb", "write the item after its quantity: 60 L kettle stock"},
		{"18 lb pork sholder for 52", `unknown item "pork sholder"`, "pork sholder",
			`did you mean "pork shoulder" (kitchen.yaml:7:3)?`},
		{"18 lbb pork shoulder", `unknown unit "lbb"`, "lbb", `did you mean "lb"?`},
		{"2 L pork shoulder", `2 L of "pork shoulder" is a volume, but it is counted in kg, which is a weight`, "2 L",
			`add "density: ... kg/L" to "pork shoulder" under "bought"`},
		{"2 each soup", `"soup" is a dish, which is made when it is served`, "soup", "write what the dish is made of"},
		{"-2 kg hen", `number "-2" has a sign`, "-2", "numbers here are zero or more, without a sign"},
		{"kettle stock 23 cm", `depth "23 cm" does not say in which vessel`, "23 cm", "write it as 23.5 cm in big kettle"},
		{"kettle stok 23 cm in big kettle", `unknown item "kettle stok"`, "kettle stok",
			`did you mean "kettle stock" (kitchen.yaml:13:18)?`},
		{"kettle stock 23 cm in big ketle", `unknown vessel "big ketle"`, "big ketle",
			`did you mean "big kettle" (kitchen.yaml:3:3)?`},
		{"kettle stock 23 cm in pan", `"pan" has no inside diameter`, "pan",
			`add "inside diameter: ... cm" to it under "vessels"`},
		{"kettle stock 60 cm in big kettle", `60 cm in "big kettle" are 181.1 L, and it holds 160 L`, "60 cm in big kettle",
			"measure the depth from the bottom of the layer to its top"},
		{"meat 3 cm in big kettle", `a depth of "meat" is a volume, but it is counted in kg, which is a weight`,
			"3 cm in big kettle", `add "density: ... kg/L" to "meat" under "made"`},
		{"4 kegs kettle stock", `"kegs" is no unit that is known here`, "kegs", `"kettle stock" is counted in L: write how many L that is`},
		{"kettle stock 0 cm in big kettle", `"0 cm" is not a length`, "0 cm", "write it as 55 cm, 550 mm or 22 in"},
	} {
		_, _, err := k.ReadMeasured(c.text, ends)
		require.Error(t, err, c.text)
		e := err.(*measure.Error)
		assert.Equal(t, c.msg, e.Msg)
		assert.Equal(t, c.hint, e.Hint, c.text)
		assert.Equal(t, c.marked, c.text[e.At:e.At+e.Len], c.text)
	}
}
