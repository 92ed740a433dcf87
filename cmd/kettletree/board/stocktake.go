package board

// Stock-take: all that should be on hand, place by place, with a field for what there is. What is left empty was not counted.

import (
	"context"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
)

var stockTakePage = &page{Path: "/stock-take", Name: "Stock-take", File: "stocktake", Answer: stockTake}

// stockPlace is a place with what is kept there.
type stockPlace struct {
	Name  string // "" where the file does not say
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
	var places []stockPlace
	for at, it := range held.Items {
		if n := len(places); n == 0 || places[n-1].Name != it.Place {
			places = append(places, stockPlace{Name: it.Place})
		}
		row := stockRow{Item: it.Item, Unit: it.Unit, At: at}
		if !it.NoBook {
			row.Book = show.Amount(it.Amount, it.Unit)
		}
		p := &places[len(places)-1]
		p.Items = append(p.Items, row)
	}
	return places, nil
}
