// Package draw draws a flow from left to right: as SVG on a sheet of A3, as DOT, and as plain data for JSON.
//
// # Model
//
// A [Picture] is a plain value: boxes, the lines between them, and the words that go with them. [FromGraph] makes one
// of a graph; the caller adds what it has computed (amounts, states, tones) to the boxes and lines, and hands it to
// [Render] or [WriteDOT]. Neither changes it.
//
// What a box is, is said by its outline; what became of it after a shock by the weight and kind of that outline and by
// a word. Lines between boxes that are out or short are black, others grey, and where the shock began has a sign. Tone
// and colour only support this, so the sheet can be printed in black and white. Every box is a group with the id of its
// node, so that a web page or a style sheet can find it.
//
// # Columns
//
// A box stands right of all that it comes from. There are as many columns as the longest way has boxes. From the latest
// column that each could stand in, boxes move, one at a time, to where the sum of the squares of the columns' heights
// is least, until none moves (local search): columns are then about equally full. A line has a place, and some height, in
// every column that it crosses, so that columns can be packed tightly without lines running into boxes. Dishes stand in
// the last column, or the last two where they are many.
//
// # The engine
//
// Which column a box stands in is decided here; Graphviz, through go-graphviz, decides in what order and about how high
// the boxes and lines of a column stand, so that few lines cross; everything that is seen is drawn here. The engine
// is WebAssembly in this process or, after the first twenty pictures, in a helper that is this program once more and is
// replaced every few hundred, for each leaves some 26 kB behind in it. One picture is laid out at a time, others wait. A layout
// that has started is not stopped: when the context ends, Render returns at once and the layout is finished in the background,
// its result thrown away. Initialising the engine takes 17 ms of every start of the program, and 0.35 s when its compiled
// code is not kept; package private says where that is.
package draw

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"
)

// Kind is what a box stands for. It decides the outline.
type Kind string

const (
	Bought  Kind = "bought"
	Made    Kind = "made"
	Step    Kind = "step"
	Dish    Kind = "dish"
	Special Kind = "special"
)

// kinds lists every kind in the order of the legend.
var kinds = []Kind{Bought, Made, Step, Dish, Special}

// State is what became of a box after a shock.
type State string

const (
	None      State = "" // there was no shock
	Untouched State = "untouched"
	Short     State = "short"
	Out       State = "out"
)

// Node is one box.
type Node struct {
	ID         string   `json:"id"` // unique in the picture, never empty, without spaces
	Name       string   `json:"name"`
	Kind       Kind     `json:"kind"`                  // decides the outline
	Lines      []string `json:"lines,omitempty"`       // small words under the name: amount, cost, station
	State      State    `json:"state,omitempty"`       // where something changed
	StateWords string   `json:"state_words,omitempty"` // "OUT from 19:10 Wed"; without it, state says enough
	Origin     bool     `json:"origin,omitempty"`      // the change was made to this
	Tone       float64  `json:"tone"`                  // 0 (light) to 1 (dark)

	// Item and Step are where the box comes from in the graph of [FromGraph]; -1 when it has none. A dish has both.
	Item int `json:"-"`
	Step int `json:"-"`
}

// stateWords is what the box says of its state: what is out or short always says so.
func (n *Node) stateWords() string {
	words := strings.TrimSpace(n.StateWords)
	switch n.State {
	case None:
		return ""
	case Out:
		return cmp.Or(words, "OUT")
	case Short:
		return cmp.Or(words, "short")
	}
	return words
}

// Edge is one line, from a box to a box that uses it or is given by it.
type Edge struct {
	From       string  `json:"from"`                 // id of a node
	To         string  `json:"to"`                   // id of a node
	Label      string  `json:"label,omitempty"`      // the amount: "450 mL"
	Share      float64 `json:"share"`                // 0 (hairline) to 1 (thickest)
	Carried    bool    `json:"carried,omitempty"`    // taken from what an earlier day left
	Substitute bool    `json:"substitute,omitempty"` // used when a better choice is gone
	Optional   bool    `json:"optional,omitempty"`   // the step goes on without it

	// Item and Step are the ends of the line in the graph of [FromGraph]. When the step uses the item, Line and Choice
	// are the places in graph.Step.Uses and its Choices; when it gives the item, Line is the place in graph.Step.Gives and
	// Choice is -1.
	Item   int `json:"-"`
	Step   int `json:"-"`
	Line   int `json:"-"`
	Choice int `json:"-"`
}

