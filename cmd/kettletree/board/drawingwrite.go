package board

// What was drawn is written, once what follows from it was seen.

import (
	"fmt"
	"net/http"
	"net/url"

	"kettletree/menu/kitchen"
)

// drawWrite writes what a form asks for, if it is what was seen, and gives the number of the change and where it leads, to the box to go
// on from; 0 where the form is to be shown again, with what follows.
func (b *Board) drawWrite(r *http.Request, a *asked) (number int, to url.Values, err error) {
	if r.PostFormValue("do") != "write" {
		return 0, nil, nil
	}
	src, err := b.kitchenText()
	if err != nil {
		return 0, nil, err
	}
	file := b.Kitchen.Name
	m := &drawingAnswer{}
	m.form = r.PostForm
	if m.drawing, err = kitchen.Drawn(file, src); err != nil {
		return 0, nil, nil // the page says why, as below
	}
	m.Picked, m.To, m.New = keyedBox(m.drawing, a.Query.Get("pick")), keyedBox(m.drawing, a.Query.Get("to")), a.Query.Get("new")
	if m.Picked != nil && m.To != nil {
		m.Way = between(m.drawing, *m.Picked, *m.To)
	}
	m.blanksOf()
	text, wrong, err := m.sketched(file, src)
	if wrong != nil || err != nil || m.form.Get("digest") != digestOf(src) || m.form.Get("seen") != digestOf(text) {
		return 0, nil, nil
	}
	changes, err := kitchen.Alterations(file, src, file, text)
	if err != nil {
		return 0, nil, err
	}
	if number, err = b.store(r, src, text, kitchen.Kept{Says: changesSaid(changes)}); err != nil || number == 0 {
		return 0, nil, err
	}
	to = url.Values{"changed": {fmt.Sprint(number)}}
	if m.Act() == "box" {
		to.Set("pick", boxKey(kitchen.Box{List: m.New, Name: trimmed(m.form.Get("as"))}))
	}
	return number, to, nil
}
