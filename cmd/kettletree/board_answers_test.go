package main

// Every question of the command line has a page.

import (
	"io"
	"net/http"
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// answeredAt are the commands with the pages that answer what they answer; without one, the command asks nothing about the kitchen, or
// changes files, which is done at the computer.
var answeredAt = map[string]string{
	"check": "/check", "whatif": "/map?lose=poach+chickens@wed", "why": "/why?figure=chicken+soup", "weak": "/weak", "plan": "/plan", "buy": "/buy",
	"tonight": "/tonight", "on-hand": "/on-hand", "clock": "/clock", "specials": "/specials", "cost": "/costs", "popularity": "/popularity",
	"forecast": "/forecast", "trace": "/origins?of=chicken+soup", "cooling": "/cooling", "labels": "/labels", "allergens": "/allergens",
	"map": "/map?whole=yes", "guide": "/guide", "log": "/log", "yields": "/yields", "taste": "/taste", "change": "/kitchen", "recipes": "/recipes", "prices": "/prices", "weigh": "/weigh",
	"backup": "", "restore": "", "serve": "", "diff": "", "schema": "", "undo": "", "start": "", "licences": "", "completion": "", "complete": "", "help": "",
}

func TestBoardAnswersAll(t *testing.T) {
	o := openBoard(t, "first-pot")
	for at, entries := range map[string][]string{"2026-11-21 16:00": {"sold 4 chicken soup at lunch"}, "": {"counted 2 L chicken stock", "temperature chicken stock 62 C"}} {
		status, _, _ := o.send(http.MethodPost, "/write", url.Values{"text": entries, "at": {at}}, nil)
		require.Equal(t, 200, status)
	}
	_, more, _ := o.get("/more")
	linked := map[string]bool{"/": true, "/map": true, "/buy": true, "/log": true}
	for _, m := range regexp.MustCompile(`href="(/[a-z-]*)"`).FindAllStringSubmatch(more, -1) {
		linked[m[1]] = true
	}
	for _, c := range newApp(nil, io.Discard, io.Discard).Commands {
		page, known := answeredAt[c.Name]
		assert.True(t, known, "nobody said on which page the board answers %q", c.Name)
		if page == "" {
			continue
		}
		at, err := url.Parse(page)
		require.NoError(t, err)
		assert.True(t, linked[at.Path], "no page leads to %s", at.Path)
		status, text, _ := o.get(page)
		assert.Equal(t, 200, status, page)
		assert.NotContains(t, text, "That can't be answered", page)
	}
}
