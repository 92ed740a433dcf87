package kitchen

// The day 1 of what was counted and of which no lot tells what went into it: the oldest that the kitchen file lets it carry, by its standing
// week.

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// Presumed finds day 1s that nobody wrote down. It remembers what it found, and is not for two goroutines.
type Presumed struct {
	*DayOnes
	zero  time.Time // day 0
	found map[[2]int][]flow.Since
}

// Presumed finds day 1s, with days counted from one.
func (r *DayOnes) Presumed(zero time.Time) *Presumed {
	return &Presumed{DayOnes: r, zero: zero, found: map[[2]int][]flow.Since{}}
}

// Of is the earliest day 1 that an item which was made on a day may carry (3-501.17(C)): that of the oldest which could have gone into it
// and was not past its last day when it did.
func (p *Presumed) Of(item, made int) (s flow.Since) {
	for _, may := range p.may(item, made) {
		s = s.Or(may)
	}
	return s
}

// may are the day 1s that an item which was made on a day may carry, each day once.
func (p *Presumed) may(item, made int) (list []flow.Since) {
	key := [2]int{item, made}
	if list, ok := p.found[key]; ok {
		return list
	}
	own := p.Own(item, made)
	p.found[key] = []flow.Since{own} // of what is carried on from day to day, too
	list = append(list, own)
	makers := p.makersOn(item, made)
	for _, s := range slices.Sorted(maps.Keys(makers)) {
		for _, l := range p.k.Graph.Steps[s].Takes {
			for _, c := range l.Choices {
				if p.k.Carries(s, l, c.Item) && !p.k.seeds(s, l, c.Item) {
					list = append(list, p.went(s, l, c.Item, makers[s])...)
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b flow.Since) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Oil, b.Oil), cmp.Compare(a.Item, b.Item))
	})
	list = slices.CompactFunc(list, func(a, b flow.Since) bool {
		return a.Known == b.Known && a.Day == b.Day && a.Oiled == b.Oiled && a.Oil == b.Oil
	})
	p.found[key] = list
	return list
}

// went are the day 1s that a line of a step that begins at a minute may bring: of each lot that is there and not past its last day.
func (p *Presumed) went(step int, l graph.Line, item, begins int) (list []flow.Since) {
	at := begins + l.InAt
	on := dayOf(at)
	if l.Carried {
		on--
	}
	for back := range p.lies(item) {
		made := on - back
		if !p.there(item, made, at) {
			continue
		}
		for _, s := range p.may(item, made) {
			if last, ok := p.Last(item, made, s); ok && last < on {
				continue
			}
			brings := p.Brought(step, item, s, made, on)
			if brings.Known && p.dated[item] && brings.Day+p.k.Code.Keeps-1 < on {
				continue
			}
			brings.Presumed = true
			list = append(list, brings)
		}
		if p.k.Terms.Keeps[item] == 0 { // how long it lies is not written: the last before it was taken
			break
		}
	}
	return list
}

// lies is for how many days an item may be there.
func (p *Presumed) lies(item int) int {
	if keeps := p.k.Terms.Keeps[item]; keeps > 0 {
		return keeps
	}
	return max(7, p.k.Code.Keeps)
}

// there tells whether some of an item was made on a day, and before a minute.
func (p *Presumed) there(item, made, at int) bool {
	asNeeded := false
	for _, s := range p.k.makers(item) {
		st := &p.k.Graph.Steps[s]
		if st.Mode != graph.OnDays {
			asNeeded = asNeeded || made == dayOf(at) || st.AsNeeded() && p.leaves(s, item)
			continue
		}
		for _, o := range st.Gives {
			if out := p.outs(s, o.OutAt, made); o.Item == item && out != math.MaxInt && (out <= at || p.k.Steps[s].Starts == flow.Untimed) {
				return true
			}
		}
	}
	return asNeeded
}

// outs is the minute at which what a step gives is out on a day; none where it gives none that day.
func (p *Presumed) outs(step, outAt, made int) int {
	starts := max(p.k.Steps[step].Starts, 0)
	begins := made - (starts+outAt)/1440
	if p.k.BatchesOn(step, p.zero.AddDate(0, 0, begins)) == 0 {
		return math.MaxInt
	}
	return begins*1440 + starts + outAt
}

// leaves tells whether what a step makes as needed may be left over: a dish takes some, or another step no whole lots of it.
func (p *Presumed) leaves(step, item int) bool {
	st := &p.k.Graph.Steps[step]
	lot := 0.0
	for _, o := range st.Gives {
		if o.Item == item {
			lot = st.Lot * o.Amount
		}
	}
	for s, by := range p.k.Graph.Steps {
		for _, l := range by.Takes {
			for _, c := range l.Choices {
				lots := c.Amount / lot
				if c.Item == item && (s >= len(p.k.Steps) || by.Mode != graph.OnDays || math.Abs(lots-math.Round(lots)) > 1e-6) {
					return true
				}
			}
		}
	}
	return false
}

// makersOn are the steps that may have given an item on a day, each with the minute at which it began: those with a batch that was out that
// day or, where there is none, all.
func (p *Presumed) makersOn(item, made int) (began map[int]int) {
	began, all := map[int]int{}, map[int]int{}
	for _, s := range p.k.makers(item) {
		st := &p.k.Graph.Steps[s]
		for _, o := range st.Gives {
			if o.Item != item {
				continue
			}
			starts := p.k.Steps[s].Starts
			if starts == flow.Untimed {
				starts = 1439 - o.OutAt%1440 // at any time of the day
			}
			begins := made - (max(p.k.Steps[s].Starts, 0)+o.OutAt)/1440
			if all[s] = begins*1440 + starts; st.Mode != graph.OnDays || p.outs(s, o.OutAt, made) != math.MaxInt {
				began[s] = all[s]
			}
		}
	}
	if len(began) == 0 {
		return all
	}
	return began
}

func dayOf(minute int) int { return int(math.Floor(float64(minute) / 1440)) }
