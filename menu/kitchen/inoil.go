package kitchen

// What lies in oil: garlic, herbs and vegetables that are not sour, shut off from the air, in which the toxin of botulism can form.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/language"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// InOilDays is how long what lies in oil is kept in the cold by the strictest of the advice that is published: CDC on oils that are made
// in a kitchen has 4 days (from memory), Health Canada a week, Penn State Extension 10 days.
const InOilDays = 4

// oily is the share by weight of oil in a batch from which what goes in with it is taken to lie in oil: common practice, no source. A
// nut salsa has two thirds, a pan of vegetables in a spoon of oil a twentieth.
const oily = 0.25

// fatDensity, in g/mL, is taken where the file has none for a fat: edible oils have 0.91 to 0.93 at 20 °C, melted lard 0.90 (Codex CXS
// 210-1999 and 211-1999, from memory).
const fatDensity = 0.92

// oilWords and greenWords are words for oil and melted fat, and for garlic, herbs and vegetables that are not sour. They lead to a caution
// only, so that a word may stand here which is not always meant so. Butter is left out: it holds water of its own, and lies in the cold.
var (
	oilWords   = map[string][]string{"en": {"oil", "fat", "lard", "tallow"}, "es": {"aceite", "grasa", "manteca"}, "zh": {"油", "脂"}}
	noOil      = map[string][]string{"en": {"milk", "cream", "cheese", "yogurt", "yoghurt"}, "es": {"leche", "crema", "queso", "yogur"}, "zh": {"酱油", "蚝油", "豉油", "黄油", "奶油", "脱脂", "低脂", "全脂"}}
	greenWords = map[string][]string{
		"en": {"garlic", "shallot", "scallion", "onion", "leek", "chive", "ramp", "ginger", "herb", "basil", "parsley", "cilantro", "coriander", "rosemary", "thyme", "sage",
			"oregano", "marjoram", "mint", "dill", "tarragon", "chervil", "lemongrass", "mushroom", "eggplant", "aubergine", "artichoke", "carrot", "celery", "fennel", "beet",
			"zucchini", "courgette", "asparagus", "bell pepper", "jalapeño", "jalapeno", "serrano", "poblano"},
		"es": {"ajo", "chalota", "chalote", "cebolla", "cebolleta", "cebollín", "puerro", "poro", "jengibre", "hierba", "albahaca", "perejil", "cilantro", "romero", "tomillo", "salvia",
			"orégano", "mejorana", "menta", "hierbabuena", "epazote", "eneldo", "estragón", "champiñón", "champiñones", "hongo", "seta", "berenjena", "alcachofa", "zanahoria", "apio", "hinojo",
			"betabel", "remolacha", "calabacín", "calabacita", "espárrago", "pimiento", "jalapeño", "serrano", "poblano"},
		"zh": {"蒜", "葱", "韭", "姜", "香草", "罗勒", "欧芹", "香菜", "芫荽", "迷迭香", "百里香", "薄荷", "莳萝", "香茅", "菇", "菌", "茄子", "胡萝卜", "芹", "茴香头", "芦笋", "青椒", "甜椒", "彩椒"},
	}
)

// histamineWords are fish in which histamine forms when they warm (scombroid): after the kinds that the FDA's guide to the hazards of fish
// lists, from memory.
var histamineWords = map[string][]string{
	"en": {"tuna", "albacore", "skipjack", "bonito", "mackerel", "mahi", "mahi mahi", "dorado", "sardine", "pilchard", "anchovy", "anchovies", "bluefish", "herring", "amberjack",
		"yellowtail", "kingfish", "wahoo", "marlin", "escolar", "saury", "jack"},
	"es": {"atún", "bonito", "barrilete", "caballa", "macarela", "sierra", "dorado", "lampuga", "sardina", "anchoa", "boquerón", "boquerones", "anjova", "arenque", "jurel", "medregal", "marlin", "marlín", "peto", "palometa"},
	"zh": {"金枪鱼", "吞拿鱼", "鲔鱼", "鲣鱼", "鲭鱼", "青花鱼", "鲐鱼", "马鲛", "鲅鱼", "鲯鳅", "鬼头刀", "沙丁鱼", "凤尾鱼", "鳀鱼", "竹荚鱼", "秋刀鱼", "鲱鱼", "鰤鱼", "旗鱼"},
}

