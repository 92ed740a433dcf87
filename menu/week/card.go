package week

// Keeping to the card: the week in which nothing takes the place of anything, and nothing is left out.

import (
	"fmt"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// Card says which cards are kept to. The zero value keeps to none: a substitute is taken where a first choice is used up, and
// what may be left out is.
type Card struct {
	All    bool
	Dishes []string // each with the steps that it comes of
}

// None tells whether no card is kept to.
func (c Card) None() bool { return !c.All && len(c.Dishes) == 0 }

// ToTheCard is the week in which cards are kept to: of all dishes, or of some and of all that they come of. What is on hand is worth
// the same in it. What has gone into a pot by now has gone in.
func (w *Week) ToTheCard(c Card) (*Week, error) {
	if c.None() {
		return w, nil
	}
	of := make([]bool, len(w.Graph.Steps))
	var names []string
	for _, name := range c.Dishes {
		d, err := w.FindDish(name)
		if err != nil {
			return nil, err
		}
		if names = append(names, w.Kitchen.Dishes[d].Name); c.All {
			continue
		}
		for _, node := range w.Graph.Upstream(w.Kitchen.Dishes[d].Item) {
			if step := node - len(w.Graph.Items); step >= 0 {
				of[step] = true
			}
		}
	}
	kept, err := w.strictly(func(step, _ int) bool { return c.All || of[step] })
	if err != nil {
		return nil, err
	}
	says := "every dish is kept to its card: nothing takes the place of anything, and nothing is left out"
	if !c.All {
		slices.Sort(names)
		says = fmt.Sprintf("kept to the card, with all that goes in: %s", measure.FormatList(slices.Compact(names)))
	}
	kept.Notes = append(slices.Clone(w.Notes), says)
	return kept, nil
}

// Refusing is the week, and a case of it, in which one line of a step is filled as its card has it, or not at all.
func (w *Week) Refusing(c flow.Case, step, line int) (*Week, flow.Case, error) {
	kept, err := w.strictly(func(s, l int) bool { return s == step && l == line })
	if err != nil {
		return nil, c, err
	}
	if c == w.Case {
		return kept, kept.Case, nil
	}
	c, err = c.Over(kept.Graph)
	return kept, c, err
}

// strictly is the week in which some lines are filled as their cards have it.
func (w *Week) strictly(strict func(step, line int) bool) (*Week, error) {
	g, err := flow.KeptTo(w.Graph, strict)
	if err != nil {
		return nil, err
	}
	return w.on(g)
}

// on is the week over a graph of the same items and steps.
func (w *Week) on(g *graph.Graph) (*Week, error) {
	c, err := w.Case.Over(g)
	if err != nil {
		return nil, err
	}
	cards := *w.Kitchen
	cards.Graph = g
	other := w.With(c)
	other.Kitchen = &cards
	return other, nil
}
