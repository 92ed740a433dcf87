//go:build unix

package main

// Kitchens and command lines that nobody would write: the program answers or says what is wrong with them, and nothing else. A few of
// them are tried with every test, thousands by "go run -tags harness ./cmd/harness kitchens" and "lines".

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"
	"go.yaml.in/yaml/v4"
)

var (
	wild     = flag.Int("wild", 0, "how many kitchens or lines are tried (default: some dozens)")
	wildSeed = flag.Uint64("wild.seed", 0, "try those of this seed again (default: a new one)")
)

// mostCPU is what one command may take, of a kitchen of this size.
const mostCPU = 5 * time.Second

// wildRun tries things at random, and tells how that went.
type wildRun struct {
	t       *testing.T
	n       int
	codes   map[int]int
	slowest time.Duration
	slow    string
	found   int
}

// wildly tries a number of things; what fails is told with its seed, and kept as a file. At most ten are told.
func wildly(t *testing.T, usually int, try func(w *wildRun, r *rand.Rand) (what string)) {
	oneAfterAnother(t)
	n, seed := *wild, *wildSeed
	if n == 0 {
		n = usually
	}
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	w := &wildRun{t: t, n: n, codes: map[int]int{}}
	for i := range n {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		if what := try(w, r); what != "" {
			t.Errorf("seed %d, case %d: %s", seed, i, what)
			if w.found++; w.found == 10 {
				t.FailNow()
			}
		}
	}
	t.Logf("%d tried, ended with %v; the slowest took %s of processor time: %s", n, w.codes, w.slowest.Round(time.Millisecond), w.slow)
}

// processor is the time that this process has used.
func processor() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u) // it fails for no one who asks of himself
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// run runs the program, and says what is wrong with how it ended; "" when nothing is.
func (w *wildRun) run(stdin []byte, codes []int, args ...string) (what string) {
	line := "kettletree " + strings.Join(args, " ")
	var stdout, stderr bytes.Buffer
	patience := 30 * time.Second
	if *wild == 0 {
		patience = time.Second
	}
	ctx, stop := context.WithTimeout(w.t.Context(), patience)
	defer stop()
	dead := time.AfterFunc(3*time.Minute, func() { panic("it hangs: " + line + keptCase(stdin)) })
	defer dead.Stop()
	before := processor()
	code, fault := 0, ""
	func() {
		defer func() {
			if p := recover(); p != nil {
				fault = fmt.Sprintf("panic: %v\n%s", p, debug.Stack())
			}
		}()
		code = run(ctx, append([]string{"kettletree"}, args...), bytes.NewReader(stdin), &stdout, &stderr)
	}()
	took := processor() - before
	if took > w.slowest {
		w.slowest, w.slow = took, line
	}
	w.codes[code]++
	switch {
	case fault != "":
		what = fault
	case *wild > 0 && took > mostCPU:
		what = fmt.Sprintf("it took %s", took)
	case code == interrupted && *wild == 0: // a few of them have no time for the longest questions
	case !slices.Contains(codes, code):
		what = fmt.Sprintf("it ended with %d", code)
	case notFinite.Match(stdout.Bytes()) && !notFinite.Match(stdin) && !notFinite.MatchString(line): // which may be a name
		what = "it answers with a figure that is none"
	case code == 0 && slices.Contains(args, "--json") && stdout.Len() > 0 && !jsonLines(stdout.Bytes()):
		what = "it answers with what is no JSON"
	case code != ended && stderr.Len()+stdout.Len() == 0:
		what = "it fails in silence"
	default:
		what = illSaid(stderr.String())
	}
	for _, out := range []string{stdout.String(), stderr.String()} {
		if at := strings.IndexFunc(out, func(c rune) bool {
			return c != '\n' && c != '\r' && c != '\t' && (unicode.IsControl(c) || unicode.Is(unicode.Bidi_Control, c))
		}); at >= 0 && what == "" {
			what = fmt.Sprintf("it prints %q", out[max(0, at-20):min(len(out), at+20)])
		}
		if !utf8.ValidString(out) && what == "" {
			what = "it prints what is no UTF-8"
		}
	}
	if what == "" {
		return ""
	}
	return fmt.Sprintf("%s: %s\n%.2000s%s", line, what, stderr.String(), keptCase(stdin))
}