// findHistamine finds fish in which histamine forms, by name or by the kind that its allergen names.
func (k *Kitchen) findHistamine(named func(item int, words, but map[string][]string) bool) {
	k.Histamine = make([]bool, len(k.Graph.Items))
	for i, b := range k.Bought {
		if !k.states(i, "fish") {
			continue
		}
		k.Histamine[i] = named(i, histamineWords, nil) || slices.ContainsFunc(b.Allergens, func(a string) bool {
			_, kind := CodeAndKind(a)
			_, is := wordIn(kind, histamineWords["en"], language.English)
			return is
		})
	}
}

// Warms tells of raw fish in which histamine forms when it warms, so that it must come in cold; what comes in a can need not.
func (k *Kitchen) Warms(item int) bool { return k.Histamine[item] && k.Raw[item] }

// findInOil finds, for each item, what lies in oil in it: by the names of what its steps take, in any language of the file. What is made of
// such an item and is still mostly oil has it too.
func (k *Kitchen) findInOil(named func(item int, words, but map[string][]string) bool) {
	k.InOil = make([][]int, len(k.Graph.Items))
	oil, green := make([]bool, len(k.Graph.Items)), make([]bool, len(k.Graph.Items))
	for i, it := range k.Graph.Items {
		oil[i] = it.Role != graph.Sold && named(i, oilWords, noOil)
		green[i] = it.Role != graph.Sold && !oil[i] && named(i, greenWords, nil)
	}
	k.Fat = oil
	for changed := true; changed; {
		changed = false
		for s, st := range k.Graph.Steps[:len(k.Steps)] {
			in := k.liesInOil(s, oil, green)
			for _, o := range st.Gives {
				for _, i := range in {
					if !slices.Contains(k.InOil[o.Item], i) {
						k.InOil[o.Item] = append(k.InOil[o.Item], i)
						changed = true
					}
				}
			}
		}
	}
	for _, in := range k.InOil {
		slices.Sort(in)
	}
}

// liesInOil is what lies in oil in a batch of a step that takes so much of it; nil for none. A number that the file lacks never hides it:
// without a density, fat is taken for 0.92 g/mL and all else for water; what is counted, and weighs nobody knows what, for nothing beside oil.
func (k *Kitchen) liesInOil(step int, oil, green []bool) (in []int) {
	fat, all, unweighed := 0.0, 0.0, false
	for _, l := range k.Graph.Steps[step].Takes {
		if l.OutAt > 0 {
			continue // it is taken out again
		}
		most, is := 0.0, false
		for _, c := range l.Choices {
			isOil := oil[c.Item] || len(k.InOil[c.Item]) > 0
			it := k.Graph.Items[c.Item]
			bridge := it.Bridge()
			bridge.Density = cmp.Or(it.Density, 1)
			if isOil {
				bridge.Density = cmp.Or(it.Density, fatDensity)
			}
			grams, ok := bridge.Convert(c.Amount, it.Unit.Kind, measure.Weight)
			unweighed = unweighed || isOil && !ok // a pack of oil of which nobody said how much it holds: enough
			most = max(most, grams)
			is = is || isOil
			in = append(in, k.InOil[c.Item]...)
			if green[c.Item] {
				in = append(in, c.Item)
			}
		}
		all += most
		if is {
			fat += most
		}
	}
	if !unweighed && (fat < oily*all || fat == 0) {
		return nil
	}
	return in
}

// fryWords are how the names of steps, vessels and dishes speak of frying.
var fryWords = []string{"fry", "fried", "freí", "frei", "frit", "炸", "煎"}

