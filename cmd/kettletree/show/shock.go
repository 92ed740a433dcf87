package show

// Shocks in words, for the sentence that answers.

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// circumstances puts shocks before a sentence: "without night kettle of tue, ".
func circumstances(shocks []string) string {
	said := make([]string, len(shocks))
	for i, s := range shocks {
		said[i] = circumstance(s)
	}
	return list(said) + ", "
}

// circumstance is one shock, as "lose night kettle@tue", in words.
func circumstance(shock string) string {
	kind, text, _ := strings.Cut(shock, " ")
	subject, change := text, ""
	if at := strings.LastIndex(text, "="); at >= 0 {
		subject, change = strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1:])
	}
	name, when, dated := strings.Cut(subject, "@")
	day, output, inside := strings.Cut(when, "/")
	if kind == "yield" && !dated {
		name, output, inside = strings.Cut(name, "/")
	}
	name = strings.TrimSpace(name)
	of := ""
	if day = strings.TrimSpace(day); day != "" {
		of = " of " + day
	}
	switch {
	case kind == "lose" && change != "":
		return "with " + change + " of " + name + of + " lost"
	case kind == "lose":
		return "without " + name + of
	case kind == "strike":
		return "without " + name + of + " on the menu"
	case kind == "short":
		return "with " + change + " less " + name + of
	case kind == "spoil":
		return "with the " + name + of + " thrown out"
	case kind == "price":
		return "with " + name + " at " + change
	case kind == "yield" && inside:
		return "with " + name + of + " giving " + change + " " + strings.TrimSpace(output)
	case kind == "late":
		return "with " + name + of + " " + strings.TrimPrefix(change, "+") + " late"
	case kind == "sells":
		return "with " + change + " " + name + of + " asked for"
	}
	return "with " + shock
}

// capital begins a sentence.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}
