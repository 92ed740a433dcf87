package kitchen

// Changes of a kitchen file that keep its text: comments, order, quotes and layout stay, and only what is changed differs.

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"
)

// Edit is one change of a kitchen file. Names are those of the file, in its letters.
type Edit struct {
	Says string // "price of beef shank: 9.80/kg"
	do   func(m *manuscript) error
}

// Lists of the file whose entries have names.
const (
	InBought   = "bought"
	InSteps    = "steps"
	InMade     = "made"
	InDishes   = "dishes"
	InSpecials = "specials"
)

// orderOf are the keys of what stands in a list, or of the file ("") as they are written.
func orderOf(list string) (names []string) {
	keys := kitchenForm.keys
	for i := range keys {
		if list != "" && keys[i].name == list && keys[i].takes.of != nil {
			keys = keys[i].takes.of.keys
			break
		}
	}
	for _, k := range keys {
		names = append(names, k.name)
	}
	return names
}

// Set writes a value behind a key of what has a name in a list, as it would stand between brackets: `9.80/kg`, `{lunch: 12}`. What has a
// name and nothing else gets its first key; a made item that is not in its list yet is added.
func Set(list, name, key, value string) Edit {
	return Edit{fmt.Sprintf("%s of %s: %s", key, name, value), func(m *manuscript) error {
		body := m.find(list, name)
		switch {
		case body == nil && list == InMade:
			return m.add(list, name, "{"+Words(key)+": "+value+"}")
		case body == nil:
			return m.unknown(list, name)
		case body.Kind != yaml.MappingNode:
			return m.stuck(body)
		}
		return m.put(body, key, value, orderOf(list))
	}}
}

// SetTop writes a value behind a key of the file.
func SetTop(key, value string) Edit {
	return Edit{fmt.Sprintf("%s: %s", key, value), func(m *manuscript) error { return m.put(m.root, key, value, orderOf("")) }}
}

// Unset takes a key out of what has a name in a list.
func Unset(list, name, key string) Edit {
	return Edit{fmt.Sprintf("no %s of %s", key, name), func(m *manuscript) error {
		body := m.find(list, name)
		if body == nil {
			return m.unknown(list, name)
		}
		at, _, _ := m.entry(body, key)
		if at < 0 {
			return &AmendError{Msg: fmt.Sprintf("%q has no %q", name, key), Hint: "there is nothing to take out"}
		}
		return m.takeOut(body, at, list, name)
	}}
}

// takeOut takes a key out of a mapping that stands behind keys, and leaves {} where it was the last.
func (m *manuscript) takeOut(in *yaml.Node, at int, keys ...string) error {
	if len(in.Content) > 2 || in.Style&yaml.FlowStyle != 0 {
		return m.cut(in, at, at+2)
	}
	return m.empty(keys...)
}

// empty writes {} in the place of a mapping over several lines.
func (m *manuscript) empty(keys ...string) error {
	parent := m.find(keys[:len(keys)-1]...)
	at, key, value := m.entry(parent, keys[len(keys)-1])
	colon, ok := m.end(key)
	end, known := m.end(value)
	if !ok || !known || m.src[colon] != ':' || bytes.IndexByte(m.src[colon:end], '#') >= 0 {
		return m.stuck(value)
	}
	parent.Content = slices.Clone(parent.Content)
	parent.Content[at+1] = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
	return m.splice(colon+1, end, " {}", key)
}

func (m *manuscript) unknown(list, name string) error {
	var names []string
	in := m.find(list)
	for i := 0; in != nil && i+1 < len(in.Content); i += 2 {
		names = append(names, norm.NFC.String(in.Content[i].Value))
	}
	return &AmendError{Msg: fmt.Sprintf("there is no %q under %q", name, list), Hint: new(source).meant(name, plainly(names...), "write it as the file does")}
}

// lines are those of a card; nil when they are not there.
func (m *manuscript) lines(list, name, key string) *yaml.Node {
	if n := m.find(list, name, key); n != nil && n.Kind == yaml.SequenceNode {
		return n
	}
	return nil
}

// SetLine writes a line of a card, "takes" or "gives", in the place of one.
func SetLine(list, name, key string, at int, line string) Edit {
	return Edit{fmt.Sprintf("%s %s %s", name, key, line), func(m *manuscript) error {
		n := m.lines(list, name, key)
		if n == nil || at < 0 || at >= len(n.Content) {
			return m.unknown(list, name)
		}
		return m.replace(&n.Content[at], Words(m.typedLine(list, key, line)))
	}}
}

// AddLine writes a line of a card before one, or behind the last.
func AddLine(list, name, key string, at int, line string) Edit {
	return Edit{fmt.Sprintf("%s %s %s too", name, key, line), func(m *manuscript) error {
		n := m.lines(list, name, key)
		if n == nil || at < 0 || at > len(n.Content) {
			return m.unknown(list, name)
		}
		node := []*yaml.Node{{Kind: yaml.ScalarNode, Tag: "!!str", Value: line}}
		if n.Style&yaml.FlowStyle == 0 { // plainly, if it can stand there
			old := n.Content
			if err := m.insert(n, at, node, line); err == nil {
				return nil
			}
			n.Content = old
		}
		return m.insert(n, at, node, Words(line))
	}}
}

