package logbook

// A day as an inspector asks for it: what was read, what came in, what was binned, and what was done about it.

import (
	"cmp"
	"context"
	"slices"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Day is what was recorded on one day, as far as it is about the safety of food. Entries that were undone or replaced are left out.
type Day struct {
	Kitchen    string     `json:"kitchen"`
	Date       string     `json:"date"` // 2006-01-02
	Code       string     `json:"code"` // the limits are of
	Readings   []Reading  `json:"readings"`
	Deliveries []Delivery `json:"deliveries"`
	Binned     []Thrown   `json:"binned"`
	Broken     int        `json:"broken"`     // readings that break a limit
	Unanswered int        `json:"unanswered"` // of them, those of which nobody wrote what was done
	Chain      string     `json:"chain"`      // its end: the same log book has the same, "log show" and "log check" tell it too
	Last       int64      `json:"last"`       // the entry at which it ends
	Caution    string     `json:"caution"`
}

// Reading is a temperature that was read.
type Reading struct {
	Entry   int64  `json:"entry"`
	Time    string `json:"time"` // 15:04; past midnight, 24:30
	Of      string `json:"of"`   // the item or place
	Lot     string `json:"lot"`
	Reading string `json:"reading"` // "place", "delivery", "hot holding", "cold holding", "reheating", or "" of an item as it lies or cools
	Degrees string `json:"degrees"` // as it was read
	Limit   string `json:"limit"`   // "" where the code names none
	Section string `json:"section"` // of the code
	State   string `json:"state"`   // "met", "broken", or "" without a limit
	Note    string `json:"note"`
	Did     string `json:"did"` // what was done about it
}

// Delivery is what came in.
type Delivery struct {
	Entry    int64  `json:"entry"`
	Time     string `json:"time"` // 15:04; past midnight, 24:30
	Amount   string `json:"amount"`
	Item     string `json:"item"`
	Supplier string `json:"supplier"`
	Lot      string `json:"lot"`
	Degrees  string `json:"degrees"` // as it was read of this delivery; "" when nobody wrote it
	State    string `json:"state"`   // "met", "broken", or ""
}

// Thrown is what was binned.
type Thrown struct {
	Entry  int64  `json:"entry"`
	Time   string `json:"time"` // 15:04; past midnight, 24:30
	Amount string `json:"amount"`
	Item   string `json:"item"`
	Lot    string `json:"lot"`
	Reason string `json:"reason"`
}

// CameOn are the items of which it was written on a day, up to a moment, that some came, or that none comes.
func (j *Book) CameOn(ctx context.Context, day, asOf time.Time) (items []string, err error) {
	list, err := j.standing(ctx, byNumber, between(day, asOf, Received, NotCome))
	for _, e := range list {
		for _, a := range e.Gives {
			items = append(items, a.Item)
		}
		if e.Of != "" {
			items = append(items, e.Of)
		}
	}
	return items, err
}

// DayOf finds what was recorded on a day, up to a moment: where its last service goes on past midnight, until that ends. Hours then
// go on too, as those of services do: 24:30 is half past midnight.
func (j *Book) DayOf(ctx context.Context, k *kitchen.Kitchen, day, asOf time.Time) (*Day, error) {
	until := k.DayBegins(day.AddDate(0, 0, 1)).Add(-time.Second)
	if asOf.Before(until) {
		until = asOf
	}
	list, err := j.standing(ctx, byNumber, between(k.DayBegins(day), until, Temperature, Received, Binned))
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(list, func(a, b Entry) int { return a.At.Compare(b.At) })
	d := &Day{Kitchen: k.Name, Date: day.Format(time.DateOnly), Code: k.Code.Title, Readings: []Reading{}, Deliveries: []Delivery{},
		Binned: []Thrown{}, Caution: kitchen.Caution}
	if d.Chain, d.Last, err = j.Head(ctx); err != nil {
		return nil, err
	}
	for i := range list {
		e := &list[i]
		at := measure.FormatClock(int(e.At.Sub(day).Minutes()))
		switch e.Kind {
		case Temperature:
			b := e.Beside(k.Code)
			d.Readings = append(d.Readings, Reading{e.ID, at, e.Of, e.Mark, e.Reading, e.read(b), b.Limit, b.Section, b.State,
				e.Reason, e.Did})
			if b.State == LimitBroken {
				d.Broken++
				if e.Did == "" {
					d.Unanswered++
				}
			}
		case Received:
			for _, a := range e.Gives {
				in := Delivery{Entry: e.ID, Time: at, Amount: a.Typed, Item: a.Item, Supplier: e.Supplier, Lot: cmp.Or(a.Mark, e.Mark)}
				if o := readingOf(list, a.Item, in.Lot); o != nil {
					b := o.Beside(k.Code)
					in.Degrees, in.State = o.read(b), b.State
				}
				d.Deliveries = append(d.Deliveries, in)
			}
		case Binned:
			for _, a := range e.Takes {
				d.Binned = append(d.Binned, Thrown{e.ID, at, a.Typed, a.Item, a.Mark, e.Reason})
			}
		}
	}
	return d, nil
}

// readingOf is the first reading of a delivery: of its lot or, where the reading names none, of its item.
func readingOf(list []Entry, item, lot string) *Entry {
	at := slices.IndexFunc(list, func(e Entry) bool { return e.Reading == OfDelivery && e.Of == item && (e.Mark == "" || e.Mark == lot) })
	if at < 0 {
		return nil
	}
	return &list[at]
}
