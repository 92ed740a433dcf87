// Package weektest has weeks to test with: those of the examples, small ones written in a test, and random ones.
package weektest

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// ExampleWeek is an example's week from the Monday that its README uses, with its stock when it has some.
func ExampleWeek(tb testing.TB, name string) *week.Week {
	tb.Helper()
	dir := filepath.Join(root(tb), "examples", name)
	src, err := os.ReadFile(filepath.Join(dir, "kitchen.yaml"))
	require.NoError(tb, err)
	k, faults := kitchen.Read(filepath.Join(dir, "kitchen.yaml"), src)
	require.Empty(tb, faults, "an example has neither errors nor warnings")
	p := week.Period{From: Monday, Days: 7}
	if csv, err := os.ReadFile(filepath.Join(dir, "on-hand.csv")); err == nil {
		p.OnHand, faults = kitchen.ReadOnHand("on-hand.csv", csv, k, p.From)
		require.Empty(tb, faults)
	}
	w, err := week.Over(k, p)
	require.NoError(tb, err)
	return w
}

// root is the folder of go.mod, above the package that is tested.
func root(tb testing.TB) string {
	tb.Helper()
	dir, err := os.Getwd()
	require.NoError(tb, err)
	for ; filepath.Dir(dir) != dir; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
	}
	tb.Fatal("no go.mod above the package")
	return ""
}

// Examples are the names of the kitchens under examples.
var Examples = []string{"three-kettles", "fish-house", "evergreen-braise", "first-pot"}

// Shocks reads changes written as "lose night kettle@tue".
func Shocks(tb testing.TB, w *week.Week, texts ...string) (list []week.Shock) {
	tb.Helper()
	for _, text := range texts {
		kind, rest, _ := strings.Cut(text, " ")
		s, err := w.Shock(kind, rest)
		require.NoError(tb, err)
		list = append(list, s)
	}
	return list
}

// UsualDays are the open days and services of most kitchens that are drawn.
const UsualDays = "open: mon-thu\nservices: {lunch: 11:30-14:30, dinner: 17:30-22:00}"

// AnyKitchen draws a kitchen file: bought items by weight, in packs and in pieces, steps of every kind with shared items, substitutes
// and lines that may be left out, perpetual stocks, a vessel, specials.
func AnyKitchen(t *rapid.T) (text, onHand string) { return anyKitchen(t, false) }

