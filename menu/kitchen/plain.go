package kitchen

// What people type freely, names among it: letters that print, put together in one way, and not too many.

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"
)

// MostLetters bounds names and what is written freely beside them: a supplier, a lot's mark, where something is kept.
const MostLetters = 200

// TextFault says what is wrong with a text of at most so many letters, to stand behind what it is: "holds a character that does not
// print". It is "" when nothing is. What does not print are control characters, those that turn the direction of letters among them, line
// ends, and what is no UTF-8.
func TextFault(text string, most int) string {
	switch {
	case !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return r == utf8.RuneError || !unicode.IsPrint(r) }):
		return "holds a character that does not print"
	case utf8.RuneCountInString(text) > most:
		return fmt.Sprintf("has %d letters, and up to %d are read", utf8.RuneCountInString(text), most)
	}
	return ""
}

// composed puts the letters of all texts below a node together in one way (NFC): é is one letter, however it was typed.
func composed(n *yaml.Node) {
	n.Value = norm.NFC.String(n.Value)
	for _, c := range n.Content {
		composed(c)
	}
}

// A cell that begins with one of these is run as a formula by programs that open CSV; see "CSV Injection" of OWASP. The apostrophe that it
// names as a guard says "this is text" to them, and is doubled where it stands already.
var (
	formula = regexp.MustCompile(`^'*[=+\-@\t\r＝＋－＠]`)
	figures = regexp.MustCompile(`^[+-]?[0-9][0-9.,]*(?:[eE][+-]?[0-9]+)?%?$`)
)

// Guarded is a cell of CSV that no program takes for a formula. Numbers stay numbers.
func Guarded(cell string) string {
	if formula.MatchString(cell) && !figures.MatchString(cell) {
		return "'" + cell
	}
	return cell
}

// Unguarded takes off what [Guarded] put before a cell.
func Unguarded(cell string) string {
	if after, ok := strings.CutPrefix(cell, "'"); ok && formula.MatchString(after) && !figures.MatchString(after) {
		return after
	}
	return cell
}