// notFinite is a number that is none.
var notFinite = regexp.MustCompile(`\bNaN\b|[+-]Inf\b|\bInf\b`)

// jsonLines tells whether a text is JSON, or JSON on each line.
func jsonLines(text []byte) bool {
	d := json.NewDecoder(bytes.NewReader(text))
	for {
		var v any
		if err := d.Decode(&v); err == io.EOF {
			return true
		} else if err != nil {
			return false
		}
	}
}

var (
	faultLine = regexp.MustCompile(`^(\S.*?)(:\d+:\d+)?: (error|warning): (.+) \[([a-z-]+)\]$`)
	wholeFile = []string{"empty", "not-text", "too-large", "bad-workbook", "no-name"} // no-name: of a language in which nothing has a name
)

// illSaid finds a fault of a file that lacks its line or what would be right.
func illSaid(stderr string) string {
	lines := strings.Split(stderr, "\n")
	for n, line := range lines {
		m := faultLine.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		if m[2] == "" && !slices.Contains(wholeFile, m[5]) {
			return "a fault has no place: " + line
		}
		hinted := false
		for _, next := range lines[n+1:] {
			if strings.HasPrefix(next, "hint: ") {
				hinted = true
			}
			if hinted || faultLine.MatchString(next) {
				break
			}
		}
		if !hinted && m[3] == "error" {
			return "a fault has no hint: " + line
		}
	}
	return ""
}

// keptCase keeps what was tried for whoever looks into it.
func keptCase(src []byte) string {
	if len(src) == 0 {
		return ""
	}
	f, err := os.CreateTemp("", "wild-*.yaml")
	if err != nil {
		return ""
	}
	_, _ = f.Write(src)
	_ = f.Close()
	return "\n(the file is kept as " + f.Name() + ")"
}

// wildKitchens are the examples, which stay as they are.
func wildKitchens(t *testing.T) (list [][]byte) {
	files, err := filepath.Glob(filepath.Join("..", "..", "examples", "*", "kitchen.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		src, err := os.ReadFile(f)
		require.NoError(t, err)
		list = append(list, src)
	}
	return list
}

func TestWildKitchens(t *testing.T) {
	kitchens := wildKitchens(t)
	t.Setenv(clockName, "2026-11-24 15:00")
	wildly(t, 24, func(w *wildRun, r *rand.Rand) string {
		src := kitchens[r.IntN(len(kitchens))]
		for range 1 + r.IntN(3) {
			if r.IntN(3) == 0 {
				src = wildBytes(r, src)
			} else {
				src = wildYAML(r, src)
			}
		}
		for _, args := range [][]string{{"check", "-"}, {"whatif", "-", "--from", "2026-11-23"}, {"cost", "-", "--from", "2026-11-23"}} {
			if r.IntN(3) == 0 && args[0] != "check" {
				args = append(args, "--json")
			}
			if args[0] == "whatif" {
				if lost := stepIn(r, src); lost != "" {
					args = append(args, "--lose", lost)
				}
			}
			if what := w.run(src, []int{ended, failed, misused}, args...); what != "" {
				return what
			}
		}
		return ""
	})
}

// stepIn is the name of a step of a kitchen, where one can be told.
func stepIn(r *rand.Rand, src []byte) string {
	var k struct{ Steps map[string]any }
	if yaml.Unmarshal(src, &k) != nil || len(k.Steps) == 0 {
		return ""
	}
	names := slices.Sorted(maps.Keys(k.Steps))
	return names[r.IntN(len(names))]
}

// wildBytes changes a text without regard to what it says.
func wildBytes(r *rand.Rand, src []byte) []byte {
	src = slices.Clone(src)
	for range 1 + r.IntN(4) {
		at := r.IntN(len(src) + 1)
		end := min(len(src), at+r.IntN(40))
		switch r.IntN(7) {
		case 0:
			src = slices.Delete(src, at, end)
		case 1:
			src = slices.Insert(src, at, []byte(oneOf(r, wildTexts...))...)
		case 2:
			src = slices.Insert(src, at, src[at:end]...)
		case 3:
			if at < len(src) {
				src[at] ^= 1 << r.IntN(8)
			}
		case 4:
			src = src[:at]
		case 5:
			src = bytes.Replace(src, []byte(oneOf(r, ":", " ", "\n", "[", "{", "0", ".", "kg", ",")), []byte(oneOf(r, "", "\t", ":", "#", "9", "L", "-", "e9")), 1+r.IntN(9))
		case 6:
			src = slices.Insert(src, at, byte(r.IntN(256)))
		}
		if len(src) == 0 {
			return []byte("x")
		}
	}
	return src
}

// wildTexts are words, numbers and signs that stand where they should not.
var wildTexts = []string{"", "0", "-1", "1e308", "-1e308 kg", "1e308 kg", "1e-308 kg", "99999999999999999999 kg", "9999999999 kg", "0 kg", "1/0 kg", "1/3 kg",
	".inf", "-.inf", ".nan", "NaN kg", "Inf", "true", "no", "~", "null", "[]", "{}", "- - - -", "? x", "&a [*a, *a]", "*a", "<<: *a", "!!binary x", "!x", "%YAML 9",
	"---", "...", "\x00", "\x1b[31m", "\u202e", "\xff", "\ufeff", "\u2028", "\u0085", "\t", "\r", "café", "cafe\u0301", "tue", "2026-13-45", "0000-01-01",
	"24:00", "99:99-00:00", "17:30-99:00", "1000000", "999999", "4294967296", "07", "0x10", "1_000", "12 kg salt or 3 L", "5 kg ± 900 kg", "40 ± 400000", "100%", "0%",
	"1e9%", "1000000.00/kg", "1/mL", "0.0000001/kg", "1 day", "9999 weeks", "to order", "all of it", "as needed", strings.Repeat("w", 300), strings.Repeat("é", 70_000),
	strings.Repeat("[", 150), strings.Repeat("{a: ", 150), strings.Repeat("- ", 200), "&a [x,x]\nb: &b [*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b]\nd: [*c,*c,*c,*c]"}

func oneOf[T any](r *rand.Rand, list ...T) T { return list[r.IntN(len(list))] }

// figure is a number in a text.
var figure = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)

