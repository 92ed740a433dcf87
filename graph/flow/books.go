package flow

// The money of an outcome.

import (
	"kettletree/graph"
)

// Books is what an outcome earned and spent.
type Books struct {
	Portions     float64
	Sales        float64 // portions at their price
	Spent        float64 // deliveries, labour and fuel of batches, and disposal of what was binned and lost
	Stock        float64 // change of what is on hand, at unit cost: closing less opening
	Contribution float64 // Sales - Spent + Stock: what is sold less what it cost, with all that was binned and lost
}

// Books adds up the money of an outcome, with stock valued at the unit costs of c.
func (k Case) Books(o *Outcome, c *Costing) Books {
	f, s := k.Flow, k.Schedule
	var b Books
	for at, portions := range o.Served {
		b.Portions += portions
		b.Sales += portions * f.terms.Price[s.Wants[at%len(s.Wants)].Item]
	}
	for _, d := range o.Deliveries {
		b.Spent += d.Amount * f.terms.Price[d.Item]
	}
	for step, batches := range o.Batches {
		b.Spent += batches * f.terms.Cost[step]
	}
	for i, it := range f.net.g.Items {
		if it.Role != graph.Sold {
			if grams, ok := it.Grams(o.Binned[i] + o.Lost[i]); ok {
				b.Spent += grams * f.terms.Disposal
			}
			b.Stock += (o.Left[i] - o.Opening[i]) * c.Unit[i]
		}
	}
	b.Contribution = b.Sales - b.Spent + b.Stock
	return b
}

// Price is what one base unit of a bought item costs, or what a portion is sold at.
func (f *Flow) Price(item int) float64 { return f.terms.Price[item] }
