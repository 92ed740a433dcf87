package kitchen

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// soundKitchen is testdata/sound.yaml, read.
func soundKitchen(t testing.TB) *Kitchen {
	src, err := os.ReadFile(filepath.FromSlash("testdata/sound.yaml"))
	require.NoError(t, err)
	k, faults := Read("sound.yaml", src)
	require.Empty(t, faults, "%s", faults.Error())
	return k
}

func TestRead(t *testing.T) {
	k := soundKitchen(t)
	assert.Equal(t, "Three Kettles", k.Name)
	assert.Equal(t, "USD", k.Money)
	assert.Equal(t, "tue wed thu fri sat sun", k.Open.String())
	assert.Equal(t, []Service{daily("lunch", 11*60+30, 14*60+30), daily("dinner", 17*60+30, 22*60)}, k.Services)
	litre, err := measure.UnitNamed("L")
	require.NoError(t, err)
	assert.Equal(t, []Vessel{{"big kettle", 120_000, litre, 55, 1, Pos{"sound.yaml", 6, 3}}}, k.Vessels)

	// Items: bought, made, sold, each in the order of the file.
	var names []string
	for i, it := range k.Graph.Items {
		names = append(names, it.Name)
		switch {
		case i < len(k.Bought):
			assert.Equal(t, graph.Bought, it.Role, it.Name)
		case i < len(k.Graph.Items)-len(k.Dishes):
			assert.Equal(t, graph.Made, it.Role, it.Name)
		default:
			assert.Equal(t, graph.Sold, it.Role, it.Name)
		}
	}
	assert.Equal(t, []string{"pork trotters", "pork shoulder", "stewing hen", "dried hominy", "dried chiles", "water",
		"shoulder meat", "shoulder bones", "back fat", "pulled hen", "cooked trotters", "kettle fat", "kettle stock",
		"lard", "cracklings",
		"cooked hominy", "chile base", "pozole broth", "pulled shoulder", "red pozole", "white bowl",
		"trotter tostadas"}, names)
	item := func(name string) int {
		for i, n := range names {
			if n == name {
				return i
			}
		}
		t.Fatal("no item " + name)
		return -1
	}

	// Money per base unit; a bought item is worth its price.
	assert.InEpsilon(t, 0.0042, k.Terms.Price[item("pork trotters")], 1e-12)
	assert.InEpsilon(t, 0.0062, k.Terms.Price[item("pork shoulder")], 1e-12)
	assert.InEpsilon(t, 9.5, k.Terms.Price[item("stewing hen")], 1e-12)
	assert.InEpsilon(t, 2.10/453.59237, k.Terms.Price[item("dried hominy")], 1e-12)
	assert.Equal(t, 15.5, k.Terms.Price[item("red pozole")])
	assert.Equal(t, k.Terms.Price[0], k.Terms.Worth[0])
	assert.InEpsilon(t, 0.0031, k.Terms.Worth[item("kettle stock")], 1e-12)
	assert.True(t, math.IsNaN(k.Terms.Worth[item("lard")]))
	assert.Equal(t, 4, k.Terms.Keeps[item("kettle stock")])
	assert.Equal(t, 0, k.Terms.Keeps[item("lard")])
	assert.InEpsilon(t, 1.01, k.Graph.Items[item("kettle stock")].Density, 1e-12)
	assert.Equal(t, 1900.0, k.Graph.Items[item("stewing hen")].Each)

	assert.Equal(t, Bought{Pack: 10_000, Arrives: Days{time.Tuesday: true, time.Friday: true}, Allergens: []string{}},
		k.Bought[0])
	assert.Nil(t, k.Bought[1].Allergens, "nothing was stated")

	kettle := k.Graph.Steps[1]
	assert.Equal(t, "night kettle", kettle.Name)
	assert.Equal(t, StepCard{Vessel: 0, Starts: 22*60 + 30, Batches: [7]float64{time.Tuesday: 1, time.Friday: 1}, Work: k.Steps[1].Work}, k.Steps[1])
	assert.Equal(t, flow.ByWorth, k.Terms.Share[1])
	assert.Equal(t, 12.5, k.Terms.Cost[1])
	assert.Equal(t, graph.Line{Choices: []graph.Choice{{Item: item("stewing hen"), Amount: 8}}, InAt: 60},
		kettle.Takes[2])
	assert.Equal(t, graph.Output{Item: item("kettle stock"), Amount: 55_000, Spread: 4_000, OutAt: 540},
		kettle.Gives[3])
	assert.Equal(t, 270, kettle.Gives[1].OutAt)

	assert.Equal(t, graph.AllOf, k.Graph.Steps[2].Mode)
	assert.Equal(t, graph.ToOrder, k.Graph.Steps[4].Mode)
	assert.Equal(t, [7]float64{3, 3, 3, 3, 3, 3, 3}, k.Steps[3].Batches)
	assert.Equal(t, StepCard{Vessel: -1, Starts: flow.Untimed}, k.Steps[2])
	assert.Equal(t, flow.ByWeight, k.Terms.Share[0], "no worths")
	assert.InEpsilon(t, 0.08, k.Graph.Steps[5].Takes[1].AtMost, 1e-12)

	dish := k.Graph.Steps[len(k.Steps)]
	assert.Equal(t, graph.Step{Name: "red pozole", Mode: graph.ToOrder, Gives: []graph.Output{{Item: item("red pozole"),
		Amount: 1}},
		Takes: []graph.Line{
			{Choices: []graph.Choice{{Item: item("pozole broth"), Amount: 450}}},
			{Choices: []graph.Choice{{Item: item("pulled shoulder"), Amount: 110}, {Item: item("pulled hen"),
				Amount: 110}}},
			{Choices: []graph.Choice{{Item: item("cooked hominy"), Amount: 120}}},
		}}, dish)
	assert.Equal(t, []int{22, 40}, k.Dishes[0].Sells[time.Tuesday])
	assert.Equal(t, []int{22, 60}, k.Dishes[0].Sells[time.Friday])
	assert.Equal(t, []int{0, 0}, k.Dishes[0].Sells[time.Monday], "closed")
	assert.Equal(t, []int{12, 12}, k.Dishes[1].Sells[time.Sunday])
	assert.True(t, k.Graph.Steps[len(k.Steps)+1].Takes[1].Optional)
	assert.Equal(t, Dish{Name: "trotter tostadas", Item: item("trotter tostadas"), Price: 11, AtMost: 30, Cut: 1,
		Special: true}, k.Dishes[2])

	assert.Equal(t, "0.45 L", k.Quantity(item("pozole broth"), 450).String(), "its first output is written in litres")
}

