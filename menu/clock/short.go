package clock

// Work that does not fit: what, when, how many minutes short, and what would help.

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/clock/roster"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// How far help is looked for: so many half hours of one more pair of hands, quarters of an hour of an earlier beginning, and schedules tried for each; only
// for the first conflicts of a timetable.
const (
	mostHalfHours, mostQuarters = 8, 8
	helpTries, mostHelped       = 8, 6
)

// short tells of acts that are done too late, together by what they are late for.
func (d *day) short() {
	type cause struct { // what is late together
		timed bool // acts of batches with a clock, at one moment; else all that is due at one moment
		never bool // acts for which so many people are never there
		at    int
	}
	groups := map[cause][]int{}
	for k := range d.deeds {
		x := &d.deeds[k]
		task := x.task
		if d.plan.Late[task] <= d.known[task] && d.plan.Placed[task] || d.told(x) { // what is only later with its batch is said of that
			continue
		}
		c := cause{at: d.Tasks[task].Due, never: !d.plan.Placed[task]}
		if d.night.works[x.work].fixed {
			c.timed, c.at = true, d.Tasks[task].Release
		}
		if groups[c] = append(groups[c], k); !c.timed && slices.ContainsFunc(groups[c][:len(groups[c])-1], func(o int) bool { return d.deeds[o].task == task }) {
			groups[c] = groups[c][:len(groups[c])-1] // its work is named once
		}
	}
	causes := slices.SortedFunc(maps.Keys(groups), func(a, b cause) int {
		if a.timed != b.timed && a.at == b.at {
			return map[bool]int{true: -1, false: 1}[a.timed]
		}
		if a.at == b.at && a.never != b.never {
			return map[bool]int{true: -1, false: 1}[a.never]
		}
		return cmp.Compare(a.at, b.at)
	})
	for n, c := range causes {
		d.tellShort(groups[c], n < mostHelped && !d.trial)
	}
	d.tellUndone()
	d.coolsLate()
}

// told tells whether a conflict says already that what a work takes comes too late.
func (d *day) told(x *deed) bool {
	return slices.ContainsFunc(d.Conflicts, func(c Conflict) bool {
		return c.Kind == TooTight && slices.Contains(c.Entries, d.entryAt(x.work, d.due[x.work]))
	})
}

