package ask

import (
	"cmp"
	"slices"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// AllergenSheet is what allergens each dish has, and by which way.
type AllergenSheet struct {
	Lists    []string            `json:"lists"` // whose codes are written: "us", "eu", "own"
	Dishes   []DishAllergens     `json:"dishes"`
	Raw      []kitchen.RawServed `json:"served_raw"`         // dishes with something raw in them when they are served, as far as the file says
	Advisory string              `json:"advisory,omitempty"` // section of the food code that asks for an advisory with them
	Caution  string              `json:"caution"`
}

// DishAllergens are the allergens of one dish: all that the file states of anything that it may be made of.
type DishAllergens struct {
	Name      string        `json:"name"`
	Special   bool          `json:"special"`
	Allergens []AllergenWay `json:"allergens"`   // that it has, in the order of the bought items of the file
	May       []AllergenWay `json:"may_contain"` // that it may contain, and does not always have; the ways begin at a package, or at a step that shares something with other food
	Unstated  []Way         `json:"unstated"`    // from bought items behind it of which the file states nothing: unknown, not none
}

// AllergenWay is an allergen of a dish, with the bought items that bring it.
type AllergenWay struct {
	Allergen string   `json:"allergen"`
	Lists    []string `json:"lists"`  // that have it
	Always   bool     `json:"always"` // a first choice brings it, or the chance of it; else only a substitute does, or what may be left out
	Ways     []Way    `json:"ways"`
}

// Way is how a bought item gets into a dish.
type Way struct {
	Path []string `json:"path"` // from the bought item over what is made of it to the dish
	Only string   `json:"only"` // "" when the first choices lead there; else "substitute" or "optional"
}

// Allergens are the allergens of every dish and special.
func Allergens(k *kitchen.Kitchen) *AllergenSheet {
	a := &AllergenSheet{Lists: []string{}, Dishes: []DishAllergens{}, Caution: kitchen.AllergenCaution,
		Raw: k.ServedRaw(), Advisory: k.Code.AdvisoryCited()}
	for _, l := range k.Lists {
		a.Lists = append(a.Lists, l.Name)
	}
	for _, d := range k.Dishes {
		a.Dishes = append(a.Dishes, dishAllergens(k, d))
	}
	return a
}

// dishAllergens are the allergens of one dish.
func dishAllergens(k *kitchen.Kitchen, d kitchen.Dish) DishAllergens {
	da := DishAllergens{Name: d.Name, Special: d.Special, Allergens: []AllergenWay{}, May: []AllergenWay{}, Unstated: []Way{}}
	ways := ways(k, d.Item)
	brings := func(list *[]AllergenWay, codes []string, way Way) {
		for _, code := range codes {
			at := slices.IndexFunc(*list, func(w AllergenWay) bool { return w.Allergen == code })
			if at < 0 {
				at = len(*list)
				*list = append(*list, AllergenWay{Allergen: code, Lists: k.ListsWith(code), Ways: []Way{}})
			}
			w := &(*list)[at]
			w.Ways, w.Always = append(w.Ways, way), w.Always || way.Only == ""
		}
	}
	for i, b := range k.Bought {
		way, reaches := ways[i]
		if !reaches {
			continue
		}
		brings(&da.Allergens, b.Allergens, way)
		brings(&da.May, b.May, way)
		if b.Allergens == nil {
			da.Unstated = append(da.Unstated, way)
		}
	}
	for s, may := range k.May {
		if way, reaches := stepWay(k, s, ways); reaches {
			brings(&da.May, may, way)
		}
	}
	da.May = slices.DeleteFunc(da.May, func(m AllergenWay) bool {
		return slices.ContainsFunc(da.Allergens, func(a AllergenWay) bool { return a.Allergen == m.Allergen && a.Always })
	})
	return da
}

// rank orders the ways that not every portion goes.
var rank = map[string]int{"": 0, kitchen.ByOptional: 1, kitchen.BySubstitute: 2}

// stepWay is how what a step gives gets into a dish, from the step on.
func stepWay(k *kitchen.Kitchen, step int, ways map[int]Way) (best Way, reaches bool) {
	st := k.Graph.Steps[step]
	for _, o := range st.Gives {
		way, ok := ways[o.Item]
		if !ok || reaches && cmp.Or(cmp.Compare(rank[way.Only], rank[best.Only]), cmp.Compare(len(way.Path)+1, len(best.Path))) >= 0 {
			continue
		}
		best, reaches = way, true
		if k.Graph.Items[o.Item].Role != graph.Sold { // a dish and its step are one
			best.Path = slices.Concat([]string{st.Name}, way.Path)
		}
	}
	return best, reaches
}

// ways are the shortest ways to an item from everything that can reach it. A way by first choices goes before one by
// what may be left out, and that before one by a substitute.
func ways(k *kitchen.Kitchen, item int) map[int]Way {
	found := map[int]Way{}
	for _, only := range []string{"", kitchen.ByOptional, kitchen.BySubstitute} {
		for i, path := range reached(k, item, only) {
			if _, before := found[i]; !before {
				found[i] = Way{path, only}
			}
		}
	}
	return found
}

// reached are the shortest paths to an item by the lines that are allowed.
func reached(k *kitchen.Kitchen, item int, allowed string) map[int][]string {
	paths := map[int][]string{item: {k.Graph.Items[item].Name}}
	for todo := []int{item}; len(todo) > 0; todo = todo[1:] {
		to := todo[0]
		for _, st := range k.Graph.Steps {
			if !slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == to }) {
				continue
			}
			for _, line := range st.Takes {
				if line.Optional && allowed == "" {
					continue
				}
				for n, c := range line.Choices {
					if n >= max(1, line.Alike) && allowed != kitchen.BySubstitute {
						break
					}
					if _, seen := paths[c.Item]; seen {
						continue
					}
					paths[c.Item] = append([]string{k.Graph.Items[c.Item].Name}, paths[to]...)
					todo = append(todo, c.Item)
				}
			}
		}
	}
	return paths
}
