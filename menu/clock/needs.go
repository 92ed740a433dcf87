package clock

// What acts need while they are done: people, burners, stations, vessels.

import (
	"slices"

	"kettletree/menu/clock/roster"
	"kettletree/menu/kitchen"
)

// resources are the people by the minute, the burners, the vessels, less what batches with a clock take, and the room at stations.
func (d *day) resources() {
	horizon := d.night.schedule.Ends() + 1440
	for i := range d.night.works {
		w := &d.night.works[i]
		horizon = max(horizon, w.at+w.length+1440)
	}
	constant := func(n int) []int { return slices.Repeat([]int{n}, horizon) }
	if len(d.Kitchen.Shifts) > 0 {
		d.hands, d.There = len(d.There), append(d.There, constant(0))
		for _, s := range d.stints(horizon) {
			for m := max(0, s.from); m < s.to; m++ {
				d.There[d.hands][m]++
			}
		}
	}
	if d.Burners > 0 {
		d.stove, d.There = len(d.There), append(d.There, constant(d.Burners+d.extra.burners))
	}
	for v := range d.Vessels {
		d.vessel, d.There = append(d.vessel, len(d.There)), append(d.There, constant(1+d.extra.vessels[v]))
	}
	for _, s := range d.Kitchen.Stations {
		if s.Room == 0 {
			d.room = append(d.room, -1)
			continue
		}
		d.room, d.There = append(d.room, len(d.There)), append(d.There, constant(s.Room))
	}
	for i := range d.night.works {
		w := &d.night.works[i]
		if w.kind == plate || !w.fixed || d.Steps[w.step].Vessel < 0 {
			continue
		}
		v := d.Steps[w.step].Vessel
		for m := max(0, w.at); m < min(max(w.at+w.length, d.held[i]), horizon); m++ {
			there := &d.There[d.vessel[v]][m]
			if *there > d.extra.vessels[v] && d.stove >= 0 { // batches that share a vessel share its burners
				d.There[d.stove][m] = max(0, d.There[d.stove][m]-d.Vessels[v].Burners)
			}
			*there = d.extra.vessels[v]
		}
	}
	d.Tries = tries
}

// task adds a task.
func (d *day) task(t roster.Task) int {
	d.Tasks = append(d.Tasks, t)
	return len(d.Tasks) - 1
}

// needs are the hands that an act of a work needs from a minute of its task on, and room for them where it is done.
func (d *day) needs(i int, a kitchen.Act, from, minutes int) (uses []roster.Use) {
	if minutes == 0 {
		return nil
	}
	if d.hands >= 0 {
		uses = append(uses, roster.Use{Resource: d.hands, From: from, To: from + minutes, Amount: a.People})
	}
	if room := d.roomOf(i, a); room >= 0 {
		uses = append(uses, roster.Use{Resource: room, From: from, To: from + minutes, Amount: a.People})
	}
	return uses
}

// roomOf is the room that an act of a work takes; -1 where it has no bounds.
func (d *day) roomOf(i int, a kitchen.Act) int {
	if at, _ := d.RoomAt(d.PlaceOf(d.night.works[i].step, a.When)); at >= 0 {
		return d.room[at]
	}
	return -1
}

// nextIn is when the next batch with a clock goes into a vessel; never where it is none, as that of a step without.
func (d *day) nextIn(vessel, from int) int {
	next := roster.Never
	if vessel < 0 {
		return next
	}
	for i := range d.night.works {
		if w := &d.night.works[i]; w.kind == batch && w.fixed && d.Steps[w.step].Vessel == vessel && w.at >= from {
			next = min(next, w.at)
		}
	}
	return next
}
