package kitchen

// Allergens: the published lists, what the file states, and what of it flows downstream.

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

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
	Except []AllergenExcept // what it leaves out
}

// AllergenCode is one entry of a list.
type AllergenCode struct {
	Name   string
	Kinds  []string // names of single kinds that may be written in its place
	ByKind string   // a kind, where its text asks for one to be named: cod, and not just fish
	Same   string   // the code of another list that means the same; "" for none
}

// nuts and cereals are the kinds that the entries on nuts and on cereals name; fishes and crustaceans are those that kitchens write
// most, for no list names them: others are written as "fish: KIND".
var (
	fishes = []string{"cod", "haddock", "hake", "salmon", "trout", "tuna", "anchovy", "sardine", "herring", "mackerel", "sea bass", "halibut",
		"tilapia"}
	crustaceans = []string{"crab", "lobster", "shrimp", "prawn", "crayfish"}

	nuts    = []string{"almond", "hazelnut", "walnut", "cashew", "pecan", "brazil nut", "pistachio", "macadamia"}
	cereals = []string{"wheat", "rye", "barley", "oats", "spelt", "khorasan"}
)

// AllergenLists are the published lists. What is the same in both: from memory, and by the names themselves.
var AllergenLists = []AllergenList{
	// FALCPA 2004 and the FASTER Act 2021: nine (food-safety.com/articles/7223; dwt.com/insights/2021/04/sesame-food-
	// allergen-list). FALCPA asks for the kind of fish, crustacean and tree nut: 21 U.S.C. 343(w)(2), from memory.
	{usList, "US major food allergens", "21 U.S.C. 321(qq)", []AllergenCode{{Name: "milk"}, {Name: "egg", Same: "eggs"},
		{Name: "fish", Kinds: fishes, ByKind: "cod"}, {Name: "crustacean shellfish", Kinds: crustaceans, ByKind: "shrimp", Same: "crustaceans"},
		{Name: "tree nuts", Kinds: nuts, ByKind: "walnut", Same: "nuts"}, {Name: "wheat"}, {Name: "peanuts"}, {Name: "soybeans"}, {Name: "sesame"}}, usExcept},
	// Annex II: fourteen (farrp.unl.edu/ref-sit-eu). Sulphites count above 10 mg/kg or 10 mg/L, as SO2, in the food as
	// served.
	{euList, "EU substances causing allergies", "Regulation (EU) 1169/2011, Annex II", []AllergenCode{{Name: "gluten", Kinds: cereals},
		{Name: "crustaceans", Same: "crustacean shellfish"}, {Name: "eggs", Same: "egg"}, {Name: "fish", Kinds: fishes}, {Name: "peanuts"}, {Name: "soybeans"},
		{Name: "milk"}, {Name: "nuts", Kinds: nuts, Same: "tree nuts"}, {Name: "celery"}, {Name: "mustard"}, {Name: "sesame"}, {Name: "sulphites"},
		{Name: "lupin"}, {Name: "molluscs"}}, euExcept},
}

// WithKind is an allergen with its kind, as it is written on a label: "fish (cod)".
func WithKind(code, kind string) string { return code + " (" + kind + ")" }

// CodeAndKind takes an allergen of a label apart: fish and cod; kind is "" where none is named.
func CodeAndKind(allergen string) (code, kind string) {
	if code, rest, ok := strings.Cut(allergen, " ("); ok && strings.HasSuffix(rest, ")") {
		return code, strings.TrimSuffix(rest, ")")
	}
	return allergen, ""
}

// covers tells whether an entry of a list is meant by a code or by one of its kinds.
func (c AllergenCode) covers(code string) bool {
	return c.Name == code || slices.Contains(c.Kinds, code)
}

// has tells whether a list knows an allergen, with or without its kind.
func (l AllergenList) has(allergen string) bool {
	code, _ := CodeAndKind(allergen)
	return slices.ContainsFunc(l.Codes, func(c AllergenCode) bool { return c.covers(allergen) || c.covers(code) })
}

// ListsWith are the names of the lists of the kitchen that know an allergen.
func (k *Kitchen) ListsWith(allergen string) []string {
	in := []string{}
	for _, l := range k.Lists {
		if l.has(allergen) {
			in = append(in, l.Name)
		}
	}
	return in
}

// Columns are the entries of the kitchen's lists, each once: of two that mean the same, the first. A column covers what is
// written under either.
func (k *Kitchen) Columns() (columns []AllergenCode) {
	for _, l := range k.Lists {
		for _, c := range l.Codes {
			at := slices.IndexFunc(columns, func(b AllergenCode) bool { return b.Name == c.Name || b.Same != "" && b.Same == c.Name })
			if at < 0 {
				columns = append(columns, c)
				continue
			}
			columns[at].Kinds = slices.Concat(columns[at].Kinds, c.Kinds)
		}
	}
	return columns
}

