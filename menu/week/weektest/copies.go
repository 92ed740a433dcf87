package weektest

// Large kitchens: the copies of an example, side by side.

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/week"
)

var (
	remark    = regexp.MustCompile(`\s*#.*`)
	otherName = regexp.MustCompile(`,? ?also: \{[^}]*\}`)
	inOthers  = regexp.MustCompile(`(?m)^also:.*\n(?:  .*\n)+|^    also:\n(?:      .*\n)+|^(?:seats|turns):.*\n`)
	allergens = regexp.MustCompile(`allergens: \[[^]]*\]`)
)

// Copies is the kitchen file of three-kettles as n houses under one roof, that share nothing: every name of a house but the
// first ends in its number, "salt no2". A house has 12 dishes.
func Copies(tb testing.TB, n int) string {
	tb.Helper()
	src, err := os.ReadFile(filepath.Join(root(tb), "examples", "three-kettles", "kitchen.yaml"))
	require.NoError(tb, err)
	head, sections := sections(inOthers.ReplaceAllLiteralString(string(src), "")) // of the words of other languages, and of seats, one house's would do for all
	var names []string
	for _, s := range sections {
		for _, line := range s[1:] {
			if name, _, ok := strings.Cut(line, ":"); ok && strings.HasPrefix(name, "  ") && name[2] != ' ' {
				names = append(names, regexp.QuoteMeta(strings.TrimSpace(name)))
			}
		}
	}
	slices.SortFunc(names, func(a, b string) int { return len(b) - len(a) }) // "kettle stock" is not "stock"
	name := regexp.MustCompile(`\b(` + strings.Join(names, "|") + `)\b`)
	var b strings.Builder
	b.WriteString(strings.Join(head, "\n") + "\n")
	for _, s := range sections {
		b.WriteString(s[0] + "\n")
		for house := 1; house <= n; house++ {
			for _, line := range s[1:] {
				if house > 1 {
					said := allergens.FindString(line) // peanuts are peanuts in every house
					line = name.ReplaceAllString(line, fmt.Sprintf("${1} no%d", house))
					line = allergens.ReplaceAllLiteralString(line, said)
				}
				b.WriteString(line + "\n")
			}
		}
	}
	return b.String()
}

var drawn = regexp.MustCompile(`\b(b|m|s|dishes|specials)\d+\b`)

// AnyHouses draws a kitchen of two houses over some days, that share some of what they buy, or nothing.
func AnyHouses(t *rapid.T) (w *week.Week, text string) {
	src, onHand := AnyKitchen(t)
	shared := map[string]bool{"b0": rapid.Bool().Draw(t, "b0 is shared"), "b1": rapid.Bool().Draw(t, "b1 is shared")}
	second := func(line string) string {
		return drawn.ReplaceAllStringFunc(line, func(name string) string {
			if shared[name] {
				return name
			}
			return name + "x"
		})
	}
	head, lists := sections(src)
	lines := slices.Clone(head)
	for _, list := range lists {
		lines = append(lines, list...)
		for _, line := range list[1:] {
			if other := second(line); other != line || line[2] == ' ' {
				lines = append(lines, other)
			}
		}
	}
	text = strings.Join(lines, "\n")
	for line := range strings.Lines(onHand) {
		if other := second(line); other != line {
			onHand += other
		}
	}
	return Stocked(t, text, onHand, week.Period{From: Monday, Days: rapid.IntRange(1, 9).Draw(t, "days")}), text + "\n" + onHand
}

// sections are the lines of a kitchen file without remarks and names in other languages: those before the first list, which the
// houses have in common, and those of each list behind the line that begins it.
func sections(src string) (head []string, lists [][]string) {
	for line := range strings.Lines(src) {
		line = strings.TrimRight(otherName.ReplaceAllString(remark.ReplaceAllString(line, ""), ""), " \n")
		switch {
		case line == "" || strings.TrimSpace(line) == "":
		case line[0] != ' ' && strings.HasSuffix(line, ":"):
			lists = append(lists, []string{line})
		case len(lists) > 0:
			lists[len(lists)-1] = append(lists[len(lists)-1], line)
		default:
			head = append(head, line)
		}
	}
	return head, lists
}
