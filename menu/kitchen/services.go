package kitchen

// Reading the services of the standing week: their hours, and which weekdays have others or none.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph/measure"
)

// onlyHours are those of the one service of a kitchen that names none.
var onlyHours = Hours{12 * 60, 22 * 60}

// onlyService stands for the meal periods of a kitchen that names none.
var onlyService = Service{Name: "service",
	Hours: [7]Hours{onlyHours, onlyHours, onlyHours, onlyHours, onlyHours, onlyHours, onlyHours}}

const (
	mostServices = 24 // bounds the services of one day
	closedWord   = "closed"
	worksWord    = "works" // stands among the services of a day that differs
)

// services reads {lunch: 11:30-14:30, sun lunch: 12:00-16:00, sun dinner: closed}.
func (r *reader) services(n *yaml.Node) {
	k := r.k
	hours := []Hours{{}}            // by the number of a rule: 0 is closed
	rules := map[string][]dayRule{} // by name
	sound := true
	for key, v := range r.pairs(n) {
		days, name := leadingDays(key.Value)
		switch {
		case days.count() == 0:
			days, name = EveryDay, key.Value
		case name == "":
			sound = false
			r.fault(r.span(key), "bad-name", fmt.Sprintf(`write which service, as in "%s lunch"; days without any stand at "open"`, key.Value),
				"%q names days, but no service", key.Value)
			continue
		}
		if name == worksWord {
			sound = false
			r.fault(r.span(key), "bad-name", "give the service another name",
				"a service can't be called %q, which says under \"days\" whether anybody works", name)
			continue
		}
		if rules[name] == nil {
			k.Services = append(k.Services, Service{Name: name})
			rules[name] = []dayRule{}
		}
		rule := dayRule{key, days, everyService, 0, 0}
		if v.Value != closedWord {
			h, ok := r.hours(name, v, "write from and to as 11:30-14:30, or closed; after midnight goes on to 30:00")
			if !ok {
				sound = false
				continue
			}
			rule.number = len(hours)
			hours = append(hours, h)
			if days != EveryDay && !days.meets(k.Open) {
				r.warn(r.span(key), "closed-day", "change \"open\", or remove the entry",
					"%q is on %s, when the kitchen is closed", name, days)
			}
		}
		rules[name] = append(rules[name], rule)
	}
	if len(k.Services) > mostServices {
		r.fault(r.owner(n), "bad-service", "write the meal periods, not single tables",
			"%d services in a day are more than %d", len(k.Services), mostServices)
	}
	keys := make(map[string][7]*yaml.Node, len(rules)) // that say the hours, by name and weekday
	for i := range k.Services {
		s := &k.Services[i]
		var from [7]*yaml.Node
		for i := range 7 { // from Monday on, as people read
			d := (i + 1) % 7
			rule := r.narrowest(rules[s.Name], d, everyService)
			s.Hours[d], from[d] = hours[rule.number], rule.key
		}
		keys[s.Name] = from
	}
	slices.SortStableFunc(k.Services, func(a, b Service) int { return cmp.Compare(a.first(), b.first()) })
	if len(k.Services) == 0 {
		k.Services = []Service{onlyService}
	}
	k.lay()
	if sound {
		r.overlaps(keys)
	}
}

// first is when a service starts on the first day of the week that has it.
func (s Service) first() int {
	for i := range 7 {
		if h := s.Hours[(i+1)%7]; !h.None() {
			return h.From
		}
	}
	return measure.LatestClock
}

// hours reads the from and to of a service.
func (r *reader) hours(name string, v *yaml.Node, hint string) (h Hours, ok bool) {
	from, to, _ := strings.Cut(v.Value, "-")
	var err error
	if h.From, err = measure.ParseClock(strings.Trim(from, " ")); err == nil {
		if h.To, err = measure.ParseClock(strings.Trim(to, " ")); err == nil {
			return h, r.sane(name, h, v)
		}
	}
	r.fault(r.span(v), "bad-service", hint, "%q is not a time from and to", v.Value)
	return h, false
}

// sane tells whether a service ends after it starts and within a day.
func (r *reader) sane(name string, h Hours, v *yaml.Node) bool {
	switch {
	case h.To <= h.From:
		hint := "write the earlier time first"
		if late := h.To + 24*60; late <= measure.LatestClock {
			hint = fmt.Sprintf("past midnight the hours go on: write %s", Hours{h.From, late})
		}
		r.fault(r.span(v), "bad-service", hint, "service %q ends at %s, before it starts at %s", name,
			measure.FormatClock(h.To), measure.FormatClock(h.From))
		return false
	case h.To-h.From > 24*60:
		r.fault(r.span(v), "bad-service", "a service lasts at most 24 h", "service %q lasts %s", name,
			measure.FormatDuration(h.To-h.From))
		return false
	}
	return true
}

// overlaps refuses services of the standing week that go on at the same time, each pair once.
func (r *reader) overlaps(keys map[string][7]*yaml.Node) {
	k, told := r.k, map[[2]*yaml.Node]bool{}
	clash := func(a Meal, day int, b Meal, next int, when string) {
		end, start := a.To, b.From
		if next != day {
			end -= 24 * 60
		}
		of, on := keys[k.Services[a.Service].Name][day], keys[k.Services[b.Service].Name][next]
		if end <= start || of == nil || on == nil || told[[2]*yaml.Node{of, on}] {
			return
		}
		told[[2]*yaml.Node{of, on}] = true
		r.fault(r.span(on), "bad-service", "end one before the other starts", "service %q ends at %s, after %q%s starts at %s",
			of.Value, measure.FormatClock(a.To), on.Value, when, measure.FormatClock(b.From)).
			note(r.span(of).Pos, "%q is here", of.Value)
	}
	for i := range 7 {
		day, next := (i+1)%7, (i+2)%7
		meals := k.calendar.standing[day]
		for n := 1; n < len(meals); n++ {
			clash(meals[n-1], day, meals[n], day, "")
		}
		if after := k.calendar.standing[next]; len(meals) > 0 && len(after) > 0 {
			clash(meals[len(meals)-1], day, after[0], next, " of the next day")
		}
	}
}
