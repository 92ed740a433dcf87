package kitchen

// Whether a file has the shape that the table of keys asks for: every key known and written once, every value of its
// kind.

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// mostText bounds lines of recipes, in letters.
const mostText = 2000

// shaped checks a node and all below it against what may stand there. It records every fault and notes the nodes that
// must not be read.
func (r *reader) shaped(n *yaml.Node, f *form, of string) {
	if fault := r.plainness(n, of); fault {
		r.unfit[n] = true
		return
	}
	fits := fitting(n, f)
	if fits == nil {
		r.unfit[n] = true
		r.wrongKind(n, f, of)
		return
	}
	switch fits.shape {
	case whole:
		if v, ok := Digits(n.Value); !ok || v < fits.least {
			r.unfit[n] = true
			r.fault(r.span(n), "wrong-number", fmt.Sprintf("write %s, up to %d", fits.what, mostWhole),
				"%q takes %s, not %s", of, fits.what, n.Value)
		}
	case halved:
		if v, err := money(n.Value); err != nil || v > mostWhole || 2*v != math.Trunc(2*v) {
			r.unfit[n] = true
			r.fault(r.span(n), "wrong-number", fmt.Sprintf("write %s, up to %d", fits.what, mostWhole), "%q takes %s, not %s", of, fits.what, n.Value)
		}
	case number:
		if _, err := money(n.Value); err != nil {
			r.unfit[n] = true
			r.misread(n, "wrong-number", err)
		}
	case text:
		if fault := TextFault(n.Value, mostText); fault != "" {
			r.unfit[n] = true
			r.fault(r.span(n), "bad-text", "write it on one line, with letters, digits and spaces", "the text of %q %s", of, fault)
			return
		}
		if fits == anyText && utf8.RuneCountInString(n.Value) > MostLetters {
			r.unfit[n] = true
			r.fault(r.span(n), "bad-text", "say it shorter", "the text of %q %s", of, TextFault(n.Value, MostLetters))
			return
		}
		if fits.words != nil && !slices.Contains(fits.words, n.Value) {
			r.unfit[n] = true
			r.fault(r.span(n), "unknown-word", r.meant(n.Value, plainly(fits.words...),
				"write "+strings.Join(fits.words, " or ")), "%q takes %s, not %q",
				of, fits.what, n.Value)
		}
	case list:
		if fits.filled && len(n.Content) == 0 {
			r.unfit[n] = true
			r.fault(r.owner(n), "no-lines", "write at least one", "%q is an empty list; it takes %s", of, fits.what)
		}
		for _, c := range n.Content {
			r.shaped(c, fits.of, of)
		}
	case fields, entries:
		r.mapping(n, fits, of)
	}
}

// fitting picks, of a form and its alternative, the one whose kind the node is; nil when it is neither.
func fitting(n *yaml.Node, f *form) *form {
	for ; f != nil; f = f.or {
		fits := false
		switch f.shape {
		case text:
			// A number may be the beginning of a quantity that lost its unit; the reader of the value says so.
			fits = n.Kind == yaml.ScalarNode && (n.Tag == "!!str" || n.Tag == "!!timestamp" ||
				f.pattern != "" && f.words == nil && isNumber(n))
		case number, whole, halved:
			fits = n.Kind == yaml.ScalarNode && isNumber(n)
		case list:
			fits = n.Kind == yaml.SequenceNode
		case fields, entries:
			fits = n.Kind == yaml.MappingNode
		}
		if fits {
			return f
		}
	}
	return nil
}

func isNumber(n *yaml.Node) bool { return n.Tag == "!!int" || n.Tag == "!!float" }

