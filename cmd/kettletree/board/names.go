package board

// Names as they are typed in a hurry: in any case, in part, in another language. One that can only mean one thing means it; else those
// that it may mean are a list to tap.

import (
	"slices"
	"strings"
	"unicode"

	"github.com/agnivade/levenshtein"
	"golang.org/x/text/unicode/norm"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

// called is something with all the names that it goes by, its own first.
type called []string

// mostMeant bounds a list to tap: it should be on the screen as a whole.
const mostMeant = 8

// plainName is a name as names are compared: one space between words, no capitals, no accents.
func plainName(name string) string {
	name = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFD.String(name))
	return strings.Join(strings.Fields(name), " ")
}

// meant finds what a typed name means. Name is what it can only mean, in its own words; else meant are those that it may mean, the
// likeliest first, none where it is like nothing at all.
func meant(typed string, all []called) (name string, meant []string) {
	typed = plainName(typed)
	if typed == "" {
		return "", nil
	}
	words := strings.Fields(typed)
	type near struct {
		own      string
		distance int
	}
	var begins, parts []string
	var nears []near
	for _, c := range all {
		whole, begin, part, best := false, false, false, len(typed)/3+1
		for _, n := range c {
			plain := plainName(n)
			whole = whole || plain == typed
			begin = begin || strings.HasPrefix(plain, typed)
			part = part || !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(plain, w) })
			best = min(best, levenshtein.ComputeDistance(typed, plain))
		}
		switch {
		case whole:
			return c[0], nil
		case begin:
			begins = append(begins, c[0])
		case part:
			parts = append(parts, c[0])
		case best <= len(typed)/3:
			nears = append(nears, near{c[0], best})
		}
	}
	if found := slices.Concat(begins, parts); len(found) > 0 {
		if len(found) == 1 {
			return found[0], nil
		}
		return "", found[:min(len(found), mostMeant)]
	}
	slices.SortStableFunc(nears, func(a, b near) int { return a.distance - b.distance })
	for _, n := range nears[:min(len(nears), mostMeant)] {
		meant = append(meant, n.own)
	}
	return "", meant
}

// namesOf are the names of something, its own and those that the file gives it in other languages.
func namesOf(k *kitchen.Kitchen, of kitchen.Named, at int, own string) called {
	c := called{own}
	for _, o := range k.OtherNames {
		if o.Of == of && o.At == at {
			c = append(c, o.Name)
		}
	}
	return c
}

// itemNames are the items with one of some roles.
func itemNames(k *kitchen.Kitchen, roles ...graph.Role) (all []called) {
	for i, it := range k.Graph.Items {
		if slices.Contains(roles, it.Role) {
			all = append(all, namesOf(k, kitchen.NamedItem, i, it.Name))
		}
	}
	return all
}

// stepNames are the steps.
func stepNames(k *kitchen.Kitchen) (all []called) {
	for s, st := range k.Graph.Steps[:len(k.Steps)] {
		all = append(all, namesOf(k, kitchen.NamedStep, s, st.Name))
	}
	return all
}

// dishNames are the dishes and specials.
func dishNames(k *kitchen.Kitchen) (all []called) {
	for _, d := range k.Dishes {
		at := slices.IndexFunc(k.Graph.Items, func(it graph.Item) bool { return it.Name == d.Name })
		if at < 0 {
			all = append(all, called{d.Name})
			continue
		}
		all = append(all, namesOf(k, kitchen.NamedItem, at, d.Name))
	}
	return all
}
