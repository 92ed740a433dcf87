package takeover

// What is new in a kitchen file, as it is written there.

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"kettletree/menu/kitchen"
)

// entry is something new for a list of the kitchen file.
type entry struct {
	list, name string
	keys       []string   // as "price: 14"
	lines      [][]string // with the key in front: "takes", lines ...
}

// appended writes new entries: behind the file, where it does not have their list, else as edits.
func appended(src []byte, fresh []entry) (text []byte, edits []kitchen.Edit) {
	text = slices.Clone(src)
	if n := len(text); n > 0 && text[n-1] != '\n' {
		text = append(text, '\n')
	}
	for _, list := range []string{kitchen.InBought, kitchen.InSteps, kitchen.InDishes} {
		mine := slices.DeleteFunc(slices.Clone(fresh), func(e entry) bool { return e.list != list })
		switch {
		case len(mine) == 0:
		case regexp.MustCompile(`(?m)^["']?` + list + `["']?\s*:`).Match(src):
			for _, e := range mine {
				edits = append(edits, kitchen.Add(list, e.name, e.flow()))
			}
		default:
			text = append(text, "\n"+abouts[list]+"\n"+list+":\n"...)
			for _, e := range mine {
				text = append(text, e.block()...)
			}
		}
	}
	return text, edits
}

// abouts stand above lists that are begun.
var abouts = map[string]string{
	kitchen.InBought: "# What comes from outside. \"allergens: [milk, wheat]\" says what the label says, [] that it has none; \"raw: yes\" is raw meat, fish or egg.",
	kitchen.InSteps:  "# What one batch takes, and what it gives. \"as needed\": whole batches, when what is on hand would not do.",
	kitchen.InDishes: "# What is sold, by portion. \"sells\" is the forecast of a service, or by service: {lunch: 22, fri dinner: 60}.",
}

// flow is an entry in brackets.
func (e entry) flow() string {
	var keys []string
	for _, l := range e.lines {
		var lines []string
		for _, line := range l[1:] {
			lines = append(lines, kitchen.Words(line))
		}
		keys = append(keys, l[0]+": ["+strings.Join(lines, ", ")+"]")
	}
	return "{" + strings.Join(append(keys, e.keys...), ", ") + "}"
}

// block is an entry in lines of its own, or in one where it is short.
func (e entry) block() string {
	const wide = 130
	if one := "  " + kitchen.Words(e.name) + ": " + e.flow() + "\n"; len([]rune(one)) <= wide {
		return one
	}
	b := "  " + kitchen.Words(e.name) + ":\n"
	for _, l := range e.lines {
		b += "    " + l[0] + ":\n"
		for _, line := range l[1:] {
			b += "      - " + kitchen.Words(line) + "\n"
		}
	}
	for _, key := range e.keys {
		b += "    " + key + "\n"
	}
	return b
}

// Head is how a kitchen file begins that is taken over from a spreadsheet.
func Head(from, kitchenName string) []byte {
	at := strings.LastIndexAny(from, `/\`)
	return []byte("# Taken over from " + nameOf(from[at+1:]) + ". Change it as you like: kettletree check says what does not add up, and\n" +
		"# kettletree check --open lists what is not known yet. kettletree help kitchen has every word.\n" +
		"kitchen: " + kitchen.Words(cmp.Or(nameOf(kitchenName), "My Kitchen")) + "\n")
}
