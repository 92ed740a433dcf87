package kitchen

// Lines of a card as thumbs type them: "1 bread roll" is one piece, though no unit says so. The kitchen file itself always has the unit.

import (
	"errors"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

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
	return inPieces(norm.NFC.String(line), placeOf(list, key), m.hasItem)
}

// typedLines are the lines of a blank, as the file has them.
func (m *manuscript) typedLines(list, key, text string) string {
	if key != "takes" && key != "gives" {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		lines[i] = m.typedLine(list, key, strings.TrimSpace(l))
	}
	return strings.Join(lines, "\n")
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
