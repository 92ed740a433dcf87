package flow

// What a walk did and why, noted where each number is decided: movements with the lots that they are of, and stops.

import (
	"slices"

	"kettletree/graph"
)

// What says what an Entry is about.
type What uint8

const (
	Arrived What = iota // bought
	Came                // given by Step
	Failed              // given by Step and lost
	Took                // used by Step
	Expired             // no longer kept
	Spoiled             // found spoiled
)

// Entry is one movement of an item.
type Entry struct {
	At         int // minutes after the midnight before day 0
	What       What
	Item       int
	Step       int  // of the graph; -1 when none is concerned
	Substitute bool // Took: in place of a line's first choice
	Run        int  // Took: of the schedule, the batch that it goes into; -1 when work without one takes it
	Pot        int  // Came, Failed, Took: of the schedule, the batch under way that it is of; -1 when it is of none
	Line       int  // Took: of the step; -1 when a batch under way takes it
	Choice     int  // Took: of the line
	Amount     float64
	Lots       []Part // what came: its lot; what went: the lots that it was drawn from, the oldest first; of portions none
}

// Part is some of a lot of a record.
type Part struct {
	Lot    int // of [Record.Lots]
	Amount float64
}

func (p *Part) Left() *float64 { return &p.Amount }

// Stop is why a want got no more in a slot.
type Stop struct {
	Slot, Want int
	Share      float64 // of its forecast, before portions were made whole
	Items      []int   // from what the portion needs down to what is used up
}

// Record gathers the reasons of one walk. A nil Record gathers nothing.
type Record struct {
	Stops     []Stop
	Movements bool     // gather Entries and Lots too
	Entries   []Entry  // every movement, in order: nothing is drawn before it came
	Lots      []Lot    // all that was on hand or came in, portions aside, in that order
	Departs   []Depart // with Movements: where work did not go by its cards, in order

	n     *net
	parts []Part // of all entries, one after another
	hears func(of *onHand, part float64)

	// Of the work that is being entered: what is drawn in one go for all that take an item is shared out among them.
	drawn  []Part
	fresh  [][]int // by item: lots that came with it
	takers [][]int // by item: Entries
	queue  Queue[Part, *Part]
	left   []Part
}

// Left is what is left of each lot after the first n entries, in the order of Lots; crumbs that sums of rounded products
// leave are not told. What is still in a pot has not come.
func (r *Record) Left(n int) (list []Part) {
	left := make([]float64, len(r.Lots))
	for k, l := range r.Lots {
		if l.Origin == OnHand {
			left[k] = l.Amount
		}
	}
	for _, e := range r.Entries[:n] {
		came := e.What == Arrived || e.What == Came
		for _, p := range e.Lots {
			if came {
				left[p.Lot] += p.Amount
			} else {
				left[p.Lot] -= p.Amount
			}
		}
	}
	for k, amount := range left {
		if amount > r.Lots[k].Amount*slack {
			list = append(list, Part{k, amount})
		}
	}
	return list
}

// follows tells whether lots are followed.
func (r *Record) follows() bool { return r != nil && r.Movements }

// begin makes ready for a walk.
func (r *Record) begin(n *net) {
	if r == nil {
		return
	}
	*r = Record{Movements: r.Movements, n: n}
	if r.Movements {
		r.fresh, r.takers, r.hears = make([][]int, len(n.g.Items)), make([][]int, len(n.g.Items)), r.draws
	}
}

// lot notes what is on hand at the beginning, or comes in, and numbers it; -1 when it is not followed.
func (r *Record) lot(l Lot) int32 {
	if !r.follows() || l.Amount <= 0 || r.n.g.Items[l.Item].Role == graph.Sold {
		return -1
	}
	r.Lots = append(r.Lots, l)
	return int32(len(r.Lots) - 1)
}

// came notes a delivery, or what the step at a place gave, with its batch, or batch under way, where it has one; all are -1
// of a delivery.
func (r *Record) came(at, item, place, batch, pot int32, amount float64) (lot int32) {
	if !r.follows() || amount <= 0 {
		return -1
	}
	what, l := Arrived, Lot{Item: int(item), Amount: amount, Made: int(at / 1440), At: int(at), Origin: Delivered, Step: -1, Batch: int(batch), Pot: int(pot)}
	if place >= 0 {
		what, l.Origin, l.Step = Came, Given, int(r.n.step[place])
	}
	if lot = r.lot(l); lot >= 0 {
		r.drawn = append(r.drawn[:0], Part{int(lot), amount})
	}
	r.note(at, what, item, place, pot, amount)
	return lot
}

