package clock

// Forwards: what is late when a batch begins at another time.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/week"
)

// Late is something that comes too late for what it was meant for.
type Late struct {
	Item   string   `json:"item"`
	Step   string   `json:"step"`   // that gives it, with its day: "night kettle of Tue 24 Nov"
	Comes  string   `json:"comes"`  // 2006-01-02T15:04
	Needed string   `json:"needed"` // 2006-01-02T15:04
	By     int      `json:"late_minutes"`
	For    string   `json:"for"`    // the service, as "Wed 25 Nov lunch", or the step with its day
	Dishes []string `json:"dishes"` // of the service, those that rest on it

	minute int
}

// Short is a dish that sells less: portions without the late batch (before) and with it (after).
type Short struct {
	Dish    string   `json:"dish"`
	Service Service  `json:"service"`
	Before  int      `json:"before"`
	After   int      `json:"after"`
	RunsOut *string  `json:"runs_out"` // 15:04; null when it does not run out
	Because []string `json:"because"`
}

// Instead is a substitute that is taken.
type Instead struct {
	In        string   `json:"in"`     // the step or dish that takes it
	Item      string   `json:"item"`   // the substitute
	For       string   `json:"for"`    // the first choice
	Amount    float64  `json:"amount"` // more than without
	Unit      string   `json:"unit"`
	Allergens []string `json:"allergens"`          // that it brings and the first choice does not, as the file states them
	May       []string `json:"may_contain"`        // that it may contain, and the first choice is not said to
	Unstated  []string `json:"allergens_unstated"` // bought items behind it whose allergens the file does not state
	Tastes    string   `json:"tastes,omitempty"`   // how much of the first choice it tastes like, in words, where it is stronger or milder

	Many string `json:"-"` // what several of the item are called, where it is counted
}

// Beginning is a batch that begins at another time than it is planned.
type Beginning struct {
	Text      string // as typed
	step, day int
	late      int // minutes; below zero: sooner
}

// Lit reads "night kettle@tue=00:40": the step, its day, and when it begins. Of the nights round the planned time, the
// time of day is that which lies nearest to it; from 24:00 on it is of the day after the one that is named, as everywhere.
func Lit(w *week.Week, text string) (Beginning, error) {
	named, _, _ := strings.Cut(text, "@")
	if named, _, _ = strings.Cut(named, "="); strings.TrimSpace(named) == "" {
		named = w.Example().Step
	}
	form := fmt.Sprintf("write it as \"%s@%s=00:40\"", w.Spelt(named), w.Example().Day)
	at := strings.LastIndex(text, "=")
	if at < 0 {
		return Beginning{}, errors.New("begins when? " + form)
	}
	clock, err := measure.ParseClock(strings.TrimSpace(text[at+1:]))
	if err != nil {
		return Beginning{}, err
	}
	name, dayText, dated := strings.Cut(text[:at], "@")
	step, err := w.FindStep(strings.TrimSpace(name))
	if err != nil {
		return Beginning{}, err
	}
	if w.Graph.Steps[step].Mode != graph.OnDays {
		return Beginning{}, fmt.Errorf("%q does not run on set days: it begins when it is needed", w.Graph.Steps[step].Name)
	}
	if w.Steps[step].Starts == flow.Untimed {
		return Beginning{}, fmt.Errorf("%q has no time of its own: write \"starts\" in the kitchen file",
			w.Graph.Steps[step].Name)
	}
	var days []int
	for _, r := range w.Case.Schedule.Batches {
		if r.Step == step && r.Day < w.Days && r.Size > 0 {
			days = append(days, r.Day)
		}
	}
	all := slices.Clone(days)
	if dated {
		named, err := w.DaysNamed(strings.TrimSpace(dayText))
		if err != nil {
			return Beginning{}, err
		}
		days = slices.DeleteFunc(days, func(d int) bool { return !slices.Contains(named, d) })
	}
	if len(days) != 1 {
		var dates []string
		for _, d := range all {
			dates = append(dates, w.DayName(d))
		}
		if len(all) == 0 {
			return Beginning{}, fmt.Errorf("%q does not run from %s to %s", w.Graph.Steps[step].Name, w.DayName(0),
				w.DayName(w.Days-1))
		}
		return Beginning{}, fmt.Errorf("on which day? %q runs on %s: %s", w.Graph.Steps[step].Name, strings.Join(dates,
			", "), form)
	}
	late := clock - w.Steps[step].Starts
	if clock < 24*60 {
		if late = (late%1440 + 1440) % 1440; late > 720 {
			late -= 1440
		}
	}
	return Beginning{text, step, days[0], late}, nil
}

