package roster

import (
	"cmp"
	"math"
	"slices"
)

// Use is what a task needs of a resource for some of its time.
type Use struct {
	Resource int
	From, To int // minutes after the task begins; To may lie behind its end
	Amount   int
}

// Link is a task that must have begun some minutes before.
type Link struct {
	Task int
	Lag  int // minutes from its beginning; its whole length, where it must be done
}

// Never is the due minute of a task that has none.
const Never = math.MaxInt32

// Task is a piece of work.
type Task struct {
	Minutes int
	Uses    []Use
	After   []Link
	Release int // the first minute at which it may begin
	Due     int // the minute by which it should be done; Never for none
	Limit   int // the minute by which it must be done, which goes before all that should be; 0 for none
	Soon    bool
}

// Problem is what is to be scheduled. Links must not lead in a circle.
type Problem struct {
	Tasks []Task
	There [][]int // units by resource and minute; behind the last minute there are none
	Tries int     // schedules that are tried at most while something is late; at least one is
}

// Plan is when tasks begin.
type Plan struct {
	Start  []int
	Placed []bool // whether what it needs is there
	Late   []int  // minutes after its due at which it is done
	Over   int    // minutes after their limits at which tasks are done, all together
}

// Total is how late all tasks are together.
func (p *Plan) Total() (minutes int) {
	for _, l := range p.Late {
		minutes += l
	}
	return minutes
}

// solver is a schedule being made.
type solver struct {
	*Problem
	order   []int   // of the tasks: each behind those that it comes after
	behind  [][]int // by task: those that come after it
	lag     [][]int // by task, beside behind
	slack   []int   // by task: the latest start by due dates and the tasks behind
	free    [][]int // by resource and minute: what is left
	horizon int     // the last minute at which anything is there
	end     int     // the last minute that matters
	start   []int
	placed  []bool
	apart   []bool // by task: no two of its uses take one resource at the same time
}

// Schedule finds when each task begins.
func Schedule(p *Problem) *Plan {
	s := newSolver(p)
	s.lay(s.byRule())
	s.justify()
	best := s.plan()
	if best.late() > 0 && p.Tries > 1 {
		best = s.search(best)
		s.take(best)
	}
	s.settle()
	return s.plan()
}

func newSolver(p *Problem) *solver {
	n := len(p.Tasks)
	s := &solver{Problem: p, behind: make([][]int, n), lag: make([][]int, n), start: make([]int, n), placed: make([]bool, n), apart: make([]bool, n)}
	for i, t := range p.Tasks {
		for _, l := range t.After {
			s.behind[l.Task], s.lag[l.Task] = append(s.behind[l.Task], i), append(s.lag[l.Task], l.Lag)
		}
		s.apart[i] = true
		for k, u := range t.Uses {
			s.apart[i] = s.apart[i] && !slices.ContainsFunc(t.Uses[:k], func(o Use) bool { return o.Resource == u.Resource && o.From < u.To && u.From < o.To })
		}
	}
	for _, there := range p.There {
		s.horizon = max(s.horizon, len(there))
	}
	s.end = s.horizon
	for _, t := range p.Tasks {
		if s.end = max(s.end, t.Release); t.by() < Never {
			s.end = max(s.end, t.by())
		}
	}
	s.sort()
	s.latest()
	return s
}

