package logbook

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

const deliveries = `Delivered,SKU,Product,Qty,UOM,Line total,Vendor,Lot
2026-11-24,7001,pork shoulder,18.46,lb,52.31,corner butcher,A17
2026-11-24,7002,hen,2,doz,228,"farm, upper",
2026-11-25,7003,tortilla,500 each,,50,,
`

const sales = "Business Date;Dish;Sold;Service\n2026-11-24;tacos;42;lunch\n2026-11-24;soup;7;\n" +
	"2026-11-25;tacos;12;dinner\n"

func readFile(t testing.TB, name, src string) (*File, kitchen.Diagnostics) {
	f, _, found := Read(someKitchen(t), name, []byte(src), Manner{At: at(1, 20), Now: at(1, 20)})
	return f, found
}

func TestReadDeliveries(t *testing.T) {
	for _, src := range []string{deliveries, "\uFEFF" + deliveries, strings.ReplaceAll(deliveries, "\n", "\r\n"),
		strings.TrimRight(deliveries, "\n"), deliveries + ",,,,,,,\n\n"} {
		f, faults := readFile(t, "invoice.csv", src)
		require.Empty(t, faults, "%s", faults.Error())
		assert.Equal(t, Received, f.Kind)
		assert.Equal(t, []string{"Delivered: date", "Product: item", "Qty: quantity", "UOM: unit", "Line total: paid",
			"Vendor: supplier", "Lot: lot"}, f.Columns)
		assert.Equal(t, []string{"SKU"}, f.Unused)
		assert.Equal(t, []Entry{
			{Kind: Received, At: at(0, 6), Text: "18.46 lb pork shoulder for 52.31 from corner butcher lot A17",
				Gives: []Amount{{"pork shoulder", 18.46 * pound, measure.Weight, "18.46 lb", ""}}, Paid: new(52.31),
				Supplier: "corner butcher", Mark: "A17"},
			{Kind: Received, At: at(0, 6), Text: "2 doz hen for 228 from farm, upper",
				Gives: []Amount{{"hen", 24, measure.Count, "2 doz", ""}}, Paid: new(228.0), Supplier: "farm, upper"},
			{Kind: Received, At: at(1, 6), Text: "500 each tortilla for 50",
				Gives: []Amount{{"tortilla", 500, measure.Count, "500 each", ""}}, Paid: new(50.0)},
		}, f.Entries)
	}
}

func TestReadSales(t *testing.T) {
	f, faults := readFile(t, "sales.csv", sales)
	require.Empty(t, faults, "%s", faults.Error())
	assert.Equal(t, Sold, f.Kind)
	assert.Equal(t, []Entry{
		{Kind: Sold, At: tuesday.Add(14*time.Hour + 30*time.Minute), Text: "42 tacos at lunch", Dish: "tacos",
			Portions: 42, Service: "lunch"},
		{Kind: Sold, At: tuesday.Add(23*time.Hour + 59*time.Minute), Text: "7 soup", Dish: "soup", Portions: 7},
		{Kind: Sold, At: at(1, 20), Text: "12 tacos at dinner", Dish: "tacos", Portions: 12, Service: "dinner"},
	}, f.Entries, "the dinner of today is not over: it counts from now")
}

