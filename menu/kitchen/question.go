package kitchen

// Open questions: what a kitchen file does not say yet, or says as a guess. None of them is a fault: what does not need the answer is
// answered without it, and what does says what it counted instead.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Question is one thing that the kitchen file leaves open.
type Question struct {
	Of       string   // the item, step or dish
	In       string   // the step or dish on whose card the line is that it is about; "" where it is about a key of Of
	What     string   // "price", "density", "yield", "forecast", "keeps", "batches", "starts", "ends", "share", "water", "allergens", "cooks through", "dishes", "takes", "gives", "amount"; or the key of a guess
	Asks     string   // in words: "What does 1 kg of beef shank cost?"
	Matters  string   // what rests on it
	Counted  string   // what stands in until then: "nothing"
	Proposal string   // what could be written, as the file has it; "" for none
	Basis    string   // where the proposal comes from
	Words    []string // the only answers; nil for any
	Guessed  bool     // it is written, and said to be a guess
	Money    bool     // answers about money rest on it
	Amounts  bool     // what is cooked, bought and sold rests on it
	Pos      Pos

	List string // where the answer is written: "bought", "made", "steps", "vessels" or "dishes" and "specials"; "" for the file itself
	Key  string // behind which key, "" for a line of what a step gives
	Line int    // of gives
}

// note is how a question is worded beside an answer.
func (q Question) note() string {
	switch {
	case q.Guessed && q.Key == "":
		return fmt.Sprintf("%s %s (guessed)", q.Proposal, q.Of)
	case q.Guessed:
		return fmt.Sprintf("%s of %s: %s (guessed)", cmp.Or(map[string]string{"pack": "smallest pack", "each": "weight of one"}[q.Key], q.Key), q.Of, q.Proposal)
	case q.What == "density":
		return fmt.Sprintf("a litre of %s counts as %s", q.Of, q.Counted)
	case q.What == "yield":
		return fmt.Sprintf("nobody weighed %s, counts as %s", q.Of, q.Counted)
	case q.What == "amount":
		return fmt.Sprintf("how much %s goes into %s is not said, counts as %s", q.Of, q.In, q.Counted)
	case q.What == "forecast" && q.Counted != "none":
		return fmt.Sprintf("no forecast for %s, counts as %s a service", q.Of, q.Counted)
	case q.What == "forecast":
		return "no forecast for " + q.Of
	case q.What == "starts":
		return fmt.Sprintf("the start of %s is not said, counts as %s", q.Of, q.Counted)
	case q.What == "ends":
		return fmt.Sprintf("the hours of %s are not said, out %s", q.Of, q.Counted)
	case q.What == "takes":
		return fmt.Sprintf("what goes into %s is not said, so that is left out", q.Of)
	case q.What == "gives":
		return fmt.Sprintf("what comes out of %s is not said, so that is left out", q.Of)
	case q.What == "price" && q.List != InBought && q.List != "":
		figure, _, _ := strings.Cut(q.Counted, ",")
		return fmt.Sprintf("no price for %s, %s stands in", q.Of, figure)
	case q.What == "share":
		return "how the bill of " + q.Of + " is shared"
	}
	return fmt.Sprintf("no %s for %s, counts as %s", q.What, q.Of, q.Counted)
}

// Guesses are the open questions that an answer rests on, the first few in words, and how many more there are. money is whether the answer has
// any.
func (k *Kitchen) Guesses(money bool) (notes []string, more int) {
	for _, q := range k.Questions {
		if q.Amounts || money && q.Money {
			notes = append(notes, q.note())
		}
	}
	const most = 3
	if n := len(notes) - most; n > 0 {
		return notes[:most], n
	}
	return notes, 0
}

// RestsOn is [Kitchen.Guesses] in a line; it is "" for none. Where they are listed, a page and a command say in their own ways.
func (k *Kitchen) RestsOn(money bool) string {
	notes, more := k.Guesses(money)
	if len(notes) == 0 {
		return ""
	}
	if more > 0 {
		notes = append(notes, fmt.Sprintf("and %d more", more))
	}
	return "this rests on guesses: " + strings.Join(notes, "; ")
}