// An odd kitchen may have what the planner may not follow exactly: see package plan.
func anyKitchen(t *rapid.T, odd bool) (text, onHand string) {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	pick := func(what string, from ...string) string { return rapid.SampledFrom(from).Draw(t, what) }
	number := func(what string, least, most int) int { return rapid.IntRange(least, most).Draw(t, what) }
	line("kitchen: Any%s\n%s", pick("disposal", "", "\ndisposal: 0.30/kg"), pick("calendar", UsualDays, UsualDays, UsualDays+"\nclosed: [2026-11-24]",
		UsualDays+"\ndays: {2026-11-24: {dinner: 18:00-23:00 at 1.5 of forecast}, 2026-11-25: {works: no}, 2026-11-26: {lunch: closed}}",
		"open: mon-thu\nservices: {lunch: 11:30-14:30, tue lunch: 12:00-16:00, dinner: 17:30-22:00, wed dinner: closed}",
		"open: mon-thu\nservices: {lunch: 11:30-14:30, night: 22:30-26:00}",
		"open: mon-thu\nservices: {lunch: 11:30-14:30, dinner: 17:30-24:15, late: 24:30-27:00}\ndays: {2026-11-25: {late: closed}}"))
	line("%svessels:\n  pot: {holds: %d L}", pick("seats", "", "", "seats: 12\n", "seats: {lunch: 9}\nturns: 1.5\n"), number("pot", 40, 90))
	line("bought:\n  starter: {price: 9/kg, arrives: %s}", pick("starter", "mon tue", "daily", "wed"))
	var items []string
	for n := range number("bought", 2, 4) {
		name := fmt.Sprintf("b%d", n)
		items = append(items, name)
		line("  %s: {price: %d/%s%s%s%s%s}", name, number("price", 0, 5), pick("counted", "kg", "kg", "kg", "each, each: 250 g", "dozen, each: 125 g"), pick("par", "", "", "", ", par: 3 kg"), pick("pack", "", "", ", pack: 5 kg", ", pack: 2 kg"),
			pick("arrives", "", "", ", arrives: mon wed", ", arrives: tue"), pick("keeps", "", ", keeps: 1 day", ", keeps: 2 days", ", keeps: 9 days"))
	}
	taken := func(most int) (list []string, total int) {
		order := rapid.Permutation(items).Draw(t, "takes")
		for n := range min(number("lines", 1, most), len(order)) {
			amount := number("amount", 1, 6)
			total += amount
			text := fmt.Sprintf("%d kg %s", amount, order[n])
			if n+1 < len(order) && n == most-1 && number("swap", 0, 1) == 0 {
				text += fmt.Sprintf(" or %d kg %s", amount, order[n+1])
			}
			if n > 0 {
				text += pick("optional", "", "", "", "", "", ", optional", ", to taste")
			}
			list = append(list, `"`+text+`"`)
		}
		return list, total
	}
	line("steps:")
	keeps, ordered, seeds := []string{}, []string{}, []string{}
	behind := map[string][]string{} // by item made to order: all that it can be made of
	takesOf := func(lines []string, item string) bool {
		return slices.ContainsFunc(lines, func(line string) bool { return strings.Contains(line, item) })
	}
	for n := range number("steps", 1, 5) {
		name := fmt.Sprintf("s%d", n)
		mode := pick("mode", "days", "days", "all of it", "to order", "as needed")
		asAsked := mode == "to order" || mode == "as needed"
		uses, total := taken(2)
		if mode == "all of it" {
			uses[0], _, _ = strings.Cut(uses[0], " or ")
			uses[0] = strings.TrimRight(uses[0], `"`) + `"`
			if !odd && len(uses) > 1 && slices.ContainsFunc(ordered, func(i string) bool { return strings.Contains(uses[1], i) }) {
				uses, total = uses[:1], 0
				_, err := fmt.Sscanf(uses[0], "\"%d", &total)
				require.NoError(t, err)
			}
			if first := strings.Fields(strings.Trim(uses[0], `"`))[2]; first[0] == 'b' { // nothing is bought for that: the file may not say so
				mode = "days"
			}
		}
		for n := range uses { // what is cooked in batches may go on with less
			if mode == "days" && !strings.Contains(uses[n], ",") || mode == "all of it" && n > 0 && !strings.Contains(uses[n], ",") {
				uses[n] = strings.TrimRight(uses[n], `"`) + pick("tolerance", "", "", "", ", give or take 20%", ", give or take 75%") + `"`
			}
		}
		var gives []string
		outputs := number("outputs", 1, 2)
		if asAsked && !odd {
			outputs = 1
		}
		for o := range outputs {
			made := fmt.Sprintf("m%d%d", n, o)
			amount := float64(number("yield", 1, 10)) / 10 * float64(total) / float64(outputs)
			out := fmt.Sprintf("%g kg %s", amount, made)
			if mode == "days" {
				out += pick("out", "", ", out at 3 h", ", out at 14 h")
			}
			gives = append(gives, `"`+out+`"`)
			par := ", par: 1 kg"
			if asAsked {
				par = ""
				for _, i := range items {
					if takesOf(uses, i) {
						behind[made] = append(append(behind[made], i), behind[i]...)
					}
				}
				ordered = append(ordered, made)
			}
			keeps = append(keeps, fmt.Sprintf("  %s: {keeps: %d days%s}", made, number("keeps", 1, 4),
				pick("worth", "", ", worth: 1/kg", ", worth: 4/kg", par)))
		}
		if mode == "days" && number("perpetual", 0, 3) == 0 {
			seed := fmt.Sprintf("m%d0", n)
			if len(seeds) > 0 && number("another's", 0, 3) == 0 && !takesOf(uses, seeds[0]) &&
				(odd || !slices.ContainsFunc(ordered, func(i string) bool { return takesOf(uses, i) && slices.Contains(behind[i], seeds[0]) })) {
				seed = seeds[0]
			}
			seeds = append(seeds, seed)
			uses = append(uses, fmt.Sprintf(`"0.02 kg %s%s, from yesterday"`, seed, pick("fresh", "", " or 0.02 kg starter")))
		}
		line("  %s:\n    takes: [%s]\n    gives: [%s]\n    costs: %d", name, strings.Join(uses, ", "), strings.Join(gives, ", "), number("costs", 0, 4))
		switch {
		case mode == "as needed":
			line("    batches: %s%s", mode, pick("halves", "", "\n    halves: yes"))
		case mode != "days":
			line("    batches: %s", mode)
		default:
			if number("timed", 0, 1) == 0 {
				line("    starts: %q\n    vessel: pot", pick("starts", "06:00", "09:30", "15:00", "22:30"))
			}
			days := pick("batches", "mon", "tue thu", "daily")
			if size := number("batches", 1, 4); size < 3 {
				line("    batches: {%s: %d}", days, size)
			} else {
				line("    batches: {%s: %g}\n    halves: yes", days, float64(size)-2.5)
			}
		}
		for o := range outputs {
			items = append(items, fmt.Sprintf("m%d%d", n, o))
		}
	}
	line("made:\n%s", strings.Join(keeps, "\n"))
	dishes := func(kind, more string, least, most int) {
		n := number(kind, least, most)
		if n > 0 {
			line("%s:", kind)
		}
		for d := range n {
			uses, _ := taken(3)
			for k := range uses {
				uses[k] = strings.ReplaceAll(uses[k], " kg ", "00 g ")
			}
			guests := pick("beside", "", "", "", ", beside: yes")
			if kind == "specials" || d > 0 {
				guests += pick("in place of", "", "", ", in place of: [dishes0 30%]", ", in place of: [dishes0 75%]")
			}
			line("  %s%d: {price: %d, takes: [%s], %s%s}", kind, d, number("menu price", 1, 12), strings.Join(uses, ", "),
				fmt.Sprintf(more, number("asked", 1, 20)), guests)
		}
	}
	dishes("dishes", "sells: %d"+pick("never", "", "", "", ", never out: yes"), 1, 3)
	dishes("specials", "at most: %d"+pick("least", "", ", at least: 1", ", sells: 3"), 0, 2)
	onHand = "item,quantity,made\n"
	for _, i := range items {
		if number("lot", 0, 2) == 0 {
			onHand += fmt.Sprintf("%s,%d kg,2026-11-%d\n", i, number("on hand", 1, 9), number("made", 21, 23))
		}
	}
	return b.String(), onHand
}