func TestFileFaults(t *testing.T) {
	for _, c := range []struct{ src, want string }{
		{"", "f.csv: error: file is empty [empty]\n" +
			"hint: write the names of the columns in the first line, such as date,item,quantity,paid"},
		{"item,quantity\n", "f.csv:1:1: error: there is no row below the header [empty]\n" +
			"   1 | item,quantity\n     | ^^^^\n" +
			"hint: write a row for each entry below the header"},
		{"\xff\xfe", "f.csv: error: file is empty [empty]\n" +
			"hint: write the names of the columns in the first line, such as date,item,quantity,paid"},
		{"\xff\xfea\x00b", "f.csv: error: file is not text [not-text]\nhint: save the file as CSV in UTF-8, or as .xlsx"},
		{"item,qty\nhen \x81,1 each\n", "f.csv: error: file is not text [not-text]\nhint: save the file as CSV in UTF-8, or as .xlsx"},
		{"sep=x\nitem,qty\n", "f.csv: error: the first line says that \"x\" parts the fields [bad-header]\n" +
			"hint: part fields by commas, semicolons, tabs or bars"},
		{"name,count\nx,1\n", "f.csv:1:1: error: " +
			"the columns \"name,count\" are neither deliveries nor sales nor counts [bad-header]\n" +
			"   1 | name,count\n     | ^^^^\nhint: deliveries need columns item and quantity, sales dish and portions, counts " +
			"item and counted; further ones are date, time, unit, paid, supplier, lot, service, packs and pack size"},
		{"item,dish,qty\nx,x,1\n", "f.csv:1:1: error: there are columns for an item and for a dish [bad-header]\n" +
			"   1 | item,dish,qty\n     | ^^^^\nhint: import deliveries and sales in separate files"},
		{"item,qty,Amount\nx,x,1\n", "f.csv:1:10: error: \"qty\" and \"Amount\" both mean quantity [bad-header]\n" +
			"   1 | item,qty,Amount\n     |          ^^^^^^\nhint: remove one of the two"},
	} {
		f, faults := readFile(t, "f.csv", c.src)
		assert.Nil(t, f)
		assert.Equal(t, c.want, faults.Error())
	}
	const rows = "date,time,item,quantity,paid\n" +
		"2026-11-24,07:30,pork sholder,18 lbs,52.31\n" +
		"2026-11-26,,hen,2 each,20\n" +
		"31.11.2026,,hen,2,20\n" +
		",,hen,0 each,-3\n" +
		"2026-11-24,25:99,hen,2 each,3 USD\n" +
		"2026-11-24,,hen,2 L,\n" +
		"2026-11-24,,hen,2 each,,,x\n" +
		"2026-11-24,,tacos,2 each,,,\n"
	f, faults := readFile(t, "f.csv", rows)
	assert.Nil(t, f)
	var told []string
	for _, d := range faults {
		told = append(told, fmt.Sprintf("%d:%d %s: %s", d.Pos.Line, d.Pos.Col, d.ID, d.Msg))
	}
	assert.Equal(t, []string{
		`2:18 unknown-item: unknown item "pork sholder"`,
		`3:1 bad-date: 2026-11-26 06:00 is in the future`,
		`4:1 bad-date: "31.11.2026" is not a date`,
		`4:17 bad-quantity: a unit is missing`,
		`5:1 bad-date: the row has no date`,
		`5:7 bad-quantity: "0 each" is zero`,
		`5:14 bad-money: number "-3" has a sign`,
		`6:12 bad-date: "25:99" is not a time of day`,
		`6:29 bad-money: "3 USD" is not a plain amount of money`,
		`7:17 bad-quantity: 2 L of "hen" is a volume, but it is counted in each, which is a count`,
		`8:26 bad-row: row has 7 fields, and there are 5 columns`,
		`9:13 unknown-item: "tacos" is a dish, which is made when it is served`,
	}, told)
	assert.Equal(t, `did you mean "pork shoulder" (kitchen.yaml:8:3)?`, faults[0].Hint)
	_, faults = readFile(t, "f.csv", "dish,sold,meal\ntakkos,3,lunch\ntacos,2.5,brunch\n\"tacos,1,lunch\n")
	told = nil
	for _, d := range faults {
		told = append(told, fmt.Sprintf("%d:%d %s: %s", d.Pos.Line, d.Pos.Col, d.ID, d.Msg))
	}
	assert.Equal(t, []string{
		`2:1 unknown-dish: unknown dish "takkos"`,
		`3:7 bad-number: "2.5" is not a whole number of portions`,
		`3:11 unknown-service: unknown service "brunch"`,
		`4:15 bad-row: the quotes in this row do not match`,
	}, told)
}