// Places lead back to the words in the file.
func TestPlaces(t *testing.T) {
	src, err := os.ReadFile(filepath.FromSlash("testdata/sound.yaml"))
	require.NoError(t, err)
	lines := strings.Split(string(src), "\n")
	k := soundKitchen(t)
	for i, it := range k.Graph.Items {
		p := k.ItemPos[i]
		assert.True(t, strings.HasPrefix(lines[p.Line-1][p.Col-1:], it.Name), "%s at %s", it.Name, p)
	}
	for s, st := range k.Graph.Steps {
		p := k.StepPos[s]
		assert.True(t, strings.HasPrefix(lines[p.Line-1][p.Col-1:], st.Name), "%s at %s", st.Name, p)
		assert.Len(t, p.Takes, len(st.Takes))
	}
	assert.Equal(t, "8 each stewing hen, in at 1 h", lines[k.StepPos[1].Takes[2].Line-1][k.StepPos[1].Takes[2].Col-1:])
}

// Of several forecasts for one service the narrowest counts: days and service, then days, then service, then a plain
// number; of two alike, the one with fewer days.
func TestNarrowestForecast(t *testing.T) {
	const head = "open: tue-sun\nservices: {lunch: 11:00-14:00, dinner: 17:00-22:00}\nbought: {rice: {price: 1/kg}}\ndishes:\n" +
		"  rice: {price: 5, takes: [100 g rice], sells: "
	for sells, want := range map[string][7][]int{ // from Sunday on
		"7":                   {{7, 7}, {0, 0}, {7, 7}, {7, 7}, {7, 7}, {7, 7}, {7, 7}},
		"{dinner: 9}":         {{0, 9}, {0, 0}, {0, 9}, {0, 9}, {0, 9}, {0, 9}, {0, 9}},
		"{dinner: 9, fri: 3}": {{0, 9}, {0, 0}, {0, 9}, {0, 9}, {0, 9}, {3, 3}, {0, 9}},
		"{dinner: 9, fri: 3, fri dinner: 20, sat-sun lunch: 5, sun lunch: 6}": {{6, 9}, {0, 0}, {0, 9}, {0, 9}, {0, 9},
			{3, 20}, {5, 9}},
		"{fri-tue: 1}": {{1, 1}, {0, 0}, {1, 1}, {0, 0}, {0, 0}, {1, 1}, {1, 1}},
	} {
		src := strings.Replace(head, "rice: {price: 5", "bowl: {price: 5", 1) + sells + "}\n"
		k, faults := Read("k.yaml", []byte(src))
		require.Empty(t, faults, "%s", faults.Error())
		assert.Equal(t, want, k.Dishes[0].Sells, sells)
	}
}

