package kitchen

// What is drawn and not finished: a card with the line "something" says that more goes in, or comes out, than anybody has said so far. It is
// set aside, with all that can only come of it, and is an open question; everything else is answered without it.

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// somethingWord is a line of a card that stands for what is not said yet.
const somethingWord = "something"

// aside is a step or dish that is set aside.
type aside struct {
	list        string
	key         *yaml.Node
	takes       *yaml.Node // lists of lines; nil where they are unfit
	gives       *yaml.Node
	open        string // the key behind which "something" stands; "" where it only waits for another
	at          int    // the line of it
	first       bool   // nothing else stands there
	items, from []string
}

// setAside finds the cards that are not finished, and those that take what only such a card gives.
func (r *reader) setAside(root *yaml.Node) {
	r.aside, r.waiting = map[*yaml.Node]*aside{}, map[string]bool{}
	var all []*aside
	var bodies []*yaml.Node
	for _, list := range []string{InSteps, InDishes, InSpecials} {
		for key, body := range r.pairs(r.value(root, list)) {
			a := &aside{list: list, key: key, takes: r.value(body, "takes"), gives: r.value(body, "gives")}
			a.read()
			all, bodies = append(all, a), append(bodies, body)
		}
	}
	for more := true; more; {
		more = false
		ready := map[string]bool{} // what is bought, or some finished step gives
		for key := range r.pairs(r.value(root, InBought)) {
			ready[key.Value] = true
		}
		for n, a := range all {
			for _, item := range a.items {
				ready[item] = ready[item] || r.aside[bodies[n]] == nil && a.open == ""
			}
		}
		clear(r.waiting)
		for _, a := range all {
			for _, item := range a.items {
				r.waiting[item] = !ready[item]
			}
		}
		for n, a := range all {
			if r.aside[bodies[n]] == nil && (a.open != "" || slices.ContainsFunc(a.from, func(item string) bool { return r.waiting[item] })) {
				r.aside[bodies[n]], more = a, true
				r.asides = append(r.asides, a)
			}
		}
	}
	slices.SortFunc(r.asides, func(a, b *aside) int {
		return cmp.Or(cmp.Compare(a.key.Line, b.key.Line), cmp.Compare(a.key.Column, b.key.Column))
	})
}

// waits tells for all that is set aside, cards and what only they give, which card is to be finished first.
func (r *reader) waits() map[string]string {
	list := map[string]string{}
	for more := true; more; {
		more = false
		for _, a := range r.asides {
			name, cause := a.key.Value, ""
			if a.open != "" {
				cause = name
			}
			for _, item := range a.from {
				if cause == "" && r.waiting[item] {
					cause = list[item]
				}
			}
			if cause == "" || list[name] != "" {
				continue
			}
			list[name], more = cause, true
			for _, item := range a.items {
				if r.waiting[item] && list[item] == "" {
					list[item] = cause
				}
			}
		}
	}
	return list
}

// Waits tells which card is to be finished before something that is set aside counts again; "" for what is not set aside.
func (k *Kitchen) Waits(name string) (card string) { return k.waits[name] }

// Waiting names all that is set aside, in the order of the alphabet.
func (k *Kitchen) Waiting() []string { return slices.Sorted(maps.Keys(k.waits)) }

// leftOut says why there is no such thing in a kitchen that has a card of it, and what to do; "" for what the file does not speak of.
func (k *Kitchen) leftOut(name string) (says, hint string) {
	name = norm.NFC.String(strings.TrimSpace(name))
	for _, of := range k.Waiting() {
		if !strings.EqualFold(of, name) {
			continue
		}
		says, hint = fmt.Sprintf("%q is left out until its card is finished", of), "say first what is still open on it: it is among the open questions"
		if card := k.waits[of]; card != of {
			says = fmt.Sprintf("%q is left out until the card of %q is finished", of, card)
		}
		return says, hint
	}
	return "", ""
}

// read finds what a card takes and gives, and where it is open.
func (a *aside) read() {
	for _, of := range []struct {
		key   string
		lines *yaml.Node
		in    place
		items *[]string
	}{{"takes", a.takes, used, &a.from}, {"gives", a.gives, given, &a.items}} {
		for at := 0; of.lines != nil && at < len(of.lines.Content); at++ {
			text := of.lines.Content[at].Value
			if text == somethingWord && a.open == "" {
				a.open, a.at, a.first = of.key, at, len(of.lines.Content) == 1
			}
			if c, err := parseLine(text, of.in); err == nil {
				for _, x := range c.choices {
					*of.items = append(*of.items, x.item)
				}
			}
		}
	}
}

