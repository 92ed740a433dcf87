package kitchen

// What several of an item are called: as the file says, else by the rules of English or Spanish.

import (
	"strings"

	"golang.org/x/text/language"

	"kettletree/graph/measure"
)

// sameInNumber are last words of names whose plural is the word itself.
var sameInNumber = map[string]bool{"fish": true, "shrimp": true, "squid": true, "cod": true, "trout": true, "salmon": true, "bass": true,
	"deer": true, "quail": true, "bison": true, "asparagus": true, "broccoli": true, "bok choy": true}

// irregular are plurals that no rule gives.
var irregular = map[string]string{"loaf": "loaves", "leaf": "leaves", "half": "halves", "calf": "calves", "knife": "knives", "goose": "geese",
	"foot": "feet", "feet": "feet", "tooth": "teeth", "tomato": "tomatoes", "potato": "potatoes", "mango": "mangoes", "mouse": "mice", "ox": "oxen"}

// plural is what several things of an English name are called: its last word in the plural, or the word before "of".
func plural(name string) string {
	if head, rest, found := strings.Cut(name, " of "); found {
		return plural(head) + " of " + rest
	}
	at := strings.LastIndex(name, " ") + 1
	word := name[at:]
	low := strings.ToLower(word)
	ends := func(endings ...string) bool {
		for _, e := range endings {
			if strings.HasSuffix(low, e) {
				return true
			}
		}
		return false
	}
	switch {
	case irregular[low] != "":
		return name[:at] + irregular[low]
	case sameInNumber[low], low == "", !('a' <= low[len(low)-1] && low[len(low)-1] <= 'z'):
		return name
	case ends("ss", "x", "z", "ch", "sh", "us"):
		return name + "es"
	case ends("s"): // it is written in the plural
		return name
	case ends("y") && !ends("ay", "ey", "iy", "oy", "uy"):
		return name[:len(name)-1] + "ies"
	}
	return name + "s"
}

// pluralIn is what several things of a name are called in a language; where no rule is known, that is the name.
func pluralIn(in language.Tag, name string) string {
	switch {
	case InLanguage(in, language.English):
		return plural(name)
	case InLanguage(in, language.Spanish):
		return pluralSpanish(name)
	}
	return name
}

// manyOf sets what several of each counted item are called, where the file does not say, by the rules of its language.
func (r *reader) manyOf() {
	for i := range r.items {
		switch it := &r.items[i]; {
		case it.Many != "":
		case it.Unit.Kind == measure.Count, it.Each > 0:
			it.Many = pluralIn(r.k.Language, it.Name)
		default:
			it.Many = it.Name
		}
	}
}

// Counted is an amount of an item, in base units, with its name: "14 stewing hens", "12 kg pork trotters". What is weighed or poured is
// told as a scale shows it.
func (k *Kitchen) Counted(item int, base float64) string {
	it, q := k.Graph.Items[item], k.Quantity(item, base)
	if q.Unit == measure.Each {
		return PiecesOf(q.Amount, it.Name, it.Many)
	}
	if q.Unit.Kind != measure.Count {
		q = q.Handy().OnScale()
	}
	return CountedAs(q, it.Name, it.Many)
}

// PiecesOf is how many of something there are, with its name: "14 stewing hens", "½ lemon".
func PiecesOf(x float64, name, many string) string {
	figure := measure.FormatPieces(x)
	if x > 1 && figure != "1" && many != "" {
		name = many
	}
	return figure + " " + name
}

// Exactly is [Kitchen.Counted] with the figures that a derivation counts with.
func (k *Kitchen) Exactly(item int, base float64) string {
	it := k.Graph.Items[item]
	return CountedAs(k.Quantity(item, base).Derived(), it.Name, it.Many)
}

// CountedAs is a quantity of something with its name, which is many's for all but one.
func CountedAs(q measure.Quantity, name, many string) string {
	if q.Unit != measure.Each {
		return q.String() + " " + name
	}
	number := measure.FormatNumber(q.Amount)
	if number != "1" {
		name = many
	}
	return number + " " + name
}
