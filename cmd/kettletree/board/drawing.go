package board

// Draw: the kitchen file as a drawing, to be drawn on. A box is tapped, then another: a line leads from the one to the other, and its amount
// is typed. With a mouse or a finger the line can be pulled. Both lead to the same addresses, so it works without scripts too. What is drawn
// is written as the forms write: what follows is seen first.

import (
	"cmp"
	"context"
	"errors"
	"html/template"
	"net/url"
	"slices"

	"kettletree/menu/kitchen"
)

const drawingPath = "/draw"

var drawingPage = &page{Path: drawingPath, Name: "Draw", File: "drawing", Takes: []string{"pick", "to", "new", "changed"}, Studies: true,
	Answer: func(ctx context.Context, a *asked) (any, error) { return a.drawing(ctx) }}

// drawingAnswer is what the page shows.
type drawingAnswer struct {
	amending
	Sheet  template.HTML
	Keys   string // of the boxes, by their ids, for who pulls a line
	Groups []boxGroup
	Items  []kitchen.Box // that a dish can take
	Cards  []kitchen.Box // that can take an item
	Steps  []kitchen.Box
	Whole  bool         // all is drawn, not only what is around the picked box
	Picked *kitchen.Box // nil for none
	To     *kitchen.Box // the other end of a line; nil for none
	Way    *way         // what the line between them is
	New    string       // the list of what is added; "" for nothing
	Links  []drawnLink  // of the picked box

	drawing *kitchen.Drawing
}

// boxGroup are boxes of one kind, to choose from.
type boxGroup struct {
	List  string
	Boxes []kitchen.Box
}

// drawnLink is a line of the picked box, in words, with where it is changed.
type drawnLink struct {
	Says, To string
}

// way is what can be drawn between two boxes.
type way struct {
	Card    kitchen.Box
	Key     string
	Item    string        // "" where it goes through what a step gives
	Through []string      // what that step gives already
	Step    *kitchen.Box  // which step, nil where there is none between
	Now     *kitchen.Link // what leads there now
}

// boxKey names a box in an address: made/stock.
func boxKey(b kitchen.Box) string { return b.List + "/" + b.Name }

// keyed finds the box of a key.
func keyedBox(d *kitchen.Drawing, key string) *kitchen.Box {
	for i := range d.Boxes {
		if boxKey(d.Boxes[i]) == key {
			return &d.Boxes[i]
		}
	}
	return nil
}

func isItem(b kitchen.Box) bool { return b.List == kitchen.InBought || b.List == kitchen.InMade }

// between is the way from one box to another, whichever of them was tapped first; nil where no line can lead.
func between(d *kitchen.Drawing, from, to kitchen.Box) *way {
	if from == to {
		return nil
	}
	dish := func(b kitchen.Box) bool { return b.List == kitchen.InDishes || b.List == kitchen.InSpecials }
	gave := func(step, item kitchen.Box) *kitchen.Link {
		return d.Between(kitchen.InSteps, step.Name, "gives", item.Name)
	}
	switch {
	case dish(from) && !dish(to), from.List == kitchen.InSteps && to.List == kitchen.InBought:
		from, to = to, from
	case from.List == kitchen.InMade && to.List == kitchen.InSteps && gave(to, from) != nil:
		from, to = to, from
	}
	switch {
	case isItem(from) && !isItem(to):
		return &way{Card: to, Key: "takes", Item: from.Name, Now: d.Between(to.List, to.Name, "takes", from.Name)}
	case from.List == kitchen.InSteps && to.List == kitchen.InMade:
		return &way{Card: from, Key: "gives", Item: to.Name, Now: gave(from, to)}
	case from.List == kitchen.InSteps && !isItem(to):
		return &way{Card: to, Key: "takes", Step: &from, Through: d.Gives(from.Name)}
	}
	return nil
}

