package kitchen

// How a step or a dish is made and how it looks when it is right, as it is said to a new cook.

import (
	"fmt"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/language"
)

// Telling is what the file says of the making of a step or a dish, in a line or two each; "" where it does not say.
type Telling struct {
	Method Said
	Looks  Said
	Photo  string // of a file in the kitchen's folder or below, by slashes

	pos, photoPos span
}

// Said is a text in the file's language, or in another that it was asked for in.
type Said struct {
	Text  string
	Other bool // it was asked for in another language and the file does not give it there
}

// toldIn is a [Telling] in another language.
type toldIn struct {
	of            int // step of the graph
	language      language.Tag
	method, looks string
}

const methodKey, looksKey, photoKey, nameKey = "method", "looks like", "photo", "name"

// tellingKeys stand on steps and dishes.
var tellingKeys = []key{
	wasKey,
	{methodKey, anyText, may, "How it is made, in a line or two, as it is said to a new cook: the guide shows it."},
	{looksKey, anyText, may, "How it looks, smells or feels when it is right, in a line or two."},
	{photoKey, &form{shape: text, what: "a JPEG or PNG file such as photos/stock.jpg", pattern: photoPattern}, may,
		"A picture of it as it should be: a JPEG or PNG file in the kitchen's folder or below, of up to 1 MB."},
	{"also", &form{shape: entries, what: "names by language such as {es: caldo}", pattern: languagePattern,
		of: &form{shape: text, what: "a name", pattern: namePattern,
			or: &form{shape: fields, what: "a name with method and looks like such as {name: caldo, looks like: claro y dorado}", keys: []key{
				{nameKey, &form{shape: text, what: "a name", pattern: namePattern}, may, "What it is called in this language."},
				{methodKey, anyText, may, "How it is made, in this language."},
				{looksKey, anyText, may, "How it looks, in this language."},
			}}}}, may,
		"What it is called in other languages, by BCP 47 tags, and what is said of its making there: the guide for staff uses it."},
}

// telling reads what is said of the making of the next step of the graph.
func (r *reader) telling(rec *recipe) {
	t := Telling{pos: r.span(rec.key)}
	t.Method.Text, _ = scalar(r, rec.body, methodKey, words)
	t.Looks.Text, _ = scalar(r, rec.body, looksKey, words)
	if n := r.value(rec.body, photoKey); n != nil {
		t.photoPos = r.span(n)
		if fault := photoFault(n.Value); fault != "" {
			r.fault(t.photoPos, "bad-photo", "write a file in the kitchen's folder or below, such as photos/stock.jpg", "photo %q %s", n.Value, fault)
		} else {
			t.Photo = n.Value
		}
	}
	for key, v := range r.pairs(r.value(rec.body, "also")) {
		if v.Kind != yaml.MappingNode {
			continue
		}
		tag, err := language.Parse(key.Value)
		if err != nil { // the name's reader says so
			continue
		}
		in := toldIn{of: len(r.k.Tellings), language: tag}
		in.method, _ = scalar(r, v, methodKey, words)
		in.looks, _ = scalar(r, v, looksKey, words)
		for _, name := range []string{methodKey, looksKey} {
			if n := r.value(v, name); n != nil && !written(rec.body, name) {
				r.fault(r.span(n), "also-of-nothing", fmt.Sprintf("write %q beside \"also\" too, in the file's own language", name), "%q has %q in %s only", rec.name, name, tag)
			}
		}
		r.k.toldIn = append(r.k.toldIn, in)
	}
	r.k.Tellings = append(r.k.Tellings, t)
}

// tellingsIn are the tellings in a language, and what has none there.
func (k *Kitchen) tellingsIn(tag language.Tag) (list []Telling, missing Diagnostics) {
	other := !InLanguage(k.Language, tag)
	for s, t := range k.Tellings {
		t.Method.Other, t.Looks.Other = other && t.Method.Text != "", other && t.Looks.Text != ""
		for _, exact := range []bool{false, true} { // es-MX before es
			for _, in := range k.toldIn {
				if in.of != s || !InLanguage(in.language, tag) || exact && in.language != tag {
					continue
				}
				if in.method != "" {
					t.Method = Said{Text: in.method}
				}
				if in.looks != "" {
					t.Looks = Said{Text: in.looks}
				}
			}
		}
		for _, of := range []struct {
			name string
			said Said
		}{{methodKey, t.Method}, {looksKey, t.Looks}} {
			if of.said.Other {
				missing = append(missing, Diagnostic{Pos: t.pos.Pos, Severity: Warning, ID: "no-name",
					Msg:  fmt.Sprintf("%q of %q is not given in %s", of.name, k.Graph.Steps[s].Name, tag),
					Hint: fmt.Sprintf("write also: {%s: {name: ..., %s: ...}} there; until then the file's own words stand in the guide", tag, of.name)})
			}
		}
		list = append(list, t)
	}
	return list, missing
}
