package show

// Bounds on shares of a batch that break.

import (
	"strings"
)

// shares says which bounds on shares of a batch break; nothing when none does.
func shares(p Page, sentences []string) string {
	if len(sentences) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(p.heading("Strength"))
	for _, s := range sentences {
		b.WriteString(p.text(2, s+"."))
	}
	return b.String()
}
