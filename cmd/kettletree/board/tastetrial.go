package board

// Trials of a step: begun and ended on the page that says how its batches came out.

import (
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"

	"kettletree/menu/logbook"
	"kettletree/menu/taste"
)

const trialPath = "/taste/trial"

// trialForm is what a page shows of trials.
type trialForm struct {
	Fault string   // why the trial that is kept can't be read; "" where it can or none is
	Says  []string // of the one under way; nil where none is
	Other string   // the step of another one that is under way; "" where none is
	Vary  []varied // what can be varied; empty where a trial can't be begun
}

// varied is a thing that can be varied.
type varied struct {
	Thing, Called string
	Chosen        bool // it is proposed
}

// trial answers the form that begins a trial or ends the one under way: do (begin or end), of, and vary for each thing.
func (b *Board) trial(w http.ResponseWriter, r *http.Request) {
	if !b.mayWrite(w, r) {
		return
	}
	r.PostForm.Set("back", tastePage.Path+"?"+url.Values{"of": {r.PostFormValue("of")}}.Encode())
	b.end(w, r, b.trialBy(r))
}

// trialBy does what the form asks for.
func (b *Board) trialBy(r *http.Request) error {
	b.keeps.Lock()
	defer b.keeps.Unlock()
	file := taste.Path(b.Kitchen.Name)
	if r.PostFormValue("do") == "end" {
		err := os.Remove(file)
		if errors.Is(err, fs.ErrNotExist) {
			return &Refusal{Msg: "no trial is under way", Hint: "somebody has ended it already"}
		}
		return err
	}
	k := b.watch.state().kitchen
	names, subjects := tasteSubjects(k)
	of := slices.Index(names, r.PostFormValue("of"))
	if of < 0 || subjects[of].Step < 0 || !logbook.Exists(b.LogBook) {
		return &Refusal{Msg: "nothing is known yet that could be varied", Hint: "measure a batch first, and write down what goes into it and when"}
	}
	if kept, err := taste.Read(file); err != nil || kept != nil {
		return &Refusal{Msg: "a trial is under way already", Hint: "end it first"}
	}
	now, err := b.Clock()
	if err != nil {
		return err
	}
	j, err := logbook.Open(r.Context(), b.LogBook)
	if err != nil {
		return err
	}
	defer func() { _ = j.Close() }() // it is only read
	j.Know(k)
	a, err := taste.Of(r.Context(), k, j, subjects[of], now, taste.Ask{Vary: r.PostForm["vary"]})
	if _, bad := errors.AsType[*taste.VaryError](err); bad || err == nil && (a.Trial == nil || len(r.PostForm["vary"]) == 0) {
		return &Refusal{Msg: "a trial varies two to four things", Hint: "tick them, and begin it again"}
	}
	if err != nil {
		return err
	}
	text, err := a.Trial.Begin(a.Of, now).Text()
	if err != nil {
		return err
	}
	return b.Save(file, text)
}

// trialOf is what the page shows of trials of a step.
func (a *asked) trialOf(kept *taste.Kept, fault error, found *taste.Answer) *trialForm {
	f := &trialForm{}
	if file, is := errors.AsType[*taste.FileError](fault); is {
		f.Fault = filepath.Base(file.File) + ": " + file.Msg
		return f
	}
	if found == nil {
		return f
	}
	t := a.teller()
	if found.Under != nil {
		f.Says = t.Trialled(found.Under)
		return f
	}
	if kept != nil {
		f.Other = kept.Of
		return f
	}
	for _, v := range found.CanVary {
		f.Vary = append(f.Vary, varied{v, t.Thing(v), found.Trial != nil && slices.ContainsFunc(found.Trial.Things, func(x taste.Varied) bool { return x.Thing == v })})
	}
	return f
}
