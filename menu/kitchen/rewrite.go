package kitchen

// What forms and commands ask for, as edits: blanks filled in, something new, an open question answered, and what hangs on something.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"

	"kettletree/graph/measure"
)

// Filled are the edits that make what stands in blanks of one thing out of what stood in them. Another name is given everywhere. What is
// typed again is no guess any more.
func Filled(list, name, as string, was, now map[string]string) (edits []Edit) {
	same := func(key string) bool { return tidied(was[key]) == tidied(now[key]) }
	for _, b := range Blanks(list) {
		if _, asked := now[b.Key]; !asked || same(b.Key) {
			continue
		}
		edits = append(edits, Fill(list, name, b.Key, tidied(now[b.Key])))
		if b.Key != guessedWord && same(guessedWord) {
			edits = append(edits, Guess(list, name, b.Key, false))
		}
	}
	if as != "" && as != name {
		edits = append(edits, Rename(name, as))
	}
	return edits
}

// tidied is what stands in a blank without what browsers and thumbs add.
func tidied(text string) string {
	var lines []string
	for line := range strings.Lines(strings.ReplaceAll(text, "\r", "")) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, norm.NFC.String(line))
		}
	}
	return strings.Join(lines, "\n")
}

// Guess says of a value that it is a guess, or that it is none. Values that can't be guesses are left alone.
func Guess(list, name, key string, guess bool) Edit {
	says := fmt.Sprintf("%s of %s is known", key, name)
	if guess {
		says = fmt.Sprintf("%s of %s is a guess", key, name)
	}
	return Edit{says, func(m *manuscript) error {
		f := formOf(list, guessedWord)
		if f == nil || !slices.Contains(f.among(text).words, key) {
			return nil
		}
		var names []string
		for _, n := range guessesOf(m.find(list, name, guessedWord)) {
			names = append(names, n.Value)
		}
		at := slices.Index(names, key)
		switch {
		case guess == (at >= 0):
			return nil
		case guess:
			names = append(names, key)
		case len(names) == 1:
			return Unset(list, name, guessedWord).do(m)
		default:
			names = slices.Delete(names, at, at+1)
		}
		return Set(list, name, guessedWord, "["+strings.Join(names, ", ")+"]").do(m)
	}}
}

// Enter writes something new into a list, from what stands in its blanks. A step gets a line for each thing that it takes and gives.
func Enter(list, name string, blanks map[string]string) Edit {
	return Edit{fmt.Sprintf("new %s: %s", OneOf(list), name), func(m *manuscript) error {
		if fault := nameFault(name); fault != "" {
			return &AmendError{Msg: fmt.Sprintf("name %q %s", name, fault), Hint: nameRule}
		}
		var keys, values []string
		for _, b := range Blanks(list) {
			if text := tidied(blanks[b.Key]); text != "" {
				keys, values = append(keys, b.Key), append(values, formOf(list, b.Key).typed(m.typedLines(list, name, b.Key, text)))
			}
		}
		var flow []string
		for i, key := range keys {
			flow = append(flow, Words(key)+": "+values[i])
		}
		body := "{" + strings.Join(flow, ", ") + "}"
		in := m.find(list)
		if at, _, _ := m.entry(in, name); list != InSteps || at >= 0 || in == nil || in.Kind != yaml.MappingNode || in.Style&yaml.FlowStyle != 0 || len(in.Content) == 0 || len(keys) == 0 {
			return m.add(list, name, body)
		}
		part, err := m.part(body)
		if err != nil {
			return err
		}
		end, indent := m.newline(m.start(in)), strings.Repeat(" ", in.Column+1)
		tall := Words(name) + ":"
		for i, key := range keys {
			value := part.Content[2*i+1]
			tall += end + indent + Words(key) + ":"
			if value.Kind != yaml.SequenceNode || key != "takes" && key != "gives" {
				tall += " " + values[i]
				continue
			}
			for _, line := range value.Content {
				tall += end + indent + "  - " + inItsLine(line.Value)
			}
		}
		return m.insert(in, len(in.Content), []*yaml.Node{{Kind: yaml.ScalarNode, Tag: "!!str", Value: name}, part}, tall)
	}}
}

// inItsLine writes a text that has a line of a list for itself: plainly, or in quotes.
func inItsLine(text string) string {
	n := (&reader{source: &source{lines: []string{""}, runes: make([][]rune, 1)}}).parse([]byte("- " + text))
	if n != nil && n.Kind == yaml.SequenceNode && len(n.Content) == 1 && n.Content[0].Kind == yaml.ScalarNode && n.Content[0].Value == text &&
		n.Content[0].Tag == "!!str" && n.Content[0].Style&quotedStyles == 0 {
		return text
	}
	return Words(text)
}

