package plan

// What is made as needed: no plan says when, it follows from what is sold and cooked.

import (
	"time"

	"kettletree/graph/flow"
)

// Needed is what is made of a step as it is needed on a day: for the service or the batch that first needs it.
type Needed struct {
	Date    string  `json:"date"` // 2006-01-02
	Step    string  `json:"step"`
	Batches float64 `json:"batches"` // whole ones, or halves, or what there is enough for
}

// needed lists what a case makes as needed on the days of the week, in the order of the file, each step by day.
func (m *model) needed(c flow.Case) []Needed {
	rec := &flow.Record{Movements: true}
	o := m.Player().Play(c, rec)
	list := []Needed{}
	for s, st := range m.g.Steps {
		if !st.AsNeeded() || o.Batches[s] <= 0 {
			continue
		}
		made, all := make([]float64, m.Days), 0.0
		for _, e := range rec.Entries {
			if e.What == flow.Came && e.Step == s && e.Item == st.Gives[0].Item {
				if day := e.At / (24 * 60); day < m.Days {
					made[day] += e.Amount
				}
				all += e.Amount
			}
		}
		for day, amount := range made {
			if amount > 0 {
				list = append(list, Needed{m.Date(day).Format(time.DateOnly), st.Name, o.Batches[s] * amount / all})
			}
		}
	}
	return list
}
