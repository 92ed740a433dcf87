package board

// Open questions on the board: each with what rests on it, a proposal to take with one tap, and a field for who knows better. What is taken is
// written as a guess.

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

var openPage = &page{Path: "/open", Name: "Open questions", File: "open", Takes: []string{"changed"}, Studies: true,
	Answer: func(ctx context.Context, a *asked) (any, error) {
		a.passing = true // the changes that are kept may have changed
		open, err := ask.Open(ctx, a.Week)
		if err != nil {
			return nil, err
		}
		m := &openAnswer{}
		if err := m.changed(a.board.Kitchen.Name, a.Query.Get("changed")); err != nil {
			return nil, err
		}
		for n, q := range open.Questions {
			o := openQuestion{OpenQuestion: q, N: n, Mark: markOf(a.Kitchen.Questions[n]), To: formAt(a.Kitchen.Questions[n]), Fills: a.Kitchen.Questions[n].List != ""}
			if a.Form.Values.Get("mark") == o.Mark {
				o.Typed, o.Wrong = a.Form.Values.Get("value"), a.Form.Wrong("value", 0)
				if o.How = how(a.Form.Values); a.Form.Text != nil {
					src, err := a.board.kitchenText()
					if err != nil {
						return nil, err
					}
					o.Would = &proposal{Act: o.How}
					if err := a.propose(ctx, o.Would, a.board.Kitchen.Name, src, a.Form.Text); err != nil {
						return nil, err
					}
				}
			}
			if q.Guessed {
				m.Guesses = append(m.Guesses, o)
			} else {
				m.Open = append(m.Open, o)
			}
		}
		m.Lost = a.Form.Wrong("", 0)
		return m, nil
	}}

// openAnswer is what the page shows.
type openAnswer struct {
	amending
	Open, Guesses []openQuestion
	Lost          *fault // the question is not open any more
}

// openQuestion is one question with its form.
type openQuestion struct {
	ask.OpenQuestion
	N     int
	Mark  string // tells it from others
	To    string // where all of what it is about can be changed
	Fills bool   // a value can be typed
	Typed string
	Wrong *fault
	How   string    // how it is to be answered: "take", "right", "write", or by one of the words
	Would *proposal // what would be written, and what follows from it; nil where nobody asked
}

// markOf tells a question from others, wherever it stands.
func markOf(q kitchen.Question) string {
	return url.Values{"of": {q.Of}, "in": {q.In}, "what": {q.What}, "key": {q.Key}, "list": {q.List}, "line": {strconv.Itoa(q.Line)}, "proposal": {q.Proposal}}.Encode()
}

// formAt is the form of what a question is about.
func formAt(q kitchen.Question) string {
	to := url.Values{"list": {q.List}, "name": {q.Of}}
	if q.In != "" {
		to.Set("name", q.In)
	}
	if q.List == "" {
		to = url.Values{"list": {q.Key}, "new": {"yes"}}
	}
	return amendPage.Path + "?" + to.Encode()
}

// how is how a form answers a question: what it says, or, where it writes what was shown, what it said then.
func how(form url.Values) string {
	if do := form.Get("do"); do != "sure" {
		return do
	}
	return form.Get("how")
}

// answer writes the answer to an open question: what is proposed, as a guess (do is take), what stands there (right), or what was typed
// (write), or one of the few words that answer it. What follows is shown first; the form then says "sure", and what was shown.
func (b *Board) answer(r *http.Request, a *asked) (number int, to url.Values, err error) {
	number, text, wrong, err := b.answered(r, a)
	if a.Form.Text = text; wrong != nil {
		a.Form.Faults = []fault{*wrong}
	}
	return number, url.Values{"changed": {strconv.Itoa(number)}}, err
}

// answered writes an answer, if it is what was seen, and gives the number of the change; else what would be written, or what is wrong.
func (b *Board) answered(r *http.Request, a *asked) (number int, would []byte, wrong *fault, err error) {
	gone := &fault{Msg: "that question is not open any more, or the file has changed since", Hint: "look at the list as it is now"}
	src, err := b.kitchenText()
	if err != nil {
		return 0, nil, nil, err
	}
	if a.state.faults != nil || a.Kitchen.Digest != digestOf(src) {
		return 0, nil, gone, nil
	}
	o, err := a.Open(r.Context(), a.frame())
	if err != nil {
		return 0, nil, nil, err
	}
	all, err := ask.Open(r.Context(), o.Week)
	if err != nil {
		return 0, nil, nil, err
	}
	for n, q := range a.Kitchen.Questions {
		if markOf(q) != r.PostFormValue("mark") {
			continue
		}
		value, do := trimmed(r.PostFormValue("value")), how(r.PostForm)
		take := do == "take"
		switch {
		case take:
			value = all.Questions[n].Proposal
		case do == "right":
			value = q.Proposal
		case slices.Contains(q.Words, do):
			value = do
		}
		if value == "" {
			return 0, nil, &fault{Field: "value", Msg: "what is it?", Hint: "type it, or take what is proposed"}, nil
		}
		edits := q.Answer(value, take)
		text, err := kitchen.ChangeAdding(b.Kitchen.Name, src, edits...)
		if stuck, ok := errors.AsType[*kitchen.AmendError](err); ok {
			f := &fault{Field: "value", Msg: stuck.Msg, Hint: stuck.Hint}
			if len(stuck.Faults) > 0 {
				f.Msg, f.Hint = stuck.Faults[0].Msg, stuck.Faults[0].Hint
			}
			return 0, nil, f, nil
		} else if err != nil {
			return 0, nil, nil, err
		}
		if r.PostFormValue("do") != "sure" || r.PostFormValue("seen") != digestOf(text) {
			return 0, text, nil, nil
		}
		says := edits[0].Says
		if take {
			says += " (a guess)"
		}
		number, err = b.store(r, src, text, kitchen.Kept{Says: says})
		if err == nil && number == 0 {
			return 0, nil, gone, nil
		}
		return number, nil, nil, err
	}
	return 0, nil, gone, nil
}

var amendmentsPage = &page{Path: "/changes", Name: "What was changed", File: "changes", Studies: true, Answer: func(_ context.Context, a *asked) (any, error) {
	a.passing = true
	list, err := changesOf(a.board.Kitchen.Name)
	if stuck, ok := errors.AsType[*kitchen.AmendError](err); ok {
		return nil, &Refusal{Msg: a.board.plainly(fmt.Errorf("%w", stuck)), Hint: a.board.bare(stuck.Hint)}
	}
	return amendments{list, a.Form.Wrong("", 0), numberOf(a.Form.Values.Get("number"))}, err
}}

// amendments are the changes that are kept.
type amendments struct {
	Changes []keptChange
	Stuck   *fault // why one can't be taken back
	Which   int    // which
}

// numberOf is a whole number that a form sends; 0 for none.
func numberOf(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		return 0
	}
	return n
}
