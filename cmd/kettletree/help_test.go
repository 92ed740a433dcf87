package main

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The manual page says all that help says, and no line of a text is taken for a request to the formatter (groff_man(7): requests begin
// with a point or an apostrophe, escapes with a backslash).
func TestManual(t *testing.T) {
	got := runIn(t, nil, "help", "--man")
	require.Equal(t, ended, got.code)
	requests := []string{".TH", ".SH", ".SS", ".nf", ".fi", `'\"`}
	for n, line := range strings.Split(got.stdout, "\n") {
		if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
			request, _, _ := strings.Cut(line, " ")
			assert.True(t, slices.Contains(requests, request), "%d: %s", n+1, line)
		}
	}

	shown := regexp.MustCompile(`\\(\(aq|\(ga|\(ha|\(ti|e|-|&)`).ReplaceAllStringFunc(got.stdout, func(escape string) string {
		return map[string]string{`\(aq`: "'", `\(ga`: "`", `\(ha`: "^", `\(ti`: "~", `\e`: `\`, `\-`: "-", `\&`: ""}[escape]
	})
	words := strings.Join(strings.Fields(shown), " ")
	for _, g := range groups {
		for _, name := range g.commands {
			assert.Contains(t, words, strings.Join(strings.Fields(helpText(name)), " "), name)
		}
	}
	for _, topic := range topicNames() {
		if topic != "json" {
			assert.Contains(t, words, strings.Join(strings.Fields(helpText(topic)), " "), topic)
		}
	}
}
