package kitchen

// The kitchen file as a drawing: boxes, and the lines between them, as they stand in the text. What is drawn and not finished (aside.go) has
// its box and its lines like all else. Edits of a drawing are those of the forms, put together.

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"

	"kettletree/graph/measure"
)

// Drawing is what a kitchen file draws.
type Drawing struct {
	Boxes []Box
	Links []Link
}

// Box is a bought item, a step, what a step gives, a dish or a special.
type Box struct {
	List, Name string
	Open       bool // its card says "something"
}

// Link is a line from an item to a card that takes it, or from a step to what it gives.
type Link struct {
	List, Of, Key string // the card: where it stands, what it is called, "takes" or "gives"
	Item          string
	Amount        string // as it is written: "20 kg", "some kg"
	Notes         string // what stands behind the first comma
	Choice        int    // the place on its line, from 0
	At            int    // the line
}

// Ends are the names that a link leads from and to, as boxes.
func (l Link) Ends() (from, to Box) {
	card, item := Box{List: l.List, Name: l.Of}, Box{Name: l.Item}
	if l.Key == "gives" {
		return card, item
	}
	return item, card
}

// Box finds the box of a name; an item before a step of the same name. nil where there is none.
func (d *Drawing) Box(name string) *Box {
	var found *Box
	for i, b := range d.Boxes {
		if b.Name == name && (found == nil || found.List == InSteps) {
			found = &d.Boxes[i]
		}
	}
	return found
}

// Gives are the items that a step gives.
func (d *Drawing) Gives(step string) (items []string) {
	for _, l := range d.Links {
		if l.Key == "gives" && l.Of == step {
			items = append(items, l.Item)
		}
	}
	return items
}

// Between finds the link between a card and an item; nil where there is none.
func (d *Drawing) Between(list, of, key, item string) *Link {
	for i, l := range d.Links {
		if l.List == list && l.Of == of && l.Key == key && l.Item == item {
			return &d.Links[i]
		}
	}
	return nil
}

// Drawn reads a kitchen file as a drawing. The error is an [*AmendError].
func Drawn(file string, src []byte) (*Drawing, error) {
	m, err := newManuscript(file, src)
	if err != nil {
		return nil, err
	}
	d := &Drawing{}
	for _, name := range keysOf(m.find(InBought)) {
		d.Boxes = append(d.Boxes, Box{List: InBought, Name: name})
	}
	made := map[string]bool{}
	for _, list := range []string{InSteps, InDishes, InSpecials} {
		for _, name := range keysOf(m.find(list)) {
			at := len(d.Boxes)
			d.Boxes = append(d.Boxes, Box{List: list, Name: name})
			for _, key := range []string{"takes", "gives"} {
				for n, text := range m.cardLines(list, name, key) {
					if text == somethingWord {
						d.Boxes[at].Open = true
					}
					c, err := parseLine(text, placeOf(list, key))
					if err != nil {
						continue
					}
					_, notes, _ := strings.Cut(text, ",")
					for choice, r := range c.choices {
						d.Links = append(d.Links, Link{list, name, key, r.item, strings.TrimSpace(text[r.start:r.at]), strings.TrimSpace(notes), choice, n})
						if key == "gives" && !made[r.item] {
							made[r.item] = true
							d.Boxes = append(d.Boxes, Box{List: InMade, Name: r.item})
						}
					}
				}
			}
		}
	}
	return d, nil
}

// placeOf is where a line of a card stands.
func placeOf(list, key string) place {
	switch {
	case key == "gives":
		return given
	case list == InSteps:
		return used
	}
	return plated
}

// cardLines are the lines of a card, as texts.
func (m *manuscript) cardLines(list, name, key string) (texts []string) {
	if n := m.lines(list, name, key); n != nil {
		for _, c := range n.Content {
			texts = append(texts, norm.NFC.String(c.Value))
		}
	}
	return texts
}

// NewBox draws something that nothing leads to yet.
func NewBox(list, name string, blanks map[string]string) Edit {
	filled := map[string]string{}
	for _, b := range Blanks(list) {
		filled[b.Key] = blanks[b.Key]
		if (b.Key == "takes" || b.Key == "gives") && tidied(blanks[b.Key]) == "" {
			filled[b.Key] = somethingWord
		}
	}
	return Enter(list, name, filled)
}