// Unsaid tells whether a line of what a card takes does not say how much: what it counts as is not to be shown as known.
func (k *Kitchen) Unsaid(step, line int) bool {
	at := k.StepPos[step].Takes[line]
	return slices.ContainsFunc(k.Questions, func(q Question) bool { return q.What == "amount" && !q.Guessed && q.Pos == at })
}

// Free tells whether an item costs nothing by the word of the file, as water from the tap does. What has no price yet is bought.
func (k *Kitchen) Free(item int) bool {
	return k.Terms.Price[item] == 0 && !slices.ContainsFunc(k.Questions, func(q Question) bool {
		return q.What == "price" && q.List == "bought" && !q.Guessed && q.Of == k.Graph.Items[item].Name
	})
}

// ask collects the open questions of a sound kitchen.
func (r *reader) ask() {
	r.askAtAll()
	r.askAside()
	r.askPrices()
	r.askAllergens()
	r.askHeat()
	r.askDensities()
	r.askYields()
	r.askSteps()
	r.askKeeps()
	r.askForecasts()
	r.askGuesses()
	slices.SortStableFunc(r.k.Questions, func(a, b Question) int {
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Col, b.Pos.Col))
	})
}

func (r *reader) open(q Question) { r.k.Questions = append(r.k.Questions, q) }

func (r *reader) askPrices() {
	for _, i := range r.unpriced {
		it := r.items[i]
		asks := fmt.Sprintf("What does 1 %s of %s cost?", pricedIn(r.items, it.Unit), it.Name)
		if it.Unit.Kind == measure.Count {
			asks = fmt.Sprintf("%s: what does one cost?", sentence(it.Name))
		}
		r.open(Question{Of: it.Name, What: "price", Asks: asks, Matters: r.plates(i), Counted: "nothing", Money: true, Pos: r.k.ItemPos[i], List: "bought",
			Key: "price"})
	}
	for _, d := range r.unsold {
		dish := r.k.Dishes[d]
		r.open(Question{Of: dish.Name, What: "price", Asks: fmt.Sprintf("What does a portion of %s sell for?", dish.Name),
			Matters: "what it earns, and what a plan makes of it", Counted: fmt.Sprintf("%.2f, %s", dish.Price, r.standsIn), Money: true, Pos: r.k.ItemPos[dish.Item],
			List: dish.list(), Key: "price"})
	}
}

// list is where a dish stands in the file.
func (d Dish) list() string {
	if d.Special {
		return "specials"
	}
	return "dishes"
}

// plates says which dishes an item comes to, as what rests on it.
func (r *reader) plates(item int) string {
	dishes := r.k.dishesOf(item)
	if len(dishes) == 0 {
		return "no dish so far"
	}
	return "the plate cost of " + measure.FormatList(fewOf(dishes))
}

// fewOf is a list of names that is cut where it gets long.
func fewOf(names []string) []string {
	const most = 3
	if len(names) <= most+1 {
		return names
	}
	return append(slices.Clone(names[:most]), fmt.Sprintf("%d more", len(names)-most))
}

// dishesOf names the dishes that an item comes to.
func (k *Kitchen) dishesOf(item int) (names []string) {
	for _, n := range k.Graph.Downstream(item) {
		if n < len(k.Graph.Items) && k.Graph.Items[n].Role == graph.Sold {
			names = append(names, k.Graph.Items[n].Name)
		}
	}
	return names
}

func (r *reader) askDensities() {
	for i, it := range r.items {
		amounts, stands := r.densities[i]
		if !stands {
			continue
		}
		f := densityOf(it.Name)
		list, matters := "made", "how the bill of its pot is shared"
		if it.Role == graph.Bought {
			list = "bought"
		}
		if amounts {
			matters = "how much of it goes into what takes it by weight or by volume"
		}
		d := measure.FormatNumber(f.value)
		r.open(Question{Of: it.Name, What: "density", Asks: fmt.Sprintf("What does a litre of %s weigh?", it.Name), Matters: matters, Counted: d + " kg",
			Proposal: d + " kg/L", Basis: f.source, Money: true, Amounts: amounts, Pos: r.k.ItemPos[i], List: list, Key: "density"})
	}
}

