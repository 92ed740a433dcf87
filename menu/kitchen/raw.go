package kitchen

// Raw food: from the door downstream until a step cooks it through, to the dishes that are served raw.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Heat is what a step or a dish does to what it takes, by its own word.
type Heat uint8

const (
	HeatUnsaid   Heat = iota // the file does not say
	LeavesRaw                // "cooks through: no"
	Reheats                  // "reheats: yes": what was cooked before is heated again
	CooksThrough             // "cooks through: yes"
)

// Cooks tells whether a step or dish cooks its contents through.
func (k *Kitchen) Cooks(step int) bool { return k.Heat[step] == CooksThrough }

// heat reads what a step or a dish says of cooking.
func (r *reader) heat(rec *recipe) {
	h := HeatUnsaid
	switch {
	case r.says(rec.body, cooksKey, "yes"):
		h = CooksThrough
	case r.says(rec.body, cooksKey, "no"):
		h = LeavesRaw
	}
	if r.says(rec.body, "reheats", "yes") {
		if h == CooksThrough {
			r.fault(r.span(r.value(rec.body, "reheats")), "cooks-and-reheats", "remove one of the two: what was raw is cooked through, what was cooked before is reheated",
				"%q both cooks through and reheats", rec.name).note(r.span(r.value(rec.body, cooksKey)).Pos, "it cooks through here")
		}
		h = Reheats
	}
	r.k.Heat = append(r.k.Heat, h)
}

// findRaw finds the items that are raw as they stand: bought raw, or made of something raw without being cooked through. What is
// pasteurised counts as ready food: 3-302.13 sets it in the place of raw eggs (from memory).
func (k *Kitchen) findRaw() { k.Raw = k.rawUntil(k.Cooks) }

// rawUntil are the items that are raw where a step that ends it gives nothing raw.
func (k *Kitchen) rawUntil(ends func(step int) bool) []bool {
	raw := make([]bool, len(k.Graph.Items))
	for i, b := range k.Bought {
		raw[i] = b.Raw && !b.Pasteurised
	}
	for changed := true; changed; {
		changed = false
		for s, st := range k.Graph.Steps {
			if ends(s) || len(k.rawLines(s, raw)) == 0 {
				continue
			}
			for _, o := range st.Gives {
				changed = changed || !raw[o.Item]
				raw[o.Item] = true
			}
		}
	}
	return raw
}

// TakesRaw tells whether anything that a step may take is raw.
func (k *Kitchen) TakesRaw(step int) bool { return len(k.rawLines(step, k.Raw)) > 0 }

// AsksRaw tells whether a step or dish takes something that is raw for sure and says nothing of cooking: checkRaw asks about it.
func (k *Kitchen) AsksRaw(step int) bool {
	return k.Heat[step] == HeatUnsaid && len(k.rawLines(step, k.surelyRaw())) > 0
}

// surelyRaw are the items that are raw, be the answer of steps that say nothing what it may.
func (k *Kitchen) surelyRaw() []bool {
	return k.rawUntil(func(s int) bool { return k.Cooks(s) || k.Heat[s] == HeatUnsaid })
}

// rawLines are the items that a step may take and that are raw, each once.
func (k *Kitchen) rawLines(step int, raw []bool) (items []int) {
	for _, l := range k.Graph.Steps[step].Takes {
		for _, c := range l.Choices {
			if raw[c.Item] && !slices.Contains(items, c.Item) {
				items = append(items, c.Item)
			}
		}
	}
	return items
}

// cooksKey is the key behind which a step or dish says whether it cooks its contents through.
const cooksKey = "cooks through"

// askHeat asks of steps and dishes whether they cook through what they take raw. There is no guess at that.
func (r *reader) askHeat() {
	k := r.k
	for _, u := range r.unheated {
		st, names, served := k.Graph.Steps[u.step], make([]string, len(u.raw)), []string(nil)
		for n, i := range u.raw {
			names[n] = r.items[i].Name
		}
		q := Question{Of: st.Name, What: cooksKey, Counted: "no, so it counts as raw", Pos: r.span(r.recipes[u.step].key).Pos, List: InSteps, Key: cooksKey, Words: yesNo.words}
		if d := u.step - len(k.Steps); d >= 0 {
			q.List, q.Matters = k.Dishes[d].list(), "what counts as raw in "+st.Name
			q.Asks = fmt.Sprintf("Do you serve %s with %s cooked through?", st.Name, measure.FormatList(names))
			r.open(q)
			continue
		}
		comes := k.Graph.Downstream(k.Graph.Node(u.step))
		for _, d := range k.Dishes {
			if k.Raw[d.Item] && slices.Contains(comes, d.Item) {
				served = append(served, d.Name)
			}
		}
		q.Asks, q.Matters = fmt.Sprintf("Does a batch of %s cook %s through?", st.Name, measure.FormatList(names)), "the day from which date marks run, and what counts as raw"
		if served != nil {
			q.Matters += " in " + measure.FormatList(fewOf(served))
		}
		r.open(q)
	}
}

// unheated is a step or dish that does not say whether it cooks through what it takes raw.
type unheated struct {
	step int
	raw  []int
}

