package measure

// Amounts that are written in words.

import (
	"regexp"
	"strings"
)

// wordForm is how a word of an amount is written in the languages of the staff, and what is read for it.
type wordForm struct {
	written *regexp.Regexp
	read    string
}

var (
	numberWords = []wordForm{
		{regexp.MustCompile(`(?i)^(?:half +an? +|half +|medi[oa] +|半)`), "1/2 "},
		{regexp.MustCompile(`(?i)^(?:an? +|one +|una? +|一)`), "1 "},
		{regexp.MustCompile(`(?i)^(?:dozen|docena) +`), "1 doz "}, // without a number
	}
	unitWords = []wordForm{
		{regexp.MustCompile(`(?i)^(?:cajas? +|箱)`), "case "},
		{regexp.MustCompile(`(?i)^(?:botellas? +|瓶)`), "bottle "},
		{regexp.MustCompile(`(?i)^(?:latas? +|罐)`), "can "},
		{regexp.MustCompile(`(?i)^(?:manojos? +|把)`), "bunch "},
		{regexp.MustCompile(`(?i)^(?:docenas? +|打)`), "doz "},
		{regexp.MustCompile(`(?i)^(?:pizcas? +|撮)`), "pinch "},
		{regexp.MustCompile(`^[个個只隻]`), "each "},
	}
	ofThat = regexp.MustCompile(`(?i)^(?:of|de) +`)
)

// begun reads one of the words that a text begins with.
func begun(words []wordForm, s string) (read, rest string, ok bool) {
	for _, w := range words {
		if n := len(w.written.FindString(s)); n > 0 {
			return w.read, strings.TrimLeft(s[n:], " "), true
		}
	}
	return "", s, false
}

// InFigures is a text that begins with an amount in words as it is read: "1/2 case lemons" of "half a case of lemons", "1 each onion" of
// "an onion". It is not ok where the text begins otherwise.
func InFigures(s string) (figures string, ok bool) {
	amount, rest, ok := begun(numberWords, strings.TrimSpace(s))
	if !ok || rest == "" {
		return "", false
	}
	unit, rest, _ := begun(unitWords, rest)
	amount += unit
	if _, after, err := ParsePrefix(amount + rest); err == nil {
		read := len(amount) + len(rest) - len(after)
		amount, rest = (amount + rest)[:read], after
	} else {
		amount += Each.Name + " "
	}
	if rest = rest[len(ofThat.FindString(rest)):]; rest == "" {
		return "", false
	}
	return strings.TrimRight(amount, " ") + " " + rest, true
}
