package guide

// The guide as one page for a browser and for paper.

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/base64"
	"errors"
	"html/template"
	"slices"
	"strings"

	"kettletree/graph/draw"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

//go:embed page/guide.html
var pageText string

var pageTemplate = template.Must(template.New("guide").Funcs(template.FuncMap{"unbroken": tongue.Unbroken}).Parse(pageText))

// placed is a section as the page lays it out: with the level of its heading, its pictures drawn, and the word before a caution.
type placed struct {
	ID       string
	Title    line
	Page     bool
	Front    *fit
	Folds    bool // it opens when it is asked for
	Level    int
	Blocks   []drawn
	Sections []placed
	heads
}

type drawn struct {
	block
	Picture template.HTML
	Shown   *shown
}

// Photos are the pictures that a page can show, by the name that the file gives them, and where each is found. Of what is missing,
// nothing is shown.
type Photos func(name string) (address string, wide, high int, ok bool)

// Embedded are pictures that stand in the page itself.
func Embedded(photos map[string]kitchen.Photo) Photos {
	return func(name string) (address string, wide, high int, ok bool) {
		p, ok := photos[name]
		return "data:" + p.Kind + ";base64," + base64.StdEncoding.EncodeToString(p.Data), p.Wide, p.High, ok
	}
}

// shown is a picture in its place.
type shown struct {
	Address    template.URL
	Wide, High int
	Alt        string
}

// show finds the picture of a block; nil where there is none.
func (p Photos) show(b *block) *shown {
	if b.Photo == "" || p == nil {
		return nil
	}
	address, wide, high, ok := p(b.Photo)
	if !ok {
		return nil
	}
	return &shown{template.URL(address), wide, high, b.Text.plain()} // made by us, of what was found to be a picture
}

// heads are the words that stand in all sections.
type heads struct {
	Caution, In, When, Out line
	Gap                    string // between a caution's head and its text
}

func laidOut(sections []section, level int, figures map[string]template.HTML, photos Photos, words heads) (list []placed) {
	for _, s := range sections {
		p := placed{ID: s.ID, Title: s.Title, Page: s.Page, Front: s.Front, Level: level, heads: words}
		for _, b := range s.Blocks {
			p.Blocks = append(p.Blocks, drawn{b, figures[b.Figure], photos.show(&b)})
		}
		p.Sections = laidOut(s.Sections, level+1, figures, photos, words)
		list = append(list, p)
	}
	return list
}

// Page is the guide as one HTML file: it holds its style and drawings, runs nothing, and asks for nothing from outside, if its photos
// don't.
func (g *Guide) Page(ctx context.Context, photos Photos) ([]byte, error) {
	return g.render(ctx, "guide", photos)
}

// Part is what stands in the body of the guide's page, to stand within another, on a phone too: all but the pot and the cautions is folded.
func (g *Guide) Part(ctx context.Context, photos Photos) ([]byte, error) {
	return g.render(ctx, "part", photos)
}

// folded folds the sections of a guide but its first and the cautions, and those of a folded one that is no page to hang up.
func folded(sections []placed) {
	for n := range sections {
		s := &sections[n]
		s.Folds = s.ID != cautionsID && (n > 0 || s.Level > 2)
		if s.Folds && s.Front == nil && s.Level == 2 {
			folded(s.Sections)
		}
	}
}

// render lays out the guide, or a part of it, by a template.
func (g *Guide) render(ctx context.Context, by string, photos Photos) ([]byte, error) {
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
	words := heads{t.say("Caution:"), t.say("In"), t.say("When"), t.say("Out"), " "}
	if tongue.Chinese(t.tag) {
		words.Gap = ""
	}
	laid := laidOut(sections, 2, figures, photos, words)
	if by == "part" {
		folded(laid)
	}
	var b bytes.Buffer
	err := pageTemplate.ExecuteTemplate(&b, by, map[string]any{
		"Lang": g.Language, "Title": t.say("Guide for new cooks: %[1]s", t.free(g.Kitchen)), "Plain": t.plain("Guide for new cooks: %[1]s", g.Kitchen),
		"Made": t.say("Made from the standing week of %[1]s, %[2]s.", t.date(g.From), t.voice.Days(g.Days)), "Contents": t.plain("Contents"),
		"Sections": laid,
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
