package show

// Menu analysis: how well each dish sells against what it brings.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kettletree/menu/ask"
)

// classes are the classes of a dish in the order in which they are shown, with what they mean.
var classes = []struct{ name, means string }{
	{"star", "stars: popular and profitable"},
	{"plowhorse", "plowhorses: popular, but a portion brings less than the mean"},
	{"puzzle", "puzzles: a portion brings much, but few are ordered"},
	{"dog", "dogs: neither"},
}

// Popularity lays out the dishes by class, what they bring in all first.
func Popularity(p Page, a *ask.Ranking) string {
	m := MoneyOf(a.Money)
	t := table{columns: append(words("dish"), numbers("portions", "share", "contribution each", "in all")...)}
	for _, class := range classes {
		in := slices.DeleteFunc(slices.Clone(a.Dishes), func(d ask.DishStanding) bool { return d.Class != class.name })
		if len(in) == 0 {
			continue
		}
		slices.SortStableFunc(in, func(x, y ask.DishStanding) int { return cmp.Compare(y.Total, x.Total) })
		t.heading(class.means)
		for _, d := range in {
			t.add(d.Name, count(d.Sold), percent(d.Share), m.Show(d.Contribution), m.Show(d.Total))
		}
	}
	var b strings.Builder
	sold := ", as forecast,"
	if a.Counted {
		sold = " sold"
	}
	b.WriteString(p.text(0, fmt.Sprintf("%s%s bring in %s of contribution. A dish is popular from %s of the portions, and profitable from %s a "+
		"portion, the mean of all.", plural(a.Sold, "portion", "portions"), sold, m.Name(a.Contribution),
		percent(a.PopularFrom), m.Name(a.ProfitFrom))))
	b.WriteString("\n" + t.on(p))
	return b.String()
}

// PopularitySheet has a row for each dish.
func PopularitySheet(a *ask.Ranking) (s Sheet) {
	s.add("name", "sold", "share", "price", "plate_cost", "contribution", "total", "popular", "profitable", "class")
	for _, d := range a.Dishes {
		s.add(d.Name, d.Sold, d.Share, d.Price, d.PlateCost, d.Contribution, d.Total, d.Popular, d.Profitable, d.Class)
	}
	return s
}
