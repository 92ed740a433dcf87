package board

// How every form begins and ends: it is read, of a device that may write; and what it asks for is refused, or fails, or is done.

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
)

// mayWrite takes in a form of a device that may write. Where it does not, the answer is given.
func (b *Board) mayWrite(w http.ResponseWriter, r *http.Request) bool {
	return b.reads(w, r) && b.writes(w, r)
}

// reads takes a form in, or says why it can't.
func (b *Board) reads(w http.ResponseWriter, r *http.Request) bool {
	err := r.ParseForm()
	if err == nil {
		return true
	}
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		b.refuse(w, r, http.StatusRequestEntityTooLarge, &Refusal{Msg: fmt.Sprintf("what was typed is too long: a form holds at most %d kB", mostBody>>10),
			Hint: "shorten the longest text, or send it in parts"})
		return false
	}
	b.refuse(w, r, http.StatusBadRequest, &Refusal{Msg: "the form did not come whole", Hint: "go back and send it again"})
	return false
}

// writes tells whether a device may write. Where it may not, the answer is given.
func (b *Board) writes(w http.ResponseWriter, r *http.Request) bool {
	if visitorOf(r).Role == Write {
		return true
	}
	b.refuse(w, r, http.StatusForbidden, &Refusal{Msg: "this device can look but not write", Hint: "pair it with a code for writing"})
	return false
}

// end answers a form once what it asks for is done, or err says why it is not: it leads back to its page.
func (b *Board) end(w http.ResponseWriter, r *http.Request, err error) {
	if refused, ok := errors.AsType[*Refusal](err); ok {
		b.refuse(w, r, cmp.Or(refused.Status, http.StatusConflict), refused)
		return
	}
	if err != nil {
		b.fail(w, r, err)
		return
	}
	_ = b.watch.lookAfresh(r.Context()) // it is done; what can't be read now is said by the page that follows
	path, q := b.back(r)
	leadTo(w, r, path, q)
}

// leadTo leads to a page.
func leadTo(w http.ResponseWriter, r *http.Request, path string, q url.Values) {
	if len(q) > 0 {
		path += "?" + q.Encode()
	}
	http.Redirect(w, r, path, http.StatusSeeOther)
}

// amending answers a form of a page that changes the kitchen file: write writes what it asks for, and gives the number of the change and
// where it leads; 0 where the page is to be shown again, with what follows or what is wrong.
func (b *Board) amending(p *page, write func(*http.Request, *asked) (number int, to url.Values, err error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		a, ok := b.mayAmend(w, r, p)
		if !ok {
			return
		}
		a.Form = &filled{Values: r.PostForm}
		number, to, err := write(r, a)
		if err != nil {
			b.fail(w, r, err)
			return
		}
		if number > 0 {
			leadTo(w, r, p.Path, to)
			return
		}
		b.again(w, r, p, a)
	}
}

// mayAmend reads a form of a device that may write, with what its page asks.
func (b *Board) mayAmend(w http.ResponseWriter, r *http.Request, p *page) (*asked, bool) {
	if !b.mayWrite(w, r) {
		return nil, false
	}
	if err := b.watch.look(r.Context()); err != nil {
		b.fail(w, r, err)
		return nil, false
	}
	a, _, err := b.asked(r, p, r.URL.Query())
	if err != nil {
		b.fail(w, r, err)
		return nil, false
	}
	return a, true
}

// again shows a page with what is wrong.
func (b *Board) again(w http.ResponseWriter, r *http.Request, p *page, a *asked) {
	s, err := b.sheet(r.Context(), p, a, a.state)
	if err != nil {
		b.fail(w, r, err)
		return
	}
	s.send(w, r)
}