// Draw draws a line between a card and an item, or changes how much goes along it: "20 kg", "some kg", with notes behind a comma. It takes
// the place of "something", if that stands there.
func Draw(list, name, key, item, amount string) Edit {
	return Edit{fmt.Sprintf("%s %s %s %s", name, key, amount, item), func(m *manuscript) error {
		in := placeOf(list, key)
		amount, notes, noted := strings.Cut(amount, ",")
		amount, notes = strings.TrimSpace(amount), strings.TrimSpace(notes)
		bare, named := cutSuffixFold(amount, " "+item) // "1 bread roll"
		if amount = strings.TrimSpace(bare); named || m.counts(item) {
			if _, rest, err := measure.Number(amount); err == nil && strings.TrimSpace(rest) == "" {
				amount += " " + measure.Each.Name
			}
		}
		line := amount + " " + item
		if noted && notes != "" {
			line += ", " + notes
		}
		if c, err := parseLine(line, in); err != nil {
			e := &measure.Error{}
			if !errors.As(err, &e) {
				return err
			}
			if _, fault := measure.Parse(amount); fault != nil {
				return &AmendError{Msg: fmt.Sprintf("%q is no amount", amount), Hint: "write a number and a unit: 20 kg, 450 mL, 2 each"}
			}
			return &AmendError{Msg: e.Msg, Hint: e.Hint}
		} else if len(c.choices) != 1 || c.choices[0].item != item {
			return &AmendError{Msg: fmt.Sprintf("%q is no amount", amount), Hint: "write a number and a unit: 20 kg, 450 mL, 2 each"}
		}
		body := m.find(list, name)
		if body == nil {
			return m.unknown(list, name)
		}
		open := -1
		for at, text := range m.cardLines(list, name, key) {
			if text == somethingWord {
				open = at
			}
			c, err := parseLine(text, in)
			if err != nil {
				continue
			}
			for _, r := range c.choices {
				if r.item != item {
					continue
				}
				changed := text[:r.start] + amount + " " + text[r.at:]
				if noted { // its own notes go
					head, _, _ := strings.Cut(changed, ",")
					if changed = head; notes != "" {
						changed += ", " + notes
					}
				}
				return SetLine(list, name, key, at, changed).do(m)
			}
		}
		if open >= 0 {
			return SetLine(list, name, key, open, line).do(m)
		}
		return AddLine(list, name, key, len(m.cardLines(list, name, key)), line).do(m)
	}}
}

// cutSuffixFold is [strings.CutSuffix], in capitals or not.
func cutSuffixFold(s, suffix string) (before string, found bool) {
	if at := len(s) - len(suffix); at >= 0 && strings.EqualFold(s[at:], suffix) {
		return s[:at], true
	}
	return s, false
}

// More says that more goes into a step, or comes out, than is drawn.
func More(list, name, key string) Edit {
	return Edit{fmt.Sprintf("%s %s something more", name, key), func(m *manuscript) error {
		lines := m.cardLines(list, name, key)
		if slices.Contains(lines, somethingWord) {
			return nil
		}
		return AddLine(list, name, key, len(lines), somethingWord).do(m)
	}}
}

// Wipe takes the line between a card and an item away; where it was the last of its card, "something" stands there.
func Wipe(list, name, key, item string) Edit {
	return Edit{fmt.Sprintf("%s no longer %s %s", name, key, item), func(m *manuscript) error {
		found := false
		for at := 0; at < len(m.cardLines(list, name, key)); {
			lines := m.cardLines(list, name, key)
			c, err := parseLine(lines[at], placeOf(list, key))
			if err != nil || !slices.ContainsFunc(c.choices, func(r ration) bool { return r.item == item }) {
				at++
				continue
			}
			found = true
			rest := withoutChoice(lines[at], c, item)
			switch {
			case rest != "":
				err = SetLine(list, name, key, at, rest).do(m)
			case len(lines) == 1:
				err = SetLine(list, name, key, at, somethingWord).do(m)
			default:
				err = DropLine(list, name, key, at).do(m)
			}
			if err != nil {
				return err
			}
		}
		if !found {
			return &AmendError{Msg: fmt.Sprintf("no line leads between %q and %q", name, item), Hint: "it may have been taken away since"}
		}
		return nil
	}}
}

// withoutChoice is a line without one of the items that can fill it; "" where that was the only one.
func withoutChoice(line string, c card, item string) string {
	var left []string
	for _, r := range c.choices {
		if r.item != item {
			left = append(left, strings.TrimSpace(line[r.start:r.at+r.length]))
		}
	}
	if left == nil {
		return ""
	}
	last := c.choices[len(c.choices)-1]
	text := strings.Join(left, " or ") + line[last.at+last.length:]
	if c.either && len(left) > 1 {
		text = eitherWord + " " + text
	}
	return text
}