func TestImport(t *testing.T) {
	j := newLogBook(t)
	f, faults := readFile(t, "invoice.csv", deliveries)
	require.Empty(t, faults)
	fresh, from, err := j.Fresh(t.Context(), f)
	require.NoError(t, err)
	assert.Equal(t, f.Entries, fresh)
	assert.Empty(t, from)
	kept, from, err := j.Import(t.Context(), f, at(1, 20))
	require.NoError(t, err)
	assert.Empty(t, from)
	require.Len(t, kept, 3)
	assert.Equal(t, at(1, 20), kept[0].Written)
	again, faults := readFile(t, "invoice (1).csv", strings.NewReplacer("\n", "\r\n", "SKU", "number").Replace(deliveries))
	require.Empty(t, faults)
	kept, from, err = j.Import(t.Context(), again, at(1, 21))
	require.NoError(t, err)
	assert.Equal(t, []string{"invoice.csv"}, from)
	assert.Empty(t, kept)
	fresh, from, err = j.Fresh(t.Context(), again)
	require.NoError(t, err)
	assert.Equal(t, []string{"invoice.csv"}, from)
	assert.Empty(t, fresh)
	read, err := j.Entries(t.Context())
	require.NoError(t, err)
	assert.Len(t, read, 3)
	other, faults := readFile(t, "invoice 2.csv", strings.Replace(deliveries, "52.31", "52.30", 1))
	require.Empty(t, faults)
	kept, from, err = j.Import(t.Context(), other, at(1, 22))
	require.NoError(t, err)
	assert.Equal(t, []string{"invoice.csv"}, from)
	require.Len(t, kept, 1, "two rows are in the other file")
	assert.Equal(t, 52.30, *kept[0].Paid)
}

// However a month of sales is cut into files that overlap, each row is taken over once; rows of a day that say the same
// are as many as the file that has the most of them says.
func TestFilesThatOverlap(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(r *rapid.T) {
		j := newLogBook(t)
		var month []string // by day, as a till exports it
		for day := range 4 {
			for range rapid.IntRange(0, 4).Draw(r, "rows") {
				month = append(month, fmt.Sprintf("2026-11-2%d,%s,%d", day,
					rapid.SampledFrom([]string{"tacos", "soup"}).Draw(r, "dish"), rapid.IntRange(1, 2).Draw(r, "portions")))
			}
		}
		if len(month) == 0 {
			return
		}
		seen := map[string]int{}
		for range rapid.IntRange(1, 5).Draw(r, "files") {
			first, last := rapid.IntRange(0, 3).Draw(r, "first"), rapid.IntRange(0, 3).Draw(r, "last")
			var rows []string // of whole days, as exports are
			for _, row := range month {
				if day := int(row[9] - '0'); day >= first && day <= last {
					rows = append(rows, row)
				}
			}
			if len(rows) == 0 {
				continue
			}
			f, faults := readFile(t, "sales.csv", "date,dish,sold\n"+strings.Join(rows, "\n")+"\n")
			require.Empty(r, faults)
			fresh, _, err := j.Fresh(t.Context(), f)
			require.NoError(r, err)
			kept, _, err := j.Import(t.Context(), f, at(1, 20))
			require.NoError(r, err)
			require.Len(r, kept, len(fresh), "as the preview said")
			for _, row := range rows {
				seen[row] = 0
			}
		}
		for _, row := range month {
			if _, ok := seen[row]; ok {
				seen[row]++
			}
		}
		got := map[string]int{}
		entries, err := j.Entries(t.Context())
		require.NoError(r, err)
		for _, e := range entries {
			got[fmt.Sprintf("%s,%s,%d", e.At.Format(time.DateOnly), e.Dish, e.Portions)]++
		}
		require.Equal(r, seen, got)
		require.NoError(r, j.Close())
	})
}

