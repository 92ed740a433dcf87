package logbook

// How specials sold: what was on the board, and what of that went out.

import (
	"context"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// OnBoard is a special that was to be on the board at a service, as a plan has it.
type OnBoard struct {
	Day           time.Time // midnight UTC
	Service, Dish string
	Portions      int
}

// specialsOf is how far back is looked for how specials sell: eight weeks, a choice of this program.
const specialsOf = 8 * 7

// Specials is what is known of each dish from how it went as a special, for a week of so many days from a day on: what was written down as
// offered, or was on the board by a plan where nothing was, at services that are over and of which something was written down as sold; of
// what was sold beyond that, nothing counts. A special that was sold, though nobody said that it is offered, was on the board on that day.
func (j *Book) Specials(ctx context.Context, k *kitchen.Kitchen, planned []OnBoard, from time.Time, days int, asOf time.Time) ([]week.Seen, error) {
	since := asOf.AddDate(0, 0, -specialsOf)
	entries, err := j.standing(ctx, byMoment, between(since, asOf, Offered))
	if err != nil {
		return nil, err
	}
	if len(entries) == 0 && len(planned) == 0 { // all that sales tell is what was on the board the day before
		since = from.AddDate(0, 0, -1)
	}
	sales, err := j.standing(ctx, byMoment, between(since, asOf, Sold))
	if err != nil {
		return nil, err
	}
	entries = append(entries, sales...)
	type at struct {
		day     time.Time
		service int
	}
	type onBoard struct {
		at
		dish int
	}
	dishes, services := map[string]int{}, map[string]int{}
	for d, dish := range k.Dishes {
		if dish.Special {
			dishes[dish.Name] = d
		}
	}
	for n, s := range k.Services {
		services[s.Name] = n
	}
	var boards, goes []onBoard // those that were offered, and those that were sold, each once
	offered, sold, till := map[onBoard]int{}, map[onBoard]int{}, map[at]bool{}
	put := func(b onBoard, portions int) {
		if offered[b] == 0 {
			boards = append(boards, b)
		}
		offered[b] += portions
	}
	for i := range entries {
		switch e := &entries[i]; e.Kind {
		case Offered:
			service, known := services[e.Service]
			if d, special := dishes[e.Dish]; special && known {
				put(onBoard{at{e.On(k), service}, d}, e.Portions)
			}
		case Sold:
			if day, service, ok := k.ServedAt(e.At, e.Service); ok {
				till[at{day, service}] = true
				if d, special := dishes[e.Dish]; special {
					b := onBoard{at{day, service}, d}
					if sold[b] == 0 {
						goes = append(goes, b)
					}
					sold[b] += e.Portions
				}
			}
		}
	}
	for _, p := range planned {
		service, known := services[p.Service]
		if d, special := dishes[p.Dish]; special && known {
			if b := (onBoard{at{p.Day, service}, d}); offered[b] == 0 {
				put(b, p.Portions)
			}
		}
	}
	list := make([]week.Seen, len(k.Dishes))
	near := func(d int, day time.Time) {
		if before := from.Sub(day).Hours() / 24; before > 0 && before <= 1 || before <= -float64(days) && before > -float64(days+1) {
			list[d].On = append(list[d].On, day)
		}
	}
	for _, b := range boards {
		near(b.dish, b.day)
		if over := minutesAfter(b.day, k.HoursOn(b.day, b.service).To); !over.After(asOf) && till[b.at] {
			list[b.dish].Offered += offered[b]
			list[b.dish].Sold += min(sold[b], offered[b])
		}
	}
	for _, b := range goes {
		if offered[b] == 0 {
			near(b.dish, b.day)
		}
	}
	return list, nil
}
