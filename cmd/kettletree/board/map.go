package board

// Map: one thing with what it comes from and goes into (walk.go), or the whole flow as it is drawn, in which what hangs on the chosen
// thing stands out. With a thing stand what it costs and how long it keeps, and what can be asked about it.

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph"
	"kettletree/graph/draw"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

var mapPage = &page{Path: "/map", Name: "Map", File: "map", Takes: []string{"item", "whole", "by", "part", "zoom"}, Shocks: true, Answer: theMap}

// mapAnswer is what the page shows.
type mapAnswer struct {
	Whole  bool          // it is drawn
	Sheet  template.HTML // drawn by package draw, which escapes all that it is given
	Names  []called      // of all that can be chosen
	Typed  string        // what is called like nothing, or like several things
	Meant  []string      // that it may mean
	By     ask.By
	Bys    []ask.By
	Part   bool // only what hangs on the chosen thing
	Zoom   string
	Zooms  []string
	Pot    string    // id of the box at which the sheet opens; "" for none
	Chosen *chosen   // nil for none
	Lost   []trouble // that is written down, as Today has it
	After  *Follows
}

// zooms are how large the sheet is shown; see "sheet" in the style sheet.
var zooms = []string{"1", "2", "3", "4", "5"}

// chosen is one thing of the kitchen, and what is known of it.
type chosen struct {
	Name, Kind string
	Box        string // id of its box; "" when it is only named in others
	Facts      []fact
	None       string // that it has no listed allergens
	From, Into []neighbour
	Lost       []whatIf // what can be asked about it
	Others     []whatIf // the same, less likely
	Became     became   // by what is asked already

	item, step int // -1 for none
}

type fact struct{ Name, Value string }

// neighbour is what a thing comes from, or goes into.
type neighbour struct {
	Name, Note string // "takes 10 L"
	Amount     string // of a substitute
	Became     became // by what is asked
}

// whatIf is a change that a link asks about.
type whatIf struct {
	Kind, Text string
	Says       string // "Tue lost"
}

func theMap(ctx context.Context, a *asked) (any, error) {
	shocks, err := a.Shocks()
	if err != nil {
		return nil, err
	}
	m := &mapAnswer{Bys: ask.Bys, By: ask.By(a.Query.Get("by")), Part: a.Query.Get("part") != "", Zoom: a.Query.Get("zoom"), Zooms: zooms}
	if m.Lost, err = a.troubleOfLosses(ctx); err != nil {
		return nil, err
	}
	asks := len(shocks) > 0
	for _, lost := range m.Lost { // where nothing else is asked, the map shows what they do
		if s, err := a.Week.Shock("lose", lost.Lose); err == nil && !asks {
			shocks = append(shocks, s)
		}
	}
	switch {
	case m.By == "" && len(shocks) > 0:
		m.By = ask.ByShortage
	case m.By == "":
		m.By = ask.ByWeight
	case !slices.Contains(ask.Bys, m.By):
		return nil, &Refusal{Msg: fmt.Sprintf("a map can't be drawn by %q", m.By), Hint: "choose weight, cost or shortage"}
	}
	if m.Zoom != "" && !slices.Contains(zooms, m.Zoom) {
		return nil, &Refusal{Msg: fmt.Sprintf("there is no size %q", m.Zoom), Hint: "choose one from 1 to 5"}
	}
	m.Whole = a.Query.Get("whole") != "" || m.Part || m.Zoom != "" || a.Query.Get("by") != ""
	m.Names = slices.Concat(stepNames(a.Kitchen), itemNames(a.Kitchen, graph.Made, graph.Sold, graph.Bought))
	name, around := strings.TrimSpace(a.Query.Get("item")), ""
	if name != "" {
		name = m.find(a, name)
	} else if pot := a.Kitchen.Pot(); pot >= 0 && !m.Whole {
		name = a.Kitchen.Graph.Steps[pot].Name
	}
	if name != "" {
		if m.Chosen, err = a.choose(ctx, name); err != nil {
			return nil, err
		}
		if m.Part {
			around = name
		}
	}
	m.Part = around != ""
	then, shocks, err := a.unwritten(ctx, shocks)
	if err != nil {
		return nil, err
	}
	drawn := m.drawing(ctx, then, shocks, around) // beside what is said, for each takes its time
	if m.Chosen != nil {
		err = then.tellBecame(ctx, m.Chosen, shocks)
	}
	if err == nil && asks {
		m.After, err = then.follow(ctx, shocks)
	}
	sheet := <-drawn
	if err = cmp.Or(err, sheet.err); err != nil {
		return nil, err
	}
	m.Pot, m.Sheet = sheet.Pot, sheet.Sheet
	return m, nil
}

