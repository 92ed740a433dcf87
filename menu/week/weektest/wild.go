package weektest

// Kitchens wilder than any that somebody runs: steps declared in any order, several that give one item, several
// substitutes, ranks, seeds that are worth holding back, closed days. What plans is not held to follow them all.

import (
	"fmt"
	"slices"
	"strings"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// wild is a kitchen that is being drawn.
type wild struct {
	*rapid.T
	items  []string // bought, then made: a step takes what stands before all that it gives
	daily  []string // made on set days
	starts []string // that steps may share with one another, and with services
}

func (t *wild) pick(what string, from ...string) string {
	return rapid.SampledFrom(from).Draw(t.T, what)
}
func (t *wild) number(what string, least, most int) int {
	return rapid.IntRange(least, most).Draw(t.T, what)
}
func (t *wild) one(in int, what string) bool { return t.number(what, 1, in) == 1 }

// WildWeek draws a wild kitchen over some days.
func WildWeek(t *rapid.T) (w *week.Week, text string) {
	text, onHand := (&wild{T: t}).kitchen()
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NotNil(t, k, "%v\n%s", faults, text)
	p := week.Period{From: Monday, Days: rapid.IntRange(1, 5).Draw(t, "days")}
	p.OnHand, faults = kitchen.ReadOnHand("on-hand.csv", []byte(onHand), k, p.From)
	require.NoError(t, faults.Err())
	w, err := week.Over(k, p)
	require.NoError(t, err)
	return w, text + onHand
}

func (t *wild) kitchen() (text, onHand string) {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("kitchen: Wild\ndisposal: 0.20/kg\nopen: %s", t.pick("open", "daily", "mon wed thu", "tue-fri"))
	switch t.number("services", 1, 3) {
	case 1:
		t.starts = []string{"06:00", "12:00"}
		line("services: {lunch: 12:00-14:00}")
	case 2:
		t.starts = []string{"00:00", "11:30", "17:30"}
		line("services: {lunch: 11:30-14:30, dinner: 17:30-22:00}")
	default:
		t.starts = []string{"07:00", "12:00", "22:00"}
		line("services: {early: 07:00-10:00, lunch: 12:00-14:00, night: 22:00-26:00}")
	}
	line("%sbought:\n  water: {price: 0/kg}", t.pick("seats", "", "", "seats: 7\n", "seats: 5\nturns: 2\n")) // enough for any yield
	for n := range t.number("bought", 2, 4) {
		name := fmt.Sprintf("b%d", n)
		t.items = append(t.items, name)
		line("  %s: {price: %d/kg%s%s}", name, t.number("price", 0, 5), t.pick("arrives", "", ", arrives: mon wed", ", arrives: tue", ", arrives: tue thu"),
			t.pick("keeps", "", ", keeps: 1 day", ", keeps: 2 days", ", keeps: 3 days"))
	}
	bought := len(t.items)
	var steps []string
	for n := range t.number("steps", 1, 6) {
		steps = append(steps, t.step(n))
	}
	line("steps:\n%s", strings.Join(rapid.Permutation(steps).Draw(t.T, "declared"), "\n"))
	line("made:")
	for _, made := range t.items[bought:] {
		line("  %s: {keeps: %d days%s}", made, t.number("keeps", 1, 4), t.pick("worth", "", ", worth: 0/kg", ", worth: 2/kg"))
	}
	line("dishes:")
	for d := range t.number("dishes", 1, 4) {
		rank := ""
		if t.one(2, "ranked") {
			rank = fmt.Sprintf(", rank: %d", t.number("rank", 1, 2))
		}
		if d > 0 {
			rank += t.pick("in place of", "", "", ", in place of: [d0 30%]", ", in place of: [d0 75%], beside: yes")
		}
		line("  d%d: {price: 5, takes: [%s], sells: %d%s}", d, strings.ReplaceAll(strings.Join(t.lines(t.items, 4), ", "), " kg", "00 g"),
			t.number("guests", 1, 15), rank)
	}
	onHand = "item,quantity,made\n"
	for _, i := range t.items {
		for range max(0, t.number("lots", -1, 2)) {
			onHand += fmt.Sprintf("%s,%d kg,2026-11-%d\n", i, t.number("on hand", 1, 9), t.number("made on", 21, 23))
		}
	}
	return b.String(), onHand
}

// lines draws what is taken of some items, none of them twice.
func (t *wild) lines(of []string, most int) (lines []string) {
	free := rapid.Permutation(of).Draw(t.T, "takes")
	for n := range t.number("lines", 1, most) {
		text := ""
		for len(free) > 0 && (text == "" || t.one(3, "or")) {
			if text != "" {
				text += " or "
			}
			text += fmt.Sprintf("%d kg %s", t.number("amount", 1, 6), free[0])
			free = free[1:]
		}
		if text == "" {
			break
		}
		if strings.Contains(text, " or ") && t.one(2, "either") {
			text = "either " + text
		}
		if n > 0 {
			text += t.pick("optional", "", "", "", "", ", optional", ", to taste")
		}
		lines = append(lines, `"`+text+`"`)
	}
	return lines
}

// step draws a step.
func (t *wild) step(n int) string {
	mode := t.pick("mode", "days", "days", "all of it", "to order", "as needed")
	from := t.items
	if few := 3; len(from) > few && t.one(2, "of few") { // so that steps fight over what there is
		from = rapid.Permutation(from).Draw(t.T, "few")[:few]
	}
	var gives []string
	give := func(item string) {
		out := fmt.Sprintf("%g kg %s", float64(t.number("yield", 2, 12))/2, item)
		if mode == "days" {
			out += t.pick("out", "", ", out at 3 h", ", out at 14 h", ", out at 26 h")
		}
		gives = append(gives, `"`+out+`"`)
	}
	if len(t.daily) > 0 && mode == "days" && t.one(4, "gives again") {
		again := rapid.SampledFrom(t.daily).Draw(t.T, "again")
		from = t.items[:slices.Index(t.items, again)] // so that it doesn't take what comes of what it gives
		give(again)
	}
	takes := t.lines(from, 3)
	if mode == "all of it" {
		of := slices.IndexFunc(takes, func(line string) bool { return strings.Contains(line, " kg m") })
		if of < 0 { // nothing that is made
			mode = "days"
		} else {
			takes[0], takes[of] = takes[of], takes[0]
			first := takes[0][strings.Index(takes[0], "m"):]
			takes[0] = `"1 kg ` + first[:3] + `"`
		}
	}
	for l := range takes {
		if (mode == "days" || mode == "all of it" && l > 0) && !strings.Contains(takes[l], ",") {
			takes[l] = strings.TrimRight(takes[l], `"`) + t.pick("tolerance", "", "", "", ", give or take 20%", ", give or take 75%") + `"`
		}
	}
	for o := range t.number("outputs", 1, 2) {
		made := fmt.Sprintf("m%d%d", n, o)
		give(made)
		t.items = append(t.items, made)
		if mode == "days" {
			t.daily = append(t.daily, made)
		}
	}
	if mode == "days" && t.one(3, "perpetual") {
		seed := t.items[len(t.items)-1]
		if len(t.daily) > 0 && t.one(2, "another's") {
			seed = rapid.SampledFrom(t.daily).Draw(t.T, "seed")
		}
		if text := strings.Join(takes, " ") + " "; !strings.Contains(text, " "+seed+`"`) && !strings.Contains(text, " "+seed+" ") && !strings.Contains(text, " "+seed+",") {
			fresh := ""
			if !strings.Contains(text, "b0") && t.one(2, "fresh") {
				fresh = " or 0.5 kg b0"
			}
			takes = append(takes, fmt.Sprintf(`"%g kg %s%s, from yesterday"`, float64(t.number("seed", 2, 5))/10, seed, fresh))
		}
	}
	text := fmt.Sprintf("  s%d:\n    takes: [%s]\n    gives: [%s]\n    costs: %d\n", n, strings.Join(append(takes, "20 kg water"), ", "), strings.Join(gives, ", "), t.number("costs", 0, 9))
	if t.one(3, "by main") {
		text += "    share cost by: main\n"
	}
	if mode == "as needed" && t.one(2, "halves") {
		text += "    halves: yes\n"
	}
	if mode != "days" {
		return text + "    batches: " + mode
	}
	if t.one(2, "timed") {
		text += fmt.Sprintf("    starts: %q\n", t.pick("starts", t.starts...))
	}
	return text + fmt.Sprintf("    batches: {%s: %d}", t.pick("batches", "mon", "tue thu", "daily", "mon wed"), t.number("batches", 1, 2))
}