// RawIn are the bought items that are raw in an item as it stands, in the order of the file.
func (k *Kitchen) RawIn(item int) (bought []int) {
	seen := map[int]bool{item: true}
	for todo := []int{item}; len(todo) > 0; todo = todo[1:] {
		if todo[0] < len(k.Bought) {
			bought = append(bought, todo[0])
			continue
		}
		for s, st := range k.Graph.Steps {
			if k.Cooks(s) || !slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == todo[0] }) {
				continue
			}
			for _, i := range k.rawLines(s, k.Raw) {
				if !seen[i] {
					seen[i] = true
					todo = append(todo, i)
				}
			}
		}
	}
	slices.Sort(bought)
	return slices.DeleteFunc(bought, func(i int) bool { return !k.Raw[i] })
}

// RawServed is a dish with something raw in it when it is served, as far as the file says.
type RawServed struct {
	Dish string   `json:"dish"`
	Raw  []string `json:"raw"`      // the bought items that are raw in it
	Said bool     `json:"said"`     // the file says that it is served so; else it does not say whether it is cooked through at the pass
	Eggs []string `json:"raw_eggs"` // raw eggs in it of which the file does not say that they are pasteurised
	Fish []string `json:"raw_fish"` // raw fish in it for which the file names no supplier's letter on parasites
}

// ServedRaw are the dishes that nothing cooks through before they are served.
func (k *Kitchen) ServedRaw() []RawServed {
	list := []RawServed{}
	for n, d := range k.Dishes {
		if !k.Raw[d.Item] {
			continue
		}
		x := RawServed{Dish: d.Name, Raw: []string{}, Said: k.Heat[len(k.Steps)+n] == LeavesRaw, Eggs: []string{}, Fish: []string{}}
		for _, i := range k.RawIn(d.Item) {
			x.Raw = append(x.Raw, k.Graph.Items[i].Name)
			if k.states(i, "fish") && k.Bought[i].Parasites == "" {
				x.Fish = append(x.Fish, k.Graph.Items[i].Name)
			}
		}
		x.Eggs = append(x.Eggs, k.RawEggs(d.Item)...)
		list = append(list, x)
	}
	return list
}

// RawEggs are the raw eggs in an item of which the file does not say that they are pasteurised.
func (k *Kitchen) RawEggs(item int) (names []string) {
	for _, i := range k.RawIn(item) {
		if k.states(i, "egg", "eggs") {
			names = append(names, k.Graph.Items[i].Name)
		}
	}
	return names
}

// states tells whether a bought item states one of some allergens as its own.
func (k *Kitchen) states(item int, codes ...string) bool {
	return slices.ContainsFunc(k.Bought[item].Allergens, func(a string) bool {
		code, _ := CodeAndKind(a)
		return slices.Contains(codes, code)
	})
}

// checkRaw asks of steps and dishes that take something raw whether they cook it through, of raw eggs whether they are pasteurised, and of
// raw fish for the word of the supplier on parasites. What is
// raw only because a step before it does not say is not asked about again: the answer there may end it.
func (r *reader) checkRaw() {
	k := r.k
	sure := k.surelyRaw()
	for s, st := range k.Graph.Steps {
		raw := k.rawLines(s, sure)
		if len(raw) == 0 {
			continue
		}
		names, is := make([]string, len(raw)), "is"
		for n, i := range raw {
			names[n] = fmt.Sprintf("%q", k.Graph.Items[i].Name)
		}
		if len(raw) > 1 {
			is = "are"
		}
		at := r.span(r.recipes[s].key)
		switch k.Heat[s] {
		case HeatUnsaid:
			r.warn(at, "raw-or-cooked", `write "cooks through: yes", or "cooks through: no" for what stays raw`,
				"%q takes %s, which %s raw, and does not say whether it cooks through", st.Name, measure.FormatList(names), is)
			r.unheated = append(r.unheated, unheated{s, raw})
		case Reheats:
			r.warn(at, "raw-or-cooked", `write "cooks through: yes" if it does; "reheats" is for what was cooked before`,
				"%q reheats %s, which %s raw", st.Name, measure.FormatList(names), is)
		}
	}
	for _, x := range k.ServedRaw() {
		if !x.Said {
			continue // how it is served is asked first
		}
		d := slices.IndexFunc(k.Dishes, func(d Dish) bool { return d.Name == x.Dish })
		at := r.span(r.recipes[len(k.Steps)+d].key)
		if len(x.Fish) > 0 {
			cite := ""
			if k.Code.Parasites != "" {
				cite = " (" + k.Code.Cite(k.Code.Parasites) + ", from memory: at -20 °C (-4 °F) for 7 days, or -35 °C (-31 °F) for 15 h)"
			}
			r.warn(at, "raw-fish", `write "parasite letter: ..." on it, what the letter says and its date; which fish needs no freezing is for your local authority to say`,
				"%q is served with raw %s: see the supplier's letter that it was frozen against parasites, or needs no freezing%s", x.Dish, strings.Join(x.Fish, ", "), cite)
		}
		if len(x.Eggs) == 0 {
			continue
		}
		cite := ""
		if k.Code.Eggs != "" {
			cite = " (" + k.Code.Cite(k.Code.Eggs) + ", from memory)"
		}
		r.warn(at, "raw-egg", `write "pasteurised: yes" on them if they are`,
			"%q is served with raw %s, and the file does not say that they are pasteurised%s", x.Dish, strings.Join(x.Eggs, ", "), cite)
	}
}
