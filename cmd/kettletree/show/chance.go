package show

// Chance: how many portions nine nights of ten can serve, how likely each dish is to run out, and what sways that.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/menu/ask"
)

// whatIfChance lays out what is asked with chance: the odds, and the week in which all comes out as written in a sentence.
func whatIfChance(p Page, a *ask.Consequences, m Money) string {
	return p.text(0, chanceAnswer(a.Chance, m)) + "\n" +
		p.text(0, asWritten(whatIfAnswer(a, m))) + chanceTables(p, a.Chance, m) + notes(p, a.Caution)
}

// asWritten is an answer as that of the week in which all comes out as written.
func asWritten(answer string) string {
	if rest, stands := strings.CutPrefix(answer, "As things stand"); stands {
		return "If all goes as written" + rest
	}
	return "If all goes as written: " + answer
}

// chanceAnswer is the answer in a sentence or two: of the dish and service of which most is likely to be missing, by the money
// that it would bring.
func chanceAnswer(a *ask.Chances, m Money) string {
	if len(a.Varies) == 0 {
		write := `Write how much a batch varies, as in "55 L kettle stock ± 4 L", and how much a forecast does, as in ` +
			`"dinner: 40 ± 6".`
		if a.Typed {
			return "Nothing with a spread in the kitchen file is cooked or ordered in these days, so nothing varies. " +
				write
		}
		return "The kitchen file has no spreads, so nothing varies: these are the figures if all goes as written. " + write
	}
	d, out := mostMissed(a.Services)
	text := fmt.Sprintf("In each of %s every dish lasts through every service",
		plural(a.Draws, "draw", "draws"))
	if d != nil {
		do := "can be served"
		if slices.ContainsFunc(a.Varies, func(v ask.Vary) bool { return v.Unit == guestUnit }) {
			do = "are sold" // that fewer are may be for lack of guests
		}
		text = fmt.Sprintf("In 9 weeks of 10, at least %s of %s %s %s on %s at %s. Chance that it runs out: %s",
			count(d.P10), count(d.Forecast), d.Name, do, weekday(d.Date), d.Service, chance(d.RunsOut))
		if out > 1 {
			text += fmt.Sprintf(". %s also run out", capital(plural(out-1, "other dish at a service may", "other dishes at a service may")))
		}
	}
	return text + fmt.Sprintf(". 9 weeks of 10 earn at least %s of contribution; the mean is %s.", m.Name(a.Contribution.P10),
		m.Name(a.Contribution.Mean))
}

// guestUnit is the unit of [menu.Vary] for guests.
const guestUnit = "portion"

// mostMissed is the dish and service of which most is missing on average, by money, of those that some draws serve in full; of
// all, when there are none of these. out is how many run out in some draw. It is nil when none does.
func mostMissed(list []ask.DishChance) (most *ask.DishChance, out int) {
	missed := func(d *ask.DishChance) float64 {
		each := 1.0 // a dish that earns nothing, or that is never served, is missed for its own sake
		if d.Mean > 0 {
			each = max(d.Contribution.Mean/d.Mean, 0.01)
		}
		return (float64(d.Forecast) - d.Mean) * each
	}
	for i := range list {
		d := &list[i]
		if d.RunsOut == 0 {
			continue
		}
		out++
		open, opener := d.RunsOut < 1, most != nil && most.RunsOut < 1
		if most == nil || open && !opener || open == opener && missed(d) > missed(most) {
			most = d
		}
	}
	return most, out
}

// chance shows a probability in whole percents, and what is neither sure nor out of the question as such.
func chance(share float64) string {
	switch {
	case share > 0 && share < 0.01:
		return "under 1%"
	case share < 1 && share > 0.99:
		return "over 99%"
	}
	return fmt.Sprintf("%.0f%%", 100*share)
}

// chanceTables are the odds of each dish, service by service and over the period, and those of the money.
func chanceTables(p Page, a *ask.Chances, m Money) string {
	text := ""
	for _, s := range []string{chanceServices(p, a), chanceDishes(p, a, m), chanceMoney(p, a, m)} {
		if s != "" {
			text += "\n" + s
		}
	}
	if len(a.Varies) == 0 {
		return text
	}
	return text + "\n" + p.text(0, chanceMeaning(a))
}

// chanceServices lists the dishes that do not sell the same in every draw, or that run out, by service.
func chanceServices(p Page, a *ask.Chances) string {
	t := table{columns: append(words("dish"), numbers("asked", "9 of 10", "5 of 10", "1 of 10", "runs out")...)}
	steady := 0
	for at := 0; at < len(a.Services); {
		end, told := at, 0
		for ; end < len(a.Services) && a.Services[end].Date == a.Services[at].Date &&
			a.Services[end].Service == a.Services[at].Service; end++ {
			d := a.Services[end]
			if d.RunsOut == 0 {
				continue
			}
			if told++; told == 1 {
				t.heading(weekday(d.Date) + ", " + d.Service)
			}
			t.add(d.Name, count(d.Forecast), count(d.P10), count(d.P50), count(d.P90), chance(d.RunsOut))
			t.saying(oddsOf(&d))
			if d.Sway != nil {
				t.remark("depends on " + swayed(*d.Sway))
			}
		}
		steady += end - at - told
		at = end
	}
	if len(t.rows) == 0 {
		return ""
	}
	text := t.on(p)
	if steady > 0 {
		text += p.text(0, capital(plural(steady, "other dish at a service never runs", "other dishes at a service never run"))+
			" out in these draws.")
	}
	return text
}

