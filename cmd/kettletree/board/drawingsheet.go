package board

// The sheet that is drawn on: boxes and lines, each box a link.

import (
	"cmp"
	"context"
	"encoding/json"
	"html/template"
	"slices"
	"strings"

	"kettletree/graph/draw"
	"kettletree/menu/kitchen"
)

// mostDrawn is how many boxes are drawn at once. Of more, only those around the picked one are, or else the pots and what they give.
const mostDrawn = 90

// outline are the boxes of a large kitchen before one of them is picked: steps and what they give, or steps alone, as far as they can be
// drawn at once.
func (m *drawingAnswer) outline() (list []kitchen.Box) {
	for _, of := range [][]string{{kitchen.InSteps, kitchen.InMade}, {kitchen.InSteps}} {
		list = slices.DeleteFunc(slices.Clone(m.drawing.Boxes), func(b kitchen.Box) bool { return !slices.Contains(of, b.List) })
		if len(list) <= mostDrawn {
			return list
		}
	}
	return nil
}

// draw draws the boxes and lines, each box a link: to pick it, or to draw a line to it from the one that is picked.
func (m *drawingAnswer) draw(ctx context.Context, a *asked) error {
	d := m.drawing
	show := map[string]bool{} // by key
	m.Whole = len(d.Boxes) <= mostDrawn
	for _, b := range d.Boxes {
		show[boxKey(b)] = m.Whole || m.Picked != nil && b == *m.Picked || m.To != nil && b == *m.To
	}
	if !m.Whole && m.Picked == nil {
		for _, b := range m.outline() {
			show[boxKey(b)] = true
		}
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
	picture := draw.Picture{Title: cmp.Or(a.Kitchen.Name, a.T("The flow, drawn")), Part: true, Bare: true, Words: func(english string) string { return a.T(english) }}
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
