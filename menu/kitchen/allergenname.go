package kitchen

// Allergens in names: the words by which an item may give itself away.

import (
	"slices"

	"golang.org/x/text/language"
)

// nameWords are words for the entries of the published lists, in the languages that a file may be in: the codes, and what is
// made of nothing else. They only lead to a question, so that a word which means other things too may stand here. The words are
// our own; an entry that is not here is looked for by its own name.
var nameWords = map[string]map[string][]string{
	"milk": {"en": {"milk", "cream", "butter", "cheese", "yogurt", "yoghurt", "whey", "ghee", "parmesan", "ricotta", "feta", "custard"}, "es": {"leche", "crema", "nata", "mantequilla", "queso", "yogur", "suero"}, "zh": {"奶", "乳", "黄油", "芝士"}},
	"egg":  {"en": {"egg", "mayonnaise", "meringue"}, "es": {"huevo", "mayonesa"}, "zh": {"蛋"}},
	"fish": {"en": {"fish", "anchovy", "anchovies", "cod", "haddock", "salmon", "tuna", "trout", "worcestershire"}, "es": {"salsa inglesa", "pescado", "anchoa", "bacalao", "atún", "salmón"}, "zh": {"鱼"}},
	"crustaceans": {"en": {"crustacean", "crab", "lobster", "shrimp", "prawn", "crayfish"}, "es": {"crustáceo", "cangrejo", "jaiba", "langosta", "bogavante", "camarón", "camarones", "gamba", "langostino"},
		"zh": {"虾", "蟹"}},
	"nuts": {"en": {"nut", "almond", "hazelnut", "walnut", "cashew", "pecan", "pistachio", "macadamia", "praline", "marzipan"},
		"es": {"nuez", "nueces", "almendra", "avellana", "anacardo", "marañón", "pacana", "pistacho", "macadamia"}, "zh": {"坚果", "杏仁", "扁桃仁", "榛", "核桃", "腰果", "开心果", "夏威夷果", "碧根果"}},
	"wheat":     {"en": {"wheat", "flour", "bread", "semolina", "spelt", "couscous", "bulgur", "noodle", "pasta"}, "es": {"trigo", "harina", "pan", "sémola", "espelta", "cuscús", "fideo"}, "zh": {"小麦", "面粉", "面包"}},
	"gluten":    {"en": {"gluten", "wheat", "flour", "bread", "rye", "barley", "malt", "oat", "spelt", "semolina"}, "es": {"gluten", "trigo", "harina", "pan", "centeno", "cebada", "malta", "avena", "espelta"}, "zh": {"麸", "麦", "面粉", "面包"}},
	"peanuts":   {"en": {"peanut", "groundnut"}, "es": {"cacahuate", "cacahuete", "maní"}, "zh": {"花生"}},
	"soybeans":  {"en": {"soy", "soya", "soybean", "tofu", "miso", "edamame", "tamari"}, "es": {"soja", "soya", "tofu", "miso"}, "zh": {"大豆", "黄豆", "酱油", "豆腐", "豆干", "味噌"}},
	"sesame":    {"en": {"sesame", "tahini", "halva"}, "es": {"sésamo", "ajonjolí", "tahini"}, "zh": {"芝麻"}},
	"celery":    {"en": {"celery", "celeriac"}, "es": {"apio"}, "zh": {"芹"}},
	"mustard":   {"en": {"mustard"}, "es": {"mostaza"}, "zh": {"芥"}},
	"sulphites": {"en": {"sulphite", "sulfite", "wine"}, "es": {"sulfito", "vino"}, "zh": {"亚硫酸", "葡萄酒"}},
	"lupin":     {"en": {"lupin"}, "es": {"altramuz", "lupino"}, "zh": {"羽扇豆"}},
	"molluscs":  {"en": {"mollusc", "mollusk", "mussel", "clam", "oyster", "scallop", "squid", "octopus", "calamari"}, "es": {"molusco", "mejillón", "mejillones", "almeja", "ostra", "ostión", "calamar", "pulpo", "vieira", "callo de hacha"}, "zh": {"贝", "蚝", "鱿鱼", "章鱼"}},
}

// gaveAway looks for words for an entry of a list in a name.
func gaveAway(name string, c AllergenCode, in language.Tag) (word string, ok bool) {
	base, _ := in.Base()
	entry := nameWords[c.Name]
	if entry == nil {
		entry = nameWords[c.Same]
	}
	return wordIn(name, slices.Concat(entry[base.String()], c.Kinds, []string{c.Name}), in)
}
