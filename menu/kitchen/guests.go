package kitchen

// Guests: how many find a seat at a service, and which dishes take guests from which.

import (
	"fmt"
	"math"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"kettletree/graph/measure"
)

// Seating is how many guests a service can seat.
type Seating struct {
	Seats int     // chairs; 0 when the file does not say
	Turns float64 // how often each is taken
}

// Guests is how many guests find a seat in all; 0 when the file does not say how many seats there are.
func (s Seating) Guests() int { return int(float64(s.Seats)*s.Turns + Slack) }

// String says it as a host does: "34 seats", "34 seats, turned twice".
func (s Seating) String() string {
	text := fmt.Sprintf("%d seats", s.Seats)
	switch s.Turns {
	case 1:
		return text
	case 2:
		return text + ", turned twice"
	}
	return text + ", turned " + measure.FormatNumber(s.Turns) + " times"
}

// SeatsOn is how many guests a service of a day can seat.
func (k *Kitchen) SeatsOn(day time.Time, service int) Seating {
	if of := k.Seats[day.Weekday()]; service < len(of) {
		return of[service]
	}
	return Seating{}
}

// Taking is a share of a dish's portions that are ordered in place of another dish.
type Taking struct {
	Dish  int     // in Kitchen.Dishes
	Share float64 // above 0, at most 1
}

// mostTurns bounds how often a seat is taken at one service.
const mostTurns = 24

// seats reads how many guests each service can seat.
func (r *reader) seats(root *yaml.Node) {
	seats, turns := r.value(root, "seats"), r.value(root, "turns")
	if seats == nil {
		if turns != nil {
			r.fault(r.owner(turns), "turns-without-seats", `write how many there are, as in "seats: 34"`, "seats are turned, but nothing says how many there are")
		}
		return
	}
	chairs := r.byService(seats, "seats guests", func(v *yaml.Node) (int, float64) {
		n, _ := Digits(v.Value)
		return n, 0
	})
	turned := []dayRule{{nil, EveryDay, everyService, 0, 1}}
	if turns != nil {
		turned = append(turned[:0], r.byService(turns, "turns seats", func(v *yaml.Node) (int, float64) {
			n, err := money(v.Value)
			if err == nil && (n < 1 || n > mostTurns) {
				r.fault(r.span(v), "bad-turns", fmt.Sprintf("write how often each seat is taken at a service, such as 2 or 1.5, up to %d", mostTurns),
					"seats can't be turned %s times", v.Value)
			}
			return 0, n
		})...)
	}
	for day := range r.k.Seats {
		r.k.Seats[day] = make([]Seating, len(r.k.Services))
		for s := range r.k.Seats[day] {
			r.k.Seats[day][s] = Seating{r.narrowest(chairs, day, s).number, max(1, r.narrowest(turned, day, s).spread)}
		}
	}
}

// full warns of services of the standing week for which more guests are forecast than find a seat.
func (r *reader) full(root *yaml.Node) {
	for i := range 7 {
		day := (i + 1) % 7
		for _, m := range r.k.Standing(day) {
			seating := Seating{}
			if m.Service < len(r.k.Seats[day]) {
				seating = r.k.Seats[day][m.Service]
			}
			guests := 0
			for _, d := range r.k.Dishes {
				if !d.Beside && !d.Special && m.Service < len(d.Sells[day]) {
					guests += d.Sells[day][m.Service]
				}
			}
			if room := seating.Guests(); room > 0 && guests > room {
				r.warn(r.owner(r.value(root, "seats")), "over-seats", `lower "sells", say how often seats are taken with "turns", or mark what goes beside another dish with "beside: yes"`,
					"%s %s is forecast for %d guests, and %d find a seat (%s)", Weekdays[day], r.k.Services[m.Service].Name, guests, room, seating)
				return
			}
		}
	}
}

// inPlaceOf is what stands behind that key of a dish, to be read when all dishes are known.
type inPlaceOf struct {
	dish int
	list *yaml.Node
}

// takings reads whose guests dishes take: "green enchiladas 30%".
func (r *reader) takings() {
	at := map[string]int{}
	var names []string
	for d := range r.k.Dishes {
		at[r.k.Dishes[d].Name] = d
		names = append(names, r.k.Dishes[d].Name)
	}
	for _, of := range r.takes {
		d, sum := &r.k.Dishes[of.dish], 0.0
		for _, c := range of.list.Content {
			if r.unfit[c] {
				continue
			}
			name, share, ok := strings.Cut(c.Value, " ")
			if last := strings.LastIndex(c.Value, " "); last > 0 {
				name, share = strings.TrimRight(c.Value[:last], " "), c.Value[last+1:]
			}
			if !ok || !strings.HasSuffix(share, "%") {
				r.fault(r.span(c), "bad-in-place-of", fmt.Sprintf("write a dish and a share of the guests of %q, such as NAME 30%%", d.Name), "%q has no share", c.Value)
				continue
			}
			part, err := parsePercent(share)
			if err != nil {
				r.misread(c, "bad-in-place-of", err)
				continue
			}
			other, known := at[name]
			taken := false
			for _, t := range d.InPlace {
				taken = taken || known && t.Dish == other
			}
			switch where := r.part(c, 0, len(name)); {
			case !known && r.cardAside(name):
			case !known:
				r.fault(where, "unknown-dish", r.meant(name, plainly(names...), "write a dish or special of this file"), "unknown dish %q", name)
			case other == of.dish:
				r.fault(where, "in-place-of-itself", "name another dish", "%q takes no guests from itself", name)
			case taken:
				r.fault(where, "in-place-of-twice", "write it once, with one share", "%q takes guests from %q twice", d.Name, name)
			default:
				d.InPlace = append(d.InPlace, Taking{other, part})
				sum += part
			}
		}
		if sum > 1+Slack {
			r.fault(r.owner(of.list), "bad-in-place-of", "let the shares add up to 100% at most: what is missing are guests who come for it alone",
				"%q takes %s of its guests from other dishes", d.Name, FormatPercent(math.Round(sum*1e6)/1e6))
		}
	}
}
