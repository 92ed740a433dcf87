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
			if missing <= t.Amount*slack || w.gone(i) || late >= 0 && (i != late || int32(t.Minute) < w.now) {
				continue
			}
			if more := missing - w.have[i]; more > 0 && w.source[i] >= 0 {
				w.bring(i, more, missing)
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
	w.put(i, kept, w.now/1440, w.rec.came(w.now, i, p, -1, int32(pot), kept))
	if lost > 0 {
		w.out.Lost[i] += lost
		w.rec.note(w.now, Failed, i, p, int32(pot), lost)
	}
}

// leave tells what is on hand and under way at the end.
func (w *Walker) leave() {
	o := &w.out
	o.Lots = []Lot{}
	for i := range w.lots {
		if w.have[i] == 0 || o.Left[i] == 0 {
			continue
		}
		for _, l := range w.lots[i].Lots() {
			o.Lots = append(o.Lots, Lot{Item: i, Amount: l.amount, Made: int(l.made), At: int(l.made) * 1440, Step: -1, Batch: -1, Pot: -1})
		}
	}
	over := w.s.Ends()
	add := func(pot Pot) {
		if len(pot.Gives)+len(pot.Takes) > 0 {
			o.Pots = append(o.Pots, pot)
		}
	}
	put := 0
	for k := range w.s.Pots {
		was := &w.s.Pots[k]
		pot := *was
		pot.Takes, pot.Gives, pot.Yields = nil, nil, nil
		for _, t := range was.Takes { // what can come only after the end
			if t.Amount -= o.PutIn[put]; w.s.NotBefore != nil && w.s.NotBefore[t.Item] >= w.s.Days*1440 && t.Minute >= w.s.NotBefore[t.Item] {
				pot.Takes = append(pot.Takes, t)
			}
			put++
		}
		for line, g := range was.Gives {
			if g.Minute+pot.Late >= over {
				g.Amount *= was.factor(line)
				pot.Gives = append(pot.Gives, g)
			}
		}
		add(pot)
	}
	for r, ran := range o.Ran {
		run := &w.s.Batches[r]
		if ran.Batches == 0 {
			continue
		}
		pot := Pot{Step: run.Step, Day: run.Day, Start: ran.Start, Batches: ran.Batches, Lost: run.Lost, Late: ran.Start - ran.Due}
		for out, g := range w.f.net.g.Steps[run.Step].Gives {
			if ran.Start+g.OutAt >= over {
				e := w.f.net.outputs[w.f.net.place[run.Step]] + int32(out)
				pot.Gives = append(pot.Gives, PotLine{g.Item, ran.Batches * w.f.gives[e] * run.factor(out), ran.Due + g.OutAt})
			}
		}
		add(pot)
	}
}

// Ahead is what an outcome leaves on hand and under way, as a schedule has it that begins so many days after day 0.
func (o *Outcome) Ahead(days int) (lots []Lot, pots []Pot) {
	if o.Lots == nil {
		panic("mistake: what is left was not asked for")
	}
	lots, pots = slices.Clone(o.Lots), slices.Clone(o.Pots)
	for k := range lots {
		lots[k].Made -= days
		lots[k].At -= days * 1440
	}
	for k := range pots {
		p := &pots[k]
		p.Day -= days
		p.Start -= days * 1440
		p.Since = p.Since.Later(-days)
		p.Takes, p.Gives = slices.Clone(p.Takes), slices.Clone(p.Gives)
		for _, lines := range [][]PotLine{p.Takes, p.Gives} {
			for n := range lines {
				lines[n].Minute -= days * 1440
			}
		}
	}
	return lots, pots
}
