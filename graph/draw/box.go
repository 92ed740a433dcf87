package draw

// How large a box is: its words, and the lines that come in and go out.

import (
	"strings"
)

// Sizes in points, before the whole is fitted to the sheet.
var (
	nameFace   = face{9, true}
	lineFace   = face{8, false}
	stateFace  = face{8, true}
	amountFace = face{8, false}
)

const (
	nameRoom   = 58.0  // widest name
	wordRoom   = 90.0  // the same where a single word is so wide
	wideRoom   = 54.0  // widest other words in a box
	dishRoom   = 92.0  // the same of a dish: they are the most, and stand above each other
	markRoom   = 130.0 // widest amount
	nameLines  = 4
	wordLines  = 16
	slotPitch  = 9.0 // from one amount to the next
	fanPitch   = 5.0 // from one line to the next where there are no amounts
	leastPitch = 3.0 // the same where many come together
	arrowLen   = 5.5
	inset      = 5.0 // from the side of the box to its words
	air        = 3.5 // from the top and bottom of the box to its words
	nodeGap    = 7.0
	passGap    = 4.0  // from a box to a line that passes it
	lineGap    = 3.0  // from one line that passes to the next
	leastGap   = 11.0 // between columns
	gapForLine = 0.5  // more of it for each line that crosses it
	markR      = 7.0  // of the sign of where a shock began
	turnRoom   = 14.0 // for a line to turn round
	// Gaps and rows are stretched at most this much to fill the sheet.
	mostStretch = 2.2
)

// box is a node with its place: the middle, and half of the width and height.
type box struct {
	node       *Node
	column     int
	name       []string // wrapped
	lines      []string
	state      []string
	mid        point
	halfW      float64
	halfH      float64
	head       float64 // room above the words
	padL, padR float64 // room for amounts left and right of the box
	ins, outs  []int   // edges, from top to bottom
	pitchIn    float64 // from one line that comes in to the next
	pitchOut   float64
}

// measured gives every box its size.
func measured(p *Picture, place map[string]int) *plan {
	l := &plan{boxes: make([]box, len(p.Nodes)), lines: make([]line, len(p.Edges))}
	for i := range p.Nodes {
		l.boxes[i] = newBox(&p.Nodes[i])
	}
	for i := range p.Edges {
		e := &p.Edges[i]
		from, to := place[e.From], place[e.To]
		l.lines[i] = line{edge: e, from: from, to: to}
		l.boxes[from].outs = append(l.boxes[from].outs, i)
		l.boxes[to].ins = append(l.boxes[to].ins, i)
		words := strings.Join(amountFace.wrap(p.mark(*e), markRoom, 1), "")
		l.lines[i].label = words
		if words == "" {
			continue
		}
		if room := amountFace.width(words) + 5; e.labelAtHead(&p.Nodes[to]) {
			l.boxes[to].padL = max(l.boxes[to].padL, room+arrowLen)
		} else {
			l.boxes[from].padR = max(l.boxes[from].padR, room)
		}
	}
	for i := range l.boxes {
		b := &l.boxes[i]
		if b.padL > 0 {
			b.pitchIn = slotPitch
		}
		if b.padR > 0 {
			b.pitchOut = slotPitch
		}
		ins, outs := float64(len(b.ins)), float64(len(b.outs))
		b.halfH = max(b.halfH, (ins*max(b.pitchIn, leastPitch)+6)/2, (outs*max(b.pitchOut, leastPitch)+6)/2)
		// Lines without amounts may spread as far as the box has room.
		b.pitchIn = max(b.pitchIn, min(fanPitch, (2*b.halfH-6)/max(ins, 1)))
		b.pitchOut = max(b.pitchOut, min(fanPitch, (2*b.halfH-6)/max(outs, 1)))
	}
	return l
}

func newBox(n *Node) box {
	b, ofName, room := box{node: n}, nameRoom, wideRoom
	if n.Kind == Dish || n.Kind == Special {
		ofName, room = dishRoom, dishRoom
	}
	b.name = nameFace.wrap(n.Name, nameFace.roomFor(n.Name, ofName), nameLines)
	for _, s := range n.Lines {
		b.lines = append(b.lines, lineFace.wrap(s, lineFace.roomFor(s, room), wordLines)...)
	}
	b.state = stateFace.wrap(n.stateWords(), stateFace.roomFor(n.stateWords(), room), wordLines)
	w := 0.0
	for _, s := range b.name {
		w = max(w, nameFace.width(s))
	}
	for _, s := range b.lines {
		w = max(w, lineFace.width(s))
	}
	for _, s := range b.state {
		w = max(w, stateFace.width(s)+2*bandPad)
	}
	o := outlines[n.Kind]
	b.head = o.head
	if n.Origin {
		b.head += markR
	}
	b.halfW = max(w/2+inset+o.side, 26)
	b.halfH = max(b.textHeight()/2+(b.head+o.foot)/2+air, 13)
	return b
}

// roomFor is the room for words in a box: no word is broken that fits into a wide box.
func (f face) roomFor(words string, room float64) float64 {
	for word := range strings.FieldsSeq(words) {
		if w := f.width(word); w <= wordRoom {
			room = max(room, w)
		}
	}
	return room
}

// Distances from one line of words to the next, and round the state's band.
const (
	nameLead  = 10.6
	lineLead  = 9.2
	stateLead = 9.4
	bandPad   = 3.0
)

func (b *box) textHeight() float64 {
	h := float64(len(b.name))*nameLead + float64(len(b.lines))*lineLead
	if len(b.state) > 0 {
		h += float64(len(b.state))*stateLead + 2*bandPad
	}
	return h
}
