package board

// Numbers as they are typed: with a point or with a comma.

import (
	"fmt"
	"regexp"
	"strings"
)

var (
	// leading is the number that a text begins with, and what stands behind it.
	leading   = regexp.MustCompile(`^([-+−]?)([0-9]*(?:[.,][0-9]+)*[.,]?)(.*)$`)
	thousands = regexp.MustCompile(`^[0-9]{1,3}(,[0-9]{3})+$`)
)

// pointed is what was typed with a point in place of a comma that is a decimal comma. A comma with three digits behind it may part
// thousands: which of two it is must be said, never guessed; they are given back as choices.
func pointed(typed string) (text string, choices []string, err error) {
	text = strings.TrimSpace(typed)
	m := leading.FindStringSubmatch(text)
	if m == nil || !strings.Contains(m[2], ",") {
		return text, nil, nil
	}
	sign, number, rest := m[1], m[2], m[3]
	point, comma := strings.LastIndex(number, "."), strings.LastIndex(number, ",")
	whole := func(by string) string { return sign + strings.ReplaceAll(number, by, "") + rest }
	switch {
	case point > comma && thousands.MatchString(number[:point]): // 1,234.5
		return whole(","), nil, nil
	case point >= 0 && point < comma && thousands.MatchString(strings.ReplaceAll(number[:comma], ".", ",")): // 1.234,5
		number = strings.ReplaceAll(number[:comma], ".", "") + "." + number[comma+1:]
		return sign + number + rest, nil, nil
	case point >= 0:
		return text, nil, fmt.Errorf("%q is not a number", typed)
	case strings.Count(number, ",") > 1:
		if thousands.MatchString(number) {
			return whole(","), nil, nil
		}
		return text, nil, fmt.Errorf("%q is not a number", typed)
	case thousands.MatchString(number) && number[0] != '0':
		return text, []string{sign + strings.Replace(number, ",", ".", 1) + rest, whole(",")},
			fmt.Errorf("%q can be read in two ways: which is it?", typed)
	}
	if comma == 0 {
		number = "0" + number
	}
	return sign + strings.Replace(number, ",", ".", 1) + rest, nil, nil
}