// mapping checks the keys of a mapping, and what stands behind each.
func (r *reader) mapping(n *yaml.Node, f *form, of string) {
	known := map[string]*key{}
	var names []string
	for i := range f.keys {
		known[f.keys[i].name] = &f.keys[i]
		names = append(names, f.keys[i].name)
	}
	first := map[string]*yaml.Node{}
	misspelt := map[string]bool{} // keys that were meant, so they are not told as missing too
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		where := r.span(k)
		switch {
		case k.Kind != yaml.ScalarNode:
			r.fault(where, "wrong-kind", "write a name", "a key of %q is not text", of)
			r.unfit[k] = true
			continue
		case r.plainness(k, of):
			r.unfit[k] = true
			continue
		}
		if before := first[k.Value]; before != nil {
			r.fault(where, "duplicate-key", "remove one of the two", "%q appears twice", k.Value).
				note(r.span(before).Pos, "first written here")
			r.unfit[k] = true
			continue
		}
		first[k.Value] = k
		takes := f.of
		if f.shape == fields {
			if known[k.Value] == nil {
				if now, ok := formerKeys[k.Value]; ok && known[now] != nil {
					r.fault(where, "unknown-key", fmt.Sprintf("this key is now called %q", now), "unknown key %q", k.Value)
					r.unfit[k], misspelt[now] = true, true
					continue
				}
				r.fault(where, "unknown-key", r.meant(k.Value, plainly(names...), "keys here are "+strings.Join(names,
					", ")), "unknown key %q", k.Value)
				r.unfit[k] = true
				if near, ok := r.nearest(k.Value, plainly(names...)); ok {
					misspelt[near.name] = true
				}
				continue
			}
			takes = known[k.Value].takes
		} else if fault := nameFault(k.Value); fault != "" {
			r.fault(where, "bad-name", nameRule, "name %q %s", k.Value, fault)
			r.unfit[k] = true
		}
		r.head[v] = k
		r.shaped(v, takes, k.Value)
	}
	for _, k := range f.keys {
		if k.needed && first[k.name] == nil && !misspelt[k.name] {
			r.fault(r.owner(n), "missing-key", fmt.Sprintf("add %q with %s", k.name, k.takes.what), "%q has no %q", of,
				k.name)
		}
	}
}

// wrongKind says that a value is not of the kind that its key takes.
func (r *reader) wrongKind(n *yaml.Node, f *form, of string) {
	takes := f.what
	for or := f.or; or != nil; or = or.or {
		takes += ", or " + or.what
	}
	found, hint := "", "write "+takes
	switch n.Kind {
	case yaml.SequenceNode:
		found = "a list"
	case yaml.MappingNode:
		found = "a mapping"
		if f.shape == text && len(n.Content) > 0 && n.Style&yaml.FlowStyle == 0 {
			hint = "a colon and a space start a mapping: put the text in quotes, or remove the colon"
		}
	case yaml.ScalarNode:
		switch found = fmt.Sprintf("%q", n.Value); {
		case n.Tag == "!!null":
			found, hint = "nothing", "write "+takes+", or remove the key"
		case f.shape == text && isNumber(n):
			found, hint = "the number "+n.Value, fmt.Sprintf("put it in quotes: %q", n.Value)
		case f.shape == text:
			found, hint = found+", which means yes or no", fmt.Sprintf("put it in quotes: %q", n.Value)
		case f.shape == list:
			hint = fmt.Sprintf("write it as [%s]", n.Value)
		case f.shape == number, f.shape == whole, f.shape == halved:
			if _, err := money(n.Value); err == nil {
				hint = "write it without quotes"
			}
		}
	}
	r.fault(r.span(n), "wrong-kind", hint, "%q takes %s, not %s", of, takes, found)
}

// plainness refuses what YAML can do beyond plain keys and values, because a reader of the file would have to know it.
func (r *reader) plainness(n *yaml.Node, of string) (refused bool) {
	refuse := func(what, hint string) bool {
		r.fault(r.span(n), "not-plain", hint, "%q has %s", of, what)
		return true
	}
	switch {
	case n.Kind == yaml.AliasNode:
		return refuse("an alias (*"+n.Value+")", "write the value out")
	case n.Anchor != "":
		return refuse("an anchor (&"+n.Anchor+")", "remove it; aliases are not read")
	case n.Tag == "!!merge":
		return refuse("a merge key (<<)", "write the keys out")
	case n.Style&yaml.TaggedStyle != 0:
		return refuse("a tag ("+n.Tag+")", "remove it")
	}
	return false
}

// owner is the key that a mapping stands behind; for the whole file, its beginning.
func (r *reader) owner(n *yaml.Node) span {
	if k := r.head[n]; k != nil {
		return r.span(k)
	}
	return r.at(1, 1, 1)
}
