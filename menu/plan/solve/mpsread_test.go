// The reader of problems in MPS format, fixed or free. Published problems come in it.
//
// Source of the format: IBM, "MPSX/370 program reference" (1979), as restated in the GLPK reference manual, appendix B
// and C, with OBJSENSE and the bound types LI, UI and BV of later dialects.

package solve_test

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"kettletree/menu/plan/solve"
)

// mpsLine bounds the length of a line, so that a broken file cannot take all memory.
const mpsLine = 1 << 16

type mpsReader struct {
	p       solve.Problem
	line    int
	section string
	fixed   bool // fields by position: names may hold blanks
	integer bool

	objective string
	kind      []byte         // of each row
	row       map[string]int // -1: the objective, -2: a further N row, dropped
	col       map[string]int
	entries   map[[2]int]bool
	current   string
	sets      map[string]string // the first RHS, RANGES and BOUNDS set is the one that counts
	bounded   []bool            // column has a bound line
}

// readMPS reads one problem. Errors name the line. A file is read as free format when its NAME line ends in FREE or its
// row names hold no blanks, else by the positions of the fixed format. Integer columns between markers without any
// bound line have the bounds 0 and +Inf; an upper bound below zero without a lower one frees the column below.
func readMPS(src io.Reader) (solve.Problem, error) {
	r := &mpsReader{row: map[string]int{}, col: map[string]int{}, entries: map[[2]int]bool{}, sets: map[string]string{}}
	data, err := io.ReadAll(src)
	if err != nil {
		return solve.Problem{}, fmt.Errorf("read mps: %w", err)
	}
	text := string(data)
	r.fixed = positional(text)
	scan := bufio.NewScanner(strings.NewReader(text))
	scan.Buffer(nil, mpsLine)
	for scan.Scan() {
		r.line++
		line := strings.TrimRight(scan.Text(), " \t\r")
		if strings.TrimSpace(line) == "" || line[0] == '*' {
			continue
		}
		if line[0] != ' ' && line[0] != '\t' {
			err = r.head(strings.Fields(line))
		} else {
			err = r.data(line)
		}
		if err != nil {
			return solve.Problem{}, fmt.Errorf("mps line %d: %w", r.line, err)
		}
		if r.section == "ENDATA" {
			return r.p, nil
		}
	}
	if err := scan.Err(); err != nil {
		return solve.Problem{}, fmt.Errorf("mps line %d: %w", r.line+1, err)
	}
	return solve.Problem{}, fmt.Errorf("mps line %d: the file ends without ENDATA", r.line)
}

// positional tells whether some row name holds a blank, so that fields must be cut by position.
func positional(text string) bool {
	inRows := false
	for line := range strings.Lines(text) {
		switch w := comment(strings.Fields(line)); {
		case len(w) == 0 || line[0] == '*':
		case line[0] != ' ' && line[0] != '\t':
			if w[0] == "NAME" && strings.EqualFold(w[len(w)-1], "FREE") {
				return false
			}
			if inRows = w[0] == "ROWS"; w[0] == "COLUMNS" {
				return false
			}
		case inRows && len(w) > 2:
			return true
		}
	}
	return false
}

func (r *mpsReader) head(w []string) error {
	r.section = strings.ToUpper(w[0])
	switch r.section {
	case "NAME":
		if len(w) > 1 {
			r.p.Name = w[1]
		}
	case "OBJSENSE":
		if len(w) > 1 {
			return r.sense(w[1])
		}
	case "ROWS", "COLUMNS", "RHS", "RANGES", "BOUNDS", "ENDATA":
	default:
		return fmt.Errorf("unknown section %q: want NAME, OBJSENSE, ROWS, COLUMNS, RHS, RANGES, BOUNDS or ENDATA", w[0])
	}
	return nil
}

func (r *mpsReader) sense(w string) error {
	switch strings.ToUpper(w) {
	case "MAX", "MAXIMIZE", "MAXIMISE":
		r.p.Sense = solve.Maximize
	case "MIN", "MINIMIZE", "MINIMISE":
		r.p.Sense = solve.Minimize
	default:
		return fmt.Errorf("objective sense %q: want MAX or MIN", w)
	}
	return nil
}

