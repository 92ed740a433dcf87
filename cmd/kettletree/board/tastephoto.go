package board

// Photos of batches: taken with the device, kept in a folder beside the log book.

import (
	"errors"
	"io"
	"net/http"
	"net/url"
	"path/filepath"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/taste"
)

const photoPath = "/taste/photo"

// keepPhoto answers the form that sends a photo of the last batch.
func (b *Board) keepPhoto(w http.ResponseWriter, r *http.Request) {
	r.PostForm = url.Values{"back": {tastePage.Path}}
	if !b.writes(w, r) {
		return
	}
	_ = http.NewResponseController(w).SetReadDeadline(b.Until(uploadTime)) // where there is a connection
	of, data, err := sentPhoto(r)
	if of != "" {
		r.PostForm.Set("back", tastePage.Path+"?"+url.Values{"of": {of}}.Encode())
	}
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		data, err = make([]byte, taste.MostPhoto+1), nil // it is as refused as any that is too large
	}
	if err != nil {
		b.refuse(w, r, http.StatusBadRequest, &Refusal{Msg: "the photo did not come whole", Hint: "send it again"})
		return
	}
	err = b.photoOf(r, of, data)
	if fault, is := errors.AsType[*taste.PhotoError](err); is {
		err = &Refusal{Msg: fault.Msg, Hint: fault.Hint, Status: http.StatusUnprocessableEntity}
	}
	b.end(w, r, err)
}

// sentPhoto reads the form: of what the photo is, and the photo, of which no more is kept than tells that it is too large.
func sentPhoto(r *http.Request) (of string, data []byte, err error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return "", nil, err
	}
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return of, data, nil
		} else if err != nil {
			return of, nil, err
		}
		switch part.FormName() {
		case "of":
			text, err := io.ReadAll(io.LimitReader(part, 1<<10))
			if err != nil {
				return of, nil, err
			}
			of = string(text)
		case "photo":
			if data, err = io.ReadAll(io.LimitReader(part, taste.MostPhoto+1)); err != nil {
				return of, nil, err
			}
		}
		if _, err := io.Copy(io.Discard, part); err != nil {
			return of, nil, err
		}
	}
}

// photoOf keeps a photo of the last batch of a step, or of an item today.
func (b *Board) photoOf(r *http.Request, of string, data []byte) error {
	k := b.watch.state().kitchen
	now, err := b.Clock()
	if err != nil {
		return err
	}
	names, subjects := tasteSubjects(k)
	for n, s := range subjects {
		if names[n] != of {
			continue
		}
		day := now
		if s.Step >= 0 && logbook.Exists(b.LogBook) {
			if day, err = b.lastBatch(r, k, s.Step, now); err != nil {
				return err
			}
		}
		_, err := taste.KeepPhoto(taste.PhotoFolder(b.LogBook), of, day, data)
		return err
	}
	return &Refusal{Msg: "nothing is measured of " + of, Hint: "choose what the photo is of on the page"}
}

// lastBatch is the day on which the last batch began that anybody wrote of; today where nobody did.
func (b *Board) lastBatch(r *http.Request, k *kitchen.Kitchen, step int, now time.Time) (time.Time, error) {
	j, err := logbook.Open(r.Context(), b.LogBook)
	if err != nil {
		return now, err
	}
	defer func() { _ = j.Close() }() // it is only read
	j.Know(k)
	days, err := j.Begun(r.Context(), k, step, time.Time{}, now)
	if err != nil || len(days) == 0 {
		return now, err
	}
	return days[len(days)-1], nil
}

// batchPhoto sends one.
func (b *Board) batchPhoto(w http.ResponseWriter, r *http.Request) {
	data, kind, err := taste.ReadPhoto(taste.PhotoFolder(b.LogBook), filepath.Base(r.PathValue("file")))
	if err != nil {
		b.nowhere(w, r)
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "private, max-age=86400")
	_, _ = w.Write(data)
}
