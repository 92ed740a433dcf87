package board

// What is likely to be written down now, to be tapped: what comes today, the lots that are on hand, and the service that was just served.

import (
	"context"
	"slices"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/logbook"
	"kettletree/menu/shop"
)

// delivery is what is to come of an item today.
type delivery struct{ Item, Amount, Unit, Price, From string }

// deliveries are what is still to come today, dear things first, as the list on the Buy page has it.
func (a *asked) deliveries(ctx context.Context) (list []delivery, err error) {
	found, err := shop.ToBuy(ctx, a.Week, shop.BuyOptions{All: true})
	if err != nil {
		return nil, nil // a week that can't be shopped for says so on its own page
	}
	m := show.MoneyOf(a.Kitchen.Money)
	today := a.Now.Format(time.DateOnly)
	for _, t := range found.Trips {
		if t.Date != today {
			continue
		}
		slices.SortStableFunc(t.Suppliers, func(x, y shop.Supplier) int { return moreFirst(x.Total, y.Total) })
		for _, s := range t.Suppliers {
			slices.SortStableFunc(s.Items, func(x, y shop.Purchase) int { return moreFirst(x.Cost, y.Cost) })
			for _, x := range s.Items {
				list = append(list, delivery{x.Item, measure.FormatNumber(x.Bought), x.Unit, plainMoney(show.UnitPrice(m, x.Price)), s.Name})
			}
		}
	}
	return list, nil
}

// Dear are the deliveries that are seen at a glance, by what they cost; Cheap are the rest.
func (f *filling) Dear() []delivery  { return f.Deliveries[:min(mostDeliveries, len(f.Deliveries))] }
func (f *filling) Cheap() []delivery { return f.Deliveries[min(mostDeliveries, len(f.Deliveries)):] }

// mostDeliveries leaves room for the form below them on a phone.
const mostDeliveries = 6

// moreFirst puts the larger of two sums first.
func moreFirst(x, y float64) int {
	switch {
	case x > y:
		return -1
	case x < y:
		return 1
	}
	return 0
}

// heldLot is a lot that is on hand, by its mark, with what it is.
type heldLot struct {
	Mark, Item, Unit string
	Amount           float64
	Made, UseBy      string // 2006-01-02; "" where nothing binds it
}

// lots are those on hand that have a mark or the number of an entry.
func (a *asked) lots(ctx context.Context) (list []heldLot, err error) {
	o := a.board.Options
	o.Read, o.Now = a.Kitchen, a.Now
	held, _, err := menu.OnHand(ctx, o)
	if err != nil || held == nil {
		return nil, err
	}
	for _, it := range held.Items {
		for _, l := range it.Lots {
			if l.Lot == "" {
				continue
			}
			lot := heldLot{Mark: l.Lot, Item: it.Item, Amount: l.Amount, Unit: it.Unit, Made: l.Made}
			if l.UseBy != nil {
				lot.UseBy = *l.UseBy
			}
			list = append(list, lot)
		}
	}
	return list, nil
}

// LotsOf are the lots of the item that was chosen.
func (f *filling) LotsOf() (list []heldLot) {
	for _, l := range f.Lots {
		if l.Item == f.Item && len(list) < mostLikely {
			list = append(list, l)
		}
	}
	return list
}

// Comes is what is to come today of the item that was chosen.
func (f *filling) Comes() *delivery {
	for i := range f.Deliveries {
		if f.Deliveries[i].Item == f.Item {
			return &f.Deliveries[i]
		}
	}
	return nil
}

// justServed finds the service that what is written now is about: the one that goes on or ended last. Where none of the kitchen's day
// has begun, that is the last one of the days before, and what is written is of the moment at which it ended.
func (a *asked) justServed(f *filling) {
	k := a.Kitchen
	f.Service = k.Services[k.ServiceNow(a.Now)].Name
	day := k.DayAt(a.Now)
	for _, m := range k.MealsOn(day) {
		if !day.Add(time.Duration(m.From-beforeOpening) * time.Minute).After(a.Now) {
			return
		}
	}
	for back := 1; back <= lookBack; back++ {
		before := day.AddDate(0, 0, -back)
		meals := k.MealsOn(before)
		if len(meals) == 0 {
			continue
		}
		last := meals[len(meals)-1]
		ended := before.Add(time.Duration(last.To) * time.Minute)
		if ended.After(a.Now) {
			return
		}
		if ended.Equal(k.DayAt(ended)) { // midnight alone would be the day that begins
			ended = ended.Add(-time.Minute)
		}
		f.Service, f.Served = k.Services[last.Service].Name, ended.Format("2006-01-02T15:04")
		f.ServedOn = before.Format(time.DateOnly)
		return
	}
}

// beforeOpening is how many minutes before a service portions of it are written down as its own: somebody eats early. lookBack is how
// many days back a service is looked for that was just served. Common practice, no source.
const (
	beforeOpening = 30
	lookBack      = 3
)

// ofLots tells whether entries of a kind name lots that are there already.
func ofLots(kind logbook.Kind) bool {
	return slices.Contains([]logbook.Kind{logbook.PutIn, logbook.Binned, logbook.Temperature}, kind)
}
