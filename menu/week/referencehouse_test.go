package week_test

// What guests ask for at a service: those whom another dish takes, and those who find no seat, do not ask.

import "math/big"

// asked is how many portions of each dish are asked for at a sitting.
func (s *plain) asked(sitting int) []int {
	asked := append([]int{}, s.guests[sitting]...)
	had := func(d int) int {
		if of := s.sittings[sitting].had; of != nil {
			return of[d]
		}
		return 0
	}
	up := whole(1)
	sumTo(&up, exact(-1e-9)) // shares are written in hundredths, and held in binary
	for d := range s.Dishes {
		goes := whole(0)
		for other, dish := range s.Dishes {
			for _, t := range dish.InPlace {
				if t.Dish == d {
					sumTo(&goes, times(exact(t.Share), whole(s.guests[sitting][other]+had(other))))
				}
			}
		}
		sumTo(&goes, up)
		asked[d] = max(0, asked[d]-floor(goes))
	}
	room, come := s.sittings[sitting].seats, 0
	if room == 0 {
		return asked
	}
	for d, dish := range s.Dishes {
		if !dish.Beside {
			room -= had(d)
			come += asked[d]
		}
	}
	if room = max(room, 0); come <= room {
		return asked
	}
	// Of so many of come a seat is found: whole ones first, then one more for those of whom most of one is over.
	over := make([]int, len(asked))
	free := room
	for d, dish := range s.Dishes {
		if dish.Beside {
			asked[d] = (2*asked[d]*room + come) / (2 * come)
			over[d] = -1
			continue
		}
		over[d] = asked[d] * room % come
		asked[d] = asked[d] * room / come
		free -= asked[d]
	}
	for ; free > 0; free-- {
		next := 0
		for d := range over {
			if over[d] > over[next] {
				next = d
			}
		}
		asked[next]++
		over[next] = -1
	}
	return asked
}

// floor is the whole part of a number that is not below nothing.
func floor(n number) int { return int(new(big.Int).Div(n.Num(), n.Denom()).Int64()) }
