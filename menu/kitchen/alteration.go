package kitchen

// In what two kitchen files differ, in the words of the kitchen: a line of a recipe, a price, a yield, a day. How they are laid out, and
// what is only remarked in them, is no difference.

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"
)

// Alteration is one thing in which two kitchen files differ.
type Alteration struct {
	List string `json:"list"` // "bought", "steps" and so on: where it stands in the file; "" for what stands there by itself
	Of   string `json:"of"`   // the item, step, dish, vessel or supplier; "" for the kitchen as a whole
	Key  string `json:"key"`  // "price", "takes" and so on; "" for all of it, be it new, gone or called otherwise
	Part string `json:"part"` // which part of it: the item of a line, the day of a batch; "" for all of it
	Was  string `json:"was"`  // as it is written; "" where it is new
	Is   string `json:"is"`   // as it is written; "" where it is gone

	Lines int  `json:"lines,omitempty"` // of what is called otherwise: how many lines of cards use it
	Kept  bool `json:"kept,omitempty"`  // of what is called otherwise: the file keeps the former name, so that the log book's entries still count
}

// oneOfList is one thing of a list of the file in words.
var oneOfList = map[string]string{"vessels": "vessel", "suppliers": "supplier", InBought: "bought item", InSteps: "step", InMade: "made item",
	InDishes: "dish", InSpecials: "special"}

// String is an alteration in words: "beef shank: price 9.80/kg, was 7.20/kg".
func (a Alteration) String() string {
	switch {
	case a.Key == "" && a.Was == "":
		return "new " + oneOfList[a.List] + ": " + a.Of
	case a.Key == "" && a.Is == "":
		return oneOfList[a.List] + " taken away: " + a.Of
	case a.Key == "":
		says := a.Was + " is now called " + a.Is
		switch {
		case a.Lines == 1:
			says += "; 1 line that uses it"
		case a.Lines > 1:
			says += fmt.Sprintf("; %d lines that use it", a.Lines)
		}
		if a.Kept {
			says += "; what was logged as " + a.Was + " still counts"
		}
		return says
	}
	of, what := a.Of, strings.TrimSpace(a.Key+" "+a.Part)
	if of == "" {
		of = "kitchen"
	}
	if a.Key == "takes" || a.Key == "gives" {
		what = a.Key
	}
	switch {
	case a.Was == "" && (a.Key == "takes" || a.Key == "gives"):
		return of + ": now " + a.Key + " " + a.Is + " too"
	case a.Was == "":
		return of + ": " + what + " " + a.Is + ", was not written"
	case a.Is == "" && (a.Key == "takes" || a.Key == "gives"):
		return of + ": no longer " + a.Key + " " + a.Was
	case a.Is == "":
		return of + ": " + what + " not written any more, was " + a.Was
	}
	return of + ": " + what + " " + a.Is + ", was " + a.Was
}

// Alterations are what differs between two texts of kitchen files, in the order of the table of keys and of the later file. It is nil
// where they mean the same. The error, an [*AmendError], says that one of them can't be read.
func Alterations(fileBefore string, before []byte, fileAfter string, after []byte) ([]Alteration, error) {
	was, err := newManuscript(fileBefore, before)
	if err != nil {
		return nil, err
	}
	is, err := newManuscript(fileAfter, after)
	if err != nil {
		return nil, err
	}
	c := comparison{called: map[string]string{}}
	c.renames(was, is)
	for _, k := range kitchenForm.keys {
		_, _, x := was.entry(was.root, k.name)
		_, _, y := is.entry(is.root, k.name)
		if _, named := oneOfList[k.name]; named {
			c.list = k.name
			c.entries(x, y)
		} else {
			c.list, c.of = "", ""
			c.value(k.name, "", x, y)
		}
	}
	return c.found, nil
}

// comparison collects alterations.
type comparison struct {
	list, of string
	called   map[string]string // what is called otherwise, by its former name
	items    map[string]bool   // which of these are made items
	using    map[string]int    // by the later name: how many lines use it
	kept     map[string]bool   // by the former name: the file keeps it
	told     map[string]bool   // by the former name
	found    []Alteration
}

func (c *comparison) add(key, part, was, is string) {
	c.found = append(c.found, Alteration{List: c.list, Of: c.of, Key: key, Part: part, Was: was, Is: is})
}

// keysOf are the keys of a mapping, as they are named.
func keysOf(n *yaml.Node) (names []string) {
	for i := 0; n != nil && n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		names = append(names, norm.NFC.String(n.Content[i].Value))
	}
	return names
}

// behind is what stands behind a key of a mapping; nil for nothing.
func behind(n *yaml.Node, name string) *yaml.Node {
	_, _, v := (*manuscript)(nil).entry(n, name)
	return v
}

