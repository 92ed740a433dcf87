package logbook

// Tables as no office would send them: they are taken over whole, or what is wrong is said. A few are tried with every test, thousands by
// "go run -tags harness ./cmd/harness tables".

import (
	"archive/zip"
	"bytes"
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"kettletree/menu/kitchen"
)

var (
	wild     = flag.Int("wild", 0, "how many tables are tried (default: some dozens)")
	wildSeed = flag.Uint64("wild.seed", 0, "try those of this seed again (default: a new one)")
)

func pick[T any](r *rand.Rand, list ...T) T { return list[r.IntN(len(list))] }

// wildTable is a list as it is meant, of deliveries, sales or counts.
func wildTable(r *rand.Rand) (rows [][]any) {
	items := [][]string{{"whole hen", "each", "kg", "lb"}, {"crème fraîche", "kg", "g", "lb"}, {"ham bone 24 months", "kg", "g", "oz"}, {"bread roll", "each"}, {"hen stock", "L", "kg", "mL"}}
	day := func() time.Time { return tuesday.AddDate(0, 0, -r.IntN(40)) }
	amount := func() any {
		return pick(r, any(1+r.IntN(40)), any(float64(1+r.IntN(4000))/8), any(0.5+float64(r.IntN(90))), any(float64(1000+r.IntN(9000))/1000))
	}
	kind := r.IntN(3)
	rows = [][]any{pick(r, []any{"Date", "Article", "Qty", "Unit", "Total", "Vendor", "Lot"}), pick(r, []any{"date", "menu item", "sold", "service"}),
		pick(r, []any{"date", "item", "unit", "counted"})}[kind : kind+1]
	for range 1 + r.IntN(12) {
		it := items[r.IntN(len(items))]
		unit := it[1+r.IntN(len(it)-1)]
		switch kind {
		case 0:
			rows = append(rows, []any{day(), it[0], amount(), unit, float64(r.IntN(90000)) / 100, pick(r, "", "la crémerie", "Ost & Söhne", "=shop"), pick(r, "", "A7", "-B")})
		case 1:
			rows = append(rows, []any{day(), pick(r, "hen soup", "hen roll", "ham plate"), 1 + r.IntN(90), pick(r, "lunch", "dinner")})
		case 2:
			rows = append(rows, []any{day(), it[0], unit, amount()})
		}
	}
	return rows
}

// wildOffice has any of the ways to write one.
func wildOffice(r *rand.Rand) office {
	o := office{comma: pick(r, separators...), decimals: pick(r, ".", ","), dates: pick(r, time.DateOnly, "2 Jan 2006", "20060102", "2006/01/02"),
		encoding: pick(r, "UTF-8", "UTF-8 with BOM", "UTF-16LE", "UTF-16BE", "UTF-16LE, no mark", "UTF-16BE, no mark", "Windows-1252"),
		ends:     pick(r, "\n", "\r\n"), quotes: r.IntN(2) == 0, named: r.IntN(3) == 0, titled: r.IntN(4) == 0}
	return o
}

// asWorkbookOf writes a table as a workbook.
func asWorkbookOf(t testing.TB, rows [][]any) []byte {
	book := excelize.NewFile()
	for n, row := range rows {
		row = slices.Clone(row)
		for c, v := range row {
			if at, ok := v.(time.Time); ok {
				row[c] = at.Format(time.DateOnly)
			}
		}
		require.NoError(t, book.SetSheetRow("Sheet1", fmt.Sprintf("A%d", n+1), &row))
	}
	b, err := book.WriteToBuffer()
	require.NoError(t, err)
	return b.Bytes()
}

// spoilt changes some bytes: of a text, of a workbook, or of the parts within it.
func spoilt(t testing.TB, r *rand.Rand, src []byte) []byte {
	if files, err := zip.NewReader(bytes.NewReader(src), int64(len(src))); err == nil && r.IntN(4) > 0 {
		var b bytes.Buffer
		w := zip.NewWriter(&b)
		for _, f := range files.File {
			in, err := f.Open()
			require.NoError(t, err)
			part, err := io.ReadAll(in)
			require.NoError(t, err)
			if strings.Contains(f.Name, "sheet1") || r.IntN(4) == 0 {
				part = spoilt(t, r, part)
			}
			out, err := w.Create(f.Name)
			require.NoError(t, err)
			_, err = out.Write(part)
			require.NoError(t, err)
		}
		require.NoError(t, w.Close())
		return b.Bytes()
	}
	src = slices.Clone(src)
	for range 1 + r.IntN(2) {
		at := r.IntN(len(src) + 1)
		end := min(len(src), at+r.IntN(pick(r, 3, 30)))
		switch r.IntN(6) {
		case 0:
			src = slices.Delete(src, at, end)
		case 1:
			src = slices.Insert(src, at, src[at:end]...)
		case 2:
			src = slices.Insert(src, at, []byte(pick(r, "1e308", "-1", "\"", ";", ",", "\t", "\n", "\x00", "\x1b[2J", "1.234", "1.234,5", "3/4/2026", "=1+1", "\xff", "∞", "NaN", "</row>", "<c r=\"XFD1048576\">",
				strings.Repeat("9", 400), strings.Repeat("é", 3000)))...)
		case 3:
			if at < len(src) {
				src[at] ^= 1 << r.IntN(8)
			}
		case 4:
			src = src[:at]
		case 5:
			src = slices.Insert(src, at, byte(r.IntN(256)))
		}
		if len(src) == 0 {
			return []byte("x")
		}
	}
	return src
}

