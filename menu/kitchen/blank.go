package kitchen

// The kitchen file as forms ask for it: each thing of a list with a blank for each key, in which stands what a cook would type. A list is a
// line for each, a mapping a line "tue: 2" for each of its keys; brackets and quotes are the file's own.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"
)

// Blank is a key of the kitchen file as a form asks for it.
type Blank struct {
	Key    string
	Takes  string   // "a price such as 4.20/kg"
	Doc    string   // what it means, in sentences
	Needed bool     // it can't be left empty
	Words  []string // the only texts that it takes; nil for any
	Tall   bool     // what stands in it may take several lines
}

// Lists are those lists of the kitchen file whose entries have names, as forms offer them.
var Lists = []string{InBought, InSteps, InMade, InDishes, InSpecials, "vessels", "suppliers"}

// OneOf is one thing of a list in words: "bought item".
func OneOf(list string) string { return oneOfList[list] }

// bodyOf is the form of what stands in a list; nil where there is no such list.
func bodyOf(list string) *form {
	for i := range kitchenForm.keys {
		if k := &kitchenForm.keys[i]; k.name == list && oneOfList[list] != "" {
			return k.takes.of
		}
	}
	return nil
}

// formOf is what stands behind a key of what stands in a list; nil where there is no such key.
func formOf(list, key string) *form {
	body := bodyOf(list)
	if body == nil {
		return nil
	}
	for i := range body.keys {
		if body.keys[i].name == key {
			return body.keys[i].takes
		}
	}
	return nil
}

// Blanks are those of a list of the kitchen file, in the order in which they are written.
func Blanks(of string) (all []Blank) {
	body := bodyOf(of)
	if body == nil {
		return nil
	}
	for _, k := range body.keys {
		b := Blank{Key: k.name, Takes: k.takes.what, Doc: k.doc, Needed: k.needed, Words: k.takes.words, Tall: k.name == methodKey || k.name == looksKey}
		for f := k.takes; f != nil; f = f.or {
			b.Tall = b.Tall || f.shape == entries || f.shape == fields || f.shape == list && !f.short()
			if f != k.takes {
				b.Takes += ", or " + f.what
				b.Words = nil
			}
		}
		all = append(all, b)
	}
	return all
}

// short tells whether a list is of words, which go in a line with commas.
func (f *form) short() bool { return f == allergensForm || f.of.words != nil }

// noneWord stands for an empty list.
const noneWord = "none"

// shown is what stands in the blank of a value.
func (f *form) shown(n *yaml.Node) string {
	switch {
	case n == nil, n.Kind == yaml.ScalarNode && n.Tag == "!!null":
		return ""
	case n.Kind == yaml.ScalarNode:
		return norm.NFC.String(n.Value)
	case n.Kind == yaml.SequenceNode && len(n.Content) == 0:
		return noneWord
	case n.Kind == yaml.SequenceNode:
		var parts []string
		for _, c := range n.Content {
			if c.Kind == yaml.MappingNode && len(c.Content) == 2 {
				parts = append(parts, norm.NFC.String(c.Content[0].Value)+": "+inFlow(c.Content[1]))
			} else {
				parts = append(parts, (*form)(nil).shown(c))
			}
		}
		if l := f.among(list); l != nil && l.short() {
			return strings.Join(parts, ", ")
		}
		return strings.Join(parts, "\n")
	case len(n.Content) == 0:
		return "{}"
	}
	var lines []string
	for i := 0; i+1 < len(n.Content); i += 2 {
		value := n.Content[i+1]
		text := norm.NFC.String(value.Value)
		if value.Kind != yaml.ScalarNode {
			text = inFlow(value)
		}
		lines = append(lines, norm.NFC.String(n.Content[i].Value)+": "+text)
	}
	return strings.Join(lines, "\n")
}

// among is the form of a shape among one and its alternatives; nil where none has it.
func (f *form) among(s shape) *form {
	for ; f != nil; f = f.or {
		if f.shape == s {
			return f
		}
	}
	return nil
}

