package kitchen

// What the published lists leave out. A file states allergens for all its lists at once, so that nothing stated is ever dropped by an
// exception: they stand where a name is asked about, for whoever reads the package.

import (
	"slices"
	"strings"
)

// AllergenExcept is food that a list does not count, though it is made of what stands in it.
type AllergenExcept struct {
	Code  string   // the entry that it is left out of; "" for any
	Says  string   // what is left out
	Words []string // by one of which a name may give it away, in the languages that a file may be in
}

// usExcept are those of 21 U.S.C. 321(qq)(2), from memory. What the FDA has exempted by petition is not here.
var usExcept = []AllergenExcept{
	{"", "highly refined oil, and what is made of it", []string{"oil", "aceite", "油"}},
}

// euExcept are those of Annex II as simply-docs.co.uk prints its text; that of nuts from memory.
var euExcept = []AllergenExcept{
	{"gluten", "glucose syrup of wheat or barley, dextrose and maltodextrin of wheat, and cereals for distillates",
		[]string{"glucose", "dextrose", "maltodextrin", "glucosa", "dextrosa", "maltodextrina", "葡萄糖", "麦芽糊精"}},
	{"fish", "fish gelatine that carries vitamins, and fish gelatine or isinglass that fines beer and wine",
		[]string{"gelatine", "gelatin", "isinglass", "gelatina", "ictiocola", "明胶", "鱼胶"}},
	{"soybeans", "fully refined soybean oil and fat, and tocopherols, phytosterols and stanol ester of soybeans",
		[]string{"oil", "fat", "tocopherol", "phytosterol", "stanol", "aceite", "grasa", "油"}},
	{"milk", "whey for distillates, and lactitol", []string{"whey", "lactitol", "suero", "乳清"}},
	{"nuts", "nuts for distillates", []string{"distillate", "spirit", "destilado", "蒸馏"}},
}

// exceptions say what the kitchen's lists leave out of some entries, where a name may be of it: "" for nothing.
func (k *Kitchen) exceptions(name string, codes []string) string {
	var texts []string
	lower := strings.ToLower(name)
	for _, l := range k.Lists {
		for _, x := range l.Except {
			entry := x.Code == "" || slices.ContainsFunc(l.Codes, func(c AllergenCode) bool {
				return c.Name == x.Code && slices.ContainsFunc(codes, func(code string) bool { return c.Name == code || c.Same != "" && c.Same == code })
			})
			if entry && slices.ContainsFunc(x.Words, func(w string) bool { return holdsWord(lower, w) }) {
				texts = append(texts, l.Title+" ("+l.Source+") leave out "+x.Says)
			}
		}
	}
	if texts == nil {
		return ""
	}
	for _, l := range k.Lists {
		if !slices.ContainsFunc(texts, func(t string) bool { return strings.HasPrefix(t, l.Title) }) {
			texts = append(texts, l.Title+" do not")
		}
	}
	return strings.Join(texts, "; ") + ": [] only where the package says that it is so, by every list that you go by"
}

// holdsWord tells whether a name in lower case has a word, or an ending of one in a script without spaces.
func holdsWord(name, word string) bool {
	if word[0] >= 0x80 {
		return strings.Contains(name, word)
	}
	return slices.ContainsFunc(strings.FieldsFunc(name, func(r rune) bool { return r == ' ' || r == '-' || r == ',' }),
		func(w string) bool { return w == word || w == word+"s" })
}
