package board

// More: all that can be asked, by who asks it. What the command line answers as a table is shown here as the same table.

import (
	"cmp"
	"context"
	"net/url"
	"slices"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
)

var morePage = &page{Path: "/more", Name: "More", File: "more", Answer: func(context.Context, *asked) (any, error) { return askers, nil }}

// asker is who asks, and what.
type asker struct {
	Who   string
	Doors []morePlace
}

// morePlace is a page that is asked for under More, and what it tells.
type morePlace struct {
	Page  *page
	Tells string
}

// textPage is a page that shows an answer as the command line does.
func textPage(path, name string, answer func(context.Context, *asked, show.Page) (string, error), takes ...string) *page {
	return &page{Path: path, Name: name, File: "text", Takes: takes, Answer: func(ctx context.Context, a *asked) (any, error) {
		t := &textAnswer{Takes: takes}
		on := a.textOn(t)
		if slices.Contains(spokenTexts, path) {
			on = a.spokenOn()
		}
		if t.Drawn = slices.Contains(drawnTexts, path); t.Drawn {
			on.Blocks, on.Width = false, textWidth
		}
		text, err := answer(ctx, a, on)
		if refused := refusal(err); refused != nil {
			return nil, refused
		}
		t.Text = text
		if len(takes) > 0 {
			t.Said = a.Query.Get(takes[0])
		}
		return t, nil
	}}
}

// sittings are the services that are still to come, of the first day that has one.
func (a *asked) sittings() (list []sitting) {
	on := -1
	for k, sit := range a.Week.Sittings {
		if sit.Service < 0 || a.Week.Case.Schedule.Slots[k].Closed || on >= 0 && sit.Day != on {
			continue
		}
		on = sit.Day
		service := a.Week.Services[sit.Service].Name
		date := a.Week.Date(on).Format(time.DateOnly)
		list = append(list, sitting{date, service, "/tonight?" + url.Values{"from": {date}, "at": {service}}.Encode()})
	}
	return list
}

// textWidth is how many letters a line has where the letters draw: as many as a phone shows.
const textWidth = 44

// drawnTexts are the pages whose text draws branches with its letters.
var drawnTexts = []string{"/why", "/origins", "/trace"}

// spokenTexts are the pages whose text is made in the language of the page; others are said again in it, sentence by sentence.
var spokenTexts = []string{"/allergens", "/labels"}

type textAnswer struct {
	More    []fact // further texts, each with its head
	Text    string
	Drawn   bool     // letters draw
	English []string // what of it no language but English has
	Faults  string   // of the kitchen file, as the command line shows them
	Takes   []string
	Said    string
}

// spokenOn is what an answer is laid out for that is made in the language of the page.
func (a *asked) spokenOn() show.Page {
	return show.Page{Blocks: true, Voice: a.voice, Beside: a.beside}
}

// beside is a cell with the head of its column before it.
func (a *asked) beside(head, cell string) string { return a.voice.Say("%[1]s: %[2]s", head, cell) }

// textOn is what the text of an answer is laid out for: in the language of the page. What has no translation stays as
// it is, and the answer says so.
func (a *asked) textOn(t *textAnswer) show.Page {
	on := show.Page{Blocks: true, Say: tapped, Beside: a.beside}
	if a.voice.English() {
		return on
	}
	on.Say = func(text string) string {
		text = tapped(text)
		if said, ok := a.phrase(text, 0); ok {
			return said
		}
		list := sentences(text)
		for i, one := range list {
			said, ok := a.phrase(one, 0)
			if !ok {
				t.English = append(t.English, one)
			}
			list[i] = said
		}
		return a.voice.Sentences(list...)
	}
	return on
}

