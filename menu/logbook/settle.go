package logbook

// Which batch an entry means, and what of it is by the card: found when it is written, and kept with it.

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Settle fills in what an entry about a batch leaves out, before it is kept: the step, where only an item was written, the day on
// which the batch was to begin, how many batches were lit, the card, and what is by the card. Its time must be set. Other entries
// stay as they are; one that decides about a service that the day does not have is refused. The error is an [*EntryError].
func (j *Book) Settle(ctx context.Context, k *kitchen.Kitchen, e Entry) (Entry, error) {
	if !e.Kind.OfBatch() {
		return e, e.decides(k)
	}
	if e.Corrects != 0 { // it is about the batch of the other, unless it says another
		list, err := read(ctx, j.db, "WHERE e.id = ? ORDER BY a.place", e.Corrects)
		if err != nil {
			return e, j.fault(err)
		}
		for _, old := range list {
			if e.At.IsZero() {
				e.At = old.At
			}
			if e.Step = cmp.Or(e.Step, old.Step); e.Day == "" && e.Step == old.Step {
				e.Begins = old.Begins
			}
		}
	}
	if e.Step == "" {
		step, err := stepOf(k, &e)
		if err != nil {
			return e, err
		}
		e.Step = k.Graph.Steps[step].Name
	}
	e.Begins = e.On(k)
	if e.Kind != Lit {
		return e, nil
	}
	step, err := k.FindStep(e.Step)
	if err != nil {
		return e, err
	}
	if e.Batches == 0 {
		e.Batches = 1
	}
	st := k.Graph.Steps[step]
	e.Card = cardOf(k, st, e.Batches, e.Takes)
	e.Takes = takenByCard(k, st, e.Batches, e.Takes, func(line graph.Line) bool { return line.InAt == 0 })
	return e, nil
}

// cardOf is what still goes into a batch that is lit, of which some was written, and what comes out of it.
func cardOf(k *kitchen.Kitchen, st graph.Step, batches float64, written []Amount) (card []Due) {
	due := func(item int, amount float64, out bool, after int) {
		it := k.Graph.Items[item]
		card = append(card, Due{it.Name, amount * batches, it.Unit.Kind, out, after})
	}
	for _, line := range st.Takes {
		if line.InAt > 0 && !slices.ContainsFunc(line.Choices, func(c graph.Choice) bool { return names(written, k.Graph.Items[c.Item].Name) }) {
			due(line.Choices[0].Item, line.Choices[0].Amount, false, line.InAt)
		}
	}
	for _, out := range st.Gives {
		due(out.Item, out.Amount, true, out.OutAt)
	}
	return card
}

// stepOf finds the one step that takes what was put in, or gives what was taken out.
func stepOf(k *kitchen.Kitchen, e *Entry) (int, error) {
	has := func(step int, item string) bool {
		for _, line := range k.Graph.Steps[step].Takes {
			for _, c := range line.Choices {
				if e.Kind == PutIn && k.Graph.Items[c.Item].Name == item {
					return true
				}
			}
		}
		return e.Kind == Out && slices.ContainsFunc(k.Graph.Steps[step].Gives,
			func(o graph.Output) bool { return k.Graph.Items[o.Item].Name == item })
	}
	what, does := e.Takes, "takes"
	if e.Kind == Out {
		what, does = e.Gives, "gives"
	}
	var steps []int
	var stepNames, items []string
	for step, st := range k.Graph.Steps {
		if st.Mode != graph.ToOrder && !slices.ContainsFunc(what, func(a Amount) bool { return !has(step, a.Item) }) {
			steps, stepNames = append(steps, step), append(stepNames, st.Name)
		}
	}
	for _, a := range what {
		items = append(items, a.Item)
	}
	switch len(steps) {
	case 1:
		return steps[0], nil
	case 0:
		return 0, &EntryError{fmt.Sprintf("no batch %s %s", does, measure.FormatList(items)), "name one: " + string(e.Kind) + " " + Forms[e.Kind]}
	}
	return 0, &EntryError{fmt.Sprintf("several batches can be meant: %s", measure.FormatList(stepNames)),
		fmt.Sprintf("say which: %s %s of %s", e.Kind, e.Text, stepNames[0])}
}