// Two services sold alike on different days: without dates in the files, only the whole file is known again.
func TestFilesWithoutDates(t *testing.T) {
	j := newLogBook(t)
	for n, rows := range []string{"tacos,4\nsoup,2\n", "tacos,4\nsoup,3\n", "tacos,4\nsoup,2\n"} {
		f, faults := readFile(t, "sales.csv", "dish,sold\n"+rows)
		require.Empty(t, faults)
		kept, _, err := j.Import(t.Context(), f, at(1, 20))
		require.NoError(t, err)
		assert.Len(t, kept, []int{2, 2, 0}[n])
	}
}

// A row that can't be kept keeps none of the file, nor its rows from being taken over later.
func TestImportIsAllOrNothing(t *testing.T) {
	j := newLogBook(t)
	f, faults := readFile(t, "invoice.csv", deliveries)
	require.Empty(t, faults)
	bad := *f
	bad.Entries = slices.Clone(f.Entries)
	bad.Entries[2].Corrects = 77
	_, _, err := j.Import(t.Context(), &bad, at(1, 20))
	require.EqualError(t, err, "there is no entry 77")
	read, err := j.Entries(t.Context())
	require.NoError(t, err)
	assert.Empty(t, read)
	kept, _, err := j.Import(t.Context(), f, at(1, 20))
	require.NoError(t, err)
	assert.Len(t, kept, 3)
}

// workbook saves rows as a spreadsheet program does, with dates as numbers of days.
func workbook(t testing.TB, rows [][]any) []byte {
	t.Helper()
	book := excelize.NewFile()
	defer func() { _ = book.Close() }()
	for i, row := range rows {
		require.NoError(t, book.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row))
	}
	var b bytes.Buffer
	require.NoError(t, book.Write(&b))
	return b.Bytes()
}

func TestReadWorkbook(t *testing.T) {
	rows := [][]any{{"Date", "Time", "Item", "Quantity", "Paid"},
		{tuesday, 0.3125, "pork shoulder", "18.46 lb", 52.31}, {}, {"2026-11-25", nil, "hen", "24 each", 228}}
	f, faults := readFile(t, "invoice.xlsx", string(workbook(t, rows)))
	require.Empty(t, faults, "%s", faults.Error())
	require.Len(t, f.Entries, 2)
	assert.Equal(t, tuesday.Add(7*time.Hour+30*time.Minute), f.Entries[0].At)
	assert.Equal(t, 52.31, *f.Entries[0].Paid)
	assert.InDelta(t, 18.46*pound, f.Entries[0].Gives[0].Base, 1e-9)
	assert.Equal(t, at(1, 6), f.Entries[1].At)
	same, faults := readFile(t, "invoice.csv", "date,time,item,quantity,paid\n"+
		"2026-11-24,07:30,pork shoulder,18.46 lb,52.31\n"+
		"2026-11-25,,hen,24 each,228\n")
	require.Empty(t, faults)
	assert.Equal(t, same.Rows, f.Rows)
	assert.Equal(t, same.Digest, f.Digest, "the same rows are the same file, whatever they are saved as")
	rows[1][2] = "pork sholder"
	_, faults = readFile(t, "invoice.xlsx", string(workbook(t, rows)))
	assert.Equal(t, "invoice.xlsx:2:3: error: unknown item \"pork sholder\" [unknown-item]\n"+
		"hint: did you mean \"pork shoulder\" (kitchen.yaml:8:3)?", faults.Error())
	_, faults = readFile(t, "invoice.xlsx", deliveries)
	require.Len(t, faults, 1)
	assert.Equal(t, "bad-workbook", faults[0].ID)
}