// wildYAML changes what a text says, and leaves it YAML where it was: keys that go, that double and that change places, values of other
// kinds, and numbers far out.
func wildYAML(r *rand.Rand, src []byte) []byte {
	var doc yaml.Node
	if yaml.Unmarshal(src, &doc) != nil || len(doc.Content) == 0 {
		return wildBytes(r, src)
	}
	var all []*yaml.Node
	var collect func(*yaml.Node, int)
	collect = func(n *yaml.Node, depth int) {
		if depth > 60 || len(all) > 5000 {
			return
		}
		all = append(all, n)
		for _, c := range n.Content {
			collect(c, depth+1)
		}
	}
	collect(doc.Content[0], 0)
	scalars := slices.DeleteFunc(slices.Clone(all), func(n *yaml.Node) bool { return n.Kind != yaml.ScalarNode })
	numbers := slices.DeleteFunc(slices.Clone(scalars), func(n *yaml.Node) bool { return !figure.MatchString(n.Value) })
	for range 1 + r.IntN(3) {
		n := all[r.IntN(len(all))]
		pairs := len(n.Content) / 2
		switch r.IntN(10) {
		case 0: // a key or an entry goes
			if n.Kind == yaml.MappingNode && pairs > 0 {
				at := 2 * r.IntN(pairs)
				n.Content = slices.Delete(slices.Clone(n.Content), at, at+2)
			} else if len(n.Content) > 0 {
				at := r.IntN(len(n.Content))
				n.Content = slices.Delete(slices.Clone(n.Content), at, at+1)
			}
		case 1: // it doubles
			if n.Kind == yaml.MappingNode && pairs > 0 {
				at := 2 * r.IntN(pairs)
				n.Content = append(slices.Clone(n.Content), n.Content[at:at+2]...)
			} else if n.Kind == yaml.SequenceNode && len(n.Content) > 0 {
				n.Content = append(slices.Clone(n.Content), n.Content[r.IntN(len(n.Content))])
			}
		case 2: // two change places
			if len(scalars) > 0 {
				o := scalars[r.IntN(len(scalars))]
				p := scalars[r.IntN(len(scalars))]
				o.Value, p.Value = p.Value, o.Value
			}
		case 3: // another kind
			if n != doc.Content[0] {
				*n = yaml.Node{Kind: oneOf(r, yaml.ScalarNode, yaml.SequenceNode, yaml.MappingNode), Value: oneOf(r, wildTexts[:40]...)}
			}
		case 4, 5, 6, 7: // a number far out, or only somewhat
			if len(numbers) > 0 {
				o := numbers[r.IntN(len(numbers))]
				o.Value = figure.ReplaceAllStringFunc(o.Value, func(f string) string {
					return oneOf(r, f, f, f+"0", f+"000000", "0", "1", "0."+f, f+"e9", "-"+f, "0.0000001", "1e308", "1/3", "999999", f+f)
				})
			}
		case 8:
			if len(scalars) > 0 {
				scalars[r.IntN(len(scalars))].Value = oneOf(r, wildTexts...)
			}
		case 9: // many of the same, named apart
			if n.Kind == yaml.MappingNode && pairs > 0 {
				at := 2 * r.IntN(pairs)
				for i := range r.IntN(20) {
					k := *n.Content[at]
					k.Value = fmt.Sprintf("%.60s %d", k.Value, i)
					n.Content = append(slices.Clone(n.Content), &k, n.Content[at+1])
				}
			}
		}
	}
	out, err := yaml.Marshal(&doc)
	if err != nil || len(out) == 0 || len(out) > 1<<20 {
		return wildBytes(r, src)
	}
	return out
}

