package plan

// The law that a plan stands on, tried on random small kitchens: the walk sells what the plan sells, for the same money.

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu"
)

// anyKitchen draws a kitchen file: bought items with and without packs, steps of every kind with shared items, substitutes
// and lines that may be left out, a perpetual stock, a vessel, specials.
func anyKitchen(t *rapid.T) (text, onHand string) {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	pick := func(what string, from ...string) string { return rapid.SampledFrom(from).Draw(t, what) }
	number := func(what string, least, most int) int { return rapid.IntRange(least, most).Draw(t, what) }
	line("kitchen: Any%s\nopen: mon-thu\nservices: {lunch: 11:30-14:30, dinner: 17:30-22:00}", pick("disposal", "", "\ndisposal: 0.30/kg"))
	line("vessels:\n  pot: {holds: %d L}", number("pot", 40, 90))
	line("bought:\n  starter: {price: 9/kg, arrives: %s}", pick("starter", "mon tue", "daily", "wed"))
	var items []string
	for n := range number("bought", 2, 4) {
		name := fmt.Sprintf("b%d", n)
		items = append(items, name)
		line("  %s: {price: %d/kg%s%s%s%s}", name, number("price", 0, 5), pick("par", "", "", "", ", par: 3 kg"), pick("pack", "", "", ", pack: 5 kg", ", pack: 2 kg"),
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
			if n > 0 && number("optional", 0, 3) == 0 {
				text += ", optional"
			}
			list = append(list, `"`+text+`"`)
		}
		return list, total
	}
	line("steps:")
	keeps, ordered, seeds := []string{}, []string{}, map[string]bool{}
	for n := range number("steps", 1, 5) {
		name := fmt.Sprintf("s%d", n)
		mode := pick("mode", "days", "days", "all of it", "to order")
		uses, total := taken(2)
		if mode == "all of it" {
			uses[0], _, _ = strings.Cut(uses[0], " or ")
			uses[0] = strings.TrimRight(uses[0], `"`) + `"`
			if len(uses) > 1 && slices.ContainsFunc(ordered, func(i string) bool { return strings.Contains(uses[1], i) }) {
				uses, total = uses[:1], 0 // see the package
				_, err := fmt.Sscanf(uses[0], "\"%d", &total)
				require.NoError(t, err)
			}
			if first := strings.Fields(strings.Trim(uses[0], `"`))[2]; first[0] == 'b' || seeds[first] { // see newModel
				mode = "days"
			}
		}
		var gives []string
		outputs := number("outputs", 1, 2)
		if mode == "to order" {
			outputs = 1 // see the package
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
			if mode == "to order" {
				par = ""
				ordered = append(ordered, made)
			}
			keeps = append(keeps, fmt.Sprintf("  %s: {keeps: %d days%s}", made, number("keeps", 1, 4),
				pick("worth", "", ", worth: 1/kg", ", worth: 4/kg", par)))
		}
		if mode == "days" && number("perpetual", 0, 3) == 0 {
			seeds[fmt.Sprintf("m%d0", n)] = true
			uses = append(uses, fmt.Sprintf(`"0.02 kg m%d0%s, from yesterday"`, n, pick("anew", "", " or 0.02 kg starter")))
		}
		line("  %s:\n    uses: [%s]\n    gives: [%s]\n    costs: %d", name, strings.Join(uses, ", "), strings.Join(gives, ", "), number("costs", 0, 4))
		switch {
		case mode != "days":
			line("    runs: %s", mode)
		default:
			if number("timed", 0, 1) == 0 {
				line("    starts: %q\n    vessel: pot", pick("starts", "06:00", "09:30", "15:00", "22:30"))
			}
			line("    runs: {%s: %d}", pick("runs", "mon", "tue thu", "daily"), number("batches", 1, 2))
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
			line("  %s%d: {price: %d, uses: [%s], %s}", kind, d, number("menu price", 1, 12), strings.Join(uses, ", "),
				fmt.Sprintf(more, number("asked", 1, 20)))
		}
	}
	dishes("dishes", "sells: %d"+pick("never", "", "", "", ", never out: yes"), 1, 3)
	dishes("specials", "at most: %d"+pick("least", "", ", at least: 1"), 0, 2)
	onHand = "item,quantity,made\n"
	for _, i := range items {
		if number("lot", 0, 2) == 0 {
			onHand += fmt.Sprintf("%s,%d kg,2026-11-%d\n", i, number("on hand", 1, 9), number("made", 21, 23))
		}
	}
	return b.String(), onHand
}

