package logbook

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// henHouse has names that are alike, and letters that not every encoding has.
const henHouse = `kitchen: Hen House
money: EUR
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
vessels:
  big kettle: {holds: 160 L, inside diameter: 62 cm}
bought:
  whole hen:          {price: 9.50/each, each: 1.9 kg}
  ham bone 12 months: {price: 5.00/kg}
  ham bone 24 months: {price: 9.50/kg}
  crème fraîche:      {price: 6.00/kg}
  bread roll:         {price: 0.45/each}
  water:              {price: 0/L, density: 1 kg/L}
steps:
  boil:
    takes: [4 each whole hen, 9 L water]
    gives: [2.2 kg pulled hen, 7.5 L hen stock]
made:
  hen stock: {density: 1.01 kg/L}
dishes:
  hen soup: {price: 6.50, takes: [350 mL hen stock, 60 g pulled hen], also sold as: [HN SUPP LG, "Soup, large"]}
  hen roll: {price: 6.50, takes: [90 g pulled hen, 1 each bread roll]}
  ham plate: {price: 9, takes: [100 g ham bone 24 months, 20 g crème fraîche]}
`

func henHouseKitchen(t testing.TB) *kitchen.Kitchen {
	t.Helper()
	k, faults := kitchen.Read("kitchen.yaml", []byte(henHouse))
	require.NoError(t, faults.Err())
	return k
}

func plainManner() Manner { return Manner{At: at(1, 20), Now: at(1, 20)} }

// An office writes the same things in its own way.
type office struct {
	comma    rune
	decimals string // the sign
	dates    string // a layout of package time
	encoding string
	ends     string
	quotes   bool // around every field
	named    bool // "sep=" in the first line
	titled   bool // a title and a blank line above the header
}

func (o office) String() string {
	return fmt.Sprintf("%q %q %s %s %q %v %v %v", o.comma, o.decimals, o.dates, o.encoding, o.ends, o.quotes, o.named, o.titled)
}

// file writes rows, of which times and numbers are in the office's way.
func (o office) file(t testing.TB, rows [][]any) []byte {
	var b strings.Builder
	if o.named {
		b.WriteString("sep=" + string(o.comma) + o.ends)
	}
	if o.titled {
		b.WriteString("Weekly list" + o.ends + strings.Repeat(string(o.comma), 2) + o.ends)
	}
	for _, row := range rows {
		var fields []string
		for _, v := range row {
			text := fmt.Sprint(v)
			switch v := v.(type) {
			case time.Time:
				text = v.Format(o.dates)
			case float64:
				text = strings.ReplaceAll(text, ".", o.decimals)
			}
			if o.quotes || strings.ContainsAny(text, string(o.comma)+"\"") {
				text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
			}
			fields = append(fields, text)
		}
		b.WriteString(strings.Join(fields, string(o.comma)) + o.ends)
	}
	var src []byte
	var err error
	switch o.encoding {
	case "UTF-8":
		src = []byte(b.String())
	case "UTF-8 with BOM":
		src = []byte("\uFEFF" + b.String())
	case "UTF-16LE":
		src, err = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes([]byte(b.String()))
	case "UTF-16BE":
		src, err = unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().Bytes([]byte(b.String()))
	case "UTF-16LE, no mark":
		src, err = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewEncoder().Bytes([]byte(b.String()))
	case "UTF-16BE, no mark":
		src, err = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM).NewEncoder().Bytes([]byte(b.String()))
	case "Windows-1252":
		src, err = charmap.Windows1252.NewEncoder().Bytes([]byte(b.String()))
	}
	require.NoError(t, err)
	return src
}