// Whatever a file holds, it is read or its faults are said, each within the file.
func FuzzReadCSV(f *testing.F) {
	k := someKitchen(f)
	for _, src := range []string{deliveries, sales, "item,quantity\n\"", "dish,sold\ntacos,1e9\n",
		"item;qty\nhen;1 each;;\n", "date\n,", "sep=\t\nitem\tpacks\tsize\nHens\t1.234,5\t2 each", "item|counted\nhen|3,5 x 2 doz\rhen|0",
		"\xff\xfei\x00t\x00", "day;plate;qty\n3/4/26 1:30 pm;tacos;1.234\n", "item,qty\nSoup \xe9,3"} {
		f.Add([]byte(src))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		file, _, faults := Read(k, "f.csv", src, Manner{At: at(1, 20), Now: at(1, 20)})
		require.Equal(t, file == nil, faults.Err() != nil)
		_ = faults.Error()
		text, _, _ := decoded(src)
		lines := strings.Count(text, "\n") + strings.Count(text, "\r") + 1
		for _, d := range faults {
			require.LessOrEqual(t, d.Pos.Line, lines)
		}
		if file == nil {
			return
		}
		require.Len(t, file.Rows, len(file.Entries))
		for _, e := range file.Entries {
			require.False(t, e.At.After(at(1, 20)))
			require.True(t, e.Portions > 0 || len(e.Gives) == 1 && (e.Gives[0].Base > 0 || e.Kind == Counted))
			typed, err := Parse(k, e.Kind, e.Text)
			require.NoError(t, err, "%q", e.Text)
			require.Equal(t, e.Portions, typed.Portions)
			if len(e.Gives) > 0 {
				require.InEpsilon(t, 1+e.Gives[0].Base, 1+typed.Gives[0].Base, 1e-6)
			}
		}
	})
}

// Rows that were taken over before there was more than plain CSV are known again: these are digests of that time.
func TestRowsOfEarlierVersionsAreKnownAgain(t *testing.T) {
	for _, c := range []struct {
		src, digest string
		rows        []string
	}{
		{deliveries, "9075ab7140ec8351e8c418b984fa1720657ace442f583c13c37aff4c9e0d8de0",
			[]string{"e7236a31aee9237d9b1dc4c284b9ebf3", "dac0fc4310e78225e47c6b2589c2aa76", "b51c2818a20aedaface38c42608279ca"}},
		{sales, "2a1a9143baea4719a91296bf4197179c23e34c8ac6e391e2e0aa153b81cfe7cb",
			[]string{"c8c1f44c3ae9db29a15ffd970592e667", "20a20176b7609f7e6a1a8dcc2fe125a4", "6a3ad8ca6ecbd92fbc569336e84542ce"}},
		{"date,dish,qty,total\n2026-11-24,soup,3,18.00\n", "d173b5d0d25a8ccebb4491541821da3c7e3ef8685b247b99eb2cde7a313e21e0",
			[]string{"0bb0f5c4ba3f6ecab154d86b70474b45"}},
		{"item,quantity\nhen,3 each\n", "8d6f4accf0b6ca515941536835e71054293e75e2e6582a9788aa89cf6fba2659", []string{"7bdcf95b86003f492f86a2aa93b0531a"}},
		{"date,time,item,qty,unit\n2026-11-24,7:30,hen,18.460,kg\n", "d7325475687ef4351dd6d2d72e49663425de5c4aacc72c825b5725eb775d7c38",
			[]string{"432c2ef999ac0b8f0373f38e9ce713d3"}},
	} {
		f, faults := readFile(t, "again.csv", c.src)
		require.Empty(t, faults)
		assert.Equal(t, c.digest, f.Digest)
		var rows []string
		for _, r := range f.Rows {
			rows = append(rows, fmt.Sprintf("%x", r))
		}
		assert.Equal(t, c.rows, rows)
	}
}

