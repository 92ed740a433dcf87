package kitchen

// Lines of a card as thumbs type them: "1 bread roll" is one piece, though no unit says so. The kitchen file itself always has the unit.

import (
	"errors"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// inPieces is a line with "each" where a name follows its number at once. A word that is one letter from a unit stays as it is, and so is refused,
// unless it begins the name of something that is known: "1 bunchs parsley" is a slip.
func inPieces(line string, in place, known func(name string) bool) string {
	const most = 8 // choices of one line
	for range most {
		_, err := parseLine(line, in)
		e, ok := errors.AsType[*measure.Error](err)
		if !ok || !e.NoUnit {
			return line
		}
		name, _, _ := strings.Cut(line[e.At:], ",")
		name, _, _ = strings.Cut(name, " or ")
		word, _, _ := strings.Cut(name, " ")
		if measure.Misspelt(word) && !known(strings.TrimSpace(name)) {
			return line
		}
		line = line[:e.At] + measure.Each.Name + " " + line[e.At:]
	}
	return line
}

// typedLine is a line of a card as it was typed, as the file has it.
func (m *manuscript) typedLine(list, key, line string) string {
	return inPieces(norm.NFC.String(measure.Pointed(line)), placeOf(list, key), m.hasItem)
}

// typedLines are the lines of a blank of one thing, as the file has them.
func (m *manuscript) typedLines(list, name, key, text string) string {
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		switch f := formOf(list, key); {
		case key == "takes" || key == "gives":
			lines[i] = m.typedLine(list, key, strings.TrimSpace(l))
		case f == priceForm:
			lines[i] = m.typedPrice(list, name, l)
		case f.numbered():
			lines[i] = measure.Pointed(l)
		}
	}
	return strings.Join(lines, "\n")
}

// numbered tells whether what stands behind a key begins with a number, so that a comma in it is that of decimals.
func (f *form) numbered() bool {
	for ; f != nil; f = f.or {
		if f.shape == number || f.shape == halved || strings.Contains(f.pattern, measure.NumberPattern) {
			return true
		}
	}
	return false
}

// typedPrice is a price as it was typed, as the file has it: of what the item is asked for by, where it is a number alone.
func (m *manuscript) typedPrice(list, name, text string) string {
	typed := measure.Pointed(strings.TrimLeft(text, "$€£¥ "))
	if _, rest, err := measure.Number(typed); err != nil || strings.TrimSpace(rest) != "" || list != InBought {
		return typed
	}
	k, _ := Read(m.file, m.was)
	if k == nil {
		return typed
	}
	i, err := k.FindItem(name)
	if err != nil || k.Graph.Items[i].Name != name {
		return typed
	}
	return strings.TrimSpace(typed) + "/" + pricedIn(k.Graph.Items, k.Graph.Items[i].Unit)
}

// pricedIn is the unit that things are priced by which recipes have in another: nobody buys yoghurt by the spoon. A kitchen that weighs anything by
// the pound buys by the quart.
func pricedIn(items []graph.Item, u measure.Unit) string {
	pounds := func(u measure.Unit) bool { return u.Name == "lb" || u.Name == "oz" }
	switch {
	case pounds(u):
		return "lb"
	case u.Kind == measure.Weight:
		return "kg"
	case u.Kind == measure.Count, slices.Contains([]string{"pt", "qt", "gal", "bushel", "uk pt", "uk qt", "uk gal"}, u.Name):
		return u.Name
	case slices.ContainsFunc(items, func(it graph.Item) bool { return pounds(it.Unit) }):
		return "qt"
	}
	return "L"
}

// hasItem tells whether the file has an item of a name: bought, or given by a step.
func (m *manuscript) hasItem(name string) bool {
	if slices.ContainsFunc([]string{InBought, InMade}, func(list string) bool { return slices.Contains(keysOf(m.find(list)), name) }) {
		return true
	}
	for _, step := range keysOf(m.find(InSteps)) {
		for _, l := range m.cardLines(InSteps, step, "gives") {
			if c, err := parseLine(l, given); err == nil && c.choices[0].item == name {
				return true
			}
		}
	}
	return false
}

// counts tells whether the file counts an item in pieces.
func (m *manuscript) counts(item string) bool {
	k, _ := Read(m.file, m.src)
	if k == nil {
		return false
	}
	i, err := k.FindItem(item)
	return err == nil && k.Graph.Items[i].Name == item && k.Graph.Items[i].Unit.Kind == measure.Count
}
