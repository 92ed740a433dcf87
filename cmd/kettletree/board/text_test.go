package board

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What stands indented under a line belongs to it; of a text that is too long its parts are folded, unless they are few.
func TestSaidLines(t *testing.T) {
	got := saidLines("On hand: worth 3.20.\n\nbutcher\n  lard\n    on hand 2 kg · lot 4\n  hen\n    on hand 3\nfarm\n  eggs\n\nLocal code comes first.\n")
	var flat func(lines []*saidLine) string
	flat = func(lines []*saidLine) string {
		var b strings.Builder
		for _, l := range lines {
			b.WriteString(l.Text)
			if len(l.Under) > 0 {
				b.WriteString("(" + flat(l.Under) + ")")
			}
			b.WriteString(";")
		}
		return b.String()
	}
	assert.Equal(t, "On hand: worth 3.20.;butcher(lard(on hand 2 kg · lot 4;);hen(on hand 3;););farm(eggs;);Local code comes first.;", flat(got))
	assert.True(t, got[1].Deep())
	assert.False(t, got[2].Deep(), "a thing with its facts")
	assert.Empty(t, saidLines(""))

	for parts, folds := range map[int]bool{3: false, 30: true} {
		var b strings.Builder
		for part := range parts {
			fmt.Fprintf(&b, "dish %d\n", part)
			for service := range 120 / parts {
				fmt.Fprintf(&b, "  service %d\n    forecast 12\n", service)
			}
		}
		for _, l := range saidLines(b.String()) {
			assert.Equal(t, folds, l.Folds, "%d parts", parts)
		}
	}
}
