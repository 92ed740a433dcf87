package kitchen

// From the text of a kitchen file to its nodes.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"
)

// mostDepth is how deep mappings and lists may lie in each other.
const mostDepth = 100

// decode is parse, with the letters of all texts put together in one way.
func (r *reader) decode(src []byte) *yaml.Node {
	root := r.parse(src)
	if root != nil {
		composed(root)
	}
	return root
}

// parse decodes the file to its outermost mapping, as it is written; nil when a fault leaves nothing to read.
func (r *reader) parse(src []byte) *yaml.Node {
	loader, err := yaml.NewLoader(bytes.NewReader(src),
		yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(mostDepth))))
	if err != nil {
		panic("mistake: " + err.Error())
	}
	var doc, next yaml.Node
	switch err := loader.Load(&doc); {
	case errors.Is(err, io.EOF):
		r.refuse("empty", firstWords, "file is empty")
		return nil
	case err != nil:
		r.syntax(err)
		return nil
	}
	switch err := loader.Load(&next); {
	case err == nil:
		r.fault(r.at(next.Line, next.Column, 3), "several-documents",
			`take the line "---" out, or keep each kitchen in its own file`,
			"a second document starts here")
		return nil
	case !errors.Is(err, io.EOF):
		r.syntax(err)
		return nil
	}
	root := doc.Content[0]
	if root.Kind == yaml.ScalarNode && root.Tag == "!!null" {
		r.refuse("empty", firstWords, "file is empty")
		return nil
	}
	return root
}

const firstWords = `begin with "kitchen: NAME", then "bought:" with what you buy and its prices`

// syntax records what the decoder refused.
func (r *reader) syntax(err error) {
	e, ok := errors.AsType[*yaml.LoadError](err)
	if !ok {
		panic(fmt.Sprintf("mistake: the decoder failed with a %T: %v", err, err))
	}
	mark := e.Mark
	if mark.Line == 0 || e.ContextMark.Line > 0 && r.blankFrom(mark.Line) {
		mark = e.ContextMark // at the end of the file there is nothing to point at
	}
	id, hint, msg := "not-yaml", "", e.Message
	switch {
	case strings.Contains(msg, "exceeded max depth"):
		id, msg, hint = "too-deep", fmt.Sprintf("brackets or indents are more than %d deep", mostDepth),
			"is this a kitchen file?"
	case strings.Contains(msg, "mapping values are not allowed"):
		hint = "a colon and a space start a value: put text that holds them in quotes"
	case strings.Contains(msg, "cannot start any token"):
		hint = "indent with spaces, not tabs; put text that begins with a sign in quotes"
	case strings.Contains(msg, "unexpected end of stream"), strings.Contains(msg, "did not find expected"):
		hint = "close the quotes or brackets, and indent what belongs together alike"
	case strings.Contains(msg, "could not find expected ':'"):
		hint = "write a key, a colon and a space, and its value: price: 4.20/kg"
	case strings.Contains(msg, "unknown anchor"):
		hint = "write the value out; aliases are not read"
	case strings.Contains(msg, "control characters"):
		msg, hint = "the file holds a control character", "save the kitchen file as plain text in UTF-8"
		mark.Line, mark.Column = r.control()
	default:
		hint = "write keys and values as \"kettletree help kitchen\" shows them; put text with signs in quotes"
	}
	if e.ContextMsg != "" && id == "not-yaml" {
		msg += " (" + e.ContextMsg + ")"
	}
	if mark.Line == 0 {
		r.refuse(id, hint, "%s", msg)
		return
	}
	r.fault(r.at(mark.Line, mark.Column, 1), id, hint, "%s", msg)
}

// control is where the first character stands that YAML does not take.
func (r *reader) control() (line, col int) {
	for n := range r.lines {
		for at, c := range r.runesOf(n + 1) {
			if unicode.IsControl(c) && c != '\t' || c == '\uFEFF' || c == '\uFFFE' || c == '\uFFFF' {
				return n + 1, at + 1
			}
		}
	}
	return 1, 1
}

// blankFrom tells whether nothing is written from a line on.
func (r *reader) blankFrom(line int) bool {
	return strings.TrimSpace(strings.Join(r.lines[min(len(r.lines), line-1):], "")) == ""
}
