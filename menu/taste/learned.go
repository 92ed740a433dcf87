package taste

// What the log book has taught of how what goes into a batch moves what is measured of it, and what that says of batches that are made otherwise.

import (
	"context"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Learned is what is known of how the lines of steps move what is measured of their batches: what a trial showed plainly, else what was found to go
// with a measure (see [Bounded]). A nil Learned knows nothing.
type Learned struct{ all []learnt }

// learnt is a line of a step that moves a measure: so much for one more of x, which is known from low to high.
type learnt struct {
	step, line int
	way        way
	choice     int // of which
	of         *kitchen.Measure
	slope      float64
	usual      float64 // x, the middle of the batches
	low, high  float64
	mean       float64 // of the measure
	batches    int
	trial      bool
}

// way is what is counted of a line.
type way uint8

const (
	asShare way = iota // of the card
	asWhich            // the share of one choice in all that goes in
	asDrawn            // how much is drawn from it
)

// Learn gathers what is known up to a moment; of no log book, nothing.
func Learn(ctx context.Context, k *kitchen.Kitchen, book *logbook.Book, kept *Kept, asOf time.Time) (*Learned, error) {
	l := &Learned{}
	if book == nil {
		return l, nil
	}
	for s := range k.Steps {
		if k.Steps[s].Measures == nil {
			continue
		}
		if kept != nil && k.Now(kitchen.NamedStep, kept.Of) == k.Graph.Steps[s].Name {
			under, err := kept.Trialled(ctx, k, book, asOf)
			if err != nil {
				return nil, err
			}
			l.tried(k, s, kept.calledNow(k), under)
		}
		batches, err := book.Tastings(ctx, k, s, -1, asOf)
		if err != nil {
			return nil, err
		}
		if len(batches) < Enough {
			continue
		}
		measures, _, err := measuredOver(ctx, k.Steps[s].Measures, batches)
		if err != nil {
			return nil, err
		}
		l.went(k, s, measures)
	}
	return l, nil
}

// tried adds what a trial showed plainly.
func (l *Learned) tried(k *kitchen.Kitchen, step int, kept *Kept, under *Trialled) {
	for i := range under.Effects {
		e := &under.Effects[i]
		at := slices.IndexFunc(kept.Things, func(v Varied) bool { return v.Thing == e.Thing })
		if at < 0 || !e.Plain() || kept.Things[at].Unit != ofTheCard {
			continue
		}
		v := kept.Things[at]
		if line := lineOf(k, step, v.Thing); line >= 0 {
			l.add(learnt{step: step, line: line, of: e.of, slope: e.Effect / (v.Upper - v.Lower), usual: (v.Lower + v.Upper) / 2,
				low: v.Lower, high: v.Upper, mean: (e.Less + e.More) / 2, batches: len(kept.Batches), trial: true})
		}
	}
}

// went adds what was found to go with measures, the strongest first.
func (l *Learned) went(k *kitchen.Kitchen, step int, measures []Measured) {
	for m := range measures {
		for _, g := range measures[m].Goes {
			if !g.Found {
				continue
			}
			x := learnt{step: step, of: measures[m].of, slope: slope(g.X, g.Y), usual: median(g.X), low: slices.Min(g.X), high: slices.Max(g.X), mean: *measures[m].Mean, batches: g.Batches}
			name, is := g.Thing, false
			switch {
			case g.Word != "":
				if name, is = strings.CutSuffix(name, logbook.WentIn); !is {
					continue
				}
				x.way = asWhich
			case g.Unit == ofTheCard:
			default:
				if name, is = strings.CutSuffix(name, logbook.Drawn); !is {
					continue
				}
				x.way = asDrawn
			}
			if x.line = lineOf(k, step, name); x.line < 0 {
				continue
			}
			if x.way == asWhich {
				x.choice = slices.IndexFunc(k.Graph.Steps[step].Takes[x.line].Choices, func(c graph.Choice) bool { return k.Graph.Items[c.Item].Name == g.Word })
				if x.choice < 0 { // some of each
					continue
				}
			}
			l.add(x)
		}
	}
}

// add adds what is not known of the line already: what is known of two ways to count it moves the measure once.
func (l *Learned) add(x learnt) {
	if !slices.ContainsFunc(l.all, func(o learnt) bool { return o.step == x.step && o.line == x.line && o.of.Name == x.of.Name }) {
		l.all = append(l.all, x)
	}
}

// lineOf is the line of a step whose first choice has a name; -1 for none, or where several have.
func lineOf(k *kitchen.Kitchen, step int, name string) int {
	at := -1
	for n, line := range k.Graph.Steps[step].Takes {
		if k.Graph.Items[line.Choices[0].Item].Name == name {
			if at >= 0 {
				return -1
			}
			at = n
		}
	}
	return at
}

// slope is how much y rises for one more of x: the median of the slopes of all pairs that differ in x (Theil 1950, Sen 1968; from memory). Half of
// the pairs may be out before it goes astray. Of what is one way or the other it is the median of all differences between one of each
// (Hodges and Lehmann 1963, from memory).
func slope(x, y []float64) float64 {
	var all []float64
	for i := range x {
		for j := range i {
			if x[i] != x[j] {
				all = append(all, (y[i]-y[j])/(x[i]-x[j]))
			}
		}
	}
	if all == nil {
		return 0
	}
	return median(all)
}

// within is what a change makes of the mean of a measure: nothing is judged off its scale.
func (x *learnt) within(by float64) float64 {
	if x.of.Sort == kitchen.Judged {
		return min(max(x.mean+by, x.of.Low), x.of.High) - x.mean
	}
	return max(by, -math.Abs(x.mean))
}