// sort puts the tasks in an order in which each stands behind those that it comes after, and otherwise as they were given.
func (s *solver) sort() {
	waits := make([]int, len(s.Tasks))
	for i := range s.Tasks {
		waits[i] = len(s.Tasks[i].After)
	}
	var ready []int
	for i, w := range waits {
		if w == 0 {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		i := ready[0]
		ready = ready[1:]
		s.order = append(s.order, i)
		for _, j := range s.behind[i] {
			if waits[j]--; waits[j] == 0 {
				ready = append(ready, j)
			}
		}
	}
	if len(s.order) < len(s.Tasks) {
		panic("mistake: tasks wait for each other in a circle")
	}
}

// latest finds the latest start of each task by due dates and the tasks behind it.
func (s *solver) latest() {
	s.slack = make([]int, len(s.Tasks))
	for _, i := range slices.Backward(s.order) {
		s.slack[i] = min(s.Tasks[i].by(), s.end) - s.Tasks[i].Minutes
		for k, j := range s.behind[i] {
			s.slack[i] = min(s.slack[i], s.slack[j]-s.lag[i][k])
		}
	}
}

// byRule is the order of latest starts; of those alike, the longer goes first.
func (s *solver) byRule() []int {
	list := slices.Clone(s.order)
	slices.SortStableFunc(list, func(a, b int) int {
		return cmp.Or(cmp.Compare(s.slack[a], s.slack[b]), -cmp.Compare(s.Tasks[a].Minutes, s.Tasks[b].Minutes))
	})
	return s.legal(list)
}

// legal is a list in which no task stands before one that it comes after: such a one is drawn to its front.
func (s *solver) legal(list []int) []int {
	legal := make([]int, 0, len(list))
	done := make([]bool, len(list))
	var draw func(i int)
	draw = func(i int) {
		if done[i] {
			return
		}
		done[i] = true
		for _, l := range s.Tasks[i].After {
			draw(l.Task)
		}
		legal = append(legal, i)
	}
	for _, i := range list {
		draw(i)
	}
	return legal
}

// lay puts the tasks down in the order of a list, each as soon as it fits.
func (s *solver) lay(list []int) {
	s.empty()
	for _, i := range list {
		from := s.soonest(i)
		at, ok := s.first(i, from)
		if !ok {
			at = from
		}
		s.start[i], s.placed[i] = at, ok
		s.book(i, -1)
	}
}

// empty takes all tasks off. What they took is given back, task by task: the weeks of minutes in which nothing is done are far more, and
// are not touched.
func (s *solver) empty() {
	if s.free == nil {
		s.free = make([][]int, len(s.There))
		for r, there := range s.There {
			s.free[r] = slices.Clone(there)
		}
		return
	}
	for i := range s.Tasks {
		s.book(i, 1)
	}
	clear(s.placed)
}

// soonest is the first minute at which a task may begin by its release and by those that it comes after.
func (s *solver) soonest(i int) int {
	at := max(0, s.Tasks[i].Release)
	for _, l := range s.Tasks[i].After {
		at = max(at, s.start[l.Task]+l.Lag)
	}
	return at
}

// bound is the last minute at which a task may begin by its due and limit, or how late it is already, and by those behind it.
func (s *solver) bound(i int) int {
	t := &s.Tasks[i]
	at := max(t.by()-t.Minutes, s.start[i])
	for k, j := range s.behind[i] {
		at = min(at, s.start[j]-s.lag[i][k])
	}
	return at
}

// first is the first minute from one on at which what a task needs is there.
func (s *solver) first(i, from int) (at int, ok bool) {
	for at = from; ; {
		lacks := s.lacks(i, at, false)
		switch {
		case lacks < 0:
			return at, true
		case lacks >= s.horizon:
			return 0, false
		}
		at = s.past(i, at, lacks)
	}
}

// past is the next start at which no use is met by a minute that lacks something.
func (s *solver) past(i, at, lacks int) int {
	next := at + 1
	for _, u := range s.Tasks[i].Uses {
		if at+u.From <= lacks && lacks < at+u.To && s.left(u.Resource, lacks) < s.wants(i, u.Resource, lacks-at) {
			next = max(next, lacks+1-u.From)
		}
	}
	return next
}

// last is the last minute up to one, and not before another, at which what a task needs is there.
func (s *solver) last(i, from, to int) (at int, ok bool) {
	if to > s.horizon && len(s.Tasks[i].Uses) > 0 {
		to = s.horizon
	}
	for at = to; at >= from; {
		lacks := s.lacks(i, at, true)
		if lacks < 0 {
			return at, true
		}
		next := at - 1
		for _, u := range s.Tasks[i].Uses {
			if at+u.From <= lacks && lacks < at+u.To && s.left(u.Resource, lacks) < s.wants(i, u.Resource, lacks-at) {
				next = min(next, lacks-u.To)
			}
		}
		at = next
	}
	return 0, false
}

// lacks is a minute at which a task that begins at one finds too little of something, the last of a use or the first; -1 when there is none.
func (s *solver) lacks(i, at int, backward bool) (minute int) {
	for _, u := range s.Tasks[i].Uses {
		if u.Amount == 0 || u.To <= u.From {
			continue
		}
		free, from, to := s.free[u.Resource], at+u.From, at+u.To
		short := func(m int) bool {
			if s.apart[i] {
				return m < 0 || m >= len(free) || free[m] < u.Amount
			}
			return s.left(u.Resource, m) < s.wants(i, u.Resource, m-at)
		}
		if backward {
			for m := from; m < to; m++ {
				if short(m) {
					return m
				}
			}
			continue
		}
		for m := to - 1; m >= from; m-- {
			if short(m) {
				return m
			}
		}
	}
	return -1
}

// wants is how much of a resource a task needs at a minute of its own, of all its uses together.
func (s *solver) wants(i, resource, minute int) (amount int) {
	for _, u := range s.Tasks[i].Uses {
		if u.Resource == resource && u.From <= minute && minute < u.To {
			amount += u.Amount
		}
	}
	return amount
}

func (s *solver) left(resource, minute int) int {
	if minute < 0 || minute >= len(s.free[resource]) {
		return 0
	}
	return s.free[resource][minute]
}

// book takes what a placed task needs off what is left, or gives it back.
func (s *solver) book(i, sign int) {
	if !s.placed[i] {
		return
	}
	for _, u := range s.Tasks[i].Uses {
		for m := s.start[i] + u.From; u.Amount > 0 && m < s.start[i]+u.To; m++ {
			s.free[u.Resource][m] += sign * u.Amount
		}
	}
}

// later moves a task as late as it may.
func (s *solver) later(i int) {
	if !s.placed[i] {
		return
	}
	s.book(i, 1)
	if at, ok := s.last(i, s.start[i], s.bound(i)); ok {
		s.start[i] = at
	}
	s.book(i, -1)
}

// sooner moves a task as soon as it may.
func (s *solver) sooner(i int) {
	if !s.placed[i] {
		return
	}
	s.book(i, 1)
	if at, ok := s.first(i, s.soonest(i)); ok && at < s.start[i] {
		s.start[i] = at
	}
	s.book(i, -1)
}

// justify moves all as late as they may, from last to first, then as soon as they may, from first to last.
func (s *solver) justify() {
	for _, i := range s.byStart(true) {
		s.later(i)
	}
	for _, i := range s.byStart(false) {
		s.sooner(i)
	}
}

// settle leaves what is to be done soon as early as it can be, and all else as late.
func (s *solver) settle() {
	for _, i := range s.byStart(true) {
		if t := &s.Tasks[i]; !t.Soon && (t.by() < Never || len(s.behind[i]) > 0) {
			s.later(i)
		}
	}
	for _, i := range s.byStart(false) {
		if s.Tasks[i].Soon {
			s.sooner(i)
		}
	}
}

// byStart are the tasks in the order of their starts, or of their ends from last to first; those that wait for others stand behind them.
func (s *solver) byStart(fromLast bool) []int {
	list := slices.Clone(s.order)
	if fromLast {
		slices.Reverse(list)
		slices.SortStableFunc(list, func(a, b int) int {
			return -cmp.Compare(s.start[a]+s.Tasks[a].Minutes, s.start[b]+s.Tasks[b].Minutes)
		})
		return list
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(s.start[a], s.start[b]) })
	return list
}

