package clock

// The work, given to hands: acts of batches with a clock at their stages, all else between the time when what it takes is there and
// the time when what it gives is needed.

import (
	"cmp"
	"slices"

	"kettletree/menu/clock/roster"
	"kettletree/menu/kitchen"
)

// tries is how many schedules are tried while something is late.
const tries = 60

// grace is by how many minutes an act at a set moment may begin later before the clock says so: common practice, no source.
const grace = 15

// deed is an act of a work, scheduled.
type deed struct {
	kitchen.Act
	work, task int
	after      int     // minutes after the work's start: the stage that it belongs to
	cold       bool    // it waits until what it is done to is cold
	share      float64 // of what it is done to; 1 for all of it
	begin      int     // minutes after its task begins
	minutes    int
	at         int       // the minute at which it is done
	cooling              // of WhenCooled
	follows    *follower // what was taken out and it is done to; nil of what is still to come out
	who        []string
	turns      []shiftTurn
}

// shiftTurn is the part of an act that one person does.
type shiftTurn struct {
	who      string
	from, to int
}

// day is the work given to hands.
type day struct {
	*table
	roster.Problem
	plan   *roster.Plan
	hands  int // the resource; -1 where the file does not say who is there
	stove  int // likewise
	vessel []int
	room   []int            // by station with little room; -1 where the file does not say how much
	main   []int            // by work without a set time: its task; -1 for others
	length []int            // by such a work: minutes until all that it gives is ready
	lights map[int]lighting // by work with a set time that hands begin
	putIn  map[actAt]int    // by work and minute of it at which something goes in: the first task that does that
	spared map[actAt]int    // likewise: how late that is still in time, for what is taken out at that minute first
	ready  []stages         // by work: after which task, and how long after its beginning, what is out at a minute is ready
	deeds  []deed
	people []stint

	held   map[int]int     // by work with a set time: until when it is in its vessel, where that is later than by its card and in the way
	undone []undone        // work on what is in a pot for which there are no hands before it is out
	known  []int           // by task: how late it is for nothing but when its batch is begun, which is said of that
	begins []int           // by work, when hands begin with it, or its set time
	later  []stages        // by work: likewise, of what is needed only when it is cold, where that is done apart
	waits  map[actOf]wait  // acts that may be done cold as well, and are
	kept   map[actOf]rival // those that can't be, and what would be later then
	moved  []waited
}

// stages are when what a work gives is ready, by the minute at which it is out.
type stages map[int]readiness

type readiness struct {
	task, lag int
	takenOut  bool // it is ready when hands have taken it out, and the card sets when that is due
}

// giveWork schedules all that is to be done.
func (t *table) giveWork() {
	d := t.coolInTime(t.schedule(nil))
	t.times = d.begins
	slices.SortStableFunc(d.deeds, func(a, b deed) int { return cmp.Compare(a.at, b.at) })
	d.crew()
	t.given = d
}

// schedule is the work given to hands, with some acts done only when what they are done to is cold. Where something would go into a vessel
// in which a batch stands longer than its card says, as nobody was there to begin with it, all is scheduled once more with that known.
func (t *table) schedule(waits map[actOf]wait) *day {
	d := t.scheduled(waits, nil, nil)
	for range 3 { // which moves others
		held, undone := d.stillIn(), d.behindPot()
		if len(held)+len(undone) == 0 {
			break
		}
		if len(held) == 0 {
			held = d.held
		}
		d = t.scheduled(waits, held, slices.Concat(d.undone, undone))
	}
	return d
}

