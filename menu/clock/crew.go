package clock

// Who does what: people to acts, by the hours at which they are there.

import (
	"cmp"
	"slices"

	"kettletree/menu/kitchen"
)

// stint is one of the people of a shift, on one day.
type stint struct {
	who      string
	from, to int // minutes of the week
	busy     int // until when
	minutes  int // of work that they were given
}

// stints are all of them up to a horizon, by the minute at which they begin. On days on which nobody works nobody is there.
func (t *table) stints(horizon int) (list []stint) {
	for d := -1; d*1440 < horizon; d++ {
		date := t.Date(d)
		for k := range t.Shifts {
			s := &t.Shifts[k]
			if !s.Days[date.Weekday()] {
				continue
			}
			from, to := d*1440+s.From, min(d*1440+s.To, horizon)
			if !t.WorksOn(t.Date(dayOf(from))) { // and what of it lies on the next day
				from = (dayOf(from) + 1) * 1440
			}
			if last := to - 1; last >= from && !t.WorksOn(t.Date(dayOf(last))) {
				to = dayOf(last) * 1440
			}
			for n := range s.People {
				if from < to && to > 0 {
					list = append(list, stint{who: s.Who(n), from: from, to: to})
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b stint) int { return cmp.Compare(a.from, b.from) })
	return list
}

func dayOf(minute int) int {
	if minute < 0 {
		return (minute - 1439) / 1440
	}
	return minute / 1440
}

// turn is a stretch of an act for one person.
type turn struct {
	deed, from, to int
}

// crew gives each act, in the order of their times, to as many people as it needs: those who did the batch's last act, then those who
// have least to do; of those only who stay to its end, if there are any. Whose shift ends hands over.
func (d *day) crew() {
	if d.hands < 0 {
		return
	}
	people := d.stints(len(d.There[d.hands]))
	d.people = people
	var turns []turn
	for k := range d.deeds {
		for range d.deeds[k].People {
			if x := &d.deeds[k]; d.plan.Placed[x.task] {
				turns = append(turns, turn{k, x.at, x.at + x.minutes})
			}
		}
	}
	slices.SortStableFunc(turns, func(a, b turn) int { return cmp.Compare(a.from, b.from) })
	last := map[int][]string{} // by work: who did its last act
	for len(turns) > 0 {
		now := turns[0]
		turns = turns[1:]
		x := &d.deeds[now.deed]
		n := next(people, now, append(slices.Clone(x.who), last[x.work]...))
		if n < 0 {
			panic("mistake: hands were given more than there are")
		}
		p := &people[n]
		p.busy = min(p.to, now.to)
		p.minutes += p.busy - now.from
		x.turns = append(x.turns, shiftTurn{p.who, now.from, p.busy})
		if !slices.Contains(x.who, p.who) {
			x.who = append(x.who, p.who)
		}
		if x.When != kitchen.Meanwhile {
			last[x.work] = x.who
		}
		if p.busy < now.to { // in its place by time, so that nobody is taken from an act that begins before
			at, _ := slices.BinarySearchFunc(turns, p.busy, func(o turn, minute int) int { return cmp.Compare(o.from, minute) })
			turns = slices.Insert(turns, at, turn{now.deed, p.busy, now.to})
		}
	}
}

// next is who is free when a turn begins and should take it; -1 for nobody.
func next(people []stint, now turn, before []string) int {
	best := -1
	better := func(a, b *stint) bool {
		if stays, other := a.to >= now.to, b.to >= now.to; stays != other {
			return stays
		}
		if did, other := slices.Contains(before, a.who), slices.Contains(before, b.who); did != other {
			return did
		}
		if a.to < now.to && a.to != b.to {
			return a.to > b.to
		}
		return a.minutes < b.minutes
	}
	for n := range people {
		p := &people[n]
		if p.from > now.from {
			break
		}
		if p.to > now.from && p.busy <= now.from && (best < 0 || better(p, &people[best])) {
			best = n
		}
	}
	return best
}
