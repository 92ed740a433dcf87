package kitchen

// The text of a kitchen file as it is changed: where each value begins and ends, and one value put in the place of another. All bytes that
// a change does not touch stay. Each change is made twice, in the text and in the tree that the text is read to; where the changed text does
// not read to the changed tree, it is refused.

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"
)

// manuscript is a text with its tree.
type manuscript struct {
	file string
	src  []byte
	root *yaml.Node
	from []int  // where each line begins
	was  []byte // the text before any edit
}

func newManuscript(file string, src []byte) (*manuscript, error) {
	text, clean, ok := newSource(file, src, "\r\n", "\r", "\u0085", "\u2028", "\u2029")
	if ok {
		r := &reader{source: text}
		if root := r.parse(clean); root != nil && root.Kind == yaml.MappingNode {
			m := &manuscript{file, src, root, []int{len(src) - len(clean)}, src}
			for _, found := range lineEnd.FindAllIndex(src, -1) {
				m.from = append(m.from, found[1])
			}
			return m, nil
		}
	}
	return nil, &AmendError{Msg: file + " can't be read", Hint: "kettletree check says why", Faults: text.found}
}

// stuck says that something is written in a way that nothing here can change.
func (m *manuscript) stuck(n *yaml.Node) error {
	return &AmendError{Msg: fmt.Sprintf("%s is written in a way that can't be changed in place", Pos{m.file, n.Line, n.Column}),
		Hint: "write it plainly on one line, or change it by hand"}
}

// splice puts a text in the place of some bytes. The tree has been changed alike before; near is what it is about.
func (m *manuscript) splice(from, to int, text string, near *yaml.Node) error {
	refused := m.stuck(near)
	next, err := newManuscript(m.file, slices.Concat(m.src[:from], []byte(text), m.src[to:]))
	if err != nil || !sameTree(m.root, next.root) {
		return refused
	}
	*m = *next
	return nil
}

// sameTree tells whether two trees hold the same.
func sameTree(a, b *yaml.Node) bool {
	if a.Kind != b.Kind || a.Tag != b.Tag || a.Value != b.Value || len(a.Content) != len(b.Content) {
		return false
	}
	for i := range a.Content {
		if !sameTree(a.Content[i], b.Content[i]) {
			return false
		}
	}
	return true
}

// start is the byte at which a node begins, with its quote or bracket.
func (m *manuscript) start(n *yaml.Node) int {
	at := m.from[n.Line-1]
	for range n.Column - 1 {
		_, size := utf8.DecodeRune(m.src[at:])
		at += size
	}
	return at
}

// end is the byte behind a node; ok is false where it is written in a way that this does not follow.
func (m *manuscript) end(n *yaml.Node) (at int, ok bool) {
	at = m.start(n)
	flow := n.Style&yaml.FlowStyle != 0
	switch {
	case n.Kind == yaml.ScalarNode && n.Style&quotedStyles != 0:
		return m.unquoted(at)
	case n.Kind == yaml.ScalarNode:
		return at + len(n.Value), n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) == 0 && n.Anchor == "" && bytes.HasPrefix(m.src[at:], []byte(n.Value))
	case n.Kind != yaml.MappingNode && n.Kind != yaml.SequenceNode, n.Anchor != "", !flow && len(n.Content) == 0:
		return 0, false
	case !flow:
		return m.end(n.Content[len(n.Content)-1])
	}
	if at++; len(n.Content) > 0 {
		if at, ok = m.end(n.Content[len(n.Content)-1]); !ok {
			return 0, false
		}
	}
	for ; at < len(m.src); at++ {
		switch c := m.src[at]; {
		case c == '}' || c == ']':
			return at + 1, true
		case c == '#':
			at = m.lineEnd(at) - 1
		case !bytes.ContainsRune([]byte(" \t\r\n,"), rune(c)):
			return 0, false
		}
	}
	return 0, false
}

