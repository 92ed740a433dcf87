package board

// Guide: the kitchen explained to a cook who is new in it, as it is printed.

import (
	"context"
	"fmt"
	"html/template"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/language/display"

	"kettletree/menu/guide"
	"kettletree/menu/tongue"
)

var guidePage = &page{Path: "/guide", Name: "Guide", File: "guide", Standing: true, Takes: []string{"lang"}, Studies: true, Answer: theGuide}

// guideAnswer is what the page shows.
type guideAnswer struct {
	*studied
	Lang      string
	Languages []fact // tag and own name
	Text      template.HTML
}

func theGuide(ctx context.Context, a *asked) (any, error) {
	tag := a.voice.Language()
	if text := a.Query.Get("lang"); text != "" {
		var err error
		if tag, err = language.Parse(text); err != nil || !tongue.Speaks(tag) {
			return nil, &Refusal{Msg: fmt.Sprintf("the guide is not written in %q", text), Hint: "choose one of the languages under More"}
		}
	}
	week, called := a.Week, tongue.In(tag).Word("The map")
	s, err := a.study(ctx, a.board.long, tag.String()+" "+a.frameKey(), func(ctx context.Context, _ func(string)) (any, error) {
		g, err := guide.Of(ctx, week, tag)
		if err != nil {
			return nil, err
		}
		html, err := g.Part(ctx, linked)
		return withinPage(html, called), err
	})
	if err != nil {
		return nil, err
	}
	p := &guideAnswer{studied: s, Lang: tag.String()}
	for _, l := range tongue.Languages {
		p.Languages = append(p.Languages, fact{l.String(), display.Self.Name(l)})
	}
	p.Text, _ = s.Found.(template.HTML)
	return p, nil
}

// withinPage makes the guide stand within a page of the board. Package guide escapes all that the kitchen file says.
func withinPage(html []byte, called string) template.HTML {
	return template.HTML(strings.ReplaceAll(string(plainPicture(html)), `<figure class="map">`, `<figure class="map" tabindex="0" aria-label="`+escaped(called)+`">`))
}
