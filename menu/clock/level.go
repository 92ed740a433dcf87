package clock

// How full a vessel is.

// level is how much stands in its vessel for a work, in millilitres, some minutes after its start: what is in by then,
// with what goes in at that minute when with is set, less what is out, and less what has boiled off.
func (t *table) level(i, after int, with bool) (millilitres float64) {
	w := &t.night.works[i]
	for _, x := range w.takes {
		if x.in < after || x.in == after && with {
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

// highest is the fullest that the vessel of a work gets, with and without what boils off, and the minutes after the
// start when it does. What goes in goes in before what is out at the same minute.
func (t *table) highest(i int) (level, still float64, when, whenStill int) {
	w := &t.night.works[i]
	for _, x := range w.takes {
		at := t.level(i, x.in, true)
		for _, y := range w.gives {
			if y.out == x.in {
				at += t.Volume(y.item, y.amount)
			}
		}
		for _, y := range w.takes {
			if y.out > 0 && y.out == x.in {
				at += t.Volume(y.item, y.amount)
			}
		}
		if at > level {
			level, when = at, x.in
		}
		if all := at + t.boiledOff(i, x.in); all > still {
			still, whenStill = all, x.in
		}
	}
	return level, still, when, whenStill
}