// anyWeek draws a kitchen over some days.
func anyWeek(t *rapid.T) (w *menu.Week, text string) {
	text, onHand := anyKitchen(t)
	k, faults := menu.Read("kitchen.yaml", []byte(text))
	require.NotNil(t, k, "%v\n%s", faults, text)
	p := menu.Period{From: time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), Days: rapid.IntRange(1, 5).Draw(t, "days")}
	p.OnHand, faults = menu.ReadOnHand("on-hand.csv", []byte(onHand), k, p.From)
	require.NoError(t, faults.Err())
	w, err := k.Over(p)
	require.NoError(t, err)
	return w, text + onHand
}

// TestPlanAgreesWithTheWalk plans any kitchen: Make itself tells where the walk parts from the plan. A plan may be out of
// reach, and then the wishes are named.
func TestPlanAgreesWithTheWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := anyWeek(t)
		plan, err := Make(t.Context(), w, Options{})
		if clash, ok := errors.AsType[*Clash](err); ok {
			require.NotEmpty(t, clash.Wishes, text)
			return
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		require.Empty(t, plan.Parted, text)
		require.GreaterOrEqual(t, plan.Bound, plan.Contribution)
	})
}

// TestBestAgreesWithTheWalk holds batches and orders after a mishap, and chooses only who gets what is scarce.
func TestBestAgreesWithTheWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := anyWeek(t)
		number := func(what string, most int) int { return rapid.IntRange(0, most).Draw(t, what) }
		share := func(what string) float64 { return float64(number(what, 4)) / 4 }
		c := w.Case.Ordering(w.Case.Flow.Walk(w.Case.Schedule, flow.Fair, nil))
		shocks := []flow.Shock{}
		for range number("shocks", 3) {
			step, day := number("step", len(w.Steps)-1), number("day", w.Days-1)
			item := number("item", len(w.Bought)-1)
			switch number("kind", 5) {
			case 0:
				shocks = append(shocks, flow.Lose{Step: step, Day: day, Share: share("lost")})
			case 1:
				shocks = append(shocks, flow.Scarce{Item: item, Day: day, Share: share("short")})
			case 2:
				shocks = append(shocks, flow.Spoil{Item: item, Day: day})
			case 3:
				shocks = append(shocks, flow.Yield{Step: step, Output: 0, Day: day, Factor: share("yield")})
			case 4:
				shocks = append(shocks, flow.Delay{Step: step, Day: day, Minutes: 90 * number("late", 9)})
			case 5:
				shocks = append(shocks, flow.Reprice{Item: item, Price: 0.001 * float64(number("price", 9))})
			}
		}
		after := *w
		after.Case = c.With(shocks...)
		plan, err := Make(t.Context(), &after, Options{Held: true})
		if err != nil {
			t.Fatalf("%v\n%+v\n%s", err, shocks, text)
		}
		require.Empty(t, plan.Parted, "%+v\n%s", shocks, text)
		fair := after.Case.Flow.Walk(after.Case.Schedule, flow.Fair, nil)
		require.GreaterOrEqual(t, plan.Bound, plan.m.reckon(fair).Contribution-1e-6, "the fair walk is one of the ways to serve\n%+v\n%s", shocks, text)
	})
}
