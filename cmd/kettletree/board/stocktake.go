package board

// Stock-take: all that should be on hand, place by place, with a field for what there is. What is left empty was not counted. Then what
// was found more or less than the log book had.

import (
	"context"
	"slices"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/logbook"
)

var stockTakePage = &page{Path: "/stock-take", Name: "Stock-take", File: "stocktake", Answer: stockTake}

// stockTakeAnswer is what the page shows.
type stockTakeAnswer struct {
	Begins bool // there is no log book: this begins one
	Places []stockPlace
}

// stockPlace is a place with what is kept there; where the file does not say where, a kind of things that lie together.
type stockPlace struct {
	Name  string // of the place; "" for a kind
	Made  bool   // what is made here
	From  string // what is bought of a supplier; "" for what comes from nobody in particular
	Items []stockRow
}

// stockRow is an item to be counted.
type stockRow struct {
	Item, Unit, Book string // what the log book has: "12.5 kg", "" where nobody keeps book of it
	At               int
}

func stockTake(ctx context.Context, a *asked) (any, error) {
	o := a.board.Options
	o.Read, o.Now = a.Kitchen, a.Now
	held, faults, err := menu.OnHand(ctx, o)
	if err != nil {
		return nil, err
	}
	if held == nil {
		return nil, &Refusal{Msg: "there is a mistake in what is on hand", Excerpt: faults.Error()}
	}
	t := &stockTakeAnswer{Begins: !held.Logged}
	for _, it := range held.Items {
		i, err := a.Kitchen.FindItem(it.Item)
		if err != nil {
			return nil, err
		}
		of := stockPlace{Name: it.Place, Made: !it.Bought}
		if it.Bought {
			of.From = a.Kitchen.Bought[i].From
			if it.NoBook && it.Place == "" && a.Week.Case.Flow.Price(i) == 0 { // out of the tap
				continue
			}
		}
		if it.Place != "" {
			of.Made, of.From = false, ""
		}
		row := stockRow{Item: it.Item, Unit: it.Unit}
		if !it.NoBook && held.Logged && !it.Unknown {
			row.Book = show.Amount(it.Amount, it.Unit)
		}
		at := slices.IndexFunc(t.Places, func(p stockPlace) bool { return p.Name == of.Name && p.Made == of.Made && p.From == of.From })
		if at < 0 {
			at = len(t.Places)
			t.Places = append(t.Places, of)
		}
		t.Places[at].Items = append(t.Places[at].Items, row)
	}
	// Places first, then what is made here, then what is bought, supplier by supplier.
	rank := func(p stockPlace) int { return slices.Index([]bool{p.Name != "", p.Made, p.From != "", true}, true) }
	slices.SortStableFunc(t.Places, func(x, y stockPlace) int { return rank(x) - rank(y) })
	n := 0
	for _, p := range t.Places {
		for i := range p.Items {
			p.Items[i].At = n
			n++
		}
	}
	return t, nil
}

// taken is what a stock-take found, of what this device has just written.
type taken struct {
	Off   []takenRow // more or less than the log book had
	Same  []takenRow
	First []takenRow // nobody had counted it before
}

// takenRow is one count.
type takenRow struct {
	Entry                 int64
	Item, Had, Found, Off string
	Less                  bool
}

// Taken sorts the counts that were just written; nil where there are none.
func (v *view) Taken() *taken {
	var t taken
	for _, l := range v.Wrote {
		if l.Kind != logbook.Counted || len(l.Gives) != 1 {
			continue
		}
		i, err := v.Kitchen.FindItem(l.Gives[0].Item)
		if err != nil { // it was renamed since
			continue
		}
		said := func(base float64) string {
			q := v.Kitchen.Quantity(i, base)
			return show.Amount(q.Amount, q.Unit.Name)
		}
		row := takenRow{Entry: l.Entry, Item: v.Kitchen.Graph.Items[i].Name, Found: said(l.Gives[0].Amount)}
		if l.Against == nil {
			t.First = append(t.First, row)
			continue
		}
		row.Had = said(l.Against.Book)
		switch off := l.Against.Off(); {
		case off < 0:
			row.Off, row.Less = said(-off), true
		case off > 0:
			row.Off = said(off)
		default:
			t.Same = append(t.Same, row)
			continue
		}
		t.Off = append(t.Off, row)
	}
	if len(t.Off)+len(t.Same)+len(t.First) == 0 {
		return nil
	}
	return &t
}