// unquoted is the byte behind the quote that closes the one at a byte.
func (m *manuscript) unquoted(at int) (int, bool) {
	quote := m.src[at]
	for at++; at < len(m.src); at++ {
		switch c := m.src[at]; {
		case c == '\\' && quote == '"':
			at++
		case c == quote && quote == '\'' && at+1 < len(m.src) && m.src[at+1] == quote:
			at++
		case c == quote:
			return at + 1, true
		}
	}
	return 0, false
}

// lineEnd is where the line of a byte ends, before what ends it.
func (m *manuscript) lineEnd(at int) int {
	if found := lineEnd.FindIndex(m.src[at:]); found != nil {
		return at + found[0]
	}
	return len(m.src)
}

// lineStart is where the line of a byte begins.
func (m *manuscript) lineStart(at int) int {
	line, found := slices.BinarySearch(m.from, at)
	if found {
		return at
	}
	return m.from[max(0, line-1)]
}

// newline is what ends lines near a byte.
func (m *manuscript) newline(at int) string {
	if found := lineEnd.Find(m.src[m.lineStart(at):]); found != nil {
		return string(found)
	}
	if found := lineEnd.Find(m.src); found != nil {
		return string(found)
	}
	return "\n"
}

// entry finds a key of a mapping, and what stands behind it; at is that of the key, negative where it is not there.
func (m *manuscript) entry(n *yaml.Node, name string) (at int, key, value *yaml.Node) {
	for i := 0; n != nil && n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if norm.NFC.String(n.Content[i].Value) == name {
			return i, n.Content[i], n.Content[i+1]
		}
	}
	return -1, nil, nil
}

// find is what stands behind keys one in another; nil where it is not there.
func (m *manuscript) find(keys ...string) *yaml.Node {
	n := m.root
	for _, key := range keys {
		_, _, n = m.entry(n, key)
	}
	return n
}

// part reads a value as it would stand in brackets.
func (m *manuscript) part(value string) (*yaml.Node, error) {
	r := &reader{source: &source{lines: []string{""}, runes: make([][]rune, 1)}}
	if n := r.parse([]byte("[" + value + "]")); n != nil && n.Kind == yaml.SequenceNode && len(n.Content) == 1 && !strings.ContainsAny(value, "\r\n") {
		return n.Content[0], nil
	}
	return nil, &AmendError{Msg: fmt.Sprintf("%q is not one value", value), Hint: "write it as it stands in a kitchen file, between brackets"}
}

// Words writes a text so that it reads as that text wherever it stands: plainly, or in quotes.
func Words(text string) string {
	r := &reader{source: &source{lines: []string{""}, runes: make([][]rune, 1)}}
	is := func(n *yaml.Node, kind yaml.Kind, at int) bool {
		return n != nil && n.Kind == kind && len(n.Content) == at+1 && n.Content[at].Kind == yaml.ScalarNode && n.Content[at].Value == text &&
			n.Content[at].Tag == "!!str" && n.Content[at].Style&quotedStyles == 0
	}
	if !strings.ContainsAny(text, "\r\n") && is(r.parse([]byte("["+text+"]")), yaml.SequenceNode, 0) && is(r.parse([]byte("- "+text)), yaml.SequenceNode, 0) &&
		is(r.parse([]byte("k: "+text)), yaml.MappingNode, 1) {
		return text
	}
	return quotedAs(text, yaml.DoubleQuotedStyle)
}

