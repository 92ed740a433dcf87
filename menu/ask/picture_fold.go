package ask

// A map of a kitchen that is too large for one sheet: it is folded further, until it fits.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/graph/draw"
)

// say has a box name something that goes into it and has no box of its own.
func (m *mapping) say(user, words string) {
	if !slices.Contains(m.with[user], words) {
		m.with[user] = append(m.with[user], words)
	}
	m.bought = true
}

// foldFurther takes boxes and lines off a map until it can be drawn: first what hangs on the pots least. Boxes that the shocks reached
// stay, unless nothing else can go.
func (m *mapping) foldFurther() {
	for _, fold := range []func() bool{m.foldChoices, m.foldSources, m.foldSpecials, m.foldEnds} {
		for draw.Fits(m.Picture) != nil && fold() {
		}
	}
}

// hits are the boxes that the shocks reached, by id.
func (m *mapping) hits() map[string]bool {
	hit := map[string]bool{}
	for _, n := range m.Nodes {
		hit[n.ID] = wasHit(n)
	}
	return hit
}

// foldChoices names substitutes, and what may be left out, in the boxes that they would go into.
func (m *mapping) foldChoices() (folded bool) {
	hit := m.hits()
	m.Edges = slices.DeleteFunc(m.Edges, func(e draw.Edge) bool {
		goes := (e.Substitute || e.Optional) && !(hit[e.From] && hit[e.To])
		if goes {
			m.say(e.To, m.ingredient(e))
			folded = true
		}
		return goes
	})
	return folded
}

// foldSources names what is made to order of things without boxes in the boxes that it goes into.
func (m *mapping) foldSources() bool {
	gone := m.ends(func(e draw.Edge) (string, string) { return e.To, e.From }, func(n draw.Node) bool {
		return n.Kind == draw.Made && !wasHit(n) && !m.fromBatches(n.Item)
	})
	m.Edges = slices.DeleteFunc(m.Edges, func(e draw.Edge) bool {
		if gone[e.From] {
			m.say(e.To, m.ingredient(e))
		}
		return gone[e.From]
	})
	m.order = m.order || len(gone) > 0
	return m.take(gone)
}

// foldSpecials names specials in the boxes that go into them.
func (m *mapping) foldSpecials() bool {
	return m.foldInto(func(n draw.Node) bool { return n.Kind == draw.Special && !wasHit(n) })
}

// foldEnds names what nothing comes of in the boxes that go into it.
func (m *mapping) foldEnds() bool {
	return m.foldInto(func(n draw.Node) bool { return !wasHit(n) }) || m.foldInto(func(draw.Node) bool { return true })
}

func (m *mapping) foldInto(may func(draw.Node) bool) bool {
	names := map[string]string{}
	for _, n := range m.Nodes {
		names[n.ID] = n.Name
	}
	gone := m.ends(func(e draw.Edge) (string, string) { return e.From, e.To }, may)
	m.Edges = slices.DeleteFunc(m.Edges, func(e draw.Edge) bool {
		if gone[e.To] && !slices.Contains(m.into[e.From], names[e.To]) {
			m.into[e.From] = append(m.into[e.From], names[e.To])
		}
		return gone[e.To] || gone[e.From]
	})
	m.dropped = m.dropped || len(gone) > 0
	return m.take(gone)
}

// ends are boxes at an end of the flow: those that lines come to on the one side, and that none leaves on the other.
func (m *mapping) ends(sides func(draw.Edge) (leaves, comes string), may func(draw.Node) bool) map[string]bool {
	within, goesOn := map[string]bool{}, map[string]bool{}
	for _, e := range m.Edges {
		leaves, comes := sides(e)
		goesOn[leaves] = goesOn[leaves] || !e.Carried
		within[comes] = true
	}
	gone := map[string]bool{}
	for _, n := range m.Nodes {
		if within[n.ID] && !goesOn[n.ID] && may(n) {
			gone[n.ID] = true
		}
	}
	return gone
}

// take takes boxes off the map; it tells whether there were any.
func (m *mapping) take(gone map[string]bool) bool {
	m.Nodes = slices.DeleteFunc(m.Nodes, func(n draw.Node) bool { return gone[n.ID] })
	return len(gone) > 0
}

// mostNamed is how many things a box names that it goes into.
const mostNamed = 4

// tellFolded writes into each box what has none of its own.
func (m *mapping) tellFolded() {
	for k, n := range m.Nodes {
		if words := m.with[n.ID]; len(words) > 0 {
			m.Nodes[k].Lines = append(m.Nodes[k].Lines, "with "+strings.Join(words, ", "))
		}
		names := m.into[n.ID]
		switch more := len(names) - mostNamed; {
		case more > 0:
			m.Nodes[k].Lines = append(m.Nodes[k].Lines, fmt.Sprintf("for %s and %d more", strings.Join(names[:mostNamed], ", "), more))
		case len(names) > 0:
			m.Nodes[k].Lines = append(m.Nodes[k].Lines, "for "+strings.Join(names, ", "))
		}
	}
}

// leftOut says what has no box.
func (m *mapping) leftOut() (words string) {
	switch {
	case m.order:
		words = " What is bought, or made to order of bought things alone, and has no box is named after \"with\" where it is used."
	case m.bought:
		words = " Bought items without a box are named after \"with\" where they are used"
	}
	if m.dropped {
		words = strings.TrimSuffix(words, ".") + ". The kitchen is too large for one sheet: dishes without a box are named after \"for\"."
	}
	if words == "" {
		return ""
	}
	if strings.HasSuffix(words, ".") {
		return words + " --around ITEM shows all of a part."
	}
	return words + "; --around ITEM shows all of a part."
}
