package ask

// What the kitchen file leaves open, with what could be written.

import (
	"context"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// OpenQuestions is the answer to "what is not known yet?".
type OpenQuestions struct {
	Kitchen   string         `json:"kitchen"`   // the file
	Questions []OpenQuestion `json:"questions"` // in the order of the file
	Money     string         `json:"money,omitempty"`
}

// OpenQuestion is one thing that the kitchen file does not say, or says as a guess.
type OpenQuestion struct {
	Of       string   `json:"of"`              // the item, step or dish
	What     string   `json:"what"`            // "price", "density", "yield", "forecast", "keeps", "batches", "starts", "ends", "share", "water", "allergens", "cooks through", "dishes", "takes", "gives" or "amount"; of a guess, its key
	Asks     string   `json:"asks"`            // the question in words
	Matters  string   `json:"matters"`         // what rests on it
	Counted  string   `json:"counted"`         // what stands in until it is answered
	Proposal string   `json:"proposal"`        // what could be written; "" for none. It is a guess, be it written or not
	Basis    string   `json:"basis"`           // where the proposal comes from; "" without one
	Words    []string `json:"words,omitempty"` // the only answers that can be written behind the key that "what" names; left out where others can
	Guessed  bool     `json:"guessed"`         // it is written in the file, as a guess
	Line     int      `json:"line"`            // of the file
	Column   int      `json:"column"`          // in characters
}

// Open answers what is not known yet. The price of a dish is proposed by what its plate costs, where all of that is known.
func Open(ctx context.Context, w *week.Week) (*OpenQuestions, error) {
	a := &OpenQuestions{Kitchen: w.File, Questions: []OpenQuestion{}, Money: w.Money}
	var plates []float64
	for _, q := range w.Questions {
		o := OpenQuestion{q.Of, q.What, q.Asks, q.Matters, q.Counted, q.Proposal, q.Basis, q.Words, q.Guessed, q.Pos.Line, q.Pos.Col}
		if d, err := w.FindDish(q.Of); q.What == "price" && !q.Guessed && err == nil && costed(w, d) {
			if plates == nil {
				sheet, err := Cost(ctx, w)
				if err != nil {
					return nil, err
				}
				for _, dish := range sheet.Dishes {
					plates = append(plates, dish.PlateCost)
				}
			}
			if price := math.Ceil(plates[d]/w.FoodCost*2) / 2; price > 0 && price < 1e6 {
				o.Proposal = measure.FormatNumber(price)
				o.Basis = "plate cost is then " + kitchen.FormatPercent(w.FoodCost) + " of the price, or a little less"
			}
		}
		a.Questions = append(a.Questions, o)
	}
	return a, nil
}

// costed tells whether every price is known that a plate's cost comes from.
func costed(w *week.Week, dish int) bool {
	open := map[string]bool{}
	for _, q := range w.Questions {
		open[q.Of] = open[q.Of] || q.What == "price"
	}
	return !slices.ContainsFunc(w.Graph.Upstream(w.Graph.Node(len(w.Steps)+dish)), func(n int) bool {
		return n < len(w.Graph.Items) && w.Graph.Items[n].Role == graph.Bought && open[w.Graph.Items[n].Name]
	})
}

// priced tells whether it is known what a dish sells for.
func priced(w *week.Week, dish int) bool {
	return !slices.ContainsFunc(w.Questions, func(q kitchen.Question) bool {
		return q.What == "price" && !q.Guessed && q.Of == w.Dishes[dish].Name && q.List != kitchen.InBought
	})
}