func (t *table) scheduled(waits map[actOf]wait, held map[int]int, undone []undone) *day {
	d := &day{table: t, hands: -1, stove: -1, held: held, undone: undone, waits: waits, kept: map[actOf]rival{}, lights: map[int]lighting{}, putIn: map[actAt]int{}, spared: map[actAt]int{}}
	n := len(t.night.works)
	d.main, d.length, d.ready, d.later = make([]int, n), make([]int, n), make([]stages, n), make([]stages, n)
	d.resources()
	for i := range t.night.works {
		d.main[i], d.ready[i], d.later[i] = -1, stages{}, stages{}
		switch w := &t.night.works[i]; {
		case w.kind == plate, w.over:
		case w.kind == batch && d.Steps[w.step].Unsaid.Any(): // nobody knows when
		case w.fixed:
			d.timed(i)
			d.cooks(i)
		default:
			d.floating(i)
		}
	}
	for k := range t.night.edges {
		d.follow(k)
	}
	d.emptyFirst()
	d.followers()
	d.handOn()
	d.plan = d.memory.Schedule(&d.Problem)
	d.begins = slices.Clone(t.times)
	for i, task := range d.main {
		if task >= 0 {
			d.begins[i] = d.plan.Start[task]
			if t.night.works[i].length == 0 { // it is made when it is done
				d.begins[i] += d.length[i]
			}
		}
	}
	d.known = d.delays()
	for k := range d.deeds {
		x := &d.deeds[k]
		x.at = d.plan.Start[x.task] + x.begin
	}
	return d
}

// timed adds the acts of a batch with a clock: each as soon as its stage has come, by when it was begun, and those before it are done.
func (d *day) timed(i int) {
	w := &d.night.works[i]
	now := d.night.schedule.From
	last, spent := map[int]int{}, map[int]int{} // the last act of a stage, and how long its acts take
	lastCold := map[int]int{}                   // likewise, of those that wait until it is cold
	add := func(p portion, after, due int, of cooling) {
		a, minutes := p.Act, p.minutes
		if w.at+after < now || minutes == 0 || a.When == kitchen.Meanwhile && d.isUndone(i, a.Name, after) {
			return
		}
		t := roster.Task{Minutes: minutes, Release: w.at + after, Due: due, Soon: true, Uses: d.needs(i, a, 0, minutes)}
		if a.When == kitchen.WhenCooled && d.limit() < noEnd {
			if t.Limit = w.at + of.from + d.limit(); w.length == 0 {
				t.Limit += spent[0]
			}
		}
		cold := p.cold
		if cold > 0 {
			t.Release = w.at + cold
		}
		if a.When != kitchen.AtStart {
			t.After = d.lit(i, max(after, cold))
		}
		if before, ok := last[after]; ok && a.When != kitchen.Meanwhile && cold == 0 {
			t.After = append(t.After, roster.Link{Task: before, Lag: d.Tasks[before].Minutes})
		}
		if before, ok := lastCold[after]; ok && cold > 0 {
			t.After = append(t.After, roster.Link{Task: before, Lag: d.Tasks[before].Minutes})
		}
		k := d.task(t)
		if cold > 0 {
			lastCold[after] = k
		}
		d.deeds = append(d.deeds, deed{Act: a, work: i, task: k, after: after, minutes: minutes, cooling: of, cold: cold > 0, share: p.share})
		d.begun(i, k, after, spent[after], a.When)
		if a.When != kitchen.Meanwhile && cold == 0 {
			last[after] = k
			spent[after] += minutes
		}
		if a.When == kitchen.AtTakeOut {
			d.isReady(i, after, readiness{k, minutes, true}, p)
		}
		if a.When == kitchen.AtBench || a.When == kitchen.AfterOut || a.When == kitchen.AfterEnd || a.When == kitchen.AtMinute {
			d.isReady(i, after, readiness{k, minutes, false}, p)
		}
	}
	cool := func(a kitchen.Act, after, due int, of cooling) {
		for _, p := range d.parted(i, a, after) {
			add(p, after, due, of)
		}
	}
	whole := func(a kitchen.Act, after, due int) { cool(a, after, due, cooling{}) }
	for _, a := range d.inOrder(i) {
		switch a.When {
		case kitchen.AtStart:
			if w.kind != pot {
				whole(a, 0, w.at+a.Minutes(w.batches)+grace)
			}
		case kitchen.AtBench: // of a batch that is made all at once, at its hour
			whole(a, 0, w.at+spent[0]+a.Minutes(w.batches)+grace)
		case kitchen.AtPutIn, kitchen.AtTakeOut:
			for _, m := range w.moments(a.When) {
				whole(a, m, w.at+m+a.Minutes(w.batches)+grace)
			}
		case kitchen.AtMinute:
			whole(a, a.At, roster.Never)
		case kitchen.AfterOut: // of a pot, it is done to what came out first
			if w.kind != pot || !d.wasOut(w) {
				whole(a, w.firstOut(), roster.Never)
			}
		case kitchen.AfterEnd:
			whole(a, d.endFor(i, a), roster.Never)
		case kitchen.Meanwhile:
			if !a.Hourly {
				whole(a, 0, w.at+w.length)
				continue
			}
			for m := 60; m < w.length; m += 60 { // in each hour but the first
				whole(a, m, w.at+m+90)
			}
		case kitchen.WhenCooled:
			for _, c := range d.coolings(i) {
				off := w.at + c.from
				if w.length == 0 { // when it is made
					off += spent[0]
				}
				cool(a, c.set, min(d.coolBy(off), w.at+c.set+spent[c.set]+a.Minutes(w.batches)+grace), c)
			}
		case kitchen.AfterAll:
			due := d.nextIn(d.Steps[w.step].Vessel, w.at+w.length)
			if a.Guessed && due-w.at-w.length < a.Minutes(w.batches) { // by its card it is lit again at once
				due = roster.Never
			}
			whole(a, w.length, due)
		}
	}
}

