package guide

// Questions with answers, made from the graph and the walks.

import (
	"cmp"
	"context"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
)

// What a question asks, and what it is about.
const (
	AskLost      = "lost"      // a step: which dishes go on in full when all its batches are lost?
	AskMissing   = "missing"   // an item: which dishes can't be sold at all without it?
	AskInstead   = "instead"   // an item, a step or dish: what goes in instead?
	AskFrom      = "from"      // an item: which step gives it?
	AskPlate     = "plate"     // an item, a dish: how much of it?
	AskLast      = "last day"  // an item, a weekday of its making: the last day on which it may be used?
	AskDelivered = "delivered" // a bought item: on which days does it come?
	AskOut       = "out"       // an item, a step, its start: when is it out?
	AskAllergen  = "allergen"  // an allergen: which dishes always have it?
)

// Question is one question. The options are names, or words of the guide's language.
type Question struct {
	Asks    string   `json:"asks"`    // "lost", "missing", "instead", "from", "plate", "last day", "delivered", "out" or "allergen"
	About   []string `json:"about"`   // of "out" with a time among them, such as "22:30"
	Options []string `json:"options"` // of "out" with a time among them, likewise
	Right   []int    `json:"right"`   // places among the options, from 0
}

// How many there are.
const (
	mostOfAKind = 2
	mostRight   = 2
	mostOptions = 4
)

// ask adds a question, when it has an answer and something beside it. What is right and wrong is taken from the front.
func (b *builder) ask(asks string, about, right, wrong []string) {
	asked := 0
	for _, q := range b.guide.Questions {
		if q.Asks == asks {
			asked++
		}
	}
	wrong = slices.DeleteFunc(slices.Clone(wrong), func(s string) bool { return slices.Contains(right, s) })
	right = right[:min(len(right), mostRight)]
	wrong = wrong[:min(len(wrong), mostOptions-len(right))]
	if asked == mostOfAKind || len(right) == 0 || len(wrong) == 0 {
		return
	}
	q := Question{Asks: asks, About: about, Options: slices.Concat(right, wrong), Right: []int{}}
	// No order of the file's own, in which the right ones would stand first; the same for the same file.
	key := func(option string) uint64 {
		h := fnv.New64a()
		fmt.Fprintf(h, "%s\n%s\n%s\n%s", b.Digest, asks, strings.Join(about, "\n"), option)
		return h.Sum64()
	}
	slices.SortFunc(q.Options, func(x, y string) int { return cmp.Or(cmp.Compare(key(x), key(y)), cmp.Compare(x, y)) })
	for n, o := range q.Options {
		if slices.Contains(right, o) {
			q.Right = append(q.Right, n)
		}
	}
	b.guide.Questions = append(b.guide.Questions, q)
}

func (b *builder) questions(context.Context) error {
	b.guide.Questions = []Question{}
	b.askLost()
	b.askMissing()
	b.askInstead()
	b.askFrom()
	b.askPlate()
	b.askLast()
	b.askDelivered()
	b.askOut()
	b.askAllergens()
	return nil
}

// affected are the dishes that sell fewer portions or none.
func (e Effect) affected() int { return len(e.Stops) + len(e.Fewer) }

func (b *builder) askLost() {
	var steps []int
	for s := range b.Steps {
		if len(b.runs(s)) > 0 {
			steps = append(steps, s)
		}
	}
	slices.SortStableFunc(steps, func(x, y int) int { return cmp.Compare(b.lost[y].affected(), b.lost[x].affected()) })
	for _, s := range steps {
		b.ask(AskLost, []string{b.Graph.Steps[s].Name}, b.lost[s].GoesOn, b.lost[s].Stops)
	}
}

func (b *builder) askMissing() {
	var made []int
	for i, it := range b.Graph.Items {
		if it.Role == graph.Made {
			made = append(made, i)
		}
	}
	slices.SortStableFunc(made, func(x, y int) int { return cmp.Compare(len(b.effects[y].Stops), len(b.effects[x].Stops)) })
	for _, i := range made {
		b.ask(AskMissing, []string{b.Graph.Items[i].Name}, b.effects[i].Stops, b.effects[i].GoesOn)
	}
}

