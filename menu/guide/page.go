package guide

// The guide as one page for a browser and for paper.

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"html/template"
	"slices"
	"strings"

	"kettletree/graph/draw"
)

//go:embed page/guide.html
var pageText string

var pageTemplate = template.Must(template.New("guide").Parse(pageText))

// placed is a section as the page lays it out: with the level of its heading, its pictures drawn, and the word before a caution.
type placed struct {
	ID       string
	Title    line
	Page     bool
	Front    *fit
	Level    int
	Blocks   []drawn
	Sections []placed
	heads
}

type drawn struct {
	block
	Picture template.HTML
}

// heads are the words that stand in all sections.
type heads struct{ Caution, In, When, Out line }

func laidOut(sections []section, level int, figures map[string]template.HTML, words heads) (list []placed) {
	for _, s := range sections {
		p := placed{ID: s.ID, Title: s.Title, Page: s.Page, Front: s.Front, Level: level, heads: words}
		for _, b := range s.Blocks {
			p.Blocks = append(p.Blocks, drawn{b, figures[b.Figure]})
		}
		p.Sections = laidOut(s.Sections, level+1, figures, words)
		list = append(list, p)
	}
	return list
}

// Page is the guide as one HTML file: it holds its style and pictures, runs nothing, and asks for nothing from outside.
func (g *Guide) Page(ctx context.Context) ([]byte, error) { return g.render(ctx, "guide") }

// Part is what stands in the body of the guide's page, to stand within another.
func (g *Guide) Part(ctx context.Context) ([]byte, error) {
	head, err := g.render(ctx, "head")
	if err != nil {
		return nil, err
	}
	body, err := g.render(ctx, "body")
	return append(head, body...), err
}

// render lays out the guide, or a part of it, by a template.
func (g *Guide) render(ctx context.Context, by string) ([]byte, error) {
	t := newTeller(g)
	figures := map[string]template.HTML{}
	sections := g.sections()
	mapped := &sections[slices.IndexFunc(sections, func(s section) bool { return s.ID == mapID })]
	switch sheet, err := draw.Render(ctx, g.Map); {
	case errors.As(err, new(*draw.TooLargeError)):
		mapped.Blocks = t.inWords(mapped.Blocks)
	case err != nil:
		return nil, err
	default:
		figures["map"] = inline(sheet)
	}
	if lanes, ok := lanesOf(g); ok {
		figures["lanes"] = inline(draw.RenderLanes(lanes))
	}
	var b bytes.Buffer
	err := pageTemplate.ExecuteTemplate(&b, by, map[string]any{
		"Lang": g.Language, "Title": t.say("Guide for new cooks: %[1]s", t.free(g.Kitchen)), "Plain": t.plain("Guide for new cooks: %[1]s", g.Kitchen),
		"Made": t.say("Made from the standing week of %[1]s, %[2]s.", t.date(g.From), t.voice.Days(g.Days)), "Contents": t.plain("Contents"),
		"Sections": laidOut(sections, 2, figures, heads{t.say("Caution:"), t.say("In"), t.say("When"), t.say("Out")}),
	})
	return b.Bytes(), err
}

// inWords puts words in the place of a map that is too large to be drawn.
func (t *teller) inWords(blocks []block) (list []block) {
	for _, b := range blocks {
		switch {
		case b.Figure != "":
			list = append(list, block{Text: t.say("There is too much for one picture, so the flow stands here in words.")})
		case b.Flow != nil:
			list = append(list, block{Points: b.Flow})
		default:
			list = append(list, b)
		}
	}
	return list
}

// inline takes what stands before the picture away, for it is drawn into a page. Package draw escapes what the kitchen file says.
func inline(svg []byte) template.HTML {
	text := string(svg)
	return template.HTML(text[max(0, strings.Index(text, "<svg")):])
}