// inFlow writes a value as it stands between brackets.
func inFlow(n *yaml.Node) string {
	var parts []string
	switch n.Kind {
	case yaml.SequenceNode:
		for _, c := range n.Content {
			parts = append(parts, inFlow(c))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			parts = append(parts, Words(norm.NFC.String(n.Content[i].Value))+": "+inFlow(n.Content[i+1]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	if n.Tag != "!!str" {
		return n.Value
	}
	return Words(norm.NFC.String(n.Value))
}

// typed is a value as it stands between brackets, from what stands in its blank.
func (f *form) typed(text string) string {
	text = strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n"))
	l, m := f.among(list), f.among(entries)
	if m == nil {
		m = f.among(fields)
	}
	first, _, several := strings.Cut(text, "\n")
	switch {
	case (l != nil || m != nil) && !several && strings.ContainsAny(text[:min(1, len(text))], "[{"): // as it stands in the file
		return text
	case l != nil && text == noneWord:
		return "[]"
	case l != nil:
		return "[" + strings.Join(l.parts(text), ", ") + "]"
	case m != nil && keyed(first):
		var parts []string
		for line := range strings.Lines(text) {
			if line = strings.TrimSpace(line); line == "" {
				continue
			}
			key, value, _ := strings.Cut(line+" ", ": ")
			parts = append(parts, Words(strings.TrimSpace(key))+": "+m.behind(strings.TrimSpace(key)).plain(strings.TrimSpace(value)))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return f.plain(strings.Join(strings.Fields(text), " "))
}

// keyed tells whether a line has a key.
func keyed(line string) bool { return strings.Contains(line+" ", ": ") }

// behind is the form of what stands behind a key of a mapping.
func (f *form) behind(name string) *form {
	for i := range f.keys {
		if f.keys[i].name == name {
			return f.keys[i].takes
		}
	}
	if f.of != nil {
		return f.of
	}
	return anyText
}

// parts are the values of a list as they stand between brackets.
func (f *form) parts(text string) (list []string) {
	between := func(c rune) bool { return c == '\n' || c == ',' && f.short() }
	for part := range strings.FieldsFuncSeq(text, between) {
		part = strings.TrimSpace(part)
		key, value, found := strings.Cut(part, ": ")
		switch {
		case part == "":
		case found && f.of.among(entries) != nil:
			list = append(list, "{"+Words(key)+": "+Words(value)+"}")
		default:
			list = append(list, f.of.plain(part))
		}
	}
	return list
}

// plain is a single value as it stands between brackets: a number as a number where one may stand, or else text.
func (f *form) plain(text string) string {
	if strings.HasPrefix(text, "{") || strings.HasPrefix(text, "[") {
		if f.among(entries) != nil || f.among(fields) != nil || f.among(list) != nil {
			return text
		}
	}
	if n, err := (*manuscript)(nil).part(text); err == nil && n.Kind == yaml.ScalarNode && isNumber(n) && n.Style&quotedStyles == 0 {
		for g := f; g != nil; g = g.or {
			if g.shape == number || g.shape == whole || g.shape == halved {
				return text
			}
		}
	}
	return Words(text)
}

// Blanked is what stands in the blanks of one thing of a list, by key; nil where the file does not have it. The error, an [*AmendError],
// says that the file can't be read.
func Blanked(file string, src []byte, list, name string) (map[string]string, error) {
	m, err := newManuscript(file, src)
	if err != nil {
		return nil, err
	}
	body := m.find(list, name)
	if body == nil {
		return nil, nil
	}
	texts := map[string]string{}
	for _, key := range keysOf(body) {
		texts[key] = formOf(list, key).shown(behind(body, key))
	}
	return texts, nil
}

// NamesIn are the names that stand in a list of the file, in its order.
func NamesIn(file string, src []byte, list string) ([]string, error) {
	m, err := newManuscript(file, src)
	if err != nil {
		return nil, err
	}
	return keysOf(m.find(list)), nil
}

// ListsOf are the lists in which something of a name stands.
func ListsOf(file string, src []byte, name string) (lists []string, err error) {
	m, err := newManuscript(file, src)
	if err != nil {
		return nil, err
	}
	for _, list := range Lists {
		if m.find(list, name) != nil {
			lists = append(lists, list)
		}
	}
	return lists, nil
}

// Fill writes what stands in a blank behind its key: line by line, so that remarks on the lines that stay are kept. An empty blank takes the
// key out.
func Fill(list, name, key, text string) Edit {
	text = strings.TrimSpace(text)
	says := fmt.Sprintf("%s of %s: %s", key, name, strings.Join(strings.Fields(strings.ReplaceAll(text, "\n", "; ")), " "))
	if text == "" {
		says = fmt.Sprintf("no %s of %s", key, name)
	}
	if formOf(list, key) == yesNo { // "cooks through of tripe pot: yes" is no English
		says = fmt.Sprintf("%s, %s: %s", name, key, cmp.Or(text, "not said"))
	}
	return Edit{says, func(m *manuscript) error {
		f, text := formOf(list, key), m.typedLines(list, name, key, text)
		if f == nil {
			var keys []string
			for _, b := range Blanks(list) {
				keys = append(keys, b.Key)
			}
			return &AmendError{Msg: fmt.Sprintf("a %s has no %q", OneOf(list), key), Hint: new(source).meant(key, plainly(keys...), "it has "+strings.Join(keys, ", "))}
		}
		at, _, was := m.entry(m.find(list, name), key)
		switch {
		case f.shown(was) == text: // nothing, where there is nothing
			return nil
		case text == "":
			return Unset(list, name, key).do(m)
		case at < 0:
			return Set(list, name, key, f.typed(text)).do(m)
		}
		value := f.typed(text)
		becomes, err := m.part(value)
		if err != nil {
			return err
		}
		scalars := func(n *yaml.Node) bool {
			return n.Kind == yaml.SequenceNode && len(n.Content) > 0 && !slices.ContainsFunc(n.Content, func(c *yaml.Node) bool { return c.Kind != yaml.ScalarNode })
		}
		switch {
		case sameTree(was, becomes):
			return nil
		case scalars(was) && scalars(becomes):
			return m.align(list, name, key, becomes)
		case was.Kind == yaml.MappingNode && becomes.Kind == yaml.MappingNode && len(was.Content) > 0 && len(becomes.Content) > 0:
			return m.merge(becomes, list, name, key)
		}
		return Set(list, name, key, value).do(m)
	}}
}

// merge changes a mapping key by key.
func (m *manuscript) merge(becomes *yaml.Node, path ...string) error {
	for _, key := range keysOf(becomes) {
		in, value := m.find(path...), behind(becomes, key)
		if was := behind(in, key); was != nil && sameTree(was, value) {
			continue
		}
		if err := m.put(in, key, inFlow(value), nil); err != nil {
			return err
		}
	}
	for _, key := range keysOf(m.find(path...)) {
		if behind(becomes, key) != nil {
			continue
		}
		in := m.find(path...)
		at, _, _ := m.entry(in, key)
		if err := m.takeOut(in, at, path...); err != nil {
			return err
		}
	}
	return nil
}

// align changes a list line by line: lines that stay are left alone, those of the same item are changed where they stand.
func (m *manuscript) align(list, name, key string, becomes *yaml.Node) error {
	in := used
	if key == "gives" {
		in = given
	}
	item := func(n *yaml.Node) string {
		if c, err := parseLine(norm.NFC.String(n.Value), in); err == nil {
			return c.choices[0].item
		}
		return n.Value
	}
	old, now := m.lines(list, name, key).Content, becomes.Content
	// The alignment that keeps most: a line that stays counts three, one of the same item two.
	like := func(i, j int) int {
		switch {
		case sameTree(old[i], now[j]):
			return 3
		case item(old[i]) == item(now[j]):
			return 2
		}
		return 0
	}
	best := make([][]int, len(old)+1)
	for i := range best {
		best[i] = make([]int, len(now)+1)
	}
	for i := range old {
		for j := range now {
			best[i+1][j+1] = max(best[i][j+1], best[i+1][j])
			if l := like(i, j); l > 0 {
				best[i+1][j+1] = max(best[i+1][j+1], best[i][j]+l)
			}
		}
	}
	// From the end, so that places before stay; what is new goes in before what is gone goes out, so that the list is never empty.
	var edits, out []Edit
	for i, j := len(old), len(now); i > 0 || j > 0; {
		switch {
		case i > 0 && j > 0 && like(i-1, j-1) > 0 && best[i][j] == best[i-1][j-1]+like(i-1, j-1):
			if like(i-1, j-1) < 3 {
				edits = append(edits, SetLine(list, name, key, i-1, now[j-1].Value))
			}
			edits, out = append(edits, out...), nil
			i, j = i-1, j-1
		case j > 0 && best[i][j] == best[i][j-1]:
			edits = append(edits, AddLine(list, name, key, i+len(out), now[j-1].Value))
			j--
		default:
			out = append(out, DropLine(list, name, key, i-1))
			i--
		}
	}
	for _, e := range append(edits, out...) {
		if err := e.do(m); err != nil {
			return err
		}
	}
	return nil
}

// SameItem tells whether two lines of a card, behind "takes" or "gives", are about the same item: the first that each names.
func SameItem(a, b, key string) bool {
	in := used
	if key == "gives" {
		in = given
	}
	any := func(string) bool { return true }
	x, err := parseLine(inPieces(norm.NFC.String(strings.TrimSpace(a)), in, any), in)
	y, err2 := parseLine(inPieces(norm.NFC.String(strings.TrimSpace(b)), in, any), in)
	return err == nil && err2 == nil && x.choices[0].item == y.choices[0].item
}
