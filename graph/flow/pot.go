package flow

// Batches that are under way when a walk begins, or when it ends.

import "slices"

// potTakes is the number of lines that pots still take.
func (s *Schedule) potTakes() (n int) {
	for k := range s.Pots {
		n += len(s.Pots[k].Takes)
	}
	return n
}

// potLine finds a line by its number among all that pots give, one pot after another.
func (s *Schedule) potLine(n int) (pot, line int) {
	for n >= len(s.Pots[pot].Gives) {
		n -= len(s.Pots[pot].Gives)
		pot++
	}
	return pot, n
}

// eachPutIn goes through what was put into pots in an outcome of the schedule.
func (s *Schedule) eachPutIn(o *Outcome, each func(pot *Pot, item int, amount float64)) {
	n := 0
	for k := range s.Pots {
		for _, t := range s.Pots[k].Takes {
			each(&s.Pots[k], t.Item, o.PutIn[n])
			n++
		}
	}
}

// factor is what a line of what a pot gives is multiplied with.
func (p *Pot) factor(line int) float64 {
	if p.Yields == nil {
		return 1
	}
	return p.Yields[line]
}

// putIn sets aside what the pots still take, before anyone else takes of it: what is on hand, then what can be bought. What is
// not there is not put in, unless an item was late (else -1), and has come, before it was to go in.
func (w *Walker) putIn(late int32) {
	n := 0
	for k := range w.s.Pots {
		pot := &w.s.Pots[k]
		p := w.f.net.place[pot.Step]
		for _, t := range pot.Takes {
			i, missing := int32(t.Item), t.Amount-w.out.PutIn[n]
			n++
			if missing <= t.Amount*slack || late >= 0 && (i != late || int32(t.Minute) < w.now) {
				continue
			}
			if more := missing - w.have[i]; more > 0 && w.source[i] >= 0 {
				w.put(i, more, w.day, w.buy(i, more))
			}
			part := min(missing, w.have[i])
			w.draw(i, part)
			w.out.PutIn[n-1] += part
			w.rec.note(w.now, Took, i, p, int32(k), part)
		}
	}
}

// potGives is what comes of a line of what pots give, by its number, and what of it is lost; what comes beyond what was
// counted as on hand is entered as made.
func (w *Walker) potGives(n int) (i int32, kept, lost float64) {
	pot, line := w.s.potLine(n)
	p := &w.s.Pots[pot]
	g := p.Gives[line]
	all := g.Amount * p.factor(line)
	kept, lost = all*(1-p.Lost), all*p.Lost
	w.out.Made[g.Item] += kept - g.Amount
	return int32(g.Item), kept, lost
}

// comeOut brings in a line of what pots give.
func (w *Walker) comeOut(n int) {
	pot, _ := w.s.potLine(n)
	p := w.f.net.place[w.s.Pots[pot].Step]
	i, kept, lost := w.potGives(n)
	w.put(i, kept, w.day, w.rec.came(w.now, i, p, -1, int32(pot), kept))
	if lost > 0 {
		w.out.Lost[i] += lost
		w.rec.note(w.now, Failed, i, p, int32(pot), lost)
	}
}

// leave tells what is on hand and under way at the end.
func (w *Walker) leave() {
	o := &w.out
	o.Lots = o.Lots[:0]
	for i := range w.lots {
		if w.have[i] == 0 || o.Left[i] == 0 {
			continue
		}
		for _, l := range w.lots[i].Lots() {
			o.Lots = append(o.Lots, Lot{Item: i, Amount: l.amount, Made: int(l.made), At: int(l.made) * 1440, Step: -1, Batch: -1, Pot: -1})
		}
	}
	over := w.s.Days * 1440
	o.Pots, w.lines = o.Pots[:0], w.lines[:0]
	for k := range w.s.Pots {
		pot, from := w.s.Pots[k], len(w.lines)
		pot.Takes, pot.Gives, pot.Yields = nil, nil, nil
		for line, g := range w.s.Pots[k].Gives {
			if g.Minute += pot.Late; g.Minute >= over {
				g.Amount *= w.s.Pots[k].factor(line)
				w.lines = append(w.lines, g)
			}
		}
		w.under(pot, from)
	}
	for r, ran := range o.Ran {
		run := &w.s.Batches[r]
		if ran.Batches == 0 {
			continue
		}
		from := len(w.lines)
		for out, g := range w.f.net.g.Steps[run.Step].Gives {
			if at := ran.Start + g.OutAt; at >= over {
				e := w.f.net.outputs[w.f.net.place[run.Step]] + int32(out)
				w.lines = append(w.lines, PotLine{g.Item, ran.Batches * w.f.gives[e] * run.factor(out), at})
			}
		}
		w.under(Pot{Step: run.Step, Day: run.Day, Start: ran.Start, Batches: ran.Batches, Lost: run.Lost}, from)
	}
}

// under notes a pot that is under way at the end, with the lines from one on, if it has any.
func (w *Walker) under(pot Pot, from int) {
	if len(w.lines) == from {
		return
	}
	pot.Gives, pot.Late = w.lines[from:len(w.lines):len(w.lines)], 0
	w.out.Pots = append(w.out.Pots, pot)
}

// Ahead is what an outcome leaves on hand and under way, as a schedule has it that begins so many days after day 0.
func (o *Outcome) Ahead(days int) (lots []Lot, pots []Pot) {
	lots, pots = slices.Clone(o.Lots), slices.Clone(o.Pots)
	for k := range lots {
		lots[k].Made -= days
		lots[k].At -= days * 1440
	}
	for k := range pots {
		p := &pots[k]
		p.Day -= days
		p.Start -= days * 1440
		p.Gives = slices.Clone(p.Gives)
		for n := range p.Gives {
			p.Gives[n].Minute -= days * 1440
		}
	}
	return lots, pots
}
