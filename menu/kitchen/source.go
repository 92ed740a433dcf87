package kitchen

// The text of a file that is read: its lines, places in it, and the faults found in it.

import (
	"bytes"
	"cmp"
	"fmt"
	"iter"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// MostBytes is the size of the largest file that is read: far more than a kitchen needs, and little enough that no file
// can hold the program up.
const MostBytes = 4 << 20

// source is a text with the faults found in it so far.
type source struct {
	file  string
	lines []string
	runes [][]rune // of the lines that have been asked for; a file may be one line
	found Diagnostics
}

// newSource takes a file's bytes; breaks are what ends a line beside "\n", as the decoder of the file counts lines. It
// refuses what is too large and what is not text: then ok is false, and the fault is recorded.
func newSource(file string, src []byte, breaks ...string) (s *source, clean []byte, ok bool) {
	s = &source{file: file}
	if len(src) > MostBytes {
		s.refuse("too-large", "files of a kitchen have a few thousand lines; is this the right one?",
			"file has more than the %d MB that are read", MostBytes>>20)
		return s, nil, false
	}
	clean = bytes.TrimPrefix(src, []byte("\uFEFF"))
	if bytes.IndexByte(clean, 0) >= 0 || !utf8.Valid(clean) {
		s.refuse("not-text", "save the file as plain text in UTF-8", "file is not text")
		return s, nil, false
	}
	text := string(clean)
	for _, b := range breaks {
		text = strings.ReplaceAll(text, b, "\n")
	}
	s.lines = strings.Split(text, "\n")
	s.runes = make([][]rune, len(s.lines))
	return s, clean, true
}

// refuse records an error of the file as a whole.
func (s *source) refuse(id, hint, format string, args ...any) {
	s.found = append(s.found, Diagnostic{Pos: Pos{File: s.file}, ID: id, Hint: hint, Msg: fmt.Sprintf(format, args...)})
}

// span is a stretch of one line.
type span struct {
	Pos
	length int // runes
}

// runesOf are the runes of a line, which counts from 1.
func (s *source) runesOf(line int) []rune {
	if s.runes[line-1] == nil {
		s.runes[line-1] = []rune(s.lines[line-1])
	}
	return s.runes[line-1]
}

// at is a span that is sure to lie in the text.
func (s *source) at(line, col, length int) span {
	line = max(1, min(line, len(s.lines)))
	runes := len(s.runesOf(line))
	col = max(1, min(col, runes+1))
	return span{Pos{s.file, line, col}, max(1, min(length, runes+1-col))}
}

// span is where a node stands; a scalar without its quotes.
func (s *source) span(n *yaml.Node) span {
	if n.Kind != yaml.ScalarNode {
		return s.at(n.Line, n.Column, 1)
	}
	return s.part(n, 0, len(n.Value))
}

// part is where some bytes of a scalar's value stand. A value that is written otherwise than it reads, over several
// lines or with escapes, is marked where it begins.
func (s *source) part(n *yaml.Node, from, length int) span {
	col := n.Column
	if n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0 {
		col++
	}
	col += utf8.RuneCountInString(n.Value[:from])
	word := n.Value[from : from+length]
	sp := s.at(n.Line, col, utf8.RuneCountInString(word))
	rest := s.runesOf(sp.Line)[sp.Col-1:]
	if sp.Col != col || word != "" && string(rest[:min(sp.length, len(rest))]) != word {
		return s.at(n.Line, n.Column, 1)
	}
	return sp
}

// fault records an error and hands it back for notes to be added.
func (s *source) fault(where span, id, hint, format string, args ...any) *Diagnostic {
	s.found = append(s.found, Diagnostic{
		Pos: where.Pos, Len: where.length, ID: id, Msg: cut(fmt.Sprintf(format, args...)), Hint: cut(hint),
		Excerpt: s.lines[where.Line-1],
	})
	return &s.found[len(s.found)-1]
}

// cut shortens a message that quotes far too much.
func cut(s string) string {
	const most = 400
	if runes := []rune(s); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return s
}

// warn is fault for what does not stop the work.
func (s *source) warn(where span, id, hint, format string, args ...any) *Diagnostic {
	d := s.fault(where, id, hint, format, args...)
	d.Severity = Warning
	return d
}

// advise warns of what a check says and no other answer.
func (r *reader) advise(where span, id, hint, format string, args ...any) {
	r.warn(where, id, hint, format, args...)
	last := len(r.found) - 1
	r.k.Advice = append(r.k.Advice, r.found[last])
	r.found = r.found[:last]
}

// note adds another place.
func (d *Diagnostic) note(where Pos, format string, args ...any) *Diagnostic {
	d.Notes = append(d.Notes, Note{where, fmt.Sprintf(format, args...)})
	return d
}

// misread records a fault that package measure, or the line grammar, found in a scalar.
func (s *source) misread(n *yaml.Node, id string, err error) {
	e, ok := err.(*measure.Error)
	if !ok {
		panic(fmt.Sprintf("mistake: %T is not a fault in a text", err))
	}
	where := s.span(n)
	if e.Len > 0 && e.At+e.Len <= len(n.Value) {
		where = s.part(n, e.At, e.Len)
	}
	s.fault(where, id, e.Hint, "%s", e.Msg)
}

// named is a name that exists, and where it does.
type named struct {
	name string
	pos  Pos // zero when it is none of the file's own
}

// mostHints bounds the work of looking for near names in a file that is wrong all over.
const mostHints = 200

// nearest is the name nearest to one that does not exist; ok is false when none is near. Of two that are as near, the
// first wins.
func (s *source) nearest(written string, names iter.Seq[named]) (near named, ok bool) {
	const longestName = 200 // beyond, a hint is no help and comparing takes long
	if len(s.found) > mostHints || len(written) > longestName {
		return named{}, false
	}
	best := max(2, utf8.RuneCountInString(written)/3) + 1
	for n := range names {
		if len(n.name) > longestName {
			continue
		}
		if d := levenshtein.ComputeDistance(strings.ToLower(written), strings.ToLower(n.name)); d < best {
			near, best, ok = n, d, true
		}
	}
	return near, ok
}

// meant is the hint with the name nearest to one that does not exist; otherwise says what to write when none is near.
func (s *source) meant(written string, names iter.Seq[named], otherwise string) string {
	near, ok := s.nearest(written, names)
	if utf8.RuneCountInString(written) <= shortName { // it is near to any other as short: "US" is no "UK"
		if with := s.withWords(written, names); with != "" {
			return with
		}
	}
	switch {
	case !ok:
		return cmp.Or(s.withWords(written, names), otherwise)
	case near.pos.Line > 0:
		return fmt.Sprintf("did you mean %q (%s)?", near.name, near.pos)
	}
	return fmt.Sprintf("did you mean %q?", near.name)
}

// mostMeant is how many names a hint offers; shortName is how many letters are too few to be near to others.
const (
	mostMeant = 3
	shortName = 3
)

// withWords is the hint with the few names that have the words of one that does not exist, or begin so: "did you mean "duck breast"?"
// of "breast". It is "" where none has them, or many.
func (s *source) withWords(written string, names iter.Seq[named]) string {
	words := strings.Fields(strings.ToLower(written))
	if len(words) == 0 || len(s.found) > mostHints {
		return ""
	}
	var offered []string
	for n := range names {
		own := strings.Fields(strings.ToLower(n.name))
		all := !slices.ContainsFunc(words, func(w string) bool {
			return !slices.ContainsFunc(own, func(o string) bool {
				return w == o || len(w) >= 3 && strings.HasPrefix(o, w) || len(w) >= 4 && levenshtein.ComputeDistance(w, o) <= 1
			})
		})
		if all && len(offered) == mostMeant {
			return ""
		}
		if all {
			offered = append(offered, strconv.Quote(n.name))
		}
	}
	switch last := len(offered) - 1; last {
	case -1:
		return ""
	case 0:
		return fmt.Sprintf("did you mean %s?", offered[0])
	default:
		return fmt.Sprintf("did you mean %s or %s?", strings.Join(offered[:last], ", "), offered[last])
	}
}

// namesOf walks the names of a list's values.
func namesOf[T any](list []T, name func(at int, v T) named) iter.Seq[named] {
	return func(yield func(named) bool) {
		for at, v := range list {
			if !yield(name(at, v)) {
				return
			}
		}
	}
}

// itemNames walks the items of some roles.
func itemNames(items []graph.Item, at []Pos, roles ...graph.Role) iter.Seq[named] {
	return func(yield func(named) bool) {
		for i, it := range items {
			if slices.Contains(roles, it.Role) && !yield(named{it.Name, at[i]}) {
				return
			}
		}
	}
}

func (k *Kitchen) vesselNames() iter.Seq[named] {
	return namesOf(k.Vessels, func(_ int, v Vessel) named { return named{v.Name, v.Pos} })
}

// plainly makes names of words that stand nowhere in the file.
func plainly(words ...string) iter.Seq[named] {
	return namesOf(words, func(_ int, word string) named { return named{name: word} })
}
