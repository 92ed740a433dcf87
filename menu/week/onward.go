package week

// The days behind a period: what becomes of what it leaves.

import "kettletree/graph/flow"

// mostBehind is how many days behind a period are played at most.
const mostBehind = 14

// Onward is a week with the days behind it, which go as the standing week: of what is done on its own days they feed, or starve.
type Onward struct {
	Week   *Week         // with the days behind it
	Days   int           // how many they are
	Stands *flow.Outcome // of it, as it stands

	own    *Week
	plain  *Week
	worth  *Worth
	player *Player
}

// Onward is the week with the days behind it: until the house was open on as many of them as in the standing week, but two weeks at
// most. The week's rule must not be one that plans. It must not be shared between goroutines.
func (w *Week) Onward() (*Onward, error) {
	o := &Onward{Days: min(w.Behind(), mostBehind), own: w, player: w.Player()}
	p := w.Period
	p.Days += o.Days
	var err error
	if o.plain, err = Over(w.Kitchen, p); err != nil {
		return nil, err
	}
	standing := w.standing.before(o.plain)
	standing.stands()
	o.plain.standing = standing
	o.Week = w.before(o.plain)
	o.Stands = w.Player().Play(o.Week.Case, nil)
	o.worth, err = standing.worth()
	return o, err
}

// Worth is by what is valued what is on hand before the week, and after the days behind it.
func (o *Onward) Worth() *Worth { return o.worth }

// Play plays a case of the week with the days behind it. The outcome is valid until the next.
func (o *Onward) Play(c flow.Case) (Books, *flow.Outcome) {
	own := *o.own
	own.Case = c
	long := own.before(o.plain)
	outcome := o.player.Play(long.Case, nil)
	return o.worth.Books(long.Case, outcome), outcome
}

// Arriving is a case with the days behind it, that is played again and again with other deliveries: each time from where it parts from the case,
// and only as far as what comes otherwise can reach. It comes to what [Onward.Play] comes to, but for the rounding of sums.
type Arriving struct {
	worth  *Worth
	trunk  *flow.Trunk
	player *Player
}

// Arriving makes ready to play a case with other deliveries, all of the items and on the days of those that it has. It must not be shared between
// goroutines.
func (o *Onward) Arriving(c flow.Case) *Arriving {
	own := *o.own
	own.Case = c
	return &Arriving{o.worth, o.own.Trunk(own.before(o.plain).Case, false), o.own.Player()}
}

// Beside is the same for another goroutine.
func (a *Arriving) Beside() *Arriving {
	return &Arriving{a.worth, a.trunk, &Player{ration: a.player.ration}}
}

// Play plays the case with deliveries in place of its own. The outcome is valid until the next.
func (a *Arriving) Play(deliveries []flow.Delivery) (Books, *flow.Outcome) {
	c := a.trunk.Case()
	s := *c.Schedule
	s.Deliveries = deliveries
	c.Schedule = &s
	outcome := a.player.Fork(a.trunk, c, nil)
	return a.worth.Books(c, outcome), outcome
}