// tellShort tells of acts that are late for one thing.
func (d *day) tellShort(late []int, help bool) {
	var needs, names, lasts []string
	var behind []int // which of them are only late behind other work
	var entries []Entry
	most, from, until, fewest := 0, noEnd, 0, noEnd
	latest := noEnd // when help must be there
	tasks := map[int]bool{}
	guessed, never := false, false
	v := d.voice()
	for _, k := range late {
		x := &d.deeds[k]
		t, by := &d.Tasks[x.task], d.plan.Late[x.task]
		wanted := t.Release // when it should have begun
		if d.night.works[x.work].fixed {
			if t.Due < roster.Never {
				wanted = t.Due - t.Minutes - grace
			}
			if x.follows != nil && x.When == kitchen.WhenCooled {
				wanted = max(wanted, t.Release)
			}
			wanted += d.known[x.task]
			by = x.at - wanted
			latest = min(latest, max(wanted, t.Release))
		} else {
			wanted = max(wanted, x.at-by)
			latest = min(latest, t.Due)
		}
		most, from, until = max(most, by), min(from, wanted), max(until, min(t.Due, noEnd)+d.known[x.task])
		fewest, guessed, never = min(fewest, d.peopleAt(wanted)), guessed || x.Guessed, never || !d.plan.Placed[x.task]
		tasks[x.task] = true
		if e := d.entry(x.work); !slices.Contains(entries, e) {
			entries = append(entries, e)
		}
		lasts = append(lasts, v.Lasts(by))
	}
	if until >= noEnd {
		until = from
	}
	kind, text, helps := NoHands, "", []string{}
	stations := d.narrow(tasks) // the people who are there would do, if all of them had room
	tight := d.hands < 0 || len(stations) == 0 && d.lateWith(tasks, d.boundless(d.hands)) > 0
	if tight && len(stations) == 0 && d.hands >= 0 {
		stations = d.narrow(tasks, d.hands)
	}
	if len(stations) > 0 && !d.doneAt(tasks, stations) && d.hands >= 0 && d.lateWith(tasks, d.crowd()) == 0 {
		stations, tight = nil, false // it is other work that needs the room, and more people would do as well
	}
	busy := !tight && len(stations) == 0 && !never && fewest > 0 && d.lateWith(tasks, d.crowd()) > 0
	// What is done every hour is short of nothing: it is only late behind other work, unless all that is late is and something else is too little.
	plain := len(stations) == 0 && !tight && !busy && !never && fewest > 0
	only := !slices.ContainsFunc(late, func(k int) bool { return !d.hourly(k) })
	for n, k := range late {
		names = append(names, d.doingAt(&d.deeds[k], from))
		switch {
		case d.hourly(k) && (plain || !only), d.follows(k) && !never && fewest > 0:
			behind = append(behind, n)
		case len(needs) == 0:
			needs = append(needs, v.Say("%[1]s needs %[2]s", names[n], lasts[n]))
		default:
			needs = append(needs, v.Say("%[1]s %[2]s", names[n], lasts[n]))
		}
	}
	switch {
	case len(needs) == 0:
		text = v.Say("%[1]s: %[2]s comes %[3]s too late", d.Span(from, max(from, until)), names[0], lasts[0])
		behind = behind[1:]
		switch {
		case len(stations) > 0:
			kind = NoRoom
			text += v.Say("; there is room for no more at %[1]s", d.places(stations))
		case tight:
			kind = TooTight
			text += v.Say("; more people alone would not do")
		case busy:
			kind = TooTight
			text += v.Say("; more people at once would not do")
		}
	case len(stations) > 0 && d.doneAt(tasks, stations):
		kind = NoRoom
		text = v.Say("%[1]s: %[2]s more than there is room for at %[3]s", d.Span(from, max(from, until)), d.list(needs), d.places(stations))
	case len(stations) > 0: // where what it waits for is done
		kind = NoRoom
		text = v.Say("%[1]s: %[2]s more than there is time for", d.Span(from, max(from, until)), d.list(needs)) +
			v.Say("; there is room for no more at %[1]s", d.places(stations))
	case tight:
		kind = TooTight
		text = v.Say("%[1]s: %[2]s more than there is; more people alone would not do", d.Span(from, max(from, until)), d.list(needs))
	case busy:
		kind = TooTight
		text = v.Say("%[1]s: %[2]s more than there is time for; more people at once would not do", d.Span(from, max(from, until)), d.list(needs))
	case never:
		behind = nil // named among the rest
		if said := d.neverThere(late); said != "" {
			text = v.Say("%[1]s: %[2]s", d.Moment(from), said)
		} else { // they are, but not for all of it
			text = v.Say("%[1]s: so many people are never there for %[2]s", d.Moment(from), d.list(names))
		}
	case fewest == 0:
		behind = nil
		text = v.Say("nobody is there at %[1]s for %[2]s", d.Moment(from), d.list(names))
	default:
		text = v.Say("%[1]s: %[2]s more than %[3]s", d.Span(from, max(from, until)), d.list(needs), d.heads(fewest))
	}
	if guessed {
		text += v.Say(" (the minutes are guessed)")
	}
	for _, n := range behind {
		text += v.Say("; %[1]s comes %[2]s too late", names[n], lasts[n])
	}
	if len(needs) == 0 {
		text += d.handsAt(late, from)
	}
	for _, k := range late {
		text += d.outLate(&d.deeds[k], from)
	}
	if !tight && d.hands >= 0 && help {
		if helps = d.helps(tasks, from, until, latest, fewest == 0); len(helps) > 0 && !busy { // else with what else would do
			text += v.Say("; this would do: %[1]s", strings.Join(helps, v.Say(", or ")))
		}
	}
	text += d.warm(late)
	d.conflict(kind, from, max(from, until), entries, text)
	c := &d.Conflicts[len(d.Conflicts)-1]
	c.Short, c.Helps = most, helps
	for _, k := range late {
		if work := d.deeds[k].work; !slices.Contains(c.works, work) {
			c.works = append(c.works, work)
		}
	}
}

