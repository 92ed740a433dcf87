package flow

// The reasons behind a walk, noted where each number is decided.

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
	Run        int  // Took: of the schedule, the run that it goes into; -1 when work without one takes it
	Line       int  // Took: of the step
	Choice     int  // Took: of the line
	Amount     float64
}

// Stop is why a want got no more in a slot.
type Stop struct {
	Slot, Want int
	Share      float64 // of its forecast, before portions were made whole
	Items      []int   // from what the portion needs down to what is used up
}

// Record gathers the reasons of one walk. A nil Record gathers nothing.
type Record struct {
	Stops     []Stop
	Movements bool    // gather Entries too
	Entries   []Entry // every movement, in order

	n *net
}

func (r *Record) note(at int32, what What, item, place int32, amount float64) {
	if r == nil || !r.Movements || amount == 0 {
		return
	}
	step := -1
	if place >= 0 {
		step = int(r.n.step[place])
	}
	r.Entries = append(r.Entries, Entry{At: int(at), What: what, Item: int(item), Step: step, Run: -1, Amount: amount})
}

func (r *Record) use(at, run, place, line, choice int32, amount float64) {
	if r == nil || !r.Movements || amount == 0 {
		return
	}
	r.Entries = append(r.Entries, Entry{At: int(at), What: Took, Item: int(r.n.takes[choice]), Step: int(r.n.step[place]),
		Substitute: choice > r.n.choices[line], Run: int(run), Line: int(line - r.n.lines[place]),
		Choice: int(choice - r.n.choices[line]), Amount: amount})
}