func (r *reader) askYields() {
	for _, u := range r.unmeasured {
		st := r.k.Graph.Steps[u.step]
		o := st.Gives[u.output]
		name := r.items[o.Item].Name
		amount := r.k.QuantityOn(u.step, o.Item, o.Amount)
		r.open(Question{Of: name, In: st.Name, What: "yield", Asks: fmt.Sprintf("What amount of %s does a batch of %s give?", name, st.Name), Matters: r.sold(o.Item),
			Counted: amount.String(), Proposal: amount.String(), Basis: u.basis, Money: true, Amounts: true, Pos: r.k.StepPos[u.step].Gives[u.output],
			List: "steps", Line: u.output})
	}
}

// sold says which dishes an item limits, as what rests on it.
func (r *reader) sold(item int) string {
	dishes := r.k.dishesOf(item)
	if len(dishes) == 0 {
		return "no dish so far"
	}
	return "how much there is to sell of " + measure.FormatList(fewOf(dishes))
}

// askSteps asks when steps are made, how a bill is shared that no weight or worth says how to share, and what else goes in where more
// comes out than went in.
func (r *reader) askSteps() {
	k := r.k
	for s := range k.Steps {
		rec, st := r.recipes[s], k.Graph.Steps[s]
		if st.Mode == graph.OnDays && !written(rec.body, "batches") {
			q := Question{Of: st.Name, What: "batches", Asks: fmt.Sprintf("On which days is a batch of %s made?", st.Name), Matters: r.sold(st.Gives[0].Item),
				Counted: "never", Proposal: toOrderWord, Basis: "as much as is asked for, until you say", Amounts: true, Pos: k.StepPos[s].Pos, List: "steps", Key: "batches"}
			if slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return l.Carried }) {
				q.Proposal, q.Basis = "", ""
			}
			r.open(q)
		}
		if slices.Contains(r.unshared, s) {
			r.open(Question{Of: st.Name, What: "share", Asks: fmt.Sprintf("How is the bill of %s shared among what it gives?", st.Name),
				Matters: r.plates(st.Gives[0].Item), Counted: "all of it on " + r.items[st.Gives[0].Item].Name, Money: true, Pos: k.StepPos[s].Pos,
				List: "steps", Key: "share cost by"})
		}
		r.askHours(s)
		r.askWater(s)
	}
}

// askHours asks for the hours of a step that the file says are not known yet.
func (r *reader) askHours(s int) {
	st, unsaid, made := r.k.Graph.Steps[s], r.k.Steps[s].Unsaid, []string(nil)
	q := Question{Of: st.Name, Amounts: true, Pos: r.k.StepPos[s].Pos, List: InSteps}
	if unsaid.Start {
		q.What, q.Key, q.Asks, q.Matters = "starts", "starts", fmt.Sprintf("When does a batch of %s start?", st.Name), "what is done when, and from when on there is something to sell"
		q.Counted = "in time for the first service of its day"
		r.open(q)
	}
	if !unsaid.Out {
		return
	}
	for l, line := range r.recipes[s].gives {
		if line.untimed {
			if made == nil {
				q.Line, q.Pos = l, r.span(line.node).Pos
			}
			made = append(made, line.choices[0].item)
		}
	}
	q.What, q.Key = "ends", ""
	q.Asks = fmt.Sprintf("After how many hours can you take %s out of %s?", measure.FormatList(made), st.Name)
	q.Matters, q.Counted = "what is done when, and from when on there is something to sell", "at once"
	if st.Length() > 0 {
		q.Counted = "when the last of the batch is out"
	}
	r.open(q)
}

// askAtAll asks what there is, where a file says nothing of what is sold.
func (r *reader) askAtAll() {
	if len(r.k.Dishes) > 0 || slices.ContainsFunc(r.asides, func(a *aside) bool { return a.list != InSteps }) {
		return
	}
	q := Question{Of: cmp.Or(r.k.Name, r.k.File), What: "dishes", Asks: "What is sold?", Matters: "all that is asked: what runs out, what it costs, what to cook and buy",
		Counted: "nothing", Pos: Pos{File: r.k.File, Line: 1, Col: 1}, Key: InDishes}
	if len(r.k.Steps) == 0 && r.asides == nil {
		q.Asks = "What is bought, cooked and sold?"
	}
	r.open(q)
}

