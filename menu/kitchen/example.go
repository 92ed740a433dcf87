package kitchen

// Examples in the words of the kitchen at hand: who mistypes an entry is shown one about the food on the board in front.

import (
	"fmt"
	"strings"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Example names something of each kind that a kitchen has, and amounts as its cards have them. What a kitchen has none of is in capitals.
type Example struct {
	Bought   string // "4 each chicken"
	Supplier string
	Step     string
	Day      string // a weekday on which the step is begun
	Takes    string // "4 each chicken, 9 L water"
	PutIn    string // "9 L water", the last that it takes
	Gives    string // "2.2 kg pulled chicken, 7.5 L chicken stock"
	Out      string // "2.2 kg pulled chicken", the first
	Made     string // "pulled chicken"
	Much     string // "pulled chicken=22 kg": ten batches of it
	Dip      string // "kettle stock 23.5 cm in big kettle"; or an amount, where nothing can be dipped
	Dish     string
	Special  string // or a dish
	Service  string
}

// Example finds names and amounts for examples.
func (k *Kitchen) Example() Example {
	e := Example{Bought: "2 kg ITEM", Supplier: "butcher", Step: "STEP", Day: "tue", Takes: "2 kg ITEM", PutIn: "2 kg ITEM", Gives: "2 kg ITEM", Out: "2 kg ITEM", Made: "ITEM", Much: "ITEM=20 kg",
		Dip: "2 kg ITEM", Dish: "DISH", Special: "DISH", Service: "lunch"}
	amount := func(item int, base float64) string {
		return k.Quantity(item, base).String() + " " + k.Graph.Items[item].Name
	}
	if len(k.Services) > 0 {
		e.Service = k.Services[0].Name
	}
	for n, d := range k.Dishes {
		if n == 0 {
			e.Dish, e.Special = d.Name, d.Name
		}
		if d.Special {
			e.Special = d.Name
			break
		}
	}
	for i, it := range k.Graph.Items {
		if it.Role == graph.Bought && k.Terms.Price[i] > 0 {
			e.Bought = amount(i, it.Unit.Factor*2)
			break
		}
	}
	for s := range k.Steps {
		st := k.Graph.Steps[s]
		if st.Mode == graph.ToOrder {
			continue
		}
		e.Step = st.Name
		for day, name := range Weekdays {
			if k.Steps[s].Batches[day] > 0 {
				e.Day = name
				break
			}
		}
		var takes, gives []string
		for n, line := range st.Takes {
			c := line.Choices[0]
			takes = append(takes, amount(c.Item, c.Amount))
			if n == 0 && k.Graph.Items[c.Item].Role == graph.Bought {
				e.Bought = takes[0]
				if from := k.Bought[c.Item].From; from != "" {
					e.Supplier = from
				}
			}
		}
		for n, out := range st.Gives {
			gives = append(gives, amount(out.Item, out.Amount))
			if n == 0 {
				e.Out, e.Made, e.Dip = gives[0], k.Graph.Items[out.Item].Name, gives[0]
				e.Much = fmt.Sprintf("%s=%s", e.Made, k.Quantity(out.Item, 10*out.Amount))
			}
		}
		const enough = 2 // of a long card
		if len(takes) > 0 {
			e.Takes, e.PutIn = strings.Join(takes[:min(enough, len(takes))], ", "), takes[len(takes)-1]
		}
		e.Gives = strings.Join(gives[:min(enough, len(gives))], ", ")
		break
	}
	e.Dip = k.dipExample(e.Dip)
	return e
}

// dipExample is a depth of what is made, in a vessel of known width; otherwise where nothing can be dipped.
func (k *Kitchen) dipExample(otherwise string) string {
	for _, v := range k.Vessels {
		if v.Diameter == 0 {
			continue
		}
		for _, it := range k.Graph.Items {
			if _, dips := it.Bridge().Convert(1, measure.Volume, it.Unit.Kind); it.Role == graph.Made && dips && (v.Holds == 0 || v.Dip(23.5) <= v.Holds) {
				return it.Name + " 23.5 cm in " + v.Name
			}
		}
	}
	return otherwise
}
