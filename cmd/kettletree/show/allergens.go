package show

// The allergens of each dish: what is always in it, what only a substitute or an extra brings, and what is not stated.

import (
	"strings"

	"kettletree/menu/ask"
	"kettletree/menu/tongue"
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
			name = p.Voice.Say("%[1]s (%[2]s)", name, p.Voice.Say("special"))
		}
		b.WriteString(p.heading(p.Voice.Say("%[1]s: %[2]s", name, p.allergenLine(d))))
		for _, w := range d.Allergens {
			for _, way := range w.Ways {
				b.WriteString(p.text(2, p.Voice.Say("%[1]s: %[2]s", p.Voice.Allergen(w.Allergen), p.wayText(way))))
			}
		}
		for _, w := range d.May {
			for _, way := range w.Ways {
				b.WriteString(p.text(2, p.Voice.Say("%[1]s: %[2]s", p.Voice.Say("may contain %[1]s", p.Voice.Allergen(w.Allergen)), p.wayText(way))))
			}
		}
		for _, u := range d.Unstated {
			b.WriteString(p.text(2, p.Voice.Say("%[1]s: %[2]s", strings.ToUpper(p.Voice.Say("unknown")), p.wayText(u))))
		}
	}
	if len(a.Dishes) == 0 {
		b.WriteString(p.text(0, p.Voice.Say("The kitchen has no dishes.")))
	}
	if raw := p.servedRaw(a.Raw, a.Advisory); len(raw) > 0 {
		b.WriteString("\n")
		for _, line := range raw {
			b.WriteString(p.text(0, line))
		}
	}
	b.WriteString("\n" + p.text(0, p.Voice.Word(a.Caution)))
	b.WriteString(p.unreviewed())
	return b.String()
}

// unreviewed stands on what is said in another language than English.
func (p Page) unreviewed() string {
	if p.Voice.English() {
		return ""
	}
	return p.text(0, p.Voice.Say(tongue.Unreviewed))
}

// onlyWords say when a way is gone that not every portion goes.
var onlyWords = map[string]string{"substitute": "only with a substitute", "optional": "may be left out"}

// way is a path with arrows.
func (p Page) way(path []string) string { return strings.Join(path, " "+p.arrow()+" ") }

// wayText is a way with the word for when it is gone.
func (p Page) wayText(w ask.Way) string {
	if w.Only == "" {
		return p.way(w.Path)
	}
	return p.Voice.Say("%[1]s (%[2]s)", p.way(w.Path), p.Voice.Word(onlyWords[w.Only]))
}

// allergenLine sums a dish up.
func (p Page) allergenLine(d ask.DishAllergens) string {
	var always, sometimes, may, names, parts []string
	for _, w := range d.Allergens {
		if w.Always {
			always = append(always, w.Allergen)
		} else {
			sometimes = append(sometimes, w.Allergen)
		}
	}
	for _, w := range d.May {
		may = append(may, w.Allergen)
	}
	for _, u := range d.Unstated {
		names = append(names, u.Path[0])
	}
	if len(always) > 0 {
		parts = append(parts, p.Voice.Allergens(always))
	}
	if len(sometimes) > 0 {
		parts = append(parts, p.Voice.Say("sometimes %[1]s", p.Voice.Allergens(sometimes)))
	}
	return p.Voice.More(parts, may, names)
}

// AllergenSheet has a row for each way by which an allergen comes, and for each bought item that states nothing.
func AllergenSheet(a *ask.AllergenSheet) (s Sheet) {
	s.add("dish", "special", "allergen", "says", "lists", "always", "only", "path")
	for _, d := range a.Dishes {
		for _, w := range d.Allergens {
			for _, way := range w.Ways {
				s.add(d.Name, d.Special, w.Allergen, "contains", strings.Join(w.Lists, " "), w.Always, way.Only, strings.Join(way.Path, " > "))
			}
		}
		for _, w := range d.May {
			for _, way := range w.Ways {
				s.add(d.Name, d.Special, w.Allergen, "may contain", strings.Join(w.Lists, " "), w.Always, way.Only, strings.Join(way.Path, " > "))
			}
		}
		for _, u := range d.Unstated {
			s.add(d.Name, d.Special, "", "unknown", "", false, u.Only, strings.Join(u.Path, " > "))
		}
	}
	return s
}