// DropLine takes a line out of a card.
func DropLine(list, name, key string, at int) Edit {
	return Edit{fmt.Sprintf("%s %s line %d no more", name, key, at+1), func(m *manuscript) error {
		n := m.lines(list, name, key)
		if n == nil || at < 0 || at >= len(n.Content) {
			return m.unknown(list, name)
		}
		return m.cut(n, at, at+1)
	}}
}

// Add writes something new into a list, as it would stand between brackets: `{price: 9.80/kg, keeps: 2 days}`.
func Add(list, name, body string) Edit {
	return Edit{fmt.Sprintf("%s: %s added", list, name), func(m *manuscript) error { return m.add(list, name, body) }}
}

func (m *manuscript) add(list, name, body string) error {
	in := m.find(list)
	if in == nil || in.Kind != yaml.MappingNode || len(in.Content) == 0 {
		return m.put(m.root, list, "{"+Words(name)+": "+body+"}", orderOf(""))
	}
	if at, _, _ := m.entry(in, name); at >= 0 {
		return &AmendError{Msg: fmt.Sprintf("%q stands under %q already", name, list), Hint: "choose another name, or change that one"}
	}
	return m.put(in, name, body, nil)
}

// Drop takes something out of a list. What hangs on it shows in the faults of the text that is left.
func Drop(list, name string) Edit {
	return Edit{fmt.Sprintf("%s: %s taken out", list, name), func(m *manuscript) error {
		in := m.find(list)
		at, _, _ := m.entry(in, name)
		switch {
		case at < 0:
			return m.unknown(list, name)
		case len(in.Content) == 2: // an empty list is none
			at, _, _ = m.entry(m.root, list)
			return m.cut(m.root, at, at+2)
		}
		return m.cut(in, at, at+2)
	}}
}

// ownNames are keys that name one thing alone, so that a copy does not have them.
var ownNames = []string{"also", "also sold as", wasWord}

// Copy writes a dish or another entry of a list once more, under another name, behind the first.
func Copy(list, name, as string) Edit {
	return Edit{fmt.Sprintf("%s: %s copied as %s", list, name, as), func(m *manuscript) error {
		in := m.find(list)
		at, key, body := m.entry(in, name)
		if at < 0 {
			return m.unknown(list, name)
		}
		if taken, _, _ := m.entry(in, as); taken >= 0 {
			return &AmendError{Msg: fmt.Sprintf("%q stands under %q already", as, list), Hint: "choose another name"}
		}
		from, colon := m.start(key), 0
		colon, ok := m.end(key)
		to, known := m.end(body)
		if !ok || !known {
			return m.stuck(key)
		}
		copied := Words(as) + string(m.src[colon:to])
		nodes := []*yaml.Node{{Kind: yaml.ScalarNode, Tag: "!!str", Value: as}, body}
		old := in.Content
		in.Content = slices.Insert(slices.Clone(old), at+2, nodes...)
		text := ", " + copied
		if in.Style&yaml.FlowStyle == 0 {
			to = m.lineEnd(to)
			text = m.newline(from) + strings.Repeat(" ", in.Column-1) + copied
		}
		if err := m.splice(to, to, text, key); err != nil {
			return err
		}
		for _, own := range ownNames {
			copied := m.find(list, as)
			if at, _, _ := m.entry(copied, own); at >= 0 {
				if err := m.takeOut(copied, at, list, as); err != nil {
					return err
				}
			}
		}
		return nil
	}}
}

// ChangeAdding is [Change] for what was typed: what a card takes and the file does not know is bought from now on, with all of it open, unless
// it may be a slip of another name.
func ChangeAdding(file string, src []byte, edits ...Edit) ([]byte, error) {
	text, err := Change(file, src, edits...)
	stuck, ok := errors.AsType[*AmendError](err)
	if !ok {
		return text, err
	}
	var names []string
	for _, d := range stuck.Faults {
		name, unknown := strings.CutPrefix(d.Msg, unknownItem)
		bare, fault := strconv.Unquote(name)
		switch {
		case d.Severity != Error || slices.Contains(names, bare):
			continue
		case !unknown || fault != nil || d.Hint != addItHint:
			return text, err
		}
		names = append(names, bare)
		edits = append(edits, Add(InBought, bare, "{}"))
	}
	if names == nil {
		return text, err
	}
	added, fault := Change(file, src, edits...)
	if fault != nil {
		return text, err
	}
	return added, nil
}

// Change gives the text of a kitchen file after edits, one after another. src is read before, and what comes of it is read again: it must
// not have a fault. The error is an [*AmendError].
func Change(file string, src []byte, edits ...Edit) ([]byte, error) {
	m, err := newManuscript(file, src)
	if err != nil {
		return nil, err
	}
	for _, e := range edits {
		if err := e.do(m); err != nil {
			return nil, err
		}
	}
	if k, faults := Read(file, m.src); k == nil {
		return nil, &AmendError{Msg: "that change would put a mistake in the kitchen file", Faults: faults, Text: m.src,
			Hint: "change what hangs on it too, or change it by hand"}
	}
	return m.src, nil
}
