package board

// Changes of the kitchen file from the board: written over the very text that was seen, kept beside the file, and taken back.

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/aymanbagabas/go-udiff"

	"kettletree/menu/kitchen"
)

// amended writes what a form of the kitchen file asks for, if it is what was seen, and gives the number of the change and where it leads; 0
// where the form is to be shown again. The address says what of the file it is about; the fields are act (save, enter, copy, drop, split),
// do (look or write), digest (of the file that the form was made from), seen (of the text that was shown), as (a name), and the blanks.
func (b *Board) amended(r *http.Request, a *asked) (number int, where url.Values, err error) {
	if r.PostFormValue("do") != "write" {
		return 0, nil, nil
	}
	src, err := b.kitchenText()
	if err != nil {
		return 0, nil, err
	}
	form, file := r.PostForm, b.Kitchen.Name
	list, name := a.Query.Get("list"), a.Query.Get("name")
	text, err := changing(form.Get("act"))(file, src, b.editsOf(list, name, form)...)
	if err != nil || form.Get("digest") != digestOf(src) || form.Get("seen") != digestOf(text) {
		return 0, nil, nil // the page says why
	}
	changes, err := kitchen.Alterations(file, src, file, text)
	if err != nil {
		return 0, nil, err
	}
	if number, err = b.store(r, src, text, kitchen.Kept{Says: changesSaid(changes)}); err != nil || number == 0 {
		return 0, nil, err
	}
	where = url.Values{"list": {list}, "name": {name}}
	if as := trimmed(form.Get("as")); as != "" {
		where.Set("name", as)
	}
	if form.Get("act") == "split" {
		where.Set("name", name)
	}
	if form.Get("act") == "drop" {
		where = url.Values{}
	}
	where.Set("changed", fmt.Sprint(number))
	return number, where, nil
}

// store writes a text of the kitchen file over the one that it was made from; number is 0 where that is not there any more.
func (b *Board) store(r *http.Request, src, text []byte, kept kitchen.Kept) (number int, err error) {
	now, err := b.Clock()
	if err != nil {
		return 0, err
	}
	kept.When, kept.Who = now.Format(time.DateTime), b.door.called(r)
	if err := kitchen.Store(b.Kitchen.Name, src, text, kept, b.Save); err != nil {
		if errors.Is(err, kitchen.ErrChanged) {
			return 0, nil
		}
		return 0, err
	}
	_ = b.watch.look(r.Context()) // it is written; what can't be read now is said by the page that follows
	list, err := kitchen.Changes(b.Kitchen.Name)
	return len(list), err
}

// undoAmend takes a change back, and leads to the list of changes.
func (b *Board) undoAmend(w http.ResponseWriter, r *http.Request) {
	a, ok := b.mayAmend(w, r, amendmentsPage)
	if !ok {
		return
	}
	src, err := b.kitchenText()
	var text []byte
	var last *kitchen.Kept
	number := 0
	if err == nil {
		text, last, number, err = kitchen.TakenBack(b.Kitchen.Name, src, numberOf(r.PostFormValue("number")))
	}
	if stuck, ok := errors.AsType[*kitchen.AmendError](err); ok {
		a.Form = &filled{Values: r.PostForm, Faults: []fault{{Msg: b.bare(stuck.Msg), Hint: b.bare(stuck.Hint), Excerpt: b.plainly(stuck.Faults)}}}
	} else if err == nil && last != nil {
		var stored int
		stored, err = b.store(r, src, text, kitchen.Kept{Says: "taken back: " + last.Says, Undoes: number})
		if err == nil && stored == 0 {
			a.Form = &filled{Values: r.PostForm, Faults: []fault{{Msg: "the file was changed meanwhile", Hint: "look at it, and take the change back again"}}}
		} else if err == nil {
			http.Redirect(w, r, amendmentsPage.Path, http.StatusSeeOther)
			return
		}
	}
	if err != nil && a.Form.Faults == nil {
		b.fail(w, r, err)
		return
	}
	b.again(w, r, amendmentsPage, a)
}

// keptChange is a change that was made, with whether it still stands.
type keptChange struct {
	kitchen.Kept
	Number int
	Stands bool
}

// changedLine is a line that a change took out or put in, with its number there and then.
type changedLine struct {
	At         int
	Sign, Text string
}

// Lines are those that it changed, and none of those between.
func (k keptChange) Lines() (lines []changedLine) {
	add := func(sign string, at int, text string) {
		for line := range strings.Lines(text) {
			lines = append(lines, changedLine{at, sign, strings.TrimRight(line, "\r\n")})
			at++
		}
	}
	was, is := strings.Join(k.Was, ""), strings.Join(k.Is, "")
	shift := 0 // lines that it put in before, less those that it took out
	for _, e := range udiff.Lines(was, is) {
		at := k.Line + strings.Count(was[:e.Start], "\n")
		add("-", at, was[e.Start:e.End])
		add("+", at+shift, e.New)
		shift += strings.Count(e.New, "\n") - strings.Count(was[e.Start:e.End], "\n")
	}
	return lines
}

// At is when it was made, as pages say it.
func (k keptChange) At() string { return strings.Replace(k.When, " ", "T", 1) }

// trimmed is a text of a form without what thumbs add.
func trimmed(text string) string { return strings.Join(strings.Fields(text), " ") }

// changesOf are the changes that are kept, newest first.
func changesOf(file string) (all []keptChange, err error) {
	list, err := kitchen.Changes(file)
	if err != nil {
		return nil, err
	}
	gone := map[int]bool{}
	for _, k := range list {
		gone[k.Undoes] = true
	}
	for n, k := range list {
		all = append(all, keptChange{k, n + 1, !gone[n+1] && k.Undoes == 0})
	}
	slices.Reverse(all)
	return all, nil
}