// drawn is a sheet, or why there is none.
type drawn struct {
	Pot   string        // the box that the map begins at
	Sheet template.HTML // the drawing
	err   error
}

// drawing has the sheet drawn: nothing where the page shows none.
func (m *mapAnswer) drawing(ctx context.Context, a *asked, shocks []week.Shock, around string) <-chan drawn {
	came := make(chan drawn, 1)
	if !m.Whole {
		came <- drawn{}
		return came
	}
	by, chosen := m.By, m.Chosen
	go func() {
		d, err := caught(ctx, func(ctx context.Context) (drawn, error) { return a.draw(ctx, shocks, around, by, chosen) })
		d.err = err
		came <- d
	}()
	return came
}

// draw draws the sheet: all, or what is around a thing.
func (a *asked) draw(ctx context.Context, shocks []week.Shock, around string, by ask.By, c *chosen) (d drawn, err error) {
	picture, err := ask.Map(ctx, a.Week, shocks, around, by)
	if ctx.Err() != nil {
		return d, context.Cause(ctx)
	}
	if err != nil {
		return d, &Refusal{Msg: err.Error()}
	}
	told := a.pictured(picture)
	key, err := drawnKey(told) // an entry that changes nothing of what is drawn has nothing drawn again
	if err != nil {
		return d, err
	}
	sheet, err := a.board.drawn.get(ctx, key, func(ctx context.Context) ([]byte, error) { return draw.Render(ctx, told) })
	if ctx.Err() != nil {
		return d, context.Cause(ctx)
	}
	if err != nil {
		return d, &Refusal{Msg: strings.TrimPrefix(err.Error(), "draw: "), Hint: "choose something, and only what it's connected to"}
	}
	d.Pot = potBox(a.Kitchen, &picture)
	d.Sheet = template.HTML(draw.Mark(sheet, a.marks(&picture, c)))
	return d, nil
}

// pictured is a picture in the language of the page, without what a command line would be told.
func (s *speaker) pictured(p draw.Picture) draw.Picture {
	if p.Caption = tapped(p.Caption); s.voice.English() {
		return p
	}
	p.Caption = s.Phrases(p.Caption)
	p.Nodes, p.Edges = slices.Clone(p.Nodes), slices.Clone(p.Edges)
	for i := range p.Nodes {
		n := &p.Nodes[i]
		n.Name, n.StateWords, n.Lines = s.Called(n.Name), s.Phrase(n.StateWords), slices.Clone(n.Lines)
		for k := range n.Lines {
			n.Lines[k] = s.Phrase(n.Lines[k])
		}
	}
	for i := range p.Edges {
		e := &p.Edges[i]
		e.Label = s.Phrase(e.Label)
	}
	p.Words = s.Phrase
	return p
}

// drawnKey stands for all that a picture draws.
func drawnKey(p draw.Picture) (string, error) {
	text, err := json.Marshal(struct {
		draw.Picture
		Part bool
	}{p, p.Part})
	return fmt.Sprintf("%x", sha256.Sum256(text)), err
}

// frameKey is the part of a key that stands for the days asked about.
func (a *asked) frameKey() string {
	q := url.Values{}
	for _, w := range frameWords {
		if list, ok := a.Query[w]; ok {
			q[w] = list
		}
	}
	return q.Encode()
}

// choose finds a thing by its name: a step, an item or a dish.
func (a *asked) choose(ctx context.Context, name string) (*chosen, error) {
	k, g := a.Kitchen, a.Kitchen.Graph
	c := &chosen{Name: name, item: -1, step: -1}
	if s, err := k.FindStep(name); err == nil {
		c.step = s
		return c, a.aboutStep(ctx, c)
	}
	i, err := k.FindItem(name)
	if err != nil {
		return nil, &Refusal{Msg: err.Error(), Hint: "search for it on the Map page"}
	}
	c.item = i
	for d, dish := range k.Dishes {
		if dish.Item == i {
			c.step, c.Kind = len(k.Steps)+d, "dish"
			if dish.Special {
				c.Kind = "special"
			}
			return c, a.aboutDish(ctx, c, d)
		}
	}
	c.Kind = "made"
	if g.Items[i].Role == graph.Bought {
		c.Kind = "bought"
	}
	return c, a.aboutItem(ctx, c)
}

// tellBecame tells of a thing and of what is around it what became of them.
func (a *asked) tellBecame(ctx context.Context, c *chosen, shocks []week.Shock) error {
	of, err := a.becomes(ctx, shocks, c.Name)
	if err != nil {
		return err
	}
	c.Became = of[c.Name]
	for _, list := range [][]neighbour{c.From, c.Into} {
		for i := range list {
			list[i].Became = of[list[i].Name]
		}
	}
	return nil
}

