package shop

// An order that comes to less than a supplier delivers for: what to add to it, and whether it can wait.

import (
	"cmp"
	"slices"
	"time"

	"kettletree/graph/flow"
)

// Added is what a later day needs of a supplier that can come now: whole purchases of that day.
type Added struct {
	Item     string  `json:"item"`
	Many     string  `json:"-"` // what several of it are called, where it is counted
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
	Date     string  `json:"date"` // 2006-01-02, on which it would be bought else
	Cost     float64 `json:"cost"`
}

// coin is money that no order lacks.
const coin = 0.005

// least says what an order of a day lacks of the least that the supplier delivers for, and what can be done.
func (b *buyer) least(s *shopping, sup *Supplier, day int) {
	sup.Short = sup.Least - sup.Total
	if sup.Short < coin {
		sup.Short = 0
		return
	}
	sup.Add = b.addable(s, sup, day)
	if sup.Add != nil {
		return
	}
	if next := b.nextDelivery(s, sup, day); next > day && s.needed(b, sup, day) >= next*1440 {
		sup.Waits = b.Date(next).Format(time.DateOnly)
	}
	for _, x := range s.of(b, sup, day) {
		for _, source := range b.Sources[x.item] {
			if b.ComesOn(day, source) {
				sup.Else = append(sup.Else, Else{Item: b.g.Items[x.item].Name, Words: b.SourceText(x.item, source)})
				break
			}
		}
	}
}

// of are the purchases of a supplier on a day.
func (s *shopping) of(b *buyer, sup *Supplier, day int) (list []errand) {
	for _, x := range s.errands {
		if x.day == day && b.Kitchen.Bought[x.item].From == sup.Name {
			list = append(list, x)
		}
	}
	return list
}

// comes tells whether an item can be delivered on a day.
func (b *buyer) comes(item, day int) bool {
	arrives := b.Case.Schedule.Arrives[item]
	return arrives == nil || arrives[day]
}

// addable are purchases of later days that would make an order as large as it must be, the next days first and no more of them than
// it takes; nil where they do not.
func (b *buyer) addable(s *shopping, sup *Supplier, day int) (list []Added) {
	var later []errand
	for _, x := range s.errands {
		if keeps := b.Terms.Keeps[x.item]; x.day > day && b.Kitchen.Bought[x.item].From == sup.Name && b.comes(x.item, day) &&
			(keeps == 0 || s.last(x)/1440 <= day+keeps-1) {
			later = append(later, x)
		}
	}
	slices.SortStableFunc(later, func(x, y errand) int { return cmp.Or(cmp.Compare(x.day, y.day), cmp.Compare(b.cost(y), b.cost(x))) })
	missing := sup.Short
	var chosen []errand
	for _, x := range later {
		if missing < coin {
			break
		}
		chosen = append(chosen, x)
		missing -= b.cost(x)
	}
	if missing >= coin {
		return nil
	}
	for n := len(chosen) - 1; n >= 0; n-- { // what turned out not to be needed for it
		if c := b.cost(chosen[n]); missing+c < coin {
			missing += c
			chosen = slices.Delete(chosen, n, n+1)
		}
	}
	for _, x := range chosen {
		p := b.line(x, 0, 0)
		list = append(list, Added{Item: p.Item, Many: p.Many, Quantity: p.Bought, Unit: p.Unit, Date: b.Date(x.day).Format(time.DateOnly), Cost: p.Cost})
	}
	return list
}

// last is the minute at which the last of a purchase is taken; that at which it comes, where none is.
func (s *shopping) last(x errand) int {
	last := x.day * 1440
	for _, e := range s.rec.Entries {
		if e.What == flow.Took && e.Item == x.item && s.share(x, e) > 0 {
			last = max(last, e.At)
		}
	}
	return last
}

// needed is the first minute at which something of an order is taken that can't be gone without.
func (s *shopping) needed(b *buyer, sup *Supplier, day int) int {
	first := (b.Days + 1) * 1440
	for _, x := range s.of(b, sup, day) {
		for _, e := range s.rec.Entries {
			toTaste := e.Line >= 0 && e.Step >= 0 && b.g.Steps[e.Step].Takes[e.Line].Without == 1
			if e.What == flow.Took && e.Item == x.item && s.share(x, e) > 0 && !toTaste {
				first = min(first, e.At)
			}
		}
	}
	return first
}

// nextDelivery is the next day on which all of an order could come instead; 0 for none.
func (b *buyer) nextDelivery(s *shopping, sup *Supplier, day int) int {
	order := s.of(b, sup, day)
	for next := day + 1; next < b.Days; next++ {
		if !slices.ContainsFunc(order, func(x errand) bool { return !b.comes(x.item, next) }) {
			return next
		}
	}
	return 0
}