// In tells whether an allergen stands in a column.
func (c AllergenCode) In(allergen string) bool {
	code, _ := CodeAndKind(allergen)
	return c.covers(allergen) || c.covers(code) || c.Same != "" && c.Same == code
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

// stated reads a list of allergens: codes, and codes with their kinds.
func (r *reader) stated(n *yaml.Node) (list []string) {
	if n == nil {
		return nil
	}
	list = []string{}
	for _, a := range n.Content {
		if r.unfit[a] {
			continue
		}
		if a.Kind == yaml.ScalarNode {
			if code, kind, ok := strings.Cut(a.Value, ": "); ok { // else the fish in it would be told under no fish
				r.fault(r.span(a), "quoted-kind", fmt.Sprintf("write it without quotes: %s: %s", code, kind),
					"%q is one word in quotes, not a kind of %s", a.Value, code)
				continue
			}
			r.checkAllergen(a, a.Value)
			list = append(list, a.Value)
			continue
		}
		for code, kind := range r.pairs(a) {
			if fault := nameFault(kind.Value); fault != "" || strings.ContainsAny(kind.Value, "()") {
				r.fault(r.span(kind), "bad-name", "write the kind in plain words, such as fish: cod", "kind %q of %q %s", kind.Value, code.Value,
					cmp.Or(fault, "can't hold brackets"))
				continue
			}
			r.checkAllergen(code, WithKind(code.Value, kind.Value))
			list = append(list, WithKind(code.Value, kind.Value))
		}
	}
	return list
}

// noAllergen is written where there is none.
var noAllergen = []string{"none", "no", "nothing", "no allergens", "n/a", "na", "-", "free"}

// checkAllergen warns of a code that no list of the kitchen has, and of one that lacks the kind that its list asks for.
func (r *reader) checkAllergen(n *yaml.Node, allergen string) {
	for _, l := range r.k.Lists {
		for _, c := range l.Codes {
			if c.ByKind != "" && allergen == c.Name {
				r.warn(r.span(n), "no-kind", fmt.Sprintf("write it as %s: %s, with what it is in the place of %[2]s",
					c.Name, c.ByKind), "the kind of %s is not named, which the list of %s asks for", c.Name, l.Title)
			}
		}
	}
	if len(r.k.ListsWith(allergen)) > 0 {
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
	if slices.Contains(noAllergen, strings.ToLower(n.Value)) {
		r.warn(r.span(n), "unknown-allergen", "write [] if the package says that it has none of the list; leave the key out until somebody has read it",
			"%q is no allergen: it would be listed as one", n.Value)
		return
	}
	r.warn(r.span(n), "unknown-allergen", hint+"; \"allergen list\" takes the kitchen's own codes too",
		"allergen %q is not on the kitchen's allergen list", n.Value)
}

// checkAllergenNames warns of bought items that state nothing, though their names, in any language, hold an entry of the kitchen's lists.
func (r *reader) checkAllergenNames() {
	columns := r.k.Columns()
	for i, b := range r.k.Bought {
		if b.Allergens != nil {
			continue
		}
		var words, codes []string
		for _, c := range columns {
			for _, n := range r.namesOf(i) {
				word, ok := gaveAway(n.Name, c, n.Language)
				if !ok {
					continue
				}
				if !slices.Contains(codes, c.Name) {
					codes = append(codes, c.Name)
				}
				if n.Name != r.items[i].Name {
					word = n.Name // of another language: the whole name tells where it stands
				}
				if !slices.Contains(words, strconv.Quote(word)) {
					words = append(words, strconv.Quote(word))
				}
				break
			}
		}
		if len(codes) > 0 {
			at := span{r.k.ItemPos[i], utf8.RuneCountInString(r.items[i].Name)}
			hint := fmt.Sprintf("read the package, then write allergens: [%s], or [] if it has none of the list", strings.Join(codes, ", "))
			if left := r.k.exceptions(r.items[i].Name, codes); left != "" {
				hint += ". " + left
			}
			r.warn(at, "allergen-in-name", hint,
				"%q states no allergens, though its name holds %s", r.items[i].Name, strings.Join(words, " and "))
		}
	}
}

// namesOf are the names of an item: its own first, then those that "also" gives it.
func (r *reader) namesOf(item int) []OtherName {
	list := []OtherName{{NamedItem, item, r.k.Language, r.items[item].Name, r.k.ItemPos[item]}}
	for _, o := range r.k.OtherNames {
		if o.Of == NamedItem && o.At == item {
			list = append(list, o)
		}
	}
	return list
}

// Words for a way that is not always gone.
const (
	BySubstitute = "substitute"
	ByOptional   = "optional"
)

// Stated is what the kitchen file states of the allergens in something: all that anything states that it may be made of,
// substitutes and what may be left out with it.
type Stated struct {
	Has     []string // in the order of the file
	May     []string // that it may contain, and is not said to have: by the packages, or by what a step shares with other food
	Unknown []string // the bought items behind it that state nothing
}

// None tells whether all that it is made of is declared free of the kitchen's list.
func (s Stated) None() bool { return len(s.Has)+len(s.May)+len(s.Unknown) == 0 }

// Beyond is what it has more than something else; what is unknown stays so.
func (s Stated) Beyond(other Stated) Stated {
	without := func(list, has []string) []string {
		return slices.DeleteFunc(append([]string{}, list...), func(a string) bool { return slices.Contains(has, a) })
	}
	return Stated{without(s.Has, other.Has), without(s.May, slices.Concat(other.Has, other.May)), s.Unknown}
}

// Stated is what is stated of the allergens in an item.
func (k *Kitchen) Stated(item int) Stated {
	s := Stated{Has: []string{}, May: []string{}, Unknown: []string{}}
	add := func(to *[]string, list []string) {
		for _, a := range list {
			if !slices.Contains(*to, a) {
				*to = append(*to, a)
			}
		}
	}
	upstream := k.Graph.Upstream(item)
	behind := func(i int) bool { return i == item || slices.Contains(upstream, i) }
	for i, b := range k.Bought {
		if !behind(i) {
			continue
		}
		if b.Allergens == nil {
			s.Unknown = append(s.Unknown, k.Graph.Items[i].Name)
		}
		add(&s.Has, b.Allergens)
		add(&s.May, b.May)
	}
	for n, may := range k.May {
		if len(may) > 0 && slices.ContainsFunc(k.Graph.Steps[n].Gives, func(o graph.Output) bool { return behind(o.Item) }) {
			add(&s.May, may)
		}
	}
	s.May = slices.DeleteFunc(s.May, func(a string) bool { return slices.Contains(s.Has, a) })
	return s
}
