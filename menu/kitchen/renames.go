package kitchen

// What is called otherwise in a later kitchen file. Who renames an item does it on every line that speaks of it: told line by line, that
// would read like another kitchen.

import (
	"slices"

	"golang.org/x/text/unicode/norm"
)

// renames finds what is called otherwise: what says so itself, what stands in the place of what is gone word for word, and items of which
// only their lines speak.
func (c *comparison) renames(was, is *manuscript) {
	c.items, c.using, c.kept, c.told = map[string]bool{}, map[string]int{}, map[string]bool{}, map[string]bool{}
	for _, k := range kitchenForm.keys {
		if _, named := oneOfList[k.name]; !named {
			continue
		}
		x, y := was.find(k.name), is.find(k.name)
		gone := without(keysOf(x), keysOf(y))
		for _, name := range without(keysOf(y), keysOf(x)) {
			says := func(old string) bool {
				return slices.Contains(formersOf(behind(y, name)), old) || slices.Contains(formersOf(behind(x, old)), name)
			}
			at := slices.IndexFunc(gone, says)
			if at < 0 {
				at = slices.IndexFunc(gone, func(old string) bool { return meaning(behind(x, old)) == meaning(behind(y, name)) })
			}
			if at >= 0 && c.called[gone[at]] == "" {
				c.called[gone[at]] = name
				c.kept[gone[at]] = slices.Contains(formersOf(behind(y, name)), gone[at])
				gone = slices.Delete(gone, at, at+1)
			}
		}
	}
	c.renamedLines(was, is)
}

// without are the names that stand in one list and not in another.
func without(list, not []string) (names []string) {
	return slices.DeleteFunc(slices.Clone(list), func(name string) bool { return slices.Contains(not, name) })
}

// cardLine is a line of a card, with what it is about.
type cardLine struct {
	text  string
	items []string
	in    place
}

// allLines are those of all cards.
func (m *manuscript) allLines() (list []cardLine, given []string) {
	for _, in := range []string{InSteps, InDishes, InSpecials} {
		for _, name := range keysOf(m.find(in)) {
			for _, key := range []string{"takes", "gives"} {
				for _, text := range m.cardLines(in, name, key) {
					l := cardLine{text: norm.NFC.String(text), in: placeOf(in, key)}
					if card, err := parseLine(l.text, l.in); err == nil {
						for _, r := range card.choices {
							l.items = append(l.items, r.item)
						}
					}
					if list = append(list, l); key == "gives" {
						given = append(given, l.items...)
					}
				}
			}
		}
	}
	return list, given
}

// renamedLines counts the lines that use what is called otherwise, and finds items of which nothing else speaks: one that is gone, and
// another that stands on all of its lines.
func (c *comparison) renamedLines(was, is *manuscript) {
	before, gaveBefore := was.allLines()
	after, givesNow := is.allLines()
	about := func(list []cardLine, item string) (lines []cardLine) {
		for _, l := range list {
			if slices.Contains(l.items, item) {
				lines = append(lines, l)
			}
		}
		return lines
	}
	gone := without(gaveBefore, givesNow)
	for _, name := range without(givesNow, gaveBefore) {
		if _, known := c.before(name); known {
			continue
		}
		now := about(after, name)
		at := slices.IndexFunc(gone, func(old string) bool {
			then := about(before, old)
			if c.called[old] != "" || len(then) != len(now) || len(now) < 2 && is.find(InMade, name) == nil {
				return false
			}
			for i := range then {
				text := then[i].text
				for from, to := range c.called {
					text = renamed(text, then[i].in, from, to)
				}
				if tidy(renamed(text, then[i].in, old, name)) != tidy(now[i].text) {
					return false
				}
			}
			return true
		})
		if at >= 0 {
			c.called[gone[at]] = name
			c.kept[gone[at]] = slices.Contains(formersOf(is.find(InMade, name)), gone[at])
		}
	}
	for old, name := range c.called {
		c.items[old] = slices.Contains(gaveBefore, old)
		c.using[name] = len(about(after, name))
	}
}

// rename tells that something is called otherwise, once.
func (c *comparison) rename(old string) {
	if c.told[old] {
		return
	}
	c.told[old] = true
	name := c.called[old]
	c.found = append(c.found, Alteration{List: c.list, Of: name, Was: old, Is: name, Lines: c.using[name], Kept: c.kept[old]})
}
