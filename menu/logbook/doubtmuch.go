package logbook

// Doubts about how much it is: more sold than guests come, more binned than there was, more bought than anybody uses.

import (
	"fmt"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Bounds of what is asked about. Common practice, no source.
const (
	manySold   = 5  // times what the service expects of a dish
	manyBought = 4  // times what goes in two weeks, of what does not keep longer
	farOff     = 8  // times the file's price, or that part of it
	fewPlates  = 20 // so few sold are never asked about
)

// doubtSold doubts portions many times what any service of that week expects of the dish. A special is by what is offered, and not asked about.
func doubtSold(planned Planned, e *Entry) ([]Doubt, error) {
	if e.Portions <= fewPlates {
		return nil, nil
	}
	w, err := planned.around(e.At)
	if err != nil {
		return nil, err
	}
	most := 0.0
	for d, dish := range w.Dishes {
		if dish.Name == e.Dish {
			for _, f := range w.Case.Schedule.Wants[d].Forecast {
				most = max(most, f)
			}
		}
	}
	if most == 0 || float64(e.Portions) < manySold*most {
		return nil, nil
	}
	return []Doubt{{fmt.Sprintf("%d %s, and no service expects more than %s", e.Portions, e.Dish, measure.FormatNumber(most)),
		"look at the number; if so many were sold, it is right"}}, nil
}

// doubtBinned doubts that much more is binned than there is, by what is written and planned: of what somebody keeps book of.
func doubtBinned(k *kitchen.Kitchen, at func(time.Time) (*Present, error), e *Entry) (list []Doubt, err error) {
	p, err := at(e.At)
	if err != nil {
		return nil, err
	}
	for _, a := range e.Takes {
		i, err := k.FindItem(a.Item)
		if err != nil || p.Stock.NoBook[i] || p.Unknown != nil && p.Unknown[i] {
			continue
		}
		had := p.Stock.amountOf(i)
		switch {
		case a.Base <= overfull*had+dust:
		case had <= dust:
			list = append(list, Doubt{fmt.Sprintf("%s %s binned, and the log book has none left", a.Typed, a.Item),
				"if it was logged already, there is nothing to do; if there was some all the same, it is right"})
		case a.Base > 2*had:
			list = append(list, Doubt{fmt.Sprintf("%s %s binned, and the log book has %s", a.Typed, a.Item, k.Quantity(i, had)),
				"look at the unit and the decimal point; if there was so much, it is right"})
		}
	}
	return list, nil
}

// doubtMuch doubts a delivery of many times what the kitchen uses in two weeks, if it does not keep for as long as that would last, and one at many times the
// price in the file, or a small part of it.
func doubtMuch(k *kitchen.Kitchen, planned Planned, e *Entry) ([]Doubt, error) {
	if len(e.Gives) != 1 {
		return nil, nil
	}
	a := e.Gives[0]
	i, err := k.FindItem(a.Item)
	if err != nil || i >= len(k.Bought) || a.Base <= 0 {
		return nil, nil
	}

	// What it cost.
	if by := k.Terms.Price[i]; by > 0 && e.Paid != nil && *e.Paid > 0 {
		unit := k.Graph.Items[i].Unit
		paid := *e.Paid / a.Base
		if paid >= farOff*by || paid <= by/farOff {
			return []Doubt{{fmt.Sprintf("%.2f for %s %s is %.2f/%s, and the kitchen file has %.2f/%[5]s", *e.Paid, a.Typed, a.Item,
				paid*unit.Factor, unit.Name, by*unit.Factor),
				"the money is for all of it, not for one; if that is what it cost, it is right"}}, nil
		}
	}

	// How much it is. A sack of salt lasts for years.
	keeps := k.Terms.Keeps[i]
	if keeps == 0 {
		return nil, nil
	}
	w, err := planned(midnight(e.At), fortnight)
	if err != nil {
		return nil, err
	}
	uses := 0.0
	for _, d := range w.By(week.Fair).Player().Play(w.Case, nil).Deliveries {
		if d.Item == i {
			uses += d.Amount
		}
	}
	most := max(manyBought, float64(keeps)/fortnight) * uses
	if uses <= 0 || a.Base < max(most, 2*k.Bought[i].Pack) {
		return nil, nil
	}
	return []Doubt{{fmt.Sprintf("%s %s came, and two weeks take about %s", a.Typed, a.Item, k.Quantity(i, uses)),
		"look at the unit and the decimal point; if so much came, it is right"}}, nil
}

// fortnight are the days by which it is judged how much of an item the kitchen uses.
const fortnight = 14
