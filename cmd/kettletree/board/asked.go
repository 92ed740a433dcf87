package board

// What a page is asked: the parameters of its address, the week that it is about, the moment from which it looks, and the addresses of
// other pages that ask the same.

import (
	"context"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/week"
)

// asked is what a page is asked, and by whom.
type asked struct {
	*Opened
	*speaker
	Kitchen *kitchen.Kitchen
	Query   url.Values // only what the page takes, so that it can be part of a key
	Now     time.Time
	Role    Role
	Device  string  // who asks
	Last    int64   // number of the last entry of the log book
	Form    *filled // what stands in the fields of a form that is shown again; it says nothing where none is

	board *Board
	page  *page
	state *state

	again   bool      // a new answer is asked for
	held    time.Time // the moment from which the page looks ahead, where that is not now
	hurried bool      // the page waits for no study: it has something to show
	passing bool      // the answer may change by itself: it is not kept
	shows   string    // stands for what the page shows of a study meanwhile
	keptAs  string    // the key of the page; "" for one that is not kept
}

// asTyped is a change as a command has it, before what is wrong with it.
var asTyped = regexp.MustCompile(`^--\S+ (?:"[^"]*": )?`)

// shockFault is what is wrong with a change.
func shockFault(err error) string { return asTyped.ReplaceAllString(err.Error(), "") }

// Shocks are the changes in the URL, kind by kind.
func (a *asked) Shocks() (list []week.Shock, err error) {
	for _, k := range week.ShockKinds {
		for _, text := range a.Query[k.Name] {
			s, err := a.Week.Shock(k.Name, text)
			if err != nil {
				return nil, &Refusal{Msg: shockFault(err), Hint: "open the page without this change"}
			}
			list = append(list, s)
		}
	}
	if len(list) > mostShocks {
		return nil, &Refusal{Msg: fmt.Sprintf("%d changes at once: ask about at most %d", len(list), mostShocks)}
	}
	return list, nil
}

const mostShocks = 20

// Minute is now, in minutes after the midnight before day 0 of the week; it may lie before or behind the week.
func (a *asked) Minute() int { return int(a.Now.Sub(a.Week.From).Minutes()) }

// today is the kitchen's day as a day of the week that is asked about, or the first of its days when it is none of them.
func (a *asked) today() int {
	if day := a.Week.Today(a.Now); day > 0 && day < a.Week.Days {
		return day
	}
	return 0
}

// date is the kitchen's day.
func (a *asked) date() string { return a.Kitchen.DayAt(a.Now).Format(time.DateOnly) }

// frame is the frame that the URL asks for.
func (a *asked) frame() Frame {
	return Frame{From: a.Query.Get("from"), Days: a.Query.Get("days"), Rule: a.Query.Get("rule"), Afresh: a.page.Afresh, FromNow: a.page.FromNow, Standing: a.page.Standing,
		All: a.Query.Has("keep-to-the-card"), Cards: strings.Join(a.Query["to-the-card"], "\n")}
}

// Open opens the kitchen over days of the page's own choice.
func (a *asked) Open(ctx context.Context, f Frame) (*Opened, error) {
	key := a.stamp() + fmt.Sprintf("%+v", f) // a day that is under way goes on from now
	if f.Standing {                          // no entry touches it
		key = a.standingStamp() + fmt.Sprintf("%+v", f)
	}
	return a.board.opened.get(ctx, key, func(ctx context.Context) (*Opened, error) {
		opened, err := a.board.open(ctx, a.Kitchen, a.moment(), f)
		if opened != nil {
			opened.key = key
		}
		return opened, err
	})
}

// Here is the URL of this page, as it was asked for, without what was just written.
func (a *asked) Here() string { return a.URL(a.page.Path) }

// URL is a page with the query of this one, as far as it is changed by pairs: "item", "lard" sets a parameter, "+lose",
// "night kettle@tue" adds a value, "-lose", "night kettle@tue" takes one away, "-lose", "" all of them.
func (a *asked) URL(path string, pairs ...string) string {
	q := url.Values{}
	for _, k := range slices.Concat(frameWords, shockWords(), a.page.Takes) {
		if list, ok := a.Query[k]; ok {
			q[k] = slices.Clone(list)
		}
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		name, value := pairs[i], pairs[i+1]
		switch {
		case strings.HasPrefix(name, "+"):
			if !slices.Contains(q[name[1:]], value) {
				q.Add(name[1:], value)
			}
		case strings.HasPrefix(name, "-") && value == "":
			q.Del(name[1:])
		case strings.HasPrefix(name, "-"):
			q[name[1:]] = slices.DeleteFunc(q[name[1:]], func(x string) bool { return x == value })
		default:
			q.Set(name, value)
		}
	}
	for k, list := range q {
		if len(list) == 0 {
			delete(q, k)
		}
	}
	if len(q) == 0 {
		return path
	}
	return path + "?" + q.Encode()
}