// What somebody wrote to hold the program up is refused, and said in few words.
func TestHostileTexts(t *testing.T) {
	for name, src := range map[string]string{
		"a row of two million fields":  "item,qty\n" + strings.Repeat("a,", 2<<20-100),
		"a quote in every row":         "item,qty\n" + strings.Repeat("a\"b\n", 1<<20-100),
		"a number without end":         "item,qty\nhen," + strings.Repeat("1.1", 1<<20) + " each\n",
		"packs of packs":               "item,qty\nhen," + strings.Repeat("1 x ", 1<<20-10) + "1 each\n",
		"a date without end":           "date,item,qty\n" + strings.Repeat("1", 4<<20-100) + ",hen,1 each\n",
		"a name of a million words":    "item,qty\n" + strings.Repeat("hen ", 1<<20-100) + ",1 each\n",
		"four megabytes of blank rows": strings.Repeat("\n", 4<<20-10),
		"more rows than are read":      "item,qty\n" + strings.Repeat("hen,1 each\n", mostRows+1),
		"more than is read":            strings.Repeat("a", kitchen.MostBytes+1),
	} {
		f, faults := readFile(t, "f.csv", src)
		assert.Nil(t, f, name)
		require.NotEmpty(t, faults, name)
		assert.LessOrEqual(t, len(faults), mostFaults, name)
		assert.Less(t, len(faults.Error()), 20_000, name)
	}
}

// How much came: in packs, in all, or both, and never what could be either.
func TestPacks(t *testing.T) {
	k := henHouseKitchen(t)
	for _, c := range []struct {
		head, row, want string
		base            float64
	}{
		{"item,qty", "ham bone 12 months,6 x 2 kg", "12 kg", 12000},
		{"item,qty", "ham bone 12 months,6x2kg", "12 kg", 12000},
		{"item,qty", "ham bone 12 months,2 × 6 × 500 g", "6000 g", 6000},
		{"item,qty", "whole hen,2*2 doz", "4 doz", 48},
		{"item,qty,unit", "ham bone 12 months,6 x 2,kg", "12 kg", 12000},
		{"item,packs,pack size", "ham bone 12 months,6,2 kg", "12 kg", 12000},
		{"item,cases,case size", "ham bone 12 months,1.5,4 x 500 g", "3000 g", 3000},
		{"item,packs,pack size,unit", "ham bone 12 months,6,2,kg", "12 kg", 12000},
		{"item,packs,pack size (kg)", "ham bone 12 months,6,2", "12 kg", 12000},
		{"item,qty,pack size", "ham bone 12 months,6,2 kg", "12 kg", 12000},
		{"item,qty,unit,pack size", "ham bone 12 months,6,Case,2 kg", "12 kg", 12000},
		{"item,qty,pack size", "ham bone 12 months,6 bags,2 kg", "12 kg", 12000},
		{"item,qty,unit,pack size", "ham bone 12 months,12,kg,2 kg", "12 kg", 12000},
		{"item,qty,pack size", "ham bone 12 months,12 kg,2 kg", "12 kg", 12000},
		{"item,qty,packs,pack size", "ham bone 12 months,12 kg,6,2 kg", "12 kg", 12000},
		{"item,qty,packs,pack size", "ham bone 12 months,12,6,2 kg", "12 kg", 12000},
		{"item,weight (kg)", "ham bone 12 months,12", "12 kg", 12000},
		{"item,qty (kg),paid (EUR)", "ham bone 12 months,0.1", "0.1 kg", 100},
		{"item,packs,pack size", "ham bone 12 months,3,0.1 kg", "0.3 kg", 300}, // 0.1 * 3 is no more
		{"item,qty,packs,pack size", "ham bone 12 months,13 kg,6,2 kg", "", 0},
		{"item,qty,packs,pack size", "ham bone 12 months,,6,", "", 0},
		{"item,qty", "ham bone 12 months,6 cases", "", 0},
		{"item,qty,unit", "ham bone 12 months,6,case", "", 0},
		{"item,qty,unit,pack size", "whole hen,6,each,2 each", "", 0},
		{"item,qty,unit,pack size", "ham bone 12 months,6,kg,2", "", 0},
		{"item,qty,unit", "ham bone 12 months,6 kg,kg", "", 0},
		{"item,qty", "ham bone 12 months,6 x 2", "", 0},
		{"item,qty", "ham bone 12 months,6 x 0 kg", "", 0},
		{"item,qty", "ham bone 12 months,1000000 x 1000000 kg", "", 0},
		{"item,qty", "ham bone 12 months,6 x", "", 0},
	} {
		f, _, faults := Read(k, "f.csv", []byte(c.head+"\n"+c.row+"\n"), plainManner())
		if c.want == "" {
			assert.Nil(t, f, c.row)
			require.Len(t, faults, 1, c.row)
			assert.Equal(t, "bad-quantity", faults[0].ID, c.row)
			assert.NotEmpty(t, faults[0].Hint, c.row)
			continue
		}
		require.Empty(t, faults, "%s: %s", c.row, faults.Error())
		assert.Equal(t, c.want, f.Entries[0].Gives[0].Typed, c.row)
		assert.InDelta(t, c.base, f.Entries[0].Gives[0].Base, 1e-9, c.row)
	}
}

