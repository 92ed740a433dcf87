package taste

// A blend of batches that are on hand and were measured, which comes out as it should.

import (
	"context"
	"math"
	"slices"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan/solve"
)

// Blend is a mix of the last batch with others of the same, and water where that is wanted.
type Blend struct {
	Of    string      `json:"of"` // the item
	In    string      `json:"in"` // "L", "gal" or "qt"
	Parts []BlendPart `json:"parts"`
	Reads []BlendRead `json:"reads"` // what it comes to, by mass balance
	Makes float64     `json:"makes"`
	Left  float64     `json:"left"` // of the last batch that does not go in; 0 where all of it does
}

// BlendPart is how much of a batch goes in.
type BlendPart struct {
	Day    string  `json:"day"` // on which the batch began, 2006-01-02; "" for water
	Amount float64 `json:"amount"`
}

// BlendRead is what the blend should read.
type BlendRead struct {
	Measure string  `json:"measure"`
	Unit    string  `json:"unit"`
	Value   float64 `json:"value"`
}

// source is a batch that can go into a blend.
type source struct {
	day   string
	water bool
	holds float64 // in the unit of the jug
	reads []float64
}

// wanted is where a blend is to come out.
type wanted struct{ low, high float64 }

// mixed solves the linear program of a blend: as much as can be of the first source, then as little water as can be, then as little as can be of
// all else, so that each reading is within its bounds and all of it has room. What is dissolved is in proportion to the volume: of thin stocks a litre is a kilo. It gives nil where
// nothing of the first source can go in.
func mixed(ctx context.Context, sources []source, aims []wanted, room float64) ([]float64, error) {
	var p solve.Problem
	for n, s := range sources {
		cost := 1.0
		switch {
		case n == 0:
			cost = -10_000
		case s.water:
			cost = 100
		}
		p.AddColumn(solve.Column{Name: s.day, Upper: s.holds, Cost: cost})
	}
	for m, aim := range aims {
		var over, under []solve.Entry
		for n, s := range sources {
			over = append(over, solve.Entry{Col: n, Value: s.reads[m] - aim.high})
			under = append(under, solve.Entry{Col: n, Value: s.reads[m] - aim.low})
		}
		p.AddRow("not more", math.Inf(-1), 0, over...)
		p.AddRow("not less", 0, math.Inf(1), under...)
	}
	if !math.IsInf(room, 1) {
		var all []solve.Entry
		for n := range sources {
			all = append(all, solve.Entry{Col: n, Value: 1})
		}
		p.AddRow("room", 0, room, all...)
	}
	found, err := solve.Solve(ctx, p, solve.Options{})
	const dust = 1e-6
	if err != nil || found.Status != solve.Optimal || found.X[0] < dust {
		return nil, err
	}
	return found.X, nil
}

// most sources of a blend beside the last batch and water: nobody opens more tubs than that.
const mostSources = 3

// blended looks for a blend of the last batch with what is on hand of others of the same step. It is nil where the last one is as it should
// be, where nothing that was measured is on hand beside it, and where the blend would be water alone, which is said already.
func blended(ctx context.Context, k *kitchen.Kitchen, book *logbook.Book, of Subject, measures []kitchen.Measure, batches []logbook.Tasting, asOf time.Time) (*Blend, error) {
	if of.Step < 0 || len(batches) < 2 {
		return nil, nil
	}
	item := liquidOf(k, of.Step).Item
	if k.Graph.Items[item].Unit.Kind != measure.Volume {
		return nil, nil
	}
	last := &batches[len(batches)-1]
	// What it is held to: all that is dissolved, is aimed at and was measured of the last batch.
	var held []*kitchen.Measure
	off := false
	for i := range measures {
		m := &measures[i]
		if v := readOf(last, m.Name); (m.Salt() > 0 || m.Sugar()) && m.Aim != nil && v != nil {
			held = append(held, m)
			off = off || *v < m.Aim.Low || *v > m.Aim.High
		}
	}
	if !off {
		return nil, nil
	}
	rests, err := book.Rests(ctx, k, of.Step, item, asOf)
	if err != nil {
		return nil, err
	}
	jug := jugOf(k, of.Step, item)
	var sources []source
	add := func(b *logbook.Tasting) {
		at := slices.IndexFunc(rests, func(r logbook.Rest) bool { return r.Begins.Equal(b.Begins) })
		if at < 0 {
			return
		}
		s := source{day: b.Begins.Format(time.DateOnly), holds: rests[at].Amount / jug.Factor}
		for _, m := range held {
			v := readOf(b, m.Name)
			if v == nil {
				return
			}
			s.reads = append(s.reads, *v)
		}
		sources = append(sources, s)
	}
	if add(last); len(sources) == 0 {
		return nil, nil // nothing of it is on hand any more
	}
	for i := len(batches) - 2; i >= 0 && len(sources) <= mostSources; i-- {
		add(&batches[i])
	}
	if len(sources) == 1 {
		return nil, nil
	}
	sources = append(sources, source{water: true, holds: 10 * sources[0].holds, reads: make([]float64, len(held))}) // water
	// The inner half of each aim, so that a slip of the hand stays within it.
	var aims []wanted
	for _, m := range held {
		quarter := (m.Aim.High - m.Aim.Low) / 4
		aims = append(aims, wanted{m.Aim.Low + quarter, m.Aim.High - quarter})
	}
	x, err := mixed(ctx, sources, aims, roomFor(k, of.Step, jug, sources[0].holds))
	if x == nil || err != nil {
		return nil, err
	}
	return blendOf(jug, k.Graph.Items[item].Name, held, sources, x), nil
}

// readOf is what was measured of a batch; nil where it was not.
func readOf(b *logbook.Tasting, name string) *float64 {
	for _, t := range b.Tastes {
		if t.Name == name {
			return t.Value
		}
	}
	return nil
}

// blendOf is a blend as it is measured out, with what it then reads. It is nil where no other batch goes in, or where what is measured out
// would miss an aim.
func blendOf(jug measure.Unit, item string, held []*kitchen.Measure, sources []source, x []float64) *Blend {
	b := &Blend{Of: item, In: jug.Name, Parts: []BlendPart{}, Reads: []BlendRead{}}
	others := false
	sums := make([]float64, len(held))
	for n, s := range sources {
		amount := min(jugRound(jug, x[n]+jugStep(jug, x[n])/2), math.Floor(s.holds*20)/20) // to the nearest that there is
		if amount == 0 {
			continue
		}
		others = others || n > 0 && !s.water
		b.Parts = append(b.Parts, BlendPart{s.day, amount})
		b.Makes += amount
		for m := range held {
			sums[m] += amount * s.reads[m]
		}
	}
	if !others || b.Parts[0].Day != sources[0].day { // so little of the last batch fits in that no jug measures it
		return nil
	}
	for m, of := range held {
		v := sums[m] / b.Makes
		if v < of.Aim.Low || v > of.Aim.High {
			return nil
		}
		b.Reads = append(b.Reads, BlendRead{of.Name, of.Unit, v})
	}
	b.Left = sources[0].holds - b.Parts[0].Amount
	return b
}
