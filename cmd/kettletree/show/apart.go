package show

// Specials apart: what could be offered beside a plan, or tonight.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"kettletree/graph/measure"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// ApartAnswer is what could be earned with specials, in a sentence: "Up to 96 USD more if these specials sell as expected."; "" for none.
func ApartAnswer(a *plan.Apart, m Money) string {
	if a == nil {
		return ""
	}
	these := "these specials sell"
	if len(a.Offers) == 1 {
		these = "this special sells"
	}
	text := fmt.Sprintf("Up to %s more if %s as expected", m.Name(a.More), these)
	if lost := -m.Units(a.After); lost > 0 {
		text += fmt.Sprintf("; the days after lose %s of it", m.NameUnits(lost))
	}
	return text + "."
}

// apart lists the specials, with what each is expected to sell and whose guests it takes.
func apart(p Page, a *plan.Apart, m Money) string {
	if a == nil {
		return ""
	}
	t := table{columns: append(append(words("special"), numbers("expected", "brings"+m.in())...), words("takes guests from")...)}
	head := ""
	for _, o := range a.Offers {
		if at := weekday(o.Date) + ", " + o.Service; at != head {
			head = at
			t.heading(at)
		}
		t.add(o.Dish, count(o.Portions), m.Show(o.Brings), TakesFrom(o))
	}
	text := p.text(0, ApartAnswer(a, m)) + t.on(p)
	if buys := BuysFor(a, m); buys != "" {
		text += p.text(0, buys)
	}
	for _, basis := range Bases(a) {
		text += p.text(0, basis)
	}
	return text
}

// mostBuys is how many things are named that are bought for specials: the dearest.
const mostBuys = 4

// BuysFor is what is bought for the specials beyond what the plan buys, over all its days: "Buy for them too: 20 limes and 3 things more,
// for 12.30 USD in all."; "" for nothing.
func BuysFor(a *plan.Apart, m Money) string {
	var all []plan.Buy
	cost := 0.0
	for _, b := range a.Buy {
		cost += b.Cost
		if at := slices.IndexFunc(all, func(o plan.Buy) bool { return o.Item == b.Item }); at >= 0 {
			all[at].Quantity, all[at].Packs, all[at].Cost = all[at].Quantity+b.Quantity, all[at].Packs+b.Packs, all[at].Cost+b.Cost
		} else {
			all = append(all, b)
		}
	}
	if all == nil {
		return ""
	}
	slices.SortStableFunc(all, func(x, y plan.Buy) int { return cmp.Compare(y.Cost, x.Cost) })
	var lines []string
	for _, b := range all[:min(len(all), mostBuys)] {
		line := things(b.Quantity, b.Unit, b.Item, "")
		if b.Packs > 0 {
			line = plural(b.Packs, "pack", "packs") + " of " + b.Item
		}
		lines = append(lines, line)
	}
	if more := len(all) - mostBuys; more > 0 {
		lines = append(lines, plural(more, "thing", "things")+" more")
	}
	return "Buy for them too: " + list(lines) + ", for " + m.Name(cost) + " in all."
}

// TakesFrom says whose guests a special takes: "2 green enchiladas"; "" for nobody's.
func TakesFrom(o plan.Offered) string {
	var takes []string
	for _, g := range o.Takes {
		takes = append(takes, fmt.Sprintf("%d %s", g.Portions, g.Dish))
	}
	if takes == nil {
		return ""
	}
	return list(takes)
}

// Bases say what expectations go by.
func Bases(a *plan.Apart) (list []string) {
	told := map[string]bool{}
	for _, o := range a.Offers {
		text := ""
		switch o.By {
		case week.BySeen:
			text = fmt.Sprintf("%s: %s of what was offered has sold, by the log book.", capital(o.Dish), wholePercent(o.Share))
		case week.Assumed:
			text = fmt.Sprintf("Where nobody has logged how a special sells, %s of its \"at most\" is assumed; log what is offered and sold, or write \"sells\" in the file.", wholePercent(o.Share))
		}
		if text != "" && !told[text] {
			told[text] = true
			list = append(list, text)
		}
	}
	return list
}

// wholePercent is a share in whole hundredths.
func wholePercent(share float64) string { return measure.FormatNumber(math.Round(100*share)) + "%" }
