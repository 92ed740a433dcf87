package kitchen

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// IsDay tells whether a text names a day: a weekday, or a date as 2006-01-02.
func IsDay(text string) bool {
	date, err := time.Parse(time.DateOnly, text)
	return err == nil && InReach(date) || WeekdayNamed(text) >= 0
}

// InReach tells whether a date is one that a kitchen may ask about: in this century. A slip of the pen far out would be walked to day by day.
func InReach(date time.Time) bool { return date.Year() >= 2000 && date.Year() < 2100 }

// DayIs tells whether a day is the weekday that a text names.
func DayIs(day time.Time, text string) bool { return WeekdayNamed(text) == int(day.Weekday()) }

// WeekdayNamed is the [time.Weekday] that a word such as tue, Tues or tuesday begins the name of, or -1.
func WeekdayNamed(word string) int {
	word = strings.ToLower(word)
	for d := time.Sunday; d <= time.Saturday; d++ {
		if len(word) >= 3 && strings.HasPrefix(strings.ToLower(d.String()), word) {
			return int(d)
		}
	}
	return -1
}

// FindNamed looks a name up among the items or steps that it may be: as it is written, or else in other capitals.
func FindNamed(name, what string, count int, nameAt func(int) (name string, ok bool)) (int, error) {
	var names []string
	alike := -1
	name = norm.NFC.String(name)
	for i := range count {
		n, ok := nameAt(i)
		if ok && n == name {
			return i, nil
		}
		if ok && strings.EqualFold(n, name) {
			alike = i
		}
		if ok {
			names = append(names, n)
		}
	}
	if alike >= 0 {
		return alike, nil
	}
	if len(names) == 0 {
		return 0, fmt.Errorf("the kitchen has no %s", what)
	}
	hint := new(source).meant(name, plainly(names...), "")
	if hint != "" {
		return 0, fmt.Errorf("no %s is named %q: %s", what, name, hint)
	}
	return 0, fmt.Errorf("no %s is named %q", what, name)
}

// FindItemOf is the item of some roles with a name.
func (k *Kitchen) FindItemOf(name, what string, roles ...graph.Role) (int, error) {
	return k.found(name)(FindNamed(k.Now(NamedItem, name), what, len(k.Graph.Items), func(i int) (string, bool) {
		it := k.Graph.Items[i]
		return it.Name, slices.Contains(roles, it.Role)
	}))
}

// found gives what was found under a name, or why there is nothing where the file has only a card that is not finished.
func (k *Kitchen) found(name string) func(int, error) (int, error) {
	return func(at int, err error) (int, error) {
		if err != nil {
			if says, hint := k.leftOut(name); says != "" {
				return at, fmt.Errorf("%s: %s", says, hint)
			}
		}
		return at, err
	}
}

// FindItem is the dish, special or other item with a name; the error has the nearest name.
func (k *Kitchen) FindItem(name string) (int, error) {
	return k.FindItemOf(name, "item or dish", graph.Bought, graph.Made, graph.Sold)
}

// FindStep is the step with a name; the error has the nearest name.
func (k *Kitchen) FindStep(name string) (int, error) {
	return k.found(name)(FindNamed(k.Now(NamedStep, name), "step", len(k.Steps), func(i int) (string, bool) { return k.Graph.Steps[i].Name, true }))
}

// FindDish is the dish or special with a name; the error has the nearest name.
func (k *Kitchen) FindDish(name string) (int, error) {
	return k.found(name)(FindNamed(k.Now(NamedItem, name), "dish", len(k.Dishes), func(i int) (string, bool) { return k.Dishes[i].Name, true }))
}

// Spelt is a name of an item, dish or step as the kitchen file writes it; a name of none of them as it is.
func (k *Kitchen) Spelt(name string) string {
	name = strings.TrimSpace(name)
	if i, err := k.FindItem(name); err == nil {
		return k.Graph.Items[i].Name
	}
	if s, err := k.FindStep(name); err == nil {
		return k.Graph.Steps[s].Name
	}
	return name
}

// SignedShare reads "+12%" or "-10%" as a factor, 1.12 or 0.9.
func SignedShare(s string) (factor float64, err error) {
	if s == "" || s[0] != '+' && s[0] != '-' {
		return 0, fmt.Errorf("%q has no sign: write the change as +12%% or -10%%", s)
	}
	v, rest, err := measure.Number(s[1:])
	if err != nil {
		return 0, err
	}
	if rest != "%" {
		return 0, fmt.Errorf("%q is not a share: write it as +12%% or -10%%", s)
	}
	if s[0] == '-' {
		v = -v
	}
	if v < -100 {
		return 0, fmt.Errorf("%q takes away more than there is: -100%% is all", s)
	}
	if math.IsInf(v, 0) || v > 1e6 {
		return 0, fmt.Errorf("%q is too large", s)
	}
	return 1 + v/100, nil
}

// Amount reads a quantity of an item into its base units.
func (k *Kitchen) Amount(item int, text string) (float64, error) {
	q, err := measure.Parse(text)
	if err != nil {
		return 0, err
	}
	it := k.Graph.Items[item]
	if msg, hint := otherCount(it, it.Unit, q); msg != "" {
		return 0, fmt.Errorf("%s: %s", msg, hint)
	}
	base, ok := it.Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind)
	if !ok {
		return 0, fmt.Errorf("%s of %q can't be turned into %s: give it in %s", text, it.Name, it.Unit.Name, it.Unit.Name)
	}
	return base, nil
}

// Price is what a base unit of a bought item costs after a change such as "+12%" or "10.20/each".
func (k *Kitchen) Price(item int, change string) (float64, error) {
	if change == "" {
		return 0, errors.New("at what price? write =+12% or =10.20/each")
	}
	it := k.Graph.Items[item]
	if strings.HasSuffix(change, "%") {
		factor, err := SignedShare(change)
		return k.Terms.Price[item] * factor, err
	}
	p, err := parsePrice(change)
	if err != nil {
		return 0, err
	}
	base, ok := it.Bridge().Convert(p.per.Base(), p.per.Unit.Kind, it.Unit.Kind)
	if !ok || it.Unit.Kind == measure.Count && !it.Unit.Counts(p.per.Unit) && p.per.Unit.Kind == measure.Count {
		return 0, fmt.Errorf("a price for %s can't be turned into one for %s: give it for %s", p.per, it.Unit.Name, it.Unit.Name)
	}
	return p.money / base, nil
}