// checkAside says what is wrong on cards that are set aside: lines that can't be read, names that stand for nothing or for two things.
func (r *reader) checkAside() {
	names := map[string]*yaml.Node{}
	for _, a := range r.asides {
		in := used
		if a.list != InSteps {
			in = plated
		}
		r.asideLines(a.takes, in)
		r.asideLines(a.gives, given)
		name := a.key.Value
		_, item := r.itemAt[name]
		_, step := r.stepAt[name]
		if a.list == InSteps {
			item = item && r.items[r.itemAt[name]].Role == graph.Sold // a step may be called like what it gives
		}
		if item || step || names[name] != nil {
			r.fault(r.span(a.key), "name-taken", "give it a name of its own", "%q has the name of something else", name)
		}
		names[name] = a.key
	}
}

// asideLines reads the lines of a card that is set aside.
func (r *reader) asideLines(n *yaml.Node, in place) {
	for at := 0; n != nil && at < len(n.Content); at++ {
		c := n.Content[at]
		if r.unfit[c] || c.Value == somethingWord {
			continue
		}
		line, err := parseLine(c.Value, in)
		if err != nil {
			r.counted(c.Value, err)
			r.misread(c, "bad-line", err)
			continue
		}
		for _, x := range line.choices {
			i, known := r.itemAt[x.item]
			where := r.part(c, x.at, x.length)
			switch {
			case in == given && known && r.items[i].Role == graph.Bought:
				r.fault(where, "bought-and-made", "give the bought one or the made one another name", "%q is bought, so no step can give it", x.item).
					note(r.k.ItemPos[i], "bought here")
			case in != given && !known && !r.waiting[x.item]:
				r.fault(where, "unknown-item", r.meant(x.item, itemNames(r.items, r.k.ItemPos, graph.Bought, graph.Made),
					"add it under \"bought\", or to what a step gives"), "unknown item %q", x.item)
			case in != given && known && r.items[i].Role == graph.Sold:
				r.fault(where, "dish-used", "let a step give what both need, and take that", "%q is a dish, so nothing can take it", x.item).
					note(r.k.ItemPos[i], "sold here")
			}
		}
	}
}

// takenAside tells whether a card that is set aside takes an item.
func (r *reader) takenAside(item string) bool {
	return slices.ContainsFunc(r.asides, func(a *aside) bool { return slices.Contains(a.from, item) })
}

// cardAside tells whether a step or dish of a name is set aside.
func (r *reader) cardAside(name string) bool {
	return slices.ContainsFunc(r.asides, func(a *aside) bool { return a.key.Value == name })
}

// askAside asks for what cards leave open.
func (r *reader) askAside() {
	for _, a := range r.asides {
		if a.open == "" {
			continue
		}
		name := a.key.Value
		other := "else "
		if a.first {
			other = ""
		}
		q := Question{Of: name, What: a.open, Matters: r.hangsAside(a), Counted: "it is left out", Money: true, Amounts: true, Pos: r.span(a.key).Pos, List: a.list,
			Key: a.open, Line: a.at}
		switch {
		case a.open == "gives":
			q.Asks = fmt.Sprintf("What %scomes out of %s, and how much?", other, name)
		case a.list == InSteps:
			q.Asks = fmt.Sprintf("What %sgoes into %s, and how much?", other, name)
		default:
			q.Asks = fmt.Sprintf("What %sis in a portion of %s, and how much?", other, name)
		}
		r.open(q)
	}
}

// hangsAside says which dishes are set aside with a card, as what rests on it.
func (r *reader) hangsAside(of *aside) string {
	items, dishes := slices.Clone(of.items), []string(nil)
	seen := map[*aside]bool{}
	for more := true; more; {
		more = false
		for _, a := range r.asides {
			if seen[a] || a != of && !slices.ContainsFunc(a.from, func(item string) bool { return slices.Contains(items, item) }) {
				continue
			}
			seen[a], more = true, true
			items = append(items, a.items...)
			if a.list != InSteps {
				dishes = append(dishes, a.key.Value)
			}
		}
	}
	if dishes == nil {
		return "no dish so far"
	}
	return "all of " + measure.FormatList(fewOf(dishes))
}
