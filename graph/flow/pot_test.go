package flow

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
)

// cut is a case as it stands at a minute of day 0, taken from the record of its walk: what is on hand then and under way, and
// what is still to be done.
func cut(c Case, o *Outcome, rec *Record, minute int) Case {
	s := *c.Schedule
	past := slices.IndexFunc(rec.Entries, func(e Entry) bool { return e.At >= minute })
	if past < 0 {
		past = len(rec.Entries)
	}
	s.From, s.OnHand, s.Pots, s.Batches, s.Deliveries = minute, nil, nil, nil, nil
	for _, p := range rec.Left(past) {
		l := rec.Lots[p.Lot]
		s.OnHand = append(s.OnHand, Lot{Item: l.Item, Amount: p.Amount, Made: l.Made})
	}
	put := 0
	for k, pot := range c.Schedule.Pots {
		still := pot
		still.Takes, still.Gives, still.Yields = nil, nil, nil
		for _, t := range pot.Takes {
			if t.Amount -= o.PutIn[put]; c.Schedule.NotBefore[t.Item] >= minute && t.Minute >= c.Schedule.NotBefore[t.Item] { // it may be put in when it comes
				for _, e := range rec.Entries {
					if e.What == Took && e.Pot == k && e.At >= minute && e.Item == t.Item {
						t.Amount += e.Amount
					}
				}
				still.Takes = append(still.Takes, t)
			}
			put++
		}
		for line, g := range pot.Gives {
			if max(g.Minute+pot.Late, c.Schedule.From) >= minute {
				still.Gives, still.Yields = append(still.Gives, g), append(still.Yields, pot.factor(line))
			}
		}
		s.Pots = append(s.Pots, still)
	}
	for r, run := range c.Schedule.Batches {
		ran := o.Ran[r]
		if run.Day >= s.Days || ran.Start >= minute {
			if run.Start == Untimed && run.Day == 0 && run.Late > 0 { // what made it late may be past
				run.Start, run.Late = ran.Due, ran.Start-ran.Due
			}
			s.Batches = append(s.Batches, run)
			continue
		}
		if run.Unlit { // it gives nothing, and what waits for it goes on waiting
			ran.Batches = 0
		}
		pot := Pot{Step: run.Step, Day: run.Day, Start: ran.Start, Batches: ran.Batches, Lost: run.Lost, Late: ran.Start - ran.Due}
		for out, g := range c.Flow.net.g.Steps[run.Step].Gives {
			if ran.Start+g.OutAt >= minute && g.OutAt > 0 {
				pot.Gives = append(pot.Gives, PotLine{g.Item, ran.Batches * c.Flow.Gives(run.Step, out), ran.Due + g.OutAt})
				pot.Yields = append(pot.Yields, run.factor(out))
			}
		}
		s.Pots = append(s.Pots, pot)
	}
	for _, d := range c.Schedule.Deliveries {
		at := max(d.Day*1440, c.Schedule.From)
		if s.NotBefore != nil {
			at = max(at, s.NotBefore[d.Item])
		}
		if at >= minute {
			s.Deliveries = append(s.Deliveries, d)
		}
	}
	s.Spoils = slices.DeleteFunc(slices.Clone(s.Spoils), func(sp Spoil) bool { return sp.Day == 0 })
	s.Slots = slices.Clone(s.Slots)
	for k := range s.Slots {
		s.Slots[k].Closed = s.Slots[k].Closed || s.Slots[k].Start < minute
	}
	return Case{c.Flow, &s}
}

// A walk that goes on from a minute, with what another one has on hand and under way then, comes to the same as that.
func TestGoesOnFromAnyMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		minute := rapid.IntRange(r.sched.From+1, 1439).Draw(t, "minute")
		t.Log(r)
		c, rec := r.compile(t), &Record{Movements: true}
		o := c.Flow.Walk(c.Schedule, r.rule, rec)
		later := cut(c, o, rec, minute)
		t.Logf("%+v", later.Schedule)
		p := later.Flow.Walk(later.Schedule, r.rule, nil)

		for slot, s := range c.Schedule.Slots {
			at, wants := slot*len(c.Schedule.Wants), len(c.Schedule.Wants)
			if s.Start >= minute {
				require.Equal(t, o.Served[at:at+wants], p.Served[at:at+wants], "slot %d", slot)
			}
		}
		before := make([]struct{ binned, lost, came, made float64 }, len(r.items))
		for _, e := range rec.Entries {
			if b := &before[e.Item]; e.At < minute {
				switch e.What {
				case Expired, Spoiled:
					b.binned += e.Amount
				case Failed:
					b.lost += e.Amount
				case Arrived:
					b.came += e.Amount
				}
			}
		}
		for i, it := range r.items {
			if it.Role == graph.Sold {
				continue
			}
			close := 1e-6 * (1 + o.Opening[i] + o.Made[i] + o.Delivered(i))
			require.InDelta(t, o.Left[i], p.Left[i], close, it.Name)
			require.InDelta(t, o.Binned[i], before[i].binned+p.Binned[i], close, it.Name)
			require.InDelta(t, o.Lost[i], before[i].lost+p.Lost[i], close, it.Name)
			require.InDelta(t, o.Delivered(i), before[i].came+p.Delivered(i), close, it.Name)
		}
	})
}

