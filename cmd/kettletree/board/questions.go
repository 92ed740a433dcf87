package board

// What the command line answers as a table and no page answers better: how a figure was derived, what something comes from, how
// likely things are, what is open in the kitchen file.

import (
	"context"
	"slices"
	"strings"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/logbook"
	"kettletree/menu/rescue"
)

var (
	whyPage = textPage("/why", "How a figure comes about", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		figure := strings.TrimSpace(a.Query.Get("figure"))
		if figure == "" {
			return "", nil
		}
		name, when, dated := strings.Cut(figure, "@")
		name, err := a.named(strings.TrimSpace(name))
		if err != nil {
			return "", err
		}
		if dated {
			name += "@" + strings.TrimSpace(when)
		}
		d, err := ask.Why(ctx, a.Week, name, nil)
		if err != nil {
			return "", &Refusal{Msg: err.Error()}
		}
		return show.Why(p, d), nil
	}, "figure")

	originsPage = textPage("/origins", "What it comes from, what is made of it", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		of := strings.TrimSpace(a.Query.Get("of"))
		if of == "" {
			return "", nil
		}
		name, err := a.named(of)
		if err != nil {
			return "", err
		}
		t, err := ask.Trace(ctx, a.Week, name)
		if err != nil {
			return "", &Refusal{Msg: err.Error()}
		}
		return show.Trace(p, t), nil
	}, "of")

	chancePage = textPage("/chance", "How likely", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		if err := a.Week.Quick("chance plays the days draw by draw"); err != nil {
			return "", &Refusal{Msg: err.Error()}
		}
		c, err := ask.WhatIf(ctx, a.Week, nil)
		if err != nil {
			return "", err
		}
		if c.Chance, err = ask.Chance(ctx, a.Week, nil, ask.Wager{Seed: ask.UsualSeed}, nil); err != nil {
			return "", err
		}
		return show.WhatIf(p, rescue.WhatIf{Consequences: c}), nil
	})
)

// checkPage has the faults of the kitchen file as the command line shows them, with the lines that they point at, and what is open in it.
var checkPage = &page{Path: "/check", Name: "The kitchen file", File: "text", Answer: func(ctx context.Context, a *asked) (any, error) {
	open, err := ask.Open(ctx, a.Week)
	if err != nil {
		return nil, err
	}
	t := &textAnswer{}
	if faults := a.Faults.With(a.Kitchen.Advice); len(faults) > 0 {
		t.Faults = faults.Error()
	}
	t.Text = show.Open(a.textOn(t), open)
	return t, nil
}}

// named is the thing that a typed name means; where it may mean several, the refusal names them.
func (a *asked) named(typed string) (string, error) {
	_, noStep := a.Kitchen.FindStep(typed)
	_, noItem := a.Kitchen.FindItem(typed)
	if noStep == nil || noItem == nil {
		return typed, nil
	}
	name, may := meant(typed, slices.Concat(stepNames(a.Kitchen), itemNames(a.Kitchen, graph.Made, graph.Sold, graph.Bought)))
	switch {
	case name != "":
		return name, nil
	case len(may) > 0:
		return "", &Refusal{Msg: "nothing is called " + typed, Hint: "did you mean " + strings.Join(may, ", or ") + "?"}
	}
	return "", &Refusal{Msg: "nothing is called " + typed, Hint: "write the name of an item, a step or a dish"}
}

// dayPage has all that an inspector asks for one day: what was written down, with the limits on cooling; what was on hand at its end, lot
// by lot, with date marks; the allergens of each dish.
var dayPage = &page{Path: "/day", Name: "The inspector's day", File: "text", Takes: []string{"day"}, Answer: func(ctx context.Context, a *asked) (any, error) {
	t := &textAnswer{Takes: []string{"day"}, Said: a.Query.Get("day")}
	on := a.textOn(t)
	_, err := a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
		record, end, err := a.dayRecord(ctx, j)
		if err != nil {
			return "", err
		}
		t.Text = show.Record(on, record)
		o := a.board.Options
		o.Read, o.Now = a.Kitchen, end
		held, faults, err := menu.OnHand(ctx, o)
		switch {
		case err != nil:
			return "", err
		case held == nil:
			return "", &Refusal{Msg: "there is a mistake in what is on hand", Excerpt: faults.Error()}
		}
		spoken, _ := a.Week.InLanguage(a.voice.Language())
		t.More = append(t.More, fact{"On hand, lot by lot", show.OnHand(on, held)}, fact{"Allergens", show.Allergens(a.spokenOn(), ask.Allergens(spoken.Kitchen))})
		return "", nil
	})
	if refused := refusal(err); refused != nil {
		return nil, refused
	}
	return t, err
}}