// AnyWeek draws a kitchen over some days.
func AnyWeek(t *rapid.T) (w *week.Week, text string) { return anyWeek(t, false) }

// OddWeek draws a kitchen over some days, which may have what the planner may not follow exactly.
func OddWeek(t *rapid.T) (w *week.Week, text string) { return anyWeek(t, true) }

// AnyPresent draws a week as AnyWeek does, or one that goes on from a minute, with batches under way and items that are late.
func AnyPresent(t *rapid.T) (w *week.Week, text string) { return present(t, false) }

// OddPresent draws such a week as OddWeek does.
func OddPresent(t *rapid.T) (w *week.Week, text string) { return present(t, true) }

func present(t *rapid.T, odd bool) (w *week.Week, text string) {
	if w, text = anyWeek(t, odd); rapid.IntRange(0, 2).Draw(t, "goes on") > 0 {
		return w, text
	}
	on, under := goesOn(t, w)
	return on, text + under
}

func anyWeek(t *rapid.T, odd bool) (w *week.Week, text string) {
	text, onHand := anyKitchen(t, odd)
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NotNil(t, k, "%v\n%s", faults, text)
	p := week.Period{From: time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), Days: rapid.IntRange(1, 5).Draw(t, "days")}
	p.OnHand, faults = kitchen.ReadOnHand("on-hand.csv", []byte(onHand), k, p.From)
	require.NoError(t, faults.Err())
	w, err := week.Over(k, p)
	require.NoError(t, err)
	return w, text + onHand
}

