// The reader and the writer of MPS.

package solve_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/plan/solve"
)

const mpsSample = `NAME sample
OBJSENSE
    MAX
ROWS
 N  profit
 L  lid
 G  floor
 E  even
 E  below
 N  ignored
COLUMNS
    a  profit  1  lid  2
    a  floor  1
    M  'MARKER'  'INTORG'
    b  profit  2.5  lid  1
    b  even  1  ignored  7
    M  'MARKER'  'INTEND'
    c  below  1D0  floor  -1
    d  lid  1
    e  lid  1
    f  lid  1
    g  lid  1
RHS
    RHS  lid  10  floor  1
    RHS  even  4  below  5
    RHS  profit  -3
    OTHER  lid  99
RANGES
    R  lid  4  floor  6
    R  even  2  below  -2
BOUNDS
 UP B  a  8
 LI B  b  -2
 UI B  b  6
 MI B  c
 UP B  d  -1
 FX B  e  2.5
 FR B  f
 BV B  g
 PL B  c
ENDATA
`

func TestMPSKnowsAllSections(t *testing.T) {
	p, err := readMPS(strings.NewReader(mpsSample))
	require.NoError(t, err)
	inf := math.Inf(1)
	assert.Equal(t, solve.Maximize, p.Sense)
	assert.Equal(t, 3.0, p.Constant, "a right-hand side of the objective is minus its constant")
	assert.Equal(t, []solve.Column{
		{Name: "a", Upper: 8, Cost: 1}, {Name: "b", Lower: -2, Upper: 6, Cost: 2.5, Integer: true},
		{Name: "c", Lower: -inf, Upper: inf}, {Name: "d", Lower: -inf, Upper: -1}, {Name: "e", Lower: 2.5, Upper: 2.5},
		{Name: "f", Lower: -inf, Upper: inf}, {Name: "g", Upper: 1, Integer: true}}, p.Columns)
	for i, want := range []struct {
		name   string
		lo, up float64
	}{{"lid", 6, 10}, {"floor", 1, 7}, {"even", 4, 6}, {"below", 3, 5}} {
		assert.Equal(t, want.name, p.Rows[i].Name)
		assert.Equal(t, [2]float64{want.lo, want.up}, [2]float64{p.Rows[i].Lower, p.Rows[i].Upper}, want.name)
	}
	assert.Equal(t, []solve.Entry{{Col: 0, Value: 1}, {Col: 2, Value: -1}}, p.Rows[1].Entries)
}

// Fixed format: names with blanks, a column name left out on a later line, a bound without set name, a comment.
func TestMPSFixed(t *testing.T) {
	p, err := readMPS(strings.NewReader(`NAME          BLEND
ROWS
 N  COST      $ the price
 G  FAT MIN
COLUMNS
    RED BEAN  COST             2.500   FAT MIN          1.0000
    WHITE     COST             1.000
              FAT MIN          0.2500
RHS
    RHS       FAT MIN          3.0000
BOUNDS
 UP BND       RED BEAN         2.0000
 UP           WHITE           50.0000
ENDATA
`))
	require.NoError(t, err)
	want := []solve.Column{{Name: "RED BEAN", Upper: 2, Cost: 2.5}, {Name: "WHITE", Upper: 50, Cost: 1}}
	assert.Equal(t, want, p.Columns)
	assert.Equal(t, []solve.Row{{Name: "FAT MIN", Lower: 3, Upper: math.Inf(1),
		Entries: []solve.Entry{{Col: 0, Value: 1}, {Col: 1, Value: .25}}}}, p.Rows)
}