// Counts of an item in two places are one count; what is empty was not counted, and says nothing.
func TestReadCounts(t *testing.T) {
	k := henHouseKitchen(t)
	const sheet = "place,item,unit,counted\nwalk-in,whole hen,each,20\nwalk-in,hen stock,L,23.5 cm in big kettle\nwalk-in,pulled hen,kg,\n" +
		"freezer,whole hen,each,6\nbox,ham bone 12 months,kg,0\nbox,ham bone 24 months,kg,800 g\nbox,ham bone 24 months,kg,0.3\n,goose,each,\n"
	f, _, faults := Read(k, "sheet.csv", []byte(sheet), plainManner())
	require.Empty(t, faults, "%s", faults.Error())
	assert.Equal(t, Counted, f.Kind)
	var texts []string
	for _, e := range f.Entries {
		texts = append(texts, e.Text)
		again, err := Parse(k, Counted, e.Text)
		require.NoError(t, err)
		assert.InDelta(t, again.Gives[0].Base, e.Gives[0].Base, 1e-9)
	}
	assert.Equal(t, []string{"26 each whole hen", "hen stock 23.5 cm in big kettle", "0 kg ham bone 12 months", "1.1 kg ham bone 24 months"}, texts)
	j := newLogBook(t)
	for _, again := range []struct {
		day  int
		want int
	}{{1, 4}, {1, 0}, {2, 4}} { // the same figures of the next day are a count of their own
		m := Manner{At: at(again.day, 20), Now: at(again.day, 20)}
		f, _, faults := Read(k, "sheet.csv", []byte(sheet), m)
		require.Empty(t, faults)
		kept, _, err := j.Import(t.Context(), f, m.Now)
		require.NoError(t, err)
		assert.Len(t, kept, again.want)
	}
}

// Days as workbooks keep them. 39448 is 1 January 2008, and the two ways to count lie 1,462 days apart: the documentation of a
// spreadsheet program, from memory; a time of day is a share of one (ECMA-376, 18.17.4).
func TestSerialDates(t *testing.T) {
	from1900, from1904 := &bookSheet{}, &bookSheet{from1904: true}
	for serial, want := range map[string]string{"39448": "2008-01-01", "39448.5": "2008-01-01 12:00", "39447.99999": "2008-01-01", "61": "1900-03-01",
		"60": "60", "-1": "-1", "NaN": "NaN", "20261124": "20261124"} {
		assert.Equal(t, want, serialDate(serial, from1900))
	}
	assert.Equal(t, "2008-01-01", serialDate("37986", from1904))
	for serial, want := range map[string]string{"0.3125": "07:30", "39448.75": "18:00", "0": "00:00", "0.99999": "00:00", "x": "x"} {
		assert.Equal(t, want, serialClock(serial))
	}
}