// goesOn draws a minute of its first day from which a week goes on, with batches under way and items that are late.
func goesOn(t *rapid.T, w *week.Week) (on *week.Week, text string) {
	number := func(what string, least, most int) int { return rapid.IntRange(least, most).Draw(t, what) }
	s := *w.Case.Schedule
	minutes := []int{0, 300, 700, 1000, 1130, 1400}
	for _, slot := range s.Slots { // the day goes on as long as it is served
		for _, at := range []int{1440, 1450, 1500} {
			if slot.Day == 0 && slot.End > at {
				minutes = append(minutes, at)
			}
		}
	}
	s.From = rapid.SampledFrom(minutes).Draw(t, "from")

	// Of the day, what is not done: services that are over are not served, of one under way the rest of its forecast.
	s.Slots, s.Wants = slices.Clone(s.Slots), slices.Clone(s.Wants)
	for d := range s.Wants {
		s.Wants[d].Forecast = slices.Clone(s.Wants[d].Forecast)
		for k, slot := range s.Slots {
			switch f := &s.Wants[d].Forecast[k]; {
			case slot.End <= s.From:
				*f = 0
			case slot.Start < s.From:
				left := float64(number("left of the forecast", 0, int(*f)))
				*f, s.House = left, s.House.Having(d, k, float64(number("gone out", 0, int(*f-left))))
			}
		}
	}
	for k := range s.Slots {
		s.Slots[k].Closed = s.Slots[k].Closed || s.Slots[k].End <= s.From
	}
	s.Batches = slices.DeleteFunc(slices.Clone(s.Batches), func(b flow.Batch) bool {
		return b.Day == 0 && max(b.Start, 0) < s.From && number("done", 0, 2) > 0
	})

	// What is under way, by the card or with something else put in.
	for step, st := range w.Graph.Steps[:len(w.Steps)] {
		if st.Mode != graph.OnDays || number("under way", 0, 1) == 0 {
			continue
		}
		pot := flow.Pot{Step: step, Day: -number("began", 0, 1), Batches: float64(number("batches under way", 1, 2))}
		pot.Start = s.From - 60*number("hours", 1, 12)
		for _, g := range st.Gives {
			if number("still to come", 0, 2) > 0 {
				pot.Gives = append(pot.Gives, flow.PotLine{Item: g.Item, Amount: g.Amount * pot.Batches, Minute: pot.Start + g.OutAt + 60*number("slow", 0, 12)})
			}
		}
		for range number("still put in", 0, 2) {
			pot.Takes = append(pot.Takes, flow.PotLine{Item: number("put in", 0, len(w.Bought)+len(w.Terms.Keeps)/3) % len(w.Graph.Items),
				Amount: 500 * float64(number("amount put in", 1, 4)), Minute: s.From + 60*number("in hours", 0, 12)})
		}
		pot.Takes = slices.DeleteFunc(pot.Takes, func(l flow.PotLine) bool { return w.Graph.Items[l.Item].Role == graph.Sold })
		s.Pots = append(s.Pots, pot)
	}
	for i := range w.Graph.Items {
		at := 0
		if i < len(w.Bought) {
			at = max(0, rapid.SampledFrom([]int{0, 0, 0, 0, 60, 240, 1440 - s.From, 1500, 2880 - s.From}).Draw(t, "late")+s.From)
		}
		s.NotBefore = append(s.NotBefore, at)
	}
	return w.Continued(nil, func(to *flow.Schedule) { *to = s }), fmt.Sprintf("from %d\npots %+v\nnot before %v\nbatches %+v\nwants %+v\nhouse %+v", s.From, s.Pots, s.NotBefore, s.Batches, s.Wants, s.House)
}

