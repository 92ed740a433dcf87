package kitchen

// Bounds on how strong a line is that a recipe breaks by itself.

import (
	"fmt"
	"math"

	"kettletree/graph"
	"kettletree/graph/batch"
	"kettletree/graph/measure"
)

// checkShares refuses a recipe that breaks its own bounds at some stage, by its first choices or a bounded line's own
// substitutes, and warns of what breaks them when something optional is left out or another line has a substitute.
func (r *reader) checkShares(rec *recipe, st graph.Step) {
	for l := range st.Takes {
		r.checkAlike(rec, st, l)
	}
	bounds := batch.BoundsOf(st)
	if len(bounds) == 0 || !r.weighed(rec, st) {
		return
	}
	for _, on := range bounds {
		refused := on.Drawn && !r.draws(rec, st, on)
		for c := range st.Takes[on.Line].Choices {
			if refused {
				break
			}
			choices := make([]int, len(st.Takes))
			choices[on.Line] = c
			stage, share, broken := batch.OfRecipe(r.items, st, choices).Furthest(on)
			if !broken {
				continue
			}
			refused = true
			ration := rec.uses[on.Line].choices[c]
			r.fault(r.part(rec.uses[on.Line].node, ration.at, ration.length), "share", "change the amount, or the bound",
				"%q %s%s, but should be %s %s", ration.item, Comes(on, "the batch", share), stage.Text(), on.Words(),
				FormatBounded(on, on.Limit))
		}
		if !refused {
			r.warnOfShares(rec, st, on)
		}
	}
}

// Comes says what a bounded line comes to in a batch: "is 7% of the batch by weight", "gives 130 g h/L to the batch".
func Comes(on batch.Bound, of string, value float64) string {
	if on.Drawn {
		return "gives " + FormatDrawn(value) + " to " + of
	}
	return "is " + FormatPercent(value) + " of " + of + " by weight"
}

// checkAlike warns of a substitute whose amount is not as strong as the first choice's, where the file says how strong they are.
func (r *reader) checkAlike(rec *recipe, st graph.Step, line int) {
	first := st.Takes[line].Choices[0]
	for c, choice := range st.Takes[line].Choices {
		like, ok := batch.AsStrong(r.items, st.Takes[line], c, choice.Amount)
		if part := like / first.Amount; ok && math.Abs(part-1) > unlike {
			ration := rec.uses[line].choices[c]
			amount := ration.Quantity
			amount.Amount /= part
			r.warn(r.part(rec.uses[line].node, ration.at, ration.length), "strength-unlike", "change the amount, or a strength",
				"%s of %q tastes %s as strong as %s of %q; as strong is %s", ration.Quantity, ration.item, FormatPercent(part),
				rec.uses[line].choices[0].Quantity, r.items[first.Item].Name, amount)
		}
	}
}

// steam settles what goes off of a step while it boils: as written, or what goes in by volume and does not come out so.
func (r *reader) steam(rec *recipe, st *graph.Step, sc *StepCard) {
	if len(sc.Phases) > 1 {
		st.BoilsFrom = sc.Phases[1].From
	}
	written := r.value(rec.body, "boils off")
	if st.BoilsFrom >= st.Length() {
		if written != nil && st.Length() == 0 {
			r.fault(r.span(written), "boils-without-end", `write ", out at 4 h" behind what it gives`,
				"something boils off of %q, but it does not say when it ends", rec.name)
		}
		return
	}
	in, out := 0.0, 0.0
	for _, l := range st.Takes {
		if c := l.Choices[0]; l.OutAt == 0 && r.items[c.Item].Unit.Kind == measure.Volume {
			in += c.Amount
		}
	}
	for _, o := range st.Gives {
		if r.items[o.Item].Unit.Kind == measure.Volume {
			out += o.Amount
		}
	}
	hours := float64(st.Length()-st.BoilsFrom) / 60
	if out > 0 {
		st.BoilsOff = max(0, in-out) / hours
	}
	if rec.boils >= 0 {
		if st.BoilsOff = rec.boils; st.BoilsOff*hours > in*(1+Slack) {
			r.fault(r.span(written), "boils-dry", "write less, or begin the boil later by a phase before it",
				"%s boil off of %q, but only %s go in", r.k.inPot(st.BoilsOff*hours), rec.name, r.k.inPot(in))
		}
	}
}

// draws tells whether what is drawn from a line is known, and refuses the recipe when it is not.
func (r *reader) draws(rec *recipe, st graph.Step, on batch.Bound) bool {
	choices := make([]int, len(st.Takes))
	switch p := batch.OfRecipe(r.items, st, choices); {
	case p.Litres == 0:
		r.fault(r.span(rec.uses[on.Line].node), "no-litres", "bound its share by weight, such as at most 6%",
			"a bound of %s is for what the step gives by volume, and %q gives nothing so", FormatDrawn(on.Limit), rec.name)
	case p.Drawn(on.Line) == 0:
		r.fault(r.span(rec.uses[on.Line].node), "no-hours", `write "in at" and "out at" behind it, or when what the step gives is out`,
			"a bound of %s goes by the hours that it is in, and %q does not say how long that is", FormatDrawn(on.Limit), rec.name)
	default:
		return true
	}
	return false
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
			if _, ok := r.weight(choice.Item, choice.Amount); !ok {
				return refuse(rec.uses[l], choice.Item)
			}
		}
	}
	for o, out := range st.Gives {
		if _, ok := r.weight(out.Item, out.Amount); !ok && out.OutAt < st.Length() { // else nothing is left to share
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
		"%s, %q %s%s, but should be %s %s", said, ration.item, Comes(on, "the batch", most), worst.Text(), on.Words(),
		FormatBounded(on, on.Limit))
}
