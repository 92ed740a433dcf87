package kitchen

// What the till calls a dish.

import (
	"strings"

	"go.yaml.in/yaml/v4"
)

// soldAs reads the names that a dish has on the till. They are as free as tills are, in commas too.
func (r *reader) soldAs(n *yaml.Node, d *Dish) {
	if n == nil {
		return
	}
	for _, c := range n.Content {
		if r.unfit[c] {
			continue
		}
		name := strings.TrimSpace(c.Value)
		if name == "" {
			r.fault(r.span(c), "bad-name", "write the name as the till prints it", "a name is empty")
			continue
		}
		d.SoldAs = append(d.SoldAs, name)
		r.soldAsAt = append(r.soldAsAt, r.span(c))
	}
}

// checkSoldAs tells of names by which the till could mean two dishes.
func (r *reader) checkSoldAs() {
	type owner struct {
		dish string
		at   Pos
	}
	means := map[string]owner{}
	for _, d := range r.k.Dishes {
		means[strings.ToLower(d.Name)] = owner{d.Name, r.k.ItemPos[d.Item]}
	}
	next := 0
	for _, d := range r.k.Dishes {
		for _, name := range d.SoldAs {
			where := r.soldAsAt[next]
			next++
			before, taken := means[strings.ToLower(name)]
			if taken && before.dish != d.Name {
				r.fault(where, "sold-as-twice", "leave it with one of the two", "%q would be both %q and %q on the till", name,
					before.dish, d.Name).note(before.at, "the other is here")
				continue
			}
			means[strings.ToLower(name)] = owner{d.Name, where.Pos}
		}
	}
}