func TestMPSSaysWhereAndWhat(t *testing.T) {
	change := func(old, now string) string { return strings.Replace(mpsSample, old, now, 1) }
	for _, c := range []struct{ text, want string }{
		{"", "mps line 0: the file ends without ENDATA"},
		{change("ENDATA\n", ""), "the file ends without ENDATA"},
		{change("RANGES", "SOS"), `mps line 28: unknown section "SOS": want NAME, OBJSENSE`},
		{change(" L  lid", " X  lid"), `mps line 6: row type "X": want N, E, L or G`},
		{change(" G  floor", " G  lid"), `mps line 7: row "lid" is defined twice`},
		{change("MAX", "UP"), `objective sense "UP": want MAX or MIN`},
		{change("a  profit  1", "a  profit  one"), `mps line 12: "one" is not a number`},
		{change("a  floor  1", "a  flor  1"), `mps line 13: unknown row "flor"`},
		{change("'INTORG'", "'INT'"), `marker 'INT': want 'INTORG' or 'INTEND'`},
		{change("d  lid  1", "a  lid  1"), `column "a" comes again after others`},
		{change("a  floor  1", "a  lid  1"), `column "a" has two entries in one row`},
		{change("UP B  a  8", "UP B  z  8"), `bound on unknown column "z"`},
		{change("UP B  a  8", "UP B  a"), `mps line 32: bound`},
		{change("UP B  a  8", "XX B  a  8"), `bound type "XX": want LO, UP`},
		{change("FX B  e  2.5", "FX B  e  inf"), `bound FX on "e" is +Inf: want a number`},
		{change("RHS  even  4", "RHS  even  inf"), "infinite value in RHS"},
		{" x 1\n", "data line outside a section"},
	} {
		_, err := readMPS(strings.NewReader(c.text))
		require.ErrorContains(t, err, c.want)
	}
}

// For all problems that were read: written and read again they are the same, but for names that the format cannot hold.
func TestMPSWrittenAndRead(t *testing.T) {
	files, err := filepath.Glob("testdata/*.mps.gz")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		f, err := os.Open(file)
		require.NoError(t, err)
		z, err := gzip.NewReader(f)
		require.NoError(t, err)
		data, err := io.ReadAll(z)
		require.NoError(t, err)
		require.NoError(t, f.Close())
		roundTrip(t, data)
	}
	roundTrip(t, []byte(mpsSample))
}

func roundTrip(t *testing.T, data []byte) {
	p, err := readMPS(bytes.NewReader(data))
	if err != nil {
		assert.Equal(t, solve.Problem{}, p, "no problem beside an error")
		return
	}
	require.NoError(t, p.Check())
	var out bytes.Buffer
	require.NoError(t, writeMPS(&out, p))
	q, err := readMPS(&out)
	require.NoError(t, err)
	require.Len(t, q.Columns, len(p.Columns))
	for j := range p.Columns {
		a, b := p.Columns[j], q.Columns[j]
		a.Name, b.Name = "", ""
		require.Equal(t, a, b, p.Columns[j].Name)
	}
	kept := p.Rows[:0:0]
	for _, r := range p.Rows { // a row without sides is written as N, and N rows are dropped by the reader
		if !math.IsInf(r.Lower, -1) || !math.IsInf(r.Upper, 1) {
			kept = append(kept, r)
		}
	}
	require.Len(t, q.Rows, len(kept))
	for i, r := range kept {
		require.Equal(t, r.Entries, q.Rows[i].Entries, r.Name)
		require.InDelta(t, 0, diff(r.Lower, q.Rows[i].Lower)+diff(r.Upper, q.Rows[i].Upper), 1e-9, r.Name)
	}
}

func diff(a, b float64) float64 {
	if a == b {
		return 0
	}
	return math.Abs(a-b) / (1 + math.Abs(a))
}

func FuzzMPS(f *testing.F) {
	f.Add([]byte(mpsSample))
	for _, s := range []string{"", "ROWS\n", "NAME\nROWS\n N c\nCOLUMNS\nRHS\nBOUNDS\nENDATA\n",
		"ROWS\n N c\n E r r\nCOLUMNS\n    x         c   1\nENDATA\n", "ROWS\n N c\nBOUNDS\n FR x\n UP B x\nENDATA\n",
		"ROWS\n N c\n L r\nCOLUMNS\n x c 1 r 1e308\nRHS\n r -1e308\nRANGES\n r 1e308\nENDATA\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) { roundTrip(t, data) })
}
