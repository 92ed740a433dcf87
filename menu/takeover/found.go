package takeover

// What recipes and their lines are in the kitchen: steps, dishes and items that are there, or new ones.

import (
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/logbook"
)

// user is a line that names something.
type user struct {
	of   *Recipe
	kind measure.Kind
	more bool // others name it, too
}

// usedBy tells whether another recipe of the file names this one, and how it measures it.
func (i *into) usedBy(r *Recipe) (kind measure.Kind, used bool) {
	u, ok := i.users[logbook.NameKey(r.Name)]
	return u.kind, ok && (u.of != r || u.more)
}

// oldStep is the step of the kitchen that a recipe is: by its own name, or by the name of what it alone gives.
func (i *into) oldStep(r *Recipe) (step int, ok bool) {
	if i.k == nil {
		return 0, false
	}
	step = called(len(i.k.Steps), r.Name, func(s int) string { return i.k.Graph.Steps[s].Name })
	if step < 0 {
		step = called(len(i.k.Steps), r.Name, func(s int) string {
			if g := i.k.Graph.Steps[s].Gives; len(g) == 1 {
				return i.k.Graph.Items[g[0].Item].Name
			}
			return ""
		})
	}
	return step, step >= 0
}

func (i *into) oldDish(r *Recipe) (dish int, ok bool) {
	if i.k == nil {
		return 0, false
	}
	dish = called(len(i.k.Dishes), r.Name, func(d int) string { return i.k.Dishes[d].Name })
	return dish, dish >= 0
}

// called finds a name among some: the same, or else the one with the same words; -1 for none.
func called(count int, name string, at func(int) string) (found int) {
	found = -1
	for n := range count {
		if strings.EqualFold(at(n), name) {
			return n
		}
		if found < 0 && logbook.SameWords(at(n), name) {
			found = n
		}
	}
	return found
}

// isStep tells whether a recipe is made ahead, and not a plate.
func (i *into) isStep(r *Recipe) bool {
	if _, ok := i.oldDish(r); ok {
		return false
	}
	if _, ok := i.oldStep(r); ok {
		return true
	}
	_, used := i.usedBy(r)
	return used || r.Yield != "" && r.Portions == 0 && r.Price == ""
}

// givesName is what a step gives, by name.
func (i *into) givesName(r *Recipe) string {
	if s, ok := i.oldStep(r); ok {
		return i.k.Graph.Items[i.k.Graph.Steps[s].Gives[0].Item].Name
	}
	return r.Name
}

// item finds what a line takes, or adds it to what is bought.
func (i *into) item(l Line, of *Recipe) (name string, ok bool) {
	if o := i.steps[logbook.NameKey(l.Item)]; o != nil && o != of {
		return i.made[o], true
	}
	if i.k != nil {
		m := i.find.Find(l.Item)
		switch {
		case m.Left:
			return "", false
		case m.Ours != "" && !m.Alike:
			if !strings.EqualFold(m.Ours, l.Item) {
				i.means(l.Item, m.Ours)
			}
			return m.Ours, true
		case m.Ours != "":
			i.t.alike(l.Item, m.Ours) // it is a new bought item until somebody says so
		}
	}
	if b := i.fresh[logbook.NameKey(l.Item)]; b != "" {
		return b, true
	}
	key := logbook.NameKey(l.Item)
	i.bought, i.fresh[key] = append(i.bought, l.Item), l.Item
	i.kinds[l.Item] = l.Amount.Unit.Kind
	if kind, said := i.said[key]; said {
		i.kinds[l.Item] = kind
	}
	if strings.EqualFold(l.Item, water) {
		i.kinds[l.Item] = measure.Volume
	}
	return l.Item, true
}

func (i *into) means(written, ours string) {
	if said := written + ": " + ours; !slices.Contains(i.t.Means, said) {
		i.t.Means = append(i.t.Means, said)
	}
}

func (i *into) note(text string) {
	if !slices.Contains(i.notes, text) {
		i.notes = append(i.notes, text)
	}
}
