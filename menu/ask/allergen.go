package ask

import (
	"slices"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// AllergenSheet is what allergens each dish has, and by which way.
type AllergenSheet struct {
	Lists   []string        `json:"lists"` // whose codes are written: "us", "eu", "own"
	Dishes  []DishAllergens `json:"dishes"`
	Caution string          `json:"caution"`
}

// DishAllergens are the allergens of one dish: all that the file states of anything that it may be made of.
type DishAllergens struct {
	Name      string        `json:"name"`
	Special   bool          `json:"special"`
	Allergens []AllergenWay `json:"allergens"` // in the order of the bought items of the file
	Unstated  []Way         `json:"unstated"`  // from bought items behind it of which the file states nothing
}

// AllergenWay is an allergen of a dish, with the bought items that bring it.
type AllergenWay struct {
	Allergen string   `json:"allergen"`
	Lists    []string `json:"lists"`  // that have it
	Always   bool     `json:"always"` // a first choice brings it; else only a substitute does, or what may be left out
	Ways     []Way    `json:"ways"`
}

// Way is how a bought item gets into a dish.
type Way struct {
	Path []string `json:"path"` // from the bought item over what is made of it to the dish
	Only string   `json:"only"` // "" when the first choices lead there; else "substitute" or "optional"
}

// Allergens are the allergens of every dish and special.
func Allergens(k *kitchen.Kitchen) *AllergenSheet {
	a := &AllergenSheet{Lists: []string{}, Dishes: []DishAllergens{}, Caution: kitchen.AllergenCaution}
	for _, l := range k.Lists {
		a.Lists = append(a.Lists, l.Name)
	}
	for _, d := range k.Dishes {
		da := DishAllergens{Name: d.Name, Special: d.Special, Allergens: []AllergenWay{}, Unstated: []Way{}}
		ways := ways(k, d.Item)
		stated, _ := k.Allergens(d.Item)
		for _, code := range stated {
			w := AllergenWay{Allergen: code, Lists: k.ListsWith(code), Ways: []Way{}}
			for i, b := range k.Bought {
				if way, reaches := ways[i]; reaches && slices.Contains(b.Allergens, code) {
					w.Ways = append(w.Ways, way)
					w.Always = w.Always || way.Only == ""
				}
			}
			da.Allergens = append(da.Allergens, w)
		}
		for i, b := range k.Bought {
			if way, reaches := ways[i]; reaches && b.Allergens == nil {
				da.Unstated = append(da.Unstated, way)
			}
		}
		a.Dishes = append(a.Dishes, da)
	}
	return a
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
					if n > 0 && allowed != kitchen.BySubstitute {
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