// Days walked one after another, each from what the one before leaves on hand and under way, come to the same as walked at
// once. (But for perpetual stocks: when batches behind the last day begin, for which a seed is kept, a day does not know.)
func TestDaysInTurn(t *testing.T) {
	k := everything
	k.carried = false
	rapid.Check(t, func(t *rapid.T) {
		r := k.draw(t)
		clear(r.sched.Arrives) // of what comes on set days, a day knows only its own
		t.Log(r)
		c := r.compile(t)
		all := c.Flow.Walk(c.Schedule, r.rule, nil)
		left, binned, came := make([]float64, len(r.items)), make([]float64, len(r.items)), make([]float64, len(r.items))
		rest := *c.Schedule
		for day, slot := 0, 0; day < c.Schedule.Days; day++ {
			s := rest
			s.Days = 1
			s.Slots = slices.DeleteFunc(slices.Clone(s.Slots), func(sl Slot) bool { return sl.Day > 0 })
			s.Spoils = slices.DeleteFunc(slices.Clone(s.Spoils), func(sp Spoil) bool { return sp.Day != 0 })
			s.Burnt = slices.DeleteFunc(slices.Clone(s.Burnt), func(b Burnt) bool { return b.Day != 0 })
			s.Deliveries = slices.DeleteFunc(slices.Clone(s.Deliveries), func(d Delivery) bool { return d.Day > 0 })
			s.Wants = slices.Clone(s.Wants)
			for w := range s.Wants {
				s.Wants[w].Forecast = c.Schedule.Wants[w].Forecast[slot : slot+len(s.Slots)]
			}
			o := c.Flow.Walk(&s, r.rule, nil)
			wants := len(s.Wants)
			require.Equal(t, all.Served[slot*wants:(slot+len(s.Slots))*wants], o.Served, "day %d", day)
			slot += len(s.Slots)
			for i := range r.items {
				left[i], binned[i], came[i] = o.Left[i], binned[i]+o.Binned[i], came[i]+o.Delivered(i)
			}
			rest = tomorrow(c.Flow.net, &rest, o)
		}
		for i, it := range r.items {
			close := 1e-6 * (1 + all.Opening[i] + all.Made[i] + all.Delivered(i))
			require.InDelta(t, all.Left[i], left[i], close, it.Name)
			require.InDelta(t, all.Binned[i], binned[i], close, it.Name)
			require.InDelta(t, all.Delivered(i), came[i], close, it.Name)
		}
	})
}

// tomorrow is a schedule after its first day, which came to an outcome.
func tomorrow(n *net, s *Schedule, o *Outcome) Schedule {
	next := *s
	next.Days, next.From = s.Days-1, 0
	next.OnHand, next.Pots = o.Ahead(1)
	next.Slots, next.Batches, next.Deliveries, next.NotBefore, next.Spoils, next.Burnt = nil, nil, nil, nil, nil, nil
	for _, sl := range s.Slots {
		if sl.Day > 0 {
			next.Slots = append(next.Slots, Slot{sl.Day - 1, sl.Start - 1440, sl.End - 1440, sl.Closed, sl.Idle})
		}
	}
	for r, run := range s.Batches {
		if run.Day >= 1 || o.Ran[r].Start >= 1440 {
			if run.Day--; run.Day < 0 && run.Start == Untimed { // what it waits for may be of the day before
				run.Start, run.Late = o.Ran[r].Due-(run.Day+1)*1440, o.Ran[r].Start-o.Ran[r].Due
			}
			next.Batches = append(next.Batches, run)
			continue
		}
		if ran := o.Ran[r]; ran.Batches == 0 { // a batch without a clock waits for it all the same
			pot := Pot{Step: run.Step, Day: run.Day - 1, Late: ran.Start - ran.Due}
			for _, g := range n.g.Steps[run.Step].Gives {
				pot.Gives = append(pot.Gives, PotLine{g.Item, 0, ran.Due + g.OutAt - 1440})
			}
			next.Pots = append(next.Pots, pot)
		}
	}
	for _, at := range s.NotBefore {
		next.NotBefore = append(next.NotBefore, max(at-1440, 0))
	}
	for _, d := range s.Deliveries {
		if d.Day > 0 || s.NotBefore != nil && s.NotBefore[d.Item] >= 1440 {
			d.Day = max(d.Day-1, 0)
			next.Deliveries = append(next.Deliveries, d)
		}
	}
	for _, sp := range s.Spoils {
		if sp.Day > 0 {
			next.Spoils = append(next.Spoils, Spoil{sp.Item, sp.Day - 1})
		}
	}
	for _, b := range s.Burnt {
		if b.Day > 0 {
			next.Burnt = append(next.Burnt, Burnt{b.Step, b.Day - 1, b.Share})
		}
	}
	return next
}
