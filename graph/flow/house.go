package flow

// Guests: which dishes share them, and how many find a seat.

import (
	"math"
	"slices"
)

// House is what binds the forecasts of one service together: whose guests a dish takes when it is offered, and how many find a
// seat. It never changes.
type House struct {
	Seats   []int       // by slot: guests at most; 0 for no bound
	Beside  []bool      // by want: its portions go beside another dish, and bring no guest of their own
	InPlace [][]Taking  // by want: whose guests it takes
	Had     [][]float64 // by want and slot: portions that went out before the walk goes on; shorter, or nil, for none
	Settled int         // of so many slots, from the first on, the forecasts are what is asked for
}

// Taking is a share of a want's portions that are ordered in place of another want.
type Taking struct {
	Want  int
	Share float64 // 0 to 1
}

// had is what of a want went out at a slot before the walk goes on.
func (h *House) had(want, slot int) float64 {
	if want < len(h.Had) && slot < len(h.Had[want]) {
		return h.Had[want][slot]
	}
	return 0
}

// Having is the house when so many portions of a want have gone out at a slot; nil for none.
func (h *House) Having(want, slot int, portions float64) *House {
	if h == nil || portions <= 0 {
		return h
	}
	next := *h
	next.Had = slices.Clone(h.Had)
	if next.Had == nil {
		next.Had = make([][]float64, len(h.Beside))
	}
	row := slices.Clone(next.Had[want])
	if short := slot + 1 - len(row); short > 0 {
		row = append(row, make([]float64, short)...)
	}
	row[slot], next.Had[want] = portions, row
	return &next
}

// Asked is how many portions are asked for, by slot*len(Wants)+want: the forecasts, less the guests that other dishes take, as far
// as guests find a seat.
func (s *Schedule) Asked() []float64 { return s.asked(nil, &host{}) }

// host is the memory of whoever finds who is asked for, reused from walk to walk.
type host struct {
	taken, over []float64 // by want
	order       []int
}

func (s *Schedule) asked(into []float64, h *host) []float64 {
	n := len(s.Wants)
	into = zeros(into, n*len(s.Slots))
	for k := range s.Wants {
		for slot := range s.Slots {
			into[slot*n+k] = s.Wants[k].Forecast[slot]
		}
	}
	if s.House != nil {
		for slot := s.House.Settled; slot < len(s.Slots); slot++ {
			at := into[slot*n : (slot+1)*n]
			for k, taken := range s.taken(slot, h) {
				at[k] = max(0, at[k]-taken)
			}
			s.seat(slot, at, h)
		}
	}
	return into
}

// Settle lets the forecasts of a schedule be what is asked for at all of its slots.
func (s *Schedule) Settle() {
	if s.House != nil {
		settled := *s.House
		settled.Settled = len(s.Slots)
		s.House = &settled
	}
}

// hair is by how much a number of guests may miss what rounds up and still be rounded up.
const hair = 1e-9

// taken is how many guests others take from each want at a slot, in whole ones: a part of one is one; nil for none.
func (s *Schedule) taken(slot int, h *host) (list []float64) {
	for k := range s.Wants {
		for _, t := range s.House.InPlace[k] {
			if list == nil {
				h.taken = zeros(h.taken, len(s.Wants))
				list = h.taken
			}
			list[t.Want] += t.Share * (s.Wants[k].Forecast[slot] + s.House.had(k, slot))
		}
	}
	for k := range list {
		list[k] = math.Ceil(list[k] - hair)
	}
	return list
}

// Taken is how many guests of a want the others that are offered at a slot take.
func (s *Schedule) Taken(want, slot int) float64 {
	if s.House == nil || slot < s.House.Settled {
		return 0
	}
	if list := s.taken(slot, &host{}); list != nil {
		return list[want]
	}
	return 0
}

// guests is how many guests come to a slot for what is asked of each want, and how many more find a seat.
func (s *Schedule) guests(slot int, asked []float64) (come, room float64) {
	room = float64(s.House.Seats[slot])
	for k, portions := range asked {
		if !s.House.Beside[k] {
			come, room = come+portions, room-s.House.had(k, slot)
		}
	}
	return come, max(0, room)
}

// seat lets only so many come to a slot as find a seat. Those who find none would have ordered like the others: every dish loses alike, in
// whole portions, by largest remainders (Hamilton's way to give out seats), of equal ones that which stands first.
func (s *Schedule) seat(slot int, asked []float64, h *host) {
	if s.House.Seats[slot] == 0 {
		return
	}
	come, room := s.guests(slot, asked)
	if come <= room {
		return
	}
	rest, order, over := room, h.order[:0], zeros(h.over, len(asked))
	for k, portions := range asked {
		if s.House.Beside[k] {
			asked[k] = math.Floor(portions*room/come + 0.5 + hair)
			continue
		}
		asked[k] = math.Floor(portions*room/come + hair)
		over[k] = portions*room - asked[k]*come
		rest -= asked[k]
		order = append(order, k)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case over[a] > over[b]:
			return -1
		case over[a] < over[b]:
			return 1
		}
		return 0
	})
	h.order, h.over = order, over
	for _, k := range order {
		if rest < 1 {
			break
		}
		asked[k]++
		rest--
	}
}

// Turned is how many guests would come to a slot beyond those who find a seat: they go elsewhere.
func (s *Schedule) Turned(slot int) float64 {
	if s.House == nil || slot < s.House.Settled || s.House.Seats[slot] == 0 {
		return 0
	}
	asked := make([]float64, len(s.Wants))
	for k := range s.Wants {
		asked[k] = s.Wants[k].Forecast[slot]
	}
	for k, taken := range s.taken(slot, &host{}) {
		asked[k] = max(0, asked[k]-taken)
	}
	come, room := s.guests(slot, asked)
	return max(0, come-room)
}