// bought notes what was bought as it was needed, of the delivery of a day.
func (r *Record) bought(at, item, day int32, amount float64) (lot int32) {
	if lot = r.came(at, item, -1, -1, -1, amount); lot >= 0 {
		r.Lots[lot].Made = int(day)
	}
	return lot
}

// madeOn is the day on which a lot was made or arrived; otherwise, of what is of no lot.
func (r *Record) madeOn(lot int, otherwise int32) int32 {
	if lot < 0 {
		return otherwise
	}
	return int32(r.Lots[lot].Made)
}

// keep lays parts behind those of other entries.
func (r *Record) keep(parts ...Part) []Part {
	at := len(r.parts)
	r.parts = append(r.parts, parts...)
	return r.parts[at:len(r.parts):len(r.parts)]
}

// draws notes what is drawn of a lot; crumbs of none are left out.
func (r *Record) draws(of *onHand, part float64) {
	if of.id >= 0 {
		r.drawn = append(r.drawn, Part{int(of.id), part})
	}
}

// comesWith notes that a lot came with the work that is being entered.
func (r *Record) comesWith(lot int32) {
	if lot >= 0 {
		item := r.Lots[lot].Item
		r.fresh[item] = append(r.fresh[item], int(lot))
	}
}

// note notes a movement of what was drawn last.
func (r *Record) note(at int32, what What, item, place, pot int32, amount float64) {
	if !r.follows() {
		return
	}
	if amount > 0 {
		e := Entry{At: int(at), What: what, Item: int(item), Step: -1, Run: -1, Pot: int(pot), Amount: amount, Lots: r.keep(r.drawn...)}
		if place >= 0 {
			e.Step = int(r.n.step[place])
		}
		if what == Took {
			e.Line, e.Choice = -1, -1
		}
		r.Entries = append(r.Entries, e)
	}
	r.drawn = r.drawn[:0]
}

// use notes what a line takes; the lots are found by share.
func (r *Record) use(at, run, place, line, choice int32, amount float64) {
	if !r.follows() || amount <= 0 {
		return
	}
	item := r.n.takes[choice]
	r.takers[item] = append(r.takers[item], len(r.Entries))
	r.Entries = append(r.Entries, Entry{At: int(at), What: Took, Item: int(item), Step: int(r.n.step[place]),
		Substitute: choice >= r.n.choices[line]+r.n.alike(line), Run: int(run), Pot: -1, Line: int(line - r.n.lines[place]),
		Choice: int(choice - r.n.choices[line]), Amount: amount})
}

// share gives those that take an item, in order, the lots that were drawn for them, then those that came with the work.
// It returns of which lots the rest is, the oldest first, until it is asked again: what is over of a pack is of the lot that was bought,
// which stands before those that were made.
func (r *Record) share(item int32, rest, over float64) (left []Part) {
	if !r.follows() {
		return nil
	}
	r.queue.Clear()
	for _, p := range r.drawn {
		r.queue.Put(p)
	}
	fresh := r.fresh[item]
	if over > 0 {
		r.queue.Put(Part{fresh[0], r.Lots[fresh[0]].Amount - over})
		fresh = fresh[1:]
	}
	for _, k := range fresh {
		r.queue.Put(Part{k, r.Lots[k].Amount})
	}
	for _, k := range r.takers[item] {
		e, at := &r.Entries[k], len(r.parts)
		r.queue.Draw(e.Amount, func(of *Part, part float64) {
			if part > e.Amount*slack {
				r.parts = append(r.parts, Part{of.Lot, part})
			}
		})
		e.Lots = r.parts[at:len(r.parts):len(r.parts)]
	}
	left = r.left[:0]
	if rest > 0 && len(fresh) == 0 { // a crumb
		left = append(left, Part{-1, rest})
	}
	for n, k := range slices.Backward(fresh) {
		if rest <= 0 {
			break
		}
		if part := r.Lots[k].Amount; n > 0 && part < rest {
			left, rest = append(left, Part{k, part}), rest-part
			continue
		}
		left = append(left, Part{k, rest})
		break
	}
	if over > 0 {
		left = append(left, Part{r.fresh[item][0], over})
	}
	slices.Reverse(left)
	r.drawn, r.fresh[item], r.takers[item], r.left = r.drawn[:0], r.fresh[item][:0], r.takers[item][:0], left
	return left
}