// IfLit is the timetable of the week with batches that begin at other times, and what is late then.
func IfLit(ctx context.Context, w *week.Week, begin []Beginning, on *int) (*Timetable, error) {
	before, err := newTable(ctx, w, w.Case)
	if err != nil {
		return nil, err
	}
	var changes []week.Shock
	var sooner []flow.Shock
	for _, b := range begin {
		if b.late <= 0 {
			sooner = append(sooner, flow.Delay{Step: b.step, Day: b.day, Minutes: b.late})
			continue
		}
		s, err := w.Shock("late", fmt.Sprintf("%s@%s=%d min", w.Graph.Steps[b.step].Name,
			w.Date(b.day).Format(time.DateOnly), b.late))
		if err != nil {
			return nil, err
		}
		changes = append(changes, s)
	}
	a, err := ask.WhatIf(ctx, w.With(w.Case.With(sooner...)), changes)
	if err != nil {
		return nil, err
	}
	t, err := newTable(ctx, w, a.After.Case)
	if err != nil {
		return nil, err
	}
	for _, b := range begin {
		t.Lit = append(t.Lit, b.Text)
	}
	t.late(before)
	for _, d := range a.Dishes {
		if d.After < d.Before {
			day := slices.IndexFunc(w.Sittings, func(s week.Sitting) bool {
				return s.Day == d.Day && s.Service >= 0 && w.Services[s.Service].Name == d.Service
			})
			t.Short = append(t.Short, Short{d.Name, Service{w.SittingName(day), stamp(w, t.night.schedule.Slots[day].Start)},
				d.Before, d.After, d.RunsOut, d.Because})
		}
	}
	for _, d := range a.Departures {
		if d.Kind == ask.Substituted {
			t.Instead = append(t.Instead, Instead{In: d.In, Item: d.Item, For: d.For, Amount: d.Amount, Unit: d.Unit, Allergens: d.Allergens, May: d.May,
				Unstated: slices.Concat([]string{}, d.Unstated), Tastes: d.Tastes, Many: d.Many})
		}
	}
	return t.Timetable, t.fill(ctx, func(int) bool { return true }, on)
}

// late finds what comes later than what it was meant for begins. What waits for it is not late by itself.
func (t *table) late(before *table) {
	type to struct {
		from, item, slot, work int // slot: -1 for a batch; work: -1 for a service
	}
	b := before.night
	dishes := map[to][]int{}
	needed := map[to]int{}
	var order []to
	for i, w := range b.works {
		if w.kind != batch {
			continue
		}
		for _, g := range w.gives {
			if t.night.comes(w.runs[0])+g.out <= w.at+g.out {
				continue
			}
			for _, x := range b.meant(i, g.item) {
				key := to{i, g.item, x.slot, x.work}
				if x.work >= 0 { // it may begin later too
					x.at = t.night.comes(b.works[x.work].runs[0])
				}
				if t.night.comes(w.runs[0])+g.out <= x.at {
					continue
				}
				if _, seen := needed[key]; !seen {
					needed[key] = x.at
					order = append(order, key)
				}
				if x.dish >= 0 && !slices.Contains(dishes[key], x.dish) {
					dishes[key] = append(dishes[key], x.dish)
				}
			}
		}
	}
	for _, key := range order {
		w := &b.works[key.from]
		out := 0
		for _, g := range w.gives {
			if g.item == key.item {
				out = g.out
			}
		}
		comes := t.night.comes(w.runs[0]) + out
		l := Late{Item: t.Graph.Items[key.item].Name, Step: before.called(key.from), Comes: stamp(t.Week, comes),
			Needed: stamp(t.Week, needed[key]),
			By:     comes - needed[key], Dishes: []string{}, minute: needed[key]}
		if key.work >= 0 {
			l.For = before.called(key.work)
		} else {
			l.For = t.SittingName(key.slot)
		}
		slices.Sort(dishes[key])
		for _, d := range dishes[key] {
			l.Dishes = append(l.Dishes, t.Kitchen.Dishes[d].Name)
		}
		t.Late = append(t.Late, l)
	}
	slices.SortStableFunc(t.Late, func(a, b Late) int { return cmp.Compare(a.minute, b.minute) })
}

// comes is when a run begins.
func (n *night) comes(run int) int { return n.outcome.Ran[run].Start }

// meaning is one who takes something at a set moment: a dish at a service, or a batch with a clock.
type meaning struct{ at, slot, work, dish int }

// meant are those who take what a work gives of an item at a moment that does not wait for it, straight from it or by
// way of what is made to order or of all there is.
func (n *night) meant(i, item int) (list []meaning) {
	seen := map[int]bool{}
	var queue []int
	next := func(from, only int) {
		for _, k := range n.works[from].to {
			if e := n.edges[k]; (only < 0 || e.item == only) && !seen[e.to] {
				seen[e.to] = true
				queue = append(queue, e.to)
			}
		}
	}
	for next(i, item); len(queue) > 0; queue = queue[1:] {
		switch w := &n.works[queue[0]]; {
		case w.kind == plate:
			list = append(list, meaning{w.at, w.slot, -1, w.step - len(n.Steps)})
		case w.kind == batch && w.fixed:
			list = append(list, meaning{w.at, -1, queue[0], -1})
		case w.kind != batch && w.kind != pot:
			next(queue[0], -1)
		}
	}
	return list
}
