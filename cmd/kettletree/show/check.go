package show

// Faults for other programs.

import (
	"kettletree/menu/kitchen"
)

// Faults is what was found in a kitchen.
type Faults struct {
	Kitchen string  `json:"kitchen"` // the file
	Faults  []Fault `json:"faults"`
}

// Fault is one fault with its place; line and column are 0 for the file as a whole.
type Fault struct {
	File     string      `json:"file"`
	Line     int         `json:"line"`
	Column   int         `json:"column"`
	Length   int         `json:"length"`
	Severity string      `json:"severity"`
	ID       string      `json:"id"`
	Message  string      `json:"message"`
	Hint     string      `json:"hint"`
	Excerpt  string      `json:"excerpt"`
	Notes    []FaultNote `json:"notes"`
}

// FaultNote is another place that a fault speaks of.
type FaultNote struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Message string `json:"message"`
}

// FaultsOf puts what was found in a kitchen file into the form of its JSON.
func FaultsOf(file string, found kitchen.Diagnostics) Faults {
	a := Faults{Kitchen: file, Faults: []Fault{}}
	for _, d := range found {
		f := Fault{d.Pos.File, d.Pos.Line, d.Pos.Col, d.Len, d.Severity.String(), d.ID, d.Msg, d.Hint, d.Excerpt,
			[]FaultNote{}}
		for _, n := range d.Notes {
			f.Notes = append(f.Notes, FaultNote{n.Pos.File, n.Pos.Line, n.Pos.Col, n.Msg})
		}
		a.Faults = append(a.Faults, f)
	}
	return a
}

// FaultSheet has a row for each fault.
func FaultSheet(found kitchen.Diagnostics) (s Sheet) {
	s.add("file", "line", "column", "length", "severity", "id", "message", "hint")
	for _, d := range found {
		s.add(d.Pos.File, d.Pos.Line, d.Pos.Col, d.Len, d.Severity.String(), d.ID, d.Msg, d.Hint)
	}
	return s
}