// askAllergens asks for what the labels of bought items say. There is no guess at that.
func (r *reader) askAllergens() {
	for i, b := range r.k.Bought {
		if r.items[i].Role != graph.Bought || b.Allergens != nil {
			continue
		}
		matters := "what guests hear"
		if dishes := r.k.dishesOf(i); len(dishes) > 0 {
			matters += " about " + measure.FormatList(fewOf(dishes))
		}
		r.open(Question{Of: r.items[i].Name, What: "allergens", Asks: fmt.Sprintf("Which allergens are in %s, by the label? Write [] for none.", r.items[i].Name),
			Matters: matters, Counted: "UNKNOWN, and guests hear that", Pos: r.k.ItemPos[i], List: InBought, Key: "allergens"})
	}
}

// askWater asks what else goes into a step that gives more than it takes, by densities that stand in.
func (r *reader) askWater(s int) {
	st := r.k.Graph.Steps[s]
	in, out, stands := 0.0, 0.0, false
	if r.recipes[s].unsaid() {
		return
	}
	add := func(sum *float64, item int, amount float64) bool {
		grams, ok := r.aboutWater(item).Grams(amount)
		*sum += grams
		stands = stands || r.guessedDensity(item)
		return ok
	}
	for _, l := range st.Takes {
		if !add(&in, l.Choices[0].Item, l.Choices[0].Amount) {
			return
		}
	}
	for _, o := range st.Gives {
		if !add(&out, o.Item, o.Amount) {
			return
		}
	}
	if missing := (out - in) / 1000; stands && out > in*(1+Slack) {
		litres := fmt.Sprintf("%s L", measure.FormatNumber(float64(int(missing)+1)))
		r.open(Question{Of: st.Name, What: "water", Asks: fmt.Sprintf("A batch of %s gives %s out of %s. How much water goes in?", st.Name, kilos(out), kilos(in)),
			Matters: "nothing but the sum, where water is free", Counted: "none", Proposal: atLeastWords + litres + " water", Basis: "what comes out has gone in, or more",
			Pos: r.k.StepPos[s].Pos, List: "steps", Key: "takes"})
	}
}