func (b *builder) askInstead() {
	for s := len(b.Graph.Steps) - 1; s >= 0; s-- { // dishes first
		st := b.Graph.Steps[s]
		var own []string
		for _, l := range st.Takes {
			own = append(own, b.Graph.Items[l.Choices[0].Item].Name)
		}
		for _, l := range st.Takes {
			var right []string
			for _, c := range l.Choices[1:] {
				right = append(right, b.Graph.Items[c.Item].Name)
			}
			first := b.Graph.Items[l.Choices[0].Item].Name
			wrong := slices.DeleteFunc(slices.Clone(own), func(n string) bool { return n == first })
			b.ask(AskInstead, []string{first, st.Name}, right, wrong)
		}
	}
}

func (b *builder) askFrom() {
	var steps []string
	for s := range b.Steps {
		steps = append(steps, b.Graph.Steps[s].Name)
	}
	for _, item := range b.guide.Items {
		var makers []string
		for _, m := range item.Makers {
			makers = append(makers, m.Step)
		}
		others := slices.DeleteFunc(slices.Clone(steps), func(s string) bool { return slices.Contains(makers, s) })
		b.ask(AskFrom, []string{item.Name}, makers, others)
	}
}

// askPlate offers half and double beside what is right.
func (b *builder) askPlate() {
	t := newTeller(b.guide)
	for _, dish := range b.guide.Dishes {
		if len(dish.Lines) == 0 {
			continue
		}
		a := dish.Lines[0].Choices[0]
		if a.Unsaid {
			continue
		}
		b.ask(AskPlate, []string{a.Item, dish.Name}, []string{t.measure(a.Amount, a.shownIn())},
			[]string{t.measure(a.Amount/2, a.shownIn()), t.measure(a.Amount*2, a.shownIn())})
	}
}

func (b *builder) askLast() {
	t := newTeller(b.guide)
	for i, it := range b.Graph.Items {
		keeps := b.Terms.Keeps[i]
		if it.Role != graph.Made || keeps < 2 || keeps > 5 {
			continue
		}
		for _, st := range b.Graph.Steps[:len(b.Steps)] {
			step, err := b.FindStep(st.Name)
			if err != nil || !slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == i && o.OutAt == 0 }) {
				continue
			}
			for _, run := range b.runs(step)[:min(1, len(b.runs(step)))] {
				day := func(after int) string { return t.weekday((run.Weekday + after) % 7) }
				b.ask(AskLast, []string{it.Name, day(0)}, []string{day(keeps - 1)}, []string{day(keeps), day(keeps - 2), day(keeps + 1)})
			}
		}
	}
}

func (b *builder) askDelivered() {
	t := newTeller(b.guide)
	var all []string
	for _, item := range b.guide.Items {
		if days := t.days(item.Arrives); item.Bought && !slices.Contains(all, days) {
			all = append(all, days)
		}
	}
	for _, item := range b.guide.Items {
		if item.Bought && len(item.Arrives) < 7 && len(item.Arrives) > 0 {
			b.ask(AskDelivered, []string{item.Name}, []string{t.days(item.Arrives)}, all)
		}
	}
}

func (b *builder) askOut() {
	for s, card := range b.Steps {
		if card.Starts == flow.Untimed || card.Unsaid.Any() || len(b.runs(s)) == 0 {
			continue
		}
		st := b.Graph.Steps[s]
		var at []string
		for _, o := range st.Gives {
			at = append(at, measure.FormatClock((card.Starts+o.OutAt)%1440))
		}
		last := len(st.Gives) - 1
		for _, more := range []int{60, 120, 180} {
			at = append(at, measure.FormatClock((card.Starts+st.Gives[last].OutAt+more)%1440))
		}
		wrong := slices.Clone(at)
		slices.Reverse(wrong)
		b.ask(AskOut, []string{b.Graph.Items[st.Gives[last].Item].Name, st.Name, measure.FormatClock(card.Starts)},
			[]string{at[last]}, wrong)
	}
}

// askAllergens offers as wrong only dishes that no way leads to the allergen, and that may contain nothing and behind which nothing is unknown.
func (b *builder) askAllergens() {
	var codes []string
	for _, d := range b.guide.Dishes {
		for _, a := range d.Allergens {
			if !slices.Contains(codes, a.Allergen) {
				codes = append(codes, a.Allergen)
			}
		}
	}
	for _, code := range codes {
		var right, wrong []string
		for _, d := range b.guide.Dishes {
			at := slices.IndexFunc(d.Allergens, func(a ask.AllergenWay) bool { return a.Allergen == code })
			switch {
			case at >= 0 && d.Allergens[at].Always:
				right = append(right, d.Name)
			case at < 0 && len(d.May) == 0 && len(d.Unstated) == 0:
				wrong = append(wrong, d.Name)
			}
		}
		b.ask(AskAllergen, []string{code}, right, wrong)
	}
}
