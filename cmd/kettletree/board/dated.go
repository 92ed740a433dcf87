package board

// Addresses that were kept or sent: a weekday in one means a date, and the page opens with that, for next week the weekday would mean
// another day.

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// backwards are the pages that look back: of them a weekday is the last one. Of others it is the one among the days asked about, or
// else the next.
var backwards = []string{"/day", "/log"}

// calledDay are what a day is called in addresses: who says one to a page that takes the other means that.
var calledDay = map[string]string{"day": "on", "on": "day"}

// dated is the address of a page with dates in place of weekdays, "" where it has none.
func (a *asked) dated(ctx context.Context, at *url.URL) string {
	q, changed := at.Query(), false
	for word, other := range calledDay {
		if q.Has(word) && !q.Has(other) && slices.Contains(a.page.Takes, other) && !slices.Contains(a.page.Takes, word) {
			q[other], changed = q[word], true
			delete(q, word)
		}
	}
	for _, word := range []string{"from", "day", "on"} {
		wd := kitchen.WeekdayNamed(q.Get(word))
		if wd < 0 || word != "from" && !slices.Contains(a.page.Takes, word) {
			continue
		}
		day, step := a.Kitchen.DayAt(a.Now), 1
		if slices.Contains(backwards, a.page.Path) {
			step = -1
		}
		for int(day.Weekday()) != wd {
			day = day.AddDate(0, 0, step)
		}
		q.Set(word, day.Format(time.DateOnly))
		a.Query = a.page.pick(q)
		if o, err := a.Open(ctx, a.frame()); err == nil && word != "from" && step > 0 {
			if days, err := o.Week.DaysNamed(kitchen.Weekdays[wd]); err == nil {
				q.Set(word, o.Week.Date(days[0]).Format(time.DateOnly))
			}
		}
		changed = true
	}
	if changed = a.datedShocks(ctx, q) || changed; !changed {
		return ""
	}
	return a.page.Path + "?" + q.Encode()
}

// datedShocks puts dates in place of the weekdays of changes, as those strike now, and tells whether there were any. A weekday that the
// days asked about have twice becomes two changes. What can't be read stays, and the page says so.
func (a *asked) datedShocks(ctx context.Context, q url.Values) (changed bool) {
	var w *week.Week
	for _, k := range week.ShockKinds {
		var list []string
		for _, text := range q[k.Name] {
			dates := []string{text}
			if a.page.Shocks && week.NamesWeekday(text) {
				if w == nil {
					a.Query = a.page.pick(q)
					o, err := a.Open(ctx, a.frame())
					if err != nil {
						return changed
					}
					w = o.Week
				}
				if dated := w.Dated(k.Name, text); dated != nil {
					dates, changed = dated, true
				}
			}
			list = append(list, dates...)
		}
		if list != nil {
			q[k.Name] = list
		}
	}
	return changed
}

// leads is, in place of an answer, the address whose page answers: what an address asks for may not be there.
type leads struct{ to string }

func (e *leads) Error() string { return "this is answered at " + e.to }

// moved are pages that had another address.
var moved = map[string]string{"/counter": "/buy"}

// move leads from an old address to the new one.
func move(to string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		u := url.URL{Path: to, RawQuery: r.URL.RawQuery}
		http.Redirect(w, r, u.String(), http.StatusMovedPermanently)
	}
}