// Erase takes a box away, with the lines that lead from it and to it; with a step go the items that no other step gives.
func Erase(list, name string) Edit {
	return Edit{fmt.Sprintf("%s is taken away", name), func(m *manuscript) error {
		d, err := Drawn(m.file, m.src)
		if err != nil {
			return err
		}
		items := []string{name}
		switch {
		case list == InSteps:
			items = slices.DeleteFunc(d.Gives(name), func(item string) bool {
				return slices.ContainsFunc(d.Links, func(l Link) bool { return l.Key == "gives" && l.Item == item && l.Of != name })
			})
		case list == InDishes || list == InSpecials:
			items = nil
		}
		var edits []Edit
		wiped := map[Link]bool{}
		for _, item := range items {
			for _, l := range d.Links {
				card := Link{List: l.List, Of: l.Of, Key: l.Key, Item: l.Item}
				if l.Item != item || wiped[card] || list == InSteps && l.Of == name && l.List == list {
					continue
				}
				wiped[card] = true
				edits = append(edits, Wipe(l.List, l.Of, l.Key, l.Item))
			}
			if list != InBought && m.find(InMade, item) != nil {
				edits = append(edits, Drop(InMade, item))
			}
		}
		if list != InMade {
			edits = append(edits, Drop(list, name))
		}
		for _, dish := range m.insteadOf(name) {
			if list == InDishes || list == InSpecials {
				edits = append(edits, dish)
			}
		}
		if len(edits) == 0 {
			return m.unknown(list, name)
		}
		for _, e := range edits {
			if err := e.do(m); err != nil {
				return err
			}
		}
		return nil
	}}
}

// insteadOf are the edits by which no special takes guests from a dish any more.
func (m *manuscript) insteadOf(dish string) (edits []Edit) {
	for _, list := range []string{InDishes, InSpecials} {
		for _, name := range keysOf(m.find(list)) {
			n := m.find(list, name, "in place of")
			if n == nil || n.Kind != yaml.SequenceNode || name == dish {
				continue
			}
			var left []string
			for _, c := range n.Content {
				share, is := strings.CutPrefix(norm.NFC.String(c.Value), dish+" ")
				if !is || strings.Contains(strings.TrimSpace(share), " ") {
					left = append(left, norm.NFC.String(c.Value))
				}
			}
			if len(left) < len(n.Content) {
				edits = append(edits, Fill(list, name, "in place of", strings.Join(left, "\n")))
			}
		}
	}
	return edits
}

// Sketch gives the text of a kitchen file after edits of a drawing. Where a step that is drawn and not finished would give more than it takes,
// "something" is left to go in, as long as nobody has drawn it. The error is an [*AmendError].
func Sketch(file string, src []byte, edits ...Edit) ([]byte, error) {
	text, err := Change(file, src, edits...)
	stuck, ok := errors.AsType[*AmendError](err)
	if !ok || len(stuck.Faults) == 0 {
		return text, err
	}
	was, readErr := Drawn(file, src)
	is, isErr := Drawn(file, stuck.Text)
	if readErr != nil || isErr != nil {
		return nil, err
	}
	more := slices.Clone(edits)
	for _, f := range stuck.Faults {
		if f.Severity != Error {
			continue
		}
		step := stepAt(file, stuck.Text, f.Pos)
		open := func(d *Drawing) bool {
			return slices.ContainsFunc(d.Boxes, func(b Box) bool { return b.List == InSteps && b.Name == step && b.Open })
		}
		if f.ID != "yield" || !open(was) || open(is) {
			return nil, err
		}
		more = append(more, More(InSteps, step, "takes"))
	}
	if text, again := Change(file, src, more...); again == nil {
		return text, nil
	}
	return nil, err
}

// stepAt is the step whose name stands at a place.
func stepAt(file string, text []byte, at Pos) string {
	m, err := newManuscript(file, text)
	if err != nil {
		return ""
	}
	steps := m.find(InSteps)
	for i := 0; steps != nil && i+1 < len(steps.Content); i += 2 {
		if k := steps.Content[i]; k.Line == at.Line && k.Column == at.Col {
			return norm.NFC.String(k.Value)
		}
	}
	return ""
}
