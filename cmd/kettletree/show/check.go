package show

// Faults for other programs, and open questions.

import (
	"fmt"
	"strings"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

// Faults is what was found in a kitchen.
type Faults struct {
	Kitchen string  `json:"kitchen"` // the file
	Faults  []Fault `json:"faults"`  // errors and warnings; with an error, the command ends with 1
}

// Fault is one fault with its place.
type Fault struct {
	File     string      `json:"file"`     // the kitchen file, or what is on hand
	Line     int         `json:"line"`     // from 1; 0 for the file as a whole
	Column   int         `json:"column"`   // from 1, in characters; 0 for the file as a whole
	Length   int         `json:"length"`   // in characters
	Severity string      `json:"severity"` // "error" or "warning"
	ID       string      `json:"id"`       // what kind of fault, such as "unknown-item"
	Message  string      `json:"message"`  // what is wrong
	Hint     string      `json:"hint"`     // what would be right; "" for none
	Excerpt  string      `json:"excerpt"`  // the line as it is written; "" for none
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
func FaultSheet(a Faults) (s Sheet) {
	s.add("file", "line", "column", "length", "severity", "id", "message", "hint")
	for _, f := range a.Faults {
		s.add(f.File, f.Line, f.Column, f.Length, f.Severity, f.ID, f.Message, f.Hint)
	}
	return s
}

// Open lays open questions out: each with what rests on it, what stands in, and what could be written.
func Open(p Page, a *ask.OpenQuestions) string {
	if len(a.Questions) == 0 {
		return p.text(0, fmt.Sprintf("Nothing is open in %s, and nothing in it is a guess.", a.Kitchen))
	}
	guesses := 0
	for _, q := range a.Questions {
		if q.Guessed {
			guesses++
		}
	}
	var parts []string
	if n := len(a.Questions) - guesses; n > 0 {
		parts = append(parts, plural(n, "question is open", "questions are open"))
	}
	if guesses > 0 {
		parts = append(parts, plural(guesses, "figure is a guess", "figures are guesses"))
	}
	head := strings.Join(parts, ", and ") + ". What does not need the answers is answered all the same."
	if guesses > 0 {
		head += " Once you know, take the word \"guessed\" out."
	}
	out := p.text(0, head)
	for _, q := range a.Questions {
		out += "\n" + p.text(0, p.bold(q.Asks))
		out += p.text(2, fmt.Sprintf("%s:%d. Matters for: %s.", a.Kitchen, q.Line, q.Matters))
		switch {
		case q.Guessed:
			out += p.text(2, fmt.Sprintf("Written as a guess: %s.", q.Proposal))
		case q.Proposal != "":
			out += p.text(2, fmt.Sprintf("Until then: %s; as a guess you could write %s (%s).", q.Counted, q.Proposal, q.Basis))
		case q.Words != nil:
			out += p.text(2, fmt.Sprintf("Until then: %s. Write %s: %s.", q.Counted, q.What, strings.Join(q.Words, " or ")))
		default:
			out += p.text(2, fmt.Sprintf("Until then: %s.", q.Counted))
		}
	}
	return out
}

// OpenSheet has a row for each open question.
func OpenSheet(a *ask.OpenQuestions) (s Sheet) {
	s.add("line", "of", "what", "question", "matters for", "until then", "proposal", "basis", "guessed")
	for _, q := range a.Questions {
		s.add(q.Line, q.Of, q.What, q.Asks, q.Matters, q.Counted, q.Proposal, q.Basis, q.Guessed)
	}
	return s
}
