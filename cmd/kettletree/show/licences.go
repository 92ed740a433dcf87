package show

// What the program holds of others, and under which licences.

import "strings"

// Licences is what the program is made of, beside its own source, and under which licences that is.
type Licences struct {
	Parts []Licensed `json:"parts"`
}

// Licensed is a part of the program.
type Licensed struct {
	Name     string   `json:"name"`           // of a Go module, its path
	Version  string   `json:"version"`        // "" when it was not written into the program
	Licences []string `json:"licences"`       // by their SPDX names, or "public domain"
	Text     string   `json:"text,omitempty"` // all texts, of a part that was asked for
}

// LicenceList lays out the parts with the names of their licences.
func LicenceList(p Page, a *Licences) string {
	t := table{columns: words("part", "licences")}
	for _, part := range a.Parts {
		t.add(part.Name, strings.Join(part.Licences, ", "))
	}
	return p.text(0, "What this program holds of others. \"kettletree licences PART\" prints the text of its licence.") + "\n" +
		t.on(p)
}

// LicenceText is the text of one part's licences.
func LicenceText(p Page, part Licensed) string {
	return p.text(0, strings.TrimSpace(part.Name+" "+part.Version)+": "+strings.Join(part.Licences, ", ")) + "\n" + part.Text
}

// LicenceSheet has a row for each part.
func LicenceSheet(a *Licences) (s Sheet) {
	s.add("name", "version", "licences")
	for _, part := range a.Parts {
		s.add(part.Name, part.Version, strings.Join(part.Licences, ", "))
	}
	return s
}
