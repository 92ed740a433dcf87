package batch

// How much of one thing tastes as strong as another.

import "kettletree/graph"

// AsStrong is how much of a line's first choice tastes as strong as an amount of another choice, in base units: 2.5 kg of a ham
// bone of strength 1 for 5 kg of one of strength 0.5. ok is false where a weight is not known, or no file says that the two
// differ.
func AsStrong(items []graph.Item, line graph.Line, choice int, amount float64) (first float64, ok bool) {
	is, it := items[line.Choices[0].Item], items[line.Choices[choice].Item]
	if choice == 0 || is.Strong() == it.Strong() {
		return 0, false
	}
	one, known := is.Grams(1)
	other, weighed := it.Grams(1)
	if !known || !weighed {
		return 0, false
	}
	return amount * other * it.Strong() / (one * is.Strong()), true
}

// Worst is the stage at which a value is nearest to its bound, or furthest beyond it, and the value then.
func (p Weights) Worst(b Bound) (s Stage, value float64) {
	if own := p.Ins[b.Line]; b.Drawn {
		return Stage{From: own.In, To: min(own.Out, p.step.Length())}, p.Drawn(b.Line)
	}
	first := true
	for _, at := range p.Stages() {
		if !at.In[b.Line] {
			continue
		}
		if is := p.share(b, at); first || b.Most && is > value*(1+rounding) || !b.Most && is < value*(1-rounding) {
			s, value, first = at, is, false
		}
	}
	return s, value
}

// All is the weight in the pot at a stage, in grams, as a bound looks at it: at its end for "at most", at its beginning for "at
// least", without what has gone off as steam by then.
func (p Weights) All(b Bound, s Stage) (grams float64) {
	return p.others(b, s) + p.Ins[b.Line].Grams
}