// neverThere says of each act for which so many people are never there what it needs, as [week.Week.CantBe] does; "" of none.
func (d *day) neverThere(late []int) string {
	var texts []string
	for _, k := range late {
		for n := range d.deeds {
			x := &d.deeds[n]
			if x.task != d.deeds[k].task || d.EverThere(x.People, x.minutes) {
				continue
			}
			doing := d.Graph.Steps[d.night.works[x.work].step].Name
			if x.When != kitchen.AtBench {
				doing = d.doingAct(x, doing)
			}
			if text := d.voice().Say(week.NeverThereSaid, doing, strconv.Itoa(x.People), d.voice().Lasts(x.minutes)); !slices.Contains(texts, text) {
				texts = append(texts, text)
			}
		}
	}
	return strings.Join(texts, d.voice().Say("; "))
}

// hourly tells whether an act is done once in every hour of a batch with a clock.
func (d *day) hourly(k int) bool { return d.deeds[k].Hourly && d.night.works[d.deeds[k].work].fixed }

// follows tells whether an act takes what is there out of a batch with a clock, or cools it: what is done so later than it should be is
// only late, and short of nothing.
func (d *day) follows(k int) bool {
	x := &d.deeds[k]
	return (x.Name == kitchen.TakeOutAct || x.Name == kitchen.CoolAct) && d.night.works[x.work].fixed && d.plan.Placed[x.task]
}