// Monday is the first day of the weeks.
var Monday = time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC)

// Read reads a kitchen without a mistake.
func Read(t require.TestingT, src string) *kitchen.Kitchen {
	k, faults := kitchen.Read("kitchen.yaml", []byte(src))
	require.NotNil(t, k, "%v\n%s", faults, src)
	return k
}

// SmallWeek is the week of a kitchen from Monday on.
func SmallWeek(t require.TestingT, src string) *week.Week { return SmallDays(t, src, 7) }

// SmallDays are some days of a kitchen from Monday on.
func SmallDays(t require.TestingT, src string, days int) *week.Week {
	return Stocked(t, src, "", week.Period{From: Monday, Days: days})
}

// Stocked is a kitchen over a period, with what is on hand as CSV, "" for nothing.
func Stocked(t require.TestingT, src, onHand string, p week.Period) *week.Week {
	k := Read(t, src)
	if onHand != "" {
		var faults kitchen.Diagnostics
		p.OnHand, faults = kitchen.ReadOnHand("on-hand.csv", []byte(onHand), k, p.From)
		require.NoError(t, faults.Err())
	}
	w, err := week.Over(k, p)
	require.NoError(t, err)
	return w
}

// SmokeHouse has a strong item that is taken out again, a substitute that is lighter, and something optional.
const SmokeHouse = `
kitchen: Smoke House
open: tue-sat
services: {lunch: 11:30-14:30}
bought:
  water:        {price: 0/L, density: 1 kg/L}
  hens:         {price: 4.00/kg, arrives: tue, keeps: 7 days}
  duck legs:    {price: 6.00/kg, arrives: tue, keeps: 7 days}
  veal bones:   {price: 3.00/kg, arrives: tue, keeps: 7 days}
  smoked bones: {price: 5.00/kg, arrives: tue, keeps: 14 days}
  salt:         {price: 0.80/kg}
steps:
  smoke kettle:
    starts: "06:00"
    takes:
      - 30 L water
      - 10 kg hens or 4 kg duck legs
      - 8 kg veal bones, optional
      - 2.7 kg smoked bones, in at 1 h, out at 3 h, at most 6%
      - 300 g salt, in at 1 h, at least 0.5%
    gives:
      - 3 kg pulled hen, out at 2 h
      - 26 L smoke stock, out at 4 h
    boils off: 0 L an hour
    share cost by: weight
    batches: {tue: 1, thu: 1}
made:
  smoke stock: {keeps: 4 days, density: 1 kg/L}
  pulled hen:  {keeps: 4 days}
dishes:
  smoke broth: {price: 6, takes: [400 mL smoke stock], sells: {lunch: 20}}
  hen plate:   {price: 9, takes: [120 g pulled hen], sells: {lunch: 10}}
`

// Replaced is the week from Monday 23 November of a kitchen file, with pairs of texts replaced.
func Replaced(tb testing.TB, src string, replaced ...string) *week.Week {
	tb.Helper()
	for k := 0; k < len(replaced); k += 2 {
		require.Contains(tb, src, replaced[k])
	}
	return SmallWeek(tb, strings.NewReplacer(replaced...).Replace(src))
}

// InOwnUnit is an amount of an item, told in some unit, in the unit that the item is written in.
func InOwnUnit(t require.TestingT, k *kitchen.Kitchen, item string, amount float64, unit string) float64 {
	u, err := measure.UnitNamed(unit)
	if err != nil { // portions
		return amount
	}
	i, err := k.FindItem(item)
	require.NoError(t, err)
	it := k.Graph.Items[i]
	base, ok := it.Bridge().Convert(amount*u.Factor, u.Kind, it.Unit.Kind)
	require.True(t, ok, "%s in %s", item, unit)
	return base / it.Unit.Factor
}
