package kitchen

// Names in other languages: read from "also", and a kitchen told in one of them.

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/language"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Named says what kind of thing has a name in the kitchen file.
type Named string

const (
	NamedItem   Named = "item" // bought or made, a dish or a special
	NamedStep   Named = "step"
	NamedVessel Named = "vessel"

	NamedSupplier Named = "supplier" // has former names, and none in other languages
)

// OtherName is what something is called in another language.
type OtherName struct {
	Of       Named
	At       int // place among Graph.Items, Graph.Steps or Vessels
	Language language.Tag
	Name     string
	Pos      Pos
}

// InLanguage tells whether text in one language is read as another by its speakers: both have one base and one script, so that
// es-MX is es, zh is zh-Hans, and zh-TW is not.
func InLanguage(is, wanted language.Tag) bool {
	isBase, _ := is.Base()
	wantedBase, _ := wanted.Base()
	isScript, _ := is.Script()
	wantedScript, _ := wanted.Script()
	return isBase == wantedBase && isScript == wantedScript
}

// tongue is the language that the file's own names are in.
func (r *reader) tongue(n *yaml.Node) {
	r.k.Language = language.English
	if n == nil {
		return
	}
	if tag, ok := r.language(n); ok {
		r.k.Language = tag
	}
}

// language reads a BCP 47 tag.
func (r *reader) language(n *yaml.Node) (language.Tag, bool) {
	tag, err := language.Parse(n.Value)
	if err != nil || tag == language.Und {
		r.fault(r.span(n), "bad-language", "write a BCP 47 tag such as es, zh-Hans or pt-BR", "%q is no language tag", n.Value)
		return tag, false
	}
	return tag, true
}

// also reads the names that something has in other languages.
func (r *reader) also(of Named, at int, body *yaml.Node) {
	first := map[language.Tag]Pos{}
	for key, v := range r.pairs(r.value(body, "also")) {
		tag, ok := r.language(key)
		if !ok {
			continue
		}
		if v.Kind == yaml.MappingNode { // with more than the name
			if v = r.value(v, nameKey); v == nil {
				continue
			}
		}
		where := r.span(v)
		if before, twice := first[tag]; twice {
			r.fault(r.span(key), "duplicate-key", "remove one of the two", "%q is the language of another name here", key.Value).
				note(before, "first written here")
			continue
		}
		first[tag] = r.span(key).Pos
		if fault := nameFault(v.Value); fault != "" {
			r.fault(where, "bad-name", nameRule, "name %q %s", v.Value, fault)
			continue
		}
		r.k.OtherNames = append(r.k.OtherNames, OtherName{of, at, tag, v.Value, where.Pos})
		r.otherAt = append(r.otherAt, where)
	}
}

// checkOtherNames tells of names that two things would have in one language.
func (r *reader) checkOtherNames() {
	type taken struct {
		of   Named
		name string
	}
	var done []language.Tag
	for _, o := range r.k.OtherNames {
		if slices.ContainsFunc(done, func(t language.Tag) bool { return InLanguage(o.Language, t) }) {
			continue
		}
		done = append(done, o.Language)
		named := map[Named]map[int]bool{NamedItem: {}, NamedStep: {}, NamedVessel: {}}
		at, owner := map[taken]Pos{}, map[taken]int{}
		var these []int // in this language
		for n, other := range r.k.OtherNames {
			if InLanguage(other.Language, o.Language) {
				these = append(these, n)
				named[other.Of][other.At] = true
			}
		}
		own := func(of Named, count int, name func(int) (string, Pos)) {
			for i := range count {
				if n, pos := name(i); !named[of][i] {
					at[taken{of, n}], owner[taken{of, n}] = pos, i
				}
			}
		}
		own(NamedItem, len(r.items), func(i int) (string, Pos) { return r.items[i].Name, r.k.ItemPos[i] })
		own(NamedStep, len(r.k.Steps), func(i int) (string, Pos) { return r.recipes[i].name, r.span(r.recipes[i].key).Pos })
		own(NamedVessel, len(r.k.Vessels), func(i int) (string, Pos) { return r.k.Vessels[i].Name, r.k.Vessels[i].Pos })
		for _, n := range these {
			other := r.k.OtherNames[n]
			key := taken{other.Of, other.Name}
			if before, ok := at[key]; ok && owner[key] != other.At {
				r.fault(r.otherAt[n], "also-twice", fmt.Sprintf("give each %s a name of its own in each language", other.Of),
					"%q is the name of another %s in %s", other.Name, other.Of, other.Language).note(before, "the other is here")
				continue
			}
			at[key], owner[key] = other.Pos, other.At
		}
	}
}

