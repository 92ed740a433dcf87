package clock

// How full a vessel is.

// level is how much stands in its vessel for a work, in millilitres, some minutes after its start: what went in up to a
// minute, less what is out, and less what has boiled off.
func (t *table) level(i, after, in int) (millilitres float64) {
	w := &t.night.works[i]
	for _, x := range w.takes {
		if x.in <= in {
			millilitres += t.Volume(x.item, x.amount)
		}
		if x.out > 0 && x.out <= after {
			millilitres -= t.Volume(x.item, x.amount)
		}
	}
	for _, x := range w.gives {
		if x.out <= after {
			millilitres -= t.Volume(x.item, x.amount)
		}
	}
	return max(0, millilitres-w.batches*t.Graph.Steps[w.step].Steam(after))
}