// Answer are the edits that answer an open question with a value as it would be typed; "" for what is proposed. A guess is written as one.
func (q Question) Answer(value string, guess bool) []Edit {
	value = strings.TrimPrefix(measure.Pointed(cmp.Or(tidied(value), q.Proposal)), atLeastWords) // the floor is what is written
	name := q.Of
	if q.In != "" {
		name = q.In
	}
	switch {
	case q.What == "takes" || q.What == "gives":
		return []Edit{SetLine(q.List, name, q.What, q.Line, value)}
	case q.What == "ends":
		return []Edit{{fmt.Sprintf("%s is out at %s", name, value), func(m *manuscript) error {
			n := m.lines(q.List, name, "gives")
			for at := 0; n != nil && at < len(n.Content); at++ {
				line := norm.NFC.String(n.Content[at].Value)
				if c, err := parseLine(line, given); err != nil || !c.untimed {
					continue
				}
				timed := strings.Replace(line, "out at "+someTimeWords, "out at "+value, 1)
				if err := SetLine(q.List, name, "gives", at, timed).do(m); err != nil {
					return err
				}
				n = m.lines(q.List, name, "gives")
			}
			return nil
		}}}
	case q.What == "water":
		return []Edit{{fmt.Sprintf("%s takes %s too", name, value), func(m *manuscript) error {
			n := m.lines(q.List, name, "takes")
			if n == nil {
				return m.unknown(q.List, name)
			}
			return AddLine(q.List, name, "takes", len(n.Content), value).do(m)
		}}}
	case q.In != "":
		key, in := "takes", used
		if q.Key == "" {
			key, in = "gives", given
		}
		return []Edit{{fmt.Sprintf("%s %s %s %s", name, key, value, q.Of), func(m *manuscript) error {
			n := m.lines(q.List, name, key)
			if n == nil || q.Line >= len(n.Content) {
				return m.unknown(q.List, name)
			}
			line := norm.NFC.String(n.Content[q.Line].Value)
			c, err := parseLine(line, in)
			if err != nil {
				return m.stuck(n.Content[q.Line])
			}
			if _, err := measure.Parse(value); err != nil {
				e := err.(*measure.Error)
				return &AmendError{Msg: e.Msg, Hint: e.Hint}
			}
			r := c.choices[0]
			line = line[:r.start] + value + " " + line[r.at:]
			parts := slices.DeleteFunc(strings.Split(line, ","), func(p string) bool { return strings.TrimSpace(p) == guessedWord })
			if line = strings.Join(parts, ","); guess {
				line += ", " + guessedWord
			}
			return SetLine(q.List, name, key, q.Line, line).do(m)
		}}}
	}
	return []Edit{Fill(q.List, name, q.Key, value), Guess(q.List, name, q.Key, guess)}
}

// atLeastWords begin a proposal of how much at least.
const atLeastWords = "at least "

// HangsOn says what in a kitchen file speaks of something, in the words of the kitchen, so that who takes it away knows: "night kettle takes
// 88 L water". Of a step it is who takes what the step gives.
func HangsOn(file string, src []byte, list, name string) (said []string, err error) {
	m, err := newManuscript(file, src)
	if err != nil {
		return nil, err
	}
	items := []string{name}
	if list == InSteps {
		items = nil
		if lines := m.lines(InSteps, name, "gives"); lines != nil {
			for _, l := range lines.Content {
				if c, err := parseLine(norm.NFC.String(l.Value), given); err == nil {
					items = append(items, c.choices[0].item)
				}
			}
		}
	}
	for _, in := range []string{InBought, InMade} {
		for _, item := range keysOf(m.find(in)) {
			body := m.find(in, item)
			if by := behind(body, "from"); list == "suppliers" && (by != nil && norm.NFC.String(by.Value) == name || behind(behind(body, "also from"), name) != nil) {
				said = append(said, item+" is from there")
			}
		}
	}
	for _, in := range []string{InSteps, InDishes, InSpecials} {
		for _, cook := range keysOf(m.find(in)) {
			body := m.find(in, cook)
			if v := behind(body, "vessel"); list == "vessels" && v != nil && norm.NFC.String(v.Value) == name {
				said = append(said, cook+" is made in it")
			}
			if list != InBought && list != InMade && list != InSteps {
				continue
			}
			lines := behind(body, "takes")
			for at := 0; lines != nil && at < len(lines.Content); at++ {
				line := norm.NFC.String(lines.Content[at].Value)
				c, err := parseLine(line, used)
				if err == nil && slices.ContainsFunc(c.choices, func(r ration) bool { return slices.Contains(items, r.item) }) {
					said = append(said, cook+" takes "+line)
				}
			}
		}
	}
	for _, in := range []string{InDishes, InSpecials} {
		for _, dish := range keysOf(m.find(in)) {
			of := behind(m.find(in, dish), "in place of")
			for at := 0; (list == InDishes || list == InSpecials) && of != nil && at < len(of.Content); at++ {
				if share, ok := strings.CutPrefix(norm.NFC.String(of.Content[at].Value), name+" "); ok && !strings.Contains(strings.TrimSpace(share), " ") {
					said = append(said, dish+" takes guests from it")
				}
			}
		}
	}
	return said, nil
}

// KeyAt is the key of one thing of a list at which a fault of a text stands; "" where it stands elsewhere.
func KeyAt(file string, text []byte, list, name string, at Pos) string {
	m, err := newManuscript(file, text)
	if err != nil {
		return ""
	}
	body := m.find(list, name)
	found := ""
	for i := 0; body != nil && i+1 < len(body.Content); i += 2 {
		k, v := body.Content[i], body.Content[i+1]
		if at.Line < k.Line || at.Line == k.Line && at.Col < k.Column {
			break
		}
		end, ok := m.end(v)
		if !ok {
			end = m.lineEnd(m.start(k))
		}
		if at.Line <= len(m.from) && m.from[at.Line-1]+at.Col-1 <= end {
			found = norm.NFC.String(k.Value)
		}
	}
	return found
}