func TestForecastWithoutServices(t *testing.T) {
	k, faults := Read("k.yaml",
		[]byte("bought: {rice: {price: 1/kg}}\ndishes:\n  bowl: {price: 5, takes: [100 g rice], sells: {fri: 40}}\n"))
	require.Empty(t, faults)
	assert.Equal(t, []Service{daily("service", 12*60, 22*60)}, k.Services)
	assert.Equal(t, []int{40}, k.Dishes[0].Sells[time.Friday])
	assert.Equal(t, []int{0}, k.Dishes[0].Sells[time.Monday])
}

// A bare flow, without money, services, dishes or runs, is a kitchen.
func TestBareFlow(t *testing.T) {
	k, faults := Read("k.yaml", []byte("bought: {milk: {price: 1/L, density: 1.03 kg/L, allergens: [milk]}}\n"+
		"steps: {separate: {takes: [10 L milk], gives: [1 kg cream, 9 kg skim milk]}}\n"))
	require.Empty(t, faults)
	assert.Equal(t, []Service{onlyService}, k.Services)
	assert.Equal(t, EveryDay, k.Open)
	assert.Equal(t, [7]float64{}, k.Steps[0].Batches)
}

// What the file is saved as does not matter: line ends, byte order mark.
func TestLineEnds(t *testing.T) {
	src, err := os.ReadFile(filepath.FromSlash("testdata/sound.yaml"))
	require.NoError(t, err)
	plain := soundKitchen(t)
	for _, variant := range [][]byte{
		bytes.ReplaceAll(src, []byte("\n"), []byte("\r\n")),
		append([]byte("\uFEFF"), src...),
		bytes.TrimRight(src, "\n"),
	} {
		k, faults := Read("sound.yaml", variant)
		require.Empty(t, faults)
		assert.Equal(t, plain.ItemPos, k.ItemPos)
		assert.Equal(t, plain.Graph.Steps, k.Graph.Steps)
	}
}

// An output that does not say when it is out, is out when the last of the batch is.
func TestOutWhenTheLastIs(t *testing.T) {
	k, faults := Read("k.yaml",
		[]byte("bought: {bones: {price: 1/kg}, leeks: {price: 1/kg}, water: {price: 0/L, density: 1 kg/L}}\nsteps:\n"+
			"  broth:\n    takes: [6 kg bones, 8 L water, \"1 kg leeks, in at 5 h\"]\n    gives: [1 kg fat, \"4 kg broth, out at 2 h\"]\n"))
	require.Empty(t, faults)
	assert.Equal(t, 300, k.Graph.Steps[0].Gives[0].OutAt)
	assert.Equal(t, 120, k.Graph.Steps[0].Gives[1].OutAt)
}