// handsAt tells what keeps hands from acts that are late, from a minute on until the last of them is begun.
func (d *day) handsAt(late []int, from int) string {
	first := &d.deeds[late[0]]
	until := 0
	for _, k := range late {
		until = max(until, d.deeds[k].at)
	}
	var others []int
	for k := range d.deeds {
		x := &d.deeds[k]
		same := slices.ContainsFunc(late, func(o int) bool { return d.deeds[o].work == x.work && d.deeds[o].Name == x.Name })
		if !same && x.minutes > 0 && x.at < until && x.at+x.minutes > from && d.plan.Placed[x.task] {
			others = append(others, k)
		}
	}
	if len(others) == 0 {
		return ""
	}
	slices.SortStableFunc(others, func(a, b int) int { return cmp.Compare(d.deeds[a].at, d.deeds[b].at) })
	var names []string
	for _, k := range others {
		name := d.doingAt(&d.deeds[k], from)
		if x := &d.deeds[k]; x.work == first.work && x.When != kitchen.AtBench { // which is named
			name = d.word(x.Name)
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return d.voice().Say("; hands are busy until %[1]s with %[2]s", measure.FormatClock(until-dayOf(until)*1440), d.list(names))
}

// doingAt is an act as it is said in a sentence that names a minute.
func (d *day) doingAt(x *deed, minute int) string {
	work := d.calledAt(x.work, minute)
	if x.When == kitchen.AtBench || d.main[x.work] >= 0 {
		return work
	}
	return d.doingAct(x, work)
}

func (d *day) doingAct(x *deed, work string) string {
	return d.voice().Say("%[1]s (%[2]s)", d.word(x.Name), work)
}

func (d *day) peopleAt(minute int) int {
	if d.hands < 0 || minute < 0 || minute >= len(d.There[d.hands]) {
		return 0
	}
	return d.There[d.hands][minute]
}

// lateWith is how late some tasks are together with other hands or room; what cannot be placed is late without end.
func (d *day) lateWith(tasks map[int]bool, change func(there [][]int)) (sum int) {
	plan := d.planWith(change)
	for k := range tasks {
		if sum += max(0, plan.Late[k]-d.known[k]); !plan.Placed[k] {
			sum += noEnd
		}
	}
	return sum
}

func (d *day) planWith(change func(there [][]int)) *roster.Plan {
	p := d.Problem
	p.Tries = helpTries
	p.There = slices.Clone(p.There)
	change(p.There)
	return d.memory.Schedule(&p)
}

// does tells whether some tasks are done in time with other hands, and the others together no later for it.
func (d *day) does(tasks map[int]bool, change func(there [][]int)) bool {
	plan := d.planWith(change)
	was, is := 0, 0
	for k := range plan.Late {
		switch {
		case tasks[k] && plan.Late[k] > d.known[k], !plan.Placed[k] && (tasks[k] || d.plan.Placed[k]):
			return false
		case !tasks[k]:
			was, is = was+d.plan.Late[k], is+plan.Late[k]
		}
	}
	return is <= was && plan.Over <= d.plan.Over
}

// more is so much more of some resources from one minute to another.
func (d *day) more(by, from, to int, resources ...int) func(there [][]int) {
	return func(there [][]int) {
		for _, r := range resources {
			if r < 0 {
				continue
			}
			there[r] = slices.Clone(there[r])
			for m := max(0, from); m < min(to, len(there[r])); m++ {
				there[r][m] += by
			}
		}
	}
}

// boundless is as much of some resources as anything could need.
func (d *day) boundless(resources ...int) func(there [][]int) {
	return d.more(len(d.Tasks)+100, 0, noEnd, resources...)
}

// crowd is as many people as anything could need whenever anybody is there.
func (d *day) crowd() func(there [][]int) {
	return func(there [][]int) {
		hands := slices.Clone(there[d.hands])
		for m, n := range hands {
			if n > 0 {
				hands[m] += len(d.Tasks) + 100
			}
		}
		there[d.hands] = hands
	}
}

// narrow are the stations whose little room makes some tasks late, with the people who are there or with any number of what else is given:
// one alone if it is enough to widen it, else all together; none where that would not do.
func (d *day) narrow(tasks map[int]bool, besides ...int) (stations []int) {
	widened := slices.Clone(besides)
	for at, room := range d.room {
		if room < 0 {
			continue
		}
		if d.lateWith(tasks, d.boundless(append(slices.Clone(besides), room)...)) == 0 {
			return []int{at}
		}
		widened, stations = append(widened, room), append(stations, at)
	}
	if len(stations) < 2 || d.lateWith(tasks, d.boundless(widened...)) > 0 {
		return nil
	}
	return stations
}

// doneAt tells whether anything of some tasks is done at one of some stations.
func (d *day) doneAt(tasks map[int]bool, stations []int) bool {
	for k := range tasks {
		for _, u := range d.Tasks[k].Uses {
			if slices.ContainsFunc(stations, func(at int) bool { return d.room[at] == u.Resource }) {
				return true
			}
		}
	}
	return false
}

// places are stations in a sentence.
func (d *day) places(stations []int) string {
	var names []string
	for _, at := range stations {
		names = append(names, d.word(d.Kitchen.Stations[at].Name))
	}
	return d.list(names)
}

// helps are what would make some tasks done in time: one more pair of hands for the shortest while before they are due, or a shift that
// begins sooner. Neither begins after the work is due: the grace of the clock is for who is there.
func (d *day) helps(tasks map[int]bool, from, until, latest int, nobody bool) (list []string) {
	more := func(a, b int) func(there [][]int) { return d.more(1, a, b, d.hands) }
	end := max(until, from) // of what would do
	for k := range tasks {  // what is due when it comes out still takes its time
		end = max(end, d.Tasks[k].Release+d.known[k]+d.Tasks[k].Minutes)
	}
	for n := 1; n <= mostHalfHours; n++ {
		if begin := min(end-30*n, latest); d.does(tasks, more(begin, end)) {
			for end-30 > begin && d.does(tasks, more(begin, end-30)) {
				end -= 30
			}
			if nobody {
				list = append(list, d.voice().Say("somebody from %[1]s", d.Span(begin, end)))
			} else {
				list = append(list, d.voice().Say("one more pair of hands from %[1]s", d.Span(begin, end)))
			}
			break
		}
	}
	var next *stint // the last shift that begins before
	for n := range d.people {
		if p := &d.people[n]; p.from < max(until, from) && p.from > from-1440 && p.to > from {
			next = p
		}
	}
	if next == nil {
		return list
	}
	for n := 1; n <= mostQuarters; n++ {
		if next.from-15*n <= latest && d.does(tasks, more(next.from-15*n, next.from)) {
			return append(list, d.voice().Say("%[1]s there from %[2]s on", d.word(next.who), d.Moment(next.from-15*n)))
		}
	}
	return list
}