func (a *asked) aboutItem(ctx context.Context, c *chosen) error {
	g, it := a.Kitchen.Graph, a.Kitchen.Graph.Items[c.item]
	costs, err := ask.Cost(ctx, a.Week)
	if err != nil {
		return err
	}
	for _, x := range costs.Items {
		if x.Name == it.Name {
			m := show.MoneyOf(costs.Money)
			c.fact(a.T("costs"), a.Figure(fmt.Sprintf("%s %s/%s", m.Rate(x.UnitCost), costs.Money, x.Unit)))
			if x.From != "" {
				c.fact(a.T("from the supplier"), a.Called(x.From))
			}
		}
	}
	if days := a.Kitchen.Terms.Keeps[c.item]; days > 0 {
		c.fact(a.T("keeps"), a.voice.Days(days))
	} else {
		c.fact(a.T("keeps"), a.T("no limit in the kitchen file"))
	}
	there, err := ask.WhatIf(ctx, a.Week, nil)
	if err != nil {
		return err
	}
	for _, x := range there.Items {
		if x.Name == it.Name {
			c.fact(map[bool]string{true: a.T("delivered in these days"), false: a.T("made in these days")}[x.Bought], a.Amount(x.MadeAfter, x.Unit))
			c.fact(a.T("left over"), a.Amount(x.LeftAfter, x.Unit))
			if x.BinnedAfter > 0 {
				c.fact(a.T("binned"), a.Amount(x.BinnedAfter, x.Unit))
			}
		}
	}
	c.allergens(a)
	for s, st := range g.Steps {
		for _, out := range st.Gives {
			if out.Item == c.item {
				c.From = append(c.From, neighbour{Name: st.Name, Note: a.T("gives %[1]s", a.quantity(c.item, out.Amount))})
				if s < len(a.Kitchen.Steps) {
					c.losses(a, s)
				}
			}
		}
		c.Into = append(c.Into, a.users(c.item, st)...)
	}
	if it.Role == graph.Bought {
		c.Lost = append(c.Lost, whatIf{"short", it.Name + "=100%", a.T("none comes")}, whatIf{"short", it.Name + "=30%", a.T("30% less comes")})
	}
	if it.Role != graph.Sold {
		c.Lost = append(c.Lost, whatIf{"spoil", it.Name, a.T("it spoils")})
	}
	return nil
}

// lineWords are what is said of a line of a step: by the item that it takes, or by the step.
type lineWords struct{ plain, either, another, instead, taste, around, ifAny, yesterday string }

var (
	isTaken = lineWords{"takes %[1]s", "takes %[1]s, or another", "takes %[1]s, or another", "takes %[1]s, in place of %[2]s", "takes %[1]s, to taste",
		"takes %[1]s, give or take %[2]s", "takes %[1]s, if there is any", "takes %[1]s from yesterday"}
	goesIn = lineWords{"", "either %[1]s", "or %[1]s", "or %[1]s", "to taste, %[1]s",
		"%[1]s, give or take %[2]s", "if there is any, %[1]s", "%[1]s from yesterday"}
)

// takes says how a step takes one of the choices of a line.
func (a *asked) takes(l *graph.Line, n int, w *lineWords) string {
	choice := l.Choices[n]
	amount, alike := a.quantity(choice.Item, choice.Amount), n < l.Alike && l.Alike > 1
	switch {
	case alike && n == 0:
		return a.T(w.either, amount)
	case alike:
		return a.T(w.another, amount)
	case n > 0:
		return a.T(w.instead, amount, a.Called(a.Kitchen.Graph.Items[l.Choices[0].Item].Name))
	case l.Without == 1:
		return a.T(w.taste, amount)
	case l.Without > 0:
		return a.T(w.around, amount, kitchen.FormatPercent(l.Without))
	case l.Optional:
		return a.T(w.ifAny, amount)
	case l.Carried:
		return a.T(w.yesterday, amount)
	case w.plain == "":
		return amount
	}
	return a.T(w.plain, amount)
}

// users are the lines of a step that take an item.
func (a *asked) users(item int, st graph.Step) (list []neighbour) {
	for _, l := range st.Takes {
		for n, choice := range l.Choices {
			if choice.Item != item {
				continue
			}
			list = append(list, neighbour{Name: st.Name, Note: a.takes(&l, n, &isTaken)})
		}
	}
	return list
}

