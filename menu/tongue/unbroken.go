package tongue

// What a page must not break at the end of a line.

import (
	"html"
	"html/template"
	"regexp"
	"strings"
)

// sections are the name of the US code, and sections of a code.
var sections = regexp.MustCompile(`Food Code [0-9]{4}|[0-9]-[0-9]{3}[0-9.]*(?:\([0-9A-Z]+\))*`)

// Unbroken is a text for a page that keeps the code's name, sections and degrees whole; the page says what its class "whole" does.
func Unbroken(text string) template.HTML {
	text = strings.ReplaceAll(html.EscapeString(text), " °", "&nbsp;°")
	return template.HTML(sections.ReplaceAllString(text, `<span class="whole">$0</span>`))
}
