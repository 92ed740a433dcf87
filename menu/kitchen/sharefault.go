package kitchen

// Bounds on shares of a batch that a recipe breaks by itself.

import (
	"fmt"

	"kettletree/graph"
	"kettletree/graph/batch"
	"kettletree/graph/measure"
)

// checkShares refuses a recipe that breaks its own bounds at some stage, by its first choices or a bounded line's own
// substitutes, and warns of what breaks them when something optional is left out or another line has a substitute.
func (r *reader) checkShares(rec *recipe, st graph.Step) {
	bounds := batch.BoundsOf(st)
	if len(bounds) == 0 || !r.weighed(rec, st) {
		return
	}
	for _, on := range bounds {
		refused := false
		for c := range st.Takes[on.Line].Choices {
			choices := make([]int, len(st.Takes))
			choices[on.Line] = c
			stage, share, broken := batch.OfRecipe(r.items, st, choices).Furthest(on)
			if !broken {
				continue
			}
			refused = true
			ration := rec.uses[on.Line].choices[c]
			r.fault(r.part(rec.uses[on.Line].node, ration.at, ration.length), "share", "change the amount, or the bound",
				"%q is %s of the batch by weight%s, but should be %s %s", ration.item, FormatPercent(share), stage.Text(),
				on.Words(), FormatPercent(on.Share))
		}
		if !refused {
			r.warnOfShares(rec, st, on)
		}
	}
}

// weighed tells whether the weight of all that counts for a share is known, and refuses the recipe when it is not.
func (r *reader) weighed(rec *recipe, st graph.Step) bool {
	refuse := func(l writtenLine, item int) bool {
		r.fault(r.span(l.node), "no-bridge", bridgeHint(r.items[item], measure.Weight),
			"%q bounds a share of the batch by weight, but the weight of %q is not known", rec.name, r.items[item].Name)
		return false
	}
	for l, line := range st.Takes {
		for _, choice := range line.Choices {
			if _, ok := r.items[choice.Item].Grams(choice.Amount); !ok {
				return refuse(rec.uses[l], choice.Item)
			}
		}
	}
	for o, out := range st.Gives {
		if _, ok := r.items[out.Item].Grams(out.Amount); !ok && out.OutAt < st.Length() { // else nothing is left to share
			return refuse(rec.gives[o], out.Item)
		}
	}
	return true
}

// warnOfShares warns of the one thing that may happen to another line that breaks a bound furthest.
func (r *reader) warnOfShares(rec *recipe, st graph.Step, on batch.Bound) {
	var worst batch.Stage
	said, most, by := "", 0.0, 0.0
	judge := func(w batch.Weights, what string) {
		if stage, share, broken := w.Furthest(on); broken && on.Beyond(share) > by {
			worst, said, most, by = stage, what, share, on.Beyond(share)
		}
	}
	try := func(line, choice int, what string) {
		choices := make([]int, len(st.Takes))
		choices[line] = choice
		judge(batch.OfRecipe(r.items, st, choices), what)
	}
	for l, line := range st.Takes {
		first := r.items[line.Choices[0].Item].Name
		if line.Without > 0 && line.Without < 1 {
			judge(batch.WithLess(r.items, st, l, line.Without), fmt.Sprintf("with %s less %q, which it goes on without", FormatPercent(line.Without), first))
		}
		if l == on.Line {
			continue
		}
		switch {
		case line.Without == 1:
			try(l, -1, fmt.Sprintf("without %q, which is to taste", first))
		case line.Optional:
			try(l, -1, fmt.Sprintf("without %q, which is optional", first))
		}
		for c, choice := range line.Choices[1:] {
			try(l, c+1, fmt.Sprintf("with %q in place of %q", r.items[choice.Item].Name, first))
		}
	}
	if by == 0 {
		return
	}
	ration := rec.uses[on.Line].choices[0]
	r.warn(r.span(rec.uses[on.Line].node), "share-may-break", "change an amount or the bound, or mind it when that happens",
		"%s, %q is %s of the batch by weight%s, but should be %s %s", said, ration.item, FormatPercent(most), worst.Text(),
		on.Words(), FormatPercent(on.Share))
}
