package board

// Draw: the kitchen file as a drawing, to be drawn on. A box is tapped, then another: a line leads from the one to the other, and its amount
// is typed. With a mouse or a finger the line can be pulled. Both lead to the same addresses, so it works without scripts too. What is drawn
// is written as the forms write: what follows is seen first.

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"kettletree/graph/draw"
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

// mostDrawn is how many boxes are drawn at once, before only those around the picked one are.
const mostDrawn = 90

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
	if m.drawing, err = kitchen.Drawn(file, src); err != nil {
		return nil, a.board.broken(err)
	}
	d := m.drawing
	m.Picked, m.To = keyedBox(d, a.Query.Get("pick")), keyedBox(d, a.Query.Get("to"))
	if m.New = a.Query.Get("new"); !slices.Contains(drawnLists, m.New) {
		m.New = ""
	}
	if m.Picked != nil && m.To != nil {
		if m.Way = between(d, *m.Picked, *m.To); m.Way == nil { // no line can lead there: it is the one that is chosen now
			m.Picked, m.To = m.To, nil
		}
	}
	m.groups()
	m.links(a)
	m.blanksOf()
	if len(m.form) > 0 {
		if m.Proposal, err = a.drawn(ctx, m, file, src); err != nil {
			return nil, err
		}
		for i := range m.Blanks {
			m.Blanks[i].Wrong = m.Proposal.wrong(m.Blanks[i].Field)
		}
	}
	return m, m.draw(ctx, a)
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

// drawnBlanks are the keys that a new box asks for.
var drawnBlanks = map[string][]string{kitchen.InBought: {"price"}, kitchen.InSteps: {"batches", "starts"}, kitchen.InMade: {"keeps"}, kitchen.InDishes: {"price", "sells"}}