// fields cuts a data line into its fields; in fixed format at columns 2, 5, 15, 25, 40 and 50.
func (r *mpsReader) fields(line string) []string {
	if !r.fixed {
		return comment(strings.Fields(line))
	}
	var w []string
	for _, at := range [][2]int{{1, 3}, {4, 12}, {14, 22}, {24, 36}, {39, 47}, {49, 61}} {
		if at[0] < len(line) {
			if f := strings.TrimSpace(line[at[0]:min(at[1], len(line))]); f != "" {
				w = append(w, f)
			}
		}
	}
	return comment(w)
}

// comment drops the fields from the third on that follow a dollar sign.
func comment(w []string) []string {
	for k := 2; k < len(w); k++ {
		if w[k][0] == '$' {
			return w[:k]
		}
	}
	return w
}

func (r *mpsReader) data(line string) error {
	w := r.fields(line)
	if len(w) == 0 {
		return nil
	}
	switch r.section {
	case "OBJSENSE":
		return r.sense(w[0])
	case "ROWS":
		return r.rowLine(w)
	case "COLUMNS":
		if len(w) >= 3 && strings.Trim(w[1], "'") == "MARKER" {
			switch strings.Trim(w[len(w)-1], "'") {
			case "INTORG":
				r.integer = true
			case "INTEND":
				r.integer = false
			default:
				return fmt.Errorf("marker %s: want 'INTORG' or 'INTEND'", w[len(w)-1])
			}
			return nil
		}
		if len(w)%2 == 0 && r.current != "" { // the name of the column may be left out after its first line
			w = append([]string{r.current}, w...)
		}
		return r.columnLine(w)
	case "RHS", "RANGES":
		if len(w)%2 == 0 { // the name of the set may be left out
			w = append([]string{""}, w...)
		}
		if !r.chosen(w[0]) {
			return nil
		}
		return r.pairs(w[1:], r.sideValue)
	case "BOUNDS":
		return r.boundLine(w)
	}
	return fmt.Errorf("data line outside a section: %q", strings.TrimSpace(line))
}

// chosen tells whether a set is the first one named in this section; a line that names none goes with it.
func (r *mpsReader) chosen(set string) bool {
	if set == "" {
		return true
	}
	first, ok := r.sets[r.section]
	if !ok {
		r.sets[r.section] = set
	}
	return !ok || first == set
}

func (r *mpsReader) rowLine(w []string) error {
	if len(w) != 2 {
		return fmt.Errorf("row line has %d fields: want a type and a name", len(w))
	}
	if _, twice := r.row[w[1]]; twice {
		return fmt.Errorf("row %q is defined twice", w[1])
	}
	row := solve.Row{Name: w[1], Lower: math.Inf(-1), Upper: math.Inf(1)}
	switch strings.ToUpper(w[0]) {
	case "N":
		r.row[w[1]] = -2
		if r.objective == "" {
			r.objective, r.row[w[1]] = w[1], -1
		}
		return nil
	case "E":
		row.Lower, row.Upper = 0, 0
	case "L":
		row.Upper = 0
	case "G":
		row.Lower = 0
	default:
		return fmt.Errorf("row type %q: want N, E, L or G", w[0])
	}
	r.row[w[1]] = len(r.p.Rows)
	r.kind = append(r.kind, strings.ToUpper(w[0])[0])
	r.p.Rows = append(r.p.Rows, row)
	return nil
}

func (r *mpsReader) pairs(w []string, use func(row int, v float64) error) error {
	if len(w) == 0 || len(w)%2 != 0 {
		return fmt.Errorf("line has %d fields after the first name: want pairs of row and value", len(w))
	}
	for k := 0; k < len(w); k += 2 {
		i, ok := r.row[w[k]]
		if !ok {
			return fmt.Errorf("unknown row %q", w[k])
		}
		v, err := mpsNumber(w[k+1])
		if err != nil {
			return err
		}
		if i == -2 {
			continue
		}
		if err := use(i, v); err != nil {
			return err
		}
	}
	return nil
}

func mpsNumber(s string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(strings.ToUpper(s), "D", "E", 1), 64)
	if err != nil || math.IsNaN(v) {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return v, nil
}