// sentence is a text with a capital to begin with.
func sentence(s string) string {
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// askKeeps asks how long ready food keeps where the file does not say, for it then lies for ever.
func (r *reader) askKeeps() {
	k := r.k
	chains := k.Chains()
	for i, it := range r.items {
		if it.Role != graph.Made || k.Terms.Keeps[i] > 0 || k.Undated[i] || k.Frozen[i] || r.madeToOrder(i) {
			continue
		}
		q := Question{Of: it.Name, What: "keeps", Asks: fmt.Sprintf("How long can %s be kept?", it.Name), Matters: "what is left over, and until when it can be sold",
			Counted: "it counts as keeping for ever, so check it yourself", Pos: k.ItemPos[i], List: "made", Key: "keeps"}
		if left := k.Code.Keeps - chains[i].Days; k.Dated(i) && left > 0 && !chains[i].Ever {
			q.Counted = fmt.Sprintf("no end in what is worked out; its label says %s all the same", measure.FormatDays(left))
			q.Proposal, q.Basis = measure.FormatDays(left), "the most that ready food is held cold, the day made being day 1: "+k.Code.Cite(k.Code.Dated)
		}
		r.open(q)
	}
}

// madeToOrder tells whether an item is made as it is asked for, so that nothing of it lies.
func (r *reader) madeToOrder(i int) bool {
	return !slices.ContainsFunc(r.k.makers(i), func(s int) bool {
		st := r.k.Graph.Steps[s]
		return st.Mode != graph.ToOrder || st.AsNeeded()
	})
}

// askForecasts asks how much dishes sell that have no forecast. Where no dish has one, what the batches of the standing week feed stands in:
// without it nothing would ever run out.
func (r *reader) askForecasts() {
	none := !slices.ContainsFunc(r.k.Dishes, func(d Dish) bool { return d.Sells[0] != nil })
	type guess struct{ dish, portions int }
	var stand []guess
	for d, dish := range r.k.Dishes {
		if dish.Special || dish.Sells[0] != nil || written(r.recipes[len(r.k.Steps)+d].body, "sells") {
			continue
		}
		q := Question{Of: dish.Name, What: "forecast", Asks: fmt.Sprintf("How many portions of %s does a service sell?", dish.Name),
			Matters: "what runs out, what to cook and what to buy", Counted: "none", Amounts: true, Pos: r.k.ItemPos[dish.Item], List: "dishes", Key: "sells"}
		if n := r.feeds(d); n > 0 {
			q.Proposal, q.Basis = fmt.Sprint(n), "what the standing week's batches feed, spread over its services"
			if none {
				q.Counted = q.Proposal
				stand = append(stand, guess{d, n})
			}
		}
		r.open(q)
	}
	for _, g := range stand {
		dish := &r.k.Dishes[g.dish]
		dish.Assumed = true
		for day := range dish.Sells {
			dish.Sells[day], dish.Spread[day] = make([]int, len(r.k.Services)), make([]float64, len(r.k.Services))
			for s := range dish.Sells[day] {
				if r.everOn(onlyOn(day), s) {
					dish.Sells[day][s] = g.portions
				}
			}
		}
	}
}

// feeds is how many portions of a dish the batches of the standing week give a service, by what such steps make least of, shared with the
// other dishes that take it and have no forecast.
func (r *reader) feeds(dish int) int {
	k, services, least := r.k, 0, math.Inf(1)
	for day := range 7 {
		services += len(k.Standing(day))
	}
	for _, l := range k.Graph.Steps[len(k.Steps)+dish].Takes {
		c := l.Choices[0]
		made := 0.0
		for _, s := range k.makers(c.Item) {
			for _, batches := range k.Steps[s].Batches {
				for _, o := range k.Graph.Steps[s].Gives {
					if o.Item == c.Item {
						made += batches * o.Amount
					}
				}
			}
		}
		if made == 0 || services == 0 {
			continue
		}
		wanted := 0.0
		for d, other := range k.Dishes {
			if other.Special || other.Sells[0] != nil {
				continue
			}
			for _, l := range k.Graph.Steps[len(k.Steps)+d].Takes {
				if l.Choices[0].Item == c.Item {
					wanted += l.Choices[0].Amount
				}
			}
		}
		least = min(least, made/wanted/float64(services))
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return int(min(least, mostWhole))
}

// askGuesses asks for the word on what is written as a guess.
func (r *reader) askGuesses() {
	k := r.k
	for _, list := range []string{"vessels", "bought", "made", "steps", "dishes", "specials"} {
		for key, body := range r.pairs(r.value(r.root, list)) {
			for _, name := range guessesOf(r.value(body, guessedWord)) {
				at := r.value(body, name.Value)
				if at == nil {
					if !written(body, name.Value) {
						r.fault(r.span(name), "guessed-nothing", "write the value beside it, or take the word out", "%q has no %q that could be a guess", key.Value, name.Value)
					}
					continue
				}
				q := Question{Of: key.Value, What: name.Value, Proposal: plainText(at), Guessed: true, Pos: r.span(at).Pos, List: list, Key: name.Value,
					Basis: "written as a guess"}
				q.Asks, q.Matters = r.askGuess(q)
				q.Counted = q.Proposal
				q.Money = name.Value == "price" || name.Value == "worth" || name.Value == "costs" || name.Value == "density" || name.Value == "each"
				q.Amounts = (!q.Money || name.Value == "each") && name.Value != "holds"
				r.open(q)
			}
		}
	}
	for s := range k.Steps {
		for l, line := range r.recipes[s].gives {
			if !line.guessed {
				continue
			}
			c := line.choices[0]
			r.open(Question{Of: c.item, In: r.recipes[s].name, What: "yield", Asks: fmt.Sprintf("Does a batch of %s give %s %s?", r.recipes[s].name, c.Quantity, c.item),
				Matters: r.sold(r.itemAt[c.item]), Counted: c.Quantity.String(), Proposal: c.Quantity.String(), Basis: "written as a guess", Guessed: true, Money: true,
				Amounts: true, Pos: r.span(line.node).Pos, List: "steps", Line: l})
		}
	}
	for n, rec := range r.recipes {
		for l, line := range rec.uses {
			if !line.guessed && !line.unweighed {
				continue
			}
			c := line.choices[0]
			q := Question{Of: c.item, In: rec.name, What: "amount", Asks: fmt.Sprintf("Is it %s %s that goes into %s?", c.Quantity, c.item, rec.name), Matters: "what is cooked and bought",
				Counted: c.Quantity.String(), Proposal: c.Quantity.String(), Basis: "written as a guess", Guessed: true, Money: true, Amounts: true,
				Pos: r.span(line.node).Pos, List: "steps", Key: "takes", Line: l}
			if line.unweighed {
				q.Asks, q.Proposal, q.Basis, q.Guessed = fmt.Sprintf("How much %s goes into %s?", c.item, rec.name), "", "", false
			}
			if n >= len(k.Steps) {
				q.List = k.Dishes[n-len(k.Steps)].list()
			}
			r.open(q)
		}
	}
}

// askGuess words a question about a value that is written as a guess, and says what rests on it.
func (r *reader) askGuess(q Question) (asks, matters string) {
	item, isItem := r.itemAt[q.Of]
	if s, isStep := r.stepAt[q.Of]; q.List == "steps" && isStep {
		item = r.k.Graph.Steps[s].Gives[0].Item
	}
	switch q.Key {
	case "price":
		if q.List == "bought" {
			return fmt.Sprintf("Is the price of %s %s?", q.Of, q.Proposal), r.plates(item)
		}
		return fmt.Sprintf("Does a portion of %s sell for %s?", q.Of, q.Proposal), "what it earns, and what a plan makes of it"
	case "worth":
		return fmt.Sprintf("Would %s cost %s if bought in?", q.Of, q.Proposal), "how the bill of its pot is shared"
	case "keeps":
		return fmt.Sprintf("Can %s be kept %s?", q.Of, q.Proposal), "what is left over, and until when it can be sold"
	case "density":
		return fmt.Sprintf("Is the weight of %s %s?", q.Of, q.Proposal), "how it is led from weight to volume, and how a bill is shared"
	case "each":
		return fmt.Sprintf("%s: does one come to %s?", sentence(q.Of), q.Proposal), "how it is led from pieces to weight"
	case "pack":
		return fmt.Sprintf("Is %s the smallest amount of %s that is sold?", q.Proposal, q.Of), "what to buy"
	case "holds":
		return fmt.Sprintf("Is %s the most that the %s can hold?", q.Proposal, q.Of), "how many batches are made at once"
	case "sells":
		return fmt.Sprintf("Will %s sell %s?", q.Of, q.Proposal), "what runs out, what to cook and what to buy"
	case "batches":
		return fmt.Sprintf("Is this how often a batch of %s is made: %s?", q.Of, q.Proposal), r.sold(item)
	case "starts":
		return fmt.Sprintf("Does a batch of %s start at %s?", q.Of, q.Proposal), "what is done when"
	}
	if isItem {
		return fmt.Sprintf("Is this the %s of %s: %s?", q.Key, q.Of, q.Proposal), r.plates(item)
	}
	return fmt.Sprintf("Do labour and fuel for a batch of %s cost %s?", q.Of, q.Proposal), r.plates(item)
}

// guessesOf are the keys that a body says are guessed.
func guessesOf(n *yaml.Node) []*yaml.Node {
	switch {
	case n == nil:
		return nil
	case n.Kind == yaml.ScalarNode:
		return []*yaml.Node{n}
	}
	return n.Content
}

// plainText is a value of the file in a line.
func plainText(n *yaml.Node) string {
	if n.Kind == yaml.ScalarNode {
		return n.Value
	}
	var parts []string
	for i, c := range n.Content {
		switch {
		case n.Kind == yaml.SequenceNode:
			parts = append(parts, plainText(c))
		case i%2 == 0:
			parts = append(parts, c.Value+": "+plainText(n.Content[i+1]))
		}
	}
	if n.Kind == yaml.SequenceNode {
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return "{" + strings.Join(parts, ", ") + "}"
}