// drawing makes the page.
func (a *asked) drawing(ctx context.Context) (*drawingAnswer, error) {
	a.passing = true // the file may change, and the changes that are kept with it
	src, err := a.board.kitchenText()
	if err != nil {
		return nil, err
	}
	file := a.board.Kitchen.Name
	m := &drawingAnswer{amending: amending{Digest: digestOf(src), Open: len(a.Kitchen.Questions)}}
	m.form = a.Form.Values
	if err := m.changed(file, a.Query.Get("changed")); err != nil {
		return nil, err
	}
	if m.drawing, err = kitchen.Drawn(file, src); err == nil {
		a.board.sketch.Store(&src)
	} else if m.drawing, err = a.board.lastSketch(err); err != nil {
		refused, ok := errors.AsType[*Refusal](err)
		if !ok || m.drawing == nil || len(m.form) == 0 {
			return nil, err
		}
		m.Proposal = &proposal{Act: m.form.Get("act"), As: trimmed(m.form.Get("as")), Faults: []fault{{Msg: refused.Msg, Hint: refused.Hint, Excerpt: refused.Excerpt}}}
	}
	d := m.drawing
	m.Picked, m.To = keyedBox(d, a.Query.Get("pick")), keyedBox(d, a.Query.Get("to"))
	if m.New = a.Query.Get("new"); !slices.Contains(drawnLists, m.New) {
		m.New = ""
	}
	if m.Picked != nil && m.To != nil {
		m.Way = between(d, *m.Picked, *m.To)
	}
	if chosen := cmp.Or(m.To, m.Picked); a.Query.Get("to") != "" && m.Way == nil && len(m.form) == 0 {
		// No line can lead there: the box that was tapped is the one that is chosen now, for whoever goes on from this address too.
		if chosen == nil {
			return nil, &leads{a.URL(drawingPath, "-pick", "", "-to", "")}
		}
		return nil, &leads{a.URL(drawingPath, "pick", boxKey(*chosen), "-to", "")}
	}
	m.groups()
	m.links(a)
	m.blanksOf()
	if len(m.form) > 0 {
		if m.Proposal == nil {
			if m.Proposal, err = a.drawn(ctx, m, file, src); err != nil {
				return nil, err
			}
		}
		for i := range m.Blanks {
			m.Blanks[i].Wrong = m.Proposal.wrong(m.Blanks[i].Field)
		}
	}
	return m, m.draw(ctx, a)
}

// lastSketch is the drawing of the file as it could be read last, and why it can't be now: what was typed beside it stays. It is nil where the
// board never drew it.
func (b *Board) lastSketch(err error) (*kitchen.Drawing, error) {
	why := b.broken(err)
	if src := b.sketch.Load(); src != nil {
		d, err := kitchen.Drawn(b.Kitchen.Name, *src)
		if err != nil {
			return nil, err
		}
		return d, why
	}
	return nil, why
}

// drawnLists are those whose things have boxes that can be added.
var drawnLists = []string{kitchen.InBought, kitchen.InSteps, kitchen.InMade, kitchen.InDishes}

// Adds are they, with what one is called.
func (m *drawingAnswer) Adds() (list []amendList) {
	for _, l := range drawnLists {
		list = append(list, amendList{List: l, One: kitchen.OneOf(l)})
	}
	return list
}

// groups sorts the boxes.
func (m *drawingAnswer) groups() {
	for _, list := range []string{kitchen.InBought, kitchen.InSteps, kitchen.InMade, kitchen.InDishes, kitchen.InSpecials} {
		g := boxGroup{List: list}
		for _, b := range m.drawing.Boxes {
			if b.List == list {
				g.Boxes = append(g.Boxes, b)
			}
		}
		if g.Boxes != nil {
			m.Groups = append(m.Groups, g)
		}
	}
	for _, b := range m.drawing.Boxes {
		if isItem(b) {
			m.Items = append(m.Items, b)
		} else {
			m.Cards = append(m.Cards, b)
		}
		if b.List == kitchen.InSteps {
			m.Steps = append(m.Steps, b)
		}
	}
}

// Key is how a box is named in addresses and fields.
func (m *drawingAnswer) Key(b kitchen.Box) string { return boxKey(b) }

// Chosen tells whether a box stands in one of the lists to choose both ends from.
func (m *drawingAnswer) Chosen(field string, b kitchen.Box) bool {
	return field == "pick" && m.Picked != nil && *m.Picked == b || field == "to" && m.To != nil && *m.To == b
}

// FormOf is the form of all that can be said of a box.
func (m *drawingAnswer) FormOf(b *kitchen.Box) string {
	return amendPage.Path + "?" + url.Values{"list": {b.List}, "name": {b.Name}}.Encode()
}

// links tells the lines of the picked box.
func (m *drawingAnswer) links(a *asked) {
	if m.Picked == nil {
		return
	}
	for _, l := range m.drawing.Links {
		card, item := kitchen.Box{List: l.List, Name: l.Of}, m.item(l.Item)
		other := card
		switch {
		case card.List == m.Picked.List && card.Name == m.Picked.Name:
			other = item
		case item.Name != m.Picked.Name || item.List != m.Picked.List:
			continue
		}
		says := a.T("%[1]s takes %[2]s %[3]s", a.Called(l.Of), l.Amount, a.Called(l.Item))
		if l.Key == "gives" {
			says = a.T("%[1]s gives %[2]s %[3]s", a.Called(l.Of), l.Amount, a.Called(l.Item))
		}
		m.Links = append(m.Links, drawnLink{says, a.URL(drawingPath, "to", boxKey(other), "-changed", "", "-new", "")})
	}
}

// item is the box of an item.
func (m *drawingAnswer) item(name string) kitchen.Box {
	for _, b := range m.Items {
		if b.Name == name {
			return b
		}
	}
	return kitchen.Box{Name: name}
}