func (r *mpsReader) columnLine(w []string) error {
	name := w[0]
	if name != r.current {
		if _, twice := r.col[name]; twice {
			return fmt.Errorf("column %q comes again after others: its lines must stand together", name)
		}
		r.current = name
		r.col[name] = r.p.AddColumn(solve.Column{Name: name, Upper: math.Inf(1), Integer: r.integer})
		r.bounded = append(r.bounded, false)
	}
	j := r.col[name]
	return r.pairs(w[1:], func(i int, v float64) error {
		if math.Abs(v) > solve.Largest {
			return fmt.Errorf("coefficient of %q is %v: want a number of at most %g in size", name, v, solve.Largest)
		}
		if r.entries[[2]int{i, j}] {
			return fmt.Errorf("column %q has two entries in one row", name)
		}
		r.entries[[2]int{i, j}] = true
		if i == -1 {
			r.p.Columns[j].Cost = v
		} else if v != 0 {
			r.p.Rows[i].Entries = append(r.p.Rows[i].Entries, solve.Entry{Col: j, Value: v})
		}
		return nil
	})
}

// sideValue applies one value of RHS or RANGES. A right-hand side of the objective is minus its constant.
func (r *mpsReader) sideValue(i int, v float64) error {
	if math.IsInf(v, 0) || i == -1 && math.Abs(v) > solve.Largest {
		return fmt.Errorf("infinite value in %s", r.section)
	}
	if i == -1 {
		if r.section == "RHS" {
			r.p.Constant = -v
		}
		return nil
	}
	row := &r.p.Rows[i]
	if r.section == "RHS" {
		if r.kind[i] != 'L' {
			row.Lower = v
		}
		if r.kind[i] != 'G' {
			row.Upper = v
		}
		return nil
	}
	switch {
	case r.kind[i] == 'L' || r.kind[i] == 'E' && v < 0:
		row.Lower = row.Upper - math.Abs(v)
	case r.kind[i] == 'G' || r.kind[i] == 'E':
		row.Upper = row.Lower + math.Abs(v)
	}
	return nil
}

func (r *mpsReader) boundLine(w []string) error {
	if len(w) < 2 {
		return fmt.Errorf("bound line has %d fields: want type, set, column and value", len(w))
	}
	kind := strings.ToUpper(w[0])
	plain := kind == "FR" || kind == "MI" || kind == "PL" || kind == "BV"
	// The set name may be left out; the types without value may carry one all the same.
	fields := w[1:]
	named := len(fields) >= 3 || len(fields) == 2 && plain
	if named && len(fields) == 2 {
		_, named = r.col[fields[1]]
	}
	set := ""
	if named {
		set, fields = fields[0], fields[1:]
	}
	if !r.chosen(set) {
		return nil
	}
	j, ok := r.col[fields[0]]
	if !ok {
		return fmt.Errorf("bound on unknown column %q", fields[0])
	}
	c := &r.p.Columns[j]
	v := 0.0
	if !plain {
		if len(fields) < 2 {
			return fmt.Errorf("bound %s on %q has no value", kind, fields[0])
		}
		var err error
		if v, err = mpsNumber(fields[1]); err != nil {
			return err
		}
	}
	switch kind {
	case "LO", "LI":
		c.Lower = v
	case "UP", "UI":
		if v < 0 && c.Lower == 0 && !r.bounded[j] {
			c.Lower = math.Inf(-1)
		}
		c.Upper = v
	case "FX":
		c.Lower, c.Upper = v, v
	case "FR":
		c.Lower, c.Upper = math.Inf(-1), math.Inf(1)
	case "MI":
		c.Lower = math.Inf(-1)
	case "PL":
		c.Upper = math.Inf(1)
	case "BV":
		c.Lower, c.Upper = 0, 1
	default:
		return fmt.Errorf("bound type %q: want LO, UP, FX, FR, MI, PL, BV, LI or UI", w[0])
	}
	if math.IsInf(c.Lower, 1) || math.IsInf(c.Upper, -1) || kind == "FX" && math.IsInf(v, 0) {
		return fmt.Errorf("bound %s on %q is %v: want a number", kind, fields[0], v)
	}
	if kind == "BV" || kind == "LI" || kind == "UI" {
		c.Integer = true
	}
	r.bounded[j] = true
	return nil
}