func shockWords() (words []string) {
	for _, k := range week.ShockKinds {
		words = append(words, k.Name)
	}
	return words
}

// asked is what a request asks of a page.
func (b *Board) asked(r *http.Request, p *page, query url.Values) (*asked, *state, error) {
	now, err := b.Clock()
	if err != nil {
		return nil, nil, err
	}
	who, st := visitorOf(r), b.watch.state()
	picked := p.pick(query)
	again := picked.Has(againWord)
	picked.Del(againWord)
	a := &asked{speaker: b.layouts.speaker(languageOf(r), st.kitchen), Kitchen: st.kitchen, Query: picked, again: again, Now: now, Role: who.Role, Device: who.key(r), Last: st.last,
		Form: &filled{}, board: b, page: p, state: st}
	if moment := b.hold(a); p.FromNow {
		a.held = moment
	}
	b.dropPast(a)
	return a, st, nil
}

// hold is the moment from which pages that look ahead from now do so: what was worked out from it does not grow old by the minute, while prices are
// typed. It is held for a quarter of an hour, as long as nothing is written down.
func (b *Board) hold(a *asked) time.Time {
	b.holding.mu.Lock()
	defer b.holding.mu.Unlock()
	h := &b.holding
	if past := a.Now.Sub(h.at); h.state != a.state.key || past < 0 || past >= holdsFor || !a.Kitchen.DayAt(h.at).Equal(a.Kitchen.DayAt(a.Now)) {
		if !a.page.FromNow {
			return time.Time{}
		}
		h.state, h.at = a.state.key, a.Now
	}
	return h.at
}

// holdsFor is how long a moment is held.
const holdsFor = 15 * time.Minute

// held is a moment, and the state of the files at it.
type held struct {
	mu    sync.Mutex
	state string
	at    time.Time
}

// moment is that from which the page looks.
func (a *asked) moment() time.Time {
	if a.held.IsZero() {
		return a.Now
	}
	return a.held
}

// stamp begins the key of what follows from all files at a minute, standingStamp of what follows from the kitchen file on a day.
func (a *asked) stamp() string { return a.stampOf(a.moment()) }

func (a *asked) stampOf(at time.Time) string {
	return a.state.key + " " + at.Format(logbook.Minutes) + "\n"
}

func (a *asked) standingStamp() string {
	return a.state.alone + " " + a.Now.Format(time.DateOnly) + "\n"
}

// dropPast forgets what followed from files as they were, or from a minute that has passed: nobody asks for it any more, and a night of
// entries would fill all the room there is with it.
func (b *Board) dropPast(a *asked) {
	stamp, standing, held := a.stampOf(a.Now), a.standingStamp(), a.stampOf(b.hold(a))
	if last := b.stamp.Swap(&stamp); last != nil && *last == stamp {
		return
	}
	b.kept.only(stamp)
	b.opened.only(stamp, standing, held)
	b.standing.only(stamp, standing)
	b.counters.only(stamp, standing, held)
}

// whole is a page's answer, with what the page made of the query.
type whole struct {
	answer  any
	query   url.Values
	passing bool
}

// whole is the work of answering the page's question, once. It has the question for itself: an answer that is late may still be
// worked on.
func (a *asked) whole() func(context.Context) (any, error) {
	c := *a
	c.Query = url.Values{}
	for k, list := range a.question() {
		c.Query[k] = slices.Clone(list)
	}
	return func(ctx context.Context) (any, error) {
		answer, err := c.page.Answer(ctx, &c)
		return whole{answer, c.Query, c.passing}, err
	}
}

// question is the query without what says how one came here.
func (a *asked) question() url.Values {
	q := maps.Clone(a.Query)
	for _, own := range writeWords {
		q.Del(own)
	}
	return q
}
