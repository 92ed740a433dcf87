package show

// Weak points: losses by what they cost, and the pairs that are far worse than their sum.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/menu/ask"
)

// Weak lays out the most losses and pairs that are asked for.
func Weak(p Page, a *ask.WeakPoints, most int) string {
	m := MoneyOf(a.Money)
	if len(a.Losses) == 0 && len(a.Notes) == 0 {
		return p.text(0, "Nothing is cooked or delivered in these days, so nothing can be lost.")
	}
	var b strings.Builder
	var batches, bought []ask.Loss
	for _, l := range a.Losses {
		if strings.HasPrefix(l.Shock, "lose ") {
			batches = append(batches, l)
		} else {
			bought = append(bought, l)
		}
	}
	var worst []string
	t := table{columns: append(words("without"), numbers("contribution"+m.in(), "portions")...)}
	group := func(losses []ask.Loss, one, many string) {
		if len(losses) == 0 {
			return
		}
		worst = append(worst, fmt.Sprintf("worst %s to lose: %s, %s of contribution and %s", one, losses[0].Name,
			m.NameUnits(m.Less(a.Before, losses[0].ContributionLost)), plural(losses[0].PortionsLost, "portion", "portions")))
		t.heading(many)
		for _, l := range losses[:min(most, len(losses))] {
			t.add(l.Name, m.ShowUnits(-m.Less(a.Before, l.ContributionLost)), count(-l.PortionsLost))
			if len(l.Dishes) > 0 {
				t.remark(few(l.Dishes))
			}
			if l.Elsewhere != "" {
				t.remark("can be had: " + l.Elsewhere)
			}
		}
		if more := len(losses) - most; more > 0 {
			or := ""
			if slices.ContainsFunc(losses[most:], func(l ask.Loss) bool { return l.Elsewhere != "" }) {
				or = ", or can be had elsewhere"
			}
			t.remark(fmt.Sprintf("%s less%s (--most %d shows all)", plural(more, "more hurts", "more hurt"), or, len(losses)))
		}
	}
	group(batches, "batch", "batches")
	group(bought, "bought item", "bought items, with none delivered in these days")
	for _, note := range a.Notes {
		b.WriteString(p.text(0, capital(note)+"."))
	}
	if len(a.Losses) == 0 {
		return b.String()
	}
	b.WriteString(p.text(0, capital(strings.Join(worst, "; "))+".") + "\n" + t.on(p))
	b.WriteString("\n")
	if len(a.Pairs) == 0 {
		if len(a.Notes) > 0 {
			return b.String() // not all were tried
		}
		b.WriteString(p.text(0, "No two together are far worse than the sum of the two."))
		return b.String()
	}
	pairs := table{columns: append(words("lost"), numbers("sum of the two"+m.in(), "together")...)}
	for _, l := range a.Pairs[:min(most, len(a.Pairs))] {
		pairs.add(l.A+" + "+l.B, m.Show(-l.Sum), m.ShowUnits(-m.Less(a.Before, l.ContributionLost)))
	}
	b.WriteString(pairs.under(p, "Far worse together"))
	if more := len(a.Pairs) - most; more > 0 {
		b.WriteString(p.text(0, plural(more, "pair more", "pairs more")+"."))
	}
	return b.String()
}

// few names the first of many.
func few(names []string) string {
	const most = 4
	if len(names) <= most+1 {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// WeakSheet has a row for each loss.
func WeakSheet(a *ask.WeakPoints) (s Sheet) {
	s.add("name", "shock", "contribution_lost", "portions_lost", "dishes", "elsewhere")
	for _, l := range a.Losses {
		s.add(l.Name, l.Shock, l.ContributionLost, l.PortionsLost, strings.Join(l.Dishes, "; "), l.Elsewhere)
	}
	return s
}
