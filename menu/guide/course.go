package guide

// Batches told stage by stage, as their cards have them: what goes in and comes out when.

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Course is one batch of a step from its start to its end, by its card and with first choices.
type Course struct {
	Step string `json:"step"`
	Telling
	Station string  `json:"station"` // the vessel, or "bench", where the file names none
	Vessel  string  `json:"vessel"`  // "" for none
	Starts  string  `json:"starts"`  // 15:04; "" when none is set
	Batches []Run   `json:"batches"`
	Stages  []Stage `json:"stages"`
	Without Effect  `json:"without"` // what is sold when every batch of the period is lost

	dangers Dangers // of this batch alone: its station has those of all that is done there
}

// Stage is a moment of a batch at which something is done.
type Stage struct {
	After  int      `json:"after_minutes"` // since the start
	Phase  string   `json:"phase"`         // that begins now; "" for none
	In     []Line   `json:"in"`
	Out    []Output `json:"out"`
	Litres *float64 `json:"litres"` // about what the vessel then holds; null without a vessel or a set time

	inPot measure.Quantity // the same, as the kitchen measures
}

// Output is what a batch gives.
type Output struct {
	Of    Amount   `json:"of"`
	OutAt int      `json:"out_after_minutes"`
	Into  []string `json:"into"`            // steps and dishes that take it by first choice, four at most
	More  int      `json:"more"`            // others of them
	Waste bool     `json:"waste,omitempty"` // it went in, and is taken out and thrown away
}

// courses tells of what begins at a set time, and of the pot, where it is made in the days of the guide.
func (b *builder) courses(ctx context.Context) error {
	b.guide.Story = []Course{}
	b.lost = make([]Effect, len(b.Steps))
	pot := b.Pot()
	if pot >= 0 && len(b.runs(pot)) == 0 {
		pot = -1
	}
	for s := range b.Steps {
		if len(b.runs(s)) == 0 {
			continue
		}
		if err := context.Cause(ctx); err != nil {
			return err
		}
		var err error
		if b.lost[s], err = effect(ctx, b.mishaps, b.Lost(s, flow.EveryDay)); err != nil {
			return err
		}
	}
	for s, card := range b.Steps {
		switch {
		case s == pot:
			c := b.course(s)
			c.dangers = b.dangers([]int{pot})
			b.guide.Pot = &c
		case card.Starts != flow.Untimed && len(b.runs(s)) > 0:
			b.guide.Story = append(b.guide.Story, b.course(s))
		}
	}
	for n := range b.guide.Stations {
		st := &b.guide.Stations[n]
		if at := slices.Index(st.of, pot); at >= 0 {
			st.Recipes[at].Pot = true
		}
	}
	return nil
}

// course lays the card of a step out over the time of a batch.
func (b *builder) course(s int) Course {
	card, st := b.Steps[s], b.Graph.Steps[s]
	c := Course{Step: st.Name, Telling: b.telling(s), Station: card.Station, Batches: b.runs(s), Stages: []Stage{}, Without: b.lost[s]}
	if card.Vessel >= 0 {
		c.Vessel = b.Vessels[card.Vessel].Name
	}
	c.Station = cmp.Or(c.Station, c.Vessel, bench)
	if card.Starts != flow.Untimed && !card.Unsaid.Out { // else nobody knows at which time what comes out
		c.Starts = measure.FormatClock(card.Starts)
	}
	moments := map[int]bool{0: true, st.Length(): true}
	for _, l := range st.Takes {
		moments[l.InAt] = true
		moments[l.OutAt] = true
	}
	for _, o := range st.Gives {
		moments[o.OutAt] = true
	}
	for _, p := range card.Phases {
		moments[p.From] = true
	}
	held, lines := 0.0, b.lines(s) // millilitres
	for _, after := range slices.Sorted(maps.Keys(moments)) {
		g := Stage{After: after, In: []Line{}, Out: []Output{}}
		for n, l := range st.Takes {
			first := l.Choices[0]
			if l.InAt == after {
				g.In = append(g.In, lines[n])
				held += b.Volume(first.Item, first.Amount)
			}
			if l.OutAt > 0 && l.OutAt == after { // else it stays in
				g.Out = append(g.Out, Output{Of: b.amountOn(s, n, first.Item, first.Amount), OutAt: after, Into: []string{}, Waste: true})
				held -= b.Volume(first.Item, first.Amount)
			}
		}
		for _, o := range st.Gives {
			if o.OutAt == after {
				g.Out = append(g.Out, b.output(s, o.Item, o.Amount, after))
				held -= b.Volume(o.Item, o.Amount)
			}
		}
		for _, p := range card.Phases {
			if p.From == after {
				g.Phase = p.Name
			}
		}
		if card.Vessel >= 0 && c.Starts != "" && after < st.Length() {
			level := max(0, held-st.Steam(after))
			g.Litres, g.inPot = new(level/1000), b.InPot(level)
		}
		c.Stages = append(c.Stages, g)
	}
	return c
}

// mostInto is how many users of an item are named; of the others there is a number.
const mostInto = 4

// output is what a batch of a step gives of an item, with the steps and dishes that take it by first choice.
func (b *builder) output(s, item int, base float64, after int) Output {
	o := Output{Of: b.amountOn(s, kitchen.AnyLine, item, base), OutAt: after, Into: []string{}}
	for _, user := range b.Graph.Steps {
		if !slices.ContainsFunc(user.Takes, func(l graph.Line) bool { return l.Choices[0].Item == item }) {
			continue
		}
		if len(o.Into) < mostInto {
			o.Into = append(o.Into, user.Name)
		} else {
			o.More++
		}
	}
	return o
}