// words is the label with what the line's style means.
func (e Edge) words() string {
	s := e.Label
	switch {
	case s == "":
		return ""
	case e.Substitute:
		s = "or " + s
	}
	if e.Optional {
		s = "optional " + s
	}
	if e.Carried {
		s += " from yesterday"
	}
	return s
}

// Picture is all that is drawn on one sheet: boxes and lines.
type Picture struct {
	Title      string `json:"title"`
	Caption    string `json:"caption,omitempty"`     // a sentence or two under the title, and in the alt text
	WidthMeans string `json:"width_means,omitempty"` // what a thick line means: "share of the batch's weight"
	ToneMeans  string `json:"tone_means,omitempty"`  // what a dark box means: "plate cost"; without it, no box is dark
	Nodes      []Node `json:"nodes"`
	Edges      []Edge `json:"edges"`

	// Part says that this is a part of a flow: its sheet is no larger than it needs to be.
	Part bool `json:"-"`

	// Bare leaves out title, caption and legend, for a page that has them itself: a narrow screen shows the flow at once, and cuts no words.
	Bare bool `json:"-"`

	// Words puts the sheet's own words into another language; nil leaves them in English. Title, caption, and the words in
	// boxes are the caller's. What lines say beside an amount ("or", "from yesterday") is then told by their looks alone.
	Words func(english string) string `json:"-"`
}

// word is one of the sheet's own words as it is printed.
func (p *Picture) word(english string) string {
	if p.Words == nil {
		return english
	}
	return p.Words(english)
}

// mark is the label of a line as it is drawn: short, for the line's style tells the rest.
func (p *Picture) mark(e Edge) string {
	switch {
	case e.Label == "":
		return ""
	case e.Optional:
		return "(" + e.Label + ")"
	case e.Substitute && p.Words == nil:
		return "or " + e.Label
	}
	return p.words(e)
}

// words is what a line says.
func (p *Picture) words(e Edge) string {
	if p.Words == nil {
		return e.words()
	}
	return e.Label
}

// shocked reports whether any node has a state: only then is there anything to tell about states.
func (p *Picture) shocked() bool {
	for i := range p.Nodes {
		if p.Nodes[i].State != None {
			return true
		}
	}
	return false
}

// check reports every fault that would make the drawing wrong or impossible, and the place of each node by its id.
func (p *Picture) check() (place map[string]int, err error) {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	inside := func(x float64) bool { return x >= 0 && x <= 1 } // false for NaN
	place = make(map[string]int, len(p.Nodes))
	for i, n := range p.Nodes {
		if _, twice := place[n.ID]; twice {
			fault("node %d: the id %q is taken by another node", i, n.ID)
		}
		place[n.ID] = i
		if n.ID == titleID || n.ID == descID {
			fault("node %d: the id %q is the sheet's own", i, n.ID)
		}
		if !validID(n.ID) {
			fault("node %d: the id %q must be letters, digits and any of -_.:", i, n.ID)
		}
		if _, known := outlines[n.Kind]; !known {
			fault("node %q: unknown kind %q; want one of %q", n.ID, n.Kind, kinds)
		}
		switch n.State {
		case None, Untouched, Short, Out:
		default:
			fault("node %q: unknown state %q; want untouched, short, out or none", n.ID, n.State)
		}
		if !inside(n.Tone) {
			fault("node %q: tone %v is not between 0 and 1", n.ID, n.Tone)
		}
	}
	for i, e := range p.Edges {
		for _, id := range []string{e.From, e.To} {
			if _, known := place[id]; !known {
				fault("edge %d: there is no node with the id %q", i, id)
			}
		}
		if !inside(e.Share) {
			fault("edge %d from %q to %q: share %v is not between 0 and 1", i, e.From, e.To, e.Share)
		}
	}
	return place, errors.Join(faults...)
}

// width is how thick a line is drawn, in points.
func (e Edge) width() float64 { return 0.8 + 4*e.Share }

// room is what a line is given of a column, no less than its width, in steps: where figures change a little all keeps its place, and
// nothing is laid out again.
func (e Edge) room() float64 { return 0.8 * math.Ceil(e.width()/0.8-1e-9) }
