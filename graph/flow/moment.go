package flow

// The row of events of a schedule, for those who count with it otherwise than by walking it; and work as it is directed.

import (
	"iter"
)

// MomentKind says what happens at a Moment. At one minute, moments come in this order.
type MomentKind uint8

const (
	DayEnds   MomentKind = iota // what no longer keeps is binned
	DayStarts                   // deliveries come
	Arrives                     // what was late of an item comes, and more of it can be had
	Comes                       // an output of a run, or of a batch under way, comes in
	Works                       // a run takes its inputs, or a step takes all there is
	Serves                      // portions go out
)

// Moment is one event of a schedule.
type Moment struct {
	At     int // minutes after the midnight before day 0
	Kind   MomentKind
	Day    int // DayEnds, DayStarts
	Slot   int // Serves, and Works of a step that takes all; else -1
	Run    int // Comes, and Works of a run; else -1
	Step   int // of the graph; Comes, Works
	Output int // Comes: of the step
	Pot    int // Comes of a batch under way: it; else -1
	Line   int // Comes of a batch under way: of its Gives
	Item   int // Arrives
}

// Moments is the row of events that a walk of the schedule goes through. A run gives with its work what is out at once.
// What comes after the last day ends is still in a pot, and no run takes anything then.
func (f *Flow) Moments(s *Schedule) []Moment {
	n := f.net
	starts, _ := n.starts(s, nil, nil)
	row := n.events(s, starts, nil)
	list := make([]Moment, len(row))
	for k, e := range row {
		m := Moment{At: int(e.at), Kind: e.act, Slot: -1, Run: -1, Step: -1, Pot: -1}
		switch e.act {
		case DayStarts, DayEnds:
			m.Day = int(e.index)
		case Arrives:
			m.Item = int(e.index)
		case Comes:
			if e.index < 0 {
				m.Pot, m.Line = s.potLine(int(^e.index))
				m.Step = s.Pots[m.Pot].Step
				break
			}
			p := n.owner[e.place]
			m.Run, m.Step, m.Output = int(e.index), int(n.step[p]), int(e.place-n.outputs[p])
		case Works:
			if m.Step = int(n.step[e.place]); e.index < 0 {
				m.Slot = int(^e.index)
			} else {
				m.Run = int(e.index)
			}
		case Serves:
			m.Slot = int(e.index)
		}
		list[k] = m
	}
	return list
}

// Directions say how lines are to be filled, against the rule that a first choice goes before its substitutes: by
// choice as [Flow.Choice] numbers them, the share of the work that it fills; where a line's shares do not add up to 1,
// the rest goes without it. A service whose directions can't be followed, because something is short, goes by the rule; of
// other work, what can't.
type Directions struct {
	Serve [][]float64 // by slot; nil for none
	Run   [][]float64 // by run
	All   [][]float64 // by slot: of the steps that take all there is
}

// planned is the share of an amount by which directed work may lack something and still be done: whoever worked out the
// directions did so with sums of thousands of rounded terms. It is far below what a scale shows.
const planned = 1e-6

// Choices is the number of choices of all lines.
func (f *Flow) Choices() int { return len(f.net.takes) }

// Terms are what the flow is computed with, prices as they are after shocks. They must not be changed.
func (f *Flow) Terms() Terms { return f.terms }

// Price is what one base unit of a bought item costs, or what a portion is sold at.
func (f *Flow) Price(item int) float64 { return f.terms.Price[item] }

// Gives is what one batch of a step gives of an output, in base units, by its yield after shocks.
func (f *Flow) Gives(step, output int) float64 {
	return f.gives[f.net.outputs[f.net.place[step]]+int32(output)]
}

// direct sets the mix that the next work follows; nil for none.
func (w *Walker) direct(mixes [][]float64, at int) {
	if w.mix = nil; at < len(mixes) {
		w.mix = mixes[at]
	}
}

// freely lets every step made to order run, as directed work does.
func (w *Walker) freely(in *cone) {
	for _, p := range in.orders {
		w.held[p] = -1
	}
}

// serveDirected serves every forecast as directed, if that can be done.
func (w *Walker) serveDirected(slot int) bool {
	w.freely(&w.all)
	w.asks = w.asks[:0]
	for _, k := range w.active {
		w.asks = append(w.asks, w.portions(k, w.asked(k, slot)))
	}
	if _, short := w.rising(&w.all, w.asks, 1); short >= 0 {
		return false
	}
	w.move(&w.all)
	for _, k := range w.active {
		w.out.Served[slot*len(w.share)+int(k)] = w.asked(k, slot)
	}
	w.enter(&w.all)
	return true
}

// directed walks the choices of a line that the mix fills, with their shares. What is carried is taken apart.
func (w *Walker) directed(line int32) iter.Seq2[int32, float64] {
	return func(yield func(int32, float64) bool) {
		n := w.f.net
		for c := n.choices[line]; c < n.choices[line+1] && !n.carried[line]; c++ {
			if share := w.mix[c]; share > 0 && !yield(c, share) {
				return
			}
		}
	}
}

// tolerance is the share of an amount that may be lacking.
func (w *Walker) tolerance() float64 {
	if w.mix != nil {
		return planned
	}
	return slack
}
