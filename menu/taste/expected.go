package taste

// What is to be expected of batches that are made otherwise.

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Expected is what it does to a batch, or a plate, that something goes in otherwise.
type Expected struct {
	In      string  `json:"in"`      // the step or dish
	Thing   string  `json:"thing"`   // what there is less of or more, or something else instead: the card's first choice
	Measure string  `json:"measure"` // "" for how strongly it tastes of the thing
	Unit    string  `json:"unit"`    // of the measure; "" of a scale
	By      float64 `json:"by"`      // below 0: down. Of how strongly it tastes, a share: -0.2 is a fifth milder
	From    string  `json:"from"`    // "log book", "trial", or "strengths" of the kitchen file; "" where nothing is known of what that does
	Batches int     `json:"batches"` // measured, from which it is known; 0 of strengths
	Beyond  bool    `json:"beyond"`  // no batch that was measured went so far, so By, which is 0, is not known

	of *kitchen.Measure
}

// From what something is expected.
const (
	FromLogBook   = "log book"
	FromTrial     = "trial"
	FromStrengths = "strengths"
)

// Judged tells whether the measure is judged on a scale.
func (e *Expected) Judged() bool { return e.of != nil && e.of.Sort == kitchen.Judged }

// otherwise is how far a share of the card must move to be looked at: a hundredth, as scales in a kitchen weigh.
const otherwise = 0.01

// filled is what went into the work of a step on a day, as shares of the card: by line and choice.
type filled struct {
	shares [][]float64
	work   float64
}

// ofDay is a step on a day.
type ofDay struct{ step, day int }

// filledBy is what goes into each step on each day. How many batches were made is what the fullest line has: no batch is larger than that.
func filledBy(k *kitchen.Kitchen, p *week.Played) map[ofDay]*filled {
	all := map[ofDay]*filled{}
	for _, e := range p.Record.Entries {
		if e.What != flow.Took || e.Line < 0 {
			continue
		}
		at := ofDay{e.Step, e.At / 1440}
		if e.Run >= 0 {
			at.day = p.Schedule.Batches[e.Run].Day
		}
		takes := k.Graph.Steps[e.Step].Takes
		f := all[at]
		if f == nil {
			f = &filled{shares: make([][]float64, len(takes))}
			for n := range takes {
				f.shares[n] = make([]float64, len(takes[n].Choices))
			}
			all[at] = f
		}
		if c := takes[e.Line].Choices[e.Choice]; c.Amount > 0 {
			f.shares[e.Line][e.Choice] += e.Amount / c.Amount
		}
	}
	for _, f := range all {
		for _, line := range f.shares {
			f.work = max(f.work, sum(line))
		}
	}
	return all
}

func sum(list []float64) (all float64) {
	for _, v := range list {
		all += v
	}
	return all
}

// turned is how a line is filled, a batch: as it is and as it was, over all that differ.
type turned struct {
	is, was []float64 // by choice
	work    float64
}

// Expect tells what it does to the taste that something is played as it is and not as it was, as far as it is known. It looks at what goes straight into a step: of what a part of it was made, it knows nothing. What moves a measure is
// taken one by one, in a straight line, and no further than batches went that were measured.
func (l *Learned) Expect(k *kitchen.Kitchen, is, was *week.Played) []Expected {
	list := []Expected{}
	now, before := filledBy(k, is), filledBy(k, was)
	lines := map[[2]int]*turned{}
	for at, f := range now {
		o := before[at]
		if o == nil || f.work <= 0 || o.work <= 0 {
			continue
		}
		for n := range f.shares {
			differs := 0.0
			for c := range f.shares[n] {
				differs = max(differs, math.Abs(f.shares[n][c]/f.work-o.shares[n][c]/o.work))
			}
			if differs < otherwise {
				continue
			}
			key := [2]int{at.step, n}
			t := lines[key]
			if t == nil {
				t = &turned{is: make([]float64, len(f.shares[n])), was: make([]float64, len(f.shares[n]))}
				lines[key] = t
			}
			for c := range f.shares[n] {
				t.is[c] += f.shares[n][c]
				t.was[c] += o.shares[n][c] / o.work * f.work
			}
			t.work += f.work
		}
	}
	for _, key := range slices.SortedFunc(maps.Keys(lines), func(a, b [2]int) int { return cmp.Or(a[0]-b[0], a[1]-b[1]) }) {
		t := lines[key]
		for c := range t.is {
			t.is[c], t.was[c] = t.is[c]/t.work, t.was[c]/t.work
		}
		list = append(list, l.of(k, key[0], key[1], t)...)
	}
	return list
}

// of is what a line that is filled otherwise does.
func (l *Learned) of(k *kitchen.Kitchen, step, line int, t *turned) (list []Expected) {
	st := &k.Graph.Steps[step]
	takes := st.Takes[line]
	e := Expected{In: st.Name, Thing: k.Graph.Items[takes.Choices[0].Item].Name}
	ratio, strong := 1.0, k.IsStrong(takes)
	if strong {
		grams := func(shares []float64) (all float64) {
			for c, share := range shares {
				it := &k.Graph.Items[takes.Choices[c].Item]
				one, ok := it.Grams(1)
				if !ok {
					strong = false
				}
				all += share * takes.Choices[c].Amount * one * it.Strong()
			}
			return all
		}
		had := grams(t.was)
		if ratio = grams(t.is) / had; had <= 0 {
			strong = false
		}
		if strong && math.Abs(ratio-1) >= otherwise {
			e := e
			e.By, e.From = ratio-1, FromStrengths
			list = append(list, e)
		}
	}
	var all []learnt
	if l != nil {
		all = l.all
	}
	for i := range all {
		x := &all[i]
		if x.step != step || x.line != line {
			continue
		}
		is, was := sum(t.is), sum(t.was)
		switch x.way {
		case asWhich:
			if is <= 0 || was <= 0 { // none at all goes in, and that is neither
				continue
			}
			is, was = t.is[x.choice]/is, t.was[x.choice]/was
		case asDrawn:
			if !strong {
				continue
			}
			is, was = x.usual*ratio, x.usual
		}
		if math.Abs(is-was) < otherwise*max(x.usual, 1) {
			continue
		}
		e := e
		e.Measure, e.Unit, e.of, e.Batches, e.From = x.of.Name, x.of.Unit, x.of, x.batches, FromLogBook
		if x.trial {
			e.From = FromTrial
		}
		hair := otherwise / 2 * (x.high - x.low)
		if e.Beyond = is < x.low-hair || is > x.high+hair; !e.Beyond {
			e.By = x.within(x.slope * (is - was))
		}
		list = append(list, e)
	}
	if list == nil {
		list = append(list, e)
	}
	return list
}
