package show

// The allergens of each dish: what is always in it, what only a substitute or an extra brings, and what is not stated.

import (
	"strings"

	"kettletree/menu/ask"
)

// Allergens lays the dishes out, each with the ways by which its allergens come.
func Allergens(p Page, a *ask.AllergenSheet) string {
	var b strings.Builder
	for n, d := range a.Dishes {
		if n > 0 {
			b.WriteString("\n")
		}
		name := d.Name
		if d.Special {
			name += " (special)"
		}
		b.WriteString(p.heading(name + ": " + allergenLine(d)))
		for _, w := range d.Allergens {
			for _, way := range w.Ways {
				text := w.Allergen + ": " + p.way(way.Path)
				if way.Only != "" {
					text += " (" + onlyWords[way.Only] + ")"
				}
				b.WriteString(p.text(2, text))
			}
		}
		for _, u := range d.Unstated {
			b.WriteString(p.text(2, "NOT STATED: "+p.way(u.Path)))
		}
	}
	if len(a.Dishes) == 0 {
		b.WriteString(p.text(0, "The kitchen has no dishes."))
	}
	b.WriteString("\n" + p.text(0, a.Caution))
	return b.String()
}

// onlyWords say when a way is gone that not every portion goes.
var onlyWords = map[string]string{"substitute": "only with a substitute", "optional": "may be left out"}

// way is a path with arrows.
func (p Page) way(path []string) string { return strings.Join(path, " "+p.arrow()+" ") }

// allergenLine sums a dish up.
func allergenLine(d ask.DishAllergens) string {
	var always, may []string
	for _, w := range d.Allergens {
		if w.Always {
			always = append(always, strings.ToUpper(w.Allergen))
		} else {
			may = append(may, strings.ToUpper(w.Allergen))
		}
	}
	var parts []string
	if len(always) > 0 {
		parts = append(parts, strings.Join(always, ", "))
	}
	if len(may) > 0 {
		parts = append(parts, "sometimes "+strings.Join(may, ", "))
	}
	var names []string
	for _, u := range d.Unstated {
		names = append(names, u.Path[0])
	}
	return allergens(strings.Join(parts, "; "), names)
}

// allergens is what is stated, and of what nothing is. That there are none is the kitchen file's word, and only said where it
// states something of everything.
func allergens(stated string, unstated []string) string {
	var parts []string
	if stated != "" {
		parts = append(parts, stated)
	}
	if len(unstated) > 0 {
		parts = append(parts, "NOT STATED for "+list(unstated))
	}
	if len(parts) == 0 {
		return noAllergens
	}
	return strings.Join(parts, "; ")
}

const noAllergens = "none, per kitchen file"

// AllergenSheet has a row for each way by which an allergen comes, and for each bought item that states none.
func AllergenSheet(a *ask.AllergenSheet) (s Sheet) {
	s.add("dish", "special", "allergen", "lists", "always", "only", "path")
	for _, d := range a.Dishes {
		for _, w := range d.Allergens {
			for _, way := range w.Ways {
				s.add(d.Name, d.Special, w.Allergen, strings.Join(w.Lists, " "), w.Always, way.Only, strings.Join(way.Path, " > "))
			}
		}
		for _, u := range d.Unstated {
			s.add(d.Name, d.Special, "(not stated)", "", false, u.Only, strings.Join(u.Path, " > "))
		}
	}
	return s
}
