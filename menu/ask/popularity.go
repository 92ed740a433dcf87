package ask

// Menu analysis: how well each dish sells against what it brings.

import (
	"context"
	"fmt"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Ranking is the answer to "which dishes carry the menu?", by the rule of Kasavana and Smith, Menu Engineering (1982): a
// dish is popular if its share of the portions sold is at least 70% of an equal share, and profitable if a portion
// contributes at least the mean over all portions sold. The four classes have the names of that book.
type Ranking struct {
	From         string         `json:"from"` // 2006-01-02
	Days         int            `json:"days"`
	Sold         int            `json:"sold"`            // portions
	Counted      bool           `json:"counted"`         // they were sold; else they are the forecast's
	PopularFrom  float64        `json:"popular_from"`    // share of the portions sold, 0 to 1
	ProfitFrom   float64        `json:"profitable_from"` // contribution of a portion
	Sales        float64        `json:"sales"`
	Cost         float64        `json:"cost"` // plate costs of all portions
	Contribution float64        `json:"contribution"`
	Dishes       []DishStanding `json:"dishes"` // in the order of the file; those that sell nothing are left out
	Money        string         `json:"money,omitempty"`
}

// DishStanding is a dish's place among the others.
type DishStanding struct {
	Name         string  `json:"name"`
	Sold         int     `json:"sold"`
	Share        float64 `json:"share"` // of the portions sold, 0 to 1
	Price        float64 `json:"price"`
	Unpriced     bool    `json:"unpriced,omitempty"` // nobody has said what it sells for: the price stands in
	PlateCost    float64 `json:"plate_cost"`
	Contribution float64 `json:"contribution"` // of a portion
	Total        float64 `json:"total"`        // contribution of all its portions
	Popular      bool    `json:"popular"`
	Profitable   bool    `json:"profitable"`
	Class        string  `json:"class"` // "star", "plowhorse", "puzzle" or "dog"
}

// popularShare is the part of an equal share of the portions that makes a dish popular, in tenths.
const popularShare = 7

// Popularity judges the dishes by the portions that the period is to sell, or by sold, portions by dish of the kitchen, when it
// is given.
func Popularity(ctx context.Context, w *week.Week, sold []int) (*Ranking, error) {
	p, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	counted := sold != nil
	if !counted {
		sold = make([]int, len(w.Dishes))
		for k, portions := range p.Outcome.Served {
			sold[k%len(sold)] += int(portions)
		}
	}
	a := &Ranking{Counted: counted, From: w.From.Format(time.DateOnly), Days: w.Days, Dishes: []DishStanding{}, Money: w.Money}
	for d, dish := range w.Dishes {
		if sold[d] == 0 {
			continue
		}
		plate := p.Costing.Unit[dish.Item]
		s := DishStanding{Name: dish.Name, Sold: sold[d], Price: dish.Price, Unpriced: dish.Unpriced, PlateCost: plate, Contribution: dish.Price - plate}
		s.Total = float64(s.Sold) * s.Contribution
		a.Sold += s.Sold
		a.Sales += float64(s.Sold) * s.Price
		a.Cost += float64(s.Sold) * plate
		a.Contribution += s.Total
		a.Dishes = append(a.Dishes, s)
	}
	if a.Sold == 0 {
		return nil, fmt.Errorf("nothing is sold from %s to %s: give dishes a forecast (sells), or what was sold with --sold", w.DayName(0), w.DayName(w.Days-1))
	}
	a.PopularFrom = popularShare / (10 * float64(len(a.Dishes)))
	a.ProfitFrom = a.Contribution / float64(a.Sold)
	for k := range a.Dishes {
		s := &a.Dishes[k]
		s.Share = float64(s.Sold) / float64(a.Sold)
		s.Popular = 10*s.Sold*len(a.Dishes) >= popularShare*a.Sold // in whole numbers: a dish may stand exactly on the line
		s.Profitable = s.Contribution >= a.ProfitFrom-kitchen.Slack*a.ProfitFrom
		s.Class = map[[2]bool]string{{true, true}: "star", {true, false}: "plowhorse", {false, true}: "puzzle", {false, false}: "dog"}[[2]bool{
			s.Popular, s.Profitable}]
	}
	return a, nil
}
