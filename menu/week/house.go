package week

// Guests over days: whose guests a dish takes, and how many find a seat.

import (
	"fmt"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// house is what holds for the guests of the week's services; nil where the file says nothing of that.
func (w *Week) house() *flow.House {
	h, says := &flow.House{Seats: make([]int, len(w.Sittings))}, false
	for slot, sit := range w.Sittings {
		if sit.Service >= 0 {
			h.Seats[slot] = w.SeatsOn(w.Date(sit.Day), sit.Service).Guests()
			says = says || h.Seats[slot] > 0
		}
	}
	for _, dish := range w.Dishes {
		var takes []flow.Taking
		for _, t := range dish.InPlace {
			takes = append(takes, flow.Taking{Want: t.Dish, Share: t.Share})
		}
		h.Beside, h.InPlace = append(h.Beside, dish.Beside), append(h.InPlace, takes)
		says = says || takes != nil
	}
	if !says {
		return nil
	}
	return h
}

// seated is a house with other seats by slot.
func seated(h *flow.House, seats []int) *flow.House {
	if h == nil {
		return nil
	}
	next := *h
	next.Seats = seats
	return &next
}

// Full is a service for which more guests come than find a seat.
type Full struct {
	Date    string  `json:"date"` // 2006-01-02
	Service string  `json:"service"`
	Seats   int     `json:"seats"`
	Turns   float64 `json:"turns"`  // how often each is taken
	Guests  int     `json:"guests"` // who find a seat; a guest is a portion of a dish that does not go beside another
	Turned  int     `json:"turned"` // who find none, and go elsewhere
}

// Full lists the services of a schedule of the week for which more guests come than find a seat.
func (w *Week) Full(s *flow.Schedule) (list []Full) {
	for slot, sit := range w.Sittings {
		if sit.Service < 0 || s.Slots[slot].Closed {
			continue
		}
		if turned := s.Turned(slot); turned > 0 {
			seating := w.SeatsOn(w.Date(sit.Day), sit.Service)
			list = append(list, Full{Date: w.Date(sit.Day).Format(time.DateOnly), Service: w.Services[sit.Service].Name, Seats: seating.Seats,
				Turns: seating.Turns, Guests: seating.Guests(), Turned: int(turned)})
		}
	}
	return list
}

// String says it: "Fri 27 Nov dinner is full: 12 guests would find no seat (34 seats, turned twice)".
func (f Full) String() string {
	day, _ := time.Parse(time.DateOnly, f.Date)
	guests := "guests"
	if f.Turned == 1 {
		guests = "guest"
	}
	return fmt.Sprintf("%s %s is full: %d %s would find no seat (%s)", measure.FormatDay(day), f.Service, f.Turned, guests,
		kitchen.Seating{Seats: f.Seats, Turns: f.Turns})
}

// movedHad is what went out, with so many slots before.
func movedHad(had [][]float64, by int) [][]float64 {
	moved := slices.Clone(had)
	for d, row := range moved {
		if row != nil {
			moved[d] = append(make([]float64, by), row...)
		}
	}
	return moved
}
