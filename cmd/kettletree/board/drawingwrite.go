package board

// What was drawn is written, once what follows from it was seen.

import (
	"fmt"
	"net/http"
	"net/url"

	"kettletree/menu/kitchen"
)

// drawAmend answers a form of the page: it is shown again with what follows, and written once that was seen.
func (b *Board) drawAmend(w http.ResponseWriter, r *http.Request) {
	a, ok := b.mayAmend(w, r, drawingPage)
	if !ok {
		return
	}
	a.Form = &filled{Values: r.PostForm}
	if r.PostFormValue("do") == "write" {
		number, pick, err := b.drawWrite(r, a)
		if err != nil {
			b.fail(w, r, err)
			return
		}
		if number > 0 {
			to := url.Values{"changed": {fmt.Sprint(number)}}
			if pick != "" {
				to.Set("pick", pick)
			}
			http.Redirect(w, r, drawingPath+"?"+to.Encode(), http.StatusSeeOther)
			return
		}
	}
	s, err := b.sheet(r.Context(), drawingPage, a, a.state)
	if err != nil {
		b.fail(w, r, err)
		return
	}
	s.send(w, r)
}

// drawWrite writes what a form asks for, if it is what was seen, and gives the number of the change and the box to go on from; 0 where the
// form is to be shown again.
func (b *Board) drawWrite(r *http.Request, a *asked) (number int, pick string, err error) {
	src, err := b.kitchenText()
	if err != nil {
		return 0, "", err
	}
	file := b.Kitchen.Name
	m := &drawingAnswer{}
	m.form = r.PostForm
	if m.drawing, err = kitchen.Drawn(file, src); err != nil {
		return 0, "", nil // the page says why, as below
	}
	m.Picked, m.To, m.New = keyedBox(m.drawing, a.Query.Get("pick")), keyedBox(m.drawing, a.Query.Get("to")), a.Query.Get("new")
	if m.Picked != nil && m.To != nil {
		m.Way = between(m.drawing, *m.Picked, *m.To)
	}
	m.blanksOf()
	text, wrong, err := m.sketched(file, src)
	if wrong != nil || err != nil || m.form.Get("digest") != digestOf(src) || m.form.Get("seen") != digestOf(text) {
		return 0, "", nil
	}
	changes, err := kitchen.Alterations(file, src, file, text)
	if err != nil {
		return 0, "", err
	}
	if number, err = b.store(r, src, text, kitchen.Kept{Says: changesSaid(changes)}); err != nil || number == 0 {
		return 0, "", err
	}
	if m.Act() == "box" {
		pick = boxKey(kitchen.Box{List: m.New, Name: trimmed(m.form.Get("as"))})
	}
	return number, pick, nil
}
