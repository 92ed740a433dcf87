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
	return max(0, millilitres-t.boiledOff(i, after))
}

// boiledOff is what has gone off some minutes after the start: what goes in and does not come out, in equal parts over
// the boil, which begins with the second phase, or at once where there are no phases. Spent bones count as if they went
// off too, for the file does not tell them from steam.
func (t *table) boiledOff(i, after int) (millilitres float64) {
	w := &t.night.works[i]
	for _, x := range w.takes {
		if x.out == 0 {
			millilitres += t.Volume(x.item, x.amount)
		}
	}
	for _, x := range w.gives {
		millilitres -= t.Volume(x.item, x.amount)
	}
	boil := 0
	if p := t.Steps[w.step].Phases; len(p) > 1 {
		boil = p[1].From
	}
	if millilitres <= 0 || after <= boil {
		return 0
	}
	return millilitres * float64(after-boil) / float64(w.length-boil)
}