// inOrder are the acts of a work's step in the order of their stages: what comes out is taken out before it is pulled, strained, cooled,
// and before anything else goes in.
func (d *day) inOrder(i int) []kitchen.Act {
	place := map[kitchen.When]int{kitchen.AtStart: 0, kitchen.AtTakeOut: 1, kitchen.AtPutIn: 2, kitchen.AtMinute: 3, kitchen.AfterOut: 4,
		kitchen.AfterEnd: 5, kitchen.WhenCooled: 6, kitchen.AfterAll: 7, kitchen.Meanwhile: 8, kitchen.AtBench: 0}
	acts := d.Acts(d.night.works[i].step)
	waits := func(a kitchen.Act) int { // behind those that do not
		if a.Wait == kitchen.OnceCold || a.Wait == kitchen.WarmOrCold && d.waits[actOf{d.night.works[i].step, a.Name}] != atOnce {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(acts, func(a, b kitchen.Act) int {
		return cmp.Or(cmp.Compare(place[a.When], place[b.When]), cmp.Compare(waits(a), waits(b)))
	})
	return acts
}

// floating adds a work without a set time as one task: what is done of it at its stages, one after the other.
func (d *day) floating(i int) {
	w := &d.night.works[i]
	now := d.night.schedule.From
	t := roster.Task{Minutes: w.length, Release: max(w.day*1440, now), Due: roster.Never}
	k := d.task(t)
	d.main[i] = k
	cursor, emptied := 0, 0 // emptied: when its vessel is, and washed
	var uses []roster.Use
	add := func(p portion, after int, of cooling) {
		a, minutes := p.Act, p.minutes
		if minutes == 0 {
			return
		}
		if p.cold > 0 { // apart, behind the rest
			d.deeds = append(d.deeds, deed{Act: a, work: i, task: -1, after: after, begin: p.cold, minutes: minutes, cold: true, share: p.share})
			return
		}
		from := max(after, cursor)
		if a.When != kitchen.Meanwhile {
			cursor = from + minutes
		}
		if a.When == kitchen.AtTakeOut || a.When == kitchen.AfterAll {
			emptied = from + minutes
		}
		uses = append(uses, d.needs(i, a, from, minutes)...)
		d.deeds = append(d.deeds, deed{Act: a, work: i, task: k, after: after, begin: from, minutes: minutes, cooling: of, share: p.share})
		if a.When == kitchen.AtBench || a.When == kitchen.AfterOut || a.When == kitchen.AfterEnd || a.When == kitchen.AtMinute {
			d.isReady(i, after, readiness{k, from + minutes, false}, p)
		}
	}
	cool := func(a kitchen.Act, after int, of cooling) {
		for _, p := range d.parted(i, a, after) {
			add(p, after, of)
		}
	}
	whole := func(a kitchen.Act, after int) { cool(a, after, cooling{}) }
	for _, m := range d.stagesOf(i) {
		cursor = max(cursor, m)
		for _, a := range d.inOrder(i) {
			due := false
			switch a.When {
			case kitchen.AtStart, kitchen.AtBench:
				due = m == 0
			case kitchen.AtPutIn, kitchen.AtTakeOut:
				due = w.length > 0 && slices.Contains(w.moments(a.When), m)
			case kitchen.AtMinute:
				due = m == a.At
			case kitchen.AfterOut:
				due = m == w.firstOut()
			case kitchen.AfterEnd:
				due = m == d.endFor(i, a)
			case kitchen.AfterAll:
				due = m == w.length
			case kitchen.WhenCooled:
				for _, c := range d.coolings(i) {
					if c.set == m {
						cool(a, m, c)
					}
				}
			case kitchen.Meanwhile:
				hourly := a.Hourly && m == 0
				for h := 60; hourly && h < w.length; h += 60 {
					whole(a, h)
				}
				due = !a.Hourly && m == 0
			}
			if due {
				whole(a, m)
			}
		}
	}
	d.length[i] = w.length
	for _, r := range d.ready[i] {
		d.length[i] = max(d.length[i], r.lag)
	}
	task := &d.Tasks[k]
	task.Minutes, task.Uses = d.length[i], uses
	if v := d.Steps[w.step].Vessel; v >= 0 && task.Minutes > 0 {
		task.Uses = append(task.Uses, roster.Use{Resource: d.vessel[v], To: max(w.length, task.Minutes, emptied), Amount: 1})
		if b := d.Vessels[v].Burners; d.stove >= 0 && b > 0 {
			task.Uses = append(task.Uses, roster.Use{Resource: d.stove, To: max(w.length, task.Minutes), Amount: min(b, d.Burners)})
		}
	}
	if last := d.night.due(i); last < noEnd {
		task.Due = last + w.length
	}
	if len(w.to) == 0 && task.Due == roster.Never { // made to order, and nothing of it is taken
		task.Due = w.at + w.length
	}
	d.colds(i)
}

// follow makes a work wait for what it takes, and be done by when what it gives is taken.
func (d *day) follow(k int) {
	e := d.night.edges[k]
	to := &d.night.works[e.to]
	main := d.main[e.to]
	var from readiness // of what is taken
	set := -1          // the minute at which it is out, where that is set
	switch {
	case e.from < 0:
	case d.main[e.from] >= 0:
		from = readiness{d.main[e.from], e.out, false}
	default:
		from, set = readiness{-1, 0, false}, d.night.works[e.from].at+e.out
	}
	if e.from >= 0 {
		if r, ok := d.readyFor(k); ok {
			from = r
		}
	}
	if main >= 0 { // it begins when that is there
		if set >= 0 {
			d.Tasks[main].Release = max(d.Tasks[main].Release, set-e.in)
		}
		if e.from >= 0 && from.task >= 0 {
			d.Tasks[main].After = append(d.Tasks[main].After, roster.Link{Task: from.task, Lag: from.lag - e.in})
		}
		return
	}
	if e.from < 0 || from.task < 0 || e.in == noEnd {
		return
	}
	if from.takenOut { // its time is set, and so is that of what it takes
		if t, ok := d.putIn[actAt{e.to, e.in}]; ok {
			d.Tasks[t].After = append(d.Tasks[t].After, roster.Link{Task: from.task, Lag: from.lag})
		}
		return
	}
	x := &d.Tasks[from.task]
	x.Due = min(x.Due, to.at+e.in-from.lag+x.Minutes)
}

// handOn lets what goes into work that takes nobody any time, as at the pass, be done by when that must begin. When a pot is emptied, its
// card sets.
func (d *day) handOn() {
	busy, byCard := map[int]bool{}, map[int]bool{}
	for k := range d.deeds {
		x := &d.deeds[k]
		busy[x.work] = true
		byCard[x.task] = x.When == kitchen.AtStart || x.When == kitchen.AtTakeOut
	}
	for i, main := range slices.Backward(d.main) {
		if main < 0 || busy[i] || d.Tasks[main].Due == roster.Never {
			continue
		}
		for _, l := range d.Tasks[main].After {
			if x := &d.Tasks[l.Task]; !byCard[l.Task] {
				x.Due = min(x.Due, d.Tasks[main].Due-d.Tasks[main].Minutes-l.Lag+x.Minutes)
			}
		}
	}
}
