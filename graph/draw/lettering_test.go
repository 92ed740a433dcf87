package draw

import (
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestWrap(t *testing.T) {
	f := face{10, false}
	for _, c := range []struct {
		text  string
		lines int
		want  []string
	}{
		{"pulled hen", 3, []string{"pulled hen"}},
		{"green chile base with seeds", 3, []string{"green chile", "base with", "seeds"}},
		{"  spaced \n out ", 3, []string{"spaced out"}},
		{"", 3, nil},
		{"one two three four five six seven eight", 2, []string{"one two", "three four…"}},
		{"Wolframwolframwolfram", 3, []string{"Wolframwolfr", "amwolfram"}},
	} {
		assert.Equal(t, c.want, f.wrap(c.text, 60, c.lines), "%q", c.text)
	}
}

func TestWrappedLinesFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.SampledFrom(nasty)).Draw(t, "text")
		f := face{9, rapid.Bool().Draw(t, "bold")}
		lines := f.wrap(s, 70, 4)
		if len(lines) > 4 {
			t.Fatalf("%d lines", len(lines))
		}
		for _, l := range lines {
			if w := f.width(l); w > 70 {
				t.Fatalf("line %q is %v wide", l, w)
			}
		}
		short := len([]rune(s)) <= longest
		whole := strings.Join(strings.FieldsFunc(strings.ToValidUTF8(s, "\uFFFD"), unicode.IsSpace), "")
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); short && !strings.HasSuffix(got,
			"…") && got != whole {
			t.Fatalf("letters were lost: %q of %q", got, whole)
		}
	})
}
