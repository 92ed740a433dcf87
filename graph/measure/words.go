package measure

// Amounts that are written in words.

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

// wordForm is how words of an amount are written in the languages of the staff, in lower case, and what is read for them.
type wordForm struct {
	written string
	read    string
}

var (
	numberWords = []wordForm{
		{`(?:an? +)?quarter(?: +of)?(?: +an?)?\b`, "1/4 "},
		{`(?:an? +)?half(?: +of)?(?: +an?)?\b`, "1/2 "}, {`(?:medio|media)\b`, "1/2 "}, {`半`, "1/2 "},
		{`an?\b`, "1 "}, {`one\b`, "1 "}, {`una?\b`, "1 "}, {`一`, "1 "},
		{`two\b`, "2 "}, {`dos\b`, "2 "}, {`两`, "2 "},
		{`three\b`, "3 "}, {`tres\b`, "3 "}, {`三`, "3 "},
	}
	unitWords = []wordForm{
		{`cajas?\b`, "case"}, {`箱`, "case"},
		{`botellas?\b`, "bottle"}, {`瓶`, "bottle"},
		{`latas?\b`, "can"}, {`罐`, "can"},
		{`manojos?\b`, "bunch"}, {`把`, "bunch"},
		{`docenas?\b`, "doz"}, {`打`, "doz"},
		{`pizcas?\b`, "pinch"}, {`撮`, "pinch"},
		{`[个個只隻]`, "each"},
	}
	dozenWords = []wordForm{{`dozen\b`, "1 doz"}, {`docena\b`, "1 doz"}} // without a number
	ofThat     = []wordForm{{`of\b`, ""}, {`de\b`, ""}}
)

// begins are the forms compiled, in the same order, each at the beginning of a text.
func begins(words []wordForm) (list []*regexp.Regexp) {
	for _, w := range words {
		list = append(list, regexp.MustCompile("^"+folded(w.written)))
	}
	return list
}

var numberBegins, unitBegins, dozenBegins, ofBegins = begins(numberWords), begins(unitWords), begins(dozenWords), begins(ofThat)

var lowerCase = regexp.MustCompile(`\\b|[a-z]`)

// folded is a pattern of words in lower case that takes upper case too, in the syntax shared by Go and JSON Schema.
func folded(pattern string) string {
	return lowerCase.ReplaceAllStringFunc(pattern, func(s string) string {
		if s == `\b` {
			return s
		}
		return "[" + strings.ToUpper(s) + s + "]"
	})
}

// anyOf is a pattern of one of some words.
func anyOf(words []wordForm) string {
	var list []string
	for _, w := range words {
		list = append(list, folded(w.written))
	}
	return "(?:" + strings.Join(list, "|") + ")"
}

// WordedPattern is a regular expression for what [ParsePrefix] reads as an amount in words, and some more, in the syntax shared by Go and
// JSON Schema.
func WordedPattern(kinds ...Kind) string {
	return "(?:" + anyOf(dozenWords) + "|" + anyOf(numberWords) + " *(?:" + UnitPattern(kinds...) + `(?:\b|\.)|` + anyOf(unitWords) + "))(?: +" + anyOf(ofThat) + ")?"
}

// begun reads one of the words that a text begins with.
func begun(words []wordForm, compiled []*regexp.Regexp, s string) (read, rest string, ok bool) {
	for i, w := range words {
		n := len(compiled[i].FindString(s))
		if last, _ := utf8.DecodeLastRuneInString(s[:n]); n > 0 && (last >= utf8.RuneSelf || n == len(s) || s[n] == ' ') {
			return w.read, strings.TrimLeft(s[n:], " "), true
		}
	}
	return "", s, false
}

// worded reads the quantity that a text begins with in words, where it names its unit: the half case of "half a case of lemons". "half an
// onion" names none, and "half and half" is a name.
func worded(s string) (q Quantity, rest string, ok bool) {
	amount, rest, ok := begun(dozenWords, dozenBegins, s)
	if !ok {
		if amount, rest, ok = begun(numberWords, numberBegins, s); !ok {
			return Quantity{}, s, false
		}
		unit, after, named := begun(unitWords, unitBegins, rest)
		if !named {
			var u Unit
			u, after, named = unitPrefix(rest)
			unit = u.Name
		}
		if !named {
			return Quantity{}, s, false
		}
		amount, rest = amount+unit, after
	}
	q, err := Parse(amount)
	if _, after, of := begun(ofThat, ofBegins, rest); of {
		rest = after
	}
	return q, rest, err == nil
}

// InFigures is a text that begins with an amount in words as it is read: "1/2 case lemons" of "half a case of lemons", "1 each onion" of
// "an onion". It is not ok where the text begins otherwise.
func InFigures(s string) (figures string, ok bool) {
	s = strings.TrimSpace(s)
	amount, rest, ok := begun(numberWords, numberBegins, s)
	if q, after, isWorded := worded(s); isWorded {
		switch ok = true; amount {
		case "":
			amount = q.String()
		default:
			amount += q.Unit.Name
		}
		rest = after
	} else {
		amount += Each.Name
		if _, after, of := begun(ofThat, ofBegins, rest); of {
			rest = after
		}
	}
	if !ok || rest == "" {
		return "", false
	}
	return amount + " " + rest, true
}
