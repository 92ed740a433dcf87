package kitchen

// Allergens: the published lists, and by which way each comes to a dish.

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
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
		"allergen %q is not on the kitchen's allergen list", n.Value)
}

// Words for a way that is not always gone.
const (
	BySubstitute = "substitute"
	ByOptional   = "optional"
)

// Allergens are those stated for the bought items that an item comes from, in the order of the file, and the names of the
// bought items for which none are stated.
func (k *Kitchen) Allergens(item int) (stated, unstated []string) {
	up := k.Graph.Upstream(item)
	for i, b := range k.Bought {
		if i != item && !slices.Contains(up, i) {
			continue
		}
		if b.Allergens == nil {
			unstated = append(unstated, k.Graph.Items[i].Name)
		}
		for _, a := range b.Allergens {
			if !slices.Contains(stated, a) {
				stated = append(stated, a)
			}
		}
	}
	return stated, unstated
}
