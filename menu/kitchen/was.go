package kitchen

// Former names: what was written under one, in the log book, a kept plan or a list, is about what has another name now.

import (
	"fmt"
	"iter"
	"maps"
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"
)

// wasWord is the key behind which former names stand.
const wasWord = "was"

var wasKey = key{wasWord, &form{shape: list, filled: true, what: "a list of names such as [hen stock]", of: &form{shape: text, what: "a name", pattern: namePattern}}, may,
	"What it was called before: what the log book, a kept plan or a list says under such a name is about it."}

// former is a former name of something, as it is written.
type former struct {
	of        Named
	name, was string
	at        *yaml.Node
}

// was reads the former names of something.
func (r *reader) was(of Named, name string, body *yaml.Node) {
	n := r.value(body, wasWord)
	for at := 0; n != nil && at < len(n.Content); at++ {
		if c := n.Content[at]; !r.unfit[c] {
			r.formers = append(r.formers, former{of, name, norm.NFC.String(c.Value), c})
		}
	}
}

// checkFormers tells of former names that stand for two things, and keeps the others.
func (r *reader) checkFormers() {
	r.k.former = map[Named]map[string]string{NamedItem: {}, NamedStep: {}, NamedVessel: {}, NamedSupplier: {}}
	first := map[Named]map[string]*yaml.Node{NamedItem: {}, NamedStep: {}, NamedVessel: {}, NamedSupplier: {}}
	for _, f := range r.formers {
		taken := false
		switch f.of {
		case NamedStep:
			_, taken = r.stepAt[f.was]
		case NamedVessel:
			_, taken = r.vesselAt[f.was]
		case NamedSupplier:
			taken = r.k.SupplierNamed(f.was) != nil
		default:
			_, taken = r.itemAt[f.was]
		}
		before := first[f.of][f.was]
		switch {
		case taken:
			r.fault(r.span(f.at), "was-taken", "give the one that is called so now another name, or take this one out", "%q is what %q was called, and something is called so now", f.was, f.name)
		case before != nil:
			r.fault(r.span(f.at), "was-twice", "take it out in one of the two places", "%q is written as a former name twice", f.was).note(r.span(before).Pos, "also written here")
		default:
			r.k.former[f.of][f.was], first[f.of][f.was] = f.name, f.at
		}
	}
}

// Now is what something is called now, by what it is called or was.
func (k *Kitchen) Now(of Named, name string) string {
	if len(k.former[of]) == 0 {
		return name
	}
	if now, ok := k.former[of][norm.NFC.String(strings.TrimSpace(name))]; ok {
		return now
	}
	return name
}

// Formerly is what something of the file was called before, in order.
func (k *Kitchen) Formerly(of Named, name string) (names []string) {
	for was, is := range k.former[of] {
		if is == name {
			names = append(names, was)
		}
	}
	slices.Sort(names)
	return names
}

// formerly finds the longest former name that s begins with, of things with some names of now.
func (k *Kitchen) formerly(s, what string, names iter.Seq[named], ends *regexp.Regexp) (place int, rest string) {
	of := NamedItem
	if n := Named(what); n == NamedStep || n == NamedVessel {
		of = n
	}
	at, n := map[string]int{}, 0
	for name := range names {
		at[name.name] = n
		n++
	}
	var olds []string
	var places []int
	for _, was := range slices.Sorted(maps.Keys(k.former[of])) {
		if p, ok := at[k.former[of][was]]; ok {
			olds, places = append(olds, was), append(places, p)
		}
	}
	if i, rest := longest(s, plainly(olds...), ends); i >= 0 {
		return places[i], rest
	}
	return -1, s
}

// Renamed tells whether the file has former names.
func (k *Kitchen) Renamed() bool {
	for _, names := range k.former {
		if len(names) > 0 {
			return true
		}
	}
	return false
}

// Was writes down what something was called before, so that what was said of it still counts.
func Was(name, before string) Edit {
	return Edit{fmt.Sprintf("%s was called %s", name, before), func(m *manuscript) error {
		d, err := Drawn(m.file, m.src)
		if err != nil {
			return err
		}
		for _, list := range Lists {
			unlisted := list == InMade && slices.ContainsFunc(d.Boxes, func(b Box) bool { return b.List == InMade && b.Name == name })
			if m.find(list, name) == nil && !unlisted {
				continue
			}
			names := formersOf(m.find(list, name))
			had := len(names)
			names = slices.DeleteFunc(names, func(n string) bool { return n == name })
			if !slices.Contains(names, before) {
				names = append(names, before)
			}
			if len(names) == 0 && had == 0 {
				continue
			}
			for i := range names {
				names[i] = Words(names[i])
			}
			if err := Set(list, name, wasWord, "["+strings.Join(names, ", ")+"]").do(m); err != nil {
				return err
			}
		}
		return nil
	}}
}

// formersOf are the former names that stand in a body.
func formersOf(body *yaml.Node) (names []string) {
	if n := behind(body, wasWord); n != nil && n.Kind == yaml.SequenceNode {
		for _, c := range n.Content {
			names = append(names, norm.NFC.String(c.Value))
		}
	}
	return names
}
