package board

// Pages to print, as the commands write them: each is whole, with its own style, which is the only one that it may load.

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/logbook"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

// printed are the pages to print, by the page of the board that they belong to.
var printed = map[string]func(context.Context, *asked) ([]byte, error){
	"/labels": func(ctx context.Context, a *asked) ([]byte, error) {
		w, _ := a.Week.InLanguage(a.voice.Language())
		l, err := a.labels(ctx, w)
		if err != nil {
			return nil, err
		}
		return show.LabelPage(show.Page{Voice: a.voice}, l)
	},
	"/allergens": func(_ context.Context, a *asked) ([]byte, error) {
		w, _ := a.Week.InLanguage(a.voice.Language())
		return show.GridPage(show.Page{Voice: a.voice}, ask.Grid(w.Kitchen), true)
	},
	"/sheets": func(ctx context.Context, a *asked) ([]byte, error) {
		all, told, err := a.sheets(ctx)
		if err != nil {
			return nil, err
		}
		return show.SheetsPage(show.Page{Voice: a.voice}, all, told, linked)
	},
	"/day": func(ctx context.Context, a *asked) (page []byte, err error) {
		_, err = a.fromLogBook(ctx, func(j *logbook.Book) (string, error) {
			record, _, err := a.dayRecord(ctx, j)
			if err == nil {
				p := a.textOn(&textAnswer{})
				p.Voice = a.voice
				page, err = show.RecordPage(p, record)
			}
			return "", err
		})
		return page, err
	},
}

// labels are those of the day that is asked for, or else of today or the next day on which anything is made.
func (a *asked) labels(ctx context.Context, w *week.Week) (l *clock.Labels, err error) {
	var days []int
	if text := a.Query.Get("on"); text != "" {
		if days, err = w.DaysNamed(text); err != nil {
			return nil, &Refusal{Msg: err.Error(), Hint: "choose another day above"}
		}
	} else if days, err = clock.LabelDays(ctx, w, w.Today(a.Now)); err != nil {
		return nil, err
	}
	if l, err = clock.LabelsOn(ctx, w, days, a.voice); err != nil {
		return nil, &Refusal{Msg: err.Error()}
	}
	return l, nil
}

// Prints tells that a page can be had to print.
func (p *page) Prints() bool { return printed[p.Path] != nil }

// inPage is the style that stands within a page.
var inPage = regexp.MustCompile(`(?s)<style>(.*?)</style>`)

// print answers with a page to print.
func (b *Board) print(w http.ResponseWriter, r *http.Request, p *page) {
	if foreign(r) {
		b.nowhere(w, r)
		return
	}
	a, _, err := b.asked(r, p, r.URL.Query())
	if err != nil {
		b.fail(w, r, err)
		return
	}
	got, err := b.quick.do(r.Context(), a.Device, a.plain(), func(ctx context.Context) (any, error) {
		var err error
		if a.Opened, err = a.Open(ctx, a.frame()); err != nil {
			return nil, err
		}
		return printed[p.Path](ctx, a)
	})
	if refused, ok := errors.AsType[*Refusal](err); ok {
		b.plain(w, r, http.StatusBadRequest, "nothing", alone{Head: "That can't be answered", Says: sentence(refused.Msg), To: p.Path, Open: p.Name})
		return
	}
	if err != nil {
		b.fail(w, r, err)
		return
	}
	text := got.([]byte)
	var styles []string
	for _, m := range inPage.FindAllSubmatch(text, -1) {
		sum := sha256.Sum256(m[1])
		styles = append(styles, fmt.Sprintf("'sha256-%s'", base64.StdEncoding.EncodeToString(sum[:])))
	}
	h := w.Header()
	h.Set("Content-Security-Policy", strings.Replace(policy, "style-src 'self'", "style-src "+strings.Join(append([]string{"'self'"}, styles...), " "), 1))
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	_, _ = w.Write(text) // who went away needs no page
}

// dayRecord is what was written down on the day that is asked for, and when that day ends, or now.
func (a *asked) dayRecord(ctx context.Context, j *logbook.Book) (record *show.DayRecord, end time.Time, err error) {
	day := a.Kitchen.DayAt(a.Now)
	if text := a.Query.Get("day"); text != "" {
		asked, err := time.Parse(time.DateOnly, text)
		if err != nil || asked.Year() < 2000 {
			return nil, end, &Refusal{Msg: fmt.Sprintf("%q is not a date", text), Hint: "write it as 2026-11-24"}
		}
		if asked.After(day) {
			return nil, end, &Refusal{Msg: text + " is still to come", Hint: "choose today, or a day before it"}
		}
		day = asked
	}
	end = a.Kitchen.DayBegins(day.AddDate(0, 0, 1)).Add(-time.Second)
	if end.After(a.Now) {
		end = a.Now
	}
	of, err := j.DayOf(ctx, a.Kitchen, day, end)
	if err != nil {
		return nil, end, err
	}
	logs, err := j.CoolingLogs(ctx, a.Kitchen, end)
	if err != nil {
		return nil, end, err
	}
	return &show.DayRecord{Day: of, Cooling: clock.JudgeCooling(a.Kitchen.Code, logs, nil, nil, end, tongue.Voice{})}, end, nil
}
