// The writer: free MPS, as GLPK, CBC and HiGHS read it.

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

func mpsFormat(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// mpsNames makes names that the format can hold: unique, without blanks, and not read as numbers or operators.
func mpsNames(count int, prefix string, of func(i int) string) []string {
	list, used := make([]string, count), map[string]bool{}
	for i := range list {
		name := strings.Map(func(r rune) rune {
			if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("_.#", r) {
				return r
			}
			return '_'
		}, of(i))
		if name == "" || used[name] || strings.ContainsRune("0123456789.eE", rune(name[0])) {
			name = prefix + strconv.Itoa(i) + "_" + name
		}
		used[name] = true
		list[i] = name
	}
	return list
}

// writeMPS writes the problem in free MPS format.
func writeMPS(w io.Writer, p solve.Problem) error {
	out := bufio.NewWriter(w)
	cols := mpsNames(len(p.Columns), "c", func(j int) string { return p.Columns[j].Name })
	rows := mpsNames(len(p.Rows), "r", func(i int) string { return p.Rows[i].Name })
	name := mpsNames(1, "p", func(int) string { return p.Name })[0]
	fmt.Fprintf(out, "NAME %s FREE\n", name)
	if p.Sense == solve.Maximize {
		fmt.Fprint(out, "OBJSENSE\n MAX\n")
	}
	fmt.Fprint(out, "ROWS\n N OBJECTIVE\n")
	kind := make([]string, len(rows))
	for i, r := range p.Rows {
		switch {
		case r.Lower == r.Upper:
			kind[i] = "E"
		case math.IsInf(r.Lower, -1) && math.IsInf(r.Upper, 1):
			kind[i] = "N"
		case math.IsInf(r.Lower, -1):
			kind[i] = "L"
		default:
			kind[i] = "G"
		}
		fmt.Fprintf(out, " %s %s\n", kind[i], rows[i])
	}
	fmt.Fprint(out, "COLUMNS\n")
	byCol := make([][]solve.Entry, len(cols)) // Col holds the row here
	for i, r := range p.Rows {
		for _, e := range r.Entries {
			byCol[e.Col] = append(byCol[e.Col], solve.Entry{Col: i, Value: e.Value})
		}
	}
	integer := false
	for j, c := range p.Columns {
		if c.Integer != integer {
			integer = c.Integer
			mark := map[bool]string{true: "INTORG", false: "INTEND"}[integer]
			fmt.Fprintf(out, " M%d 'MARKER' '%s'\n", j, mark)
		}
		fmt.Fprintf(out, " %s OBJECTIVE %s\n", cols[j], mpsFormat(c.Cost))
		for _, e := range byCol[j] {
			fmt.Fprintf(out, " %s %s %s\n", cols[j], rows[e.Col], mpsFormat(e.Value))
		}
	}
	if integer {
		fmt.Fprint(out, " MEND 'MARKER' 'INTEND'\n")
	}
	fmt.Fprint(out, "RHS\n")
	if p.Constant != 0 {
		fmt.Fprintf(out, " RHS OBJECTIVE %s\n", mpsFormat(-p.Constant))
	}
	for i, r := range p.Rows {
		side := r.Lower
		if kind[i] == "L" {
			side = r.Upper
		}
		if side != 0 && kind[i] != "N" {
			fmt.Fprintf(out, " RHS %s %s\n", rows[i], mpsFormat(side))
		}
	}
	fmt.Fprint(out, "RANGES\n")
	for i, r := range p.Rows {
		if kind[i] == "G" && !math.IsInf(r.Upper, 1) {
			fmt.Fprintf(out, " RNG %s %s\n", rows[i], mpsFormat(r.Upper-r.Lower))
		}
	}
	fmt.Fprint(out, "BOUNDS\n")
	for j, c := range p.Columns {
		switch lo, up := c.Lower, c.Upper; {
		case lo == up:
			fmt.Fprintf(out, " FX BND %s %s\n", cols[j], mpsFormat(lo))
		case math.IsInf(lo, -1) && math.IsInf(up, 1):
			fmt.Fprintf(out, " FR BND %s\n", cols[j])
		default:
			if math.IsInf(lo, -1) {
				fmt.Fprintf(out, " MI BND %s\n", cols[j])
			} else if lo != 0 {
				fmt.Fprintf(out, " LO BND %s %s\n", cols[j], mpsFormat(lo))
			}
			if !math.IsInf(up, 1) {
				fmt.Fprintf(out, " UP BND %s %s\n", cols[j], mpsFormat(up))
			} else if c.Integer {
				fmt.Fprintf(out, " PL BND %s\n", cols[j])
			}
		}
	}
	fmt.Fprint(out, "ENDATA\n")
	return out.Flush()
}