func (a *asked) aboutStep(ctx context.Context, c *chosen) error {
	st, card := a.Kitchen.Graph.Steps[c.step], a.Kitchen.Steps[c.step]
	c.Kind = "step"
	switch st.Mode {
	case graph.OnDays:
		var days []string
		for d, n := range card.Batches {
			if n > 0 {
				days = append(days, fmt.Sprintf("%s ×%g", a.weekday(time.Weekday(d)), n))
			}
		}
		c.fact(a.T("batches"), strings.Join(days, ", "))
	case graph.AllOf:
		c.fact(a.T("batches"), a.T("of all there is"))
	default:
		c.fact(a.T("batches"), a.T("to order"))
	}
	if card.Starts != flow.Untimed {
		c.fact(a.T("starts at"), measure.FormatClock(card.Starts))
	}
	if card.Vessel >= 0 {
		c.fact(a.T("where"), a.Called(a.Kitchen.Vessels[card.Vessel].Name))
	}
	costs, err := ask.Cost(ctx, a.Week)
	if err != nil {
		return err
	}
	c.fact(a.T("a batch costs"), a.Figure(show.MoneyOf(costs.Money).Name(costs.Steps[c.step].Bill)))
	a.inputs(c, st)
	for _, out := range st.Gives {
		c.Into = append(c.Into, neighbour{Name: a.Kitchen.Graph.Items[out.Item].Name, Note: a.quantity(out.Item, out.Amount)})
	}
	c.losses(a, c.step)
	return nil
}

func (a *asked) inputs(c *chosen, st graph.Step) {
	for _, l := range st.Takes {
		for n, choice := range l.Choices {
			c.From = append(c.From, neighbour{Name: a.Kitchen.Graph.Items[choice.Item].Name, Note: a.takes(&l, n, &goesIn)})
		}
	}
}

func (a *asked) aboutDish(ctx context.Context, c *chosen, d int) error {
	costs, err := ask.Cost(ctx, a.Week)
	if err != nil {
		return err
	}
	x, m := costs.Dishes[d], show.MoneyOf(costs.Money)
	c.fact(a.T("price"), a.Figure(m.Name(x.Price)))
	c.fact(a.T("plate cost"), a.Figure(m.Name(x.PlateCost)))
	c.fact(a.T("contribution"), a.Figure(m.Name(x.Contribution)))
	if x.FoodCostPct != nil {
		c.fact(a.T("food cost"), a.Figure(show.Percent(*x.FoodCostPct/100)))
	}
	c.allergens(a)
	a.inputs(c, a.Kitchen.Graph.Steps[c.step])
	c.Lost = append(c.Lost, whatIf{"strike", x.Name, a.T("off the menu")}, whatIf{"sells", x.Name + "=+20%", a.T("20% more ordered")})
	return nil
}

func (c *chosen) fact(name, value string) { c.Facts = append(c.Facts, fact{name, value}) }

// allergens is the fact of what it has; where it has none of the list, that says itself what it is of.
func (c *chosen) allergens(a *asked) {
	if stated := a.Kitchen.Stated(c.item); stated.None() {
		c.None = a.voice.Stated(stated)
	} else {
		c.fact(a.T("allergens"), a.voice.Stated(stated))
	}
}

func (a *asked) quantity(item int, base float64) string {
	q := a.Kitchen.Quantity(item, base)
	return a.Amount(q.Amount, q.Unit.Name)
}

// Where a box stands, seen from the chosen thing; see "sheet" in the style sheet.
const (
	isChosen  = "chosen"
	isAbove   = "above" // it comes from that
	isBelow   = "below" // that comes of it
	isNeither = "rest"
)

// marks make every box a link, and let what hangs on the chosen thing stand out.
func (a *asked) marks(p *draw.Picture, c *chosen) draw.Marks {
	g := a.Kitchen.Graph
	names, place := map[string]string{}, map[string]string{}
	var up, down []int
	if c != nil {
		node := c.item
		if node < 0 {
			node = g.Node(c.step)
		}
		up, down = g.Upstream(node), g.Downstream(node)
	}
	for _, n := range p.Nodes {
		names[n.ID] = n.Name
		if c == nil {
			continue
		}
		has := func(nodes []int) bool {
			return n.Item >= 0 && slices.Contains(nodes, n.Item) || n.Step >= 0 && slices.Contains(nodes, g.Node(n.Step))
		}
		switch {
		case n.Item >= 0 && n.Item == c.item || n.Step >= 0 && n.Step == c.step:
			place[n.ID], c.Box = isChosen, n.ID
		case has(up):
			place[n.ID] = isAbove
		case has(down):
			place[n.ID] = isBelow
		default:
			place[n.ID] = isNeither
		}
	}
	m := draw.Marks{Link: func(id string) string { return a.URL("/map", "item", names[id]) + "#it" }}
	if c == nil {
		return m
	}
	m.Class = func(id string) string { return place[id] }
	m.Line = func(from, to string) string {
		f, t := place[from], place[to]
		switch {
		case f == isAbove && (t == isAbove || t == isChosen):
			return isAbove
		case (f == isChosen || f == isBelow) && t == isBelow:
			return isBelow
		}
		return isNeither
	}
	return m
}