var (
	tonightPage = textPage("/tonight", "What to sell", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		o, err := a.Open(ctx, Frame{From: cmp.Or(a.Query.Get("from"), a.date()), Days: "1"})
		if err != nil {
			return "", err
		}
		if o.Week.OnHand == nil {
			return "", &Refusal{Msg: "nobody wrote down what is on hand", Hint: "count it on the Log page"}
		}
		t, err := plan.ForTonight(ctx, o.Week, a.Query.Get("at"))
		if err != nil {
			return "", &Refusal{Msg: err.Error(), Sittings: a.sittings()}
		}
		return show.Tonight(p, t), nil
	}, "at")
	weakPage = textPage("/weak", "What hurts most if it fails", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		w, err := ask.Weak(ctx, a.Week, nil)
		if err != nil {
			return "", err
		}
		return show.Weak(p, w, weakest), nil
	})
	popularityPage = textPage("/popularity", "What sells and what earns", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		r, err := ask.Popularity(ctx, a.Week, nil)
		if err != nil {
			return "", &Refusal{Msg: err.Error()}
		}
		return show.Popularity(p, r), nil
	})
	allergensPage = textPage("/allergens", "Allergens", func(_ context.Context, a *asked, p show.Page) (string, error) {
		w, _ := a.Week.InLanguage(p.Voice.Language())
		return show.Allergens(p, ask.Allergens(w.Kitchen)), nil
	})
	labelsPage = textPage("/labels", "Labels", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		w, _ := a.Week.InLanguage(p.Voice.Language())
		l, err := a.labels(ctx, w)
		if err != nil {
			return "", err
		}
		return show.Labels(p, l), nil
	}, "on")
	onHandPage = textPage("/on-hand", "On hand, lot by lot", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		o := a.board.Options
		if o.Read, o.Now = a.Kitchen, a.Now; o.OnHand.Name == "" && !logbook.Exists(o.LogBook) {
			return "", &Refusal{Msg: "nothing was counted yet", Hint: "count it on the stock-take page"}
		}
		h, faults, err := menu.OnHand(ctx, o)
		if err != nil {
			return "", err
		}
		if h == nil {
			return "", &Refusal{Msg: "there is a mistake in what is on hand", Excerpt: faults.Error()}
		}
		return show.OnHand(p, h), nil
	})
	forecastPage = textPage("/forecast", "Have ready", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		return a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
			f, err := j.Forecast(ctx, a.Kitchen, a.Now, time.Time{})
			if err == nil && f.Services == 0 {
				err = &Refusal{Msg: "no sale was written down at a service that has ended", Hint: "write down what is sold on the Log page"}
			}
			if err != nil {
				return "", err
			}
			return show.Forecast(p, f), nil
		})
	})
	yieldsPage = textPage("/yields", "What batches really give", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		return a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
			y, err := j.Yields(ctx, a.Kitchen, logbook.About{Step: -1, Output: -1})
			if err != nil {
				return "", err
			}
			return show.Yields(p, y), nil
		})
	})
	tracePage = textPage("/trace", "Trace a lot", func(ctx context.Context, a *asked, p show.Page) (string, error) {
		return a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
			lot := a.Query.Get("lot")
			if lot == "" {
				return "", nil
			}
			t, err := j.TraceLot(ctx, a.Kitchen, lot, a.Now)
			if err != nil {
				return "", err
			}
			return show.Lot(p, t), nil
		})
	}, "lot")
)

// weakest is how many losses of each kind are shown.
const weakest = 10

// fromLogBook asks the log book, where there is one.
func (a *asked) fromLogBook(ctx context.Context, question func(*logbook.Book) (string, error)) (string, error) {
	if !logbook.Exists(a.board.LogBook) {
		return "", &Refusal{Msg: "nothing was written down yet", Hint: "the first entry on the Log page begins the log book"}
	}
	j, err := logbook.Open(ctx, a.board.LogBook)
	if err != nil {
		return "", err
	}
	defer func() { _ = j.Close() }() // it is only read
	j.Know(a.Kitchen)
	return question(j)
}

// askers are those who ask, each with the pages that are theirs.
var askers = []asker{
	{"Cook", []morePlace{{clockPage, "who does what, where and when"}, {sheetsPage, "of one person or one station, with ticks"}, {tonightPage, "at this service, from what is on hand, to earn most"},
		{specialsPage, "what is left over and what would use it up"}, {labelsPage, "for what is made next: made, use by, allergens, lot"},
		{forecastPage, "portions of each dish, by what was sold"}, {weighPage, "a whole piece on the scale, part by part: what each costs"}, {yieldsPage, "beside what the cards say"}, {tastePage, "colour, salt, and why this batch is darker"}}},
	{"Buyer", []morePlace{{buyPage, "the list, by supplier"}, {planPage, "what to cook, buy and sell in the days to come"}, {onHandPage, "with dates"},
		{stockTakePage, "count all that should be there, on one form"}}},
	{"Owner", []morePlace{{costsPage, "a plate's cost, what it leaves, what sways it"}, {whyPage, "any one figure, down to what it rests on"}, {popularityPage, "each dish's sales beside its contribution"},
		{weakPage, "every single loss, and the pairs"}, {chancePage, "how likely each dish is to last, by the spreads of the kitchen file"},
		{amendPage, "items, steps, dishes, vessels and suppliers: what follows is shown before it is written"},
		{drawingPage, "boxes and lines, by tapping: what is bought, cooked and sold"},
		{recipesPage, "from a spreadsheet, shown before they are written"}, {pricesPage, "a supplier's new list, with what it does to plate costs"},
		{openPage, "what the kitchen file does not say yet, with guesses to take"}, {amendmentsPage, "in the kitchen file, from here; each can be taken back"},
		{devicesPage, "which may look or write, and when each was last here"}}},
	{"Inspector", []morePlace{{dayPage, "all that was written down on a day, with limits"}, {coolingPage, "readings of the last day beside the limits of the code"},
		{allergensPage, "of each dish, and what brings them"}, {tracePage, "where it went and what it came from"}}},
	{"Newcomer", []morePlace{{guidePage, "the kitchen explained"}, {mapPage, "what becomes what"}, {originsPage, "all behind a dish, and all that is made of a thing"},
		{clockPage, "what happens when"}, {checkPage, "what in the kitchen file is wrong, open, or a guess"}}},
}

// places are the pages at the thumb.
var places = []*page{todayPage, buyPage, logPage, mapPage, morePage}

// Place is where a page is found: itself, or More.
func (v *view) Place(p *page) bool {
	for _, at := range places {
		if at == v.Page {
			return at == p
		}
	}
	return p == morePage
}

// Words are what a text page is called where it asks: "Lot".
func (t *textAnswer) Words() string {
	return map[string]string{"lot": "Lot, or the number of an entry", "day": "Day", "on": "Day", "at": "Service", "of": "Item, step or dish",
		"figure": "A name, or one with a day: red pozole@fri dinner"}[cmp.Or(t.Takes...)]
}
