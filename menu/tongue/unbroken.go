package tongue

// What a page must not break at the end of a line.

import (
	"html"
	"html/template"
	"regexp"
	"strings"
)

// united is a number with its unit, or with a word as short that ends a list.
var united = regexp.MustCompile(`([0-9¼½¾⅓⅔]) ((?:k?g|mg|[mc]?L|lb|fl oz|oz|gal|qt|pt|[cm]?m|h|min|more|más|días?|days?)(?:[^\pL]|$)|[个個只隻条條份天批项小分])`)

// sections are the name of the US code, and sections of a code.
var sections = regexp.MustCompile(`Food Code [0-9]{4}|[0-9]-[0-9]{3}[0-9.]*(?:\([0-9A-Z]+\))*`)

// Unbroken is a text for a page that keeps the code's name, sections, degrees and amounts whole; the page says what its class "whole" does.
func Unbroken(text string) template.HTML {
	return Whole(united.ReplaceAllString(html.EscapeString(text), "$1&nbsp;$2"))
}

// Whole keeps the code's name, sections and degrees whole in what is escaped already.
func Whole(escaped string) template.HTML {
	escaped = strings.ReplaceAll(escaped, " °", "&nbsp;°")
	return template.HTML(sections.ReplaceAllString(escaped, `<span class="whole">$0</span>`))
}