// Files that are no kitchen's are refused, and by their size or nature, not by running out of memory.
func TestRefusedFiles(t *testing.T) {
	deepBlock := &strings.Builder{}
	for i := range 2000 {
		deepBlock.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	for name, c := range map[string]struct {
		src     string
		id, msg string
	}{
		"100 MB": {strings.Repeat("# large\n", 100<<20/8), "too-large",
			"file has more than the 4 MB that are read"},
		"binary":        {"\x7fELF\x02\x01\x01\x00\x00", "not-text", "file is not text"},
		"latin 1":       {"kitchen: \xdcbung\n", "not-text", "file is not text"},
		"utf-16":        {"\xff\xfek\x00i\x00", "not-text", "file is not text"},
		"control":       {"kitchen: \x01\n", "not-yaml", "the file holds a control character"},
		"deep lists":    {strings.Repeat("[", 10_000), "too-deep", "brackets or indents are more than 100 deep"},
		"deep mappings": {strings.Repeat("{a: ", 10_000), "too-deep", "brackets or indents are more than 100 deep"},
		"deep dashes": {strings.Repeat("- ", 10_000) + "a", "too-deep",
			"brackets or indents are more than 100 deep"},
		"deep blocks":      {deepBlock.String(), "too-deep", "brackets or indents are more than 100 deep"},
		"nothing":          {"", "empty", "file is empty"},
		"nothing but null": {"~\n", "empty", "file is empty"},
	} {
		k, faults := Read("k.yaml", []byte(c.src))
		assert.Nil(t, k, name)
		if assert.Len(t, faults, 1, name) {
			assert.Equal(t, c.id, faults[0].ID, name)
			assert.Equal(t, c.msg, faults[0].Msg, name)
			assert.NotEmpty(t, faults[0].Hint, name)
		}
	}
}

// Of a file that is wrong all over, every fault is found, and the text is bounded.
func TestWrongAllOver(t *testing.T) {
	var b strings.Builder
	b.WriteString("bought:\n  pork: {price: 4/kg}\nsteps:\n")
	for i := range 5_000 {
		fmt.Fprintf(&b, "  step %d: {takes: [1 kg item %d], gives: [1 kg thing %d], rums: 2}\n", i, i, i)
	}
	k, faults := Read("k.yaml", []byte(b.String()))
	assert.Nil(t, k)
	assert.Len(t, faults, 10_000)
	text := faults.Error()
	assert.True(t, strings.HasSuffix(text, "\nand 9950 more"), text[len(text)-100:])
	assert.Less(t, strings.Count(text, "\n"), 300)
}

// A line of a megabyte is said in few words.
func TestLongLine(t *testing.T) {
	long := strings.Repeat("pork", 1<<18)
	for _, line := range []string{"1 kg " + long, long, "1 " + long, "1 kg pork, " + long, "1 kg pork or " + long,
		strings.Repeat("9", 1<<20) + " kg pork"} {
		_, faults := Read("k.yaml",
			[]byte("bought:\n  pork: {price: 4/kg}\ndishes:\n  roast: {price: 4, takes: ['"+line+"']}\n"))
		assert.Less(t, len(faults.Error()), 2000)
		assert.Error(t, faults.Err())
	}
}

// A whole kitchen can stand on one line.
func TestOneLine(t *testing.T) {
	var b strings.Builder
	b.WriteString("{bought: {pork: {price: 4/kg}}, dishes: {")
	for i := range 5_000 {
		fmt.Fprintf(&b, "'dish é %d': {price: 9, takes: [1 kg pork]}, ", i)
	}
	b.WriteString("}}\n")
	k, faults := Read("k.yaml", []byte(b.String()))
	assert.Empty(t, faults)
	require.NotNil(t, k)
	assert.Len(t, k.Dishes, 5_000)
}

func TestDiagnosticsErr(t *testing.T) {
	assert.NoError(t, Diagnostics(nil).Err())
	assert.NoError(t, Diagnostics{{Severity: Warning}}.Err())
	assert.Error(t, Diagnostics{{Severity: Warning}, {Severity: Error}}.Err())
	assert.Equal(t, "k.yaml: error: file is empty [empty]", Diagnostic{Pos: Pos{File: "k.yaml"}, ID: "empty",
		Msg: "file is empty"}.String())
}

// FuzzRead: whatever the bytes, no panic; a kitchen exactly when there is no error; every place lies in the file; and
// the same faults each time; and what the reader takes, the schema does.
func FuzzRead(f *testing.F) {
	for _, c := range faultCases(f) {
		f.Add(c.src)
	}
	src, err := os.ReadFile(filepath.FromSlash("testdata/sound.yaml"))
	require.NoError(f, err)
	f.Add(src)
	f.Add([]byte("a: \u2028b\n"))
	schema := compiledSchema(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		k, faults := Read("k.yaml", src)
		if k != nil {
			doc, err := asJSON(bytes.TrimPrefix(src, []byte("\uFEFF")))
			require.NoError(t, err)
			require.NoError(t, schema.Validate(doc), "the schema refuses what the reader takes")
		}
		require.Equal(t, faults.Err() == nil, k != nil)
		lines := 1 + bytes.Count(src, []byte("\n")) + bytes.Count(src, []byte("\r")) + bytes.Count(src,
			[]byte("\u0085")) +
			bytes.Count(src, []byte("\u2028")) + bytes.Count(src, []byte("\u2029"))
		for _, d := range faults {
			require.NotEmpty(t, d.ID)
			require.NotEmpty(t, d.Msg)
			require.LessOrEqual(t, d.Pos.Line, lines)
			if d.Pos.Line > 0 {
				require.True(t, 1 <= d.Pos.Col && d.Pos.Col <= utf8.RuneCountInString(d.Excerpt)+1, "%+v", d)
				require.GreaterOrEqual(t, d.Len, 1)
			}
			for _, n := range d.Notes {
				require.True(t, 1 <= n.Pos.Line && n.Pos.Line <= lines && n.Pos.Col >= 1, "%+v", d)
			}
		}
		_, again := Read("k.yaml", src)
		require.Equal(t, faults.Error(), again.Error())
	})
}

func BenchmarkRead(b *testing.B) {
	src, err := os.ReadFile(filepath.FromSlash("testdata/sound.yaml"))
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		Read("sound.yaml", src)
	}
}
