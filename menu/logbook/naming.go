package logbook

// Names as suppliers, tills and stock-takers write them: those of the kitchen in other capitals, in the plural or in part, and those
// that somebody said the meaning of.

import (
	"encoding/csv"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Naming is what a name means that the kitchen file does not have.
type Naming struct {
	Dish    bool   // it is what the till calls a dish; else it is an item's
	Written string // as it stands in files
	Means   string // as the kitchen file has it; Nothing where its rows are left out
}

// Nothing is what a name means whose rows are nothing to the kitchen: a drink, a total.
const Nothing = "none"

// Names are kept beside the log book, in a file that people can read and change: see [NamesPath].
type Names []Naming

// NamesPath is where the names of a kitchen file are kept: kitchen.names beside kitchen.yaml.
func NamesPath(kitchenFile string) string {
	return strings.TrimSuffix(kitchenFile, filepath.Ext(kitchenFile)) + ".names"
}

// namesHeader is the first line of the file; the words behind it stand in its first column.
const (
	namesHeader = "of,name,means"
	ofDish      = "dish"
	ofItem      = "item"
)

// ReadNames reads the names that are kept.
func ReadNames(name string, src []byte) (list Names, found kitchen.Diagnostics) {
	t, found := asText(name, src)
	if found != nil {
		return nil, found
	}
	header := true
	unread := t.rows(func(r row) bool {
		var fields [3]cell
		for i := range fields {
			fields[i] = r.at(i)
		}
		of, written, means := fields[0], fields[1], fields[2]
		switch {
		case header:
			header = false
			if of.text+","+written.text+","+means.text != namesHeader {
				found = append(found, faultIn(t, of, "bad-header", "write "+namesHeader+" in the first line",
					"the first line does not name the columns"))
				return false
			}
		case of.text != ofDish && of.text != ofItem:
			found = append(found, faultIn(t, of, "unknown-word", "write dish or item", "%q is neither a dish nor an item", of.text))
		case written.text == "" || means.text == "":
			found = append(found, faultIn(t, written, "bad-row", "write what the name means; "+Nothing+" leaves its rows out",
				"a name or its meaning is missing"))
		default:
			list = list.With(Naming{of.text == ofDish, written.text, means.text})
		}
		return true
	})
	if found = append(found, unread...); found.Err() != nil {
		return nil, found
	}
	return list, nil
}

// With adds a name, in the place of the same one if there is one.
func (n Names) With(naming Naming) Names {
	n = slices.DeleteFunc(slices.Clone(n), func(o Naming) bool {
		return o.Dish == naming.Dish && folded(o.Written) == folded(naming.Written)
	})
	return append(n, naming)
}

// CSV is the file.
func (n Names) CSV() []byte {
	var b strings.Builder
	w := csv.NewWriter(&b)
	b.WriteString(namesHeader + "\n")
	for _, naming := range n {
		of := ofItem
		if naming.Dish {
			of = ofDish
		}
		_ = w.Write([]string{of, kitchen.Guarded(naming.Written), kitchen.Guarded(naming.Means)}) // a builder takes all
	}
	w.Flush()
	return []byte(b.String())
}

// folded is a name without regard to capitals.
func folded(name string) string { return strings.ToLower(tidy(name)) }

// wordsOf are the words of a name for comparing: without capitals, marks over letters and plurals, in alphabetical order.
func wordsOf(name string) []string {
	bare := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFKD.String(strings.ToLower(name)))
	words := strings.FieldsFunc(bare, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for i, w := range words {
		words[i] = one(w)
	}
	slices.Sort(words)
	return slices.Compact(words)
}

// one is a word in the singular, as far as that can be told without knowing it: it serves to compare.
func one(word string) string {
	for _, end := range [][2]string{{"ies", "y"}, {"oes", "o"}, {"shes", "sh"}, {"ches", "ch"}, {"xes", "x"}, {"ss", "ss"}, {"us", "us"},
		{"s", ""}} {
		if stem, ok := strings.CutSuffix(word, end[0]); ok && len(stem) > 2 {
			return stem + end[1]
		}
	}
	return word
}

// within tells whether all words of one list stand in another; both are in alphabetical order.
func within(some, all []string) bool {
	for _, w := range some {
		if _, ok := slices.BinarySearch(all, w); !ok {
			return false
		}
	}
	return len(some) > 0
}

// namer finds what names mean.
type namer struct {
	names []string       // of the kitchen file
	words [][]string     // of each
	exact map[string]int // by folded name; the till's too
	kept  map[string]string
	found map[string]meant
}

// meant is what was found of a name.
type meant struct {
	place int      // among the names; -1 when nothing, or nothing for sure
	left  bool     // its rows are nothing to the kitchen
	alike bool     // by likeness, which is to be agreed to
	near  []string // names of which each could be meant
	stray string   // what a kept name means and the kitchen file does not have
}

// namerOf is for the items that can be on hand, or for the dishes.
func namerOf(k *kitchen.Kitchen, dishes bool, kept Names) *namer {
	n := &namer{exact: map[string]int{}, kept: map[string]string{}, found: map[string]meant{}}
	add := func(name string) {
		if _, taken := n.exact[folded(name)]; !taken {
			n.exact[folded(name)] = len(n.names)
		}
		n.names, n.words = append(n.names, name), append(n.words, wordsOf(name))
	}
	if dishes {
		for _, d := range k.Dishes {
			add(d.Name)
		}
		for i, d := range k.Dishes {
			for _, name := range d.SoldAs {
				n.exact[folded(name)] = i
			}
		}
	} else {
		for _, it := range k.Graph.Items {
			if it.Role != graph.Sold {
				add(it.Name)
			}
		}
	}
	for _, naming := range kept {
		if naming.Dish == dishes || naming.Means == Nothing {
			n.kept[folded(naming.Written)] = naming.Means
		}
	}
	return n
}

// knows tells whether a name has a meaning without likeness, which is not that it is nothing.
func (n *namer) knows(name string) bool {
	_, exact := n.exact[folded(name)]
	means, kept := n.kept[folded(name)]
	return exact || kept && means != Nothing
}

// find finds what a name means.
func (n *namer) find(name string) meant {
	found, ok := n.found[name]
	if !ok {
		found = n.look(name)
		n.found[name] = found
	}
	return found
}

func (n *namer) look(name string) meant {
	if place, ok := n.exact[folded(name)]; ok {
		if at := slices.Index(n.names, name); at >= 0 { // of names that differ in capitals only, the one that is written
			place = at
		}
		return meant{place: place, alike: n.names[place] != name && folded(n.names[place]) == folded(name)}
	}
	if means, ok := n.kept[folded(name)]; ok {
		if means == Nothing {
			return meant{place: -1, left: true}
		}
		if place, ok := n.exact[folded(means)]; ok {
			return meant{place: place}
		}
		return meant{place: -1, stray: means}
	}
	return n.likely(wordsOf(name))
}

// likely finds the name that has the same words; else the one that stands in what is written, or in which that stands. Of several,
// one that has all the words of the others is meant; else it is none.
func (n *namer) likely(words []string) meant {
	var same, around []int // around: names within what is written, or it within them
	for i, of := range n.words {
		switch {
		case slices.Equal(of, words):
			same = append(same, i)
		case within(of, words), within(words, of):
			around = append(around, i)
		}
	}
	if len(same) > 0 {
		around = same
	}
	around = slices.DeleteFunc(slices.Clone(around), func(i int) bool { // "ham bone" beside "ham bone 24 months", in "Ham Bone 24 months"
		return slices.ContainsFunc(around, func(o int) bool {
			return o != i && within(n.words[o], words) && within(n.words[i], n.words[o]) && len(n.words[i]) < len(n.words[o])
		})
	})
	if len(around) == 1 {
		return meant{place: around[0], alike: true}
	}
	found := meant{place: -1}
	for _, i := range around {
		found.near = append(found.near, n.names[i])
	}
	return found
}

// Meaning reads "TILL NAME=dish or item", as it is said of a name: what stands behind the last "=" is a name of the kitchen file, or
// none.
func Meaning(k *kitchen.Kitchen, said string) (Naming, error) {
	at, hint := strings.LastIndexByte(said, '='), fmt.Sprintf(`write it as "NAME OF THE TILL=%s", or "Cola=none"`, k.Example().Dish)
	if at < 0 {
		return Naming{}, &measure.Error{Msg: fmt.Sprintf("%q does not say what the name means", said), Hint: hint}
	}
	n := Naming{Written: tidy(said[:at]), Means: tidy(said[at+1:])}
	if fault := kitchen.TextFault(n.Written, kitchen.MostLetters); fault != "" {
		return n, &measure.Error{Msg: "the name " + fault, Hint: "write the name as the file has it"}
	}
	if n.Written == "" || n.Means == "" {
		return n, &measure.Error{Msg: fmt.Sprintf("%q lacks a name", said), Hint: hint}
	}
	_, dish := k.FindDish(n.Written)
	_, _, item := k.ItemNamed(n.Written, nil)
	own := &measure.Error{Msg: fmt.Sprintf("%q is a name of the kitchen file", n.Written), Hint: "its rows mean what it names there"}
	if strings.EqualFold(n.Means, Nothing) {
		if n.Means = Nothing; dish == nil || item == nil {
			return n, own
		}
		return n, nil
	}
	if place, err := k.FindDish(n.Means); err == nil {
		if n.Dish, n.Means = true, k.Dishes[place].Name; dish == nil {
			return n, own
		}
		return n, nil
	}
	place, _, err := k.ItemNamed(n.Means, nil)
	if err != nil {
		return n, err
	}
	if n.Means = k.Graph.Items[place].Name; item == nil {
		return n, own
	}
	return n, nil
}

// Naming is what an answer to a question about a name says that it means: a name of the kitchen file, none, or so much of a name that
// no other can be meant.
func (q Question) Naming(k *kitchen.Kitchen, answer string) (Naming, error) {
	n := Naming{Dish: q.Dish, Written: q.Written, Means: Nothing}
	if answer = tidy(answer); strings.EqualFold(answer, Nothing) {
		return n, nil
	}
	names := namerOf(k, q.Dish, nil)
	found := names.find(answer)
	switch {
	case found.place >= 0:
		n.Means = names.names[found.place]
		return n, nil
	case len(found.near) > 0:
		return n, &measure.Error{Msg: fmt.Sprintf("%q may be %s", answer, orList(found.near)), Hint: "write more of the name"}
	}
	return n, &measure.Error{Msg: fmt.Sprintf("the kitchen has no %q", answer), Hint: "write a name of the kitchen file, or " + Nothing}
}

// Finder finds what names mean, for whoever takes over other files.
type Finder struct{ names *namer }

// FinderOf is for the items that can be on hand, or for the dishes.
func FinderOf(k *kitchen.Kitchen, dishes bool, kept Names) Finder {
	return Finder{namerOf(k, dishes, kept)}
}

// Meant is what a name means.
type Meant struct {
	Ours  string   // the name of the kitchen file; "" for none, or none for sure
	Left  bool     // it was said to mean nothing
	Alike bool     // it has the words of ours and more, or fewer: likely, and to be looked at
	Near  []string // names of which each could be meant
}

// Find finds what a name means.
func (f Finder) Find(name string) Meant {
	found := f.names.find(tidy(name))
	m := Meant{Left: found.left, Near: found.near}
	if found.place >= 0 {
		m.Ours = f.names.names[found.place]
		m.Alike = found.alike && folded(m.Ours) != folded(name) && !slices.Equal(wordsOf(m.Ours), wordsOf(name))
	}
	return m
}

// Within tells whether all words of one name stand in another.
func Within(name, other string) bool { return within(wordsOf(name), wordsOf(other)) }

// SameWords tells whether two names have the same words, in whatever order, case and number.
func SameWords(a, b string) bool { return NameKey(a) == NameKey(b) }

// Joined is the same for names with the same words in the same order, written as one or apart: "crab meat" and "Crabmeat".
func Joined(name string) string {
	words := strings.Fields(tidy(name))
	for n, w := range words {
		words[n] = strings.Join(wordsOf(w), "")
	}
	return strings.Join(words, "")
}

// NameKey is the same for names with the same words.
func NameKey(name string) string {
	if words := wordsOf(name); len(words) > 0 {
		return strings.Join(words, " ")
	}
	return folded(name)
}