// oddsOf says how much of a dish there is, as far as more weeks have less of it, and how likely it runs out.
func oddsOf(d *ask.DishChance) string {
	of, left := count(d.Forecast), fmt.Sprintf(". Chance that it runs out: %s.", chance(d.RunsOut))
	type odd struct{ portions, weeks int }
	var odds []odd
	least := 0
	for _, o := range []odd{{d.P10, 9}, {d.P50, 5}, {d.P90, 1}} {
		if o.portions > least {
			odds, least = append(odds, o), o.portions
		}
	}
	if len(odds) == 0 {
		return fmt.Sprintf("None of %s in 9 weeks of 10", of) + left
	}
	weeks := map[int]string{9: "9 weeks", 5: "5 weeks", 1: "1 week"}
	text := fmt.Sprintf("At least %s of %s in %s of 10", count(odds[0].portions), of, weeks[odds[0].weeks])
	switch len(odds) {
	case 2:
		text += fmt.Sprintf(", and %s in %d of 10", count(odds[1].portions), odds[1].weeks)
	case 3:
		text += fmt.Sprintf(", %s in %d of 10 and %s in %d of 10", count(odds[1].portions), odds[1].weeks, count(odds[2].portions), odds[2].weeks)
	}
	return text + left
}

// swayed is what a result goes with.
func swayed(s ask.ChanceSway) string {
	return fmt.Sprintf("%s (%.0f%%)", s.Name, 100*s.Share)
}

// chanceDishes lists every dish over the period.
func chanceDishes(p Page, a *ask.Chances, m Money) string {
	t := table{over: true, columns: append(words("all days"), numbers("asked", "9 of 10", "5 of 10", "1 of 10", "runs out",
		"earns"+m.in())...)}
	for _, d := range a.Dishes {
		t.add(d.Name, count(d.Forecast), count(d.P10), count(d.P50), count(d.P90), chance(d.RunsOut), m.Show(d.Contribution.Mean))
		t.saying(oddsOf(&d) + " Earns " + m.Name(d.Contribution.Mean) + " on average.")
	}
	return t.on(p)
}

// chanceMoney is the contribution with its odds, and what sways it.
func chanceMoney(p Page, a *ask.Chances, m Money) string {
	t := table{columns: append(words("contribution"+m.in()), numbers("as written", "mean", "9 of 10", "5 of 10", "1 of 10")...)}
	c := a.Contribution
	t.add("total", m.Show(a.Certain), m.Show(c.Mean), m.Show(c.P10), m.Show(c.P50), m.Show(c.P90))
	t.saying(fmt.Sprintf("As written %s; at least %s in 9 weeks of 10, %s in 5 of 10 and %s in 1 of 10; %s on average.",
		m.Show(a.Certain), m.Show(c.P10), m.Show(c.P50), m.Show(c.P90), m.Show(c.Mean)))
	text := t.on(p)
	for n, s := range a.Sways {
		if n == mostChanceSways {
			break
		}
		if n == 0 {
			text += p.text(2, "depends most on "+swayed(s))
		} else {
			text += p.text(2, "then "+swayed(s))
		}
	}
	return text
}

// mostChanceSways is how many sways of the contribution are said.
const mostChanceSways = 3

// chanceMeaning says what the figures are.
func chanceMeaning(a *ask.Chances) string {
	batches, steps, guests := 0, 0, 0
	for _, v := range a.Varies {
		switch {
		case v.Batches > 0:
			batches++
		case v.Unit == guestUnit:
			guests++
		default:
			steps++
		}
	}
	var drawn []string
	for _, d := range []struct {
		n         int
		one, many string
	}{
		{batches, "yield of a batch", "yields of batches"},
		{steps, "yield of a step without set days (one draw for all its batches)",
			"yields of steps without set days (one draw for all batches of each)"},
		{guests, "forecast", "forecasts"},
	} {
		if d.n > 0 {
			drawn = append(drawn, plural(d.n, d.one, d.many))
		}
	}
	text := fmt.Sprintf("%s from seed %d: %s, each drawn on its own. The spread after ± is one standard deviation of a normal "+
		"distribution: two of three lie within it. It is cut off at nothing and at the weight of what goes in. \"9 of 10\" is what "+
		"nine draws of ten reach or pass.", capital(plural(a.Draws, "draw", "draws")), a.Seed, list(drawn))
	if guests == 0 {
		text += " Guests come as forecast, as no forecast has a spread."
	}
	if off := 200 * math.Sqrt(0.25/float64(a.Draws)); off >= 1 {
		text += fmt.Sprintf(" With so few draws a chance can be %.0f percentage points off.", off)
	}
	for _, note := range a.Notes {
		text += " " + capital(note) + "."
	}
	return text + " A percentage after a name is the share of the variation that comes from it."
}

// ChanceSheet has a row for each dish at each service, then one for each dish over the period.
func ChanceSheet(a *ask.Chances) (s Sheet) {
	s.add("name", "date", "service", "forecast", "mean", "p10", "p50", "p90", "runs_out", "contribution", "contribution_p10",
		"contribution_p50", "contribution_p90", "sway", "sway_share")
	for _, list := range [][]ask.DishChance{a.Services, a.Dishes} {
		for _, d := range list {
			name, share := (*string)(nil), (*float64)(nil)
			if d.Sway != nil {
				name, share = &d.Sway.Name, &d.Sway.Share
			}
			c := d.Contribution
			s.add(d.Name, d.Date, d.Service, d.Forecast, d.Mean, d.P10, d.P50, d.P90, d.RunsOut, c.Mean, c.P10, c.P50, c.P90, name, share)
		}
	}
	return s
}