// wildValues are what stands behind options: right, nearly right, and wrong.
var wildValues = []string{"poach chickens", "poach chickens@tue", "poach chickens@wed=40%", "poach chickens@thu=2", "poach chickens/pulled chicken", "chicken soup", "chicken soup@fri=+20%",
	"chicken soup@fri lunch=+8", "chicken roll=60", "chicken", "chicken=+12%", "chicken=10.20/each", "chicken@tue=2 each", "chicken stock", "chicken stock@wed", "pulled chicken=1 kg",
	"tue", "fri lunch", "wed", "all", "2026-11-24", "2026-11-23", "2026-11-24 14:05", "0000-01-01", "2026-13-01", "9999-12-31", "0", "1", "2", "7", "40", "366", "367", "-1", "1e9", "0.5", "NaN", "Inf",
	"99999999999999999999", "fair", "first", "best", "none", "svg", "dot", "es", "zh", "x", "", " ", "=", "@", "=@=", "%", "poach chickens=", "@tue", "poach@tue@wed", "\x1b[31m", "\xff", "\u202e",
	"café", "cafe\u0301", "day first", "month first", "comma", "point", "2 h", "23:30", "25:99", "3 C", "41 F", "-400 C", "out.txt", "missing/out.txt", ".", "kitchen.yaml", "-", "list.csv", "Drum=chicken",
	"x=none", "chicken=", strings.Repeat("w", 5000), "bash", "zsh", "json", "tour", "log", "weight: quantity"}

// fittingValues are right for some options, or nearly so.
var fittingValues = map[string][]string{"from": {"2026-11-23", "2026-11-24", "2026-12-28", "2020-02-29", "9999-12-31"}, "days": {"1", "2", "7", "31", "366"},
	"at": {"2026-11-24 14:05", "2026-11-20", "fri lunch", "2027-01-01"}, "rule": {"fair", "first", "best"}, "on-hand": {"list.csv"}, "plan": {"none", "list.csv"},
	"lose": {"poach chickens@tue", "poach chickens=40%"}, "short": {"chicken@tue=50%", "chicken=2 each", "water=1 L"}, "spoil": {"chicken stock", "chicken@wed"},
	"price": {"chicken=+900%", "chicken=0/each", "water=1000000/L"}, "yield": {"poach chickens/chicken stock=+900%", "poach chickens@tue/pulled chicken=-99%"},
	"late": {"poach chickens@tue=2 h", "poach chickens@wed=23:30"}, "sells": {"chicken soup@fri=+20%", "chicken roll=+900000", "chicken soup=-100%"},
	"strike": {"chicken soup@fri lunch", "chicken roll"}, "batches": {"poach chickens@wed=2", "poach chickens=0"}, "without": {"chicken soup"}, "on": {"tue", "all", "2026-11-24"},
	"need": {"chicken soup=60", "chicken stock=2 L", "chicken soup=1000000"}, "out": {"out.txt", "missing/out.txt", "."}, "save": {"out.plan"}, "last": {"1", "500"}, "corrects": {"1", "2"},
	"ready": {"tue lunch"}, "lit": {"poach chickens@tue=08:00"}, "draws": {"10", "300"}, "seed": {"1"}, "air": {"3 C"}, "limit": {"1", "3"}}

