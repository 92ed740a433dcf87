package kitchen

// The amount of a line changed, and a thing that comes from a second source priced again: all else of the line stays.

import (
	"fmt"
	"slices"

	"golang.org/x/text/unicode/norm"
)

// Reamount writes another quantity of the first choice of a line: "450 mL". What else stands on the line stays.
func Reamount(list, name, key string, at int, quantity string) Edit {
	return Edit{fmt.Sprintf("%s %s %s", name, key, quantity), func(m *manuscript) error {
		n := m.lines(list, name, key)
		if n == nil || at < 0 || at >= len(n.Content) {
			return m.unknown(list, name)
		}
		in := used
		switch {
		case key == "gives":
			in = given
		case list != InSteps:
			in = plated
		}
		line := norm.NFC.String(n.Content[at].Value)
		c, err := parseLine(line, in)
		if err != nil {
			return m.stuck(n.Content[at])
		}
		r := c.choices[0]
		return m.replace(&n.Content[at], Words(line[:r.start]+quantity+" "+line[r.at:]))
	}}
}

// SetSource writes a value behind a key of one of the further sources of a bought item.
func SetSource(name, source, key, value string) Edit {
	return Edit{fmt.Sprintf("%s of %s from %s: %s", key, name, source, value), func(m *manuscript) error {
		body := m.find(InBought, name, "also from", source)
		if body == nil {
			return m.unknown(InBought, name)
		}
		return m.put(body, key, value, nil)
	}}
}

// Liquid tells whether something with a name is measured by the litre, as far as its words tell.
func Liquid(name string) bool {
	return slices.ContainsFunc(potLiquids, func(word string) bool { return hasWord(name, word) })
}