// Whatever an office's habits are, its list says the same, and is known again from any other office's.
func TestDialects(t *testing.T) {
	k := henHouseKitchen(t)
	lists := [][][]any{
		{{"Date", "Article", "Qty", "Unit", "Total", "Vendor", "Lot"},
			{tuesday, "whole hen", 28, "each", 266.5, "la crémerie", "B4"},
			{tuesday, "crème fraîche", 2.5, "kg", 15.75, "la crémerie, Ost", ""},
			{tuesday.AddDate(0, 0, -11), "ham bone 24 months", 1250.25, "g", 11.88, "", "Ü7"}},
		{{"date", "menu item", "sold", "service"}, {tuesday, "hen soup", 41, "lunch"}, {tuesday.AddDate(0, 0, -9), "ham plate", 12, "dinner"}},
		{{"date", "place", "item", "unit", "counted"}, {tuesday, "walk-in", "whole hen", "each", 7}, {tuesday, "walk-in", "hen stock", "L", 22.25},
			{tuesday, "crème", "crème fraîche", "kg", ""}, {tuesday, "shelf", "bread roll", "each", 0}},
	}
	offices := 0
	for n, list := range lists {
		want, _, faults := Read(k, "plain.csv", office{comma: ',', decimals: ".", dates: time.DateOnly, encoding: "UTF-8", ends: "\n"}.file(t, list), plainManner())
		require.Empty(t, faults, "%s", faults.Error())
		require.Len(t, want.Entries, 3-n%2)
		assert.Empty(t, want.ReadAs)
		for _, comma := range separators {
			for _, decimals := range []string{".", ","} {
				for _, dates := range []string{time.DateOnly, "02/01/2006", "01/02/2006", "2.1.06", "2 Jan 2006", "Mon, Jan 2, 2006", "20060102", "2006/01/02"} {
					for _, encoding := range []string{"UTF-8", "UTF-8 with BOM", "UTF-16LE", "UTF-16BE", "UTF-16LE, no mark", "UTF-16BE, no mark", "Windows-1252"} {
						for _, ends := range []string{"\n", "\r\n", "\r"} {
							if offices++; testing.Short() && offices%7 != 0 {
								continue
							}
							o := office{comma, decimals, dates, encoding, ends, offices%2 == 0, offices%3 == 0, offices%5 == 0}
							if o.named && o.ends == "\r" {
								o.named = false
							}
							got, asked, faults := Read(k, "list.csv", o.file(t, list), plainManner())
							require.Empty(t, faults, "%s: %s", o, faults.Error())
							require.Empty(t, asked)
							require.Equal(t, want.Entries, got.Entries, "%s", o)
							require.Equal(t, want.Rows, got.Rows, "%s", o)
							require.Equal(t, want.Columns, got.Columns, "%s", o)
							require.Empty(t, got.Names)
						}
					}
				}
			}
		}
	}
	assert.Greater(t, offices, 300)
}

// The same in workbooks: with numbers and dates as such or as text, texts shared or not, counting from 1900 or 1904.
func TestDialectsOfWorkbooks(t *testing.T) {
	k := henHouseKitchen(t)
	list := [][]any{{"Date", "Article", "Qty", "Unit", "Total", "Vendor"},
		{tuesday, "whole hen", 28, "each", 266.5, "la crémerie"},
		{tuesday.AddDate(0, 0, -11), "crème fraîche", 0.1 + 0.2, "kg", 1234.5, ""},
		{tuesday.AddDate(0, 0, -400), "ham bone 24 months", 1250.25, "g", 11.88, "la crémerie"}}
	want, _, faults := Read(k, "plain.csv", office{comma: ',', decimals: ".", dates: time.DateOnly, encoding: "UTF-8", ends: "\n"}.file(t,
		append(append([][]any{}, list[:2]...), []any{list[2][0], list[2][1], 0.3, "kg", 1234.5, ""}, list[3])), plainManner())
	require.Empty(t, faults, "%s", faults.Error())
	books := 0
	for _, dates := range []string{"", time.DateOnly, "02/01/2006", "01/02/06", "2 January 2006"} {
		for _, numbers := range []string{"", ",", "."} {
			for _, streamed := range []bool{false, true} {
				for _, from1904 := range []bool{false, true} {
					for _, right := range []int{0, 3, 800} { // columns
						books++
						book := excelize.NewFile()
						require.NoError(t, book.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &from1904}))
						var stream *excelize.StreamWriter
						if streamed {
							var err error
							stream, err = book.NewStreamWriter("Sheet1")
							require.NoError(t, err)
						}
						for i, row := range list {
							row = append([]any{}, row...)
							for c, v := range row {
								switch v := v.(type) {
								case time.Time:
									if row[c] = v.Format(dates); dates == "" { // as a number of days, which no library has a say in
										row[c] = v.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
										if from1904 {
											row[c] = v.Sub(time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)).Hours() / 24
										}
									}
								case float64:
									if numbers != "" {
										row[c] = strings.ReplaceAll(fmt.Sprintf("%.4g", v), ".", numbers)
										if v > 1000 {
											row[c] = strings.ReplaceAll(fmt.Sprintf("%.2f", v), ".", numbers)
										}
									}
								}
							}
							cell, err := excelize.CoordinatesToCellName(1+right, 1+2*i) // every second row
							require.NoError(t, err)
							if streamed {
								require.NoError(t, stream.SetRow(cell, row))
							} else {
								require.NoError(t, book.SetSheetRow("Sheet1", cell, &row))
							}
						}
						if streamed {
							require.NoError(t, stream.Flush())
						}
						var b bytes.Buffer
						require.NoError(t, book.Write(&b))
						require.NoError(t, book.Close())
						got, _, faults := Read(k, "list.xlsx", b.Bytes(), plainManner())
						what := fmt.Sprintf("%q %q %v %v %d", dates, numbers, streamed, from1904, right)
						require.Empty(t, faults, "%s: %s", what, faults.Error())
						require.Len(t, got.Entries, 3)
						for i := range got.Entries {
							w := want.Entries[i]
							require.Equal(t, w.At, got.Entries[i].At, what)
							require.InDelta(t, w.Gives[0].Base, got.Entries[i].Gives[0].Base, 1e-6, what)
							require.InDelta(t, *w.Paid, *got.Entries[i].Paid, 1e-9, what)
							require.Equal(t, w.Supplier, got.Entries[i].Supplier)
						}
					}
				}
			}
		}
	}
	assert.Greater(t, books, 100)
}

