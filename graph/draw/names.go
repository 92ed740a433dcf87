package draw

// Ids for nodes: stable, unique, and fit for XML, HTML and the fragment of a web address.

import (
	"strconv"
	"strings"
	"unicode"
)

// names hands out ids. Those that would come out the same are numbered in the order in which they are asked for.
type names map[string]bool

// longestID is about how many bytes of a name go into an id.
const longestID = 60

// id makes "dish-red-pozole" of the kind and the name, and "dish-red-pozole-2" when that is taken.
func (taken names) id(kind, name string) string {
	var b strings.Builder
	b.WriteString(kind)
	gap := true
	for _, r := range strings.ToLower(name) {
		if b.Len() > longestID {
			break
		}
		if !inWord(r) {
			gap = true
			continue
		}
		if gap {
			b.WriteByte('-')
			gap = false
		}
		b.WriteRune(r)
	}
	base := b.String()
	id := base
	for n := 2; taken[id]; n++ {
		id = base + "-" + strconv.Itoa(n)
	}
	taken[id] = true
	return id
}

func inWord(r rune) bool {
	return r != unicode.ReplacementChar && (unicode.IsLetter(r) || unicode.IsDigit(r))
}

// validID reports whether an id can stand in an attribute and an address without being escaped.
func validID(id string) bool {
	return id != "" && strings.IndexFunc(id, func(r rune) bool {
		return !inWord(r) && !strings.ContainsRune("-_.:",
			r)
	}) < 0
}
