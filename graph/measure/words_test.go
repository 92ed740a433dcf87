package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What an amount in words reads as can be read.
func TestInFigures(t *testing.T) {
	for written, want := range map[string]string{
		"half a case lemons":       "1/2 case lemons",
		"Half case of lemons":      "1/2 case lemons",
		"a case lemons":            "1 case lemons",
		"one bottle red wine":      "1 bottle red wine",
		"a dozen eggs":             "1 doz eggs",
		"half a dozen eggs":        "1/2 doz eggs",
		"dozen eggs":               "1 doz eggs",
		"an onion":                 "1 each onion",
		"half an onion":            "1/2 each onion",
		"a pinch of salt":          "1 pinch salt",
		"media caja de limones":    "1/2 case limones",
		"media caja limones":       "1/2 case limones",
		"medio limón":              "1/2 each limón",
		"una botella de vino":      "1 bottle vino",
		"un manojo de cilantro":    "1 bunch cilantro",
		"una docena de huevos":     "1 doz huevos",
		"半箱柠檬":                     "1/2 case 柠檬",
		"一瓶 红葡萄酒":                  "1 bottle 红葡萄酒",
		"一只鸡":                      "1 each 鸡",
		"半 打 鸡蛋":                   "1/2 doz 鸡蛋",
		"lemons":                   "",
		"apple":                    "",
		"oneness":                  "",
		"half":                     "",
		"a case":                   "",
		"unsalted butter":          "",
		"dozens of eggs by lorry ": "",
	} {
		got, ok := InFigures(written)
		assert.Equal(t, want, got, written)
		assert.Equal(t, want != "", ok, written)
		if ok {
			_, rest, err := ParsePrefix(got)
			assert.NoError(t, err, written)
			assert.NotEmpty(t, rest, written)
		}
	}
}

// An amount in words is read where it names its unit; without one it is a name, or asks to be written in figures.
func TestAmountsInWords(t *testing.T) {
	for written, want := range map[string]struct{ amount, rest string }{
		"half a case of lemons":      {"½ case", "lemons"},
		"Half case lemons":           {"½ case", "lemons"},
		"a half case of lemons":      {"½ case", "lemons"},
		"half of a case lemons":      {"½ case", "lemons"},
		"a quarter of a case lemons": {"¼ case", "lemons"},
		"a case lemons":              {"1 case", "lemons"},
		"two cases of lemons":        {"2 cases", "lemons"},
		"a dozen eggs":               {"1 doz", "eggs"},
		"half a dozen eggs":          {"½ doz", "eggs"},
		"dozen eggs":                 {"1 doz", "eggs"},
		"a pinch of salt":            {"1 pinch", "salt"},
		"half a cup of oil":          {"½ cup", "oil"},
		"media caja de limones":      {"½ case", "limones"},
		"dos cajas de limones":       {"2 cases", "limones"},
		"una docena de huevos":       {"1 doz", "huevos"},
		"半箱柠檬":                       {"½ case", "柠檬"},
		"half a case":                {"½ case", ""},
		"half and half":              {},
		"half an onion":              {},
		"one pot broth":              {},
		"a la carte":                 {},
		"quarter chicken":            {},
		"caseless":                   {},
	} {
		q, rest, err := ParsePrefix(written)
		if want.amount == "" {
			assert.Error(t, err, written)
			continue
		}
		assert.NoError(t, err, written)
		assert.Equal(t, want.amount, q.String(), written)
		assert.Equal(t, want.rest, rest, written)
	}
}
