package logbook

// Entries about portions as a cook writes them: sold, gave, dropped.

import (
	"math"
	"regexp"
	"slices"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

var (
	portionEnds = regexp.MustCompile(` *,| +(?:at|on|lot|to) `)
	portionWord = regexp.MustCompile(`^(at|on|lot|to) +`)
)

// sold reads PORTIONS DISH [at [DAY] SERVICE] [on DAY] [lot MARK].
func (r *reader) sold() error { return r.served("at", "on", "lot") }

// gave reads PORTIONS DISH [to WHOM] [at SERVICE] [on DAY] [lot MARK].
func (r *reader) gave() error { return r.served("to", "at", "on", "lot") }

// dropped reads PORTIONS DISH [at SERVICE] [on DAY] [lot MARK] [, REASON].
func (r *reader) dropped() error {
	err := r.served("at", "on", "lot")
	if err == nil {
		r.e.Reason = r.note()
	}
	return err
}

// served reads PORTIONS DISH and what stands behind some words, in any order.
func (r *reader) served(words ...string) error {
	if err := r.portions(); err != nil {
		return err
	}
	if err := r.dish(portionEnds); err != nil {
		return err
	}
	seen := map[string]bool{}
	for r.rest() != "" {
		m := portionWord.FindStringSubmatch(r.rest())
		if m == nil || !slices.Contains(words, m[1]) {
			return nil // Parse tells that too much stands here
		}
		if seen[m[1]] {
			return r.fault(r.at, len(m[1]), "write it once", "%q appears twice", m[1])
		}
		seen[m[1]] = true
		switch m[1] {
		case "at":
			r.past(len(m[0]))
			err := r.service(portionEnds)
			if day := dayWord.FindString(r.rest()); err != nil && kitchen.IsDay(day) && slices.Contains(words, "on") && !seen["on"] { // "at wed lunch"
				seen["on"] = true
				if err = r.onDay(); err == nil {
					err = r.service(portionEnds)
				}
			}
			if err != nil {
				return err
			}
		case "on":
			r.past(len(m[0]))
			if err := r.onDay(); err != nil {
				return err
			}
		case "lot":
			var err error
			if r.e.Mark, err = r.lot(portionEnds); err != nil {
				return err
			}
		case "to":
			r.past(len(m[0]))
			r.e.To = r.words(portionEnds)
		}
	}
	return nil
}

// service reads the name of one, up to one of ends; where several fit, the longest.
func (r *reader) service(ends *regexp.Regexp) error {
	names := []string{r.rest()}
	for _, end := range ends.FindAllStringIndex(r.rest(), -1) {
		names = slices.Insert(names, 1, r.rest()[:end[0]])
	}
	var fault error
	for _, name := range names {
		service, err := r.k.ServiceNamed(name)
		if err == nil {
			r.e.Service = r.k.Services[service].Name
			r.past(len(name))
			return nil
		}
		fault = err // of the shortest
	}
	return r.moved("", fault)
}

// portions reads a whole number of them.
func (r *reader) portions() error {
	from := r.at
	n, rest, err := measure.Number(r.rest())
	if err := r.moved(rest, err); err != nil {
		if e := err.(*measure.Error); e.NoNumber {
			e.Hint = "write the portions first: " + Form(r.k, r.e.Kind)
		}
		return err
	}
	written := trimmed(r.text[from:r.at])
	if n < 1 || n != math.Trunc(n) || n > mostPortions {
		return r.fault(from, len(written), "write it as "+Form(r.k, r.e.Kind), "%q is not a number of portions", written)
	}
	r.e.Portions = int(n)
	return nil
}

func (r *reader) dish(ends *regexp.Regexp) error {
	dish, rest, err := r.k.DishNamed(r.rest(), ends)
	if err := r.moved(rest, err); err != nil {
		return err
	}
	r.e.Dish = r.k.Dishes[dish].Name
	return nil
}

// mostPortions bounds what is sold at once.
const mostPortions = 1_000_000