// entries compares a list of the file name by name. What is called otherwise is named once, in the first list in which it stands.
func (c *comparison) entries(was, is *yaml.Node) {
	former, later := keysOf(was), keysOf(is)
	for _, name := range later {
		c.of = name
		old, renamed := c.before(name)
		switch {
		case slices.Contains(former, name):
			c.body(behind(was, name), behind(is, name))
		case renamed:
			c.rename(old)
			c.body(behind(was, old), behind(is, name))
		default:
			c.add("", "", "", name)
		}
	}
	for _, name := range former {
		if slices.Contains(later, name) || c.called[name] != "" {
			continue
		}
		c.of = name
		c.add("", "", name, "")
	}
	if c.list != InMade {
		return
	}
	for _, old := range slices.Sorted(maps.Keys(c.called)) { // of which the file says nothing but that a step gives it
		c.of = c.called[old]
		if c.items[old] {
			c.rename(old)
		}
	}
}

// before is the former name of what is called otherwise.
func (c *comparison) before(name string) (old string, ok bool) {
	for _, was := range slices.Sorted(maps.Keys(c.called)) {
		if c.called[was] == name {
			return was, true
		}
	}
	return "", false
}

// body compares what stands behind a name, key by key.
func (c *comparison) body(was, is *yaml.Node) {
	for _, key := range bothKeys(was, is) {
		if key != wasWord { // it is named with it
			c.value(key, "", behind(was, key), behind(is, key))
		}
	}
}

// bothKeys are the keys of two mappings: those of the later one first.
func bothKeys(was, is *yaml.Node) []string {
	keys := keysOf(is)
	for _, key := range keysOf(was) {
		if !slices.Contains(keys, key) {
			keys = append(keys, key)
		}
	}
	return keys
}

// value compares what stands behind a key.
func (c *comparison) value(key, part string, was, is *yaml.Node) {
	switch {
	case was != nil && is != nil && was.Kind == yaml.SequenceNode && is.Kind == yaml.SequenceNode && (key == "takes" || key == "gives"):
		c.lines(key, was, is)
	case was != nil && is != nil && was.Kind == yaml.MappingNode && is.Kind == yaml.MappingNode:
		for _, name := range bothKeys(was, is) {
			c.value(key, strings.TrimSpace(part+" "+name), behind(was, name), behind(is, name))
		}
	default:
		if x, y := meaning(was), meaning(is); x != y && c.renamed(x) != y {
			c.add(key, part, inLine(was), inLine(is))
		}
	}
}

// renamed is a text with the later name of what it names.
func (c *comparison) renamed(text string) string {
	if now, ok := c.called[text]; ok {
		return now
	}
	return text
}

// lines compares two cards. Lines of the same item belong together.
func (c *comparison) lines(key string, was, is *yaml.Node) {
	in := used
	if key == "gives" {
		in = given
	}
	type line struct{ text, means, item string }
	read := func(n *yaml.Node, renames bool) (list []line) {
		for _, l := range n.Content {
			text := norm.NFC.String(l.Value)
			as := text
			for from, to := range c.called {
				if renames {
					as = renamed(as, in, from, to)
				}
			}
			item := as
			if card, err := parseLine(as, in); err == nil {
				item = card.choices[0].item
			}
			list = append(list, line{text, tidy(as), item})
		}
		return list
	}
	old, now := read(was, true), read(is, false)
	take := func(of func(line) bool) (string, bool) {
		at := slices.IndexFunc(old, of)
		if at < 0 {
			return "", false
		}
		text := old[at].text
		old = slices.Delete(old, at, at+1)
		return text, true
	}
	var left []line
	for _, l := range now {
		if _, same := take(func(o line) bool { return o.means == l.means }); !same {
			left = append(left, l)
		}
	}
	for _, l := range left {
		text, _ := take(func(o line) bool { return o.item == l.item })
		c.add(key, l.item, text, l.text)
	}
	for _, o := range old {
		if o.text == somethingWord && len(left) > 0 { // what it stood for is said now
			continue
		}
		c.add(key, o.item, o.text, "")
	}
}

// inLine is a value in a line; "" for none.
func inLine(n *yaml.Node) string {
	if n == nil {
		return ""
	}
	if n.Kind == yaml.ScalarNode && n.Value == "" {
		return "nothing"
	}
	return plainText(n)
}

// meaning is a value in a line without what doesn't matter: figures that end in zeros, blanks.
func meaning(n *yaml.Node) string { return tidy(inLine(n)) }

var (
	blanks   = regexp.MustCompile(`\s+`)
	decimals = regexp.MustCompile(`\d+\.\d+`)
)

func tidy(text string) string {
	text = decimals.ReplaceAllStringFunc(norm.NFC.String(text), func(x string) string { return strings.TrimRight(strings.TrimRight(x, "0"), ".") })
	return strings.TrimSpace(blanks.ReplaceAllString(strings.ReplaceAll(text, "+-", "±"), " "))
}