func TestWildTables(t *testing.T) {
	n, seed := *wild, *wildSeed
	if n == 0 {
		n = 60
	}
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	k := henHouseKitchen(t)
	j := newLogBook(t)
	taken, refused, asked := 0, 0, 0
	kept, err := j.Entries(t.Context())
	require.NoError(t, err)
	before := len(kept)
	for i := range n {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		rows := wildTable(r)
		o := wildOffice(r)
		name, src := "list.csv", o.file(t, rows)
		if r.IntN(3) == 0 {
			name, src = "list.xlsx", asWorkbookOf(t, rows)
		}
		of := fmt.Sprintf("seed %d, case %d: %s, %s", seed, i, name, o)

		// As it is, it is read or asked about.
		f, questions, faults := Read(k, name, src, plainManner())
		if f == nil {
			require.NotEmpty(t, questions, "%s: %s", of, faults.Error())
			require.Len(t, faults, len(questions), "%s: %s", of, faults.Error())
			asked++
		} else {
			read := len(f.Entries)
			if f.Kind != Counted { // of two counts of an item at a moment, one stands
				require.Equal(t, len(rows)-1, read, of)
			}
			require.Positive(t, read, of)
		}

		// Spoilt, it is taken over whole or not at all.
		src = spoilt(t, r, src)
		f, _, faults = Read(k, name, src, plainManner())
		keepCase := func() string {
			file, err := os.CreateTemp("", "wild-*-"+name)
			require.NoError(t, err)
			_, _ = file.Write(src)
			_ = file.Close()
			return of + " " + file.Name()
		}
		if (f == nil) != (faults.Err() != nil) {
			t.Fatal("neither read nor refused:", keepCase())
		}
		for _, d := range faults {
			if d.Hint == "" || d.Msg == "" || (d.Pos.Line == 0 && !slices.Contains([]string{"empty", "not-text", "too-large", "bad-workbook", "bad-header"}, d.ID)) {
				t.Fatal("a fault without its place or hint:", d.String(), keepCase())
			}
			if strings.ContainsFunc(d.String(), func(c rune) bool { return c != '\n' && kitchen.TextFault(string(c), 1) != "" }) {
				t.Fatalf("a fault prints what does not print: %q %s", d.String(), keepCase())
			}
		}
		if f == nil {
			refused++
			continue
		}
		for _, e := range f.Entries {
			for _, a := range append(slices.Clone(e.Takes), e.Gives...) {
				if math.IsNaN(a.Base) || math.IsInf(a.Base, 0) || a.Base < 0 {
					t.Fatal("an amount that is none:", a, keepCase())
				}
			}
			again, err := Parse(k, e.Kind, e.Text)
			for _, list := range [][2][]Amount{{again.Takes, e.Takes}, {again.Gives, e.Gives}} { // but for what rounding does to a sum of units
				for n := range min(len(list[0]), len(list[1])) {
					if alike(list[0][n].Base, list[1][n].Base) {
						list[0][n].Base = list[1][n].Base
					}
				}
			}
			if again.At = e.At; err != nil || !same(&again, &e) {
				t.Fatalf("%q says something else when it is typed: %v %s", e.Text, err, keepCase())
			}
		}
		fresh, _, err := j.Fresh(t.Context(), f)
		require.NoError(t, err, of)
		written, _, err := j.Import(t.Context(), f, at(1, 20))
		require.NoError(t, err, of)
		require.Len(t, written, len(fresh), of)
		before += len(written)
		taken++
	}
	kept, err = j.Entries(t.Context())
	require.NoError(t, err)
	require.Len(t, kept, before)
	t.Logf("%d tables: %d asked about as they were; of the spoilt ones %d taken over, %d refused", n, asked, taken, refused)
}