// quotedAs writes a text in quotes, in those of a style as far as it can stand in them.
func quotedAs(text string, style yaml.Style) string {
	if style&yaml.DoubleQuotedStyle != 0 && !strings.ContainsAny(text, `"\`) {
		return `"` + text + `"`
	}
	return "'" + strings.ReplaceAll(text, "'", "''") + "'"
}

// replace puts a value in the place of another, whose place in the tree is slot. A comment at the end of its line stays in its column.
func (m *manuscript) replace(slot **yaml.Node, value string) error {
	was := *slot
	part, err := m.part(value)
	if err != nil {
		return err
	}
	from := m.start(was)
	to, ok := m.end(was)
	if !ok || was.Kind != yaml.ScalarNode && bytes.IndexByte(m.src[from:to], '#') >= 0 {
		return m.stuck(was) // a comment within would go
	}
	texts := []string{value}
	if part.Kind == yaml.ScalarNode && part.Tag == "!!str" && was.Kind == yaml.ScalarNode {
		texts = []string{part.Value, value} // plainly, if it can stand there
		if quotes := was.Style & quotedStyles; quotes != 0 {
			texts = []string{quotedAs(part.Value, quotes)}
		}
	}
	*slot = part
	eol, length := m.lineEnd(to), utf8.RuneCount(m.src[from:to])
	for _, text := range texts {
		if err = m.splice(from, eol, text+realigned("", string(m.src[to:eol]), utf8.RuneCountInString(text)-length), was); err == nil {
			break
		}
	}
	return err
}

// mention is a value that speaks of a name, with what it becomes.
type mention struct {
	slot  **yaml.Node
	value string
}

// replaceAll puts texts in the place of others, all at once: plainly where they stood plainly, or else in quotes.
func (m *manuscript) replaceAll(list []mention) error {
	type place struct{ from, to, at int }
	places := make([]place, len(list))
	for i, x := range list {
		to, ok := m.end(*x.slot)
		if !ok {
			return m.stuck(*x.slot)
		}
		places[i] = place{m.start(*x.slot), to, i}
	}
	slices.SortFunc(places, func(a, b place) int { return a.from - b.from })
	was := make([]yaml.Node, len(list))
	for i, x := range list {
		was[i] = **x.slot
		*x.slot = &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: x.value}
	}
	var err error
	for _, plainly := range []bool{true, false} {
		var text bytes.Buffer
		at := 0
		for _, p := range places {
			value := list[p.at].value
			switch quotes := was[p.at].Style & quotedStyles; {
			case quotes != 0:
				value = quotedAs(value, quotes)
			case !plainly:
				value = Words(value)
			}
			eol := m.lineEnd(p.to)
			rest := m.src[p.to:eol]
			text.Write(m.src[at:p.from])
			text.WriteString(value)
			at = p.to
			if !bytes.ContainsAny(rest, ",]}") { // the last on its line
				text.WriteString(realigned("", string(rest), utf8.RuneCountInString(value)-utf8.RuneCount(m.src[p.from:p.to])))
				at = eol
			}
		}
		text.Write(m.src[at:])
		next, fault := newManuscript(m.file, text.Bytes())
		if fault == nil && sameTree(m.root, next.root) {
			*m = *next
			return nil
		}
		err = m.stuck(&was[0])
	}
	return err
}

// put writes a value behind a key of a mapping: in the place of what stands there, or new. The key comes behind those that precede it in
// order; keys that are not in order come last.
func (m *manuscript) put(in *yaml.Node, key, value string, order []string) error {
	at, was, _ := m.entry(in, key)
	if at >= 0 {
		end, ok := m.end(was)
		v := in.Content[at+1]
		if v.Kind == yaml.ScalarNode && v.Tag == "!!null" && v.Value == "" && ok && end < len(m.src) && m.src[end] == ':' {
			part, err := m.part(value)
			if err != nil {
				return err
			}
			in.Content[at+1] = part
			return m.splice(end+1, end+1, " "+value, was)
		}
		return m.replace(&in.Content[at+1], value)
	}
	part, err := m.part(value)
	if err != nil {
		return err
	}
	rank := func(name string) int {
		if r := slices.Index(order, name); r >= 0 {
			return r
		}
		return len(order)
	}
	to := len(in.Content) // where the new key stands in the tree
	for i := 0; i < len(in.Content); i += 2 {
		if rank(norm.NFC.String(in.Content[i].Value)) > rank(key) {
			to = i
			break
		}
	}
	return m.insert(in, to, []*yaml.Node{{Kind: yaml.ScalarNode, Tag: "!!str", Value: key}, part}, Words(key)+": "+value)
}

// insert writes a new entry of a mapping or list, before what stands at a place in its tree.
func (m *manuscript) insert(in *yaml.Node, to int, nodes []*yaml.Node, text string) error {
	old := slices.Clone(in.Content)
	near := in
	flow := in.Style&yaml.FlowStyle != 0
	begins := m.start(in)
	if !flow && len(old) == 0 {
		return m.stuck(in)
	}
	in.Content = slices.Insert(slices.Clone(old), to, nodes...)
	switch {
	case flow && len(old) == 0:
		return m.splice(begins+1, begins+1, text, near)
	case flow && to < len(old):
		at := m.start(old[to])
		return m.splice(at, at, text+", ", near)
	case flow:
		at, ok := m.end(old[len(old)-1])
		if !ok {
			return m.stuck(old[len(old)-1])
		}
		return m.splice(at, at, ", "+text, near)
	}
	// In lines of their own: behind the line on which the entry before ends, or before the first.
	indent, dash := strings.Repeat(" ", in.Column-1), ""
	if in.Kind == yaml.SequenceNode {
		dash = "- "
	}
	if to == 0 {
		at := m.lineStart(begins)
		if len(bytes.TrimLeft(m.src[at:begins], " ")) > 0 {
			return m.stuck(in)
		}
		return m.splice(at, at, indent+dash+text+m.newline(at), near)
	}
	at, ok := m.end(old[to-1])
	if !ok {
		if last := old[to-1]; last.Kind == yaml.ScalarNode && last.Tag == "!!null" {
			at, ok = m.end(old[to-2])
		}
		if !ok {
			return m.stuck(old[to-1])
		}
	}
	eol := m.lineEnd(at)
	return m.splice(eol, eol, m.newline(at)+indent+dash+text, near)
}

// cut takes an entry out of a mapping or list: the nodes from one place in its tree to another. What was alone in lines takes them along.
func (m *manuscript) cut(in *yaml.Node, from, to int) error {
	old := slices.Clone(in.Content)
	first, last := old[from], old[to-1]
	begins := m.start(first)
	ends, ok := m.end(last)
	if !ok && last.Kind == yaml.ScalarNode && last.Tag == "!!null" && to-from == 2 {
		if ends, ok = m.end(first); ok {
			ends++ // the colon
		}
	}
	if !ok {
		return m.stuck(last)
	}
	flow := in.Style&yaml.FlowStyle != 0
	in.Content = slices.Delete(slices.Clone(old), from, to)
	if flow {
		switch {
		case to < len(old) && !bytes.ContainsAny(m.src[ends:m.start(old[to])], "\n#"):
			ends = m.start(old[to])
		case from > 0:
			if before, ok := m.end(old[from-1]); ok && !bytes.ContainsAny(m.src[before:begins], "\n#") {
				begins = before
			}
		}
		if rest := bytes.TrimLeft(m.src[ends:], " "); begins == m.start(first) && len(rest) > 0 && rest[0] == ',' && ends != m.start(first) {
			if to >= len(old) || ends != m.start(old[to]) {
				ends = len(m.src) - len(rest) + 1
			}
		}
		return m.splice(begins, ends, "", first)
	}
	if len(in.Content) == 0 { // "name: {}" in its place
		return m.stuck(first)
	}
	begins = m.lineStart(begins)
	ends = m.lineEnd(ends)
	if found := lineEnd.FindIndex(m.src[ends:]); found != nil {
		ends += found[1]
	} else if begins > 0 { // the last line of the file
		begins = m.lineEnd(m.lineStart(begins - 1))
	}
	return m.splice(begins, ends, "", first)
}