// confitWords are how they speak of cooking in fat: whoever names no heat for that has fat on the heat all the same.
var confitWords = []string{"confit", "油浸", "油封"}

// HotFat tells whether a step, or a dish as it is ordered, has fat on the heat, by its names in all languages of the file: a caution stands in
// each of them or in none.
func (k *Kitchen) HotFat(step int) bool { return step < len(k.hotFat) && k.hotFat[step] }

// findHotFat finds what has fat on the heat: a step that fries by its name or that of its vessel, or heats what is oil or fat, or gives it; a
// dish that is cooked as it is ordered, and either fries by its name or takes fat.
func (r *reader) findHotFat() {
	k := r.k
	k.hotFat = make([]bool, len(k.Graph.Steps))
	for s, st := range k.Graph.Steps {
		hot := k.Heat[s] == CooksThrough || k.Heat[s] == Reheats
		names, of, at := []string{st.Name}, NamedStep, s
		if dish := s >= len(k.Steps); dish {
			if !hot || len(st.Gives) == 0 {
				continue
			}
			of, at = NamedItem, st.Gives[0].Item
		}
		vessel := -1
		if s < len(k.Steps) {
			vessel = k.Steps[s].Vessel
		}
		if vessel >= 0 {
			names, hot = append(names, k.Vessels[vessel].Name), true
		}
		for _, o := range k.OtherNames {
			if o.Of == of && o.At == at || o.Of == NamedVessel && o.At == vessel {
				names = append(names, o.Name)
			}
		}
		says := func(words []string) bool {
			return slices.ContainsFunc(names, func(name string) bool {
				return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(strings.ToLower(name), w) })
			})
		}
		k.hotFat[s] = says(fryWords) || (hot || says(confitWords)) && (slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return k.Fat[o.Item] }) ||
			slices.ContainsFunc(st.Takes, func(l graph.Line) bool {
				return slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return k.Fat[c.Item] })
			}))
	}
}

// Hot tells whether a step is cooked or heated: in a vessel, or by what the file says of it.
func (k *Kitchen) Hot(step int) bool {
	return k.Steps[step].Vessel >= 0 || k.Cooks(step) || k.Heat[step] == Reheats
}

// OnBurner tells whether a step stands in a pot on the fire, not in an oven.
func (k *Kitchen) OnBurner(step int) bool {
	v := k.Steps[step].Vessel
	return v >= 0 && k.Vessels[v].Burners > 0
}

// OnFire tells whether a step has a fire to be minded: a burner under its pot, or an oven or smoker in which it is cooked or heated. A tub of brine
// has none.
func (k *Kitchen) OnFire(step int) bool {
	return k.OnBurner(step) || k.Steps[step].Vessel >= 0 && (k.Cooks(step) || k.Heat[step] == Reheats)
}

// namedOf tells whether a name of an item holds one of some words of its language.
func (r *reader) namedOf(item int, words, but map[string][]string) bool {
	return slices.ContainsFunc(r.namesOf(item), func(n OtherName) bool {
		base, _ := n.Language.Base()
		_, is := wordIn(n.Name, words[base.String()], n.Language)
		_, isnt := wordIn(n.Name, but[base.String()], n.Language)
		return is && !isnt
	})
}

// wordIn looks for words in a name. Of scripts that set spaces, whole words count, alone and of several; Chinese sets none.
func wordIn(name string, words []string, in language.Tag) (word string, ok bool) {
	base, _ := in.Base()
	lower := strings.ToLower(name)
	whole := strings.Join(strings.FieldsFunc(lower, func(r rune) bool { return !unicode.IsLetter(r) }), " ")
	for _, w := range words {
		if base.String() == "zh" && strings.Contains(lower, w) {
			return w, true
		}
		for rest, more := whole, true; more; _, rest, more = strings.Cut(rest, " ") {
			behind, begins := strings.CutPrefix(rest, w)
			for _, many := range []string{"", "s", "es"} {
				if end, is := strings.CutPrefix(behind, many); begins && is && (end == "" || end[0] == ' ') {
					return w + many, true
				}
			}
		}
	}
	return "", false
}

