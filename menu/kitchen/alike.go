package kitchen

// Substitutes that are stronger or milder than what they stand for: how much of the one tastes like how much of the other.

import (
	"fmt"
	"math"

	"kettletree/graph"
	"kettletree/graph/batch"
)

// unlike is how far from as strong a substitute may be before it is said. Common practice, no source.
const unlike = 0.1

// TastesLike says what an amount of a substitute stands for, in base units, where its strength is another than the first
// choice's: "5 kg of it tastes like 2.5 kg of ham bone 24 months". It is "" where the two are as strong by weight.
func (k *Kitchen) TastesLike(line graph.Line, choice int, amount float64) string {
	first, ok := batch.AsStrong(k.Graph.Items, line, choice, amount)
	if !ok {
		return ""
	}
	is, it := line.Choices[0], line.Choices[choice]
	text := fmt.Sprintf("%s of it %s like %s of %s", k.Quantity(it.Item, amount), k.verb(it.Item, amount), k.Quantity(is.Item, first),
		k.Graph.Items[is.Item].Name)
	if card := amount / it.Amount * is.Amount; math.Abs(first/card-1) > unlike { // what the card puts it in for
		text += fmt.Sprintf("; for the taste of the card's %s, %s", k.Quantity(is.Item, card), k.Quantity(it.Item, amount*card/first))
	}
	return text
}

// StandsFor says how much of a substitute tastes like an amount of the first choice, in base units: "5 kg of it tastes like
// 2.5 kg". It is "" where the two are as strong by weight.
func (k *Kitchen) StandsFor(line graph.Line, choice int, first float64) string {
	one, ok := batch.AsStrong(k.Graph.Items, line, choice, 1)
	if !ok {
		return ""
	}
	it := line.Choices[choice].Item
	return fmt.Sprintf("%s of it %s like %s", k.Quantity(it, first/one), k.verb(it, first/one), k.Quantity(line.Choices[0].Item, first))
}

// verb is "taste" of several whole ones, "tastes" of one or of an amount.
func (k *Kitchen) verb(item int, amount float64) string {
	if q := k.Quantity(item, amount); q.Unit.Name == "each" && q.Amount > 1 {
		return "taste"
	}
	return "tastes"
}
