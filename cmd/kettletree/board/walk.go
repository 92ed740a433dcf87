package board

// The map step by step: one thing in the middle, what it comes from on one side and what it goes into on the other. It begins at the
// pot, on which the most hangs.

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/draw"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// potBox is the box of the pot in a picture: its own, or else that of something that it gives.
func potBox(k *kitchen.Kitchen, p *draw.Picture) string {
	pot, item := k.Pot(), ""
	for _, n := range p.Nodes {
		switch {
		case pot < 0:
		case n.Step == pot:
			return n.ID
		case item == "" && slices.ContainsFunc(k.Graph.Steps[pot].Gives, func(o graph.Output) bool { return o.Item == n.Item }):
			item = n.ID
		}
	}
	return item
}

// became is what became of a thing by the changes that are asked about.
type became struct {
	Words string // "short: 14 of 70 L"; "" for untouched
	Out   bool
}

// becomes tells what became of the things around one.
func (a *asked) becomes(ctx context.Context, shocks []week.Shock, around string) (map[string]became, error) {
	if len(shocks) == 0 {
		return nil, nil
	}
	picture, err := ask.Map(ctx, a.Week, shocks, around, ask.ByShortage)
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	if err != nil {
		return nil, &Refusal{Msg: err.Error()}
	}
	of := map[string]became{}
	for _, n := range picture.Nodes {
		if n.State == draw.Short || n.State == draw.Out {
			of[n.Name] = became{cmp.Or(n.StateWords, map[draw.State]string{draw.Short: "short", draw.Out: "OUT"}[n.State]), n.State == draw.Out}
		}
	}
	return of, nil
}

// find takes what was typed into the search: the name of a thing, or a part of one, in any of the languages of the file. Where it may
// mean several things, they are a list to tap.
func (m *mapAnswer) find(a *asked, typed string) (name string) {
	_, noStep := a.Kitchen.FindStep(typed)
	_, noItem := a.Kitchen.FindItem(typed)
	if noStep == nil || noItem == nil {
		return typed
	}
	all := slices.Concat(stepNames(a.Kitchen), itemNames(a.Kitchen, graph.Made, graph.Sold, graph.Bought))
	if name, m.Meant = meant(typed, all); name != "" {
		a.Query.Set("item", name)
		return name
	}
	m.Typed = typed
	return ""
}

// next is how many of the batches of a step are offered to be asked about at once; the others are a tap away.
const next = 3

// losses are what can be lost of a step, or be late: its batches that are still to come, the next one first.
func (c *chosen) losses(a *asked, step int) {
	st := a.Kitchen.Graph.Steps[step]
	own := c.step == step
	of := "" // the step, where another thing's losses are listed
	if !own {
		of = a.Called(st.Name) + " "
	}
	switch st.Mode {
	case graph.AllOf:
		c.Lost = append(c.Lost, whatIf{"lose", st.Name, of + a.T("all lost")})
	case graph.OnDays:
		var all []whatIf
		var late *whatIf
		for _, pot := range a.Week.Case.Schedule.Pots {
			if pot.Step == step {
				all = append(all, whatIf{"lose", batch(a.Week, step, pot.Day).Value, of + a.T("%[1]s lost", a.shortDay(pot.Day))})
			}
		}
		for _, b := range batches(a.Week, a.today(), a.Week.Days-1) {
			name, day, _ := strings.Cut(b.Value, "@")
			if name != st.Name {
				continue
			}
			days, err := a.Week.DaysNamed(day)
			if err != nil || slices.ContainsFunc(all, func(w whatIf) bool { return w.Text == b.Value }) {
				continue
			}
			short := a.shortDay(days[0])
			all = append(all, whatIf{"lose", b.Value, of + a.T("%[1]s lost", short)})
			if late == nil {
				late = &whatIf{"late", b.Value + "=2 h", of + a.T("%[1]s 2 h late", short)}
			}
		}
		c.Lost = append(c.Lost, all[:min(next, len(all))]...)
		if late != nil {
			c.Lost = append(c.Lost, *late)
		}
		c.Others = append(c.Others, all[min(next, len(all)):]...)
	}
}

// shortDay is a day of the week as it is said in little room: "Tue", or with its date where there are two of them.
func (a *asked) shortDay(day int) string {
	if a.Week.Days > 7 || day < 0 {
		return a.voice.Day(a.Week.Date(day))
	}
	return a.voice.Weekday(a.Week.Date(day))
}

// weekday is the name of a day of the week.
func (a *asked) weekday(d time.Weekday) string {
	return a.voice.Weekday(time.Date(2026, 11, 22+int(d), 0, 0, 0, 0, time.UTC)) // a Sunday
}

// Holds tells that a change is among those that are asked about.
func (m *mapAnswer) Holds(w whatIf) bool {
	return m.After != nil && slices.ContainsFunc(m.After.Changes, func(c urlChange) bool { return c.Kind == w.Kind && c.Text == w.Text })
}