// wildEntries are what stands behind log.
var wildEntries = []string{"received 4 each chicken for 30 from butcher lot A7", "received 4 each chicken lot \" X9\"", "counted 3 each chicken", "counted 0 L chicken stock", "binned 1 each chicken, torn",
	"lit poach chickens", "out 2 kg pulled chicken", "done poach chickens", "cooked poach chickens x2", "cooked poach chickens: 4 each chicken -> 2 kg pulled chicken", "skipped poach chickens of tue",
	"lost 40% of poach chickens", "sold 4 chicken soup at lunch", "gave 2 chicken roll to staff", "dropped 1 chicken soup, slipped", "temperature walk-in 38 F", "temperature chicken stock 4 C, did: x",
	"struck chicken soup at fri lunch", "offered 9 chicken soup at lunch", "did not come chicken", "late chicken until 17:00", "show", "day", "day tue", "undo 1", "undo 0", "undo x", "export", "import list.csv",
	"import missing.csv", "count", "put in 2 L water", "received 1e308 each chicken", "received 1/0 each chicken", "counted -3 each chicken", "sold 99999999999 chicken soup", "", "recieved 3"}

func TestWildLines(t *testing.T) {
	src, err := os.ReadFile(filepath.Join("..", "..", "examples", "first-pot", "kitchen.yaml"))
	require.NoError(t, err)
	folder := t.TempDir()
	t.Chdir(folder)
	commands := newApp(nil, io.Discard, io.Discard).Commands
	wildly(t, 60, func(w *wildRun, r *rand.Rand) string {
		t.Setenv(clockName, oneOf(r, someClocks...))
		if r.IntN(8) == 0 { // begin again, with nothing written
			list, err := os.ReadDir(".")
			require.NoError(t, err)
			for _, f := range list {
				require.NoError(t, os.RemoveAll(f.Name()))
			}
		}
		require.NoError(t, os.WriteFile("kitchen.yaml", src, 0o666))
		require.NoError(t, os.WriteFile("list.csv", []byte(oneOf(r, "item,quantity,made\nchicken,4 each,2026-11-23\n", "dish,sold\nchicken soup,40\n", "item,quantity\nDrum,2\n")), 0o666))
		cmd := commands[r.IntN(len(commands))]
		for cmd.Name == "serve" { // it goes on until it is stopped
			cmd = commands[r.IntN(len(commands))]
		}
		args := []string{cmd.Name}
		if cmd.Name == "log" {
			args = append(args, strings.Fields(oneOf(r, wildEntries...))...)
		}
		for range oneOf(r, 0, 0, 0, 1, 2) {
			args = append(args, oneOf(r, wildValues...))
		}
		for range r.IntN(4) {
			if len(cmd.Flags) == 0 {
				break
			}
			f := cmd.Flags[r.IntN(len(cmd.Flags))]
			option := "--" + f.Names()[0]
			at := 1 + r.IntN(len(args))
			if takes, ok := f.(cli.DocGenerationFlag); ok && takes.TakesValue() {
				value := oneOf(r, wildValues...)
				if fit := fittingValues[f.Names()[0]]; fit != nil && r.IntN(4) > 0 {
					value = oneOf(r, fit...)
				}
				args = slices.Insert(args, at, option, value)
			} else {
				args = slices.Insert(args, at, option)
			}
		}
		return w.run([]byte(oneOf(r, "", "4\n2 kg\n", "y\n", string(src))), []int{ended, failed, misused, unshown}, args...)
	})
}
