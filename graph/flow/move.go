package flow

// Moves: what can still be changed of a case once part of it has been played.

import (
	"slices"
)

type (
	// Extra is so many batches more of a step, started by a clock.
	Extra struct {
		Step, Day int
		Start     int // minutes after midnight of Day
		Batches   float64
	}
	// Offer lets an item be bought elsewhere too on some days, as much as is needed: what steps give, and what is bought where
	// its own supplier brings none.
	Offer struct {
		Item int
		Days []bool
		Pack float64 // it is bought there in whole multiples of it; 0 for any amount
	}
	// Bring is a delivery beyond what was ordered, of anything, at a price for one base unit.
	Bring struct {
		Item, Day     int
		Amount, Price float64
	}
	// Prefer puts a line, from a minute on, on a choice of it as long as there is some, and then on the others in
	// their order.
	Prefer struct {
		Step, Line, Choice int
		From               int // minutes after the midnight before day 0
	}
	// Resize lets so much of a portion of a want go out as one in some slots.
	Resize struct {
		Want   int
		Slots  []int
		Factor float64 // above 0
	}
	// Turn gives out what is scarce by a rule in some slots; by Else in the others.
	Turn struct {
		Slots      []int
		Rule, Else Ration
	}
)

// OrderingFrom is a copy of the case in which, from a minute on, of what is not there more than its deliveries can only be
// had on days that begin then or later; an item that can come on every day on which anybody works can still be had on the
// day of the minute itself.
func (c Case) OrderingFrom(minute int) Case {
	s := *c.Schedule
	today, next := minute/1440, (minute+1439)/1440
	earlier := s.OrdersFrom
	s.OrdersFrom = make([]int, len(c.Flow.net.g.Items))
	for i := range s.OrdersFrom {
		s.OrdersFrom[i] = next
		if s.Daily(i) {
			s.OrdersFrom[i] = today
		}
		if earlier != nil {
			s.OrdersFrom[i] = max(s.OrdersFrom[i], earlier[i])
		}
	}
	if earlier == nil {
		s.ResumedAt = minute
	}
	return Case{c.Flow, &s}
}

// Daily tells whether an item can come on every day on which anybody works.
func (s *Schedule) Daily(item int) bool {
	return s.Arrives == nil || s.Arrives[item] == nil || s.Workdays != nil && s.Workdays[item]
}

// Resume is a copy of the case as it stands at a minute of an outcome of it. Up to then all goes as it did. From then
// on, what was to come from days before comes as it did, and of what is not there, more can only be had on days that
// begin then or later; an item that can come every day can still be had on the day of the minute itself. Played
// without a change, it goes on as the outcome did, but that what is topped up from days before then has an end.
//
// By item, orders is the first day of which an order can still be given at the minute; nil for what is above.
func (c Case) Resume(o *Outcome, minute int, orders []int) Case {
	c = c.OrderingFrom(minute)
	s := *c.Schedule
	for i, day := range orders {
		s.OrdersFrom[i] = max(s.OrdersFrom[i], day)
	}
	past := func(d Delivery) bool { return d.Day < s.OrdersFrom[d.Item] }
	came := slices.DeleteFunc(slices.Clone(o.Deliveries), func(d Delivery) bool { return !past(d) })
	s.Deliveries = append(came, slices.DeleteFunc(slices.Clone(s.Deliveries), past)...)
	return Case{c.Flow, &s}
}

func (m Extra) change(c *Case) {
	c.Schedule.Batches = append(c.Schedule.Batches, Batch{Step: m.Step, Day: m.Day, Start: m.Start, Size: m.Batches})
}

func (m Offer) change(c *Case) {
	if c.Schedule.Offered == nil {
		c.Schedule.Offered = make([][]bool, len(c.Flow.net.g.Items))
		c.Schedule.OfferedIn = make([]float64, len(c.Flow.net.g.Items))
	}
	c.Schedule.Offered[m.Item], c.Schedule.OfferedIn[m.Item] = m.Days, m.Pack
}

func (m Bring) change(c *Case) {
	c.Schedule.Deliveries = append(c.Schedule.Deliveries, Delivery{Item: m.Item, Day: m.Day, Amount: m.Amount,
		Ordered: m.Amount, Price: m.Price})
}

func (m Prefer) change(c *Case) { c.Schedule.Prefers = append(c.Schedule.Prefers, m) }

func (m Resize) change(c *Case) {
	w := &c.Schedule.Wants[m.Want]
	if w.Size = slices.Clone(w.Size); w.Size == nil {
		w.Size = slices.Repeat([]float64{1}, len(c.Schedule.Slots))
	}
	for _, k := range m.Slots {
		w.Size[k] *= m.Factor
	}
}

func (m Turn) change(c *Case) {
	if c.Schedule.Rules == nil {
		c.Schedule.Rules = slices.Repeat([]Ration{m.Else}, len(c.Schedule.Slots))
	}
	for _, k := range m.Slots {
		c.Schedule.Rules[k] = m.Rule
	}
}

// prefer lays out by line what a schedule prefers; of two preferences for a line, the later one.
func (w *Walker) prefer(s *Schedule) {
	if w.likes = nil; len(s.Prefers) == 0 {
		return
	}
	n := w.f.net
	w.likes = make([]*Prefer, len(n.optional))
	for k, p := range s.Prefers {
		w.likes[n.lines[n.place[p.Step]]+int32(p.Line)] = &s.Prefers[k]
	}
}

// preferred is the choice that a line is to have first now; -1 when nothing is said.
func (w *Walker) preferred(line int32) int32 {
	if w.likes == nil || w.likes[line] == nil || w.likes[line].From > int(w.now) {
		return -1
	}
	return w.f.net.choices[line] + int32(w.likes[line].Choice)
}
