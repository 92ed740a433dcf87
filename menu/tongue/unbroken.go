package tongue

// What a page must not break at the end of a line.

import (
	"html"
	"html/template"
	"regexp"
	"strings"
)

// sections are sections of a code.
var sections = regexp.MustCompile(`[0-9]-[0-9]{3}[0-9.]*(?:\([0-9A-Z]+\))*`)

// Unbroken is a text for a page that keeps sections and degrees whole; the page says what its class "whole" does.
func Unbroken(text string) template.HTML {
	text = strings.ReplaceAll(html.EscapeString(text), " °", "&nbsp;°")
	return template.HTML(sections.ReplaceAllString(text, `<span class="whole">$0</span>`))
}
