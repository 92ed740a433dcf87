package menu

// Allergens: the published lists, and by which way each comes to a dish.

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
)

// Names of the published lists, as the kitchen file chooses them.
const (
	usList = "us"
	euList = "eu"
)

// AllergenList is a list of codes for allergens.
type AllergenList struct {
	Name   string // "us", "eu", or "own" for the kitchen's
	Title  string
	Source string // the text that it stands in; "" for the kitchen's own
	Codes  []AllergenCode
}

// AllergenCode is one entry of a list.
type AllergenCode struct {
	Name  string
	Kinds []string // names of single kinds that may be written in its place
}

// nuts and cereals are the kinds that the entries on nuts and on cereals name.
var (
	nuts    = []string{"almond", "hazelnut", "walnut", "cashew", "pecan", "brazil nut", "pistachio", "macadamia"}
	cereals = []string{"wheat", "rye", "barley", "oats", "spelt", "khorasan"}
)

// AllergenLists are the published lists.
var AllergenLists = []AllergenList{
	// FALCPA 2004 and the FASTER Act 2021: nine (food-safety.com/articles/7223; dwt.com/insights/2021/04/sesame-food-
	// allergen-list).
	{usList, "US major food allergens", "21 U.S.C. 321(qq)", []AllergenCode{{"milk", nil}, {"egg", nil}, {"fish", nil},
		{"crustacean shellfish", []string{"crab", "lobster", "shrimp"}}, {"tree nuts", nuts}, {"wheat", nil}, {"peanuts", nil},
		{"soybeans", nil}, {"sesame", nil}}},
	// Annex II: fourteen (farrp.unl.edu/ref-sit-eu). Sulphites count above 10 mg/kg or 10 mg/L, as SO2, in the food as
	// served.
	{euList, "EU substances causing allergies", "Regulation (EU) 1169/2011, Annex II", []AllergenCode{{"gluten", cereals},
		{"crustaceans", nil}, {"eggs", nil}, {"fish", nil}, {"peanuts", nil}, {"soybeans", nil}, {"milk", nil}, {"nuts", nuts},
		{"celery", nil}, {"mustard", nil}, {"sesame", nil}, {"sulphites", nil}, {"lupin", nil}, {"molluscs", nil}}},
}

// has tells whether a list knows a code.
func (l AllergenList) has(code string) bool {
	return slices.ContainsFunc(l.Codes, func(c AllergenCode) bool { return c.Name == code || slices.Contains(c.Kinds, code) })
}

// ListsWith are the names of the lists of the kitchen that know a code.
func (k *Kitchen) ListsWith(code string) []string {
	in := []string{}
	for _, l := range k.Lists {
		if l.has(code) {
			in = append(in, l.Name)
		}
	}
	return in
}

// allergenLists reads which lists the kitchen goes by.
func (r *reader) allergenLists(n *yaml.Node) {
	published := func(name string) (AllergenList, bool) {
		at := slices.IndexFunc(AllergenLists, func(l AllergenList) bool { return l.Name == name })
		if at < 0 {
			return AllergenList{}, false
		}
		return AllergenLists[at], true
	}
	if n == nil {
		r.k.Lists = AllergenLists
		return
	}
	if n.Kind == yaml.ScalarNode {
		list, _ := published(n.Value) // one of them, or it would not be read
		r.k.Lists = []AllergenList{list}
		return
	}
	own := AllergenList{Name: "own", Title: "the kitchen's own list"}
	for _, c := range n.Content {
		if r.unfit[c] {
			continue
		}
		if list, ok := published(c.Value); ok {
			r.k.Lists = append(r.k.Lists, list)
		} else {
			own.Codes = append(own.Codes, AllergenCode{Name: c.Value})
		}
	}
	if len(own.Codes) > 0 {
		r.k.Lists = append(r.k.Lists, own)
	}
}

// checkAllergen warns of a code that no list of the kitchen has.
func (r *reader) checkAllergen(n *yaml.Node) {
	if len(r.k.ListsWith(n.Value)) > 0 {
		return
	}
	var titles, codes []string
	for _, l := range r.k.Lists {
		var names []string
		for _, c := range l.Codes {
			names = append(names, c.Name)
			codes = append(codes, c.Name)
			codes = append(codes, c.Kinds...)
		}
		title := l.Title
		if l.Source != "" {
			title += " (" + l.Source + ")"
		}
		titles = append(titles, title+": "+strings.Join(names, ", "))
	}
	hint := strings.Join(titles, "; ")
	if near, ok := r.nearest(n.Value, plainly(codes...)); ok {
		hint = "did you mean \"" + near.name + "\"? " + hint
	}
	r.warn(r.span(n), "unknown-allergen", hint+"; \"allergen list\" takes the kitchen's own codes too",
		"allergen %q stands in no list of the kitchen", n.Value)
}

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
	Unstated  []Way         `json:"unstated"`  // to bought items behind it of which the file states nothing
}

// AllergenWay is an allergen of a dish, with the bought items that bring it.
type AllergenWay struct {
	Allergen string   `json:"allergen"`
	Lists    []string `json:"lists"`  // that have it
	Always   bool     `json:"always"` // a first choice brings it; else only a substitute does, or what may be left out
	Ways     []Way    `json:"ways"`
}

// Way leads from a bought item to a dish.
type Way struct {
	Path []string `json:"path"` // from the bought item over what is made of it to the dish
	Only string   `json:"only"` // "" when the first choices lead there; else "substitute" or "optional"
}

// AllergensOf are the allergens of every dish and special.
func (k *Kitchen) AllergensOf() *AllergenSheet {
	a := &AllergenSheet{Lists: []string{}, Dishes: []DishAllergens{}, Caution: Caution + " Check allergens against the labels: " +
		"what was not written down, such as traces and what a pan held before, is not here."}
	for _, l := range k.Lists {
		a.Lists = append(a.Lists, l.Name)
	}
	for _, d := range k.Dishes {
		da := DishAllergens{Name: d.Name, Special: d.Special, Allergens: []AllergenWay{}, Unstated: []Way{}}
		ways := k.ways(d.Item)
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

// Words for a way that is not always gone.
const (
	bySubstitute = "substitute"
	byOptional   = "optional"
)

// ways are the shortest ways to an item from everything that can reach it. A way by first choices goes before one by
// what may be left out, and that before one by a substitute.
func (k *Kitchen) ways(item int) map[int]Way {
	found := map[int]Way{}
	for _, only := range []string{"", byOptional, bySubstitute} {
		for i, path := range k.reached(item, only) {
			if _, before := found[i]; !before {
				found[i] = Way{path, only}
			}
		}
	}
	return found
}

// reached are the shortest paths to an item by the lines that are allowed.
func (k *Kitchen) reached(item int, allowed string) map[int][]string {
	paths := map[int][]string{item: {k.Graph.Items[item].Name}}
	for todo := []int{item}; len(todo) > 0; todo = todo[1:] {
		to := todo[0]
		for _, st := range k.Graph.Steps {
			if !slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == to }) {
				continue
			}
			for _, line := range st.Uses {
				if line.Optional && allowed == "" {
					continue
				}
				for n, c := range line.Choices {
					if n > 0 && allowed != bySubstitute {
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