// What can be read in two ways is asked, once, and what was answered is done.
func TestAmbiguous(t *testing.T) {
	k := henHouseKitchen(t)
	const head = "date;item;quantity;paid\n"
	for _, c := range []struct {
		name, src, want string
		manner          Manner
		base, paid      float64
		at              string
	}{
		{name: "a date both ways", src: head + "03/04/2026;whole hen;2 each;5\n05/06/2026;whole hen;2 each;5\n",
			want: `2:1 which-dates: "03/04/2026" is 3 Apr or 4 Mar, and no date of the file tells which`},
		{name: "said: day first", src: head + "03/04/2026;whole hen;2 each;5\n", manner: Manner{Dates: DayFirst}, base: 2, paid: 5, at: "2026-04-03"},
		{name: "said: month first", src: head + "03/04/2026;whole hen;2 each;5\n", manner: Manner{Dates: MonthFirst}, base: 2, paid: 5, at: "2026-03-04"},
		{name: "another date tells", src: head + "03/04/2026;whole hen;2 each;5\n14/04/2026;water;1 L;0\n", base: 2, paid: 5, at: "2026-04-03"},
		{name: "the same both ways", src: head + "04/04/2026;whole hen;2 each;5\n", base: 2, paid: 5, at: "2026-04-04"},
		{name: "against what was said", src: head + "14/04/2026;whole hen;2 each;5\n", manner: Manner{Dates: MonthFirst},
			want: `2:1 bad-date: "14/04/2026" is not a date with the month first`},
		{name: "both habits in one file", src: head + "03/04/2026;water;1 L;0\n14/04/2026;water;1 L;0\n04/14/2026;water;1 L;0\n",
			want: `2:1 which-dates: "03/04/2026" is 3 Apr or 4 Mar, and no date of the file tells which`},
		{name: "a number both ways", src: head + "2026-04-03;crème fraîche;1.234 kg;5\n",
			want: `2:26 which-decimals: "1.234" is 1.234 or 1234, and no number of the file tells which`},
		{name: "said: comma", src: head + "2026-04-03;crème fraîche;1.234 kg;5\n", manner: Manner{Decimals: DecimalComma}, base: 1234e3, paid: 5, at: "2026-04-03"},
		{name: "said: point", src: head + "2026-04-03;crème fraîche;1.234 kg;5\n", manner: Manner{Decimals: DecimalPoint}, base: 1234, paid: 5, at: "2026-04-03"},
		{name: "another number tells", src: head + "2026-04-03;crème fraîche;1.234 kg;1,50\n", base: 1234e3, paid: 1.5, at: "2026-04-03"},
		{name: "threes and a comma", src: head + "2026-04-03;crème fraîche;2 kg;1.234,50\n", base: 2000, paid: 1234.5, at: "2026-04-03"},
		{name: "threes by blanks", src: head + "2026-04-03;crème fraîche;2 kg;1\u202f234,50\n", base: 2000, paid: 1234.5, at: "2026-04-03"},
		{name: "threes by apostrophes", src: head + "2026-04-03;crème fraîche;2 kg;1'234.50\n", base: 2000, paid: 1234.5, at: "2026-04-03"},
		{name: "a zero first", src: head + "2026-04-03;crème fraîche;0,250 kg;5\n", base: 250, paid: 5, at: "2026-04-03"},
		{name: "by commas a point is one", src: "date,item,quantity,paid\n2026-04-03,crème fraîche,1.234 kg,5\n", base: 1234, paid: 5, at: "2026-04-03"},
		{name: "by commas a comma may be either", src: "date,item,quantity,paid\n2026-04-03,crème fraîche,\"1,234 kg\",5\n",
			want: `2:26 which-decimals: "1,234" is 1234 or 1.234, and no number of the file tells which`},
		{name: "against what was said of numbers", src: head + "2026-04-03;crème fraîche;1,5 kg;5\n", manner: Manner{Decimals: DecimalPoint},
			want: `2:26 bad-number: "1,5" is not a number with a decimal point`},
		{name: "two packs or a number", src: head + "2026-04-03;crème fraîche;2 500 g;5\n", want: `2:26 bad-quantity: no unit after the number in "2 500 g"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.manner.At, c.manner.Now = at(1, 20), at(1, 20)
			f, asked, faults := Read(k, "f.csv", []byte(c.src), c.manner)
			if c.want != "" {
				require.Len(t, faults, 1, "%s", faults.Error())
				assert.Nil(t, f)
				assert.Equal(t, c.want, fmt.Sprintf("%d:%d %s: %s", faults[0].Pos.Line, faults[0].Pos.Col, faults[0].ID, faults[0].Msg))
				assert.Equal(t, strings.Contains(c.want, " which-"), len(asked) == 1)
				return
			}
			require.Empty(t, faults, "%s", faults.Error())
			assert.InDelta(t, c.base, f.Entries[0].Gives[0].Base, 1e-9)
			assert.InDelta(t, c.paid, *f.Entries[0].Paid, 1e-9)
			assert.Equal(t, c.at+" 06:00", f.Entries[0].At.Format(Minutes))
		})
	}
}

// Times stand in a column of their own or behind the date, in twelve hours or twenty-four.
func TestTimesOfFiles(t *testing.T) {
	k := henHouseKitchen(t)
	for text, want := range map[string]string{
		"2026-11-24,07:30": "07:30", "2026-11-24,7:30": "07:30", "2026-11-24 07:30,": "07:30", "2026-11-24T19:30:15,": "19:30", "24/11/2026 7:30 PM,": "19:30",
		"2026-11-24,12:05 a.m.": "00:05", "2026-11-24,12:05 pm": "12:05", "Tue 24 Nov 2026 23:59:59,": "23:59", "24-Nov-26,18:00:00": "18:00",
	} {
		f, _, faults := Read(k, "f.csv", []byte("date,time,dish,sold\n"+text+",hen soup,3\n"), plainManner())
		require.Empty(t, faults, "%s: %s", text, faults.Error())
		assert.Equal(t, "2026-11-24 "+want, f.Entries[0].At.Format(Minutes), text)
	}
	for _, text := range []string{"2026-11-24,13:05 pm", "2026-11-24,0:05 am", "2026-11-24 25:61,", "24 Nov,10:00", "29/02/2026,10:00", "2026-13-01,10:00", "1,10:00",
		"2026-11-24-1,", "24.11/2026,", "24 Nov 126,"} {
		f, _, faults := Read(k, "f.csv", []byte("date,time,dish,sold\n"+text+",hen soup,3\n"), plainManner())
		assert.Nil(t, f, text)
		require.Len(t, faults, 1, text)
		assert.Equal(t, "bad-date", faults[0].ID, text)
	}
}

// What an import wrote down can be typed again as it stands, and says the same.
func TestTextsOfFilesCanBeTyped(t *testing.T) {
	k := henHouseKitchen(t)
	const src = "date;item;packs;pack size;qty;unit;paid;supplier;lot\n" +
		"24/11/2026;Whole Hens;6;2 each;;;1.234,50;a lot of birds;A 7\n" +
		"24/11/2026;creme fraiche;;;2,5;kg;;\"from , for\";lot 3\n" +
		"24/11/2026;hen stock;;;4 x 2,5 L;;9;;\n"
	f, _, faults := Read(k, "f.csv", []byte(src), plainManner())
	require.Empty(t, faults, "%s", faults.Error())
	require.Len(t, f.Entries, 3)
	for _, e := range f.Entries {
		again, err := Parse(k, e.Kind, e.Text)
		require.NoError(t, err, e.Text)
		again.At = e.At
		assert.Equal(t, e, again)
	}
	rows, err := csv.NewReader(strings.NewReader("item,counted\nhen stock,23.5 cm in big kettle\nwhole hen,3 x 2 each\n")).ReadAll()
	require.NoError(t, err)
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	require.NoError(t, w.WriteAll(rows))
	f, _, faults = Read(k, "f.csv", b.Bytes(), plainManner())
	require.Empty(t, faults, "%s", faults.Error())
	for _, e := range f.Entries {
		again, err := Parse(k, e.Kind, e.Text)
		require.NoError(t, err, e.Text)
		again.At = e.At
		assert.Equal(t, e, again)
	}
	assert.Equal(t, measure.Volume, f.Entries[0].Gives[0].Kind)
}