// NameIn is what something is called in a language; ok is false when the file does not say.
func (k *Kitchen) NameIn(of Named, at int, tag language.Tag) (name string, ok bool) {
	for _, o := range k.OtherNames {
		if o.Of == of && o.At == at && InLanguage(o.Language, tag) && (!ok || o.Language == tag) {
			name, ok = o.Name, true
		}
	}
	return name, ok
}

// Told is the kitchen with the names that the file gives in a language, and what has none there.
func (k *Kitchen) Told(tag language.Tag) (*Kitchen, Diagnostics) {
	var missing Diagnostics
	given := 0
	name := func(of Named, at int, own string, pos Pos) string {
		if other, ok := k.NameIn(of, at, tag); ok {
			given++
			return other
		}
		if !InLanguage(k.Language, tag) {
			missing = append(missing, Diagnostic{Pos: pos, Severity: Warning, ID: "no-name",
				Msg:  fmt.Sprintf("%s %q has no name in %s", of, own, tag),
				Hint: fmt.Sprintf("write also: {%s: ...} there; until then %q stands in the guide", tag, own)})
		}
		return own
	}
	told := *k
	items, steps := slices.Clone(k.Graph.Items), slices.Clone(k.Graph.Steps)
	for i := range items {
		if own := items[i].Name; own != name(NamedItem, i, own, k.ItemPos[i]) {
			items[i].Name, _ = k.NameIn(NamedItem, i, tag)
			if items[i].Many = items[i].Name; items[i].Unit.Kind == measure.Count || items[i].Each > 0 {
				items[i].Many = pluralIn(tag, items[i].Name)
			}
		}
	}
	for s := range k.Steps {
		steps[s].Name = name(NamedStep, s, steps[s].Name, k.StepPos[s].Pos)
	}
	told.Dishes = slices.Clone(k.Dishes)
	for d := range told.Dishes {
		told.Dishes[d].Name = items[told.Dishes[d].Item].Name
		steps[len(k.Steps)+d].Name = told.Dishes[d].Name
	}
	told.Vessels = slices.Clone(k.Vessels)
	for v := range told.Vessels {
		told.Vessels[v].Name = name(NamedVessel, v, told.Vessels[v].Name, told.Vessels[v].Pos)
	}
	var unsaid Diagnostics
	told.Tellings, unsaid = k.tellingsIn(tag)
	g, err := graph.New(items, steps)
	if err != nil {
		panic("mistake: a graph is none under other names: " + err.Error())
	}
	told.Graph = g
	if given == 0 && len(missing) > 1 {
		missing = Diagnostics{{Pos: Pos{File: k.File}, Severity: Warning, ID: "no-name",
			Msg:  fmt.Sprintf("nothing has a name in %s", tag),
			Hint: fmt.Sprintf("write also: {%s: ...} on items, steps, dishes and vessels; until then the file's own names stand in the guide", tag)}}
		if !slices.ContainsFunc(k.toldIn, func(in toldIn) bool { return InLanguage(in.language, tag) }) {
			unsaid = nil // that is as much as to say so once
		}
	}
	return &told, append(missing, unsaid...).sort()
}
