package kitchen

// Edits that reach further than one value: a name changed everywhere, a step split in two.

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"

	"kettletree/graph/measure"
)

// Rename gives what has a name another one, wherever it stands: an item, a step, a dish, a vessel or a supplier.
func Rename(from, to string) Edit {
	return Edit{fmt.Sprintf("%s is now called %s", from, to), func(m *manuscript) error {
		if fault := nameFault(to); fault != "" {
			return &AmendError{Msg: fmt.Sprintf("name %q %s", to, fault), Hint: nameRule}
		}
		if said := m.mentions(to, to+" of old"); len(said) > 0 {
			at := *said[0].slot
			return &AmendError{Msg: fmt.Sprintf("something is called %q already, on line %d", to, at.Line), Hint: "choose another name"}
		}
		said := m.mentions(from, to)
		if len(said) == 0 {
			return &AmendError{Msg: fmt.Sprintf("nothing is called %q", from), Hint: "write the name as the file does"}
		}
		return m.replaceAll(said)
	}}
}

// mentions are all values that speak of a name, the one that gives it among them.
func (m *manuscript) mentions(from, to string) (said []mention) {
	is := func(n *yaml.Node) bool { return norm.NFC.String(n.Value) == from }
	named := map[string]bool{} // lists in which something has the name
	for _, list := range []string{"vessels", "suppliers", InBought, InSteps, InMade, InDishes, InSpecials} {
		if in := m.find(list); in != nil {
			if at, _, _ := m.entry(in, from); at >= 0 {
				named[list] = true
				said = append(said, mention{&in.Content[at], to})
			}
		}
	}
	for _, list := range []string{InBought, InMade} {
		for _, body := range valuesOf(m.find(list)) {
			if at, _, by := m.entry(body, "from"); at >= 0 && is(by) && named["suppliers"] {
				said = append(said, mention{&body.Content[at+1], to})
			}
			if _, _, sources := m.entry(body, "also from"); sources != nil && named["suppliers"] {
				if at, _, _ := m.entry(sources, from); at >= 0 {
					said = append(said, mention{&sources.Content[at], to})
				}
			}
		}
	}
	for _, list := range []string{InSteps, InDishes, InSpecials} {
		for _, body := range valuesOf(m.find(list)) {
			if at, _, in := m.entry(body, "vessel"); at >= 0 && is(in) && named["vessels"] {
				said = append(said, mention{&body.Content[at+1], to})
			}
			for _, of := range []struct {
				key string
				in  place
			}{{"takes", used}, {"gives", given}} {
				_, _, lines := m.entry(body, of.key)
				for at := 0; lines != nil && at < len(lines.Content); at++ {
					text := norm.NFC.String(lines.Content[at].Value)
					if now := renamed(text, of.in, from, to); now != text {
						said = append(said, mention{&lines.Content[at], now})
					}
				}
			}
			_, _, instead := m.entry(body, "in place of")
			for at := 0; instead != nil && at < len(instead.Content); at++ {
				share, ok := strings.CutPrefix(norm.NFC.String(instead.Content[at].Value), from+" ")
				if ok && (named[InDishes] || named[InSpecials]) && !strings.Contains(strings.TrimSpace(share), " ") {
					said = append(said, mention{&instead.Content[at], to + " " + share})
				}
			}
		}
	}
	return said
}

// valuesOf are the values of a mapping.
func valuesOf(n *yaml.Node) (list []*yaml.Node) {
	for i := 1; n != nil && n.Kind == yaml.MappingNode && i < len(n.Content); i += 2 {
		list = append(list, n.Content[i])
	}
	return list
}

// renamed is a line of a card in which an item has another name.
func renamed(line string, in place, from, to string) string {
	c, err := parseLine(line, in)
	if err != nil {
		return line
	}
	for _, r := range slices.Backward(c.choices) {
		if r.item == from {
			line = line[:r.at] + to + line[r.at+r.length:]
		}
	}
	return line
}

// Split makes two steps of one: what stands in some of its lines is done in a step of its own, behind it. through is what goes from the first
// to the second, with how much of it a batch is: "12 kg boiled hen". Unless it says when, it comes out when the last of what is done to it did.
// The second is made of all that there is.
func Split(step, second, through string, takes, gives []int) Edit {
	return Edit{fmt.Sprintf("%s is split: %s makes what comes after %s", step, second, through), func(m *manuscript) error {
		between, err := parseLine(through, given)
		if err != nil {
			e := err.(*measure.Error)
			return &AmendError{Msg: e.Msg, Hint: e.Hint}
		}
		last := 0 // when the last of what is moved came out; notTimed where that is with the end of the step
		lines := func(key string, moved []int) (texts []string, all bool) {
			n := m.lines(InSteps, step, key)
			for _, at := range moved {
				if n == nil || at < 0 || at >= len(n.Content) {
					return nil, false
				}
				text := n.Content[at].Value
				if c, err := parseLine(text, given); key == "gives" && last != notTimed && err == nil {
					if last = max(last, c.outAt); c.outAt == notTimed {
						last = notTimed
					}
				}
				texts = append(texts, Words(withoutTimes(text)))
			}
			return texts, n != nil
		}
		in, ok := lines("takes", takes)
		out, known := lines("gives", gives)
		if !ok || !known {
			return m.unknown(InSteps, step)
		}
		if len(out) == 0 {
			return &AmendError{Msg: fmt.Sprintf("nothing that %s gives would come out of %s", step, second),
				Hint: "name one of the lines of what it gives too: what goes over with it may be named beside it"}
		}
		first := through
		if between.outAt == notTimed && last > 0 {
			first += ", out at " + measure.FormatDuration(last)
		}
		body := fmt.Sprintf("{takes: [%s], gives: [%s], batches: %s}", strings.Join(append([]string{Words(withoutTimes(through))}, in...), ", "), strings.Join(out, ", "), allOfWord)
		edits := []Edit{AddLine(InSteps, step, "gives", 0, first)}
		for key, moved := range map[string][]int{"takes": takes, "gives": gives} {
			sorted := slices.Sorted(slices.Values(moved))
			for _, at := range slices.Backward(sorted) {
				if key == "gives" {
					at++ // behind what goes through
				}
				edits = append(edits, DropLine(InSteps, step, key, at))
			}
		}
		for _, e := range append(edits, Add(InSteps, second, body)) {
			if err := e.do(m); err != nil {
				return err
			}
		}
		return nil
	}}
}

// withoutTimes is a line without when it goes in or comes out, which is another time in another step.
func withoutTimes(line string) string {
	parts := strings.Split(norm.NFC.String(line), ",")
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool {
		return strings.HasPrefix(strings.TrimSpace(p), "in at ") || strings.HasPrefix(strings.TrimSpace(p), "out at ")
	}), ",")
}