// oilChain is how many of the days in oil are used up at most when an item is made, each thing on the way lying as long as its "keeps" lets
// it, and the way: what lay longest in oil first. Of what is frozen, the day on which it is frozen counts and no other.
func (k *Kitchen) oilChain(item int, found [][]int, used []int) {
	if found[item] != nil {
		return
	}
	found[item] = []int{item} // and what comes round to itself adds nothing
	for _, s := range k.makers(item) {
		for _, line := range k.Graph.Steps[s].Takes {
			for _, c := range line.Choices {
				if len(k.InOil[c.Item]) == 0 || line.OutAt > 0 || k.Graph.Items[c.Item].Role != graph.Made {
					continue
				}
				k.oilChain(c.Item, found, used)
				lies := 0
				switch keeps := k.Terms.Keeps[c.Item]; {
				case k.Frozen[c.Item]:
					lies = 1
				case keeps > 0:
					lies = min(keeps, max(InOilDays-used[c.Item], 1)) - 1
				}
				if line.Carried {
					lies = max(lies, 1)
				}
				if days := min(used[c.Item]+lies, InOilDays); days > used[item] {
					used[item], found[item] = days, append(slices.Clone(found[c.Item]), item)
				}
			}
		}
	}
}

// checkOilChains warns of what may have used up its days in oil, by what it is made of, before its own keeping ends.
func (r *reader) checkOilChains() {
	k := r.k
	found, used := make([][]int, len(k.Graph.Items)), make([]int, len(k.Graph.Items))
	for i, in := range k.InOil {
		if len(in) == 0 || k.Graph.Items[i].Role != graph.Made {
			continue
		}
		k.oilChain(i, found, used)
		left := InOilDays - used[i]
		if r.keepsAt[i] == nil || k.Frozen[i] || used[i] == 0 || k.Terms.Keeps[i] <= left {
			continue
		}
		d := r.warn(r.span(r.keepsAt[i]), "kept-in-oil", fmt.Sprintf("write %s, or let what it is made of keep less; more days are for your local authority to judge", atMostDays(left)),
			"%q keeps %d days, but what it is made of may have used up %d of %d days in oil when it is made: %s", k.Graph.Items[i].Name, k.Terms.Keeps[i], used[i], InOilDays,
			r.path(found[i]))
		for _, from := range found[i][:len(found[i])-1] {
			if n := r.keepsAt[from]; n != nil {
				d.note(r.span(n).Pos, "%q keeps %s", k.Graph.Items[from].Name, n.Value)
			}
		}
	}
}

// limitInOil lets what is kept in oil last [InOilDays] and no longer, and warns where the file has more: whatever asks until when it may be
// used has this one answer. What is frozen is not bound. "date mark: no" does not lift it: the caution stands on the label all the same.
func (r *reader) limitInOil() {
	for i, in := range r.k.InOil {
		keeps := r.k.Terms.Keeps[i]
		if len(in) == 0 || r.k.Frozen[i] || r.madeToOrder(i) || keeps > 0 && keeps <= InOilDays {
			continue
		}
		r.k.Terms.Keeps[i] = InOilDays
		if keeps == 0 {
			continue // nothing is written that it goes against
		}
		names := make([]string, len(in))
		for n, g := range in {
			names[n] = r.items[g].Name
		}
		name := r.items[i].Name
		r.warn(span{r.k.ItemPos[i], utf8.RuneCountInString(name)}, "kept-in-oil",
			"write \"keeps: 4 days\" or \"frozen: yes\"; more days are for your local authority to judge",
			"%q keeps %d days with %s in oil: botulism can grow there without a sign, published advice is %d days in the cold at most, and every date goes by that", name, keeps, strings.Join(names, ", "), InOilDays)
	}
}