// plan is the schedule as it stands.
func (s *solver) plan() *Plan {
	p := &Plan{Start: slices.Clone(s.start), Placed: slices.Clone(s.placed), Late: make([]int, len(s.Tasks))}
	for i, t := range s.Tasks {
		if t.Due < Never {
			p.Late[i] = max(0, s.start[i]+t.Minutes-t.Due)
		}
		p.Over += t.over(s.start[i])
	}
	return p
}

// take makes a plan the schedule as it stands.
func (s *solver) take(p *Plan) {
	s.empty()
	copy(s.start, p.Start)
	copy(s.placed, p.Placed)
	for i := range s.Tasks {
		s.book(i, -1)
	}
}

// by is the minute by which a task is to be done, by its due and its limit; Never for none.
func (t *Task) by() int {
	if t.Limit > 0 {
		return min(t.Due, t.Limit)
	}
	return t.Due
}

// over is by how much a task that begins at a minute is behind its limit.
func (t *Task) over(start int) int {
	if t.Limit == 0 {
		return 0
	}
	return max(0, start+t.Minutes-t.Limit)
}

// How much worse it is not to be placed at all, or to be behind a limit, than to be late.
const unplaced, limited = 1 << 20, 100

// late is what the search makes small.
func (p *Plan) late() (sum int) {
	sum = limited * p.Over
	for i, l := range p.Late {
		sum += l
		if !p.Placed[i] {
			sum += unplaced
		}
	}
	return sum
}
