package kitchen

// Words of the file that are no names of items, steps or vessels, in other languages: phases, stations, acts, measures, people, services, suppliers and who approves a
// date mark.

import (
	"slices"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/language"
)

// WordIn is what the kitchen calls a phase, a station, an act, one of its people, a service, a supplier or who approves a date mark in another
// language.
type WordIn struct {
	Word     string
	Language language.Tag
	Said     string
}

// wordsIn reads them: by language, then by word. All else has been read.
func (r *reader) wordsIn(n *yaml.Node) {
	known := r.wordsOfPlaces()
	first := map[language.Tag]Pos{}
	for key, list := range r.pairs(n) {
		tag, ok := r.language(key)
		if !ok {
			continue
		}
		if before, twice := first[tag]; twice {
			r.fault(r.span(key), "duplicate-key", "put both lists into one", "%q stands here twice", key.Value).note(before, "first written here")
			continue
		}
		first[tag] = r.span(key).Pos
		for word, said := range r.pairs(list) {
			if !slices.Contains(known, word.Value) {
				if len(r.asides) > 0 {
					continue // it may stand on a card that is set aside
				}
				r.fault(r.span(word), "no-such-word", r.meant(word.Value, plainly(known...), "items, steps, dishes and vessels take \"also\" themselves"),
					"no phase, station, act, cook, service, supplier or approval is called %q", word.Value)
				continue
			}
			if fault := nameFault(said.Value); fault != "" {
				r.fault(r.span(said), "bad-name", nameRule, "name %q %s", said.Value, fault)
				continue
			}
			r.k.Words = append(r.k.Words, WordIn{word.Value, tag, said.Value})
		}
	}
}

// wordsOfPlaces are all that may be told in another language here.
func (r *reader) wordsOfPlaces() (list []string) {
	for _, s := range r.k.Steps {
		list = append(list, s.Station)
		for _, p := range s.Phases {
			list = append(list, p.Name)
		}
		for _, a := range s.Work {
			list = append(list, a.Name)
		}
		for _, m := range s.Measures {
			list = append(list, m.Name)
		}
	}
	for _, of := range r.k.Measures {
		for _, m := range of {
			list = append(list, m.Name)
		}
	}
	for _, s := range r.k.Shifts {
		list = append(list, s.Names...)
	}
	for _, s := range r.k.Services {
		list = append(list, s.Name)
	}
	for _, s := range r.k.Suppliers {
		list = append(list, s.Name)
	}
	for _, b := range r.k.Bought {
		list = append(list, b.From)
	}
	list = append(list, r.k.Approved...)
	slices.Sort(list)
	return slices.DeleteFunc(slices.Compact(list), func(s string) bool { return s == "" })
}

// WordIn is what a word of the file is in a language, where the file says.
func (k *Kitchen) WordIn(word string, tag language.Tag) (said string, ok bool) {
	for _, w := range k.Words {
		if w.Word == word && InLanguage(w.Language, tag) && (!ok || w.Language == tag) {
			said, ok = w.Said, true
		}
	}
	return said, ok
}