// blanksOf are the fields of a new box.
func (m *drawingAnswer) blanksOf() {
	m.One = kitchen.OneOf(m.New)
	for n, b := range kitchen.Blanks(m.New) {
		if slices.Contains(drawnBlanks[m.New], b.Key) {
			f := blank{Blank: b, Field: blankField + b.Key, ID: fmt.Sprintf("blank-%d", n), Value: m.form.Get(blankField + b.Key)}
			f.Tall = false
			m.Blanks = append(m.Blanks, f)
		}
	}
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

// Is tells whether a box is the picked one, or the one that a field holds.
func (m *drawingAnswer) Is(field string, b kitchen.Box) bool {
	if m.form.Has(field) {
		return m.form.Get(field) == boxKey(b)
	}
	if p := m.Picked; p != nil && (field == "into" && !isItem(*p) || field == "out of" && isItem(*p) == (m.New == kitchen.InDishes)) {
		return *p == b
	}
	return len(m.Steps) == 1 && b == m.Steps[0] && (field == "out of" || b.Open) // the pot, where it is the only one and waits for more
}

// Nowhere tells whether a field was said to hold no box.
func (m *drawingAnswer) Nowhere(field string) bool {
	return m.form.Has(field) && m.form.Get(field) == ""
}

// Example is an amount as it is typed.
func (m *drawingAnswer) Example() string { return "20 kg" }

// AmountNow is what stands in the field of the amount.
func (m *drawingAnswer) AmountNow() string {
	if m.Act() == "line" {
		return m.form.Get("amount")
	}
	if m.Way != nil && m.Way.Now != nil {
		return joinedNotes(*m.Way.Now)
	}
	return ""
}

// joinedNotes is the amount of a line with its notes.
func joinedNotes(l kitchen.Link) string {
	if l.Notes == "" {
		return l.Amount
	}
	return l.Amount + ", " + l.Notes
}

// Chosen tells whether a box stands in one of the lists to choose both ends from.
func (m *drawingAnswer) Chosen(field string, b kitchen.Box) bool {
	return field == "pick" && m.Picked != nil && *m.Picked == b || field == "to" && m.To != nil && *m.To == b
}

// FormOf is the form of all that can be said of a box.
func (m *drawingAnswer) FormOf(b *kitchen.Box) string {
	return amendPage.Path + "?" + url.Values{"list": {b.List}, "name": {b.Name}}.Encode()
}

// WrongAt is what is wrong with a field of the form of an act; nil for nothing.
func (m *drawingAnswer) WrongAt(act, field string) *fault {
	if m.Proposal == nil || m.Act() != act {
		return nil
	}
	return m.Proposal.wrong(field)
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

// drawnEdits are the edits that a form of the page asks for; wrong is what is missing in it.
func (m *drawingAnswer) drawnEdits() (edits []kitchen.Edit, wrong *fault) {
	said := func(name string) string { return trimmed(m.form.Get(name)) }
	amount := said("amount")
	need := func(field, says, hint string) *fault { return &fault{Field: field, Msg: says, Hint: hint} }
	amountHint := "write a number and a unit: 20 kg, 450 mL, 2 each"
	switch m.form.Get("act") {
	case "line":
		w := m.Way
		if w == nil {
			return nil, need("", "one end of that line is not there any more", "choose both ends again")
		}
		if amount == "" {
			return nil, need("amount", "how much?", amountHint)
		}
		item := w.Item
		if item == "" {
			if item = said("through"); item == "" {
				if item = said("as"); item == "" {
					return nil, need("as", "what is it called?", fmt.Sprintf("name what %s gives", w.Step.Name))
				}
				edits = append(edits, kitchen.Draw(kitchen.InSteps, w.Step.Name, "gives", item, orUnweighed(said("gave"))))
			}
		}
		return append(edits, kitchen.Draw(w.Card.List, w.Card.Name, w.Key, item, amount)), nil
	case "wipe":
		if m.Way == nil || m.Way.Now == nil {
			return nil, need("", "that line is not there any more", "look at the drawing as it is now")
		}
		return []kitchen.Edit{kitchen.Wipe(m.Way.Card.List, m.Way.Card.Name, m.Way.Key, m.Way.Item)}, nil
	case "erase":
		if m.Picked == nil {
			return nil, need("", "that box is not there any more", "look at the drawing as it is now")
		}
		return []kitchen.Edit{kitchen.Erase(m.Picked.List, m.Picked.Name)}, nil
	case "box":
		name := said("as")
		if name == "" {
			return nil, need("as", "what is it called?", "")
		}
		if m.New == kitchen.InMade {
			of := keyedBox(m.drawing, said("out of"))
			if of == nil || of.List != kitchen.InSteps {
				return nil, need("out of", "which step does it come out of?", "draw the step first, if it is not there")
			}
			edits = append(edits, kitchen.Draw(kitchen.InSteps, of.Name, "gives", name, orUnweighed(amount)))
			for _, f := range m.Blanks {
				if f.Value != "" {
					edits = append(edits, kitchen.Fill(kitchen.InMade, name, f.Key, f.Value))
				}
			}
			return edits, nil
		}
		blanks := map[string]string{}
		for _, f := range m.Blanks {
			blanks[f.Key] = f.Value
			if f.Key == "batches" {
				blanks[f.Key] = daysOnce(f.Value)
			}
		}
		edits = append(edits, kitchen.NewBox(m.New, name, blanks))
		other, item := keyedBox(m.drawing, said("into")), name
		if m.New == kitchen.InDishes {
			if from := keyedBox(m.drawing, said("out of")); from != nil && isItem(*from) {
				other, item = &kitchen.Box{List: kitchen.InDishes, Name: name}, from.Name
			}
		}
		switch {
		case other == nil || isItem(*other):
		case amount == "":
			return nil, need("amount", "how much?", amountHint+"; or choose that it goes nowhere yet")
		default:
			edits = append(edits, kitchen.Draw(other.List, other.Name, "takes", item, amount))
		}
		return edits, nil
	}
	return nil, need("", "that can't be drawn", "choose again")
}

// orUnweighed is an amount that a step gives, or that nobody weighed it.
func orUnweighed(amount string) string {
	if amount == "" {
		return "some kg"
	}
	return amount
}

// daysOnce are days, as thumbs type them, with a batch on each: "tue fri". What says more stays as it is.
func daysOnce(text string) string {
	if strings.ContainsAny(text, ":{0123456789") || slices.Contains([]string{"", "as needed", "to order", "all of it"}, strings.TrimSpace(text)) {
		return strings.ReplaceAll(text, ",", "\n")
	}
	var days []string
	for day := range strings.FieldsFuncSeq(text, func(c rune) bool { return c == ' ' || c == ',' }) {
		days = append(days, day+": 1")
	}
	return strings.Join(days, "\n")
}

// sketched is the text that a form of the page asks for; a fault is what keeps it from being written.
func (m *drawingAnswer) sketched(file string, src []byte) (text []byte, wrong *fault, err error) {
	edits, wrong := m.drawnEdits()
	if wrong != nil {
		return nil, wrong, nil
	}
	text, err = kitchen.Sketch(file, src, edits...)
	return text, nil, err
}

// drawn works out what a form of the page asks for, and what would follow.
func (a *asked) drawn(ctx context.Context, m *drawingAnswer, file string, src []byte) (*proposal, error) {
	p := &proposal{Act: m.form.Get("act"), As: trimmed(m.form.Get("as")), Late: m.form.Get("digest") != digestOf(src)}
	text, wrong, err := m.sketched(file, src)
	if wrong != nil {
		p.Faults = append(p.Faults, *wrong)
		return p, nil
	}
	if stuck, ok := errors.AsType[*kitchen.AmendError](err); ok {
		list, name := m.New, p.As
		if p.Act != "box" && m.Way != nil {
			list, name = m.Way.Card.List, m.Way.Card.Name
		}
		p.take(stuck, file, list, name)
		for i, f := range p.Faults {
			switch key := strings.TrimPrefix(f.Field, blankField); {
			case key == "takes", key == "gives", f.Field == "" && len(stuck.Faults) == 0 && (p.Act == "line" || p.Act == "box"):
				p.Faults[i].Field = "amount"
			case f.Field != "as" && !slices.Contains(drawnBlanks[m.New], key):
				p.Faults[i].Field = ""
			}
		}
		return p, nil
	}
	if err != nil {
		return nil, err
	}
	return p, a.propose(ctx, p, file, src, text)
}

// drawAmend answers a form of the page: it is shown again with what follows, and written once that was seen.
func (b *Board) drawAmend(w http.ResponseWriter, r *http.Request) {
	a, ok := b.mayAmend(w, r, drawingPage)
	if !ok {
		return
	}
	a.Form = &filled{Values: r.PostForm}
	if r.PostFormValue("do") == "write" {
		number, pick, err := b.drawWrite(r, a)
		if err != nil {
			b.fail(w, r, err)
			return
		}
		if number > 0 {
			to := url.Values{"changed": {fmt.Sprint(number)}}
			if pick != "" {
				to.Set("pick", pick)
			}
			http.Redirect(w, r, drawingPath+"?"+to.Encode(), http.StatusSeeOther)
			return
		}
	}
	s, err := b.sheet(r.Context(), drawingPage, a, a.state)
	if err != nil {
		b.fail(w, r, err)
		return
	}
	s.send(w, r)
}

// drawWrite writes what a form asks for, if it is what was seen, and gives the number of the change and the box to go on from; 0 where the
// form is to be shown again.
func (b *Board) drawWrite(r *http.Request, a *asked) (number int, pick string, err error) {
	src, err := b.kitchenText()
	if err != nil {
		return 0, "", err
	}
	file := b.Kitchen.Name
	m := &drawingAnswer{}
	m.form = r.PostForm
	if m.drawing, err = kitchen.Drawn(file, src); err != nil {
		return 0, "", nil // the page says why, as below
	}
	m.Picked, m.To, m.New = keyedBox(m.drawing, a.Query.Get("pick")), keyedBox(m.drawing, a.Query.Get("to")), a.Query.Get("new")
	if m.Picked != nil && m.To != nil {
		m.Way = between(m.drawing, *m.Picked, *m.To)
	}
	m.blanksOf()
	text, wrong, err := m.sketched(file, src)
	if wrong != nil || err != nil || m.form.Get("digest") != digestOf(src) || m.form.Get("seen") != digestOf(text) {
		return 0, "", nil
	}
	changes, err := kitchen.Alterations(file, src, file, text)
	if err != nil {
		return 0, "", err
	}
	if number, err = b.store(r, src, text, kitchen.Kept{Says: changesSaid(changes)}); err != nil || number == 0 {
		return 0, "", err
	}
	if m.Act() == "box" {
		pick = boxKey(kitchen.Box{List: m.New, Name: trimmed(m.form.Get("as"))})
	}
	return number, pick, nil
}

// draw draws the boxes and lines, each box a link: to pick it, or to draw a line to it from the one that is picked.
func (m *drawingAnswer) draw(ctx context.Context, a *asked) error {
	d := m.drawing
	show := map[string]bool{} // by key
	m.Whole = len(d.Boxes) <= mostDrawn
	for _, b := range d.Boxes {
		show[boxKey(b)] = m.Whole || m.Picked != nil && b == *m.Picked || m.To != nil && b == *m.To
	}
	ends := func(l kitchen.Link) (from, to string) {
		f, t := l.Ends()
		if f.List == "" {
			f = m.item(f.Name)
		} else {
			t = m.item(t.Name)
		}
		return boxKey(kitchen.Box{List: f.List, Name: f.Name}), boxKey(kitchen.Box{List: t.List, Name: t.Name})
	}
	if !m.Whole && m.Picked != nil {
		for _, l := range d.Links {
			if from, to := ends(l); from == boxKey(*m.Picked) || to == boxKey(*m.Picked) {
				show[from], show[to] = true, true
			}
		}
	}
	picture := draw.Picture{Title: cmp.Or(a.Kitchen.Name, a.T("The flow, drawn")), Part: true, Words: func(english string) string { return a.T(english) }}
	id, keys, boxes := map[string]string{}, map[string]string{}, map[string]kitchen.Box{}
	kinds := map[string]draw.Kind{kitchen.InBought: draw.Bought, kitchen.InSteps: draw.Step, kitchen.InMade: draw.Made, kitchen.InDishes: draw.Dish, kitchen.InSpecials: draw.Special}
	for _, b := range d.Boxes {
		key := boxKey(b)
		if !show[key] || id[key] != "" {
			continue
		}
		id[key] = "box-" + b.List + "-" + slug(b.Name)
		keys[id[key]], boxes[id[key]] = key, b
		n := draw.Node{ID: id[key], Name: b.Name, Kind: kinds[b.List], Item: -1, Step: -1}
		if b.Open {
			n.Lines = []string{a.T("not finished")}
		}
		picture.Nodes = append(picture.Nodes, n)
	}
	drawn := map[[2]string]bool{}
	for _, l := range d.Links {
		from, to := ends(l)
		if id[from] == "" || id[to] == "" || drawn[[2]string{from, to}] {
			continue
		}
		drawn[[2]string{from, to}] = true
		picture.Edges = append(picture.Edges, draw.Edge{From: id[from], To: id[to], Label: l.Amount, Substitute: l.Choice > 0, Carried: strings.Contains(l.Notes, "from yesterday"),
			Optional: strings.Contains(l.Notes, "optional") || strings.Contains(l.Notes, "to taste"), Item: -1, Step: -1})
	}
	if len(picture.Nodes) == 0 {
		return nil
	}
	key, err := drawnKey(picture)
	if err != nil {
		return err
	}
	sheet, err := a.board.drawn.get(ctx, "draw "+a.tag.String()+key, func(ctx context.Context) ([]byte, error) { return draw.Render(ctx, picture) })
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if err != nil { // what can't be drawn can still be chosen below
		return nil
	}
	text, err := json.Marshal(keys)
	if err != nil {
		return err
	}
	m.Keys = string(text)
	m.Sheet = template.HTML(draw.Mark(sheet, draw.Marks{
		Link: func(id string) string {
			b := boxes[id]
			switch {
			case m.Picked != nil && *m.Picked == b:
				return a.URL(drawingPath, "-pick", "", "-to", "", "-new", "", "-changed", "")
			case m.Picked != nil && between(d, *m.Picked, b) != nil:
				return a.URL(drawingPath, "to", keys[id], "-new", "", "-changed", "") + "#line"
			}
			return a.URL(drawingPath, "pick", keys[id], "-to", "", "-new", "", "-changed", "")
		},
		Class: func(id string) string {
			switch b := boxes[id]; {
			case m.Picked != nil && *m.Picked == b, m.To != nil && *m.To == b:
				return isChosen
			case m.Picked != nil && m.To == nil && between(d, *m.Picked, b) == nil:
				return isNeither
			}
			return ""
		}}))
	return nil
}
